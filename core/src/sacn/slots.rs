//! Ten levels become wishes: hysteresis, baselines, and what keeps a desk in trouble from moving the show.
//!
//! Desks fade, black out, come back with old values and take turns. So:
//! - mode and brightness act when **all** levels have stood still for [`STILL`], which no fade of the whole desk does,
//!   and only when they say something else than they stood on; a slot that comes up from silence takes its stand and
//!   changes nothing;
//! - GO acts when it rises while the number slots stand on what they named for [`NAMED`] while it was up. In a fade, or when
//!   a desk comes back, number and GO come together, and nothing happens;
//! - OFF acts when it was held for [`HELD`] of packets that went on coming;
//! - the first levels of another source only set where everything stands.

use super::receiver::Frame;
use super::table::{HIGH, Job, KILL, LOW, Levels, SILENT, SLOTS, cue_of, level, level_of, mode_of};
use crate::show::Mode;
use crate::units::{Duration, Instant};

/// Levels stand still when they have not changed for this long.
pub const STILL: Duration = Duration::from_millis(500);
/// Least packets of levels that stand still.
pub const STILL_PACKETS: u8 = 3;
/// The cue is named for at least this long before GO.
pub const NAMED: Duration = Duration::from_millis(100);
/// Least packets that name the cue before GO, and that hold GO.
pub const GO_PACKETS: u8 = 2;
/// The packets that hold GO come within this time: a late GO is none.
pub const GO_TIME: Duration = Duration::from_millis(500);
/// OFF is held for this long.
pub const HELD: Duration = Duration::from_millis(1_000);
/// After a gap this long nothing counts as held: a desk that has nothing new sends at least every second (6.6.2).
pub const GAP: Duration = Duration::from_millis(1_250);

/// What the desk wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// GO to the cue of this number, hundredths.
    Go(u32),
    /// Everything off.
    Off,
    /// A mode; `None` for the cue's own.
    Mode(Option<Mode>),
    /// Drive of light inks.
    Level(u8),
}

/// Memory of the slots.
#[derive(Clone, Copy, Debug)]
pub struct Slots {
    levels: Levels,
    heard: Instant,
    still: Still,
    /// What the mode slot stands on; `None` when it is silent.
    mode: Option<Option<Mode>>,
    /// What the brightness slot stands on.
    level: Option<u8>,
    named: Option<Named>,
    kill: Kill,
}

/// Since when the levels are as they are, and in how many packets.
#[derive(Clone, Copy, Debug)]
struct Still {
    since: Instant,
    packets: u8,
}

/// A cue that was named while GO was up.
#[derive(Clone, Copy, Debug)]
struct Named {
    cue: u32,
    since: Instant,
    packets: u8,
    /// When GO came down, and in how many packets it was.
    down: Option<(Instant, u8)>,
}

#[derive(Clone, Copy, Debug)]
enum Kill {
    /// It has to come down first: it was up when this source took control, or OFF was said.
    Spent,
    Ready,
    Up(Instant),
}

impl Slots {
    /// Nothing heard yet.
    pub const fn new() -> Self {
        Self {
            levels: [0; SLOTS],
            heard: Instant::ZERO,
            still: Still { since: Instant::ZERO, packets: 0 },
            mode: None,
            level: None,
            named: None,
            kill: Kill::Spent,
        }
    }

    /// Takes levels; what the desk wants by them.
    pub fn hear(&mut self, frame: &Frame, now: Instant) -> Option<Wish> {
        if frame.is_first {
            let still = Still { since: now, packets: 0 };
            *self = Self { levels: frame.levels, heard: now, still, ..Self::new() };
        }
        self.note(&frame.levels, now);
        let off = self.kill(now);
        let go = self.go(now);
        off.or(go).or_else(|| self.pass(now))
    }

    /// Lets time pass; what stands still by now. One wish at a time: call it again at the next poll.
    pub fn pass(&mut self, now: Instant) -> Option<Wish> {
        let still = self.still.packets >= STILL_PACKETS && now.since(self.still.since) >= STILL;
        // While OFF is held nothing else acts.
        if !still || level(&self.levels, Job::Kill) >= KILL {
            return None;
        }
        self.new_mode().map(Wish::Mode).or_else(|| self.new_level().map(Wish::Level))
    }

    fn note(&mut self, levels: &Levels, now: Instant) {
        let gap = now.since(self.heard) >= GAP;
        if gap || *levels != self.levels {
            self.still = Still { since: now, packets: 0 };
        }
        if gap {
            self.named = None;
            self.kill = if let Kill::Up(_) = self.kill { Kill::Up(now) } else { self.kill };
        }
        self.still.packets = self.still.packets.saturating_add(1);
        (self.levels, self.heard) = (*levels, now);
    }

    fn kill(&mut self, now: Instant) -> Option<Wish> {
        let is_up = level(&self.levels, Job::Kill) >= KILL;
        let was = self.kill;
        self.kill = match was {
            _ if !is_up => Kill::Ready,
            Kill::Ready => Kill::Up(now),
            Kill::Up(since) if now.since(since) >= HELD => Kill::Spent,
            Kill::Up(_) | Kill::Spent => was,
        };
        matches!((was, self.kill), (Kill::Up(_), Kill::Spent)).then_some(Wish::Off)
    }

    fn go(&mut self, now: Instant) -> Option<Wish> {
        // Another cue named, or none, or OFF held: what was named is forgotten.
        let off = level(&self.levels, Job::Kill) >= KILL;
        let before = self.named.take();
        let cue = cue_of(&self.levels).filter(|_| !off)?;
        let named = before.filter(|named| named.cue == cue);
        let key = level(&self.levels, Job::Go);
        if key <= LOW {
            self.named = Some(Named::again(named, cue, now));
            return None;
        }
        let named = named.filter(|named| named.is_settled(now))?;
        if key < HIGH {
            self.named = Some(Named { down: None, ..named });
            return None;
        }
        let (since, packets) = named.down.unwrap_or((now, 0));
        if now.since(since) > GO_TIME {
            return None;
        }
        if packets + 1 >= GO_PACKETS {
            return Some(Wish::Go(cue));
        }
        self.named = Some(Named { down: Some((since, packets + 1)), ..named });
        None
    }

    fn new_mode(&mut self) -> Option<Option<Mode>> {
        let at = level(&self.levels, Job::Mode);
        if at <= SILENT {
            self.mode = None;
        }
        let said = mode_of(at)?;
        self.mode.replace(said).filter(|before| *before != said).map(|_| said)
    }

    fn new_level(&mut self) -> Option<u8> {
        let said = level_of(level(&self.levels, Job::Level));
        let before = core::mem::replace(&mut self.level, said);
        said.filter(|_| before.is_some() && before != said)
    }
}

impl Named {
    /// `cue` while GO is up, after what was named before.
    fn again(before: Option<Self>, cue: u32, now: Instant) -> Self {
        let fresh = Self { cue, since: now, packets: 0, down: None };
        let named = before.unwrap_or(fresh);
        Self { packets: named.packets.saturating_add(1), down: None, ..named }
    }

    fn is_settled(&self, now: Instant) -> bool {
        self.packets >= GO_PACKETS && now.since(self.since) >= NAMED
    }
}

impl Default for Slots {
    fn default() -> Self {
        Self::new()
    }
}
