//! What is where at a moment of a cue: props in their lives, people on their ways, and where nobody may be.

use serde_json::{Value, json};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::{Level, Life, Placement, Reach, footprint, keepout, life_at, standing};
use underfoot_core::show::{Band, ClassId, Cue, CueProp, Layer, Prop, Show};

use super::loops::{self, metres, point};
use super::{people, script, words};
use crate::rehearse::pictures::asked::{Asked, Unserved};
use crate::rehearse::pictures::studio::Answer;
use crate::render::Easel;

/// Keep-outs of one cue.
const KEEPOUTS: usize = limits::PARTS + limits::PHYSICALS;

/// A moment of a cue; without one, the moment at which everything has ended.
pub(super) fn value(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "t"])?;
    let (project, (id, cue)) = (asked.project(), asked.must_cue()?);
    let t_s = asked.seconds()?.unwrap_or_else(|| script::lasts_s(project, id.index(), cue));
    let show = &project.show;
    Ok(Answer::json(&json!({
        "cue": id.0,
        "t_s": metres(t_s),
        "props": show.props_in(cue).iter().filter_map(|state| prop(show, cue, state, t_s)).collect::<Vec<_>>(),
        "people": people::value(project, id.index(), t_s),
        "keep_outs": keep_outs(show, cue, t_s)?,
    })))
}

const fn life_word(life: Life) -> &'static str {
    match life {
        Life::Gone => "gone",
        Life::Coming => "coming",
        Life::Live => "live",
        Life::Leaving => "leaving",
    }
}

fn prop(show: &Show, cue: &Cue, state: &CueProp, t_s: f32) -> Option<Value> {
    let prop = show.props.get(state.prop.index())?;
    let there = standing(show, cue, state, t_s).map(|(_, placement)| placement);
    Some(json!({
        "name": prop.name.as_str(),
        "life": life_word(life_at(show, state, t_s)),
        "at": there.map(|placement| point(placement.at)),
        "heading_deg": there.map(|placement| metres(placement.turn.to_degrees())),
        "outlines": there.map_or(Vec::new(), |placement| outlines(show, prop, &placement)),
    }))
}

/// What a prop covers, band by band and layer by layer.
fn outlines(show: &Show, prop: &Prop, placement: &Placement) -> Vec<Value> {
    let (bands, layers) =
        ([Band::Contact, Band::Body, Band::Overhead], [Layer::Overlay, Layer::Screen, Layer::Extension]);
    let pairs = bands.into_iter().flat_map(|band| layers.map(|layer| (band, layer)));
    let found = pairs.filter_map(|(band, layer)| {
        let parts = footprint::in_band(show, prop, placement, band);
        let of_layer = parts.filter(|(i, _)| show.parts_of(prop).get(*i).is_some_and(|part| part.layer == layer));
        // A part without a usable shape is told of by the checks.
        let rings: Vec<Vec<StagePoint>> =
            of_layer.filter_map(|(_, region)| region.ok()).flat_map(|region| loops::loops(&region)).collect();
        (!rings.is_empty())
            .then(|| json!({ "band": words::band(band), "layer": words::layer(layer), "loops": loops::value(&rings) }))
    });
    found.collect()
}

/// Where the midpoint between the heels may not be, for each class of body in the cue: hard clearances from what stands
/// or moves there then, with the lead of what moves.
fn keep_outs(show: &Show, cue: &Cue, t_s: f32) -> Result<Vec<Value>, Unserved> {
    let of_person = |place: &underfoot_core::show::CuePlace| show.people.get(place.person.index()).map(|p| p.class);
    let mut classes: Vec<ClassId> = show.places_in(cue).iter().filter_map(of_person).collect();
    classes.sort_unstable();
    classes.dedup();
    classes
        .into_iter()
        .filter_map(|id| show.classes.get(id.index()))
        .map(|class| {
            let reach = Reach::of(show, class, Level::Hard);
            let faulty = |fault| Unserved::failed(format!("a keep-out has no shape: {fault:?}"));
            let mut list = heapless::Vec::<_, KEEPOUTS>::new();
            for state in show.props_in(cue) {
                if let Some((_, placement)) = standing(show, cue, state, t_s) {
                    keepout::add_prop(&mut list, show, state.prop, &placement, &reach).map_err(faulty)?;
                }
            }
            keepout::add_physicals(&mut list, show, &reach).map_err(faulty)?;
            let rings: Vec<Vec<StagePoint>> = list.iter().flat_map(|keep_out| loops::loops(&keep_out.region)).collect();
            Ok(json!({ "class": class.name.as_str(), "loops": loops::value(&rings) }))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rehearse::pictures::studio::asked_of;

    fn at(demo: &str, cue: usize, t: &str) -> Value {
        let asked = asked_of(demo, "", &[("cue", &cue.to_string()), ("t", t)]);
        serde_json::from_slice(&value(&asked, &mut Easel::new()).expect("a moment").bytes).expect("JSON")
    }

    #[test]
    fn every_cue_of_every_demo_has_its_moments() {
        for (name, _) in crate::demos::DEMOS {
            let cues = asked_of(name, "", &[]).project().show.cues.len();
            for (cue, t) in (0..cues).flat_map(|cue| ["0", "3.7", "60"].map(|t| (cue, t))) {
                let told = at(name, cue, t);
                let lives = told["props"].as_array().expect("props").iter().map(|prop| &prop["life"]);
                let known = |life: &Value| ["coming", "live", "leaving", "gone"].map(Value::from).contains(life);
                assert!(lives.into_iter().all(known), "{name} {cue} {t}");
                for person in told["people"].as_array().expect("people") {
                    assert!(person["at"][0].is_f64() || person["at"][0].is_i64(), "{name} {cue} {t}: {person}");
                }
            }
        }
    }

    /// Whoever has arrived is on the mark and looks as it says.
    #[test]
    fn people_end_on_their_marks() {
        let asked = asked_of("clock-cabinet", "", &[]);
        let show = &asked.project().show;
        for cue in 0..show.cues.len() {
            for person in at("clock-cabinet", cue, "600")["people"].as_array().expect("people") {
                let Some(name) = person["mark"].as_str() else { continue };
                let mark = show.marks.iter().find(|mark| mark.name == name).expect("a mark");
                assert_eq!((&person["on"], &person["at"]), (&json!("mark"), &point(mark.at)));
                assert_eq!(person["facing_deg"].as_f64().map(|deg| deg as f32), Some(mark.facing_deg));
            }
        }
    }
}
