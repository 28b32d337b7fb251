//! What to draw: the mode, the cue and the state of every thing that has one.

use crate::show::{CueId, Mode};

/// One picture of the floor, as a value: the same view of the same show gives the same scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// What the whole floor is doing.
    pub mode: Mode,
    /// The cue that is NOW; `None` before the first one.
    pub cue: Option<CueId>,
    /// Labels and the names of props are drawn.
    pub labels: bool,
    /// Drive of light inks, 0 to 255; 255 leaves the inks as they are.
    pub level: u8,
    /// Phase of the stand-by pulse in 256ths of its period; 0 is steady and full.
    pub pulse: u8,
    /// Milliseconds since people were told to go: how far the dots of their walk lines have flowed by then.
    /// Only [`MarkState::Go`] flows.
    pub flow_ms: u32,
    /// State of every called mark in STANDBY; in other modes the mode alone decides.
    pub state: MarkState,
    /// What AIR may show.
    pub shown: Shown,
    /// AIR also draws scenic footprints: pools of shadow that may be seen.
    pub scenic: bool,
    /// Drive of the neutral floor fill of WORKLIGHT, 0 to 255.
    pub floor_level: u8,
    /// The scene is for this canvas alone: what its blocks cannot show is left out.
    /// `None` draws everything.
    pub canvas: Option<u8>,
    /// BUILD numbers at most this many panels of the floor; one with more gets every n-th.
    pub panel_numbers: u16,
}

/// The marks and props that the cameras do not see, as bits by index. AIR draws nothing else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// Bit i for mark i.
    pub marks: u64,
    /// Bit i for prop i.
    pub props: u32,
}

/// What a mark tells the person it is for. The form says it, never the colour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum MarkState {
    /// No state: the whole outline, bright.
    #[default]
    Steady,
    /// Later, not now: hollow mark inside a thin outline.
    Later,
    /// Be ready: the outline is open in the middle of each side.
    StandBy,
    /// Walk now: as stand by, while the dots of the walk line flow.
    Go,
    /// In place: the outline is closed and dimmed to 30 % of its light.
    Arrived,
    /// Off its place: the outline is open on the one side to move toward.
    Off {
        /// Direction to move, degrees counter-clockwise from stage left (+X).
        toward_deg: f32,
    },
}

/// Drive of the WORKLIGHT fill when nothing says otherwise: about 40 nits on a floor of 900 nits and gamma 2.4.
pub const FLOOR_LEVEL: u8 = 70;
/// Panels that BUILD numbers when nothing says otherwise.
pub const PANEL_NUMBERS: u16 = 36;

impl View {
    /// The plain view of a mode and a cue: full drive, steady, labels in BRIEF and BUILD only.
    pub const fn new(mode: Mode, cue: Option<CueId>) -> Self {
        Self {
            mode,
            cue,
            labels: matches!(mode, Mode::Brief | Mode::Build),
            level: 255,
            pulse: 0,
            flow_ms: 0,
            state: MarkState::StandBy,
            shown: Shown { marks: 0, props: 0 },
            scenic: false,
            floor_level: FLOOR_LEVEL,
            canvas: None,
            panel_numbers: PANEL_NUMBERS,
        }
    }

    /// The same view `elapsed_s` seconds after people were told to go: dots and chevrons of their lines flow at
    /// the pace of whoever walks there. Times before the start count as the start.
    pub fn flowing(self, elapsed_s: f32) -> Self {
        // A cast to an integer holds what is too large or no number within its range.
        Self { state: MarkState::Go, flow_ms: libm::roundf(elapsed_s * 1000.0) as u32, ..self }
    }

    /// The same view of one canvas alone.
    pub const fn on_canvas(self, canvas: u8) -> Self {
        Self { canvas: Some(canvas), ..self }
    }
}

impl Shown {
    /// True when mark `index` may be shown.
    pub fn mark(self, index: usize) -> bool {
        u32::try_from(index).ok().and_then(|i| self.marks.checked_shr(i)).is_some_and(|bits| bits & 1 == 1)
    }

    /// True when prop `index` may be shown.
    pub fn prop(self, index: usize) -> bool {
        u32::try_from(index).ok().and_then(|i| self.props.checked_shr(i)).is_some_and(|bits| bits & 1 == 1)
    }
}
