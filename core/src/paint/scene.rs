//! A bounded, ordered list of shapes in stage metres. Later shapes lie on top.
//!
//! A shape is one ink and one or more contours. A contour turning counter-clockwise (seen from above)
//! adds cover and one turning clockwise takes it away, so a ring is an outer and an inner contour.
//! Where contours of one shape overlap the cover is their sum, at most full.

use crate::geom::{StagePoint, StageVector};

use super::Rgba;
use crate::limits;

/// A list of the scene is full.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SceneFull {
    /// Which list: "points", "contours" or "shapes".
    pub list: &'static str,
    /// Its capacity.
    pub capacity: usize,
}

/// One closed line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contour {
    /// A polygon: a run of the scene's points.
    Polygon {
        /// Index of the first point.
        first: u16,
        /// Number of points.
        len: u16,
    },
    /// An ellipse `centre + u cos t + v sin t`, t from 0 to a full turn; clockwise when `u × v` is negative.
    Ellipse {
        /// Centre.
        centre: StagePoint,
        /// Half axis at t = 0.
        u: StageVector,
        /// Half axis at t = a quarter turn.
        v: StageVector,
    },
}

impl Contour {
    const EMPTY: Self = Self::Polygon { first: 0, len: 0 };
}

/// One ink over a run of contours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// Its colour, premultiplied.
    pub ink: Rgba,
    /// Index of its first contour.
    pub first: u16,
    /// Number of its contours.
    pub len: u16,
}

/// The memory of a scene: `P` points, `C` contours, `S` shapes.
#[derive(Clone, Debug)]
pub struct SceneStore<const P: usize, const C: usize, const S: usize> {
    points: [StagePoint; P],
    contours: [Contour; C],
    shapes: [Shape; S],
}

impl<const P: usize, const C: usize, const S: usize> SceneStore<P, C, S> {
    /// Empty memory.
    pub const fn new() -> Self {
        const { assert!(S <= limits::SCENE_SHAPES && P <= 1 << 16 && C <= 1 << 16) }
        Self {
            points: [StagePoint::new(0.0, 0.0); P],
            contours: [Contour::EMPTY; C],
            shapes: [Shape { ink: Rgba::CLEAR, first: 0, len: 0 }; S],
        }
    }

    /// An empty scene in this memory.
    pub fn scene(&mut self) -> Scene<'_> {
        self.scene_again(Used::NOTHING)
    }

    /// The scene that was made in this memory and [used](Scene::used) as much of it; with another number it is another
    /// scene of no meaning.
    pub fn scene_again(&mut self, used: Used) -> Scene<'_> {
        Scene { points: &mut self.points, contours: &mut self.contours, shapes: &mut self.shapes, used }
    }
}

impl<const P: usize, const C: usize, const S: usize> Default for SceneStore<P, C, S> {
    fn default() -> Self {
        Self::new()
    }
}

/// How much of a store's memory its scene takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Used {
    points: usize,
    contours: usize,
    shapes: usize,
}

impl Used {
    const NOTHING: Self = Self { points: 0, contours: 0, shapes: 0 };
}

/// Shapes in paint order, in memory lent by a [`SceneStore`].
#[derive(Debug)]
pub struct Scene<'s> {
    points: &'s mut [StagePoint],
    contours: &'s mut [Contour],
    shapes: &'s mut [Shape],
    used: Used,
}

impl Scene<'_> {
    /// Forgets everything.
    pub fn clear(&mut self) {
        self.used = Used::NOTHING;
    }

    /// Starts a shape on top of all others. Contours added from now on belong to it.
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room.
    pub fn begin(&mut self, ink: Rgba) -> Result<(), SceneFull> {
        let capacity = self.shapes.len();
        let slot = self.shapes.get_mut(self.used.shapes).ok_or(SceneFull { list: "shapes", capacity })?;
        *slot = Shape { ink, first: self.used.contours as u16, len: 0 };
        self.used.shapes += 1;
        Ok(())
    }

    /// Adds a polygon to the current shape; does nothing for fewer than three points.
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room; the scene is then as before.
    pub fn polygon(&mut self, points: &[StagePoint]) -> Result<(), SceneFull> {
        if points.len() < 3 {
            return Ok(());
        }
        let capacity = self.points.len();
        let first = self.used.points;
        let room = self.points.get_mut(first..first + points.len()).ok_or(SceneFull { list: "points", capacity })?;
        room.copy_from_slice(points);
        self.contour(Contour::Polygon { first: first as u16, len: points.len() as u16 })?;
        self.used.points += points.len();
        Ok(())
    }

    /// Adds a polygon whose points come one by one; does nothing for fewer than three points.
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room; the scene is then as before.
    pub fn polygon_from(&mut self, points: impl IntoIterator<Item = StagePoint>) -> Result<(), SceneFull> {
        let (first, capacity) = (self.used.points, self.points.len());
        let mut end = first;
        for point in points {
            *self.points.get_mut(end).ok_or(SceneFull { list: "points", capacity })? = point;
            end += 1;
        }
        if end < first + 3 {
            return Ok(());
        }
        self.contour(Contour::Polygon { first: first as u16, len: (end - first) as u16 })?;
        self.used.points = end;
        Ok(())
    }

    /// Adds an ellipse to the current shape. See [`Contour::Ellipse`].
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room.
    pub fn ellipse(&mut self, centre: StagePoint, u: StageVector, v: StageVector) -> Result<(), SceneFull> {
        self.contour(Contour::Ellipse { centre, u, v })
    }

    /// Adds a disc of `radius_m` to the current shape.
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room.
    pub fn disc(&mut self, centre: StagePoint, radius_m: f32) -> Result<(), SceneFull> {
        self.ellipse(centre, StageVector::new(radius_m, 0.0), StageVector::new(0.0, radius_m))
    }

    /// Takes a disc of `radius_m` away from the current shape.
    ///
    /// # Errors
    /// [`SceneFull`] when there is no room.
    pub fn hole(&mut self, centre: StagePoint, radius_m: f32) -> Result<(), SceneFull> {
        self.ellipse(centre, StageVector::new(radius_m, 0.0), StageVector::new(0.0, -radius_m))
    }

    fn contour(&mut self, contour: Contour) -> Result<(), SceneFull> {
        let capacity = self.contours.len();
        let slot = self.contours.get_mut(self.used.contours).ok_or(SceneFull { list: "contours", capacity })?;
        *slot = contour;
        self.used.contours += 1;
        if let Some(shape) = self.used.shapes.checked_sub(1).and_then(|i| self.shapes.get_mut(i)) {
            shape.len += 1;
        }
        Ok(())
    }

    /// How much of its memory it takes: with it [`SceneStore::scene_again`] gives the same scene later.
    pub const fn used(&self) -> Used {
        self.used
    }

    /// The shapes in paint order.
    pub fn shapes(&self) -> &[Shape] {
        self.shapes.get(..self.used.shapes).unwrap_or(&[])
    }

    /// The contours of a shape.
    pub fn contours_of(&self, shape: &Shape) -> &[Contour] {
        let first = usize::from(shape.first);
        self.contours.get(first..first + usize::from(shape.len)).unwrap_or(&[])
    }

    /// Contour `i` of the whole scene; an empty polygon when there is none.
    pub(super) fn contour_at(&self, i: u16) -> Contour {
        self.contours.get(..self.used.contours).and_then(|c| c.get(usize::from(i))).copied().unwrap_or(Contour::EMPTY)
    }

    /// Point `i` of the whole scene; the origin when there is none.
    #[inline]
    pub(super) fn point_at(&self, i: u16) -> StagePoint {
        self.points.get(usize::from(i)).copied().unwrap_or_default()
    }

    /// The points of a polygon contour; empty for an ellipse.
    pub fn points_of(&self, contour: &Contour) -> &[StagePoint] {
        match *contour {
            Contour::Polygon { first, len } => {
                self.points.get(usize::from(first)..usize::from(first) + usize::from(len)).unwrap_or(&[])
            }
            Contour::Ellipse { .. } => &[],
        }
    }
}
