//! Tables about marks and walk lines.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;
use underfoot_core::show::{Dots, MarkKind};

use super::numbers::{Deg, LabelText, NameText, Place, RefText, Seconds, words};
use super::people::WhoWord;

words!(
    /// The form of a mark.
    FormWord: MarkKind {
        "tee" => MarkKind::Tee,
        "bracket" => MarkKind::Bracket,
        "ring" => MarkKind::Ring,
        "cross" => MarkKind::Cross,
    }
);
words!(
    /// What a walk line is made of.
    DotsWord: Dots { "discs" => Dots::Discs, "chevrons" => Dots::Chevrons }
);

words!(
    /// How a walk line runs between its points: false as it is drawn, true as it is planned.
    RouteWord: bool { "drawn" => false, "shortest" => true }
);

/// A point, or the name of a thing that has a place.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum Spot {
    /// A place on the floor, metres.
    Place(Place),
    /// A name.
    Name(RefText),
}

/// A place for a person.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawMark {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// What it shows on the floor; its name when that is short enough.
    #[serde(default)]
    pub(crate) label: Option<LabelText>,
    /// Midpoint between the heels, or the seat's centre, metres.
    pub(crate) at: Place,
    /// Direction the person faces, degrees counter-clockwise from stage left: 90 is upstage. Downstage (270) when neither this nor `faces` is given.
    #[serde(default)]
    pub(crate) facing_deg: Option<Deg>,
    /// What the person faces: a camera, a mark or a point. Not together with `facing_deg`.
    #[serde(default)]
    pub(crate) faces: Option<Spot>,
    /// Its form; a bracket is for a wheelchair.
    #[serde(default = "FormWord::tee")]
    pub(crate) kind: FormWord,
    /// Who it is for; anybody when it is left out.
    #[serde(default)]
    pub(crate) person: Option<RefText>,
    /// Colour and shape; its person's when it is left out.
    #[serde(default)]
    pub(crate) who: Option<WhoWord>,
}

impl FormWord {
    fn tee() -> Self {
        Self(MarkKind::Tee)
    }
}

/// A walk line.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawLine {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Its points in walking order: places in metres, or names of marks and entries.
    #[schemars(length(min = 2, max = limits::LINE_POINTS))]
    pub(crate) points: Vec<Spot>,
    /// `drawn` goes straight from point to point. `shortest` is planned when the show is loaded: the shortest way through the points, in their order, that keeps clear of what any cue that uses the line has on the floor.
    #[serde(default = "RouteWord::drawn")]
    pub(crate) route: RouteWord,
    /// What it is made of.
    #[serde(default = "DotsWord::discs")]
    pub(crate) dots: DotsWord,
    /// Size of a dot or chevron, millimetres.
    #[serde(default = "dot")]
    #[schemars(range(min = 10, max = 1000))]
    pub(crate) dot_mm: f64,
    /// Spacing of dots or chevrons, metres.
    #[serde(default = "spacing")]
    #[schemars(range(min = 0.1, max = 10))]
    pub(crate) spacing_m: f64,
    /// Width of the corridor that it needs, metres; its person's walking width, or 0.9, when it is left out.
    #[serde(default)]
    #[schemars(range(min = 0.1, max = 10))]
    pub(crate) corridor_m: Option<f64>,
    /// Who walks it.
    #[serde(default)]
    pub(crate) person: Option<RefText>,
    /// Colour; its person's when it is left out.
    #[serde(default)]
    pub(crate) who: Option<WhoWord>,
    /// Time that all turns on the way take beside the walking, seconds; when it is left out, `[limits] turn_s` for each turn of a wheelchair.
    #[serde(default)]
    pub(crate) turns_s: Option<Seconds>,
}

impl RouteWord {
    fn drawn() -> Self {
        Self(false)
    }
}

impl DotsWord {
    fn discs() -> Self {
        Self(Dots::Discs)
    }
}

fn dot() -> f64 {
    100.0
}

fn spacing() -> f64 {
    0.5
}
