//! A small invented stage: 3 m square, two open sides, a step unit, everything that can be drawn.

use crate::floor::Block;
use crate::floor::block::{Canvas, Lay, Output};
use crate::geom::StagePoint;
use crate::show::*;
use crate::units::Angle;

use super::p;

pub(super) const WHOS: [Who; 4] = [Who::WhiteCircle, Who::AmberSquare, Who::CyanTriangle, Who::MagentaDiamond];
pub(super) const KINDS: [MarkKind; 4] = [MarkKind::Tee, MarkKind::Bracket, MarkKind::Ring, MarkKind::Cross];

/// A floor of `columns` x `rows` panels of 0.5 m and `px` pixels, centred on the origin.
pub(super) fn floor(columns: u16, rows: u16, px: u16) -> Show {
    let mut show = Show::default();
    let canvas = Canvas {
        name: "floor".try_into().unwrap(),
        width_px: columns * px,
        height_px: rows * px,
        output: Output::Layer,
        controller: 0,
    };
    show.canvases.push(canvas).unwrap();
    let (width_m, depth_m) = (f32::from(columns) * 0.5, f32::from(rows) * 0.5);
    let lay = Lay { centre: p(0.0, 0.0), width_m, depth_m, turn: Angle::from_degrees(0.0) };
    show.blocks
        .push(Block::laid("main".try_into().unwrap(), 0, (0, 0), (columns, rows), (px, px), &lay).unwrap())
        .unwrap();
    let (x, y) = (width_m / 2.0, depth_m / 2.0);
    show.floor.vertices.extend([p(-x, -y), p(x, -y), p(x, y), p(-x, y)]);
    show.floor.edges.extend([Edge::Open, Edge::Open, Edge::Wall, Edge::Wall]);
    show.floor.edge_band_m = 0.3;
    show.floor.step_m = 0.12;
    show
}

/// The stage with its people, marks, props, lines and cues.
pub(super) fn stage() -> Show {
    let mut show = floor(6, 6, 128);
    show.entries
        .push(Entry { name: "step".try_into().unwrap(), at: p(1.5, 0.4), width_m: 0.6, passage: Passage::Both })
        .unwrap();
    let class = PersonClass {
        name: "mid".try_into().unwrap(),
        height_m: 1.72,
        eye_m: 1.6,
        radius_m: 0.25,
        walk_width_m: 0.9,
        pace_mps: 0.9,
        chair_m: None,
    };
    show.classes.push(class).unwrap();
    for who in WHOS {
        let sight = if who == Who::MagentaDiamond { Sight::Low } else { Sight::Typical };
        show.people.push(Person { name: "role".try_into().unwrap(), class: ClassId(0), who, sight }).unwrap();
    }
    for (i, (at, facing)) in
        [(p(-0.9, 0.1), 303.0), (p(0.75, 0.55), 281.0), (p(0.75, -0.75), 17.0), (p(-0.6, -0.8), 200.0)]
            .iter()
            .enumerate()
    {
        show.marks.push(mark(*at, *facing, KINDS[i])).unwrap();
    }
    lines(&mut show);
    props(&mut show);
    cues(&mut show);
    show.validate().unwrap();
    show
}

pub(super) fn mark(at: StagePoint, facing_deg: f32, kind: MarkKind) -> Mark {
    let label = "C2".try_into().unwrap();
    Mark { name: "C2".try_into().unwrap(), label, at, facing_deg, kind, person: None, who: Who::WhiteCircle }
}

fn lines(show: &mut Show) {
    let points = [p(1.4, 0.4), p(0.9, 0.4), p(0.75, 0.55), p(-0.9, 0.1), p(-0.2, -1.0), p(0.75, -0.75)];
    show.line_points.extend(points.map(LinePoint::sharp));
    for (first, dots) in [(0, Dots::Chevrons), (3, Dots::Discs)] {
        let line = Line {
            name: "way".try_into().unwrap(),
            points: Run { first, len: 3 },
            dots,
            dot_m: 0.1,
            spacing_m: 0.3,
            corridor_m: 0.9,
            who: Who::WhiteCircle,
            planned: false,
        };
        show.lines.push(line).unwrap();
    }
}

fn props(show: &mut Show) {
    show.part_vertices.extend([p(-0.4, -0.3), p(0.4, -0.3), p(0.4, 0.3), p(-0.4, 0.3)]);
    let shapes = [
        PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.35 },
        PartShape::Ring { at: p(0.0, 0.0), inner_m: 0.5, outer_m: 0.8, gap_deg: 270.0, gap_m: 0.5 },
        PartShape::Ring { at: p(0.0, 0.0), inner_m: 0.5, outer_m: 0.8, gap_deg: 0.0, gap_m: 0.0 },
        PartShape::Polygon(Run { first: 0, len: 4 }),
    ];
    for shape in shapes {
        for (bottom_m, top_m) in [(0.0, 0.9), (0.5, 1.5), (2.4, 3.0)] {
            let part = Part { shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false };
            show.parts.push(part).unwrap();
            let parts = Run { first: show.parts.len() as u16 - 1, len: 1 };
            let prop = Prop { name: "DOME".try_into().unwrap(), at: p(-0.2, 0.3), turn_deg: 20.0, parts };
            show.props.push(prop).unwrap();
        }
    }
}

/// One cue per prop, with its life changing from cue to cue and the people going round the marks.
fn cues(show: &mut Show) {
    let lives = [Presence::Coming, Presence::Live, Presence::Leaving];
    for i in 0..show.props.len() as u16 {
        let presence = lives[usize::from(i) / 4 % 3];
        let prop = CueProp { prop: PropId(i as u8), presence, coming_ms: 0, motion: None };
        show.cue_props.push(prop).unwrap();
        for person in 0..4_u16 {
            let mark = MarkId(((person + i) % 4) as u8);
            let line = (mark.0 == 1).then_some(LineId(0)).or((mark.0 == 2).then_some(LineId(1)));
            let place = CuePlace { person: PersonId(person as u8), mark: Some(mark), line };
            show.cue_places.push(place).unwrap();
        }
        let cue = Cue {
            number: u32::from(i + 1) * 100,
            name: "cue".try_into().unwrap(),
            mode: Mode::Brief,
            at: None,
            time_limit_ms: 0,
            props: Run { first: i, len: 1 },
            places: Run { first: 4 * i, len: 4 },
            shots: Run::default(),
        };
        show.cues.push(cue).unwrap();
    }
}
