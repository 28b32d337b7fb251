//! What goes into the list of what happened.

use super::hardware::Hardware;
use super::works::{Works, refusal};
use crate::engine::{Fault, Input, Refused, Source, State};
use crate::link::{Happened, Refusal};
use crate::ports::{Event, PanelPort};

impl<H: Hardware> Works<'_, H> {
    /// Notes an event of the box.
    pub(super) fn note(&mut self, event: Event) {
        self.panel.note(event);
        self.memory.ring.note(happened(event));
    }

    /// Notes that somebody was refused something, and passes the reason on.
    pub(super) fn refuse(&mut self, from: Source, why: Refusal) -> Refusal {
        self.memory.ring.note(Happened::Refused { from, why });
        why
    }

    /// Notes what an input made of the engine's state.
    pub(super) fn log(&mut self, before: &State, input: &Input<'_>, verdict: Result<(), Refused>) {
        let from = source(input);
        if let (Some(from), Err(why)) = (from, verdict) {
            self.refuse(from, refusal(why));
        }
        if verdict.is_ok() {
            self.log_orders(before, input);
        }
        let state = self.state;
        if before.running && !state.running {
            self.memory.ring.note(Happened::Off { from });
        }
        if let (true, Some(from), Some(to)) = (state.advanced != before.advanced, state.by, state.cue) {
            self.memory.ring.note(Happened::Advanced { from, to });
        }
        for fault in Fault::ALL.into_iter().filter(|&fault| state.faults.has(fault) != before.faults.has(fault)) {
            self.memory.ring.note(Happened::Fault { fault, there: state.faults.has(fault) });
        }
    }

    fn log_orders(&mut self, before: &State, input: &Input<'_>) {
        match *input {
            Input::Mode { mode, from } => self.memory.ring.note(Happened::Mode { from, mode }),
            Input::Hold { on, from } if on != before.hold => self.memory.ring.note(Happened::Hold { from, on }),
            _ => {}
        }
    }
}

/// Who an input comes from; `None` for what nobody asks for.
const fn source(input: &Input<'_>) -> Option<Source> {
    match *input {
        Input::Go { from, .. }
        | Input::Back { from, .. }
        | Input::Hold { from, .. }
        | Input::Off { from }
        | Input::Arm { from }
        | Input::Mode { from, .. }
        | Input::Level { from, .. } => Some(from),
        Input::Loaded { .. } | Input::Sense(_) | Input::Tick => None,
    }
}

/// An event as the link tells it.
const fn happened(event: Event) -> Happened {
    match event {
        Event::ShowReady { pack_crc } => Happened::ShowReady { pack_crc },
        Event::NoShow => Happened::NoShow,
        Event::StoreFailed => Happened::StoreFailed,
        Event::PackRefused => Happened::PackRefused,
        Event::VersionMismatch => Happened::VersionMismatch,
        Event::BadFrame => Happened::BadFrame,
        Event::PaintFault => Happened::PaintFault,
        Event::PortFault => Happened::PortFault,
        Event::Wiped => Happened::Wiped,
        Event::SetUp => Happened::SetUp,
    }
}
