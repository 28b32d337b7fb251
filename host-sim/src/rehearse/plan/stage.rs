//! The stage: floor, canvases and their blocks, walls, entries, physical things, and how they are named.

use serde_json::{Value, json};
use underfoot_core::geom::StagePoint;
use underfoot_core::props::physical;
use underfoot_core::show::{CameraKind, Show};

use super::line;
use super::loops::{metres, point, points};
use super::words;
use crate::project::Project;

/// What never moves.
pub(super) fn value(project: &Project) -> Vec<(&'static str, Value)> {
    let show = &project.show;
    let naming = &project.naming;
    vec![
        (
            "naming",
            json!({
                "places": words::places(naming.places),
                "lengths": words::lengths(naming.lengths),
                "grid_m": metres(naming.grid_m),
            }),
        ),
        ("hot", json!(words::hot(show.control.hot))),
        ("floor", floor(show)),
        ("extent", extent(show)),
        ("canvases", canvases(show)),
        ("blocks", blocks(show)),
        ("walls", walls(project)),
        ("entries", entries(project)),
        ("physicals", physicals(project)),
    ]
}

fn floor(show: &Show) -> Value {
    json!({
        "outline": points(&show.floor.vertices),
        "edges": show.floor.edges.iter().map(|edge| words::edge(*edge)).collect::<Vec<_>>(),
        "inset_m": metres(show.floor.edge_band_m),
        "step_m": metres(show.floor.step_m),
    })
}

/// Round everything: floor, panels, walls, physical things, cameras wherever shots have them.
fn extent(show: &Show) -> Value {
    let (mut low, mut high) = ((f32::MAX, f32::MAX), (f32::MIN, f32::MIN));
    let mut take = |p: StagePoint| {
        low = (low.0.min(p.x), low.1.min(p.y));
        high = (high.0.max(p.x), high.1.max(p.y));
    };
    show.floor.vertices.iter().for_each(|p| take(*p));
    show.blocks.iter().flat_map(|block| block.corners()).for_each(&mut take);
    show.walls.iter().flat_map(|wall| [wall.from, wall.to]).for_each(&mut take);
    show.marks.iter().for_each(|mark| take(mark.at));
    show.line_points.iter().for_each(|p| take(p.at));
    show.shot_keys.iter().for_each(|key| take(key.from.on_floor()));
    let bases = show.cameras.iter().filter_map(|camera| match camera.kind {
        CameraKind::Jib { base, .. } => Some(base.on_floor()),
        _ => None,
    });
    bases.for_each(&mut take);
    let rectangles = show.physicals.iter().filter_map(|thing| physical::rectangle(thing).ok());
    rectangles.for_each(|area| area.vertices().iter().for_each(|p| take(*p)));
    json!([metres(low.0), metres(low.1), metres(high.0), metres(high.1)])
}

fn canvases(show: &Show) -> Value {
    let one = |canvas: &underfoot_core::floor::Canvas| json!({ "name": canvas.name.as_str(), "width": canvas.width_px, "height": canvas.height_px });
    show.canvases.iter().map(one).collect()
}

/// Blocks with their map from canvas pixels to stage metres: X = a x + b y + c, Y = d x + e y + f.
fn blocks(show: &Show) -> Value {
    let one = |block: &underfoot_core::floor::Block| {
        let (map, origin) = (&block.map, block.map.origin);
        json!({
            "name": block.name.as_str(),
            "canvas": block.canvas,
            "x": block.x_px,
            "y": block.y_px,
            "w": block.width_px,
            "h": block.height_px,
            "height_m": metres(block.height_m),
            "map": [map.per_px_x.x, map.per_px_y.x, origin.x, map.per_px_x.y, map.per_px_y.y, origin.y],
        })
    };
    show.blocks.iter().map(one).collect()
}

fn walls(project: &Project) -> Value {
    let one = |(i, wall): (usize, &underfoot_core::show::Wall)| {
        json!({
            "name": wall.name.as_str(),
            "from": point(wall.from),
            "to": point(wall.to),
            "bottom_m": metres(wall.bottom_m),
            "top_m": metres(wall.top_m),
            "line": line(project, "walls", i),
        })
    };
    project.show.walls.iter().enumerate().map(one).collect()
}

fn entries(project: &Project) -> Value {
    let one = |(i, entry): (usize, &underfoot_core::show::Entry)| {
        json!({
            "name": entry.name.as_str(),
            "at": point(entry.at),
            "width_m": metres(entry.width_m),
            "passage": words::passage(entry.passage),
            "line": line(project, "entries", i),
        })
    };
    project.show.entries.iter().enumerate().map(one).collect()
}

fn physicals(project: &Project) -> Value {
    let one = |(i, thing): (usize, &underfoot_core::show::Physical)| {
        let outline = physical::rectangle(thing).map(|area| points(area.vertices()));
        json!({
            "name": thing.name.as_str(),
            "kind": words::physical(thing.kind),
            "outline": outline.unwrap_or(json!([])),
            "height_m": metres(thing.height_m),
            "line": line(project, "physicals", i),
        })
    };
    project.show.physicals.iter().enumerate().map(one).collect()
}
