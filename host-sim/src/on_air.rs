//! The marks of a cue on air: all that each lights or darkens, and which of them no hot camera sees.

use underfoot_core::cameras::hidden::{self, CueMarks, Patch};
use underfoot_core::geom::StagePoint;
use underfoot_core::look::placed;
use underfoot_core::show::{Cue, MarkId};

use crate::project::{Hot, Project};

/// The marks of one cue, asked once.
#[derive(Clone, Debug)]
pub struct OnAir {
    /// For each place of the cue its mark and the outline of all that it lights or darkens.
    pub outlines: Vec<(MarkId, Vec<StagePoint>)>,
    /// Which of the marks no hot camera sees, and the cameras that were asked.
    pub found: CueMarks,
}

impl OnAir {
    /// Asks every camera that a project's hot set has in a cue.
    pub fn of(project: &Project, cue: &Cue) -> Self {
        let show = &project.show;
        let outline = |place| placed::outline(show, place).map(|(id, points)| (id, points.to_vec()));
        let outlines: Vec<(MarkId, Vec<StagePoint>)> = show.places_in(cue).iter().filter_map(outline).collect();
        let patches: Vec<(MarkId, Patch<'_>)> =
            outlines.iter().map(|(id, points)| (*id, Patch::on(show, points))).collect();
        let found = hidden::marks(show, cue, project.show.control.hot, &patches);
        Self { outlines, found }
    }

    /// The marks of the cue, each once.
    pub fn marks(&self) -> Vec<MarkId> {
        let mut all: Vec<MarkId> = self.outlines.iter().map(|(id, _)| *id).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// How many of them no hot camera sees.
    pub fn unseen(&self) -> usize {
        self.found.marks.count_ones() as usize
    }
}

/// The cameras of a hot set in words: "hot: program and preview".
pub const fn hot_words(hot: Hot) -> &'static str {
    match hot {
        Hot::All => "hot: every tracked camera",
        Hot::ProgramPreviewRecorded => "hot: program, preview and recorded",
        Hot::ProgramPreview => "hot: program and preview",
    }
}
