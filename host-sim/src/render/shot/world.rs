//! What is really there, seen along a line of sight: LED floor and walls, the studio, physical things.

use underfoot_core::geom::{StagePoint, polygon};
use underfoot_core::props::physical;
use underfoot_core::show::{Physical, PhysicalKind, Show, Wall};
use underfoot_core::units::Angle;

use super::palette::{GROUND, GROUND_LINE, REAL, STEP, STUDIO, Tint, WALL, WALL_LINE, lit};
use super::ray::{Ray, V3, dot};
use super::thing::{Plan, Thing, wide};
use crate::render::CanvasPixels;
use crate::render::stage::Placed;

/// LED surfaces reach this far beyond their edges, so that seams are closed, metres.
const SEAM_M: f64 = 0.03;
/// Light on the studio floor ends this far from the camera, metres.
const DARK_M: f64 = 60.0;

/// What is really there in a cue.
pub(super) struct World<'s> {
    show: &'s Show,
    blocks: Vec<Placed<'s>>,
    canvases: &'s [CanvasPixels],
    /// What the LED floor shows beneath the marks; dark panels without it.
    content: Option<[u8; 3]>,
    walls: Vec<Upright>,
    reals: Vec<Thing>,
}

/// What a line of sight ends at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Backdrop {
    /// Depth, metres; infinite where nothing is.
    pub(super) depth: f64,
    /// What is seen there.
    pub(super) color: Tint,
    /// An LED surface is what is seen.
    pub(super) on_led: bool,
    /// The line meets an LED surface, if only behind something.
    pub(super) led: bool,
    /// Tells one thing or side from the next.
    pub(super) tag: u32,
}

impl Backdrop {
    fn nearer(&mut self, depth: f64, tag: u32, on_led: bool, color: impl FnOnce() -> Tint) {
        self.led |= on_led;
        if depth > 0.0 && depth < self.depth {
            (self.depth, self.color, self.on_led, self.tag) = (depth, color(), on_led, tag);
        }
    }
}

impl<'s> World<'s> {
    /// The stage with its floor painted, one picture for each canvas.
    pub(super) fn new(show: &'s Show, canvases: &'s [CanvasPixels], content: Option<[u8; 3]>) -> Self {
        let step = f64::from(show.floor.step_m);
        let reals = show.physicals.iter().filter_map(|p| real(p, step)).collect();
        let walls = show.walls.iter().map(Upright::of).collect();
        Self { show, blocks: Placed::all(show), canvases, content, walls, reals }
    }

    /// Physical things.
    pub(super) fn reals(&self) -> &[Thing] {
        &self.reals
    }

    /// What a line of sight ends at; `px` is the width of a pixel for each metre of depth, and no physical things but
    /// those with these indexes may be met.
    pub(super) fn backdrop(&self, ray: &Ray, px: f64, reals: &[usize]) -> Backdrop {
        let mut back = Backdrop { depth: f64::INFINITY, color: STUDIO, on_led: false, led: false, tag: 0 };
        self.floor(ray, &mut back);
        self.studio(ray, px, &mut back);
        for (i, wall) in self.walls.iter().enumerate() {
            if let Some((depth, along, z, inside)) = wall.met(ray) {
                back.led = true;
                if inside {
                    back.nearer(depth, 10 + i as u32, true, || wall_color((along, z), px * depth));
                }
            }
        }
        for &i in reals {
            if let Some(span) = self.reals[i].first(ray) {
                let face = face(span.normal);
                back.nearer(span.enter, 100 + 8 * i as u32 + face, false, || lit(REAL, shade(span.normal)));
            }
        }
        back
    }

    fn floor(&self, ray: &Ray, back: &mut Backdrop) {
        for placed in &self.blocks {
            let Some(depth) = ray.level(placed.height_m().into()) else { continue };
            let [x, y, _] = ray.at(depth);
            let p = StagePoint::new(x as f32, y as f32);
            if let Some(color) = placed.color(self.show, (self.canvases, self.content), p) {
                back.nearer(depth, 1, true, || color.map(|c| f64::from(c) + 6.0));
            }
        }
    }

    fn studio(&self, ray: &Ray, px: f64, back: &mut Backdrop) {
        // Nothing is seen of it behind what is nearer.
        let nearer = |depth: &f64| *depth < back.depth;
        let Some(depth) = ray.level(-f64::from(self.show.floor.step_m)).filter(nearer) else { return };
        let [x, y, _] = ray.at(depth);
        let under = polygon::contains(&self.show.floor.vertices, StagePoint::new(x as f32, y as f32));
        let color = || {
            if under {
                return STEP;
            }
            let fade = (1.0 - depth / DARK_M).clamp(0.0, 1.0);
            let line = near_metre(x, px * depth) || near_metre(y, px * depth);
            let tint = if line { GROUND_LINE } else { GROUND };
            super::palette::mixed(STUDIO, tint, fade)
        };
        back.nearer(depth, 2 + u32::from(under), false, color);
    }
}

/// True within a thin line at each whole metre; wide enough to be seen, and gone where it would be all there is.
fn near_metre(v: f64, px: f64) -> bool {
    let half = (0.6 * px).max(0.006);
    half < 0.1 && (v - v.round()).abs() < half
}

fn wall_color((along, z): (f64, f64), px: f64) -> Tint {
    let light = 0.9 + 0.03 * z;
    lit(if near_metre(along, px) || near_metre(z, px) { WALL_LINE } else { WALL }, light)
}

/// A wall with what does not change from one line of sight to the next.
struct Upright {
    from: (f64, f64),
    /// Unit vector along its foot.
    along: (f64, f64),
    length: f64,
    bottom: f64,
    top: f64,
}

impl Upright {
    fn of(wall: &Wall) -> Self {
        let ((fx, fy), (tx, ty)) = (wide(wall.from), wide(wall.to));
        let length = ((tx - fx) * (tx - fx) + (ty - fy) * (ty - fy)).sqrt();
        let along = ((tx - fx) / length, (ty - fy) / length);
        Self { from: (fx, fy), along, length, bottom: wall.bottom_m.into(), top: wall.top_m.into() }
    }

    /// Depth, place along the wall, height, and whether that is on the wall itself or only within its seam.
    fn met(&self, ray: &Ray) -> Option<(f64, f64, f64, bool)> {
        let ((fx, fy), (ax, ay)) = (self.from, self.along);
        let depth = (ay * (fx - ray.from[0]) - ax * (fy - ray.from[1])) / (ay * ray.way[0] - ax * ray.way[1]);
        if !(depth.is_finite() && depth > 0.0) {
            return None;
        }
        let [x, y, z] = ray.at(depth);
        let along = (x - fx) * ax + (y - fy) * ay;
        let within = |v: f64, low: f64, high: f64, by: f64| v >= low - by && v <= high + by;
        let inside = |by| within(along, 0.0, self.length, by) && within(z, self.bottom, self.top, by);
        inside(SEAM_M).then(|| (depth, along, z, inside(0.0)))
    }
}

/// A physical thing, standing on the studio floor.
fn real(thing: &Physical, step: f64) -> Option<Thing> {
    let area = physical::rectangle(thing).ok()?;
    let top = f64::from(thing.height_m);
    let slope = match thing.kind {
        PhysicalKind::Ramp { rises_deg } => Some(ramp(thing, rises_deg)),
        _ => None,
    };
    let plan = Plan::convex(area.vertices().iter().map(|&v| wide(v)).collect());
    Some(Thing { plan, bottom: -step, top, slope })
}

/// The plane of a ramp's top, through heights that the core gives.
fn ramp(thing: &Physical, rises_deg: f32) -> (V3, f64) {
    let (sin, cos) = Angle::from_degrees(rises_deg).sin_cos();
    let middle = f64::from(thing.height_m) / 2.0;
    let p = StagePoint::new(thing.centre.x + cos * 0.01, thing.centre.y + sin * 0.01);
    let rate = (physical::top_at(thing, p).map_or(middle, f64::from) - middle) / 0.01;
    let normal = [-rate * f64::from(cos), -rate * f64::from(sin), 1.0];
    let (x, y) = wide(thing.centre);
    (normal, dot(normal, [x, y, middle]))
}

/// Which side of a solid: its top, or one of a few ways that a side may face.
pub(super) fn face(normal: V3) -> u32 {
    if normal[2].abs() > 0.5 { 0 } else { 1 }
}

/// How bright a face is: tops are brightest, then what faces downstage and stage right.
pub(super) fn shade(normal: V3) -> f64 {
    if normal[2] > 0.5 {
        return 1.0;
    }
    let towards = [-0.45, -0.80, 0.0];
    0.60 + 0.25 * dot(normal, towards).max(-0.4)
}
