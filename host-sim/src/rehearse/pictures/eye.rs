//! What somebody of the cue sees of the floor and the room from their own eyes: no overlays, for they are not there.

use underfoot_core::cameras::Pose;
use underfoot_core::show::{Cue, Mode, PersonId};
use underfoot_core::units::Angle;

use super::asked::{Asked, Unserved};
use super::studio::{Answer, PNG};
use super::{floor, shot};
use crate::checks::{Whereabouts, whereabouts};
use crate::rehearse::plan::people::{actors, facing_deg, has_left};
use crate::rehearse::plan::script::lasts_s;
use crate::render::shot::{CONTENT, Room, actor_at};
use crate::render::{Easel, png};

/// People who look for their mark look down so far, degrees above level.
const TILT_DEG: f32 = -35.0;

/// The picture.
pub(super) fn picture(asked: &Asked, easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "t", "w", "mode", "pan", "tilt"])?;
    let (project, (id, cue)) = (asked.project(), asked.must_cue()?);
    let t_s = asked.seconds()?.unwrap_or_else(|| lasts_s(project, id.index(), cue));
    let person = PersonId(asked.named("person", project.show.people.iter().map(|p| p.name.as_str()))? as u8);
    let (width, pose) = (shot::width(asked)?, pose(asked, &there(asked, person, (cue, t_s))?)?);
    let canvases = floor::lit(asked, easel)?;
    let mut others = actors(project, id.index(), t_s);
    others.retain(|actor| actor.name != asked.name);
    let mode = asked.mode()?.unwrap_or(cue.mode);
    let content = (mode == Mode::Air).then_some(CONTENT);
    let room = Room { show: &project.show, canvases: &canvases, content, others: &others };
    png::quick_picture(&room.picture(&pose, width)).map_err(Unserved::failed).map(|bytes| Answer::shown(PNG, bytes))
}

/// Where the person is then, as long as that is on the stage.
fn there(asked: &Asked, person: PersonId, (cue, t_s): (&Cue, f32)) -> Result<Whereabouts, Unserved> {
    let (show, index) = (&asked.project().show, asked.must_cue()?.0.index());
    let everybody = whereabouts(asked.project(), index, t_s);
    let found = everybody.into_iter().find(|there| there.place.person == person && !has_left(there));
    found.ok_or_else(|| {
        let names = show.places_in(cue).iter().filter_map(|place| show.people.get(place.person.index()));
        let names: Vec<&str> = names.map(|person| person.name.as_str()).collect();
        let there = if names.is_empty() { "nobody".into() } else { names.join(", ") };
        Unserved::unknown(format!("{} is not on the floor then: the cue has {there}", asked.name))
    })
}

/// The eyes: over the place where the person stands or sits, along the mark's facing or the way, and down to the floor.
fn pose(asked: &Asked, there: &Whereabouts) -> Result<Pose, Unserved> {
    let show = &asked.project().show;
    let turn = "degrees to the left of where the person faces";
    let pan_deg = asked.number("pan", -180.0..=180.0, turn)?.unwrap_or(0.0);
    let tilt_deg = asked.number("tilt", -89.0..=89.0, "degrees above level, below it with a minus")?;
    let class = show.people.get(there.place.person.index()).and_then(|p| show.classes.get(p.class.index()));
    let body = actor_at(show, &there.place, (there.at, "")).map(|actor| actor.body);
    let (Some(class), Some(body)) = (class, body) else { return Err(Unserved::failed("this person has no class")) };
    let eyes = there.at.at_height(body.base_m + class.eye_m);
    // Pan counts from upstage, facing from stage left.
    let pan = Angle::from_degrees(facing_deg(show, there) - 90.0 + pan_deg);
    Ok(Pose::of_angles(eyes, pan, Angle::from_degrees(tilt_deg.unwrap_or(TILT_DEG)), Angle::default()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rehearse::pictures::studio::asked_of;

    fn seen(query: &[(&str, &str)]) -> Pose {
        let query: Vec<_> = [("cue", "3"), ("t", "60")].iter().chain(query).copied().collect();
        let asked = asked_of("clock-cabinet", "Presenter", &query);
        let (_, cue) = asked.must_cue().expect("a cue");
        let there = there(&asked, PersonId(0), (cue, 60.0)).expect("on the floor");
        pose(&asked, &there).expect("a pose")
    }

    /// On a mark the eyes look along its facing, 35 degrees down: by hand from the mark and the class of the demo.
    #[test]
    fn eyes_look_along_the_facing_of_the_mark_and_down() {
        let asked = asked_of("clock-cabinet", "Presenter", &[("cue", "3")]);
        let show = &asked.project().show;
        let place = show.places_in(&show.cues[3])[0];
        let (mark, class) = (&show.marks[place.mark.expect("a mark").index()], &show.classes[0]);
        let pose = seen(&[]);
        assert_eq!((pose.centre.x, pose.centre.y), (mark.at.x, mark.at.y));
        assert!((pose.centre.z - class.eye_m).abs() < 1e-6, "{pose:?} {class:?}");
        let flat = 35_f32.to_radians().cos();
        let (x, y) = (mark.facing_deg.to_radians().cos() * flat, mark.facing_deg.to_radians().sin() * flat);
        let off = [pose.ahead[0] - x, pose.ahead[1] - y, pose.ahead[2] + 35_f32.to_radians().sin()];
        assert!(off.iter().all(|d| d.abs() < 1e-5), "{pose:?}");
        // A quarter to the left of the facing is a quarter counter-clockwise.
        let left = seen(&[("pan", "90"), ("tilt", "0")]);
        assert!((left.ahead[0] + y / flat).abs() < 1e-5 && (left.ahead[1] - x / flat).abs() < 1e-5, "{left:?}");
    }

    #[test]
    fn who_is_not_there_sees_nothing_and_who_is_there_is_named() {
        let asked = asked_of("clock-cabinet", "Nobody", &[("cue", "3")]);
        let told = picture(&asked, &mut Easel::new()).expect_err("no such person").words;
        assert!(told.contains("Presenter"), "{told}");
    }
}
