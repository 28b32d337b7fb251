//! A crowded floor: 32 props in uneven rows on the arena, and 12 walk lines through them. Invented.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{
    CueProp, Dots, Layer, Line, LinePoint, Name, Part, PartShape, Presence, Prop, PropId, Run, Show, Who,
};

use super::shows::demo;
use crate::dice::Dice;
use crate::route_stage::push;

/// Props, in rows of eight.
pub const PROPS: usize = 32;
/// Walk lines.
pub const LINES: usize = 12;
/// Width of the lines' corridors, metres.
pub const CORRIDOR_M: f32 = 0.9;

/// The show: one cue with all props, nobody placed, every line from a side of the floor to the other.
pub fn crowd() -> Box<Show> {
    let (mut show, mut dice) = (demo("lantern-field"), Dice::new(0xC0D));
    show.cues.truncate(1);
    (show.cues[0].props, show.cues[0].places) = (Run { first: 0, len: PROPS as u16 }, Run::default());
    show.cues[0].shots = Run::default();
    show.physicals.clear();
    show.motions.clear();
    show.motion_keys.clear();
    show.cue_props.clear();
    show.cue_places.clear();
    show.cue_shots.clear();
    show.props.clear();
    show.parts.clear();
    show.part_vertices.clear();
    show.lines.clear();
    show.line_points.clear();
    (0..PROPS).for_each(|i| prop(&mut show, &mut dice, i));
    (0..LINES).for_each(|i| line(&mut show, &mut dice, i));
    show
}

/// A disc, a box or a hexagon, about 1.5 m from its neighbours.
fn prop(show: &mut Show, dice: &mut Dice, i: usize) {
    let mut near = |middle: f64, off: f64| (middle + dice.between(-off, off)) as f32;
    let (column, row) = ((i % 8) as f64, (i / 8) as f64);
    // Rows are shifted, so that no straight way leads through them.
    let at = StagePoint::new(near(3.2 * column - 11.8 + 0.8 * (row % 2.0), 0.3), near(4.0 * row - 6.0, 0.4));
    let corners: &[(f32, f32)] = match i % 3 {
        0 => &[],
        1 => &[(-0.7, -0.4), (0.7, -0.4), (0.7, 0.4), (-0.7, 0.4)],
        _ => &[(0.8, 0.0), (0.4, 0.7), (-0.4, 0.7), (-0.8, 0.0), (-0.4, -0.7), (0.4, -0.7)],
    };
    let first = show.part_vertices.len() as u16;
    corners.iter().for_each(|&(x, y)| push(&mut show.part_vertices, StagePoint::new(x, y)));
    let shape = match corners.len() as u16 {
        0 => PartShape::Disc { at: StagePoint::default(), radius_m: near(0.65, 0.2) },
        len => PartShape::Polygon(Run { first, len }),
    };
    let parts = Run { first: i as u16, len: 1 };
    push(&mut show.parts, Part { shape, bottom_m: 0.0, top_m: 2.0, layer: Layer::Overlay, transparent: false });
    let turn_deg = near(0.0, 90.0);
    push(&mut show.props, Prop { name: Name::default(), at, turn_deg, parts });
    let state = CueProp { prop: PropId(i as u8), presence: Presence::Live, coming_ms: 0, motion: None };
    push(&mut show.cue_props, state);
}

/// From stage right to stage left, or from downstage to upstage.
fn line(show: &mut Show, dice: &mut Dice, i: usize) {
    let mut any = |half: f64| dice.between(-half, half) as f32;
    let [from, to] = match i % 3 {
        0 => [StagePoint::new(any(11.0), -9.0), StagePoint::new(any(11.0), 9.0)],
        _ => [StagePoint::new(-14.0, any(8.0)), StagePoint::new(14.0, any(8.0))],
    };
    let points = Run { first: show.line_points.len() as u16, len: 2 };
    [from, to].into_iter().for_each(|at| push(&mut show.line_points, LinePoint::sharp(at)));
    let line = Line {
        name: Name::default(),
        points,
        dots: Dots::Discs,
        dot_m: 0.1,
        spacing_m: 0.5,
        corridor_m: CORRIDOR_M,
        who: Who::default(),
        planned: true,
    };
    push(&mut show.lines, line);
}
