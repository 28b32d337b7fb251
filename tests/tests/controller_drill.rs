//! Lantern Field on its four controllers, and the south-east one is unplugged 80 s into the running show: the others'
//! rows are what they are without that, bit for bit; the loss is said within 1 s; the box that comes back is in the right
//! state within 5 s (the drill of the arena show).

use std::path::Path;

use underfoot_core::device::Setup;
use underfoot_core::engine::{Fault, State};
use underfoot_core::limits;
use underfoot_core::pack;
use underfoot_core::ports::{Address, Key};
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::project;
use underfoot_sim::sim::{Boxes, Rooms, Shown, Weather};

const SE: usize = 3;
/// The show's seconds at which the running order has GO, and the one at which the box is unplugged.
const CUES_S: [u64; 4] = [5, 40, 60, 90];
const UNPLUGGED_S: u64 = 80;
/// When it gets power again.
const BACK_S: u64 = 95;

/// Within this of each other the boxes take a cue: the way of a datagram, two of them lost, and a poll.
const TOGETHER: Duration = Duration::from_millis(100);
/// Starts of a cue may differ by this between boxes.
const SAME_START: Duration = Duration::from_millis(10);
/// Pictures may differ by this between a box that came back and one that was never away: what starts may, a poll, and what
/// the painter needs. A frame of the show takes 40 ms.
const IN_STEP: Duration = Duration::from_millis(20);
/// From power until what came on has faded in: listening, two lost beats and the fade.
const FADED_IN: Duration = Duration::from_millis(1_000);

fn demo() -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos/lantern-field-clean.toml");
    let show = project::load(&path).expect("a demo that loads").show;
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&show, &mut bytes).expect("a demo that fits");
    bytes.truncate(len);
    bytes
}

fn millis(ms: u64) -> Duration {
    Duration::from_millis(ms)
}

/// What was seen while the south-east box was away and when it came back.
#[derive(Debug, Default)]
struct Seen {
    /// From the pulled plug until each of the others said so.
    said: [Option<Duration>; 3],
    /// From power until the box was in the others' state.
    rejoined: Option<Duration>,
}

fn power_up(boxes: &mut Boxes<'_>) {
    for i in 0..boxes.len() {
        boxes.power_on(i);
        boxes.run(millis(7), |_| {});
    }
    boxes.run(millis(1_000), |_| {});
    // Armed at the first box; the first GO of the running order then leaves OFF.
    boxes.press(0, Key::Hold, millis(750));
    boxes.run(millis(1_000), |_| {});
}

/// Runs the show for 100 s from a moment after power-up; with or without the south-east box being unplugged.
fn play(pack: &[u8], unplug: bool, seen: &mut Seen) -> (Instant, [Vec<Shown>; 4]) {
    let mut rooms = Rooms::new(4);
    let setups =
        [1, 2, 3, 4].map(|controller| Setup { controller, backup: false, address: Address::of_box(controller, false) });
    let mut boxes = Boxes::new(&mut rooms, &setups, pack, 3, Weather::ROUGH);
    power_up(&mut boxes);
    let zero = boxes.now();
    for second in 0..100 {
        if CUES_S.contains(&second) {
            // The floor manager's box is the north-west one; every second press comes from another box.
            boxes.press(if second == 40 { 1 } else { 0 }, Key::Go, millis(90));
        }
        if unplug && second == UNPLUGGED_S {
            boxes.power_off(SE);
        }
        if unplug && second == BACK_S {
            boxes.power_on(SE);
        }
        boxes.run(millis(1_000), |boxes| seen.look(boxes, zero));
        assert_eq!(cues(&boxes, unplug && (UNPLUGGED_S..BACK_S).contains(&second)), [due(second); 4]);
    }
    (zero, [0, 1, 2, 3].map(|i| boxes.output(i).history()))
}

/// The cue that the running order has after a second of the show; the box without power counts as right.
fn due(second: u64) -> Option<u8> {
    CUES_S.iter().filter(|at| **at <= second).count().checked_sub(1).map(|cue| cue as u8)
}

fn cues(boxes: &Boxes<'_>, without_se: bool) -> [Option<u8>; 4] {
    let shown = |i| boxes.with(i, |b| b.state().shown()).flatten().map(|cue| cue.0);
    [0, 1, 2, 3].map(|i| shown(if without_se && i == SE { 0 } else { i }))
}

impl Seen {
    fn look(&mut self, boxes: &Boxes<'_>, zero: Instant) {
        let now = boxes.now();
        let (cut, back) = (zero.after(millis(UNPLUGGED_S * 1_000)), zero.after(millis(BACK_S * 1_000)));
        if (cut..back).contains(&now) {
            for (i, said) in self.said.iter_mut().enumerate() {
                let says = boxes.with(i, |b| b.state().faults.has(Fault::Controller)) == Some(true);
                if says && said.is_none() && boxes.with(SE, |_| ()).is_none() {
                    let named = boxes.with(i, |b| b.crew().lost_controller(boxes.time_of(i)));
                    assert_eq!(named, Some(Some(4)), "and which one");
                    *said = Some(now.since(cut));
                }
            }
        }
        if now > back && self.rejoined.is_none() && is_in_step(boxes) {
            self.rejoined = Some(now.since(back));
        }
    }
}

/// True when the south-east box is in the state of the first one.
fn is_in_step(boxes: &Boxes<'_>) -> bool {
    let state = |i| boxes.with(i, |b| (*b.state(), boxes.time_of(i)));
    let (Some((ours, our_time)), Some((theirs, their_time))) = (state(SE), state(0)) else { return false };
    let what = |s: &State| (s.mode, s.running, s.cue, s.over, s.hold, s.level, s.faults.has(Fault::Controller));
    let (since, their_since) = (our_time.since(ours.since), their_time.since(theirs.since));
    what(&ours) == what(&theirs) && since.as_micros().abs_diff(their_since.as_micros()) <= SAME_START.as_micros()
}

/// What a box showed, without the moments.
fn pictures(shown: &[Shown]) -> Vec<(u8, Option<u32>)> {
    shown.iter().map(|s| (s.canvas, s.picture)).collect()
}

/// Once its marks have faded in, every picture of the box that came back is the one it would have had, within less than
/// a frame of the show.
fn shows_its_own_again(with: &[Shown], without: &[Shown], back: Instant) {
    let later: Vec<_> = with.iter().filter(|s| s.from >= back.after(FADED_IN)).collect();
    assert!(later.len() > 50, "lanterns move and marks pulse: {}", later.len());
    for shown in later {
        let is_same = |other: &&Shown| (other.canvas, other.picture) == (shown.canvas, shown.picture);
        let apart =
            without.iter().filter(is_same).map(|o| o.from.since(shown.from).max(shown.from.since(o.from))).min();
        let ms = shown.from.since(back).as_millis();
        assert!(apart.is_some_and(|apart| apart <= IN_STEP), "{ms} ms after power: {apart:?}");
    }
}

#[test]
fn a_controller_unplugged_disturbs_no_other_and_comes_back_in_step() {
    let pack = demo();
    let mut seen = Seen::default();
    let (zero, with) = play(&pack, true, &mut seen);
    let (same_zero, without) = play(&pack, false, &mut Seen::default());
    assert_eq!(zero, same_zero);
    for i in 0..SE {
        assert_eq!(pictures(&with[i]), pictures(&without[i]), "rows of controller {}", i + 1);
        assert!(with[i].len() >= CUES_S.len(), "it shows something");
        for (a, b) in with[i].iter().zip(&without[i]) {
            let apart = a.from.since(b.from).max(b.from.since(a.from));
            assert!(apart <= TOGETHER, "controller {}: {} and {} ms", i + 1, a.from.as_millis(), b.from.as_millis());
        }
    }
    shows_its_own_again(&with[SE], &without[SE], zero.after(millis(BACK_S * 1_000)));
    let dark = with[SE].iter().find(|s| s.from >= zero.after(millis(UNPLUGGED_S * 1_000))).expect("a change");
    assert_eq!(dark.picture, None, "without power its floor has no layer");
    println!(
        "said after {:?} ms, rejoined after {:?} ms",
        seen.said.map(|s| s.map(Duration::as_millis)),
        seen.rejoined.map(Duration::as_millis)
    );
    assert!(seen.said.iter().all(|said| said.is_some_and(|after| after <= millis(1_000))));
    assert!(seen.rejoined.is_some_and(|after| after <= millis(5_000)));
}
