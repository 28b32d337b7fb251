//! The desk that the boxes hear: what tracking, graphics, timecode and presence say, over the box's own link.

use std::collections::VecDeque;

use underfoot_core::cameras::shots;
use underfoot_core::engine::timecode;
use underfoot_core::geom::StagePoint3;
use underfoot_core::link::{Answer, Decoder, Desk as LinkDesk, DeskStep, Request, Versions};
use underfoot_core::show::{CameraId, CameraKind, Cue, CueId, Mode, ShotId, ShotKey, Show};
use underfoot_core::units::{Duration, Instant};

use super::people::Placed;
use super::pulled::Pulled;
use crate::sim::Wire;

/// How often each of these is said: well within the 250 ms after which it counts as lost, presence within 500.
const POSE: Duration = Duration::from_millis(80);
const DRAWN: Duration = Duration::from_millis(100);
const PRESENCE: Duration = Duration::from_millis(150);
/// Nothing else to say: the desk is there.
const REPORT: Duration = Duration::from_millis(500);

/// What somebody at the desk asked for once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Once {
    /// To this cue.
    Go(CueId),
    /// A mode beside the cue's own.
    Mode(Option<Mode>),
}

/// What is true on the stage now.
pub(super) struct Stage<'s> {
    /// The show.
    pub(super) show: &'s Show,
    /// The cue on the floor, and seconds since it began.
    pub(super) cue: Option<(CueId, f32)>,
    /// What is out of order.
    pub(super) pulled: &'s Pulled,
    /// Where people are: asked only when that is said, because their ways are worked out for it.
    pub(super) people: &'s dyn Fn() -> Vec<Placed>,
}

/// The desk at the wire of one box.
pub(super) struct Desk {
    wire: Wire,
    link: LinkDesk,
    decoder: Decoder,
    greeted: bool,
    /// A request is open.
    waits: bool,
    once: VecDeque<Once>,
    /// When each camera's pose was said last.
    posed: Vec<Instant>,
    drawn: Instant,
    present: Instant,
    reported: Instant,
    /// Timecode's last frame, and when it was at its first.
    frame: u32,
    runs_since: Option<Instant>,
}

impl Desk {
    /// A desk at `wire`.
    pub(super) fn new(wire: Wire) -> Self {
        Self {
            wire,
            link: LinkDesk::new(1),
            decoder: Decoder::new(),
            greeted: false,
            waits: false,
            once: VecDeque::new(),
            posed: Vec::new(),
            drawn: Instant::ZERO,
            present: Instant::ZERO,
            reported: Instant::ZERO,
            frame: 0,
            runs_since: None,
        }
    }

    /// Asks for something once, as soon as the box listens.
    pub(super) fn ask(&mut self, once: Once) {
        self.once.push_back(once);
    }

    /// Says what is due, and hears what comes.
    pub(super) fn poll(&mut self, stage: &Stage<'_>, now: Instant) {
        self.hear();
        if stage.pulled.desk {
            // What is silent has to greet again.
            (self.greeted, self.waits, self.link) = (false, false, LinkDesk::new(1));
            self.once.clear();
            return;
        }
        self.say(stage, now);
        match self.link.poll(now) {
            DeskStep::Send(bytes) => self.wire.send(bytes),
            DeskStep::Wait => {}
            DeskStep::GiveUp => (self.greeted, self.waits) = (false, false),
        }
    }

    /// True while an answer is waited for: a real desk's line is faster than one byte a poll.
    pub(super) const fn waits(&self) -> bool {
        self.waits
    }

    fn hear(&mut self) {
        for byte in self.wire.take() {
            let Some(Ok(frame)) = self.decoder.push(byte) else { continue };
            let answer = self.link.hear(frame);
            self.waits &= answer.is_none();
            // What a box refuses is on its display.
            self.greeted |= matches!(answer, Some(Answer::Hello(_)));
        }
    }

    /// Opens the request that is due most; nothing while one is open.
    fn say(&mut self, stage: &Stage<'_>, now: Instant) {
        if self.waits {
            return;
        }
        if !self.greeted {
            self.open(&Request::Hello(Versions::OURS));
            return;
        }
        if let Some(once) = self.once.front() {
            let request = match *once {
                Once::Go(to) => Request::Go { to },
                Once::Mode(mode) => Request::Mode { mode },
            };
            if self.open(&request) {
                self.once.pop_front();
            }
            return;
        }
        let _ = self.timecode(stage, now)
            || self.presence(stage, now)
            || self.drawn(stage, now)
            || self.pose(stage, now)
            || self.report(now);
    }

    /// Opens a request; false while another one is open.
    fn open(&mut self, request: &Request<'_>) -> bool {
        let opened = self.link.ask(request);
        self.waits |= opened;
        opened
    }

    fn timecode(&mut self, stage: &Stage<'_>, now: Instant) -> bool {
        if !stage.pulled.timecode {
            self.runs_since = None;
            return false;
        }
        let since = *self.runs_since.get_or_insert(now);
        let rate = stage.show.frame_rate;
        let us = u128::from(now.since(since).as_micros());
        let frame = (us * u128::from(rate.num) / (u128::from(rate.den.max(1)) * 1_000_000)) as u32;
        if frame == self.frame && frame > 0 {
            return false;
        }
        let Some(at) = timecode::of_count(rate, frame) else { return false };
        let asked = self.open(&Request::Timecode { at });
        if asked {
            self.frame = frame;
        }
        asked
    }

    fn presence(&mut self, stage: &Stage<'_>, now: Instant) -> bool {
        if !stage.pulled.presence || now.since(self.present) < PRESENCE {
            return false;
        }
        let mm = |m: f32| ((m * 1000.0).round() as i32).to_le_bytes();
        let places: Vec<u8> = (stage.people)().iter().flat_map(|p| [mm(p.at.x), mm(p.at.y)].concat()).collect();
        let asked = self.open(&Request::Presence { places: &places });
        if asked {
            self.present = now;
        }
        asked
    }

    fn drawn(&mut self, stage: &Stage<'_>, now: Instant) -> bool {
        if stage.pulled.graphics || stage.pulled.tracking || now.since(self.drawn) < DRAWN {
            return false;
        }
        let cue = stage.cue.and_then(|(id, _)| stage.show.cues.get(id.index()));
        let bits = cue.map_or(0, |cue| stage.show.props_in(cue).iter().fold(0, |bits, p| bits | 1 << p.prop.0));
        let asked = self.open(&Request::Drawn { props: bits });
        if asked {
            self.drawn = now;
        }
        asked
    }

    fn pose(&mut self, stage: &Stage<'_>, now: Instant) -> bool {
        if stage.pulled.tracking {
            return false;
        }
        self.posed.resize(stage.show.cameras.len(), Instant::ZERO);
        let tracked = |i: &usize| stage.show.cameras.get(*i).is_some_and(|c| c.kind != CameraKind::Untracked);
        let due = (0..self.posed.len()).filter(tracked).filter(|i| now.since(self.posed[*i]) >= POSE);
        let Some(i) = due.min_by_key(|i| self.posed[*i]) else { return false };
        let camera = CameraId(i as u8);
        let asked = key_of(stage, camera).is_some_and(|key| self.open(&pose(camera, &key)));
        self.posed[i] = now;
        asked
    }

    fn report(&mut self, now: Instant) -> bool {
        let due = now.since(self.reported) >= REPORT && self.open(&Request::Report);
        if due {
            self.reported = now;
        }
        due
    }
}

/// Where a camera is: in the first shot of the cue that it has, else in its first shot.
fn key_of(stage: &Stage<'_>, camera: CameraId) -> Option<ShotKey> {
    let show = stage.show;
    let is_its = |id: &ShotId| show.shots.get(id.index()).is_some_and(|shot| shot.camera == camera);
    let at_s = stage.cue.map_or(0.0, |(_, at_s)| at_s);
    let cue: Option<&Cue> = stage.cue.and_then(|(id, _)| show.cues.get(id.index()));
    let intended = cue.and_then(|cue| show.shots_in(cue).iter().copied().find(is_its));
    let shot = intended.or_else(|| (0..show.shots.len()).map(|i| ShotId(i as u8)).find(is_its))?;
    shots::key_at(show, shot, at_s).ok()
}

fn pose(camera: CameraId, key: &ShotKey) -> Request<'static> {
    let mm = |p: StagePoint3| [p.x, p.y, p.z].map(|m| (m * 1000.0).round() as i32);
    Request::Pose {
        camera,
        from_mm: mm(key.from),
        look_mm: mm(key.look),
        roll_centideg: (key.roll_deg * 100.0).round() as i16,
        focal_um: (key.focal_mm * 1000.0).round() as u32,
    }
}
