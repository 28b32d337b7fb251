//! The only thing that changes the engine's state.

use super::calls::Calls;
use super::faults::Fault;
use super::heard::Heard;
use super::input::{Input, Source};
use super::output::{Output, Refused};
use super::state::{ARM, State};
use super::table::{self, Then};
use crate::show::{CueId, Mode, Show};
use crate::units::{Duration, Instant};

/// What came of an input.
type Verdict = Result<(), Refused>;

/// The state and what has to be done after `input` at `now`. Pure: equal arguments give equal results.
pub fn step(state: State, show: &Show, now: Instant, input: Input<'_>) -> (State, Output) {
    let mut next = state;
    // What time alone has brought comes first: an input meets the state of its own moment.
    next.settle(show, now);
    let verdict = next.take(show, now, input);
    next.settle(show, now);
    (next, Output { verdict, keep: next.kept() != state.kept() })
}

impl State {
    fn take(&mut self, show: &Show, now: Instant, input: Input<'_>) -> Verdict {
        match input {
            Input::Off { .. } => self.off(),
            Input::Loaded { held } => self.load(show, held),
            Input::Arm { .. } => return self.arm(show, now),
            Input::Go { to, from } => return self.advance(show, now, (to, from), self.next(show)),
            Input::Back { to, from } => return self.advance(show, now, (to, from), self.back(show)),
            Input::Hold { on, from } => return self.hold(on, from),
            Input::Mode { mode, .. } => return self.ask_mode(show, now, mode),
            Input::Level { level, .. } => self.level = level.max(1),
            Input::Sense(sense) => self.sense(show, now, &sense),
            Input::Tick => {}
        }
        Ok(())
    }

    fn off(&mut self) {
        *self = Self { running: false, held: false, armed_until: None, over: None, ..*self };
    }

    /// Another show: what was sensed of no show in particular stays, and so does the time since the last advance.
    fn load(&mut self, show: &Show, held: Option<CueId>) {
        let cue = held.filter(|id| id.index() < show.cues.len());
        let heard = Heard { presence: None, judged: false, in_the_way: false, ..self.heard };
        let Self { advanced, level, lights, calls, .. } = *self;
        *self = Self { heard, advanced, level, lights, calls, cue, held: cue.is_some(), ..Self::power_up() };
    }

    fn arm(&mut self, show: &Show, now: Instant) -> Verdict {
        if show.cues.is_empty() {
            return Err(Refused::NoShow);
        }
        if self.heard.stop {
            return Err(Refused::Stopped);
        }
        self.armed_until = (!self.running).then_some(now.after(ARM));
        Ok(())
    }

    fn hold(&mut self, on: bool, from: Source) -> Verdict {
        let keys = from == Source::Keys;
        if !on && self.hold && self.hold_by_keys && !keys {
            return Err(Refused::Held);
        }
        self.hold_by_keys = on && (keys || (self.hold && self.hold_by_keys));
        self.hold = on;
        Ok(())
    }

    fn advance(&mut self, show: &Show, now: Instant, (to, from): (CueId, Source), shown: Option<CueId>) -> Verdict {
        if show.cues.is_empty() {
            return Err(Refused::NoShow);
        }
        // A second press for the cue that is already there is obeyed and changes nothing.
        if self.shown() == Some(to) {
            return Ok(());
        }
        self.may_leave(now, from)?;
        if shown != Some(to) {
            return Err(Refused::NotShown { shown });
        }
        self.enter(now, to, from);
        Ok(())
    }

    /// Whether `from` may change what the running order shows.
    fn may_leave(&self, now: Instant, from: Source) -> Verdict {
        if self.heard.stop {
            return Err(Refused::Stopped);
        }
        if self.hold && from != Source::Keys {
            return Err(Refused::Held);
        }
        if let Some(left) = self.lockout_left(now) {
            return Err(Refused::Lockout { left });
        }
        let open = self.running || ((self.held || self.is_armed(now)) && from != Source::Timecode);
        if open { Ok(()) } else { Err(Refused::NotArmed) }
    }

    /// Begins a cue.
    pub(super) fn enter(&mut self, now: Instant, to: CueId, from: Source) {
        self.leave_off();
        self.cue = Some(to);
        self.since = now;
        self.advanced = Some(now);
        self.by = Some(from);
    }

    fn leave_off(&mut self) {
        *self = Self { running: true, held: false, armed_until: None, over: None, ..*self };
    }

    /// A mode beside the cue's own. It is no advance, so that HOLD and the lockout leave it alone.
    fn ask_mode(&mut self, show: &Show, now: Instant, mode: Option<Mode>) -> Verdict {
        if mode == Some(Mode::Off) {
            self.off();
            return Ok(());
        }
        if show.cues.is_empty() {
            return Err(Refused::NoShow);
        }
        if self.heard.stop {
            return Err(Refused::Stopped);
        }
        if !self.running && !self.is_armed(now) {
            return Err(Refused::NotArmed);
        }
        if mode.is_some_and(|mode| !self.may_show(show, now, mode)) {
            return Err(Refused::OnAir);
        }
        if !self.running {
            self.leave_off();
            self.since = now;
        }
        self.over = mode;
        self.over_since = now;
        Ok(())
    }

    /// Whether the on-air light lets `mode` be asked for; without one the mode on the floor tells of WORKLIGHT.
    fn may_show(&self, show: &Show, now: Instant, mode: Mode) -> bool {
        match mode {
            Mode::Air => true,
            _ if show.control.on_air_contact => self.heard.light(now) == Some(false),
            Mode::Worklight => self.mode != Mode::Air,
            _ => true,
        }
    }

    /// Works out what follows from everything: what is wrong, what that does, and the mode.
    fn settle(&mut self, show: &Show, now: Instant) {
        if self.heard.stop {
            self.off();
        }
        self.follow_timecode(show, now);
        let before = self.faults;
        self.faults = self.missed(show, now);
        for lost in self.faults.new_since(before).iter() {
            self.lose(now, lost);
        }
        self.end_reset(show, now);
        self.mode = self.mode_of(show, now);
        self.call(show);
        self.light(show, now);
    }

    /// Works out who is called when another cue is on the floor.
    fn call(&mut self, show: &Show) {
        let (before, now) = (self.calls.cue, self.shown());
        if before == now {
            return;
        }
        let cue = |id: Option<CueId>| show.cues.get(id?.index());
        let next = cue(now.and_then(|_| self.next(show)));
        self.feet.keep_those_who_stay(show, cue(before), cue(now));
        self.heard.judged = false;
        self.calls = Calls::of(show, (now, cue(now)), next);
    }

    /// Does what the table says of something that has just been lost.
    fn lose(&mut self, now: Instant, lost: Fault) {
        match self.then(lost) {
            Then::FallToAir => self.fall_to_air(now),
            // A RESET that was left does not come back by itself.
            Then::Air if self.mode == Mode::Reset => self.fall_to_air(now),
            Then::Off => {
                self.off();
                self.cue = None;
            }
            Then::Held => {
                self.off();
                self.held = self.cue.is_some();
            }
            // As long as they last; the mode and the view look at the fault itself.
            Then::Air | Then::Blank | Then::HoldCue | Then::Keep => {}
        }
    }

    /// What the table says of `lost` in the mode on the floor. A cue that keeps the floor dark is not OFF: as in AIR,
    /// nobody may see anything, and the running order goes on.
    pub(super) fn then(&self, lost: Fault) -> Then {
        let dark_cue = self.running && self.mode == Mode::Off;
        table::then(if dark_cue { Mode::Air } else { self.mode }, lost)
    }

    fn fall_to_air(&mut self, now: Instant) {
        self.over = Some(Mode::Air);
        self.over_since = now;
    }

    /// RESET ends before the time limit, and for good when the on-air light is lit.
    fn end_reset(&mut self, show: &Show, now: Instant) {
        if self.mode != Mode::Reset || !self.running {
            return;
        }
        let late = self.reset_left(show, now) == Some(Duration::ZERO);
        let on_air = show.control.on_air_contact && self.heard.light(now) != Some(false);
        if late || on_air {
            self.fall_to_air(now);
        }
    }

    fn mode_of(&mut self, show: &Show, now: Instant) -> Mode {
        if !self.running {
            return Mode::Off;
        }
        let light = if show.control.on_air_contact { self.heard.light(now) } else { Some(false) };
        if light != Some(false) && self.over != Some(Mode::Air) {
            self.over = None;
        }
        let cue = self.cue.and_then(|id| show.cues.get(id.index()));
        let own = self.over.or(cue.map(|cue| cue.mode)).unwrap_or(Mode::Off);
        let lost = |fault: Fault| self.faults.has(fault) && table::then(own, fault) == Then::Air;
        let on_air = light == Some(true) || Fault::ALL.into_iter().any(lost);
        if on_air && own != Mode::Off { Mode::Air } else { own }
    }
}
