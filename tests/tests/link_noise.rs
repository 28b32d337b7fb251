//! An hour of a noisy line: a desk drives a show while one byte in a hundred is lost, changed, doubled or overtaken.
//! A ledger of its own, filled from what the box's display shows, says whether a cue was skipped, doubled or stuck.

use underfoot_core::link::{Answer, Refusal, Request};
use underfoot_core::show::CueId;
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::sim::{Mood, Rates};
use underfoot_tests::cut_flash::{CutFlash, SMALL};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::dice::Dice;
use underfoot_tests::small_box::{Room, SmallBox};

const HOUR: Duration = Duration::from_millis(3_600_000);
/// From one poll to the next while a desk waits for its answer: all latencies are known to this.
const ASKING: Duration = Duration::from_millis(2);

/// What was asked for, and what the display showed, each as cue numbers in the order of time.
#[derive(Default)]
struct Ledger {
    asked: Vec<u32>,
    shown: Vec<u32>,
}

impl Ledger {
    fn look(&mut self, small: &SmallBox<'_>) {
        let now = small.panel.face().and_then(|face| face.now).map(|tag| tag.number);
        if let Some(number) = now
            && self.shown.last() != Some(&number)
        {
            self.shown.push(number);
        }
    }
}

/// The waiting times at the least, the middle, the 95th and the 99th hundredth, and the most, milliseconds.
fn spread(times: &mut [u64]) -> [u64; 5] {
    times.sort_unstable();
    let at = |hundredths: usize| times[(times.len() - 1) * hundredths / 100];
    [at(0), at(50), at(95), at(99), at(100)]
}

#[test]
fn an_hour_with_one_byte_in_a_hundred_harmed_skips_doubles_and_sticks_nothing() {
    let show = demo("clock-cabinet");
    let numbers: Vec<u32> = show.cues.iter().map(|cue| cue.number).collect();
    let mut room = Room::default();
    let mut small = SmallBox::power_up(&mut room, CutFlash::fresh(SMALL));
    small.connect();
    small.bring(&packed(&show));
    assert_eq!(small.ask(Request::PackCommit), Answer::Done);
    small.step = ASKING;
    // From here on the line is bad, and as slow as a serial line: 90 bytes take a millisecond.
    let rates = Rates { delay_us: 200..3_000, ..Rates::noise(0.01) };
    small.moods = [Mood::new(rates.clone(), 0x11), Mood::new(rates, 0x22)];

    let (mut ledger, mut dice) = (Ledger::default(), Dice::new(2026));
    let (mut presses, mut looks, mut silent) = (Vec::new(), Vec::new(), 0);
    let (started, mut at) = (small.now, None::<usize>);
    while small.now.since(started) < HOUR {
        let to = match at {
            None => 0,
            Some(i) if i + 1 < numbers.len() && !(i > 0 && dice.one_in(4)) => i + 1,
            Some(i) => i - 1,
        };
        press(&mut small, at, to, (&mut presses, &mut silent), &mut ledger);
        at = Some(to);
        ledger.asked.push(numbers[to]);
        ledger.look(&small);
        assert_eq!(ledger.shown.last(), ledger.asked.last(), "stuck at {at:?}");
        look_around(&mut small, (&mut looks, &mut silent), &mut dice);
        ledger.look(&small);
    }
    assert_eq!(ledger.shown, ledger.asked, "skipped or doubled");
    let harm = small.moods.each_ref().map(Mood::harm);
    let (presses_n, looks_n) = (presses.len(), looks.len());
    let (p, l) = (spread(&mut presses), spread(&mut looks));
    println!("{presses_n} presses: least {} ms, half {}, 95 % {}, 99 % {}, most {}", p[0], p[1], p[2], p[3], p[4]);
    println!("{looks_n} looks: least {} ms, half {}, 95 % {}, 99 % {}, most {}", l[0], l[1], l[2], l[3], l[4]);
    println!(
        "{} bytes, {} harmed; {silent} requests without any answer",
        harm[0].taken + harm[1].taken,
        harm[0].total() + harm[1].total()
    );
    assert!(presses_n > 1_000 && harm[0].total() > 200 && harm[1].total() > 200, "{presses_n} {harm:?}");
    assert!(p[1] < 20 && p[2] < 1_000, "presses: {p:?}");
}

/// Presses GO or BACK as a person does who looks at the display: again when nothing came of it.
fn press(
    small: &mut SmallBox<'_>,
    at: Option<usize>,
    to: usize,
    (times, silent): (&mut Vec<u64>, &mut u32),
    ledger: &mut Ledger,
) {
    if at.is_none() {
        while small.try_ask(Request::Arm) != Some(Answer::Done) {}
    }
    let cue = CueId(to as u8);
    let request = if at.is_none_or(|i| to > i) { Request::Go { to: cue } } else { Request::Back { to: cue } };
    let pressed = small.now;
    loop {
        match small.try_ask(request) {
            Some(Answer::Done) => break,
            None => *silent += 1,
            Some(Answer::Refused(Refusal::Unreadable)) => {}
            other => panic!("{other:?} to {request:?}"),
        }
        ledger.look(small);
    }
    times.push(small.now.since(pressed).as_millis());
    small.pass(1);
}

/// Between two presses: time passes, and the desk asks how the box is.
fn look_around(small: &mut SmallBox<'_>, (times, silent): (&mut Vec<u64>, &mut u32), dice: &mut Dice) {
    let until: Instant = small.now.after(Duration::from_millis(450 + dice.below(1_500) as u64));
    while small.now < until {
        let asked = small.now;
        match small.try_ask(Request::Report) {
            Some(Answer::Report(_)) => times.push(small.now.since(asked).as_millis()),
            Some(other) => panic!("{other:?}"),
            None => *silent += 1,
        }
        // Nothing is under way: longer steps.
        small.step = Duration::from_millis(20);
        small.pass(5);
        small.step = ASKING;
    }
}
