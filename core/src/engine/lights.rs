//! What is lit and how it comes into the picture: light goes at once and comes slowly.
//!
//! Nothing that has come stays out for a moment only: what went by anything but an advance, which has its lockout, comes
//! back no sooner than [`DARK`] later. So nothing goes on and off more than twice a second, whatever is pressed.

use super::state::State;
use super::table::Then;
use super::things;
use crate::look::view::FLOOR_LEVEL;
use crate::look::{Shown, Things};
use crate::show::{CueId, Mode, Show};
use crate::units::{Duration, Instant};

/// What is new in a picture comes in this time.
pub const FADE: Duration = Duration::from_millis(450);
/// After something went off by anything but an advance, new things come no sooner.
pub const DARK: Duration = Duration::from_millis(500);
/// The neutral light of WORKLIGHT comes in this time.
pub const RAMP: Duration = Duration::from_millis(2_000);

/// What is lit, and since when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Lights {
    /// The picture that the rest was worked out for.
    pub(super) mode: Mode,
    cue: Option<CueId>,
    /// What AIR shows.
    pub(super) shown: Shown,
    /// What is lit.
    drawn: Things,
    /// What of it is coming, and since when: that may be a moment that is not there yet.
    fresh: Things,
    fresh_from: Instant,
    /// When the floor of WORKLIGHT began to come.
    floor_from: Instant,
    /// When something went off last by anything but an advance.
    dark: Option<Instant>,
    level: Level,
}

/// A drive that goes down at once and up slowly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Level {
    /// Where it started to go up.
    from: u8,
    from_at: Instant,
    to: u8,
    /// When it went down last.
    down: Option<Instant>,
}

impl Level {
    /// The drive at `now`.
    fn at(&self, now: Instant) -> u8 {
        self.from.saturating_add(rise(now.since(self.from_at), FADE)).min(self.to)
    }

    fn aim(&mut self, to: u8, now: Instant) {
        if to == self.to {
            return;
        }
        let is = self.at(now);
        if to < is {
            self.down = Some(now);
        }
        *self = Self { from: is.min(to), from_at: not_before(self.down, now), to, ..*self };
    }
}

impl Lights {
    /// Dark.
    pub const OUT: Self = Self {
        mode: Mode::Off,
        cue: None,
        shown: Shown { marks: 0, props: 0 },
        drawn: Things::NONE,
        fresh: Things::NONE,
        fresh_from: Instant::ZERO,
        floor_from: Instant::ZERO,
        dark: None,
        level: Level { from: u8::MAX, from_at: Instant::ZERO, to: u8::MAX, down: None },
    };

    /// What is coming at `now` and how far it has come; nothing and 255 when all of it is there.
    pub(super) fn coming(&self, now: Instant) -> (Things, u8) {
        match rise(now.since(self.fresh_from), FADE) {
            u8::MAX => (Things::NONE, u8::MAX),
            _ if self.fresh.is_none() => (Things::NONE, u8::MAX),
            fade => (self.fresh, fade),
        }
    }

    /// Drive of the light inks at `now`.
    pub(super) fn level(&self, now: Instant) -> u8 {
        self.level.at(now)
    }

    /// Drive of the floor of WORKLIGHT at `now`: half a cosine wave up to [`FLOOR_LEVEL`].
    pub(super) fn floor_level(&self, now: Instant) -> u8 {
        let share = now.since(self.floor_from).as_micros().min(RAMP.as_micros()) as f32 / RAMP.as_micros() as f32;
        let eased = 0.5 * (1.0 - libm::cosf(core::f32::consts::PI * share));
        libm::roundf(f32::from(FLOOR_LEVEL) * eased) as u8
    }

    /// True while something is still coming.
    fn is_coming(&self, now: Instant) -> bool {
        self.coming(now).1 < u8::MAX
    }

    /// Takes what is drawn from `now` on; `advanced` says that another cue begins.
    fn draw(&mut self, drawn: Things, now: Instant, advanced: bool) {
        let (gone, new) = (self.drawn.without(drawn), drawn.without(self.drawn));
        if !gone.is_none() && !advanced {
            self.dark = Some(now);
        }
        if !new.is_none() {
            // What still waits for its time waits on; what has begun to come is there.
            let waits = if now <= self.fresh_from { self.fresh.without(gone) } else { Things::NONE };
            self.fresh = new.and(waits);
            self.fresh_from = not_before(self.dark, now);
        }
        self.drawn = drawn;
    }
}

impl State {
    /// Works out what is lit from `now` on.
    pub(super) fn light(&mut self, show: &Show, now: Instant) {
        let (mode, cue) = (self.mode, self.shown());
        self.lights.level.aim(self.level, now);
        let lights = self.lights;
        let mut shown = Shown::default();
        if mode == Mode::Air {
            let here = cue.and_then(|id| show.cues.get(id.index()));
            let may_show = !self.faults.iter().any(|lost| self.then(lost) == Then::Blank);
            let here = here.filter(|_| may_show);
            shown = self.unseen.next(show, (here, now), lights.drawn, lights.is_coming(now));
        }
        if (mode, cue, shown) == (lights.mode, lights.cue, lights.shown) {
            return;
        }
        if mode == Mode::Worklight && lights.mode != mode {
            self.lights.floor_from = now;
        }
        let advanced = lights.cue.is_some() && cue.is_some() && cue != lights.cue;
        self.lights.draw(things::drawn(show, mode, cue, shown), now, advanced);
        (self.lights.mode, self.lights.cue, self.lights.shown) = (mode, cue, shown);
    }
}

/// How far, of 255, something has come after `passed` of `whole`.
fn rise(passed: Duration, whole: Duration) -> u8 {
    let share = passed.as_micros().saturating_mul(255).checked_div(whole.as_micros());
    share.and_then(|n| n.try_into().ok()).unwrap_or(u8::MAX)
}

/// `now`, or [`DARK`] after `dark` when that is later.
fn not_before(dark: Option<Instant>, now: Instant) -> Instant {
    dark.map_or(now, |at| at.after(DARK).max(now))
}
