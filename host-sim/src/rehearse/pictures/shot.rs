//! What a camera sees at a moment of a cue, and what is measured there.

use serde_json::{Value, json};
use underfoot_core::cameras::{Framing, View, shots};
use underfoot_core::show::{ShotId, ShotKind};

use super::asked::{Asked, Unserved};
use super::floor;
use super::studio::{Answer, PNG};
use crate::cli::draw::set::Set;
use crate::cli::draw::shots::views_of;
use crate::rehearse::plan::people;
use crate::rehearse::plan::words::{shape, who};
use crate::render::shot::{Actor, Figures, Moment, long, solids_at};
use crate::render::{CanvasPixels, Easel, png};

/// Width of a picture in pixels: the least, the most, and without a wish.
const WIDTH_PX: (usize, usize, usize) = (64, 1920, 480);

/// The picture.
pub(super) fn picture(asked: &Asked, easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "t", "w", "mode"])?;
    let width = width(asked)?;
    let shot = shot(asked)?;
    let canvases = floor::lit(asked, easel)?;
    let picture = set(asked, canvases)?.picture(&view(asked, shot)?, width);
    png::quick_picture(&picture).map_err(Unserved::failed).map(|bytes| Answer::shown(PNG, bytes))
}

/// The figures.
pub(super) fn figures(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "t"])?;
    let view = view(asked, shot(asked)?)?;
    let set = set(asked, Vec::new())?;
    let people = set.actors().iter().map(|actor| person(asked, actor, &set.figures((&view, &[]), actor)));
    Ok(Answer::json(&json!({
        "shot": asked.name,
        "words": set.shot_words(&view),
        "focal_mm": view.focal_mm,
        "notes": set.notes(&view),
        "people": people.collect::<Vec<_>>(),
    })))
}

/// The width that is wished for, pixels.
pub(super) fn width(asked: &Asked) -> Result<usize, Unserved> {
    let (least, most, usual) = WIDTH_PX;
    Ok(asked.number("w", least..=most, "the width of the picture in pixels")?.unwrap_or(usual))
}

fn shot(asked: &Asked) -> Result<ShotId, Unserved> {
    let names = asked.project().show.shots.iter().map(|shot| shot.name.as_str());
    asked.named("shot", names).map(|index| ShotId(index as u8))
}

/// The shot as it is then: a move goes with the cue, all others stand at their first key.
fn view(asked: &Asked, id: ShotId) -> Result<View, Unserved> {
    let show = &asked.project().show;
    let moves = show.shots.get(id.index()).is_some_and(|shot| shot.kind == ShotKind::Move);
    if let (true, Some(t_s)) = (moves, asked.seconds()?) {
        return shots::view_at(show, id, t_s)
            .map_err(|fault| Unserved::failed(format!("shot \"{}\" has no picture then: {fault:?}", asked.name)));
    }
    let views = views_of(show, id).map_err(|refusal| Unserved::failed(refusal.0))?;
    views.into_iter().next().ok_or_else(|| Unserved::failed(format!("shot \"{}\" has no picture", asked.name)))
}

/// Everything in the cue: then, or when its moves have ended and everybody has arrived.
fn set(asked: &Asked, canvases: Vec<CanvasPixels>) -> Result<Set<'_>, Unserved> {
    let (project, (id, cue)) = (asked.project(), asked.must_cue()?);
    let shapeless = |fault| Unserved::failed(format!("a part of a prop has no shape: {fault:?}"));
    let planned = Moment::at_end(&project.show, cue).map_err(shapeless)?;
    let moment = match asked.seconds()? {
        Some(at_s) => Moment {
            at_s,
            moves: planned.moves,
            solids: solids_at(&project.show, cue, at_s).map_err(shapeless)?,
            actors: people::actors(project, id.index(), at_s),
        },
        None => planned,
    };
    let mode = asked.mode()?.unwrap_or(cue.mode);
    Ok(Set::of(project, cue, (mode, canvases), moment))
}

fn person(asked: &Asked, actor: &Actor, figures: &Figures) -> Value {
    // The name has a field of its own.
    let words = long(&asked.project().show, actor, figures).pop().map_or_else(
        || "not in the picture".to_owned(),
        |line| line.words.strip_prefix(&format!("{} ", actor.name)).unwrap_or(&line.words).to_owned(),
    );
    let framing = match figures.framed.state {
        Framing::Out => "out",
        Framing::Beside => "beside",
        Framing::Framed => "framed",
        Framing::Cut(_) if figures.is_cut() => "cut",
        Framing::Cut(_) => "in-passing",
    };
    json!({
        "name": actor.name,
        "mark": actor.mark,
        "who": who(actor.who),
        "shape": shape(actor.who),
        "framing": framing,
        "words": words,
        "flawed": figures.is_flawed(),
        "painted_over": figures.painted.share.whole,
        "hidden": figures.hidden.share.whole,
        "in_front": figures.in_front.share.whole,
        "off_wall_m": figures.off_wall.map(|off| off.over_m()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rehearse::pictures::studio::asked_of;

    /// HARBOUR HOUR's jib goes on through its move; a picture of another second is another picture.
    #[test]
    fn a_move_is_where_it_is_at_the_moment() {
        let at = |t: &str| {
            let asked = asked_of("harbour-hour-clean", "J-MOVE", &[("cue", "6"), ("t", t)]);
            let id = shot(&asked).expect("a shot");
            view(&asked, id).expect("a view").pose.centre
        };
        let (start, middle, end) = (at("0"), at("6"), at("12"));
        assert!(start != middle && middle != end);
        assert_eq!(at("50"), end);
    }

    #[test]
    fn figures_have_words_for_everybody_of_the_cue() {
        let asked = asked_of("clock-cabinet", "1-WIDE", &[("cue", "3"), ("t", "20")]);
        let answer = figures(&asked, &mut Easel::new()).expect("figures");
        let value: Value = serde_json::from_slice(&answer.bytes).expect("JSON");
        let people = value["people"].as_array().expect("people");
        assert!(!people.is_empty());
        assert!(people.iter().all(|p| p["words"].as_str().is_some_and(|w| w.starts_with("at "))), "{value}");
        assert!(value["notes"].as_array().is_some_and(|notes| !notes.is_empty()), "{value}");
    }
}
