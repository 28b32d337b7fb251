//! A scene's shapes as polygons in canvas pixels.

use underfoot_core::floor::Block;
use underfoot_core::geom::{Affine, StagePoint};
use underfoot_core::paint::scene::Contour;
use underfoot_core::paint::{Rgba, Scene};

use super::clip::Place;

/// One shape, ready to be measured: its contours turn so that positive area adds cover.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its premultiplied ink.
    pub ink: Rgba,
    /// Its contours in canvas pixels.
    pub contours: Vec<Vec<Place>>,
}

/// The block's map solved for the canvas, in `f64`.
#[derive(Clone, Copy, Debug)]
pub struct Solver {
    map: Affine,
    determinant: f64,
}

impl Solver {
    /// Solves `map`, which must not fold the floor flat.
    pub fn new(map: Affine) -> Self {
        let (x, y) = (map.per_px_x, map.per_px_y);
        let determinant = f64::from(x.x) * f64::from(y.y) - f64::from(x.y) * f64::from(y.x);
        assert!(determinant != 0.0, "the map folds the floor flat");
        Self { map, determinant }
    }

    /// Canvas displacement of a stage displacement.
    pub fn displacement(&self, vx: f64, vy: f64) -> Place {
        let (x, y) = (self.map.per_px_x, self.map.per_px_y);
        let right = vx * f64::from(y.y) - vy * f64::from(y.x);
        let down = vy * f64::from(x.x) - vx * f64::from(x.y);
        [right / self.determinant, down / self.determinant]
    }

    /// Canvas place of a stage place.
    pub fn place(&self, p: StagePoint) -> Place {
        let origin = self.map.origin;
        self.displacement(f64::from(p.x) - f64::from(origin.x), f64::from(p.y) - f64::from(origin.y))
    }

    /// True when a turn that is counter-clockwise on the stage runs from canvas x to canvas y.
    pub fn keeps_turn(&self) -> bool {
        self.determinant > 0.0
    }
}

/// Every shape of `scene` as seen by `block`, in paint order.
pub fn figures(scene: &Scene<'_>, block: &Block) -> Vec<Figure> {
    let solver = Solver::new(block.map);
    let figure = |shape| {
        let contours = scene.contours_of(shape).iter().map(|c| polygon(scene, c, &solver)).collect();
        Figure { ink: shape.ink, contours }
    };
    scene.shapes().iter().map(figure).collect()
}

fn polygon(scene: &Scene<'_>, contour: &Contour, solver: &Solver) -> Vec<Place> {
    let mut places: Vec<Place> = match *contour {
        Contour::Polygon { .. } => scene.points_of(contour).iter().map(|&p| solver.place(p)).collect(),
        Contour::Ellipse { centre, u, v } => {
            let [cx, cy] = solver.place(centre);
            let [ux, uy] = solver.displacement(f64::from(u.x), f64::from(u.y));
            let [vx, vy] = solver.displacement(f64::from(v.x), f64::from(v.y));
            let sides = sides_of(ux.hypot(uy) + vx.hypot(vy));
            let corner = |i: usize| {
                let (sin, cos) = (std::f64::consts::TAU * i as f64 / sides as f64).sin_cos();
                [cx + ux * cos + vx * sin, cy + uy * cos + vy * sin]
            };
            (0..sides).map(corner).collect()
        }
    };
    if !solver.keeps_turn() {
        places.reverse();
    }
    places
}

/// Sides of an ellipse's polygon: a chord leaves the arc by radius × (π / sides)² / 2 at most, and that
/// stays under 1/2000 px.
fn sides_of(radius_px: f64) -> usize {
    let needed = std::f64::consts::PI * (radius_px * 1000.0).sqrt();
    (needed.ceil() as usize).max(4096)
}
