//! What is drawn on: a scene that takes only what the blocks of one canvas can show.
//!
//! A closed line that lies beside a block covers none of its pixels, so leaving it out changes no picture;
//! what it leaves room for lets a small memory hold one canvas of a large floor after another. Only drawing
//! is cut: places of labels are chosen from everything that the view shows.

use heapless::Vec;

use super::arc;
use crate::floor::Block;
use crate::geom::{StagePoint, StageVector};
use crate::limits;
use crate::paint::{Rgba, Scene, SceneFull};
use crate::show::Show;

/// Most points of one contour while it is being measured: a piece of a ring has the most.
const CONTOUR_POINTS: usize = 2 * (arc::MOST_STEPS as usize + 1);

/// How far round a block contours are kept, in its pixels: pixels of its rim must lose nothing to rounding.
const RIM_PX: f32 = 2.0;

/// A scene and the part of the stage that it is for.
pub(super) struct Sheet<'a, 's> {
    scene: &'a mut Scene<'s>,
    /// Where contours are kept; `None` keeps them everywhere.
    window: Option<Window>,
    /// Ink of a shape that has no contour yet.
    pending: Option<Rgba>,
}

/// Rectangles round the blocks of one canvas.
type Window = Vec<Bounds, { limits::BLOCKS }>;

/// A rectangle along the stage's axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    low: StagePoint,
    high: StagePoint,
}

impl Bounds {
    /// Round nothing: any point makes it larger.
    const NONE: Self = Self {
        low: StagePoint::new(f32::INFINITY, f32::INFINITY),
        high: StagePoint::new(f32::NEG_INFINITY, f32::NEG_INFINITY),
    };

    /// The least bounds round some points.
    pub(super) fn of(points: &[StagePoint]) -> Self {
        points.iter().fold(Self::NONE, |b, &p| b.with(p))
    }

    /// The least bounds round these and a point.
    pub(super) fn with(self, p: StagePoint) -> Self {
        let (low, high) = (self.low, self.high);
        Self {
            low: StagePoint::new(if p.x < low.x { p.x } else { low.x }, if p.y < low.y { p.y } else { low.y }),
            high: StagePoint::new(if p.x > high.x { p.x } else { high.x }, if p.y > high.y { p.y } else { high.y }),
        }
    }

    /// The bounds of a disc.
    pub(super) fn round(centre: StagePoint, radius_m: f32) -> Self {
        let reach = StageVector::new(radius_m, radius_m);
        Self { low: centre - reach, high: centre + reach }
    }

    /// The bounds with every side moved out by `by_m`.
    pub(super) fn grown(self, by_m: f32) -> Self {
        let by = StageVector::new(by_m, by_m);
        Self { low: self.low - by, high: self.high + by }
    }

    fn of_block(block: &Block) -> Self {
        Self::of(&block.corners()).grown(RIM_PX * (block.map.per_px_x.length() + block.map.per_px_y.length()))
    }

    /// False only when the two are apart.
    pub(super) fn meets(&self, other: &Self) -> bool {
        let apart = self.high.x < other.low.x
            || other.high.x < self.low.x
            || self.high.y < other.low.y
            || other.high.y < self.low.y;
        !apart
    }
}

impl<'a, 's> Sheet<'a, 's> {
    /// A sheet that keeps everything.
    pub(super) const fn whole(scene: &'a mut Scene<'s>) -> Self {
        Self { scene, window: None, pending: None }
    }

    /// A sheet for the blocks of `canvas`, or for everything.
    pub(super) fn of(scene: &'a mut Scene<'s>, show: &Show, canvas: Option<u8>) -> Self {
        let mine = |c: u8| show.blocks_of(c.into()).map(Bounds::of_block).take(limits::BLOCKS).collect();
        Self { scene, window: canvas.map(mine), pending: None }
    }

    /// False when nothing inside `bounds` can be seen: it need not be worked out.
    pub(super) fn shows(&self, bounds: &Bounds) -> bool {
        self.window.as_ref().is_none_or(|blocks| blocks.iter().any(|b| b.meets(bounds)))
    }

    /// Starts a shape on top of all others. It takes room only with its first contour.
    pub(super) const fn begin(&mut self, ink: Rgba) {
        self.pending = Some(ink);
    }

    /// Adds a polygon to the current shape; does nothing for fewer than three points.
    pub(super) fn polygon(&mut self, points: &[StagePoint]) -> Result<(), SceneFull> {
        if points.len() < 3 || (self.window.is_some() && !self.shows(&Bounds::of(points))) {
            return Ok(());
        }
        self.open()?;
        self.scene.polygon(points)
    }

    /// Adds a polygon whose points come one by one; does nothing for fewer than three points.
    pub(super) fn polygon_from(&mut self, points: impl IntoIterator<Item = StagePoint>) -> Result<(), SceneFull> {
        let mut list: Vec<StagePoint, CONTOUR_POINTS> = Vec::new();
        for point in points {
            list.push(point).map_err(|_| SceneFull { list: "points", capacity: CONTOUR_POINTS })?;
        }
        self.polygon(&list)
    }

    /// Adds a disc of `radius_m` to the current shape.
    pub(super) fn disc(&mut self, centre: StagePoint, radius_m: f32) -> Result<(), SceneFull> {
        self.round(centre, radius_m, Scene::disc)
    }

    /// Takes a disc of `radius_m` away from the current shape.
    pub(super) fn hole(&mut self, centre: StagePoint, radius_m: f32) -> Result<(), SceneFull> {
        self.round(centre, radius_m, Scene::hole)
    }

    fn round(
        &mut self,
        centre: StagePoint,
        radius_m: f32,
        add: impl Fn(&mut Scene<'s>, StagePoint, f32) -> Result<(), SceneFull>,
    ) -> Result<(), SceneFull> {
        if !self.shows(&Bounds::round(centre, radius_m)) {
            return Ok(());
        }
        self.open()?;
        add(self.scene, centre, radius_m)
    }

    fn open(&mut self) -> Result<(), SceneFull> {
        self.pending.take().map_or(Ok(()), |ink| self.scene.begin(ink))
    }
}
