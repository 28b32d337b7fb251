//! One line of sight through everything in a cue: what its pixel shows, and what is wrong there.
//!
//! From the bottom: what is really there; screen parts, on LED surfaces only; people; extension parts, outside
//! LED surfaces only and over people; overlay parts over all of it, because an overlay has no depth.

use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::geom::StagePoint3;
use underfoot_core::show::Layer;

use super::palette::{PROP, Tint, lit, mixed};
use super::pattern::Flaw;
use super::people::{Met, Upright};
use super::ray::{Ray, Span, V3};
use super::thing::Thing;
use super::world::{Backdrop, World, face, shade};

/// How much an opaque part covers: what lies beneath must stay readable.
const OPAQUE: f64 = 0.66;
/// How much a transparent part covers.
const CLEAR: f64 = 0.30;
/// Brightness of every other line of a screen part: it looks like rows of light.
const SCREEN_ROW: f64 = 0.80;

/// A part of a prop as it stands.
#[derive(Clone, Debug)]
pub(super) struct PartThing {
    /// Its body.
    pub(super) thing: Thing,
    /// Where it is drawn.
    pub(super) layer: Layer,
    /// What lies behind shows through.
    pub(super) transparent: bool,
    /// Index of its prop in the show.
    pub(super) prop: usize,
}

/// Everything in one picture.
pub(super) struct Sights<'s> {
    pub(super) world: World<'s>,
    pub(super) parts: Vec<PartThing>,
    pub(super) people: Vec<Upright>,
    /// Width of a pixel for each metre of depth.
    pub(super) px: f64,
    /// People are held out of overlays that are farther away.
    pub(super) matte: bool,
    /// What backs people.
    pub(super) surfaces: Surfaces<'s>,
    /// Period of patterns in pixels.
    pub(super) pattern_px: f64,
    /// What is wrong with people is shown.
    pub(super) judged: bool,
}

/// What a pixel shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dot {
    /// Its colour.
    pub(super) color: Tint,
    /// Things whose borders get a line.
    pub(super) tag: Tag,
}

/// What is on top at a pixel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Tag {
    /// Part and side, 0 for none.
    pub(super) part: u32,
    /// Prop of that part, 0 for none.
    pub(super) prop: u32,
    /// What is really there.
    pub(super) back: u32,
    /// Person, 0 for none.
    pub(super) person: u32,
    /// What is wrong with the person.
    pub(super) flaw: Flaw,
}

/// What may be met at a pixel, by its indexes.
#[derive(Clone, Debug, Default)]
pub(super) struct Near {
    pub(super) parts: Vec<usize>,
    pub(super) people: Vec<usize>,
    pub(super) reals: Vec<usize>,
}

/// A part that the line of sight meets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    part: usize,
    span: Span,
}

impl Sights<'_> {
    /// What the pixel at `at` shows along `ray`; nothing but what is `near` may be met there.
    pub(super) fn dot(&self, ray: &Ray, at: (f64, f64), near: &Near, hits: &mut Vec<Hit>) -> Dot {
        let back = self.world.backdrop(ray, self.px, &near.reals);
        self.meet(ray, &near.parts, hits);
        let mut dot = Dot { color: back.color, tag: Tag { back: back.tag, ..Tag::default() } };
        if back.on_led {
            self.lay(hits, Layer::Screen, &mut dot, |_| true, at);
        }
        let met = self.person(ray, &near.people, &back);
        if let Some((i, met)) = met {
            dot.color = self.people[i].color(&met, dot.color, self.px * met.depth);
            dot.tag = Tag { person: i as u32 + 1, back: dot.tag.back, ..Tag::default() };
        }
        if !back.led {
            self.lay(hits, Layer::Extension, &mut dot, |_| true, at);
        }
        let held_out = |span: &Span| self.matte && met.is_some_and(|(_, m)| span.enter > m.depth);
        self.lay(hits, Layer::Overlay, &mut dot, |span| !held_out(span), at);
        if let Some((i, met)) = met.filter(|_| self.judged) {
            dot.tag.flaw = self.flaw(hits, &self.people[i], &met, ray);
            dot.color = dot.tag.flaw.over(dot.color, at, self.pattern_px);
        }
        dot
    }

    /// All parts on the line of sight, the farthest first.
    fn meet(&self, ray: &Ray, parts: &[usize], hits: &mut Vec<Hit>) {
        hits.clear();
        if parts.is_empty() {
            return;
        }
        for &part in parts {
            self.parts[part].thing.spans(ray, &mut |span| hits.push(Hit { part, span }));
        }
        hits.sort_by(|a, b| b.span.enter.total_cmp(&a.span.enter).then(a.part.cmp(&b.part)));
    }

    fn person(&self, ray: &Ray, people: &[usize], back: &Backdrop) -> Option<(usize, Met)> {
        let met = people.iter().filter_map(|&i| Some((i, self.people[i].met(ray)?)));
        let seen = met.filter(|(_, m)| m.depth <= back.depth + 0.02);
        seen.min_by(|a, b| a.1.depth.total_cmp(&b.1.depth).then(a.0.cmp(&b.0)))
    }

    /// Lays the parts of one layer over a pixel.
    fn lay(&self, hits: &[Hit], layer: Layer, dot: &mut Dot, shown: impl Fn(&Span) -> bool, at: (f64, f64)) {
        if hits.is_empty() {
            return;
        }
        for hit in hits.iter().filter(|h| self.parts[h.part].layer == layer && shown(&h.span)) {
            let part = &self.parts[hit.part];
            let normal = if hit.span.enter > 0.0 { hit.span.normal } else { BACK };
            let tint = self.tint(layer, lit(PROP, shade(normal)), at);
            dot.color = mixed(dot.color, tint, if part.transparent { CLEAR } else { OPAQUE });
            let opaque_person = layer == Layer::Screen && dot.tag.person > 0;
            if !opaque_person {
                dot.tag.part = 1 + 2 * hit.part as u32 + face(normal);
                dot.tag.prop = 1 + part.prop as u32;
            }
        }
    }

    /// The look of a layer: overlays are plain, what is on the screen has rows, what is beyond it has a raster.
    fn tint(&self, layer: Layer, tint: Tint, (x, y): (f64, f64)) -> Tint {
        let half = |v: f64| (v / (0.75 * self.pattern_px)).rem_euclid(1.0) < 0.5;
        match layer {
            Layer::Overlay => tint,
            Layer::Screen => lit(tint, if half(y) { SCREEN_ROW } else { 0.62 }),
            Layer::Extension => lit(tint, if half(x) == half(y) { 0.9 } else { 0.7 }),
        }
    }

    fn is_backed(&self, ray: &Ray, met: &Met) -> bool {
        let point = |[x, y, z]: V3| StagePoint3::new(x as f32, y as f32, z as f32);
        self.surfaces.backs(point(ray.from), point(ray.at(met.depth))).is_some()
    }

    fn flaw(&self, hits: &[Hit], person: &Upright, met: &Met, ray: &Ray) -> Flaw {
        let of = |layer| hits.iter().filter(move |h| self.parts[h.part].layer == layer);
        let nearer = |h: &&Hit| h.span.enter < met.depth;
        let hidden = of(Layer::Overlay).any(|h| nearer(&h) && !self.parts[h.part].transparent);
        if hidden {
            return if person.is_upper(met) { Flaw::Hidden } else { Flaw::None };
        }
        if !self.matte && of(Layer::Overlay).any(|h| h.span.leave > met.depth) {
            return Flaw::Painted;
        }
        if of(Layer::Screen).any(|h| nearer(&h)) {
            return Flaw::InFront;
        }
        let extended = self.surfaces.drawn || of(Layer::Extension).any(|h| h.span.leave > met.depth);
        if extended && !self.is_backed(ray, met) { Flaw::OffWall } else { Flaw::None }
    }
}

/// Seen from inside, a part shows its far side.
const BACK: V3 = [0.0, 1.0, 0.0];
