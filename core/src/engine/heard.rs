//! What the box senses, as it was heard last.

use super::faults::{Fault, Faults};
use super::input::{Sense, Source};
use super::state::State;
use crate::show::Show;
use crate::units::{Duration, Instant};

/// Without word of the on-air light for this long the floor counts as on air.
pub const ON_AIR: Duration = Duration::from_millis(1_000);
/// A desk that made the last advance and is silent for this long is missed.
pub const DESK: Duration = Duration::from_millis(3_000);
/// Presence older than this says nothing.
pub const PRESENCE: Duration = Duration::from_millis(500);
/// Word of what no hot camera sees that is older than this says nothing: every camera sees everything then.
pub const UNSEEN: Duration = Duration::from_millis(250);

/// What was sensed last, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Heard {
    /// The house's stop contact asks for darkness.
    pub stop: bool,
    /// The key that says CLEAR is down.
    pub clear_key: bool,
    /// The on-air light: lit or dark, and when it was heard.
    pub on_air: Option<(bool, Instant)>,
    /// When the desk was heard.
    pub desk: Option<Instant>,
    /// What others report as broken.
    pub broken: Faults,
}

impl Heard {
    /// Nothing yet.
    pub const NOTHING: Self = Self { stop: false, clear_key: false, on_air: None, desk: None, broken: Faults::NONE };

    /// Takes what was sensed at `now`.
    pub(super) fn take(&mut self, now: Instant, sense: &Sense<'_>) {
        match *sense {
            Sense::Stop(on) => self.stop = on,
            Sense::ClearKey(down) => self.clear_key = down,
            Sense::OnAir(lit) => self.on_air = Some((lit, now)),
            Sense::Desk => self.desk = Some(now),
            Sense::Fault(fault, is_there) => self.broken = self.broken.with(fault, is_there),
            Sense::Timecode(_) | Sense::Presence(_) | Sense::Unseen { .. } => {}
        }
    }

    /// The on-air light as far as it is known: `None` when nothing was heard of it in time.
    pub fn light(&self, now: Instant) -> Option<bool> {
        self.on_air.filter(|&(_, at)| now.since(at) < ON_AIR).map(|(lit, _)| lit)
    }
}

impl State {
    /// What is missed or broken at `now`.
    pub(super) fn missed(&self, show: &Show, now: Instant) -> Faults {
        let tally = show.control.on_air_contact && self.heard.light(now).is_none();
        let desk = self.by == Some(Source::Desk) && self.heard.desk.is_none_or(|at| now.since(at) >= DESK);
        self.heard.broken.with_also(Fault::Tally, tally).with_also(Fault::Desk, desk).with_also(Fault::Power, self.held)
    }
}
