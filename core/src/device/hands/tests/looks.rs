//! Looks that the board made by itself between two polls.

use super::*;
use crate::ports::Look;

impl Bench {
    /// One poll after so long, with a look of the board every two milliseconds; `keys` has the keys that are down then.
    fn jump(&mut self, millis: u64, keys: impl Fn(u64) -> u8) {
        let levels = |ms: u64| Levels { keys: keys(ms), ..self.levels };
        let look = |ms: u64| Look { ago: Duration::from_millis(millis - ms), levels: levels(ms) };
        self.panel.earlier.borrow_mut().extend((0..millis).step_by(2).map(look));
        *self.panel.levels.borrow_mut() = levels(millis);
        self.now = self.now.after(Duration::from_millis(millis));
        self.works.hands(self.now);
        self.works.pass(self.now);
        self.works.tell(self.now, true);
    }
}

fn down(key: Key, span: core::ops::Range<u64>) -> impl Fn(u64) -> u8 {
    move |ms| if span.contains(&ms) { key.bit() } else { 0 }
}

#[test]
fn a_press_that_is_over_before_the_next_poll_is_taken() {
    let mut bench = Bench::lit();
    bench.jump(100, down(Key::Go, 10..50));
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(1), vec![Haptic::Taken]));
    bench.wait(500);
    bench.jump(100, down(Key::Go, 10..30));
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(1), vec![]), "a bounce is none");
}

#[test]
fn a_key_counts_from_its_touch_and_not_from_the_poll_that_hears_of_it() {
    let mut bench = Bench::lit();
    bench.jump(40, down(Key::Off, 8..100));
    assert_eq!(bench.face().mode, Mode::Off, "32 ms down");
    let mut bench = Bench::lit();
    bench.jump(40, down(Key::Off, 12..100));
    assert_ne!(bench.face().mode, Mode::Off, "28 ms down");
}

#[test]
fn bounces_between_two_polls_count_as_bounces() {
    let mut bench = Bench::lit();
    // Up again every 8 ms: never quiet for 30 ms. The poll alone would see the key down at both ends.
    bench.jump(36, |ms| if ms % 8 < 6 { Key::Go.bit() } else { 0 });
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(0), vec![]));
}

#[test]
fn a_stop_contact_counts_from_the_boards_looks_too() {
    let mut bench = Bench::lit();
    let closed = Levels { stop: true, ..Levels::default() };
    let looks = (2..40).step_by(2).map(|ms| Look { ago: Duration::from_millis(40 - ms), levels: closed });
    bench.panel.earlier.borrow_mut().extend(looks);
    bench.levels = closed;
    *bench.panel.levels.borrow_mut() = closed;
    bench.now = bench.now.after(Duration::from_millis(40));
    bench.works.hands(bench.now);
    bench.works.tell(bench.now, true);
    assert_eq!(bench.face().gate, Gate::Stopped);
}
