//! Words for the show's own kinds, as the show file has them.

use underfoot_core::show::cameras::LowerLine;
use underfoot_core::show::{
    Band, CameraKind, Dots, Edge, Layer, MarkKind, Passage, PhysicalKind, Presence, ShotKind, Who,
};

use crate::project::{Hot, Lengths, Mount, Places};

/// Colour and shape that say who: "white-circle".
pub(in crate::rehearse) const fn who(who: Who) -> &'static str {
    match who {
        Who::WhiteCircle => "white-circle",
        Who::AmberSquare => "amber-square",
        Who::CyanTriangle => "cyan-triangle",
        Who::MagentaDiamond => "magenta-diamond",
    }
}

/// What a walk line is made of.
pub(in crate::rehearse) const fn dots(dots: Dots) -> &'static str {
    match dots {
        Dots::Discs => "discs",
        Dots::Chevrons => "chevrons",
    }
}

/// The shape alone: colour never stands without it.
pub(in crate::rehearse) const fn shape(who: Who) -> &'static str {
    match who {
        Who::WhiteCircle => "circle",
        Who::AmberSquare => "square",
        Who::CyanTriangle => "triangle",
        Who::MagentaDiamond => "diamond",
    }
}

pub(super) const fn layer(layer: Layer) -> &'static str {
    match layer {
        Layer::Overlay => "overlay",
        Layer::Screen => "screen",
        Layer::Extension => "extension",
    }
}

pub(super) const fn band(band: Band) -> &'static str {
    match band {
        Band::Contact => "contact",
        Band::Body => "body",
        Band::Overhead => "overhead",
    }
}

pub(super) const fn edge(edge: Edge) -> &'static str {
    match edge {
        Edge::Open => "open",
        Edge::Wall => "wall",
        Edge::Level => "level",
    }
}

pub(super) const fn passage(passage: Passage) -> &'static str {
    match passage {
        Passage::Both => "both",
        Passage::In => "in",
        Passage::Out => "out",
    }
}

pub(super) const fn physical(kind: PhysicalKind) -> &'static str {
    match kind {
        PhysicalKind::Riser => "riser",
        PhysicalKind::Ramp { .. } => "ramp",
        PhysicalKind::Step => "step",
        PhysicalKind::Furniture => "furniture",
        PhysicalKind::Rug => "rug",
        PhysicalKind::Column => "column",
    }
}

pub(super) const fn mark(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::Tee => "tee",
        MarkKind::Bracket => "bracket",
        MarkKind::Ring => "ring",
        MarkKind::Cross => "cross",
    }
}

pub(super) const fn camera(kind: &CameraKind) -> &'static str {
    match kind {
        CameraKind::Tracked => "tracked",
        CameraKind::TrackedHandHeld => "tracked-hand-held",
        CameraKind::Untracked => "untracked",
        CameraKind::Jib { .. } => "jib",
    }
}

pub(super) const fn mount(mount: Mount) -> &'static str {
    match mount {
        Mount::Tripod => "tripod",
        Mount::Ped => "ped",
        Mount::HandHeld => "hand-held",
        Mount::Jib => "jib",
        Mount::Rail => "rail",
        Mount::Cable => "cable",
    }
}

pub(super) const fn shot(kind: ShotKind) -> &'static str {
    match kind {
        ShotKind::Preset => "preset",
        ShotKind::Range => "range",
        ShotKind::Move => "move",
        ShotKind::Live => "live",
    }
}

pub(super) const fn lower(line: LowerLine) -> &'static str {
    crate::render::shot::lower_word(line)
}

pub(super) const fn presence(presence: Presence) -> &'static str {
    match presence {
        Presence::Coming => "coming",
        Presence::Live => "live",
        Presence::Leaving => "leaving",
    }
}

pub(super) const fn hot(hot: Hot) -> &'static str {
    crate::on_air::hot_words(hot)
}

pub(super) const fn places(places: Places) -> &'static str {
    match places {
        Places::Stage => "stage",
        Places::Grid => "grid",
    }
}

pub(super) const fn lengths(lengths: Lengths) -> &'static str {
    match lengths {
        Lengths::Metric => "metric",
        Lengths::Feet => "feet",
    }
}
