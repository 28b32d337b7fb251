//! All of the box but its serial link: what its parts have in common.
//!
//! Each part has a file of its own that adds to [`Works`]: `hands` the keys and contacts, `serve` what desks ask,
//! `network` the datagrams, `crew` the other boxes, `changes` what people changed at one of them, `shelf` the show in
//! memory and in flash, `keeping` what else outlives a power cut, `painting` the picture, `tapes` the canvases that leave
//! by the network, `telling` the panel, `log` the list of what happened.

use super::hands::Hands;
use super::hardware::{Hardware, Setup};
use super::memory::Memory;
use super::painting::Painting;
use super::tapes::Tapes;
use super::upload::Upload;
use crate::crew::{Crew, Seat};
use crate::engine::{Input, Refused, State, step};
use crate::link::Refusal;
use crate::panel::Face;
use crate::ports::{Event, FlashPort, Lamp, NetPort};
use crate::sacn;
use crate::store::{Store, StoreError};
use crate::units::Instant;

/// All but the serial link, so that a request can borrow the link's buffer while it is carried out.
pub(super) struct Works<'m, H: Hardware> {
    pub(super) memory: &'m mut Memory,
    pub(super) setup: Setup,
    pub(super) net: H::Net,
    pub(super) store: Store<H::Flash>,
    pub(super) rows: H::Rows,
    pub(super) panel: H::Panel,
    pub(super) hands: Hands,
    pub(super) state: State,
    pub(super) crew: Crew,
    pub(super) lights: sacn::Desk,
    pub(super) upload: Upload,
    pub(super) pack_crc: Option<u32>,
    pub(super) painting: Painting,
    pub(super) tapes: Tapes,
    pub(super) told: Told,
    /// The last poll did something large beside the picture.
    pub(super) strayed: bool,
    pub(super) counts: Counts,
    /// What is on the floor has changed since it was last kept.
    pub(super) unkept: bool,
    /// A page of flash could not be erased ahead of time.
    pub(super) untidy: bool,
    /// When the box starts over after a wipe.
    pub(super) restart_at: Option<Instant>,
}

/// What the panel was told last.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    pub(super) face: Option<Face>,
    pub(super) lamp: Option<Lamp>,
    pub(super) relay: bool,
}

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Counts {
    pub(super) frames: u32,
    pub(super) picture_crc: u32,
    pub(super) bad_frames: u32,
    pub(super) paint_faults: u32,
}

type FlashError<H> = <<H as Hardware>::Flash as FlashPort>::Error;

impl<'m, H: Hardware> Works<'m, H> {
    pub(super) fn new(
        memory: &'m mut Memory,
        setup: Setup,
        (net, flash, rows, panel): (H::Net, H::Flash, H::Rows, H::Panel),
        now: Instant,
    ) -> Result<Self, StoreError<FlashError<H>>> {
        let mut works = Self {
            memory,
            setup,
            net,
            store: Store::open(flash)?,
            rows,
            panel,
            hands: Hands::default(),
            state: State::power_up(),
            lights: sacn::Desk::new(),
            crew: Crew::new(Seat { controller: setup.controller, backup: setup.backup }),
            upload: Upload::default(),
            pack_crc: None,
            painting: Painting::default(),
            tapes: Tapes::new(setup),
            told: Told::default(),
            strayed: false,
            counts: Counts::default(),
            unkept: false,
            untidy: false,
            restart_at: None,
        };
        works.recall();
        works.restore();
        let held = works.held();
        let _ = works.enter(now, Input::Loaded { held });
        Ok(works)
    }

    /// Is the box that `setup` says.
    pub(super) fn settle(&mut self, setup: Setup) {
        self.setup = setup;
        if self.net.settle(setup.address).is_err() {
            self.note(Event::PortFault);
        }
    }

    /// Hands `input` to the engine. All that changes the state comes this way.
    pub(super) fn enter(&mut self, now: Instant, input: Input<'_>) -> Result<(), Refused> {
        let input = self.with_mates(input, now);
        self.meet(now, input)
    }

    /// Hands on what is no longer this box's own to tell the others.
    pub(super) fn meet(&mut self, now: Instant, input: Input<'_>) -> Result<(), Refused> {
        let (stepped, output) = step(self.state, &self.memory.show, now, input);
        self.unkept |= output.keep;
        let (state, verdict) = self.agree(now, &input, (stepped, output.verdict));
        self.become_state(state, &input, verdict);
        verdict
    }

    /// The state is `state` from now on.
    pub(super) fn become_state(&mut self, state: State, input: &Input<'_>, verdict: Result<(), Refused>) {
        let before = core::mem::replace(&mut self.state, state);
        self.unkept |= before.kept() != state.kept();
        self.log(&before, input, verdict);
    }

    /// Lets time pass in the engine.
    pub(super) fn pass(&mut self, now: Instant) {
        let _ = self.enter(now, Input::Tick);
    }

    /// The show changed: what is on the floor belongs to another one.
    pub(super) fn floor_changed(&mut self) {
        self.painting.forget();
        self.tapes.forget();
    }

    pub(super) fn bad_frame(&mut self) {
        self.counts.bad_frames = self.counts.bad_frames.wrapping_add(1);
        self.note(Event::BadFrame);
    }
}

/// An engine's refusal as the link tells it.
pub(super) fn refusal(why: Refused) -> Refusal {
    match why {
        Refused::NoShow => Refusal::NoShow,
        Refused::NotShown { shown } => Refusal::NotShown { shown },
        Refused::Lockout { left } => {
            // Rounded up: who waits this long is not refused again.
            Refusal::Lockout { left_ms: u16::try_from(left.as_micros().div_ceil(1000)).unwrap_or(u16::MAX) }
        }
        Refused::NotArmed => Refusal::NotArmed,
        Refused::Held => Refusal::Held,
        Refused::Stopped => Refusal::Stopped,
        Refused::OnAir => Refusal::OnAir,
    }
}
