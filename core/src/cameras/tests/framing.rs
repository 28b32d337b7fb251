//! Framing against pictures that can be worked out by hand.

use super::{body, one_shot, view};
use crate::cameras::body::Body;
use crate::cameras::framing::{self, Framed, Framing, Side, framing};
use crate::show::Show;
use crate::show::cameras::{Crop, LowerLine};

/// A level camera 1 m high and 5 m downstage of the origin; half its picture is 0.5 wide and 0.281 high in tangents.
fn level() -> Show {
    one_shot([0.0, -5.0, 1.0], [0.0, 0.0, 1.0], 9.59)
}

fn state(show: &Show, body: &Body) -> Framing {
    framing(&view(show), body).state
}

fn near(value: f32, worked_out: f32) {
    assert!((value - worked_out).abs() < 2e-4, "{value} should be {worked_out}");
}

/// The two figures were worked out by hand for this invented show before there was any code for them.
#[test]
fn a_tall_guest_sticks_out_of_a_tight_shot_and_fits_a_wider_one() {
    let guest = body(0.75, 0.55, 1.96);
    let tight = framing(&view(&one_shot([3.6, -1.6, 1.55], [0.75, 0.55, 1.3], 20.0)), &guest);
    assert!((tight.head - 1.38).abs() < 0.005, "{tight:?}");
    assert_eq!(tight.state, Framing::Cut(Side::Top));
    let wider = framing(&view(&one_shot([3.6, -1.6, 1.55], [0.75, 0.55, 1.42], 16.0)), &guest);
    assert!((wider.head - 0.90).abs() < 0.005, "{wider:?}");
    assert!((wider.limit - 0.93).abs() < 1e-6);
    assert_eq!(wider.state, Framing::Framed);
}

#[test]
fn figures_are_heights_and_sides_over_half_the_picture() {
    let Framed { head, lower, side, limit, limits, worst, state } = framing(&view(&level()), &body(0.0, 0.0, 1.75));
    near(head, 0.75 / 5.0 / 0.280_97);
    near(lower, 0.05 / 5.0 / 0.280_97);
    near(side, 0.25 / 5.0 / 0.5);
    near(limit, 0.93);
    near(limits.lower, -0.93);
    near(limits.side, 0.93);
    assert_eq!((worst.head, worst.lower, worst.side), (head, lower, side));
    assert_eq!(state, Framing::Framed);
}

#[test]
fn somebody_half_in_at_the_edge_is_beside_and_further_out_is_out() {
    // The safe part reaches 0.465 · 5 = 2.325 m sideways, the picture 2.5 m; the body 0.25 m to each side.
    let show = level();
    let at = |x: f32| state(&show, &body(x, 0.0, 1.75));
    assert_eq!(
        [at(2.0), at(2.2), at(2.4), at(2.9)],
        [Framing::Framed, Framing::Cut(Side::Right), Framing::Beside, Framing::Out]
    );
    assert_eq!(
        [at(-2.0), at(-2.2), at(-2.4), at(-2.9)],
        [Framing::Framed, Framing::Cut(Side::Left), Framing::Beside, Framing::Out]
    );
}

#[test]
fn nobody_behind_the_camera_is_in_its_picture() {
    let show = level();
    assert_eq!(state(&show, &body(0.0, -6.0, 1.75)), Framing::Out);
    assert_eq!(state(&show, &body(0.3, -5.0, 1.75)), Framing::Out);
    // The camera is inside this body: partly in the picture, and no figure is a number that means nothing.
    let inside = framing(&view(&show), &body(0.0, -4.9, 1.75));
    assert!(!matches!(inside.state, Framing::Framed | Framing::Out), "{inside:?}");
    assert!(!inside.head.is_nan() && !inside.lower.is_nan() && !inside.side.is_nan(), "{inside:?}");
}

#[test]
fn the_lower_line_of_the_shot_has_to_be_in() {
    // 4 m from the camera the safe part ends 1 − 0.2613 · 4 = −0.045 m high; 3.5 m from it 0.085 m high.
    let mut show = level();
    show.shots[0].lower_line = LowerLine::Feet;
    assert_eq!(state(&show, &body(0.0, -1.0, 1.75)), Framing::Framed);
    assert_eq!(state(&show, &body(0.0, -1.5, 1.75)), Framing::Cut(Side::Bottom));
    show.shots[0].lower_line = LowerLine::Knee;
    assert_eq!(state(&show, &body(0.0, -1.5, 1.75)), Framing::Framed);
}

#[test]
fn the_sides_change_with_the_mirror_and_the_head_does_not() {
    let (left, right) =
        (framing(&view(&level()), &body(-2.2, 0.3, 1.75)), framing(&view(&level()), &body(2.2, 0.3, 1.75)));
    assert_eq!((left.state, right.state), (Framing::Cut(Side::Left), Framing::Cut(Side::Right)));
    near(left.head, right.head);
    near(left.side, right.side);
}

#[test]
fn a_person_in_the_wide_picture_is_cut_by_a_column_that_misses_them() {
    // The column is 0.281 · 9/16 = 0.158 wide to each side: 0.79 m at 5 m.
    let mut show = level();
    show.shots[0].crop = Crop::Column;
    let at = |x: f32| state(&show, &body(x, 0.0, 1.75));
    assert_eq!(
        [at(0.4), at(0.6), at(1.5), at(-1.5)],
        [Framing::Framed, Framing::Cut(Side::Right), Framing::Cut(Side::Right), Framing::Cut(Side::Left)]
    );
}

#[test]
fn a_strip_over_the_lower_third_ends_the_picture_there() {
    // Its upper edge is 0.0937 below the axis: 0.53 m high at 5 m. The knee is at 0.49 m, the waist at 1.05 m.
    let mut show = level();
    show.shots[0].crop = Crop::LowerThird;
    assert_eq!(state(&show, &body(0.0, 0.0, 1.75)), Framing::Framed);
    show.shots[0].lower_line = LowerLine::Knee;
    assert_eq!(state(&show, &body(0.0, 0.0, 1.75)), Framing::Cut(Side::Bottom));
}

#[test]
fn the_operator_may_turn_and_zoom() {
    // Head top at 0.15 upward, 8.53 degrees; the safe part ends at 0.2613, 14.64 degrees.
    let guest = body(0.0, 0.0, 1.75);
    let with = |deg: f32, zoom: f32| {
        let mut show = level();
        show.cameras[0].pan_tilt_tolerance_deg = deg;
        show.cameras[0].zoom_tolerance = zoom;
        framing(&view(&show), &guest)
    };
    assert_eq!(with(6.0, 0.0).state, Framing::Framed);
    assert_eq!(with(6.3, 0.0).state, Framing::Cut(Side::Top));
    assert_eq!(with(0.0, 0.5).state, Framing::Framed);
    near(with(0.0, 0.5).limit, 0.62);
    assert_eq!(with(5.0, 0.25).state, Framing::Cut(Side::Top));
    let turned = with(2.0, 0.0);
    near(turned.head, 0.75 / 5.0 / 0.280_97);
    // Level pan leaves heights alone on the axis and tilt adds: tan(8.531° + 2°) / 0.28097, a little more off axis.
    assert!((turned.worst.head - 0.6616).abs() < 0.004, "{turned:?}");
}

#[test]
fn a_riser_lifts_the_body_and_its_lower_line() {
    let mut raised = body(0.0, 0.0, 1.75);
    raised.base_m = 0.2;
    let framed = framing(&view(&level()), &raised);
    near(framed.head, 0.95 / 5.0 / 0.280_97);
    near(framed.lower, 0.25 / 5.0 / 0.280_97);
}

#[test]
fn bands_of_a_body_never_cross() {
    let bands = body(0.0, 0.0, 1.74).bands();
    near(bands.hip_m, 0.9048);
    near(bands.neck_m, 1.51);
    let small = body(0.0, 0.0, 0.4).bands();
    assert!(small.neck_m >= small.hip_m && small.top_m >= small.neck_m);
}

#[test]
fn straight_above_a_body_there_is_no_way_to_face() {
    let show = one_shot([0.0, 0.0, 6.0], [0.0, 0.0, 0.0], 9.59);
    let guest = body(0.0, 0.0, 1.75);
    assert_eq!(guest.upright(view(&show).pose.centre), None);
    assert_eq!(framing(&view(&show), &guest).state, Framing::Framed);
    let across = body(2.0, 0.0, 1.75).upright(view(&show).pose.centre).unwrap().across;
    near(across.x, 0.0);
    near(across.y, -1.0);
}

#[test]
fn the_answers_for_less_work_are_the_same_answers() {
    let shows = [
        level(),
        one_shot([3.6, -1.6, 1.55], [0.75, 0.55, 1.3], 20.0),
        one_shot([0.5, 0.0, 4.0], [0.5, 0.1, 0.0], 6.0),
    ];
    let mut seen = [0; 4];
    for show in &shows {
        let view = view(show);
        for (i, j) in (-40..=40).flat_map(|i| (-40..=40).map(move |j| (i, j))) {
            let body = body(i as f32 * 0.13, j as f32 * 0.17, 1.5 + (i + j) as f32 * 0.01);
            let full = framing(&view, &body).state;
            let side = match full {
                Framing::Out => 0,
                Framing::Beside => 1,
                Framing::Cut(_) => 2,
                Framing::Framed => 3,
            };
            seen[side] += 1;
            assert_eq!(framing::state(&view, &body), full, "{i} {j}");
            assert_eq!(framing::holds(&view, &body), full == Framing::Framed, "{i} {j}");
            let missed = framing::missed_side(&view, &body);
            match full {
                Framing::Cut(side) => assert_eq!(missed, Some(side), "{i} {j}"),
                _ => assert_eq!(missed.is_none(), full == Framing::Framed, "{i} {j}"),
            }
        }
    }
    assert!(seen.iter().all(|&n| n > 20), "every answer is met: {seen:?}");
}
