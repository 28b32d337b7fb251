//! Random small stages for zones: a floor, walls, one person class, a picture or two, props.

use heapless::Vec as Bounded;
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::cameras::{Crop, LowerLine};
use underfoot_core::show::{
    Camera, CameraId, CameraKind, Cue, CueProp, Edge, Entry, Layer, Lens, Motion, MotionId, MotionKey, MotionKind,
    Part, PartShape, Passage, PersonClass, Physical, PhysicalKind, Presence, Prop, PropId, Run, Shot, ShotKey,
    ShotKind, Show, StepOver, Wall,
};

use crate::dice::Dice;

/// A random stage with one cue.
pub fn random_stage(dice: &mut Dice) -> Show {
    let mut show = Show::default();
    let (half_w, half_d) = (dice.between(1.3, 2.0) as f32, dice.between(1.2, 1.8) as f32);
    show.survey_allowance_m = if dice.one_in(2) { 0.0 } else { dice.between(0.0, 0.01) as f32 };
    floor(&mut show, dice, (half_w, half_d));
    class(&mut show, dice);
    (0..1 + dice.below(2)).for_each(|_| shot(&mut show, dice));
    (0..1 + dice.below(3)).for_each(|_| prop(&mut show, dice, (half_w, half_d)));
    physicals(&mut show, dice, (half_w, half_d));
    let count = show.props.len();
    for i in 0..count {
        let motion = show.motions.iter().position(|m| m.prop.index() == i).map(|m| MotionId(m as u8));
        let state = CueProp { prop: PropId(i as u8), presence: Presence::Live, coming_ms: 0, motion };
        push(&mut show.cue_props, state);
    }
    let props = Run { first: 0, len: count as u16 };
    push(&mut show.cues, Cue { number: 100, props, ..Cue::default() });
    show
}

fn push<T, const N: usize>(list: &mut Bounded<T, N>, item: T) {
    assert!(list.push(item).is_ok(), "a full list");
}

fn floor(show: &mut Show, dice: &mut Dice, (w, d): (f32, f32)) {
    // Sometimes a corner upstage is cut out.
    let dent = dice.one_in(4);
    let corners = [(-w, -d), (w, -d), (w, d)].into_iter();
    let upstage = if dent { vec![(-w / 3.0, d), (-w / 3.0, d / 2.0), (-w, d / 2.0)] } else { vec![(-w, d)] };
    for (x, y) in corners.chain(upstage) {
        push(&mut show.floor.vertices, StagePoint::new(x, y));
        let kind = [Edge::Open, Edge::Wall, Edge::Level][dice.below(3)];
        push(&mut show.floor.edges, kind);
    }
    show.floor.edge_band_m = dice.between(0.1, 0.4) as f32;
    if dice.one_in(2) {
        let at = StagePoint::new(dice.between(-0.5, 0.5) as f32, -d);
        push(
            &mut show.entries,
            Entry { name: Default::default(), at, width_m: dice.between(0.5, 1.2) as f32, passage: Passage::Both },
        );
    }
    let mut wall = |from, to, top_m| {
        push(&mut show.walls, Wall { name: Default::default(), from, to, bottom_m: 0.0, top_m });
    };
    if dice.one_in(2) {
        let top = dice.between(2.2, 3.2) as f32;
        wall(StagePoint::new(-w, d + 0.02), StagePoint::new(w, d + 0.02), top);
        if dice.one_in(2) {
            wall(StagePoint::new(-w, -d), StagePoint::new(-w, d + 0.02), top);
        }
    }
}

fn class(show: &mut Show, dice: &mut Dice) {
    let seated = dice.one_in(5);
    let height_m = if seated { dice.between(1.2, 1.4) } else { dice.between(1.1, 2.0) } as f32;
    let class = PersonClass {
        name: Default::default(),
        height_m,
        eye_m: height_m - 0.1,
        radius_m: dice.between(0.18, 0.32) as f32,
        walk_width_m: 0.9,
        pace_mps: 0.8,
        chair_m: seated.then_some((0.7, 1.2)),
    };
    push(&mut show.classes, class);
}

fn shot(show: &mut Show, dice: &mut Dice) {
    let tolerant = dice.one_in(2);
    let camera = Camera {
        name: Default::default(),
        kind: CameraKind::Tracked,
        lens: Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion: None },
        recorded: false,
        person_matte: dice.one_in(6),
        pan_tilt_tolerance_deg: if tolerant { dice.between(0.3, 2.0) as f32 } else { 0.0 },
        zoom_tolerance: if tolerant { dice.between(0.0, 0.05) as f32 } else { 0.0 },
    };
    let range = dice.one_in(4);
    let from = (dice.between(-3.0, 3.0), dice.between(-7.0, -4.0), dice.between(0.4, 2.8));
    let look = (dice.between(-0.4, 0.4), dice.between(-0.3, 0.6), dice.between(0.8, 1.2));
    let focal_mm = dice.between(6.0, 10.5) as f32;
    let first = show.shot_keys.len() as u16;
    for i in 0..if range { 2 } else { 1 } {
        let off = f64::from(i) * dice.between(0.1, 0.5);
        let place = |p: (f64, f64, f64)| StagePoint3::new((p.0 + off) as f32, p.1 as f32, (p.2 + off / 4.0) as f32);
        let key = ShotKey { at_s: 0.0, from: place(from), look: place(look), roll_deg: 0.0, focal_mm };
        push(&mut show.shot_keys, key);
    }
    let shot = Shot {
        name: Default::default(),
        camera: CameraId(show.cameras.len() as u8),
        kind: if range { ShotKind::Range } else { ShotKind::Preset },
        keys: Run { first, len: if range { 2 } else { 1 } },
        safe_margin: [0.035, 0.05][dice.below(2)],
        lower_line: [LowerLine::Feet, LowerLine::Knee, LowerLine::Waist, LowerLine::Chest][dice.below(4)],
        crop: if dice.one_in(8) { Crop::Column } else { Crop::Full },
    };
    push(&mut show.cameras, camera);
    push(&mut show.shots, shot);
}

fn prop(show: &mut Show, dice: &mut Dice, (w, d): (f32, f32)) {
    let span = |dice: &mut Dice, m: f32| dice.between(f64::from(-m), f64::from(m)) as f32;
    let at = StagePoint::new(span(dice, w), span(dice, d));
    let overhead = dice.one_in(4);
    let (low, high) = if overhead { (2.31, 2.8) } else { (0.0, dice.between(0.2, 2.2)) };
    let local = StagePoint::new(span(dice, 0.1), 0.05);
    let shape = match dice.below(3) {
        0 => PartShape::Disc { at: local, radius_m: dice.between(0.1, 0.4) as f32 },
        1 if overhead => PartShape::Ring { at: local, inner_m: 0.4, outer_m: 0.6, gap_deg: 0.0, gap_m: 0.0 },
        _ => {
            let (x, y) = (dice.between(0.05, 0.5) as f32, dice.between(0.05, 0.4) as f32);
            let first = show.part_vertices.len() as u16;
            for (u, v) in [(-x, -y), (x, -y), (x, y), (-x, y)] {
                push(&mut show.part_vertices, StagePoint::new(u, v));
            }
            PartShape::Polygon(Run { first, len: 4 })
        }
    };
    let layer = [Layer::Overlay, Layer::Overlay, Layer::Screen][dice.below(3)];
    let part = Part { shape, bottom_m: low as f32, top_m: high as f32, layer, transparent: dice.one_in(3) };
    let parts = Run { first: show.parts.len() as u16, len: 1 };
    push(&mut show.parts, part);
    let turn_deg = dice.between(-90.0, 90.0) as f32;
    push(&mut show.props, Prop { name: Default::default(), at, turn_deg, parts });
    if dice.one_in(5) {
        let keys = Run { first: show.motion_keys.len() as u16, len: 2 };
        push(&mut show.motion_keys, MotionKey { at_s: 0.0, place: at });
        push(&mut show.motion_keys, MotionKey { at_s: 4.0, place: StagePoint::new(at.x / 2.0, at.y + 0.4) });
        let prop = PropId(show.props.len() as u8 - 1);
        push(&mut show.motions, Motion { prop, kind: MotionKind::Keys { keys, ease: dice.one_in(2) } });
    }
}

fn physicals(show: &mut Show, dice: &mut Dice, (w, d): (f32, f32)) {
    let kinds = [
        (PhysicalKind::Furniture, 0.6, 0.45),
        (PhysicalKind::Riser, 1.4, 0.2),
        (PhysicalKind::Ramp { rises_deg: 90.0 }, 1.2, 0.15),
    ];
    for (kind, size, height_m) in kinds {
        if dice.one_in(3) {
            let centre = StagePoint::new((dice.unit() as f32 - 0.5) * w, (dice.unit() as f32 - 0.2) * d);
            let thing = Physical {
                name: Default::default(),
                kind,
                centre,
                width_m: size,
                depth_m: size * 0.8,
                turn_deg: if kind == PhysicalKind::Furniture { dice.between(0.0, 90.0) as f32 } else { 0.0 },
                height_m,
                step_over: StepOver::Never,
            };
            push(&mut show.physicals, thing);
        }
    }
}
