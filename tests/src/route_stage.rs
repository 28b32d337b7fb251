//! Random small stages for walks: floors with dents, bands and entries, and what stands and moves on them.

use std::f64::consts::TAU;

use heapless::Vec as Bounded;
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{
    Cue, CueProp, Edge, Entry, Layer, Motion, MotionId, MotionKey, MotionKind, Part, PartShape, Passage, PersonClass,
    Physical, PhysicalKind, Presence, Prop, PropId, Run, Show, StepOver,
};

use crate::dice::Dice;

/// Half the floor's width and depth, metres.
type Half = (f64, f64);

/// A stage with one cue and one person class.
pub fn random_stage(dice: &mut Dice) -> Box<Show> {
    let mut show = Box::new(Show::default());
    show.survey_allowance_m = if dice.one_in(2) { 0.0 } else { dice.between(0.0, 0.01) as f32 };
    show.latency_ms = 140;
    let half = (dice.between(2.5, 6.0), dice.between(2.0, 5.0));
    floor(&mut show, dice, half);
    class(&mut show, dice);
    (0..2 + dice.below(7)).for_each(|_| prop(&mut show, dice, half));
    physicals(&mut show, dice, half);
    let props = Run { first: 0, len: show.cue_props.len() as u16 };
    push(&mut show.cues, Cue { number: 100, props, ..Cue::default() });
    show
}

/// Puts something into a show's list.
///
/// # Panics
/// When the list is full.
pub fn push<T, const N: usize>(list: &mut Bounded<T, N>, item: T) {
    assert!(list.push(item).is_ok(), "a full list");
}

fn point(x: f64, y: f64) -> StagePoint {
    StagePoint::new(x as f32, y as f32)
}

fn somewhere(dice: &mut Dice, (w, d): Half) -> StagePoint {
    point(dice.between(-w, w), dice.between(-d, d))
}

/// A rectangle, or one with a corner or a notch cut out, or one with slanting sides; one or two entries.
fn floor(show: &mut Show, dice: &mut Dice, (w, d): Half) {
    let downstage = [(-w, -d), (w, -d)];
    let upstage = match dice.below(5) {
        0 => vec![(w, d), (-w / 3.0, d), (-w / 3.0, d / 3.0), (-w, d / 3.0)],
        1 => vec![(w, d), (w / 4.0, d), (w / 5.0, -d / 4.0), (-w / 5.0, -d / 4.0), (-w / 4.0, d), (-w, d)],
        2 => vec![(w * 1.1, 0.0), (w / 2.0, d), (-w / 3.0, d * 1.1), (-w * 0.9, d / 2.0)],
        _ => vec![(w, d), (-w, d)],
    };
    for (x, y) in downstage.into_iter().chain(upstage) {
        push(&mut show.floor.vertices, point(x, y));
        push(&mut show.floor.edges, [Edge::Open, Edge::Wall, Edge::Level][dice.below(3)]);
    }
    show.floor.edge_band_m = dice.between(0.1, 0.5) as f32;
    let x = dice.between(-w / 2.0, w / 2.0);
    entry(show, dice, point(x, -d));
    if dice.one_in(2) {
        // The middle of the side at stage left.
        let (a, b) = (show.floor.vertices[1], show.floor.vertices[2]);
        entry(show, dice, StagePoint::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0));
    }
}

fn entry(show: &mut Show, dice: &mut Dice, at: StagePoint) {
    let width_m = dice.between(0.5, 1.2) as f32;
    push(&mut show.entries, Entry { name: Default::default(), at, width_m, passage: Passage::Both });
}

fn class(show: &mut Show, dice: &mut Dice) {
    let class = PersonClass {
        name: Default::default(),
        height_m: 1.7,
        eye_m: 1.6,
        radius_m: dice.between(0.18, 0.32) as f32,
        walk_width_m: 0.9,
        pace_mps: 0.8,
        chair_m: dice.one_in(6).then_some((0.7, 1.2)),
    };
    push(&mut show.classes, class);
}

/// A disc, a box, a turned polygon or a ring with a gap; now and then one that moves, and one overhead.
fn prop(show: &mut Show, dice: &mut Dice, half: Half) {
    let at = somewhere(dice, half);
    let local = point(dice.between(-0.1, 0.1), dice.between(-0.1, 0.1));
    let shape = match dice.below(4) {
        0 => PartShape::Disc { at: local, radius_m: dice.between(0.05, 0.9) as f32 },
        1 => {
            let inner = dice.between(0.8, 1.6);
            let outer = inner + dice.between(0.1, 0.4);
            let gap_m = if dice.one_in(6) { 0.0 } else { dice.between(0.9, 1.6 * outer) as f32 };
            let gap_deg = dice.between(-180.0, 180.0) as f32;
            PartShape::Ring { at: local, inner_m: inner as f32, outer_m: outer as f32, gap_deg, gap_m }
        }
        2 => {
            let (x, y) = (dice.between(0.05, 0.9), dice.between(0.05, 0.6));
            polygon(show, &[(-x, -y), (x, -y), (x, y), (-x, y)])
        }
        _ => {
            // Corners on an ellipse, evenly spread but for a quarter of a step: always convex.
            let count = 3 + dice.below(6);
            let (x, y) = (dice.between(0.2, 1.0), dice.between(0.2, 0.7));
            let angle = |i: usize, by: f64| TAU * (i as f64 + by) / count as f64;
            let corners: Vec<_> = (0..count).map(|i| angle(i, dice.between(0.0, 0.25))).collect();
            let corners: Vec<_> = corners.iter().map(|a| (x * a.cos(), y * a.sin())).collect();
            polygon(show, &corners)
        }
    };
    let (bottom_m, top_m) = if dice.one_in(8) { (2.3, 2.9) } else { (0.0, dice.between(0.1, 2.2) as f32) };
    let part = Part { shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false };
    let parts = Run { first: show.parts.len() as u16, len: 1 };
    push(&mut show.parts, part);
    let id = PropId(show.props.len() as u8);
    let turn_deg = dice.between(-180.0, 180.0) as f32;
    push(&mut show.props, Prop { name: Default::default(), at, turn_deg, parts });
    let motion = dice.one_in(10).then(|| straight_move(show, dice, (id, at)));
    let presence = [Presence::Live, Presence::Leaving, Presence::Coming][dice.below(3)];
    push(&mut show.cue_props, CueProp { prop: id, presence, coming_ms: 3000, motion });
}

fn polygon(show: &mut Show, corners: &[(f64, f64)]) -> PartShape {
    let first = show.part_vertices.len() as u16;
    corners.iter().for_each(|&(x, y)| push(&mut show.part_vertices, point(x, y)));
    PartShape::Polygon(Run { first, len: corners.len() as u16 })
}

fn straight_move(show: &mut Show, dice: &mut Dice, (prop, from): (PropId, StagePoint)) -> MotionId {
    let keys = Run { first: show.motion_keys.len() as u16, len: 2 };
    let to = StagePoint::new(from.x + dice.between(-1.0, 1.0) as f32, from.y + dice.between(-1.0, 1.0) as f32);
    push(&mut show.motion_keys, MotionKey { at_s: 0.0, place: from });
    push(&mut show.motion_keys, MotionKey { at_s: dice.between(2.0, 8.0) as f32, place: to });
    push(&mut show.motions, Motion { prop, kind: MotionKind::Keys { keys, ease: false } });
    MotionId(show.motions.len() as u8 - 1)
}

/// Furniture, a column, and a platform that only its raised sides keep people from.
fn physicals(show: &mut Show, dice: &mut Dice, (w, d): Half) {
    for kind in [PhysicalKind::Furniture, PhysicalKind::Column, PhysicalKind::Riser, PhysicalKind::Rug] {
        if dice.one_in(3) {
            let centre = somewhere(dice, (w / 2.0, d / 2.0));
            let (width_m, depth_m) = (dice.between(0.2, 1.5) as f32, dice.between(0.2, 1.2) as f32);
            let turn_deg = dice.between(0.0, 90.0) as f32;
            let height_m = if kind == PhysicalKind::Rug { 0.01 } else { dice.between(0.1, 0.6) as f32 };
            let (name, step_over) = (Default::default(), StepOver::Never);
            let thing = Physical { name, kind, centre, width_m, depth_m, turn_deg, height_m, step_over };
            push(&mut show.physicals, thing);
        }
    }
}
