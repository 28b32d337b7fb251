//! The painter against values worked out by hand.

use std::vec;
use std::vec::Vec;

use super::*;
use crate::floor::Block;
use crate::floor::block::Lay;
use crate::geom::{StagePoint, StageVector};
use crate::units::Angle;

const WHITE: Rgba = Rgba::opaque(255, 255, 255);
const BLACK: Rgba = Rgba::opaque(0, 0, 0);

/// A block of `w` × `h` pixels of one metre whose canvas corner (0, 0) is stage (0, 0); stage y is canvas -y.
fn metre_block(w: u16, h: u16) -> Block {
    let lay = Lay {
        centre: StagePoint::new(f32::from(w) / 2.0, -f32::from(h) / 2.0),
        width_m: w.into(),
        depth_m: h.into(),
        turn: Angle::from_degrees(0.0),
    };
    Block::laid("T".try_into().unwrap(), 0, (0, 0), (w, h), (1, 1), &lay).unwrap()
}

fn paint(scene: &Scene<'_>, block: &Block) -> Vec<Vec<u8>> {
    let mut pixels = vec![Rgba::opaque(9, 9, 9); usize::from(block.width_px) * usize::from(block.height_px)];
    let mut frame = Frame::new(&mut pixels, block.width_px).unwrap();
    let mut store = std::boxed::Box::new(WorkStore::<256, 64, 1024, 128, 64>::new());
    paint_block(scene, block, 0..block.height_px, &mut store.work(), &mut frame).unwrap();
    pixels.chunks(block.width_px.into()).map(|row| row.iter().map(|p| p.a).collect()).collect()
}

fn px(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, -y)
}

#[test]
fn square_on_pixel_borders_is_solid() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    scene.polygon(&[px(1.0, 1.0), px(1.0, 3.0), px(3.0, 3.0), px(3.0, 1.0)]).unwrap();
    let rows = paint(&scene, &metre_block(4, 4));
    assert_eq!(rows, [[0, 0, 0, 0], [0, 255, 255, 0], [0, 255, 255, 0], [0, 0, 0, 0]]);
}

#[test]
fn shares_are_areas() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    // Half a pixel in from every side of a 3 x 3 field: corners 1/4, sides 1/2.
    scene.polygon(&[px(0.5, 0.5), px(0.5, 2.5), px(2.5, 2.5), px(2.5, 0.5)]).unwrap();
    let rows = paint(&scene, &metre_block(3, 3));
    assert_eq!(rows, [[64, 128, 64], [128, 255, 128], [64, 128, 64]]);
}

#[test]
fn a_diagonal_halves_its_pixels() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    scene.polygon(&[px(0.0, 0.0), px(0.0, 3.0), px(3.0, 3.0)]).unwrap();
    let rows = paint(&scene, &metre_block(3, 3));
    assert_eq!(rows, [[128, 0, 0], [255, 128, 0], [255, 255, 128]]);
}

#[test]
fn a_shallow_edge_ramps_evenly() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    // Triangle (0,0) (0,1) (4,1): shares of the row are 1/8, 3/8, 5/8, 7/8 seen from its right end.
    scene.polygon(&[px(0.0, 0.0), px(0.0, 1.0), px(4.0, 1.0)]).unwrap();
    let rows = paint(&scene, &metre_block(4, 1));
    assert_eq!(rows, [[223, 159, 96, 32]]);
}

#[test]
fn winding_the_other_way_takes_away() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    scene.polygon(&[px(0.0, 0.0), px(0.0, 3.0), px(3.0, 3.0), px(3.0, 0.0)]).unwrap();
    scene.polygon(&[px(1.0, 1.0), px(2.0, 1.0), px(2.0, 2.0), px(1.0, 2.0)]).unwrap();
    let rows = paint(&scene, &metre_block(3, 3));
    assert_eq!(rows, [[255, 255, 255], [255, 0, 255], [255, 255, 255]]);
}

#[test]
fn a_disc_has_the_area_of_a_circle() {
    let mut store = SceneStore::<16, 4, 4>::new();
    for radius in [0.4_f32, 1.0, 7.3, 60.0] {
        let mut scene = store.scene();
        scene.begin(WHITE).unwrap();
        scene.disc(px(64.2, 63.7), radius).unwrap();
        let sum: f64 = paint(&scene, &metre_block(128, 128)).iter().flatten().map(|&a| f64::from(a) / 255.0).sum();
        let area = core::f64::consts::PI * f64::from(radius) * f64::from(radius);
        assert!((sum - area).abs() < 0.01 + area * 2e-4, "radius {radius}: {sum} against {area}");
    }
}

#[test]
fn shapes_over_the_left_border_keep_their_cover() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    scene.polygon(&[px(-3.0, 0.0), px(-3.0, 2.0), px(1.0, 2.0), px(1.0, 0.0)]).unwrap();
    // An edge that crosses the border inside one row.
    scene.begin(BLACK).unwrap();
    scene.polygon(&[px(-2.0, 2.0), px(-2.0, 3.0), px(2.0, 3.0)]).unwrap();
    let rows = paint(&scene, &metre_block(3, 3));
    assert_eq!(rows, [[255, 0, 0], [255, 0, 0], [96, 32, 0]]);
}

#[test]
fn the_upper_shape_wins_and_edges_mix() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(BLACK).unwrap();
    scene.polygon(&[px(0.0, 0.0), px(0.0, 1.0), px(3.0, 1.0), px(3.0, 0.0)]).unwrap();
    scene.begin(WHITE).unwrap();
    scene.polygon(&[px(1.0, 0.0), px(1.0, 1.0), px(2.5, 1.0), px(2.5, 0.0)]).unwrap();
    let block = metre_block(3, 1);
    let mut pixels = vec![Rgba::CLEAR; 3];
    let mut frame = Frame::new(&mut pixels, 3).unwrap();
    let mut work = std::boxed::Box::new(WorkStore::<64, 64, 64, 8, 64>::new());
    paint_block(&scene, &block, 0..1, &mut work.work(), &mut frame).unwrap();
    assert_eq!(pixels, [BLACK, WHITE, Rgba { r: 128, g: 128, b: 128, a: 255 }]);
}

#[test]
fn full_lists_are_named() {
    let mut store = SceneStore::<16, 4, 4>::new();
    let mut scene = store.scene();
    scene.begin(WHITE).unwrap();
    scene.ellipse(px(4.0, 4.0), StageVector::new(2.0, 0.0), StageVector::new(0.0, 2.0)).unwrap();
    let mut pixels = vec![Rgba::CLEAR; 64];
    let mut frame = Frame::new(&mut pixels, 8).unwrap();
    let mut work = WorkStore::<1, 4, 4, 8, 4>::new();
    let fault = paint_block(&scene, &metre_block(8, 8), 0..8, &mut work.work(), &mut frame);
    assert_eq!(fault, Err(PaintError::Full { list: "chains", capacity: 1 }));
}
