//! One finding and one measured figure.

use std::fmt;

use underfoot_core::geom::StagePoint;

use super::FindingId;

/// How much a finding matters, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Somebody gets hit, falls, or the cue cannot work: not to be rehearsed as it is.
    Stop,
    /// Wrong, and to be put right before the audience comes.
    Fix,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word for it in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Fix => "fix",
            Self::Note => "note",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// What a figure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Metres.
    Metres,
    /// Millimetres.
    Millimetres,
    /// LED pixels.
    Pixels,
    /// Hertz.
    Hertz,
    /// Seconds.
    Seconds,
    /// Metres per second.
    MetresPerSecond,
    /// Bytes.
    Bytes,
    /// A number of things.
    Count,
    /// Percent of something.
    Percent,
    /// Half the width or height of a picture: 1 is its edge.
    HalfFrames,
}

impl Unit {
    /// The symbol behind a number, empty for a count.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Millimetres => "mm",
            Self::Pixels => "px",
            Self::Hertz => "Hz",
            Self::Seconds => "s",
            Self::MetresPerSecond => "m/s",
            Self::Bytes => "bytes",
            Self::Count => "",
            Self::Percent => "%",
            Self::HalfFrames => "of the half-frame",
        }
    }

    const fn decimals(self) -> usize {
        match self {
            Self::Metres | Self::MetresPerSecond | Self::HalfFrames => 2,
            Self::Millimetres | Self::Pixels | Self::Hertz | Self::Seconds | Self::Percent => 1,
            Self::Bytes | Self::Count => 0,
        }
    }
}

/// A number with its unit and the limit that it is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// What was measured.
    pub value: f32,
    /// What it is held against.
    pub limit: f32,
    /// The unit of both.
    pub unit: Unit,
    /// True when the value must not be below the limit, false when it must not be above.
    pub at_least: bool,
}

impl Figure {
    /// A figure that must be `limit` or more.
    pub const fn at_least(value: f32, limit: f32, unit: Unit) -> Self {
        Self { value, limit, unit, at_least: true }
    }

    /// A figure that must be `limit` or less.
    pub const fn at_most(value: f32, limit: f32, unit: Unit) -> Self {
        Self { value, limit, unit, at_least: false }
    }

    /// True when the value keeps its limit; a value that is not a number never does.
    pub fn holds(&self) -> bool {
        if self.at_least { self.value >= self.limit } else { self.value <= self.limit }
    }

    /// Decimals to print: the unit's own, or as many more as it takes until a missed limit looks missed.
    fn decimals(&self) -> usize {
        let usual = self.unit.decimals();
        let alike = |places| decimal(self.value, places) == decimal(self.limit, places);
        if self.holds() {
            return usual;
        }
        (usual..usual + 4).find(|&places| !alike(places)).unwrap_or(usual + 4)
    }

    /// How far the value is on the wrong side of its limit; negative when it holds.
    pub fn miss(&self) -> f32 {
        if self.at_least { self.limit - self.value } else { self.value - self.limit }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = self.decimals();
        let gap = if self.unit.symbol().is_empty() { "" } else { " " };
        let words = if self.at_least { "needs" } else { "limit" };
        let (value, unit, limit) = (decimal(self.value, places), self.unit.symbol(), decimal(self.limit, places));
        // A negative room is an overlap; people do not read minus signs.
        match value.strip_prefix('-').filter(|_| self.at_least && self.unit == Unit::Metres) {
            Some(overlap) if self.limit == 0.0 => write!(f, "by {overlap} m"),
            Some(overlap) => write!(f, "overlaps by {overlap} m, needs {limit} clear"),
            None => write!(f, "{value}{gap}{unit}, {words} {limit}"),
        }
    }
}

/// A number with so many decimals; -0.00 reads as a fault of its own and is 0.00.
fn decimal(value: f32, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.bytes().all(|b| matches!(b, b'0' | b'.')) => digits.to_owned(),
        _ => text,
    }
}

/// Something that a check measured, good or bad.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// The finding that it would be, were it out of its limit.
    pub id: FindingId,
    /// What it is about, in words: "mark C to WATCH".
    pub what: String,
    /// Number of the cue in hundredths, where one matters.
    pub cue: Option<u32>,
    /// The number and its limit.
    pub figure: Figure,
}

/// Something that people have to know or to put right.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What kind it is.
    pub id: FindingId,
    /// How much it matters.
    pub severity: Severity,
    /// The thing that it is about and under which it is grouped: "FOUNTAIN".
    pub about: String,
    /// Who is concerned: "Presenter"; where two people or a prop are, those: "4 and 10", "DOME".
    pub who: Option<String>,
    /// Number of the cue in hundredths.
    pub cue: Option<u32>,
    /// The shot, for findings about pictures.
    pub shot: Option<String>,
    /// The moment, seconds after the start of the cue, when something moves.
    pub moment_s: Option<f32>,
    /// Where it is on the stage.
    pub place: Option<StagePoint>,
    /// One clause that says what is wrong: "A to C crosses WATCH".
    pub what: String,
    /// The measured figure and its limit.
    pub figure: Option<Figure>,
    /// The smallest change that clears it.
    pub fix: Option<String>,
    /// Line of the show file, 1 first.
    pub line: Option<usize>,
    /// Names of the other things concerned, for waivers: the mark, the line.
    pub things: Vec<String>,
}

impl Finding {
    /// A finding with nothing but its kind, its subject and its clause.
    pub fn new(id: FindingId, severity: Severity, about: impl Into<String>, what: impl Into<String>) -> Self {
        Self {
            id,
            severity,
            about: about.into(),
            who: None,
            cue: None,
            shot: None,
            moment_s: None,
            place: None,
            what: what.into(),
            figure: None,
            fix: None,
            line: None,
            things: Vec::new(),
        }
    }
}

/// A cue's number as crew say it: 450 is "4.5".
pub fn cue_number(hundredths: u32) -> String {
    let (whole, part) = (hundredths / 100, hundredths % 100);
    match part {
        0 => format!("{whole}"),
        p if p % 10 == 0 => format!("{whole}.{}", p / 10),
        p => format!("{whole}.{p:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cue_numbers_read_as_people_write_them() {
        for (hundredths, text) in [(100, "1"), (450, "4.5"), (1207, "12.07"), (0, "0")] {
            assert_eq!(cue_number(hundredths), text);
        }
    }

    #[test]
    fn a_figure_that_is_not_a_number_never_holds() {
        assert!(!Figure::at_least(f32::NAN, 0.0, Unit::Metres).holds());
        assert!(!Figure::at_most(f32::NAN, 0.0, Unit::Metres).holds());
    }

    #[test]
    fn a_missed_limit_never_looks_kept() {
        assert_eq!(Figure::at_least(0.2999, 0.3019, Unit::Metres).to_string(), "0.300 m, needs 0.302");
        assert_eq!(Figure::at_least(0.14996, 0.15, Unit::Metres).to_string(), "0.14996 m, needs 0.15000");
        assert_eq!(Figure::at_most(2.01, 2.0, Unit::Hertz).to_string(), "2.01 Hz, limit 2.00");
        // What holds needs no more digits.
        assert_eq!(Figure::at_least(0.3001, 0.3, Unit::Metres).to_string(), "0.30 m, needs 0.30");
        assert_eq!(Figure::at_least(-0.0001, 0.0, Unit::Metres).to_string(), "by 0.0001 m");
    }

    #[test]
    fn figures_print_with_unit_and_limit() {
        assert_eq!(Figure::at_least(0.0801, 0.4, Unit::Metres).to_string(), "0.08 m, needs 0.40");
        assert_eq!(Figure::at_most(-0.001, 1.0, Unit::Hertz).to_string(), "0.0 Hz, limit 1.0");
        assert_eq!(Figure::at_least(-0.22, 0.15, Unit::Metres).to_string(), "overlaps by 0.22 m, needs 0.15 clear");
        assert_eq!(Figure::at_least(-0.25, 0.0, Unit::Metres).to_string(), "by 0.25 m");
        assert_eq!(Figure::at_most(40_000.0, 32_768.0, Unit::Bytes).to_string(), "40000 bytes, limit 32768");
    }
}
