//! The rules' own writing beside the box: what is entered is what people did, and what it says is what must be there.

use underfoot_core::device::Device;
use underfoot_core::engine::{Fault, Gate, Reveal, Source, State};
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_core::units::Instant;

use super::ports::Soaked;
use crate::rules::{Book, Door, Event, Floor, Hand, No, Plan, Step, Word};

/// The floor manager's book, kept from outside.
#[derive(Clone, Debug)]
pub struct Model {
    book: Book,
    show: Box<Show>,
}

impl Model {
    /// At power-up, with a show that is loaded.
    pub fn new(show: Box<Show>) -> Self {
        let steps = show.cues.iter();
        // Harbour Hour has no timecode.
        let step =
            steps.map(|cue| Step { floor: floor(cue.mode), frame: None, limit: u64::from(cue.time_limit_ms) * 1_000 });
        let rate = (show.frame_rate.num.into(), show.frame_rate.den.into());
        let plan = Plan { steps: step.collect(), has_light: show.control.on_air_contact, rate };
        Self { book: Book::new(plan), show }
    }

    /// Does what happens.
    ///
    /// # Errors
    /// Why it is not done.
    pub fn enter(&mut self, now: Instant, event: Event) -> Result<(), No> {
        self.book.enter(now.as_micros(), event)
    }

    /// The book as it is.
    pub const fn book(&self) -> &Book {
        &self.book
    }

    /// Number of a cue in the show, hundredths.
    pub fn number(&self, cue: usize) -> u32 {
        self.show.cues[cue].number
    }

    /// What the box says otherwise than the book.
    pub fn differs(&mut self, state: &State, now: Instant) -> Option<String> {
        let _ = self.enter(now, Event::Pass);
        let (us, told) = (now.as_micros(), state.outlook(&self.show, Device::<Soaked>::time(now)));
        let index = |id: Option<CueId>| id.map(CueId::index);
        let book = &self.book;
        let faults = Fault::ALL.map(|fault| told.faults.has(fault));
        let box_says = (floor(told.mode), index(told.now), index(told.next), index(told.back), told.hold, faults);
        let book_says = (book.floor, book.on(), book.next(), book.back(), book.is_held(), book.wrong);
        let gates = matches!(
            (told.gate, book.door(us)),
            (Gate::Open, Door::Open) | (Gate::Off, Door::Shut) | (Gate::Armed { .. }, Door::Armed(_))
        );
        let words = matches!(
            (told.reveal, book.word(us)),
            (Reveal::Clear, Word::Clear) | (Reveal::NotClear, Word::NotClear) | (Reveal::Unknown, Word::Unknown)
        );
        let hands = told.by.map(hand) == book.by;
        let same = box_says == book_says && gates && words && hands;
        (!same).then(|| {
            format!("{box_says:?} {:?} {:?}, not {book_says:?} {:?} {:?}", told.reveal, told.by, book.word(us), book.by)
        })
    }
}

const fn floor(mode: Mode) -> Floor {
    match mode {
        Mode::Build => Floor::Build,
        Mode::Brief => Floor::Brief,
        Mode::Standby => Floor::Standby,
        Mode::Air => Floor::Air,
        Mode::Reset => Floor::Reset,
        Mode::Off => Floor::Dark,
        Mode::Worklight => Floor::Worklight,
    }
}

const fn hand(source: Source) -> Hand {
    match source {
        Source::Keys => Hand::Keys,
        Source::Desk => Hand::Desk,
        Source::Slots => Hand::Slots,
        Source::Timecode => Hand::Timecode,
        Source::Crew => Hand::Crew,
    }
}
