//! The live answer as the rig is asked for it, and the same question on any host.

use heapless::Vec;
use underfoot_core::cameras::Patch;
use underfoot_core::cameras::live::{Tracked, hidden_now};
use underfoot_core::cameras::shots::Speed;
use underfoot_core::cameras::solids::Overlays;
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::limits;
use underfoot_core::look::{marks, placed};
use underfoot_core::show::{Cue, CueId, ShotId, ShotKey, Show};

/// Marks of a cue that are asked about; of more, the first.
pub const MARKS: usize = 24;
/// Bytes of one camera in a question.
pub const CAMERA_BYTES: usize = 1 + 10 * 4;
/// Answer to a question that cannot be asked: more bits than there are marks.
pub const UNANSWERED: u64 = 1 << 63;

/// What tracking says of one camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraAsk {
    /// A shot of the camera.
    pub shot: ShotId,
    /// Its pose.
    pub key: ShotKey,
    /// Its speed.
    pub speed: Speed,
}

impl CameraAsk {
    /// Shot, place, point looked at, roll, focal length, metres and degrees a second.
    pub fn to_bytes(&self) -> [u8; CAMERA_BYTES] {
        let (from, look) = (self.key.from, self.key.look);
        let (roll, focal) = (self.key.roll_deg, self.key.focal_mm);
        let numbers = [from.x, from.y, from.z, look.x, look.y, look.z, roll, focal, self.speed.mps, self.speed.dps];
        let mut bytes = [0; CAMERA_BYTES];
        bytes[0] = self.shot.0;
        for (slot, number) in bytes[1..].chunks_exact_mut(4).zip(numbers) {
            slot.copy_from_slice(&number.to_le_bytes());
        }
        bytes
    }

    /// The camera in these bytes.
    pub fn from_bytes(bytes: &[u8; CAMERA_BYTES]) -> Self {
        let n = |i: usize| {
            let at = 1 + 4 * i;
            f32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        let (from, look) = (StagePoint3::new(n(0), n(1), n(2)), StagePoint3::new(n(3), n(4), n(5)));
        let key = ShotKey { at_s: 0.0, from, look, roll_deg: n(6), focal_mm: n(7) };
        Self { shot: ShotId(bytes[0]), key, speed: Speed { mps: n(8), dps: n(9) } }
    }
}

/// What stays the same from one pose to the next: the lenses of the cameras and the outlines of the marks.
#[derive(Clone, Debug, Default)]
pub struct LiveRoom {
    cameras: Vec<Tracked, { limits::CAMERAS }>,
    outlines: Vec<MarkOutline, MARKS>,
}

/// Outline of one mark.
type MarkOutline = Vec<StagePoint, { marks::OUTLINE_POINTS }>;

impl LiveRoom {
    /// Empty room.
    pub const fn new() -> Self {
        Self { cameras: Vec::new(), outlines: Vec::new() }
    }

    /// Which marks of a cue are hidden, bit i for place i of the cue, with the parts of its start.
    ///
    /// Everything that a pose changes happens between a call of `start` and a call of `stop`.
    pub fn answer(
        &mut self,
        show: &Show,
        cue: u8,
        ask: &[CameraAsk],
        (start, stop): (impl FnOnce(), impl FnOnce()),
    ) -> u64 {
        self.update(show, CueId(cue), ask, start, stop).unwrap_or(UNANSWERED)
    }

    fn update(
        &mut self,
        show: &Show,
        cue: CueId,
        ask: &[CameraAsk],
        start: impl FnOnce(),
        stop: impl FnOnce(),
    ) -> Option<u64> {
        let cue: &Cue = show.cues.get(cue.index())?;
        self.outlines.clear();
        for (_, outline) in show.places_in(cue).iter().filter_map(|place| placed::outline(show, place)).take(MARKS) {
            self.outlines.push(outline).ok()?;
        }
        self.cameras.clear();
        for camera in ask {
            let shot = show.shots.get(camera.shot.index())?;
            self.cameras.push(Tracked::of(show, shot.camera, &camera.key, camera.speed).ok()?).ok()?;
        }
        let patches: Vec<Patch<'_>, MARKS> = self.outlines.iter().map(|outline| Patch::on(show, outline)).collect();
        start();
        let followed = self.cameras.iter_mut().zip(ask).all(|(t, ask)| t.follow(show, &ask.key, ask.speed).is_ok());
        let latency_s = f32::from(show.latency_ms) / 1000.0;
        // What moves has moved since the last pose.
        let overlays = Overlays { show, cue, t_s: 0.0, drawn: u32::MAX };
        let bits = followed.then(|| hidden_now(&self.cameras, &patches, &overlays, latency_s));
        stop();
        bits
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_camera_comes_back_equal() {
        let (from, look) = (StagePoint3::new(1.0, -2.0, 3.0), StagePoint3::new(-4.0, 5.0, 0.25));
        let key = ShotKey { at_s: 0.0, from, look, roll_deg: 6.0, focal_mm: 7.5 };
        let camera = CameraAsk { shot: ShotId(9), key, speed: Speed { mps: 0.5, dps: 30.0 } };
        assert_eq!(CameraAsk::from_bytes(&camera.to_bytes()), camera);
    }
}
