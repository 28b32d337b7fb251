//! What to draw: the mode, the cue and the state of every thing that has one.

use super::states::{MarkState, States};
use super::things::{Shown, Things};
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
    /// States of the called marks in STANDBY and AIR, person by person; in other modes the mode alone decides.
    pub states: States,
    /// Milliseconds since the cue began: STANDBY and AIR draw props as their lives are and where they are by then.
    /// `None` draws the plan: every prop as the cue names it, where its moves leave it.
    pub cue_ms: Option<u32>,
    /// What comes into the picture and has not come all the way.
    pub fresh: Things,
    /// How far that has come, 0 for not at all to 255 for wholly.
    pub fade: u8,
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
            states: States::all(MarkState::StandBy),
            cue_ms: None,
            fresh: Things::NONE,
            fade: 255,
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
        Self { flow_ms: libm::roundf(elapsed_s * 1000.0) as u32, ..self.with_all(MarkState::Go) }
    }

    /// The same view with every called mark in one state.
    pub const fn with_all(self, state: MarkState) -> Self {
        Self { states: States::all(state), ..self }
    }

    /// The same view of one canvas alone.
    pub const fn on_canvas(self, canvas: u8) -> Self {
        Self { canvas: Some(canvas), ..self }
    }
}
