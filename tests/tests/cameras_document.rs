//! The worked numbers of core/docs/cameras.md, loaded from its fenced blocks. They were worked out in `f64` with numpy,
//! OpenCV and SciPy from the formulas in the document, and share no code with the core.

use underfoot_core::cameras::framing::{Figures, Framing, Side, framing};
use underfoot_core::cameras::shots::{Jib, jib_head, jib_place, jib_tail, view_of};
use underfoot_core::cameras::{Body, Pose, Rect, lens};
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::cameras::Crop;
use underfoot_core::show::{Camera, CameraKind, Lens, Name, ShotId, ShotKey, Show};
use underfoot_core::units::Angle;
use underfoot_tests::document::{Document, near};
use underfoot_tests::random_views::preset;

fn document() -> Document {
    Document::of_core("cameras.md")
}

fn place(n: &[f32]) -> StagePoint3 {
    StagePoint3::new(n[0], n[1], n[2])
}

fn degrees(deg: f32) -> Angle {
    Angle::from_degrees(deg)
}

fn lens_with(distortion: Option<[f32; 5]>) -> Lens {
    Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion }
}

#[test]
fn axes_and_tangents_are_as_printed() {
    let document = document();
    let n = document.figures("pose", "angles");
    let pose = Pose::of_angles(StagePoint3::default(), degrees(n[0]), degrees(n[1]), degrees(n[2]));
    for (value, printed) in [pose.ahead, pose.right, pose.up].concat().into_iter().zip(&n[3..]) {
        near(value, *printed, 1e-6);
    }
    let rows = document.all_figures("pose", "see");
    assert_eq!(rows.len(), 3);
    for n in rows {
        let pose = Pose::looking(place(&n), place(&n[3..]), degrees(n[6]), 0.0).expect("a pose");
        let seen = pose.see(place(&n[7..])).expect("a place in front of the camera");
        for (value, printed) in [seen.x, seen.y, seen.depth_m].into_iter().zip(&n[10..]) {
            near(value, *printed, 6e-6);
        }
    }
}

fn mixed(document: &Document) -> [f32; 5] {
    document.figures("lens", "mixed")[..].try_into().expect("five coefficients")
}

#[test]
fn angles_of_view_and_bent_places_are_as_printed() {
    let document = document();
    for n in document.all_figures("lens", "angle") {
        near(lens::angle_of_view(n[0], n[1]).to_degrees(), n[2], 0.0006);
    }
    let rows = document.all_figures("lens", "bent");
    assert_eq!(rows.len(), 3);
    for n in rows {
        let (x, y) = lens::distort(&mixed(&document), n[0], n[1]);
        near(x, n[2], 1e-6);
        near(y, n[3], 1e-6);
    }
}

#[test]
fn frames_crops_and_margins_are_as_printed() {
    let document = document();
    let plain = lens_with(None);
    let bent = lens::frame(&lens_with(Some(mixed(&document))), 8.0).expect("a frame");
    let whole = lens::sensor(&plain, 8.0).expect("a sensor");
    let rects = [
        ("straight", lens::frame(&plain, 8.0).expect("a frame").inner),
        ("mixed_inner", bent.inner),
        ("mixed_outer", bent.outer),
        ("safe_full", lens::safe(&whole, Crop::Full, 0.035)),
        ("column", lens::cropped(&whole, Crop::Column)),
        ("safe_column", lens::safe(&whole, Crop::Column, 0.035)),
        ("lower_third", lens::cropped(&whole, Crop::LowerThird)),
        ("safe_lower", lens::safe(&whole, Crop::LowerThird, 0.035)),
    ];
    assert_eq!(document.block("frame").len(), rects.len());
    for (name, Rect { left, right, bottom, top }) in rects {
        for (value, printed) in [left, right, bottom, top].into_iter().zip(document.figures("frame", name)) {
            // The tip of a bent side is found to 2e-5; the others to the last digit.
            near(value, printed, if name.starts_with("mixed") { 2e-5 } else { 6e-6 });
        }
    }
}

/// A show with one preset shot by an operator with this tolerance.
fn one_shot(key: ShotKey, pan_tilt_tolerance_deg: f32, zoom_tolerance: f32) -> Show {
    let mut show = Show::default();
    let camera = Camera {
        name: Name::default(),
        kind: CameraKind::Tracked,
        lens: lens_with(None),
        recorded: false,
        person_matte: false,
        pan_tilt_tolerance_deg,
        zoom_tolerance,
    };
    show.cameras.push(camera).expect("room");
    show.shots.push(preset()).expect("room");
    show.shot_keys.push(key).expect("room");
    show
}

#[test]
fn framing_figures_are_as_printed() {
    let rows = document().block("framing");
    assert_eq!(rows.len(), 4);
    for words in rows {
        let n: Vec<f32> = words.iter().map(|w| w.parse().unwrap_or(f32::NAN)).collect();
        assert_eq!(n.iter().filter(|value| value.is_nan()).count(), 1, "only the state is a word: {words:?}");
        let key = ShotKey { at_s: 0.0, from: place(&n), look: place(&n[3..]), roll_deg: 0.0, focal_mm: n[6] };
        let show = one_shot(key, n[10], n[11] / 100.0);
        let body = Body { at: StagePoint::new(n[7], n[8]), base_m: 0.0, height_m: n[9], radius_m: 0.25 };
        let found = framing(&view_of(&show, ShotId(0), &key).expect("a view"), &body);
        let Figures { head, lower, side } = found.worst;
        let ours = [found.head, found.lower, found.side, found.limit, f32::NAN, head, lower, side];
        for (value, printed) in ours.into_iter().zip(&n[12..]).filter(|(_, printed)| !printed.is_nan()) {
            near(value, *printed, 6e-5);
        }
        let state = match words[16].as_str() {
            "framed" => Framing::Framed,
            "cut-top" => Framing::Cut(Side::Top),
            other => panic!("no state `{other}`"),
        };
        assert_eq!(found.state, state, "{words:?}");
    }
}

#[test]
fn jib_heads_and_tails_are_as_printed() {
    let document = document();
    let n = document.figures("jib", "jib");
    let base = StagePoint::new(n[0], n[1]).at_height(0.0);
    let kind = CameraKind::Jib { base, pivot_m: n[2], arm_m: n[3], tail_m: n[4] };
    let rows = document.table("jib");
    assert_eq!(rows.len(), 3);
    for n in rows {
        let head = jib_place(&kind, Jib { azimuth_deg: n[0], elevation_deg: n[1] }).expect("a jib");
        let tail = jib_tail(&kind, n[0], n[1]).expect("a jib");
        let ours = [head.x, head.y, head.z, tail.x, tail.y, tail.z];
        for (value, printed) in ours.into_iter().zip(&n[2..]) {
            near(value, *printed, 6e-5);
        }
        let back = jib_head(&kind, place(&n[2..])).expect("an arm");
        near(back.azimuth_deg, n[0], 0.002);
        near(back.elevation_deg, n[1], 0.002);
    }
}
