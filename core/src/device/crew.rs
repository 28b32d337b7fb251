//! This box among the others of its show.

use super::hardware::Hardware;
use super::works::Works;
use crate::crew::{Ask, BEAT_BYTES, PATIENCE, Roster, Seat};
use crate::engine::{Input, Refused, Sense, Source, State};
use crate::look::View;
use crate::panel::Role;
use crate::ports::{CREW_PORT, Door, NetPort, Station};
use crate::show::Mode;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Begins anew among the others when this is another box, or has another show, than before.
    pub(super) fn gather(&mut self, now: Instant) {
        let seat = Seat { controller: self.setup.controller, backup: self.setup.backup };
        if self.crew.has_to_begin(seat, self.pack_crc) {
            let show = self.pack_crc.map(|pack| (pack, Roster::of(&self.memory.show)));
            self.crew.begin(seat, show, now);
        }
    }

    /// An input as the crew makes it: the stop contact of each box stops all of them.
    pub(super) fn with_mates<'i>(&mut self, input: Input<'i>, now: Instant) -> Input<'i> {
        let Input::Sense(Sense::Stop(down)) = input else { return input };
        if self.crew.stop(down, now) && down {
            self.crew.off(now);
        }
        Input::Sense(Sense::Stop(self.crew.is_stopped(now)))
    }

    /// What becomes of the state, when this box's own engine has made `stepped` of `input`. The box in charge decides;
    /// the others ask it, and are dark at once.
    pub(super) fn agree(
        &mut self,
        now: Instant,
        input: &Input<'_>,
        (stepped, verdict): (State, Result<(), Refused>),
    ) -> (State, Result<(), Refused>) {
        if is_asked_off(input) {
            self.crew.off(now);
        }
        if self.crew.decides() || is_every_boxes_own(input) {
            return (stepped, verdict);
        }
        let as_before = stepped.with_shared_of(&self.state);
        let Some(ask) = Ask::of(input) else { return (as_before, verdict) };
        // What waits to be decided may make room for this one: only the box in charge knows.
        if verdict.is_err() && !self.crew.is_asking() {
            return (as_before, verdict);
        }
        let taken = self.crew.ask(ask, now);
        (as_before, if taken { Ok(()) } else { Err(Refused::Lockout { left: PATIENCE }) })
    }

    /// Takes what another box says; false when it is damaged.
    pub(super) fn hear_crew(&mut self, bytes: &[u8], now: Instant) -> bool {
        let Ok(news) = self.crew.hear(bytes, now) else { return false };
        if news.desk {
            let _ = self.meet(now, Input::Sense(Sense::Desk));
        }
        if news.off {
            let _ = self.meet(now, Input::Off { from: Source::Crew });
        }
        if let Some(shared) = news.adopt {
            let adopted = self.state.adopt(&shared, now);
            self.become_state(adopted, &Input::Tick, Ok(()));
        }
        self.hear_changes(&news.changes);
        for ask in news.asks {
            // Whoever asked sees what came of it by the state.
            let _ = self.enter(now, ask.input());
        }
        true
    }

    /// Takes over, decides, tells the others.
    pub(super) fn crew(&mut self, now: Instant) {
        let stopped = self.crew.is_stopped(now);
        if stopped != self.state.heard.stop {
            let _ = self.meet(now, Input::Sense(Sense::Stop(stopped)));
        }
        while let Some(ask) = self.crew.take_ask() {
            let _ = self.enter(now, ask.input());
        }
        for (fault, is_there) in self.crew.faults(now) {
            if self.state.heard.broken.has(fault) != is_there {
                let _ = self.meet(now, Input::Sense(Sense::Fault(fault, is_there)));
            }
        }
        self.crew.pass(self.state.shared(now), now);
        if let Some(beat) = self.crew.beat(self.state.shared(now), now) {
            let mut bytes = [0; BEAT_BYTES];
            let len = beat.write(&mut bytes).unwrap_or(0);
            // One that finds no room is lost; the next one comes soon.
            let _ = self.net.send(Door::Crew, Station::everybody(CREW_PORT), bytes.get(..len).unwrap_or(&[]));
        }
    }

    /// What this box is to the other of its pair.
    pub(super) fn role(&self) -> Role {
        match self.crew.has_partner() {
            false => Role::Alone,
            true if self.crew.drives() => Role::Drives,
            true => Role::Follows,
        }
    }

    /// The picture that this box has to put out: nothing while the other box of its pair does.
    pub(super) fn floor_view(&self, now: Instant) -> View {
        if self.crew.drives() { self.state.view(&self.memory.show, now) } else { View::new(Mode::Off, None) }
    }
}

/// True when somebody at this box wants everything off.
const fn is_asked_off(input: &Input<'_>) -> bool {
    match input {
        Input::Off { from } => !matches!(from, Source::Crew),
        Input::Mode { mode: Some(Mode::Off), .. } => true,
        _ => false,
    }
}

/// True for what every box takes by itself, whoever is in charge: darkness, and a show that is loaded.
const fn is_every_boxes_own(input: &Input<'_>) -> bool {
    matches!(
        input,
        Input::Off { .. }
            | Input::Mode { mode: Some(Mode::Off), .. }
            | Input::Sense(Sense::Stop(true))
            | Input::Loaded { .. }
    )
}
