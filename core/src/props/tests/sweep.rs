//! What parts pass over, beside many moments of the same motions and beside closed forms.

use std::vec::Vec;

use super::{near, p};
use crate::geom::{Region, StagePoint};
use crate::props::{Placement, Reach, footprint, motion, pieces, sweep};
use crate::show::{Cue, CueProp, Motion, MotionId, MotionKey, MotionKind, Part, PartShape, Presence, Prop, PropId};
use crate::show::{Layer, Run, Show};

const STATE: CueProp = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: Some(MotionId(0)) };
/// Latency 140 ms and 0.7 s to react.
const REACH: Reach = Reach { body_m: 0.25, still_m: 0.15, allowance_m: 0.0, lead_s: 0.84 };

const DISC: PartShape = PartShape::Disc { at: p(0.3, -0.2), radius_m: 0.4 };
const RING: PartShape = PartShape::Ring { at: p(0.0, 0.0), inner_m: 0.5, outer_m: 0.8, gap_deg: 0.0, gap_m: 0.3 };
const BOX: [StagePoint; 4] = [p(-0.6, -0.3), p(0.6, -0.3), p(0.6, 0.3), p(-0.6, 0.3)];

/// A prop with one part 0.5 m to 1.2 m high that is turned by 20 degrees and moves by `kind`.
fn moving(kind: MotionKind, keys: &[(f32, StagePoint)], shape: Option<PartShape>) -> Show {
    let mut show = Show::default();
    let run = |len: usize| Run { first: 0, len: len as u16 };
    for &(at_s, place) in keys {
        show.motion_keys.push(MotionKey { at_s, place }).unwrap();
    }
    show.part_vertices.extend_from_slice(&BOX).unwrap();
    let shape = shape.unwrap_or(PartShape::Polygon(run(4)));
    let part = Part { shape, bottom_m: 0.5, top_m: 1.2, layer: Layer::Overlay, transparent: false };
    show.parts.push(part).unwrap();
    let prop = Prop { name: Default::default(), at: p(1.0, 2.0), turn_deg: 20.0, parts: run(1) };
    show.props.push(prop).unwrap();
    show.motions.push(Motion { prop: PropId(0), kind }).unwrap();
    show.cue_props.push(STATE).unwrap();
    show.cues.push(Cue { number: 100, props: run(1), ..Cue::default() }).unwrap();
    show
}

fn keyed(ease: bool, keys: &[(f32, StagePoint)], shape: Option<PartShape>) -> Show {
    moving(MotionKind::Keys { keys: Run { first: 0, len: keys.len() as u16 }, ease }, keys, shape)
}

fn swing(period_s: f32, swing_deg: f32) -> MotionKind {
    MotionKind::Pendulum { pivot: p(0.6, -0.9), pivot_m: 2.6, length_m: 1.7, swing_deg, plane_deg: 30.0, period_s }
}

fn swept(show: &Show, span_s: (f32, f32), reach: Option<&Reach>) -> Vec<Region> {
    let mut regions = Vec::new();
    sweep(show, &show.cues[0], &show.cue_props[0], 0, span_s, reach, &mut |region| regions.push(region)).unwrap();
    regions
}

/// The footprint at `t_s`, as far as it counts, carried on by the lead: as its document says, by the keep-outs' way.
fn passed(show: &Show, t_s: f32, lead_s: f32) -> Option<Region> {
    let moment = motion::at(show, &show.cues[0], &show.cue_props[0], t_s).unwrap();
    let (bottom, top) = moment.heights(show.parts[0].bottom_m, show.parts[0].top_m);
    if bottom >= 2.3 || top <= 0.0 {
        return None;
    }
    let still = footprint::of_part(show, &show.parts[0], &moment.placement).unwrap();
    let Region::Rounded(set) = still else {
        let Region::Ring(ring) = still else { return None };
        let (centre, radius) = ring.filled();
        let disc = crate::geom::Rounded::disc(centre, radius).unwrap();
        return Some(Region::Rounded(disc.swept(moment.placement.velocity * lead_s).unwrap()));
    };
    Some(Region::Rounded(set.swept(moment.placement.velocity * lead_s).unwrap()))
}

/// Holds the sweep against 800 moments, and those beside its keys, on a grid of 0.2 m: nothing missing, nothing more
/// than `extra_m` too much.
fn holds(show: &Show, (from_s, to_s): (f32, f32), reach: Option<&Reach>, extra_m: f32) {
    let regions = swept(show, (from_s, to_s), reach);
    let lead_s = reach.map_or(0.0, |r| r.lead_s);
    let mut times: Vec<f32> = (0..=800).map(|i| from_s + (to_s - from_s) * (i as f32 / 800.0)).collect();
    // The speed jumps where a leg ends.
    pieces::each(show, &show.cues[0], &show.cue_props[0], (from_s, to_s), &mut |piece| {
        times.extend([piece.from_s + 1e-4, piece.to_s - 1e-4]);
    });
    let moments: Vec<Region> = times.iter().filter_map(|&t| passed(show, t, lead_s)).collect();
    let least = |list: &[Region], q| list.iter().map(|r| r.signed_distance(q)).fold(f32::INFINITY, f32::min);
    let mut inside = 0;
    for i in -22..=22 {
        for j in -22..=22 {
            let q = p(i as f32 * 0.2, j as f32 * 0.2);
            let (by_moments, by_sweep) = (least(&moments, q), least(&regions, q));
            assert!(by_moments > 1e-5 || by_sweep <= 1e-5, "missing {q:?}: {by_moments} {by_sweep}");
            // The moments leave steps of their own: at 3 m/s they are 2 cm apart, of which half lies beside.
            assert!(by_sweep > 0.0 || by_moments <= extra_m + 0.012, "too much {q:?}: {by_moments} {by_sweep}");
            inside += usize::from(by_sweep <= 0.0);
        }
    }
    assert!(inside > 20 && !regions.is_empty(), "{inside}");
}

#[test]
fn legs_pendulums_and_circles_pass_over_what_their_moments_cover() {
    let keys = &[(1.0, p(-2.5, 0.5)), (3.0, p(1.0, -1.0)), (4.0, p(2.0, 1.5))];
    let round = |period_s| MotionKind::Circle { centre: p(0.2, 0.1), radius_m: 1.6, period_s, start_deg: 40.0 };
    for reach in [None, Some(&REACH)] {
        for shape in [None, Some(DISC), Some(RING)] {
            for ease in [false, true] {
                holds(&keyed(ease, keys, shape), (0.0, 6.0), reach, 0.0);
                holds(&keyed(ease, keys, shape), (1.7, 2.9), reach, 0.0);
            }
            holds(&moving(swing(2.62, 25.0), &[], shape), (0.0, 2.62), reach, 0.001);
            holds(&moving(swing(2.62, 25.0), &[], shape), (0.4, 1.1), reach, 0.001);
            holds(&moving(swing(5.0, 80.0), &[], shape), (0.4, 3.9), reach, 0.001);
            holds(&moving(round(9.0), &[], shape), (0.0, 9.0), reach, sweep::COVER_M);
            holds(&moving(round(-7.0), &[], shape), (1.0, 4.0), reach, sweep::COVER_M);
        }
    }
}

/// Area of a box swept along its own long side: 1.2 × 0.6 and 0.6 × 3; with a lead of 0.84 s at 1.5 m/s, 1.26 m more.
#[test]
fn a_box_along_its_side_leaves_a_longer_box() {
    let (sin, cos) = 20f32.to_radians().sin_cos();
    let show = keyed(false, &[(0.0, p(0.0, 0.0)), (2.0, p(3.0 * cos, 3.0 * sin))], None);
    let area = |reach| match swept(&show, (0.0, 2.0), reach).as_slice() {
        [Region::Rounded(set)] => set.area(),
        other => panic!("{other:?}"),
    };
    near(area(None), 1.2 * 0.6 + 0.6 * 3.0, 1e-4);
    near(area(Some(&REACH)), 1.2 * 0.6 + 0.6 * (3.0 + 1.5 * 0.84), 1e-4);
}

/// Once round, a disc leaves a ring; the lead goes along the tangent: R' = sqrt(R² + (v × lead)²).
#[test]
fn a_disc_once_round_leaves_a_ring() {
    let kind = MotionKind::Circle { centre: p(0.0, 0.0), radius_m: 2.0, period_s: 20.0, start_deg: 0.0 };
    let show = moving(kind, &[], Some(PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.4 }));
    let lead = core::f32::consts::TAU * 2.0 / 20.0 * 0.84;
    for (reach, outer) in [(None, 2.4), (Some(&REACH), (4.0 + lead * lead).sqrt() + 0.4)] {
        let regions = swept(&show, (3.0, f32::INFINITY), reach);
        assert_eq!(regions.len(), 1);
        near(regions[0].signed_distance(p(0.0, outer + 0.1)), 0.1, 1e-5);
        near(regions[0].signed_distance(p(0.0, 1.5)), 0.1, 1e-5);
    }
}

/// A footprint of 16 corners on a circle has to be taken in two: 16 and 4 are more than a convex set holds.
#[test]
fn a_footprint_with_all_its_corners_goes_round() {
    let kind = MotionKind::Circle { centre: p(0.0, 0.0), radius_m: 1.5, period_s: 8.0, start_deg: 0.0 };
    let mut show = moving(kind, &[], None);
    show.part_vertices.clear();
    for k in 0..16 {
        let (sin, cos) = (k as f32 * core::f32::consts::TAU / 16.0).sin_cos();
        show.part_vertices.push(p(0.7 * cos, 0.4 * sin)).unwrap();
    }
    show.parts[0].shape = PartShape::Polygon(Run { first: 0, len: 16 });
    holds(&show, (0.0, 3.0), Some(&REACH), sweep::COVER_M);
}

/// A pendulum counts only while it is low: a bob from 2.0 m up, on 1.7 m, is below 2.3 m within acos(1 - 0.3 / 1.7),
/// 34.57 degrees, which is 0.9646 m to either side.
#[test]
fn a_pendulum_counts_while_it_is_low() {
    let mut show = moving(swing(4.0, 60.0), &[], Some(PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.1 }));
    (show.parts[0].bottom_m, show.parts[0].top_m) = (2.0, 2.2);
    let regions = swept(&show, (0.0, f32::INFINITY), None);
    let [Region::Rounded(set)] = regions.as_slice() else { panic!("{regions:?}") };
    let ends = set.core().vertices();
    near(ends[0].distance(ends[1]), 2.0 * 0.964_6, 2e-3);
    holds(&show, (0.0, 4.0), Some(&REACH), 0.001);
    show.parts[0].bottom_m = 2.3;
    show.parts[0].top_m = 3.0;
    assert!(swept(&show, (0.0, 9.0), None).is_empty());
}

/// What grows has its footprint from the start, a high part only until it has been lifted past 2.3 m.
#[test]
fn what_grows_counts_while_it_is_low() {
    let mut show = moving(MotionKind::Grow { seconds_s: 6.0 }, &[], Some(RING));
    let still = swept(&show, (0.0, 99.0), Some(&REACH));
    assert_eq!(still, [footprint::of_part(&show, &show.parts[0], &Placement::resting(&show.props[0])).unwrap()]);
    (show.parts[0].bottom_m, show.parts[0].top_m) = (4.6, 9.0);
    assert_eq!([2.9, 3.1].map(|t| swept(&show, (t, t), None).len()), [1, 0]);
    assert_eq!(swept(&show, (3.1, 99.0), None).len(), 0);
}

#[test]
fn what_is_gone_or_unknown_gives_nothing() {
    let mut show = keyed(true, &[(0.0, p(0.0, 0.0)), (8.0, p(3.0, 0.0))], None);
    show.cue_props[0].presence = Presence::Leaving;
    assert_eq!([(0.0, 9.0), (8.0, 8.0), (8.1, 9.0), (9.0, 2.0)].map(|s| swept(&show, s, None).len()), [1, 1, 0, 0]);
    // It stands at its end for a moment, ring or not, and nothing there is swept.
    assert!(!sweep::travels(&show, &show.cues[0], &show.cue_props[0], (8.0, 8.0)));
    show.cue_props[0].prop = PropId(7);
    assert_eq!(swept(&show, (0.0, 9.0), None).len(), 0);
}

/// A piece says what the motion says, at every moment of it, and its bounds hold for the slopes of its speed.
#[test]
fn pieces_agree_with_the_motion() {
    let keys = &[(1.0, p(-2.5, 0.5)), (3.0, p(1.0, -1.0)), (4.0, p(2.0, 1.5)), (4.5, p(2.0, 1.5))];
    let round = MotionKind::Circle { centre: p(0.2, 0.1), radius_m: 1.6, period_s: -7.0, start_deg: 40.0 };
    let shows = [
        keyed(false, keys, None),
        keyed(true, keys, None),
        moving(round, &[], None),
        moving(swing(2.62, 80.0), &[], None),
        moving(MotionKind::Grow { seconds_s: 3.0 }, &[], None),
    ];
    for show in &shows {
        let (cue, state) = (&show.cues[0], &show.cue_props[0]);
        let (mut end_s, mut bends, mut jerks) = (0.0, 0f32, 0f32);
        pieces::each(show, cue, state, (0.0, 9.0), &mut |piece| {
            near(piece.from_s, end_s, 1e-6);
            end_s = piece.to_s;
            let step_s = (piece.to_s - piece.from_s) / 200.0;
            for i in 1..199 {
                let t = piece.from_s + step_s * i as f32;
                let placement = motion::at(show, cue, state, t).unwrap().placement;
                let (at, velocity) = piece.travel(t);
                assert!(at.distance(placement.at) < 1e-5, "{piece:?} {t}");
                assert!((velocity - placement.velocity).length() < 1e-4, "{piece:?} {t}");
                let bend = (piece.travel(t + step_s).1 - velocity).length() / step_s;
                assert!(bend <= piece.bend_bound() * 1.01 + 1e-3, "{piece:?} {t} {bend}");
                let before = piece.travel(t - step_s).1;
                let jerk = (piece.travel(t + step_s).1 - velocity - (velocity - before)).length() / (step_s * step_s);
                assert!(jerk <= piece.jerk_bound() * 1.01 + 0.02, "{piece:?} {t} {jerk}");
                (bends, jerks) = (bends.max(bend / piece.bend_bound()), jerks.max(jerk / piece.jerk_bound()));
            }
        });
        near(end_s, 9.0, 1e-6);
        // A bound of which not a third is used would only cost time; what never bends has none to use.
        let (kind, bound) = (show.motions[0].kind, (0.3..=1.02).contains(&bends) && (0.3..=1.1).contains(&jerks));
        let bent = matches!(
            kind,
            MotionKind::Circle { .. } | MotionKind::Pendulum { .. } | MotionKind::Keys { ease: true, .. }
        );
        assert!(!bent || bound, "{kind:?} {bends} {jerks}");
    }
}
