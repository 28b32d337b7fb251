//! The same shapes for other painters: the same contours, the same colours, the same order.
//!
//! Their paths are made beforehand in canvas pixels, so that they are spared the map from the stage that
//! the painter under test pays for. Circles are cubics within 1/1000 pixel of the true curve.

use tiny_skia::{FillRule, Paint, PathBuilder, PixmapMut, Transform};
use underfoot_core::floor::Block;
use underfoot_core::paint::scene::Contour;
use underfoot_core::paint::{Rgba, Scene};
use underfoot_tests::oracle::outline::Solver;
use vello_cpu::color::{AlphaColor, Srgb};
use vello_cpu::kurbo::{Affine, BezPath, Circle, PathEl, Shape, flatten};
use vello_cpu::{RasterizerSettings, RenderContext, RenderMode, Resources};

/// Curves stay within this many pixels of the true ellipse.
const CURVE_PX: f64 = 0.001;
/// Lines stay within this many pixels of their curve: the flattening error that the painter under test allows itself.
const FLAT_PX: f64 = 0.0025;

/// A scene for tiny-skia.
pub(crate) struct Skia {
    shapes: Vec<(tiny_skia::Path, Paint<'static>)>,
}

/// A scene for vello_cpu, with the memory it keeps between frames.
pub(crate) struct Vello {
    shapes: Vec<(BezPath, AlphaColor<Srgb>)>,
    context: RenderContext,
    resources: Resources,
    size: (u16, u16),
}

/// Every shape as one path and its ink.
fn paths(scene: &Scene<'_>, block: &Block) -> Vec<(BezPath, Rgba)> {
    let solver = Solver::new(block.map);
    let path = |shape| {
        let mut path = BezPath::new();
        for contour in scene.contours_of(shape) {
            add(&mut path, scene, contour, &solver);
        }
        (path, shape.ink)
    };
    scene.shapes().iter().map(path).collect()
}

fn add(path: &mut BezPath, scene: &Scene<'_>, contour: &Contour, solver: &Solver) {
    match *contour {
        Contour::Polygon { .. } => {
            for (i, &point) in scene.points_of(contour).iter().enumerate() {
                let [x, y] = solver.place(point);
                if i == 0 { path.move_to((x, y)) } else { path.line_to((x, y)) }
            }
            path.close_path();
        }
        Contour::Ellipse { centre, u, v } => {
            let [cx, cy] = solver.place(centre);
            let [ux, uy] = solver.displacement(f64::from(u.x), f64::from(u.y));
            let [vx, vy] = solver.displacement(f64::from(v.x), f64::from(v.y));
            let radius = ux.hypot(uy).max(vx.hypot(vy)).max(1.0);
            let unit = Circle::new((0.0, 0.0), 1.0).to_path(CURVE_PX / radius);
            path.extend(Affine::new([ux, uy, vx, vy, cx, cy]) * unit);
        }
    }
}

/// The straight (not premultiplied) levels of an ink, 0 to 1.
fn straight(ink: Rgba) -> [f32; 4] {
    let level = |c: u8| f32::from(c) / f32::from(ink.a.max(1));
    [level(ink.r), level(ink.g), level(ink.b), f32::from(ink.a) / 255.0]
}

impl Skia {
    /// The scene's shapes in canvas pixels.
    pub(crate) fn new(scene: &Scene<'_>, block: &Block) -> Self {
        let shape = |(path, ink): (BezPath, Rgba)| {
            let [r, g, b, a] = straight(ink);
            let mut paint = Paint { anti_alias: true, ..Paint::default() };
            paint.set_color(tiny_skia::Color::from_rgba(r, g, b, a).expect("levels up to 1"));
            Some((skia_path(&path)?, paint))
        };
        Self { shapes: paths(scene, block).into_iter().filter_map(shape).collect() }
    }

    /// Clears and paints the whole picture.
    pub(crate) fn paint(&self, target: &mut PixmapMut<'_>) {
        target.fill(tiny_skia::Color::TRANSPARENT);
        for (path, paint) in &self.shapes {
            target.fill_path(path, paint, FillRule::Winding, Transform::identity(), None);
        }
    }
}

fn skia_path(path: &BezPath) -> Option<tiny_skia::Path> {
    let mut builder = PathBuilder::new();
    let at = |p: vello_cpu::kurbo::Point| (p.x as f32, p.y as f32);
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => builder.move_to(at(p).0, at(p).1),
            PathEl::LineTo(p) => builder.line_to(at(p).0, at(p).1),
            PathEl::QuadTo(a, p) => builder.quad_to(at(a).0, at(a).1, at(p).0, at(p).1),
            PathEl::CurveTo(a, b, p) => builder.cubic_to(at(a).0, at(a).1, at(b).0, at(b).1, at(p).0, at(p).1),
            PathEl::ClosePath => builder.close(),
        }
    }
    builder.finish()
}

/// How a path's curves reach a painter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Curves {
    /// As curves: the painter cuts them into lines as coarsely as it likes.
    Own,
    /// As lines within [`FLAT_PX`] of the true ellipse, which the painter's error then equals.
    Fine,
}

impl Vello {
    /// The scene's shapes in canvas pixels.
    pub(crate) fn new(scene: &Scene<'_>, block: &Block, curves: Curves) -> Self {
        let shape = |(path, ink): (BezPath, Rgba)| {
            let path = if curves == Curves::Fine { flat(&path) } else { path };
            (path, AlphaColor::new(straight(ink)))
        };
        let shapes = paths(scene, block).into_iter().map(shape).collect();
        let size = (block.width_px, block.height_px);
        Self { shapes, context: RenderContext::new(size.0, size.1), resources: Resources::new(), size }
    }

    /// Paints the whole picture over whatever `pixels` held, on one thread.
    pub(crate) fn paint(&mut self, pixels: &mut [u8], mode: RenderMode) {
        self.context.reset();
        for (path, color) in &self.shapes {
            self.context.set_paint(*color);
            self.context.fill_path(path);
        }
        self.context.flush();
        let settings = RasterizerSettings { render_mode: mode, ..RasterizerSettings::default() };
        let target = vello_cpu::PixmapMut::new(self.size.0, self.size.1, pixels).expect("a buffer of the right size");
        self.context.render_with(target, &mut self.resources, settings);
    }
}

fn flat(path: &BezPath) -> BezPath {
    let mut lines = BezPath::new();
    flatten(path, FLAT_PX, |element| lines.push(element));
    lines
}
