//! Random blocks and shapes that go looking for a painter's weak spots.
//!
//! Shapes are thrown in canvas pixels, so that every kind is small, thin or off the block as meant, and
//! then carried to the stage, where the scene keeps them as `f32`. Whoever measures must start from
//! those stage values: the rounding on the way there is part of the input, not an error.

use underfoot_core::floor::Block;
use underfoot_core::geom::{Affine, StagePoint, StageVector};
use underfoot_core::paint::{Rgba, Scene};

use crate::dice::Dice;

/// Where a block lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// Rows along stage X.
    Plain,
    /// At any angle.
    Turned,
    /// Turned, sheared, and differently pitched along its sides.
    Sheared,
    /// Seen in a mirror.
    Mirrored,
    /// On the far corner of the largest canvas, up to 500 m from the stage origin.
    Far,
}

/// All lies.
pub const LIES: [Lie; 5] = [Lie::Plain, Lie::Turned, Lie::Sheared, Lie::Mirrored, Lie::Far];

/// A shape with a name for the test's message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A convex or concave star of up to 12 corners.
    Star,
    /// Corners anywhere: the outline may cross itself.
    Tangle,
    /// A long triangle thinner than a pixel.
    Sliver,
    /// A polygon smaller than a pixel.
    Speck,
    /// An ellipse.
    Ellipse,
    /// A disc with a round hole.
    Ring,
    /// A square with a square hole.
    Frame,
    /// Two overlapping pieces in one shape.
    Pair,
    /// A rectangle on whole pixels.
    Aligned,
    /// A shape much larger than the block, with a side near it.
    Huge,
}

/// All kinds.
pub const KINDS: [Kind; 10] = [
    Kind::Star,
    Kind::Tangle,
    Kind::Sliver,
    Kind::Speck,
    Kind::Ellipse,
    Kind::Ring,
    Kind::Frame,
    Kind::Pair,
    Kind::Aligned,
    Kind::Huge,
];

/// A random block of at most `side_px` pixels a side.
pub fn block(dice: &mut Dice, lie: Lie, side_px: u16) -> Block {
    let side = |dice: &mut Dice| 1 + dice.below(usize::from(side_px)) as u16;
    let (width_px, height_px) = (side(dice), side(dice));
    let far = lie == Lie::Far;
    let reach = if far { 16_384 } else { 2_000 };
    let corner =
        |dice: &mut Dice, size: u16| if far { reach - size } else { dice.below(usize::from(reach - size)) as u16 };
    let (x_px, y_px) = (corner(dice, width_px), corner(dice, height_px));
    let mut map = map(dice, lie);
    if far {
        // Where the map puts canvas place (0, 0) must land on the block instead.
        let corner = (f32::from(x_px), f32::from(y_px));
        map.origin = map.origin - map.per_px_x * corner.0 - map.per_px_y * corner.1;
    }
    let block = Block {
        name: Default::default(),
        canvas: 0,
        x_px,
        y_px,
        width_px,
        height_px,
        panel_width_px: width_px,
        panel_height_px: height_px,
        map,
        height_m: 0.0,
    };
    block.validate().expect("random blocks are valid");
    block
}

fn map(dice: &mut Dice, lie: Lie) -> Affine {
    // Pitches from fine LED floors to coarse ones (common practice: 1.5 to 16 mm).
    let pitch = dice.between(0.0015, 0.016);
    let turn = if lie == Lie::Plain { 0.0 } else { dice.between(0.0, std::f64::consts::TAU) };
    let (sin, cos) = turn.sin_cos();
    let (down, lean) = match lie {
        Lie::Sheared => (pitch * dice.between(0.5, 2.0), dice.between(-0.7, 0.7)),
        Lie::Mirrored => (-pitch, 0.0),
        _ => (pitch, 0.0),
    };
    let reach = if lie == Lie::Far { 360.0 } else { 15.0 };
    Affine {
        origin: StagePoint::new(dice.between(-reach, reach) as f32, dice.between(-reach, reach) as f32),
        per_px_x: StageVector::new((pitch * cos) as f32, (pitch * sin) as f32),
        per_px_y: StageVector::new((down * (sin + lean * cos)) as f32, (down * (lean * sin - cos)) as f32),
    }
}

/// Any ink: half of them opaque, the others down to very thin.
pub fn ink(dice: &mut Dice) -> Rgba {
    let colour = Rgba::opaque(dice.byte(), dice.byte(), dice.byte());
    if dice.one_in(2) { colour } else { colour.thinned(1 + dice.below(254) as u8) }
}

/// Throws shapes onto one block.
#[derive(Debug)]
pub struct Thrower<'b> {
    block: &'b Block,
}

impl<'b> Thrower<'b> {
    /// A thrower for `block`.
    pub const fn new(block: &'b Block) -> Self {
        Self { block }
    }

    /// Adds a shape of `kind` to the scene.
    pub fn throw(&self, dice: &mut Dice, kind: Kind, ink: Rgba, scene: &mut Scene<'_>) {
        scene.begin(ink).expect("room for a shape");
        let centre = self.anywhere(dice);
        let size = dice.between(1.0, 25.0);
        match kind {
            Kind::Star => self.star(dice, centre, size, scene),
            Kind::Tangle => self.tangle(dice, scene),
            Kind::Sliver => self.sliver(dice, centre, scene),
            Kind::Speck => self.star(dice, centre, 0.45, scene),
            Kind::Ellipse => self.ellipse(centre, [size, dice.between(-9.0, 9.0)], dice.between(0.3, 20.0), scene),
            Kind::Ring => {
                self.ellipse(centre, [size, 0.0], size, scene);
                self.ellipse(centre, [size * 0.7, 0.0], size * -0.7, scene);
            }
            Kind::Frame => {
                self.square(centre, size, scene, false);
                self.square(centre, size * 0.8, scene, true);
            }
            Kind::Pair => {
                self.star(dice, centre, size, scene);
                self.ellipse(centre, [size * 0.8, 1.0], size * 0.5, scene);
            }
            Kind::Aligned => self.square([centre[0].round(), centre[1].round()], size.round(), scene, false),
            Kind::Huge => {
                let size = dice.between(200.0, 3000.0);
                let (sin, cos) = dice.between(0.0, std::f64::consts::TAU).sin_cos();
                let away = size * dice.between(0.2, 0.8);
                self.star(dice, [centre[0] + away * cos, centre[1] + away * sin], size, scene);
            }
        }
    }

    fn anywhere(&self, dice: &mut Dice) -> [f64; 2] {
        let b = self.block;
        let along = |dice: &mut Dice, from: u16, size: u16| f64::from(from) + dice.between(-8.0, f64::from(size) + 8.0);
        [along(dice, b.x_px, b.width_px), along(dice, b.y_px, b.height_px)]
    }

    fn stage_vector(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (px, py) = (self.block.map.per_px_x, self.block.map.per_px_y);
        [x * f64::from(px.x) + y * f64::from(py.x), x * f64::from(px.y) + y * f64::from(py.y)]
    }

    fn stage(&self, place: [f64; 2]) -> StagePoint {
        let [x, y] = self.stage_vector(place);
        let origin = self.block.map.origin;
        StagePoint::new((f64::from(origin.x) + x) as f32, (f64::from(origin.y) + y) as f32)
    }

    /// Adds a polygon given in canvas pixels; it adds cover when `hole` is false, whatever the block's lie.
    fn polygon(&self, mut places: Vec<[f64; 2]>, scene: &mut Scene<'_>, hole: bool) {
        let map = self.block.map;
        let turns = crate::oracle::clip::area(&places) * f64::from(map.per_px_x.cross(map.per_px_y)) > 0.0;
        if turns == hole {
            places.reverse();
        }
        let points: Vec<StagePoint> = places.into_iter().map(|p| self.stage(p)).collect();
        scene.polygon(&points).expect("room for points");
    }

    fn star(&self, dice: &mut Dice, [x, y]: [f64; 2], size: f64, scene: &mut Scene<'_>) {
        let corners = 3 + dice.below(10);
        let corner = |i: usize| {
            let (sin, cos) = (i as f64 / corners as f64 * std::f64::consts::TAU).sin_cos();
            let radius = size * dice.between(0.25, 1.0);
            [x + radius * cos, y + radius * sin]
        };
        self.polygon((0..corners).map(corner).collect(), scene, false);
    }

    fn tangle(&self, dice: &mut Dice, scene: &mut Scene<'_>) {
        let corners = 4 + dice.below(6);
        let places = (0..corners).map(|_| self.anywhere(dice)).collect();
        self.polygon(places, scene, false);
    }

    fn sliver(&self, dice: &mut Dice, [x, y]: [f64; 2], scene: &mut Scene<'_>) {
        let (dx, dy) = (dice.between(-60.0, 60.0), dice.between(-60.0, 60.0));
        let thin = dice.between(0.02, 0.6);
        let across = thin / f64::hypot(dx, dy).max(1.0);
        self.polygon(vec![[x, y], [x + dx, y + dy], [x - dy * across, y + dx * across]], scene, false);
    }

    fn square(&self, [x, y]: [f64; 2], size: f64, scene: &mut Scene<'_>, hole: bool) {
        let places = vec![[x - size, y - size], [x + size, y - size], [x + size, y + size], [x - size, y + size]];
        self.polygon(places, scene, hole);
    }

    /// Half axes `u` and one of length `across` at right angles, in pixels; takes away when `across` is negative.
    fn ellipse(&self, centre: [f64; 2], u: [f64; 2], across: f64, scene: &mut Scene<'_>) {
        let length = f64::hypot(u[0], u[1]);
        let map = self.block.map;
        let side = if map.per_px_x.cross(map.per_px_y) > 0.0 { across } else { -across };
        let v = [-u[1] / length * side, u[0] / length * side];
        let vector = |[x, y]: [f64; 2]| StageVector::new(x as f32, y as f32);
        let (u, v) = (vector(self.stage_vector(u)), vector(self.stage_vector(v)));
        scene.ellipse(self.stage(centre), u, v).expect("room for an ellipse");
    }
}
