//! Questions about places that are asked of the host and of devices alike.

use underfoot_core::cameras::shots::{Speed, key_at};
use underfoot_core::geom::{StagePoint3, StageVector};
use underfoot_core::show::{CueId, ShotId, ShotKey, Show};
use underfoot_firmware::rig::live::{CameraAsk, LiveRoom};
use underfoot_firmware::rig::walk::{NO_PROP, WalkAsk, WalkRoom};
use underfoot_firmware::rig::zone::{ZoneAsk, ZoneRoom};

use crate::dice::Dice;

/// Every zone of a show that people need: each cue with shots, and everybody who is placed on a mark in it.
pub fn zones(show: &Show) -> Vec<ZoneAsk> {
    let mut all = Vec::new();
    for (cue, c) in (0..).zip(&show.cues) {
        for place in show.places_in(c) {
            let class = show.people[place.person.index()].class.0;
            all.extend(place.mark.map(|mark| ZoneAsk { cue, mark: mark.0, class }));
        }
    }
    all.retain(|ask| !show.shots_in(&show.cues[usize::from(ask.cue)]).is_empty());
    all
}

/// The host's answer, byte for byte.
pub fn zone_here(show: &Show, ask: ZoneAsk, room: &mut ZoneRoom) -> Vec<u8> {
    let mut answer = Vec::new();
    room.answer(show, ask, &|| {}, &mut |bytes| answer.extend_from_slice(bytes));
    answer
}

/// A random cue with places and random poses near planned ones for all the cameras of a show that have shots.
pub fn random_poses(dice: &mut Dice, show: &Show) -> (CueId, Vec<CameraAsk>) {
    let peopled = |c: &u8| !show.places_in(&show.cues[usize::from(*c)]).is_empty();
    let cues: Vec<u8> = (0..show.cues.len() as u8).filter(peopled).collect();
    let cue = CueId(cues[dice.below(cues.len())]);
    let mut cameras = Vec::new();
    for camera in 0..show.cameras.len() {
        let of_camera = |s: &u8| show.shots[usize::from(*s)].camera.index() == camera;
        let shots: Vec<u8> = (0..show.shots.len() as u8).filter(of_camera).collect();
        // A camera less, now and then: few marks are hidden from all.
        if !shots.is_empty() && !dice.one_in(4) {
            let shot = ShotId(shots[dice.below(shots.len())]);
            cameras.push(random_pose(dice, show, shot));
        }
    }
    (cue, cameras)
}

fn random_pose(dice: &mut Dice, show: &Show, shot: ShotId) -> CameraAsk {
    let planned = key_at(show, shot, dice.between(0.0, 10.0) as f32).expect("a key");
    let mut near = |p: StagePoint3, by: f64| {
        let mut moved = |x: f32| x + dice.between(-by, by) as f32;
        StagePoint3::new(moved(p.x), moved(p.y), moved(p.z))
    };
    let (from, look) = (near(planned.from, 0.3), near(planned.look, 3.0));
    let focal_mm = planned.focal_mm * if dice.one_in(2) { 1.0 } else { dice.between(1.0, 4.0) as f32 };
    let key = ShotKey { at_s: 0.0, from, look, roll_deg: dice.between(-3.0, 3.0) as f32, focal_mm };
    let speed = if dice.one_in(2) { Speed::default() } else { Speed { mps: dice.unit() as f32, dps: 20.0 } };
    CameraAsk { shot, key, speed }
}

/// The host's answer about hidden marks.
pub fn hidden_here(show: &Show, cue: CueId, cameras: &[CameraAsk]) -> u64 {
    LiveRoom::new().answer(show, cue.0, cameras, (|| {}, || {}))
}

/// Every walk line of a show in every cue that uses it, and in the first one when none does.
pub fn walks(show: &Show) -> Vec<WalkAsk> {
    let mut all = Vec::new();
    for line in 0..show.lines.len() as u8 {
        let uses = |c: &u8| {
            let mut places = show.places_in(&show.cues[usize::from(*c)]).iter();
            places.any(|place| place.line.is_some_and(|l| l.0 == line))
        };
        let mut cues: Vec<u8> = (0..show.cues.len() as u8).filter(uses).collect();
        if cues.is_empty() {
            cues.push(0);
        }
        all.extend(cues.into_iter().map(|cue| WalkAsk { cue, line, prop: NO_PROP, nudge: StageVector::default() }));
    }
    all
}

/// The same with a prop of the cue moved, by up to 1.5 m.
pub fn nudged(dice: &mut Dice, show: &Show, ask: WalkAsk) -> WalkAsk {
    let props = show.props_in(&show.cues[usize::from(ask.cue)]);
    let prop = props.get(dice.below(props.len())).map_or(NO_PROP, |state| state.prop.0);
    let mut by = || dice.between(-1.5, 1.5) as f32;
    WalkAsk { prop, nudge: StageVector::new(by(), by()), ..ask }
}

/// The host's answer, byte for byte.
pub fn walk_here(show: &mut Show, ask: WalkAsk, room: &mut WalkRoom) -> Vec<u8> {
    let mut answer = Vec::new();
    room.answer(show, ask, &mut |bytes| answer.extend_from_slice(bytes));
    answer
}
