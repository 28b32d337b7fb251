//! Outlines of footprints: the band follows the edge, the form tells band and life.

use super::stage::stage;
use super::{area, cover, p, polygons};
use crate::geom::StagePoint;
use crate::look::frame::Frame;
use crate::look::sheet::Sheet;
use crate::look::{Sizes, props};
use crate::paint::SceneStore;
use crate::show::{Band, Layer, Part, PartShape, Presence, Show};

fn part(shape: PartShape, bottom_m: f32, top_m: f32) -> Part {
    Part { shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false }
}

#[test]
fn a_part_in_two_bands_takes_the_one_that_people_meet_first() {
    let disc = PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.3 };
    let band = |bottom, top| props::strongest(&part(disc, bottom, top));
    assert_eq!(band(0.0, 0.85), Band::Contact);
    assert_eq!(band(0.72, 1.24), Band::Body);
    assert_eq!(band(2.2, 2.5), Band::Body);
    assert_eq!(band(2.35, 2.5), Band::Overhead);
    assert_eq!(band(0.2, 0.3), Band::Body);
}

#[test]
fn parts_that_share_a_footprint_are_drawn_once() {
    let mut show = stage();
    let disc = PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.3 };
    let first = show.parts.len() as u16;
    for (bottom, top) in [(2.4, 4.0), (0.0, 2.0), (2.0, 2.4)] {
        show.parts.push(part(disc, bottom, top)).unwrap();
    }
    show.props[0].parts.first = first;
    show.props[0].parts.len = 3;
    let mut store = SceneStore::<2048, 256, 64>::new();
    let mut scene = store.scene();
    let frame = Frame::facing(p(0.0, 0.0), 0.0);
    props::draw(&mut Sheet::whole(&mut scene), &Sizes::of(&show), &show, &show.props[0], (&frame, Presence::Live, 255))
        .unwrap();
    // One keyline and one core, whole all round: the part that stands on the floor.
    assert_eq!(scene.shapes().len(), 2);
    let core = scene.shapes()[1];
    assert!((0..360).all(|i| cover(&scene, scene.contours_of(&core), round(p(0.0, 0.0), 0.3, i as f32)) == 1));
}

/// Cover of the light core of prop `index` at a stage place.
fn core_at(show: &Show, index: usize, presence: Presence, q: StagePoint) -> i32 {
    let mut store = SceneStore::<2048, 256, 64>::new();
    let mut scene = store.scene();
    let prop = &show.props[index];
    let frame = Frame::facing(prop.at, prop.turn_deg);
    props::draw(&mut Sheet::whole(&mut scene), &Sizes::of(show), show, prop, (&frame, presence, 255)).unwrap();
    let shape = scene.shapes()[1];
    cover(&scene, scene.contours_of(&shape), q)
}

fn round(centre: StagePoint, radius: f32, deg: f32) -> StagePoint {
    let (sin, cos) = deg.to_radians().sin_cos();
    p(centre.x + radius * cos, centre.y + radius * sin)
}

#[test]
fn contact_is_lit_all_round_body_in_dashes_overhead_in_four_pieces() {
    let show = stage();
    let at = show.props[0].at;
    let lit = |index: usize| {
        (0..3600).filter(|i| core_at(&show, index, Presence::Live, round(at, 0.35, *i as f32 * 0.1)) == 1).count()
    };
    assert_eq!(lit(0), 3600);
    // 7 dashes of 0.20 in 0.33.
    assert!((lit(1) as f64 / 3600.0 - 0.20 / 0.33).abs() < 0.01, "{}", lit(1));
    // Four pieces of radius * pi / 4 = 0.275 m of a quarter of 0.550 m: a half.
    assert!((lit(2) as f64 / 3600.0 - 0.5).abs() < 0.01, "{}", lit(2));
    let changes = |index: usize| {
        let on = |i: i32| core_at(&show, index, Presence::Live, round(at, 0.35, i as f32 * 0.1)) == 1;
        (0..3600).filter(|&i| on(i) != on(i + 1)).count()
    };
    assert_eq!((changes(1), changes(2)), (14, 8));
}

#[test]
fn the_band_is_centred_on_the_footprints_edge() {
    let show = stage();
    let at = show.props[0].at;
    for (radius, want) in [(0.324, 0), (0.326, 1), (0.374, 1), (0.376, 0)] {
        assert_eq!(core_at(&show, 0, Presence::Live, round(at, radius, 77.0)), want, "{radius}");
    }
}

#[test]
fn a_ring_with_a_gap_is_open_where_its_gap_is() {
    let show = stage();
    let (index, at) = (3, show.props[3].at);
    // The prop is turned 20 degrees, so the gap's middle is at 290; half of it is asin(0.25 / 0.8) = 18.2.
    assert_eq!(core_at(&show, index, Presence::Live, round(at, 0.8, 290.0)), 0);
    assert_eq!(core_at(&show, index, Presence::Live, round(at, 0.5, 290.0)), 0);
    for deg in [20.0, 110.0, 200.0, 290.0 - 21.0, 290.0 + 21.0] {
        assert_eq!(core_at(&show, index, Presence::Live, round(at, 0.8, deg)), 1, "{deg}");
        assert_eq!(core_at(&show, index, Presence::Live, round(at, 0.65, deg)), 0, "{deg}: no fill");
    }
    // Its ends are lines along the radius.
    for radius in [0.52, 0.65, 0.78] {
        assert_eq!(core_at(&show, index, Presence::Live, round(at, radius, 290.0 - 18.21)), 1, "{radius}");
    }
}

#[test]
fn heads_point_in_when_coming_and_out_when_leaving() {
    let show = stage();
    let prop = &show.props[9];
    let frame = Frame::facing(prop.at, 0.0);
    let heads = |presence| {
        let all = polygons(|scene| props::draw(scene, &Sizes::of(&show), &show, prop, (&frame, presence, 255)));
        all.into_iter().filter(|c| c.len() == 3).collect::<std::vec::Vec<_>>()
    };
    assert!(heads(Presence::Live).is_empty());
    for (presence, inward) in [(Presence::Coming, true), (Presence::Leaving, false)] {
        // Four sides, keyline and core.
        let got = heads(presence);
        assert_eq!(got.len(), 8);
        for head in got {
            assert!(area(&head) > 0.0);
            // The tip is the corner that no other is level with.
            let d = |q: &StagePoint| q.distance(prop.at);
            let nearest = head.iter().map(d).fold(f32::INFINITY, f32::min);
            let farthest = head.iter().map(d).fold(0.0, f32::max);
            let near_count = head.iter().filter(|q| d(q) < nearest + 0.02).count();
            let far_count = head.iter().filter(|q| d(q) > farthest - 0.02).count();
            assert_eq!((near_count, far_count), if inward { (1, 2) } else { (2, 1) }, "{head:?}");
        }
    }
}
