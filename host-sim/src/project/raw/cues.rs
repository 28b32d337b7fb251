//! Tables about cues.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;
use underfoot_core::show::{Mode, Presence};

use super::numbers::{NoteText, RefText, Seconds, TitleText, words};

words!(
    /// What the floor does.
    ModeWord: Mode {
        "build" => Mode::Build,
        "brief" => Mode::Brief,
        "standby" => Mode::Standby,
        "air" => Mode::Air,
        "reset" => Mode::Reset,
        "off" => Mode::Off,
        "worklight" => Mode::Worklight,
    }
);
words!(
    /// Where a prop is in its life.
    LifeWord: Presence { "coming" => Presence::Coming, "live" => Presence::Live, "leaving" => Presence::Leaving }
);

/// A step of the running order.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCue {
    /// Its number, with up to two decimals.
    #[schemars(range(min = 0, max = 9999.99))]
    pub(crate) number: f64,
    /// What crew call it.
    pub(crate) name: TitleText,
    /// What the floor does.
    pub(crate) mode: ModeWord,
    /// Timecode that starts it, "hh:mm:ss:ff".
    #[serde(default)]
    #[schemars(length(min = 1, max = 20))]
    pub(crate) at: Option<String>,
    /// Time people have to be in place, seconds; none when it is left out.
    #[serde(default)]
    pub(crate) limit_s: Option<Seconds>,
    /// Props that are there: a name alone for a live prop, or a table. A name that ends in `*` is every prop that begins so. What a cue does not name is gone.
    #[serde(default)]
    #[schemars(length(max = limits::CUE_PROPS))]
    pub(crate) props: Vec<PropEntry>,
    /// People who are there: the name of a mark that has a person, or a table. A name that ends in `*` is every mark that begins so. Who is not named is not on the floor.
    #[serde(default)]
    #[schemars(length(max = limits::CUE_PLACES))]
    pub(crate) places: Vec<PlaceEntry>,
    /// Intended shots.
    #[serde(default)]
    #[schemars(length(max = limits::CUE_SHOTS))]
    pub(crate) shots: Vec<RefText>,
    /// A remark for people.
    #[serde(default)]
    pub(crate) notes: Option<NoteText>,
}

/// A prop in a cue.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum PropEntry {
    /// A live prop.
    Name(RefText),
    /// A prop with its state.
    Table(RawCueProp),
}

/// A prop with its state.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCueProp {
    /// The prop.
    pub(crate) prop: RefText,
    /// Where it is in its life.
    #[serde(default = "LifeWord::live")]
    pub(crate) state: LifeWord,
    /// Announced for this long before it is live, seconds.
    #[serde(default)]
    pub(crate) coming_s: Seconds,
    /// The motion that starts with the cue; its resting place holds when it is left out. A name that ends in `*` is each prop's own motion that begins so.
    #[serde(default)]
    pub(crate) motion: Option<RefText>,
}

impl LifeWord {
    fn live() -> Self {
        Self(Presence::Live)
    }
}

/// A person in a cue.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum PlaceEntry {
    /// A mark whose person stands on it.
    Name(RefText),
    /// A person with the mark to be on and the way there.
    Table(RawCuePlace),
}

/// A person with the mark to be on and the way there.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCuePlace {
    /// The person.
    pub(crate) person: RefText,
    /// The mark they end on; left out when they leave the floor.
    #[serde(default)]
    pub(crate) mark: Option<RefText>,
    /// The line they walk.
    #[serde(default)]
    pub(crate) line: Option<RefText>,
}

impl RawCueProp {
    /// A live prop that holds its place.
    pub(crate) fn live(prop: RefText) -> Self {
        Self { prop, state: LifeWord::live(), coming_s: Seconds(0.0), motion: None }
    }
}
