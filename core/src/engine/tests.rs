use super::*;
use crate::show::{CueId, Mode, Show};
use crate::test_support::samples;
use crate::units::{Duration, Instant};

const KEYS: Source = Source::Keys;

struct Bench {
    show: Show,
    state: State,
    now: Instant,
}

impl Bench {
    fn new() -> Self {
        Self { show: samples::small(), state: State::power_up(), now: Instant::from_millis(5_000) }
    }

    fn press(&mut self, input: Input<'_>) -> Result<(), Refused> {
        let (state, output) = step(self.state, &self.show, self.now, input);
        self.state = state;
        output.verdict
    }

    fn wait(&mut self, millis: u64) -> &mut Self {
        self.now = self.now.after(Duration::from_millis(millis));
        self
    }

    fn go(&mut self, to: u8) -> Result<(), Refused> {
        self.press(Input::Go { to: CueId(to), from: KEYS })
    }

    fn running_at(cue: u8) -> Self {
        let mut bench = Self::new();
        bench.press(Input::Arm { from: KEYS }).unwrap();
        for to in 0..=cue {
            bench.go(to).unwrap();
            bench.wait(400);
        }
        bench
    }
}

#[test]
fn power_up_is_off_and_go_alone_does_not_leave_it() {
    let mut bench = Bench::new();
    assert_eq!(bench.state.mode, Mode::Off);
    assert_eq!(bench.go(0), Err(Refused::NotArmed));
    bench.press(Input::Arm { from: KEYS }).unwrap();
    assert_eq!(bench.go(0), Ok(()));
    assert_eq!((bench.state.mode, bench.state.cue), (Mode::Brief, Some(CueId(0))));
}

#[test]
fn arming_runs_out_after_ten_seconds() {
    let mut bench = Bench::new();
    bench.press(Input::Arm { from: KEYS }).unwrap();
    assert_eq!(bench.wait(10_000).go(0), Err(Refused::NotArmed));
    bench.press(Input::Arm { from: KEYS }).unwrap();
    assert_eq!(bench.wait(9_999).go(0), Ok(()));
}

#[test]
fn go_is_absolute() {
    let mut bench = Bench::running_at(0);
    assert_eq!(bench.go(2), Err(Refused::NotShown { shown: Some(CueId(1)) }));
    assert_eq!(bench.go(1), Ok(()));
    // A double press and a press that crossed another on the way: same cue, no skip, no error.
    assert_eq!(bench.go(1), Ok(()));
    assert_eq!(bench.wait(1_000).go(1), Ok(()));
    assert_eq!(bench.state.cue, Some(CueId(1)));
}

#[test]
fn no_advance_within_400_ms_of_any_advance() {
    let mut bench = Bench::running_at(0);
    bench.go(1).unwrap();
    let left = Duration::from_millis(1);
    assert_eq!(bench.wait(399).go(2), Err(Refused::Lockout { left }));
    assert_eq!(bench.press(Input::Back { to: CueId(0), from: KEYS }), Err(Refused::Lockout { left }));
    assert_eq!(bench.wait(1).go(2), Ok(()));
}

#[test]
fn back_leads_to_the_cue_before_and_not_before_the_first() {
    let mut bench = Bench::running_at(1);
    assert_eq!(bench.press(Input::Back { to: CueId(0), from: KEYS }), Ok(()));
    assert_eq!(bench.wait(400).press(Input::Back { to: CueId(1), from: KEYS }), Err(Refused::NotShown { shown: None }));
}

#[test]
fn the_last_cue_has_no_next() {
    let mut bench = Bench::running_at(2);
    assert_eq!(bench.state.next(&bench.show), None);
    assert_eq!(bench.go(3), Err(Refused::NotShown { shown: None }));
}

#[test]
fn off_is_obeyed_even_in_the_lockout_and_two_steps_restore_the_cue() {
    let mut bench = Bench::running_at(0);
    bench.go(1).unwrap();
    assert_eq!(bench.press(Input::Off { from: KEYS }), Ok(()));
    assert_eq!((bench.state.mode, bench.state.shown()), (Mode::Off, None));
    assert_eq!(bench.wait(400).go(1), Err(Refused::NotArmed));
    bench.press(Input::Arm { from: KEYS }).unwrap();
    assert_eq!(bench.go(2), Err(Refused::NotShown { shown: Some(CueId(1)) }));
    assert_eq!(bench.go(1), Ok(()));
    assert_eq!(bench.state.mode, Mode::Standby);
}

#[test]
fn a_new_show_is_off_and_forgets_the_old_cue() {
    let mut bench = Bench::running_at(2);
    bench.press(Input::Loaded { held: None }).unwrap();
    let outlook = bench.state.outlook(&bench.show, bench.now);
    assert_eq!((outlook.mode, outlook.now, outlook.next, outlook.gate), (Mode::Off, None, Some(CueId(0)), Gate::Off));
    assert_eq!((bench.state.cue, bench.state.kept()), (None, None));
}

#[test]
fn without_a_show_nothing_advances() {
    let mut bench = Bench { show: Show::default(), ..Bench::new() };
    assert_eq!(bench.press(Input::Arm { from: KEYS }), Err(Refused::NoShow));
    assert_eq!(bench.go(0), Err(Refused::NoShow));
    assert_eq!(bench.press(Input::Off { from: KEYS }), Ok(()));
}

#[test]
fn only_a_change_has_to_be_kept() {
    let show = samples::small();
    let armed = step(State::power_up(), &show, Instant::ZERO, Input::Arm { from: KEYS }).0;
    let (on, output) = step(armed, &show, Instant::ZERO, Input::Go { to: CueId(0), from: KEYS });
    assert!(output.keep);
    assert!(!step(on, &show, Instant::ZERO, Input::Go { to: CueId(0), from: KEYS }).1.keep);
    assert!(!step(on, &show, Instant::ZERO, Input::Tick).1.keep);
    assert!(step(on, &show, Instant::ZERO, Input::Off { from: KEYS }).1.keep);
}

#[test]
fn the_level_dims_the_view_and_never_wipes_it() {
    let mut bench = Bench::running_at(0);
    assert_eq!(bench.state.view(&bench.show, bench.now).level, 255);
    bench.press(Input::Level { level: 140, from: Source::Slots }).unwrap();
    assert_eq!(bench.state.view(&bench.show, bench.now).level, 140);
    bench.go(1).unwrap();
    assert_eq!(bench.state.view(&bench.show, bench.now).level, 140, "a cue leaves it");
    bench.press(Input::Level { level: 0, from: Source::Slots }).unwrap();
    assert_eq!(bench.state.view(&bench.show, bench.now).level, 1);
}

#[test]
fn the_state_stays_small() {
    let bytes = core::mem::size_of::<State>();
    assert!(bytes <= 700, "{bytes} bytes: it is copied with every step");
    let bytes = core::mem::size_of::<crate::look::View>();
    assert!(bytes <= 384, "{bytes} bytes: it is copied with every canvas");
}
