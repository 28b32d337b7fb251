//! What no hot camera sees, from poses that tracking sends.
//!
//! A mark is shown on air only while every hot camera is known to miss it: at most 250 ms old, tracked, and far enough off
//! for what it may do until the light has followed. It comes back when that has held for two seconds.

use heapless::Vec;

use crate::cameras::Patch;
use crate::cameras::hidden::hot_cameras;
use crate::cameras::live::{Tracked, hidden_now};
use crate::cameras::shots::{ShotError, Speed};
use crate::cameras::solids::Overlays;
use crate::geom::StagePoint;
use crate::limits as cap;
use crate::look::{marks, placed};
use crate::show::{Camera, CameraId, CameraKind, Cue, CuePlace, FrameRate, ShotKey, Show};
use crate::units::{Duration, Instant};

/// A pose older than this says nothing.
pub const STALE: Duration = Duration::from_millis(250);
/// How long a mark has to be missed by all before it is shown again.
pub const SETTLED: Duration = Duration::from_millis(2_000);
/// While nothing is worked out, the engine is told this often that poses keep coming.
const AGAIN: Duration = Duration::from_millis(100);
/// Poses that come sooner after each other than this were held up on their way: trackers send 50 to 60 a second.
const SOONEST: Duration = Duration::from_millis(15);
/// How much faster a camera may get within a second: a heavy head takes half a second to 30 degrees a second (common practice).
const GAIN: Speed = Speed { mps: 1.0, dps: 60.0 };
/// What is left of a speed that was measured one pose ago.
const FADE: f32 = 0.8;
/// Marks that are worked out together.
const TOGETHER: usize = 16;

/// The poses of all cameras, and what came of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Live {
    cameras: [Option<Heard>; cap::CAMERAS],
    /// Any pose was heard since the show was loaded.
    any: bool,
    /// What graphics says it draws, and when it said so.
    drawn: (u32, Option<Instant>),
    /// When the last answer was worked out.
    last: Option<Instant>,
    /// When the engine was told last that poses keep coming.
    told: Option<Instant>,
    /// Bit i for mark i: shown now.
    unseen: u64,
    /// For each mark, answers in a row that all cameras miss it.
    missed: [u8; cap::MARKS],
}

/// The newest pose of a camera.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Heard {
    camera: Tracked,
    at: Instant,
}

impl Live {
    /// Nothing heard.
    pub const fn new() -> Self {
        Self {
            cameras: [None; cap::CAMERAS],
            any: false,
            drawn: (0, None),
            last: None,
            told: None,
            unseen: 0,
            missed: [0; cap::MARKS],
        }
    }

    /// Another show is in memory.
    pub fn forget(&mut self) {
        *self = Self::new();
    }

    /// Takes a pose; of `key` all but its time counts.
    ///
    /// # Errors
    /// [`ShotError`] for a camera that the show does not have, and for a pose or a lens that gives no view: the
    /// camera is then unknown, and sees everything.
    pub fn hear(&mut self, show: &Show, id: CameraId, key: &ShotKey, now: Instant) -> Result<(), ShotError> {
        let slot = self.cameras.get_mut(id.index()).ok_or(ShotError::Unknown)?;
        self.any = true;
        let before = slot.take();
        let mut camera = match before {
            Some(Heard { camera: mut known, .. }) => {
                known.follow(show, key, Speed::default())?;
                known
            }
            None => Tracked::of(show, id, key, Speed::default())?,
        };
        if let Some(old) = before {
            let over = now.since(old.at).max(SOONEST);
            let went = camera.went(&old.camera, over.as_micros() as f32 * 1e-6);
            let faded = |speed: f32| speed * FADE;
            let old = old.camera.speed;
            camera.speed = Speed { mps: went.mps.max(faded(old.mps)), dps: went.dps.max(faded(old.dps)) };
        }
        *slot = Some(Heard { camera, at: now });
        Ok(())
    }

    /// Takes word of what graphics draws on every hot camera: bit i for prop i. Has to come as often as poses.
    pub fn draws(&mut self, props: u32, now: Instant) {
        self.drawn = (props, Some(now));
    }

    /// True when poses were heard since the show was loaded, and those of a hot tracked camera are missing or old now.
    pub fn is_lost(&self, show: &Show, cue: &Cue, now: Instant) -> bool {
        let mut tracked = hot_cameras(show, cue, show.control.hot).filter(|(_, c)| c.kind != CameraKind::Untracked);
        self.any && tracked.any(|(id, _)| self.known(id, now).is_none())
    }

    /// Works out which marks all hot cameras of a cue miss, bit i for mark i of the show, at most once a frame; `None`
    /// when it is not due, or when no pose was heard since the show was loaded. `after` is the time since the cue began.
    pub fn update(&mut self, show: &Show, cue: &Cue, after: Duration, now: Instant) -> Option<u64> {
        let frame = frame(show.frame_rate);
        if !self.any || self.last.is_some_and(|last| now.since(last) < frame) {
            return None;
        }
        if self.last.replace(now).is_none_or(|last| now.since(last) > STALE) {
            // Nobody looked meanwhile.
            self.missed = [0; cap::MARKS];
        }
        let known =
            |(id, camera): (CameraId, &Camera)| camera.kind != CameraKind::Untracked && self.known(id, now).is_some();
        let mut hot = hot_cameras(show, cue, show.control.hot).peekable();
        // A show without cameras says nothing of those that poses come from.
        let all_known = hot.peek().is_some() && hot.all(known);
        let missed = if all_known { self.missed(show, cue, (after, frame), now) } else { 0 };
        self.settle(missed, frame);
        Some(self.unseen)
    }

    /// The answer while nothing of it is on the floor, now and then: nothing is known to be missed. The engine takes
    /// silence for lost tracking, and here nothing is `lost`. `None` when it is not due.
    pub fn rest(&mut self, lost: bool, now: Instant) -> Option<u64> {
        let is_due = self.any && !lost && self.told.is_none_or(|told| now.since(told) >= AGAIN);
        self.told = if is_due { Some(now) } else { self.told };
        is_due.then_some(0)
    }

    fn known(&self, id: CameraId, now: Instant) -> Option<&Heard> {
        let heard = self.cameras.get(id.index())?.as_ref()?;
        (now.since(heard.at) <= STALE).then_some(heard)
    }

    /// Bit i for mark i that every hot camera misses until the light of this answer is on the floor.
    fn missed(&self, show: &Show, cue: &Cue, (after, frame): (Duration, Duration), now: Instant) -> u64 {
        let hot = || hot_cameras(show, cue, show.control.hot).filter_map(|(id, _)| self.known(id, now));
        let oldest = hot().map(|heard| now.since(heard.at)).max().unwrap_or(Duration::from_micros(0));
        // The next answer comes a frame later.
        let until_s = f32::from(show.latency_ms) / 1000.0 + (oldest.as_micros() + frame.as_micros()) as f32 * 1e-6;
        let cameras: Vec<Tracked, { cap::CAMERAS }> = hot().map(|heard| faster(heard.camera, until_s)).collect();
        let drawn = self.drawn.1.filter(|at| now.since(*at) <= STALE).map_or(0, |_| self.drawn.0);
        let overlays = Overlays { show, cue, t_s: after.as_micros() as f32 * 1e-6, drawn };
        let (mut missed, mut seen) = (0, 0);
        for places in show.places_in(cue).chunks(TOGETHER) {
            let (m, s) = together(show, places, |patches| hidden_now(&cameras, patches, &overlays, until_s));
            missed |= m;
            seen |= s;
        }
        missed & !seen
    }

    /// Hides what is seen at once, and shows what has been missed for long enough.
    fn settle(&mut self, missed: u64, frame: Duration) {
        let enough = SETTLED.as_micros().div_ceil(frame.as_micros().max(1)).min(u64::from(u8::MAX)) as u8;
        let mut settled = 0;
        for (i, count) in self.missed.iter_mut().enumerate() {
            let is_missed = missed & 1 << i != 0;
            *count = if is_missed { count.saturating_add(1) } else { 0 };
            settled |= u64::from(*count >= enough) << i;
        }
        self.unseen = settled;
    }
}

impl Default for Live {
    fn default() -> Self {
        Self::new()
    }
}

/// The camera as fast as it may have become on average until then.
fn faster(mut camera: Tracked, until_s: f32) -> Tracked {
    camera.speed.mps += GAIN.mps * until_s * 0.5;
    camera.speed.dps += GAIN.dps * until_s * 0.5;
    camera
}

/// Asks about the marks of some places at once: bits of marks that are hidden, and of marks that are seen. One that
/// is listed twice may be both.
fn together(show: &Show, places: &[CuePlace], ask: impl FnOnce(&[Patch<'_>]) -> u64) -> (u64, u64) {
    let mut outlines = Vec::<(u8, Vec<StagePoint, { marks::OUTLINE_POINTS }>), TOGETHER>::new();
    for (id, outline) in places.iter().filter_map(|place| placed::outline(show, place)) {
        // As many as are asked about together.
        let _ = outlines.push((id.0, outline));
    }
    let patches: Vec<Patch<'_>, TOGETHER> = outlines.iter().map(|(_, outline)| Patch::on(show, outline)).collect();
    let hidden = ask(&patches);
    let bits = |wanted: bool| {
        let those = outlines.iter().enumerate().filter(|(i, _)| (hidden & 1 << i != 0) == wanted);
        those.fold(0_u64, |bits, (_, (id, _))| bits | 1_u64.checked_shl((*id).into()).unwrap_or(0))
    };
    (bits(true), bits(false))
}

/// The time of one frame.
fn frame(rate: FrameRate) -> Duration {
    Duration::from_micros(1_000_000 * u64::from(rate.den) / u64::from(rate.num.max(1)))
}
