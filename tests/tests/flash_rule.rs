//! Nothing flashes: whatever is pressed, and however fast, the light of every single thing goes up and down at most
//! twice within any second, and no large area comes at once.
//!
//! WCAG 2.2 SC 2.3.1 (normative definition): a flash is a pair of opposing changes of relative luminance of 0.1 or more;
//! more than three within one second fail. ITU-R BT.1702 has the same three. The house rule is two.

use std::collections::BTreeMap;

use underfoot_core::engine::{Input, Sense, Source, State, step};
use underfoot_core::look::{MarkState, Things, View, marks, pulse};
use underfoot_core::show::{Cue, CueId, Mode, Show};
use underfoot_core::units::{Duration, Instant};
use underfoot_tests::device::shows::demo;
use underfoot_tests::dice::Dice;

/// A change of relative luminance that counts (WCAG 2.2).
const COUNTS: f64 = 0.1;
/// Opposing changes within one second: two flashes are four, and a fifth makes no third flash.
const MOST: usize = 5;
/// The pulse of the show under test, hertz: a show may ask for more than is allowed.
const ASKED_HZ: f32 = 7.0;

/// Something that is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    Mark(u8),
    Prop(u8),
    Edges,
}

/// Light of a drive of 0 to 255 on a floor of gamma 2.4 (BT.1886).
fn luminance(drive: f64) -> f64 {
    (drive / 255.0).powf(2.4)
}

/// Relative luminance of everything that a view draws, by what each mode draws (`core/docs/look.md`).
fn lit(show: &Show, view: &View) -> BTreeMap<Thing, f64> {
    let cue = |index: usize| show.cues.get(index);
    let now = view.cue.and_then(|id| cue(id.index()));
    let next = cue(view.cue.map_or(0, |id| id.index() + 1));
    let mut all = BTreeMap::new();
    let drive = |is_fresh: bool, share: f64| {
        f64::from(view.level) * share * if is_fresh { f64::from(view.fade) / 255.0 } else { 1.0 }
    };
    let mut add = |cue: &Cue, shown: (u64, u32), has_state: bool| {
        for place in show.places_in(cue) {
            let Some(mark) = place.mark.filter(|m| shown.0 >> m.0 & 1 == 1) else { continue };
            let share = match view.states.of(place.person) {
                _ if !has_state => 1.0,
                state if state.pulses() => f64::from(pulse::envelope(view.pulse)) / 255.0,
                MarkState::Arrived => f64::from(marks::ARRIVED) / 255.0,
                _ => 1.0,
            };
            all.insert(Thing::Mark(mark.0), luminance(drive(view.fresh.mark(mark), share)));
        }
        for state in show.props_in(cue).iter().filter(|p| shown.1 >> p.prop.0 & 1 == 1) {
            all.insert(Thing::Prop(state.prop.0), luminance(drive(view.fresh.prop(state.prop), 1.0)));
        }
    };
    const ALL: (u64, u32) = (u64::MAX, u32::MAX);
    match view.mode {
        Mode::Brief => now.into_iter().chain(next).for_each(|cue| add(cue, ALL, false)),
        Mode::Standby => now.into_iter().for_each(|cue| add(cue, ALL, true)),
        Mode::Reset => next.into_iter().for_each(|cue| add(cue, ALL, false)),
        Mode::Air => now.into_iter().for_each(|cue| add(cue, (view.shown.marks, view.shown.props), true)),
        Mode::Build | Mode::Off | Mode::Worklight => {}
    }
    if !matches!(view.mode, Mode::Off | Mode::Air) {
        all.insert(Thing::Edges, luminance(drive(view.fresh.rest & Things::EDGES != 0, 1.0)));
    }
    all
}

/// Finds opposing changes in the light of one thing: from one peak or valley to the next, each of [`COUNTS`] or more.
#[derive(Clone, Debug, Default)]
struct Watch {
    low: f64,
    high: f64,
    goes_up: Option<bool>,
    /// When changes were complete, microseconds.
    changes: Vec<u64>,
}

impl Watch {
    fn see(&mut self, light: f64, now: u64) {
        (self.low, self.high) = (self.low.min(light), self.high.max(light));
        let (up, down) = (light - self.low >= COUNTS, self.high - light >= COUNTS);
        if up && self.goes_up != Some(true) {
            (self.goes_up, self.high) = (Some(true), light);
            self.changes.push(now);
        } else if down && self.goes_up != Some(false) {
            (self.goes_up, self.low) = (Some(false), light);
            self.changes.push(now);
        }
        if self.goes_up == Some(true) {
            self.low = self.high;
        }
        if self.goes_up == Some(false) {
            self.high = self.low;
        }
        (self.low, self.high) = (self.low.min(light), self.high.max(light));
    }

    /// Most opposing changes within less than a second.
    fn most(&self) -> usize {
        let within = |&from: &u64| self.changes.iter().filter(|&&at| at >= from && at - from < 1_000_000).count();
        self.changes.iter().map(within).max().unwrap_or(0)
    }
}

/// A hand that presses whatever may flash.
fn press(dice: &mut Dice, state: &State, show: &Show) -> Input<'static> {
    let from = Source::Keys;
    let modes = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Worklight];
    let unseen = Sense::Unseen { marks: dice.bits() | dice.bits(), props: dice.bits() as u32 };
    match dice.below(16) {
        0..4 => Input::Go { to: state.next(show).unwrap_or(CueId(0)), from },
        4..6 => Input::Back { to: state.back(show).unwrap_or(CueId(0)), from },
        6 => Input::Off { from },
        7..9 => Input::Arm { from },
        9..11 => Input::Mode { mode: (!dice.one_in(3)).then(|| modes[dice.below(modes.len())]), from },
        11 => Input::Level { level: [1, 255][dice.below(2)], from },
        12 => Input::Sense(Sense::OnAir(dice.one_in(2))),
        13..15 => Input::Sense(unseen),
        _ => Input::Tick,
    }
}

/// Presses for two minutes, and looks at every frame and every press.
fn watch(seed: u64, show: &Show, hurry_ms: usize) -> BTreeMap<Thing, Watch> {
    let (mut dice, mut state, mut now) = (Dice::new(seed), State::power_up(), 0_u64);
    let mut watches = BTreeMap::<Thing, Watch>::new();
    let mut press_at = 0;
    while now < 120_000_000 {
        now += 10_000;
        let at = Instant::from_micros(now);
        let input = if now >= press_at {
            press_at = now + 1_000 * dice.below(hurry_ms) as u64;
            press(&mut dice, &state, show)
        } else {
            Input::Tick
        };
        state = step(state, show, at, input).0;
        let lights = lit(show, &state.view(show, at));
        for (thing, light) in &lights {
            watches.entry(*thing).or_default().see(*light, now);
        }
        let dark = watches.iter_mut().filter(|(thing, _)| !lights.contains_key(thing));
        dark.for_each(|(_, watch)| watch.see(0.0, now));
    }
    watches
}

#[test]
fn nothing_flashes_whatever_is_pressed() {
    let mut changes = 0;
    for (i, name) in ["clock-cabinet", "harbour-hour"].into_iter().enumerate() {
        let mut show = demo(name);
        show.look.pulse_hz = ASKED_HZ;
        for wired in [false, true] {
            show.control.on_air_contact = wired;
            // In a hurry, and so slowly that marks pulse between presses.
            for hurry_ms in [20, 90, 450, 6_000] {
                let seed = 0xF1A5 + (i * 100 + hurry_ms) as u64;
                for (thing, watch) in watch(seed, &show, hurry_ms) {
                    let most = watch.most();
                    assert!(
                        most <= MOST,
                        "{name}, a press each {hurry_ms} ms: {thing:?} changes {most} times a second"
                    );
                    changes += watch.changes.len();
                }
            }
        }
    }
    assert!(changes > 1_000, "only {changes} changes of light: the hand presses too little");
}

#[test]
fn a_light_that_blinks_is_caught() {
    let blink = |period_ms: u64| {
        let mut watch = Watch::default();
        for ms in 0..3_000 {
            watch.see(if ms % period_ms < period_ms / 2 { 1.0 } else { 0.0 }, ms * 1_000);
        }
        watch.most()
    };
    assert!(blink(250) > MOST, "4 Hz");
    assert!(blink(330) > MOST, "3 Hz");
    assert!(blink(500) <= MOST, "2 Hz");
}

#[test]
fn no_large_area_comes_at_once() {
    let show = demo("clock-cabinet");
    let (mut state, from) = (State::power_up(), Source::Keys);
    for input in [Input::Arm { from }, Input::Mode { mode: Some(Mode::Worklight), from }] {
        state = step(state, &show, Instant::from_millis(10_000), input).0;
    }
    let level = |ms: u64| state.view(&show, Instant::from_millis(10_000 + ms)).floor_level;
    assert_eq!((level(0), level(1_000), level(2_000)), (0, underfoot_core::look::view::FLOOR_LEVEL / 2, 70));
    // At the steepest, half a cosine wave of 2 s goes by pi / 4 of its height in a second: 1.1 of 70 a frame.
    let steps: Vec<u8> = (0..2_500).step_by(20).map(level).collect();
    assert!(steps.windows(2).all(|w| w[1] >= w[0] && w[1] - w[0] <= 2), "{steps:?}");
    // A picture of lines comes in 450 ms: a 22nd of its light a frame.
    let at = |ms: u64| Instant::from_millis(20_000).after(Duration::from_millis(ms));
    let lit = step(state, &show, at(0), Input::Go { to: CueId(0), from }).0;
    let fades: Vec<u8> = (0..500).step_by(20).map(|ms| lit.view(&show, at(ms)).fade).collect();
    assert_eq!((fades.first(), fades.last()), (Some(&0), Some(&255)));
    assert!(fades.windows(2).all(|w| w[1] >= w[0] && w[1] - w[0] <= 13), "{fades:?}");
}
