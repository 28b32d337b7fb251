//! What a cue's pictures ask of people and crew: in-shot zones, camera wedges, and the ways of jibs.

use serde_json::{Value, json};
use underfoot_core::show::{CameraId, CameraKind, ShotId, Show};

use super::loops::{metres, point, points};
use super::words::{shape, who};
use crate::cli::draw::in_shot::{Found, InShot, NO_SHOTS, zones as traced};
use crate::cli::draw::{bounds, crew};
use crate::project::Project;
use crate::rehearse::pictures::asked::{Asked, Unserved};
use crate::rehearse::pictures::studio::Answer;
use crate::render::Easel;

/// The in-shot zones of everybody in a cue.
pub(super) fn zones(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue"])?;
    let (project, (id, cue)) = (asked.project(), asked.must_cue()?);
    if project.show.shots_in(cue).is_empty() {
        return Ok(Answer::json(&json!({ "cue": id.0, "zones": [], "words": NO_SHOTS })));
    }
    let found = traced(project, cue).map_err(|refusal| Unserved::failed(refusal.0))?;
    let zones: Vec<Value> = found.iter().map(|zone| one(project, zone)).collect();
    Ok(Answer::json(&json!({ "cue": id.0, "zones": zones, "words": "about pictures only" })))
}

fn one(project: &Project, zone: &InShot) -> Value {
    let (loops, area_m2) = match &zone.found {
        Found::Zone { rings, piece, .. } => (rings.as_slice(), metres(piece.area_m2)),
        Found::NoShot | Found::Empty(_) => (&[][..], 0.0),
    };
    let ring = |ring: &Vec<_>| {
        json!({
            "points": ring.iter().map(|(p, _)| point(*p)).collect::<Vec<_>>(),
            "sides": ring.iter().map(|(_, bound)| bounds::words(project, bound)).collect::<Vec<_>>(),
        })
    };
    json!({
        "person": zone.actor.name,
        "mark": zone.actor.mark,
        "who": who(zone.actor.who),
        "shape": shape(zone.actor.who),
        "loops": loops.iter().map(ring).collect::<Vec<_>>(),
        // Where no shot is about somebody there is nothing to be empty.
        "empty": matches!(zone.found, Found::Empty(_)),
        "area_m2": area_m2,
        "words": zone.words(),
    })
}

/// Where crew keep out of pictures, and of the arms of jibs.
pub(super) fn wedges(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue"])?;
    let (show, (id, cue)) = (&asked.project().show, asked.must_cue()?);
    let wedges = crew::wedges(show, cue).into_iter().map(|wedge| {
        json!({
            "shot": shot_name(show, wedge.shot),
            "camera": camera_name(show, wedge.camera),
            "outline": points(&wedge.points),
            "name_at": point(wedge.name_at),
        })
    });
    let jibs = crew::sweeps(show, cue).into_iter().map(|(shot, sweep)| {
        let camera = show.shots.get(shot.index()).map(|shot| shot.camera);
        let tail = crew::on_plan(&sweep.tail);
        json!({
            "shot": shot_name(show, shot),
            "camera": camera.map(|id| camera_name(show, id)),
            "outline": camera.and_then(|id| swept(show, id, &tail)).unwrap_or_else(|| points(&tail)),
            "tail": points(&tail),
            "low": crew::low_ways(&sweep).iter().map(points).collect::<Vec<_>>(),
            "lowest_m": sweep.low.map(|low| metres(low.lowest_m)),
            "words": crew::sweep_words(show, shot, &sweep),
        })
    });
    let (wedges, jibs): (Vec<_>, Vec<_>) = (wedges.collect(), jibs.collect());
    Ok(Answer::json(&json!({ "cue": id.0, "wedges": wedges, "jibs": jibs })))
}

/// What the tail of a jib swings over: from its base to its end all along the way.
fn swept(show: &Show, camera: CameraId, tail: &[underfoot_core::geom::StagePoint]) -> Option<Value> {
    let CameraKind::Jib { base, .. } = show.cameras.get(camera.index())?.kind else { return None };
    let base = base.on_floor();
    Some(points(std::iter::once(&base).chain(tail)))
}

fn shot_name(show: &Show, id: ShotId) -> &str {
    show.shots.get(id.index()).map_or("", |shot| shot.name.as_str())
}

fn camera_name(show: &Show, id: CameraId) -> &str {
    show.cameras.get(id.index()).map_or("", |camera| camera.name.as_str())
}

#[cfg(test)]
mod tests {
    use underfoot_core::geom::{StagePoint, polygon};

    use super::*;
    use crate::rehearse::pictures::studio::Work;
    use crate::rehearse::pictures::studio::asked_of;

    fn told(work: Work, demo: &str, cue: usize) -> Value {
        let asked = asked_of(demo, "", &[("cue", &cue.to_string())]);
        serde_json::from_slice(&work(&asked, &mut Easel::new()).expect("an answer").bytes).expect("JSON")
    }

    fn ring(points: &Value) -> Vec<StagePoint> {
        let point = |p: &Value| StagePoint::new(p[0].as_f64().unwrap() as f32, p[1].as_f64().unwrap() as f32);
        points.as_array().expect("points").iter().map(point).collect()
    }

    /// The area that is told is that of the loops, and every side says what bounds it.
    #[test]
    fn zones_have_the_area_of_their_loops() {
        let told = told(zones, "clock-cabinet-clean", 3);
        let all = told["zones"].as_array().expect("zones");
        assert!(!all.is_empty());
        for zone in all.iter().filter(|zone| zone["loops"] != json!([])) {
            let loops = zone["loops"].as_array().expect("loops");
            let sum: f32 = loops.iter().map(|one| polygon::signed_area(&ring(&one["points"]))).sum();
            assert!((f64::from(sum) - zone["area_m2"].as_f64().unwrap()).abs() < 0.01, "{zone}");
            for one in loops {
                let sides = one["sides"].as_array().expect("sides");
                assert_eq!(sides.len(), one["points"].as_array().expect("points").len());
                assert!(sides.iter().all(|side| side.as_str().is_some_and(|words| !words.is_empty())));
            }
        }
    }

    #[test]
    fn a_cue_without_shots_says_so() {
        assert_eq!(told(zones, "clock-cabinet", 0)["words"], json!(NO_SHOTS));
    }

    /// HARBOUR HOUR's jib: wedges at both ends of the move, and a tail that stays as long as it is.
    #[test]
    fn wedges_and_jibs_are_told() {
        let asked = asked_of("harbour-hour-clean", "", &[]);
        let show = &asked.project().show;
        let has_move =
            |cue: &underfoot_core::show::Cue| show.shots_in(cue).iter().any(|id| shot_name(show, *id) == "J-MOVE");
        let told = told(wedges, "harbour-hour-clean", show.cues.iter().position(has_move).expect("a cue"));
        assert!(told["wedges"].as_array().is_some_and(|all| !all.is_empty()), "{told}");
        let jib = &told["jibs"][0];
        let outline = ring(&jib["outline"]);
        assert!(outline.len() > 2 && jib["words"].as_str().is_some_and(|w| w.contains("jib's head")), "{jib}");
        for wedge in told["wedges"].as_array().expect("wedges") {
            assert!(polygon::signed_area(&ring(&wedge["outline"])) > 0.0);
        }
    }
}
