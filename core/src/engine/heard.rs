//! What the box senses, as it was heard last.

use super::faults::{Fault, Faults};
use super::input::{PRESENT, Sense, Source};
use super::reveal::in_the_way;
use super::state::State;
use crate::geom::StagePoint;
use crate::look::Shown;
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
    /// When presence was heard.
    pub presence: Option<Instant>,
    /// Presence was heard since the cue began.
    pub judged: bool,
    /// Somebody was seen where an overlay is or comes, when presence was heard last.
    pub in_the_way: bool,
    /// What others report as broken.
    pub broken: Faults,
}

impl Heard {
    /// Nothing yet.
    pub const NOTHING: Self = Self {
        stop: false,
        clear_key: false,
        on_air: None,
        desk: None,
        presence: None,
        judged: false,
        in_the_way: false,
        broken: Faults::NONE,
    };

    /// The on-air light as far as it is known: `None` when nothing was heard of it in time.
    pub fn light(&self, now: Instant) -> Option<bool> {
        self.on_air.filter(|&(_, at)| now.since(at) < ON_AIR).map(|(lit, _)| lit)
    }
}

impl State {
    /// Takes what was sensed at `now`.
    pub(super) fn sense(&mut self, show: &Show, now: Instant, sense: &Sense<'_>) {
        let heard = &mut self.heard;
        match *sense {
            Sense::Stop(on) => heard.stop = on,
            Sense::ClearKey(down) => heard.clear_key = down,
            Sense::OnAir(lit) => heard.on_air = Some((lit, now)),
            Sense::Desk => heard.desk = Some(now),
            Sense::Fault(fault, is_there) => heard.broken = heard.broken.with(fault, is_there),
            Sense::Timecode(at) => self.chase.read(show.frame_rate, at, now),
            Sense::Presence(people) => self.see(show, now, people),
            Sense::Unseen { marks, props } => self.unseen.hear(Shown { marks, props }, now),
        }
    }

    /// Takes where people are.
    fn see(&mut self, show: &Show, now: Instant, people: &[StagePoint]) {
        let people = people.get(..PRESENT).unwrap_or(people);
        let passed = self.heard.presence.map(|at| now.since(at)).filter(|&passed| passed < PRESENCE);
        self.heard.presence = Some(now);
        let Some(id) = self.shown() else { return };
        let Some(cue) = show.cues.get(id.index()) else { return };
        self.feet.see(show, cue, people, passed);
        let next = show.cues.get(id.index() + 1);
        let t_s = now.since(self.since).as_millis() as f32 / 1000.0;
        (self.heard.judged, self.heard.in_the_way) = (true, in_the_way(show, (cue, t_s), next, people));
    }

    /// True while it is known where people are.
    pub(super) fn is_presence_fresh(&self, now: Instant) -> bool {
        self.heard.presence.is_some_and(|at| now.since(at) < PRESENCE)
    }

    /// What is missed or broken at `now`.
    pub(super) fn missed(&self, show: &Show, now: Instant) -> Faults {
        let tally = show.control.on_air_contact && self.heard.light(now).is_none();
        let desk = self.by == Some(Source::Desk) && self.heard.desk.is_none_or(|at| now.since(at) >= DESK);
        self.heard
            .broken
            .with_also(Fault::Tally, tally)
            .with_also(Fault::Desk, desk)
            .with_also(Fault::Timecode, self.chase.is_missing(show, now))
            .with_also(Fault::Tracking, self.unseen.is_missing(now))
            .with_also(Fault::Power, self.held)
    }
}
