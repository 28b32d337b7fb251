//! Whether a shot holds a person.

use super::body::{Body, Upright};
use super::frame::Rect;
use super::pose::Pose;
use super::pyramid;
use super::shots::View;
use crate::geom::{StagePoint3, StageVector};
use crate::show::cameras::Crop;
use crate::show::{Shot, ShotKind};

/// An edge of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The left edge as seen in the picture.
    Left,
    /// The right edge as seen in the picture.
    Right,
    /// The upper edge.
    Top,
    /// The lower edge, or the upper edge of a lower-third strip.
    Bottom,
}

/// How a shot has a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Framing {
    /// Nothing of the body is in the picture.
    Out,
    /// Something of it is, but its middle line misses the safe part of the uncropped picture: the shot is about
    /// somebody else.
    Beside,
    /// The shot is about this person and cuts them: a corner at the head's top or at the lower line leaves the safe
    /// part of the cropped picture, most of all at this side.
    Cut(Side),
    /// The shot holds the person.
    Framed,
}

/// Where a body ends in a picture.
///
/// A corner at or behind the camera's pupil counts as infinitely far out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// Top of the head in half-heights of the cropped picture: 1 is its upper edge.
    pub head: f32,
    /// The lower line in half-heights of the cropped picture: −1 is its lower edge.
    pub lower: f32,
    /// The farther side in half-widths of the cropped picture: 1 is an edge.
    pub side: f32,
}

/// How a shot has a person, with figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Framed {
    /// In one word.
    pub state: Framing,
    /// Top of the head at the planned pose, in half-heights of the cropped picture: 1 is its upper edge.
    pub head: f32,
    /// The lower line at the planned pose, in half-heights: −1 is the picture's lower edge.
    pub lower: f32,
    /// The farther side at the planned pose, in half-widths: 1 is an edge.
    pub side: f32,
    /// The most that `head` may be: the safe margin, and the operator's zoom.
    pub limit: f32,
    /// The most that each figure may be; the least for `lower`.
    pub limits: Figures,
    /// The worst figures over the corners of the operator's pan and tilt tolerance, and the planned pose.
    pub worst: Figures,
}

/// How a view has a body.
pub fn framing(view: &View, body: &Body) -> Framed {
    let upright = upright(view, body);
    let ends = Ends::of(view, body, &upright);
    let planned = ends.figures(&view.pose);
    let worst = view.corners.iter().fold(planned, |worst, pose| worst.or(ends.figures(pose)));
    let limits = limits(view);
    let state = state_of(view, body, &upright);
    Framed { state, head: planned.head, lower: planned.lower, side: planned.side, limit: limits.head, limits, worst }
}

/// How a view has a body, in one word: [`framing`]'s without its figures, for less work.
pub fn state(view: &View, body: &Body) -> Framing {
    state_of(view, body, &upright(view, body))
}

/// True when a view has a body [`Framing::Framed`]. The same answer as [`framing`]'s for least work.
pub fn holds(view: &View, body: &Body) -> bool {
    // With its corners in the safe part, a body is in the picture and its middle line in the safe part, too.
    Ends::of(view, body, &upright(view, body)).are_safe(view)
}

/// The side at which a view cuts a body or misses it altogether, most of all; `None` when it [`holds`] it.
pub fn missed_side(view: &View, body: &Body) -> Option<Side> {
    let ends = Ends::of(view, body, &upright(view, body));
    if ends.are_safe(view) { None } else { ends.cut(view) }
}

fn state_of(view: &View, body: &Body, upright: &Upright) -> Framing {
    if is_about(view, body, upright) {
        return Ends::of(view, body, upright).cut(view).map_or(Framing::Framed, Framing::Cut);
    }
    if touches(view, body, upright) { Framing::Beside } else { Framing::Out }
}

/// True when a shot that cuts a person at this side does so in passing, which is no fault: at the left or right of a
/// picture that is no 9:16 column, and wherever the camera moves or follows.
pub fn is_in_passing(shot: &Shot, side: Side) -> bool {
    let across = matches!(side, Side::Left | Side::Right) && shot.crop != Crop::Column;
    shot.kind != ShotKind::Preset || across
}

/// The body's rectangle; seen straight from above it faces downstage, which is as good as any way.
fn upright(view: &View, body: &Body) -> Upright {
    let facing =
        Upright { at: body.at, distance_m: 0.0, ahead: StageVector::new(0.0, 1.0), across: StageVector::new(1.0, 0.0) };
    body.upright(view.pose.centre).unwrap_or(facing)
}

/// The limits of the safe part, zoomed in, in the units of the figures.
fn limits(view: &View) -> Figures {
    let (frame, safe) = (&view.frame.inner, view.safe.scaled(1.0 / view.zoom));
    let side = (safe.right / frame.right).min(safe.left / frame.left);
    Figures { head: safe.top / frame.top, lower: -safe.bottom / frame.bottom, side }
}

/// The four corners that a shot has to hold.
struct Ends<'a> {
    frame: &'a Rect,
    head: [StagePoint3; 2],
    lower: [StagePoint3; 2],
}

impl<'a> Ends<'a> {
    fn of(view: &'a View, body: &Body, upright: &Upright) -> Self {
        let lower_m = body.base_m + body.lower_line_m(view.lower_line);
        let pair = |z_m: f32| [upright.point(-body.radius_m, z_m), upright.point(body.radius_m, z_m)];
        Self { frame: &view.frame.inner, head: pair(body.top_m()), lower: pair(lower_m) }
    }

    fn figures(&self, pose: &Pose) -> Figures {
        let start = Figures { head: f32::NEG_INFINITY, lower: f32::INFINITY, side: 0.0 };
        let worst = self.head.iter().chain(&self.lower).fold(start.side, |side, &q| {
            let out = |x: f32| if x < 0.0 { x / self.frame.left } else { x / self.frame.right };
            side.max(pose.see(q).map_or(f32::INFINITY, |seen| out(seen.x)))
        });
        let up = |q: StagePoint3| pose.see(q).map(|seen| seen.y);
        let head = |q: &StagePoint3| up(*q).map_or(f32::INFINITY, |y| y / self.frame.top);
        let lower = |q: &StagePoint3| up(*q).map_or(f32::NEG_INFINITY, |y| -y / self.frame.bottom);
        Figures {
            head: self.head.iter().map(head).fold(start.head, f32::max),
            lower: self.lower.iter().map(lower).fold(start.lower, f32::min),
            side: worst,
        }
    }

    /// True when all corners lie in the safe part, in all poses and zoomed in.
    fn are_safe(&self, view: &View) -> bool {
        let safe = view.safe.scaled(1.0 / view.zoom);
        // The operator's corners first: whom the planned pose misses, one of them mostly misses, too.
        view.corners.iter().chain(core::iter::once(&view.pose)).all(|pose| {
            self.head.iter().chain(&self.lower).all(|&q| !misses(&safe, pose.components(q)).iter().any(|m| m.0 > 0.0))
        })
    }

    /// The edge of the safe part that the corners miss most, over all poses and zoomed in.
    fn cut(&self, view: &View) -> Option<Side> {
        let safe = view.safe.scaled(1.0 / view.zoom);
        let (wide, high) = (self.frame.width() / 2.0, self.frame.height() / 2.0);
        let mut most = (0.0, None);
        for pose in core::iter::once(&view.pose).chain(&view.corners) {
            for &q in self.head.iter().chain(&self.lower) {
                let place = pose.components(q);
                let near = place[2].max(f32::MIN_POSITIVE);
                for (miss, side) in misses(&safe, place).into_iter().filter(|(miss, _)| *miss > 0.0) {
                    let half = if matches!(side, Side::Left | Side::Right) { wide } else { high };
                    // In half-frames.
                    let miss = miss / half / near;
                    if miss > most.0 {
                        most = (miss, Some(side));
                    }
                }
            }
        }
        most.1
    }
}

/// By how much a place, to the right, up and ahead of the pupil, misses each side of a frame, times its depth: behind
/// the pupil nothing divides.
fn misses(safe: &Rect, [x, y, depth]: [f32; 3]) -> [(f32, Side); 4] {
    [
        (safe.left * depth - x, Side::Left),
        (x - safe.right * depth, Side::Right),
        (y - safe.top * depth, Side::Top),
        (safe.bottom * depth - y, Side::Bottom),
    ]
}

impl Figures {
    fn or(self, other: Self) -> Self {
        Self { head: self.head.max(other.head), lower: self.lower.min(other.lower), side: self.side.max(other.side) }
    }
}

/// True when any of the body's rectangle may be in the uncropped picture at the planned pose.
fn touches(view: &View, body: &Body, upright: &Upright) -> bool {
    let r = body.radius_m;
    let corners = [(-r, body.base_m), (r, body.base_m), (r, body.top_m()), (-r, body.top_m())];
    let corners = corners.map(|(u, z)| view.pose.components(upright.point(u, z)));
    pyramid::holds_any_of(&view.whole.outer, corners)
}

/// True when the body's middle line runs through the safe part of the uncropped picture at the planned pose.
fn is_about(view: &View, body: &Body, upright: &Upright) -> bool {
    let at = |z_m: f32| view.pose.components(upright.point(0.0, z_m));
    pyramid::meets(&view.whole_safe, at(body.base_m), at(body.top_m()))
}
