//! Tables about the show as a whole and about the desk.

use schemars::JsonSchema;
use serde::Deserialize;

use super::numbers::{DayText, NoteText, PanelMm, Seconds, TitleText, words};
use crate::project::model::{Hot, Lengths, Places};

/// What the show is.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawHead {
    /// The show's title.
    pub(crate) title: TitleText,
    /// Frames per second: a whole number, or "23.976", "29.97", "59.94" or a fraction like "30000/1001". It has no default.
    pub(crate) frame_rate: RawRate,
    /// The unit of every length whose key names none. Metres are the only one, and are never assumed.
    #[expect(dead_code, reason = "the schema sees that it is there; metres are the only unit")]
    pub(crate) unit: UnitWord,
    /// How canvases reach the LEDs unless they say otherwise: `layer` is a picture with alpha for the content system, `direct` drives the pixels.
    #[serde(default = "OutputWord::layer")]
    pub(crate) output: OutputWord,
    /// Time from a press or a pose to light on the floor, milliseconds. 140 while it is unmeasured.
    #[serde(default = "latency")]
    #[schemars(range(min = 0, max = 5000))]
    pub(crate) latency_ms: u16,
    /// Cameras whose picture may be used at any moment: all, program + preview + recorded, or program + preview.
    #[serde(default = "HotWord::all")]
    pub(crate) hot: HotWord,
    /// A remark for people.
    #[serde(default)]
    pub(crate) notes: Option<NoteText>,
}

fn latency() -> u16 {
    140
}

/// A frame rate as it is written.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum RawRate {
    /// Whole frames per second.
    Whole(#[schemars(range(min = 1, max = 240))] u32),
    /// "29.97" or "30000/1001".
    Text(#[schemars(length(min = 1, max = 20))] String),
}

words!(
    /// The unit of lengths.
    UnitWord: () { "m" => () }
);

/// How a canvas reaches the LEDs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Layer,
    Direct,
}

words!(
    /// How a canvas reaches the LEDs.
    OutputWord: Way { "layer" => Way::Layer, "direct" => Way::Direct }
);

impl OutputWord {
    fn layer() -> Self {
        Self(Way::Layer)
    }
}

words!(
    /// The hot set.
    HotWord: Hot {
        "all" => Hot::All,
        "program+preview+recorded" => Hot::ProgramPreviewRecorded,
        "program+preview" => Hot::ProgramPreview,
    }
);

impl HotWord {
    fn all() -> Self {
        Self(Hot::All)
    }
}

words!(
    /// How places are named.
    PlacesWord: Places { "stage" => Places::Stage, "grid" => Places::Grid }
);
words!(
    /// How lengths are printed.
    LengthsWord: Lengths { "metric" => Lengths::Metric, "feet" => Lengths::Feet }
);

/// How the sheets and screens name places.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawNaming {
    /// `stage`: SL, SR, US, DS. `grid`: letters from SR to SL and numbers from DS to US, for arenas without a front.
    pub(crate) places: PlacesWord,
    /// How lengths are printed; the file itself stays metric.
    pub(crate) lengths: LengthsWord,
    /// Side of a grid cell, metres.
    #[schemars(range(min = 0.1, max = 100.0))]
    pub(crate) grid_m: f64,
}

impl Default for RawNaming {
    fn default() -> Self {
        Self { places: PlacesWord(Places::Stage), lengths: LengthsWord(Lengths::Metric), grid_m: 1.0 }
    }
}

/// Light on the stage and of the floor.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawLight {
    /// Key light at the talent, lux.
    #[schemars(range(min = 0, max = 200_000))]
    pub(crate) key_lux: f64,
    /// Full white of the floor, candela per square metre.
    #[schemars(range(min = 1, max = 20_000))]
    pub(crate) floor_white_nits: f64,
    /// Gamma of the floor's drive.
    #[schemars(range(min = 1, max = 4))]
    pub(crate) gamma: f64,
    /// Share of the light that the dark floor throws back, percent.
    #[schemars(range(min = 0, max = 100))]
    pub(crate) reflectance_percent: f64,
}

impl Default for RawLight {
    fn default() -> Self {
        Self { key_lux: 600.0, floor_white_nits: 900.0, gamma: 2.4, reflectance_percent: 5.0 }
    }
}

/// Brightness and sizes of what is drawn.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawLook {
    /// Drive of a full-bright line in BRIEF.
    pub(crate) brief_level: u8,
    /// Drive of a line in AIR.
    pub(crate) air_level: u8,
    /// Width of lines, millimetres.
    #[schemars(range(min = 0.1, max = 1000))]
    pub(crate) line_mm: f64,
    /// Width of the dark keyline on each side, millimetres.
    #[schemars(range(min = 0, max = 1000))]
    pub(crate) keyline_mm: f64,
    /// Pulse of a stand-by mark, hertz.
    #[schemars(range(min = 0, max = 50))]
    pub(crate) pulse_hz: f64,
    /// Spacing of dance numbers along the downstage edge, metres, counted from the centre line both ways: 0.5 or 1 as a rule, 0.25 at least. 0 draws none.
    #[schemars(range(min = 0, max = 10))]
    pub(crate) numbers_m: f64,
}

impl Default for RawLook {
    fn default() -> Self {
        Self { brief_level: 255, air_level: 255, line_mm: 50.0, keyline_mm: 12.0, pulse_hz: 1.0, numbers_m: 0.0 }
    }
}

/// Boxes, desk and timecode.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawControl {
    /// A second box stands by.
    pub(crate) backup_box: bool,
    /// Universe that the lighting desk sends on.
    #[schemars(range(min = 1, max = 63_999))]
    pub(crate) sacn_universe: Option<u16>,
    /// The on-air light is wired to the box.
    pub(crate) on_air_contact: bool,
    /// Timecode at the top of the show, "hh:mm:ss:ff".
    #[schemars(length(min = 1, max = 20))]
    pub(crate) timecode_from: Option<String>,
}

/// Limits that the checks use.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawLimits {
    /// Fastest pace that may be asked of anybody, metres per second.
    #[schemars(range(min = 0.1, max = 5))]
    pub(crate) pace_mps: f64,
    /// From the call to the first step, seconds.
    pub(crate) start_delay_s: Seconds,
    /// From the last step to standing still, seconds.
    pub(crate) settle_s: Seconds,
    /// Time that a turn of 30 degrees or more takes in a wheelchair, seconds; people on foot turn as they walk. A line's own `turns_s` goes before it.
    #[schemars(range(min = 0, max = 60))]
    pub(crate) turn_s: f64,
    /// Pace on a ramp, percent of the pace on the level.
    #[schemars(range(min = 10, max = 100))]
    pub(crate) ramp_pace_percent: f64,
    /// A prop that appears while people are on the floor is announced for at least this long, seconds.
    #[schemars(range(min = 0, max = 60))]
    pub(crate) reveal_s: f64,
    /// People who pass each other keep at least this far apart, metres from centre to centre.
    #[schemars(range(min = 0, max = 10))]
    pub(crate) apart_m: f64,
    /// Fastest pulse of anything, hertz.
    #[schemars(range(min = 0.1, max = 3))]
    pub(crate) flash_hz: f64,
    /// Thinnest line, millimetres; three LED pixels when that is more.
    pub(crate) line_mm: PanelMm,
    /// Light from the floor at the face, percent of the key light.
    #[schemars(range(min = 0, max = 100))]
    pub(crate) spill_percent: f64,
}

impl Default for RawLimits {
    fn default() -> Self {
        Self {
            pace_mps: 1.2,
            start_delay_s: Seconds(1.0),
            settle_s: Seconds(0.7),
            turn_s: 1.5,
            ramp_pace_percent: 100.0,
            reveal_s: 3.0,
            apart_m: 0.8,
            flash_hz: 2.0,
            line_mm: PanelMm(25.0),
            spill_percent: 2.0,
        }
    }
}

/// A finding that somebody accepts for a while.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawWaiver {
    /// The finding's id, as `check` prints it.
    #[schemars(length(min = 1, max = 80))]
    pub(crate) finding: String,
    /// The thing, cue or shot that it is waived for; every one when it is left out.
    #[serde(default)]
    #[schemars(length(min = 1, max = 80))]
    pub(crate) about: Option<String>,
    /// Why it is accepted.
    #[schemars(length(min = 8, max = 400))]
    pub(crate) reason: String,
    /// The role that accepts it.
    #[serde(default)]
    #[schemars(length(min = 1, max = 80))]
    pub(crate) by: Option<String>,
    /// Last day on which it holds: year-month-day.
    pub(crate) until: DayText,
}
