//! What a cell is, in words.

use underfoot_core::geom::polygon;
use underfoot_core::link::{PlaceClass, What};
use underfoot_core::occupancy::{Cause, CellClass, Found};
use underfoot_core::props::Limit;
use underfoot_core::show::{PropId, Show};

use crate::project::Project;

/// The class as maps, legends and answers name it.
pub const fn class_word(class: CellClass) -> &'static str {
    match class {
        CellClass::Free => "free",
        CellClass::Contact => "contact",
        CellClass::Body => "body",
        CellClass::Overhead => "overhead",
        CellClass::SweptSoon => "swept soon",
        CellClass::Physical => "physical",
        CellClass::Edge => "edge",
        CellClass::Dead => "dead",
    }
}

/// What the class means, for a legend.
pub const fn class_meaning(class: CellClass) -> &'static str {
    match class {
        CellClass::Free => "nothing in the plan",
        CellClass::Contact => "prop at foot height, 0 to 0.2 m",
        CellClass::Body => "prop at body height, 0.2 to 2.3 m",
        CellClass::Overhead => "prop above 2.3 m only: nobody is kept off",
        CellClass::SweptSoon => "prop gets there in 3 s, or is announced",
        CellClass::Physical => "real thing, also one that people may step on",
        CellClass::Edge => "edge band, or beyond the floor",
        CellClass::Dead => "dead or missing panel: no mark can be lit",
    }
}

/// "body of BOAT (near hull)", "edge: band of the DS side", "free".
pub fn found_words(project: &Project, found: &Found) -> String {
    let class = class_word(found.class);
    let show = &project.show;
    match (found.class, found.cause) {
        (CellClass::SweptSoon, Some(Cause::Limit(Limit::Part { prop, part }))) => {
            format!("{class} by {}", part_name(project, prop, part))
        }
        (_, Some(Cause::Limit(Limit::Part { prop, part }))) => {
            format!("{class} of {}", part_name(project, prop, part))
        }
        (_, Some(Cause::Limit(Limit::Physical(i)))) => {
            format!("{class}: {}", show.physicals.get(usize::from(i)).map_or("?", |p| p.name.as_str()))
        }
        (_, Some(Cause::Limit(Limit::Edge(i)))) => format!("{class}: band of the {} side", side_word(show, i)),
        (_, Some(Cause::Limit(Limit::OffFloor))) => format!("{class}: beyond the floor"),
        (_, Some(Cause::Tile(i))) => format!("{class}: {}", panel_words(show, i)),
        (_, None) => class.into(),
    }
}

/// The class that a box answered.
pub const fn class_of_link(class: PlaceClass) -> CellClass {
    match class {
        PlaceClass::Free => CellClass::Free,
        PlaceClass::Contact => CellClass::Contact,
        PlaceClass::Body => CellClass::Body,
        PlaceClass::Overhead => CellClass::Overhead,
        PlaceClass::SweptSoon => CellClass::SweptSoon,
        PlaceClass::Physical => CellClass::Physical,
        PlaceClass::Edge => CellClass::Edge,
        PlaceClass::Dead => CellClass::Dead,
    }
}

/// What a box answered, as the map would have found it.
pub fn cause_of(what: What) -> Option<Cause> {
    Some(match what {
        What::Nothing | What::Mark(_) | What::Wall(_) => return None,
        What::Part { prop, part } => Cause::Limit(Limit::Part { prop, part }),
        What::Physical(i) => Cause::Limit(Limit::Physical(i)),
        What::Side(i) => Cause::Limit(Limit::Edge(i)),
        What::OffFloor => Cause::Limit(Limit::OffFloor),
        What::Panel(i) => Cause::Tile(i),
    })
}

fn part_name(project: &Project, prop: PropId, part: u8) -> String {
    let Some(data) = project.show.props.get(prop.index()) else { return format!("prop {}", prop.0) };
    let named = project.part_names.get(usize::from(data.parts.first) + usize::from(part));
    match named.filter(|n| !n.is_empty()) {
        Some(part) => format!("{} ({part})", data.name),
        None => data.name.to_string(),
    }
}

/// The direction in which a side of the floor looks outwards.
fn side_word(show: &Show, index: u8) -> &'static str {
    let side = polygon::sides(&show.floor.vertices).nth(index.into());
    // Counter-clockwise: outwards is to the right.
    let Some(out) = side.map(|(a, b)| -(b - a).perp()) else { return "outer" };
    match (out.x.abs() > out.y.abs(), out.x > 0.0, out.y > 0.0) {
        (true, true, _) => "SL",
        (true, false, _) => "SR",
        (false, _, true) => "US",
        (false, _, false) => "DS",
    }
}

fn panel_words(show: &Show, index: u8) -> String {
    let Some(fault) = show.tile_faults.get(usize::from(index)) else { return "panel".into() };
    let block = show.blocks.get(usize::from(fault.block)).map_or("?", |b| b.name.as_str());
    format!("panel c{} r{} of {block}", fault.column + 1, fault.row + 1)
}
