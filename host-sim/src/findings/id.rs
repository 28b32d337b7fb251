//! The kinds of finding. Their codes are stable: waivers and other people's scripts name them.

use std::fmt;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident = $code:literal,)*) => {
        /// A kind of finding. `host-sim/docs/findings.md` explains each with an example.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FindingId {
            $($(#[$doc])* $name,)*
        }

        impl FindingId {
            /// All kinds, in the order of the document.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The stable code.
            pub const fn code(self) -> &'static str {
                match self {
                    $(Self::$name => $code,)*
                }
            }
        }
    };
}

ids! {
    /// The show has no survey readings.
    SurveyMissing = "survey-missing",
    /// The readings cannot be fitted: too few, on one line, or out of range.
    SurveyUnusable = "survey-unusable",
    /// The readings fit a mirror image of the floor.
    SurveyMirrored = "survey-mirrored",
    /// One reading spoils the fit.
    SurveyBadPoint = "survey-bad-point",
    /// The readings scatter too much, no single one to blame.
    SurveySpread = "survey-spread",
    /// A person stands in a prop.
    MarkInProp = "mark-in-prop",
    /// A prop is too close to a person on a mark.
    MarkNearProp = "mark-near-prop",
    /// A mark lies beyond the floor.
    MarkOffFloor = "mark-off-floor",
    /// A mark lies in the band along the floor's edge.
    MarkInEdgeBand = "mark-in-edge-band",
    /// A mark lies so near a wall that its reflection doubles it.
    MarkNearWall = "mark-near-wall",
    /// A mark lies on a dead or missing panel.
    MarkOnDeadTile = "mark-on-dead-tile",
    /// A mark lies where no panel shows it.
    MarkUnlit = "mark-unlit",
    /// Something physical covers a mark.
    MarkCovered = "mark-covered",
    /// Two people end on one mark, or too close to each other.
    MarkShared = "mark-shared",
    /// A line leads through a prop.
    LineThroughProp = "line-through-prop",
    /// A line passes too close to a prop.
    LineNearProp = "line-near-prop",
    /// A line leaves the floor, or crosses its edge where there is no entry.
    LineOffFloor = "line-off-floor",
    /// A line leads through furniture or a column.
    LineBlocked = "line-blocked",
    /// A line or a straight way crosses a raised edge where nobody may.
    RaisedEdge = "raised-edge",
    /// A line crosses the floor's edge against the way of its entry.
    EntryWrongWay = "entry-wrong-way",
    /// No way leads from stop to stop of a planned line.
    NoWay = "no-way",
    /// A line's free width is less than its corridor.
    LinePinched = "line-pinched",
    /// A line's corridor is narrower than the person who walks it needs.
    CorridorNarrow = "corridor-narrow",
    /// A wheelchair lacks room to turn.
    TurningRoom = "turning-room",
    /// A walk needs more pace than may be asked, or than is usual.
    WalkLate = "walk-late",
    /// Two people pass too near to each other on their way.
    FormationCrossing = "formation-crossing",
    /// A prop comes too near to a person while it moves.
    PropMeetsPerson = "prop-meets-person",
    /// A prop appears among people without being announced long enough.
    RevealLead = "reveal-lead",
    /// An overlay that is farther than a person is drawn over the person.
    PaintedOver = "painted-over",
    /// An overlay that is nearer hides a head, a torso, or legs.
    HiddenInShot = "hidden-in-shot",
    /// A person shows in front of something nearer that is on the LED surfaces.
    ShowsInFront = "shows-in-front",
    /// A person's outline leaves the LED surfaces in a picture.
    OffWall = "off-wall",
    /// A shot cuts a person whom it is about.
    CutByFrame = "cut-by-frame",
    /// None of a cue's shots has the person.
    NotInShot = "not-in-shot",
    /// Nowhere on the floor does the picture work for a mark.
    ZoneEmpty = "zone-empty",
    /// A mark works, but leaves less room to spare than a zone does.
    MarkTight = "mark-tight",
    /// How many of a cue's marks can be shown on air at all.
    MarksOnAir = "marks-on-air",
    /// A camera is so fast that marks have to be far out of its picture.
    CameraGuard = "camera-guard",
    /// A jib comes low over the floor, or too near to a person.
    JibSweep = "jib-sweep",
    /// A lens or a shot gives no picture that could be checked.
    LensUnusable = "lens-unusable",
    /// Drawn lines are too thin for eyes or pixels.
    LineThin = "line-thin",
    /// Dots or chevrons of a walk line are too small or too large.
    DotSize = "dot-size",
    /// The stand-by pulse is too fast.
    PulseFast = "pulse-fast",
    /// Two names sound alike over radio.
    SoundAlike = "sound-alike",
    /// The pack does not fit the box.
    PackTooLarge = "pack-too-large",
    /// More is drawn at once than a scene holds.
    SceneTooLarge = "scene-too-large",
    /// A waiver's last day is over.
    WaiverExpired = "waiver-expired",
    /// A waiver names nothing that was found.
    WaiverUnused = "waiver-unused",
}

impl FindingId {
    /// True for what happens to bodies and eyes, and for the survey that all figures rest on: a report has it before
    /// what happens to pictures and papers.
    pub const fn is_bodily(self) -> bool {
        let (id, last) = (self as usize, Self::RevealLead as usize);
        id <= last || matches!(self, Self::PulseFast | Self::JibSweep)
    }

    /// True when every cue has a line of its own in a report: what happens once, at a moment of one cue.
    pub const fn is_by_cue(self) -> bool {
        matches!(self, Self::FormationCrossing | Self::PropMeetsPerson)
    }

    /// What several of those are called whom findings of one line concern.
    pub const fn plural(self) -> &'static str {
        match self {
            Self::FormationCrossing | Self::MarkShared => "pairs",
            Self::RevealLead => "props",
            _ => "people",
        }
    }

    /// The kind with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|id| id.code() == code)
    }
}

impl fmt::Display for FindingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::FindingId;

    const DOCUMENT: &str = include_str!("../../docs/findings.md");

    #[test]
    fn the_document_explains_every_kind_in_order_with_an_example() {
        let sections: Vec<&str> = DOCUMENT.split("\n### ").skip(1).collect();
        let codes: Vec<&str> = sections.iter().filter_map(|s| s.split('`').nth(1)).collect();
        assert_eq!(codes, FindingId::ALL.iter().map(|id| id.code()).collect::<Vec<_>>());
        for (section, code) in sections.iter().zip(codes) {
            let example = section.split("```text\n").nth(1).unwrap_or_default();
            assert!(example.lines().next().unwrap_or_default().ends_with(&format!("[{code}]")), "{code}: {example}");
        }
    }

    #[test]
    fn codes_are_distinct_and_found_again() {
        for &id in FindingId::ALL {
            assert_eq!(FindingId::from_code(id.code()), Some(id));
        }
    }
}
