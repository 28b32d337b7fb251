//! What AIR may show: the marks that no hot camera sees, and who sees the others.

use std::collections::{BTreeMap, BTreeSet};

use underfoot_core::cameras::hidden::{self, Hiding, Patch};
use underfoot_core::cameras::{Solid, View, guard, shots};
use underfoot_core::look::{self, Shown};
use underfoot_core::show::{Cue, CueId, MarkId, Mode};

use crate::findings::cue_number;
use crate::on_air::{OnAir, hot_words};
use crate::project::Project;
use crate::render::shot::solids_at;

/// More marks than this are counted, not named.
const FEW: usize = 4;

/// The plain view of a mode and a cue, with what AIR may show of it.
pub(crate) fn view(project: &Project, (mode, cue): (Mode, Option<CueId>), scenic: bool) -> look::View {
    let now = cue.and_then(|id| project.show.cues.get(id.index())).filter(|_| mode == Mode::Air);
    let marks = now.map_or(0, |cue| OnAir::of(project, cue).found.marks);
    look::View { shown: Shown { marks, props: 0 }, scenic, ..look::View::new(mode, cue) }
}

/// How many marks of a cue can be shown on air, and which shots see the others.
pub(super) fn words(project: &Project, cue: &Cue) -> String {
    let on_air = OnAir::of(project, cue);
    let (found, all) = (on_air.found, on_air.marks());
    let (head, hot) = (format!("cue {} on air", cue_number(cue.number)), hot_words(project.show.control.hot));
    if all.is_empty() {
        return format!("{head}: no marks");
    }
    let head = format!("{head}: {} of {} marks can be shown", on_air.unseen(), all.len());
    let name = |id: MarkId| project.show.marks.get(id.index()).map_or("", |m| m.name.as_str());
    if let Some(camera) = found.hot.untracked {
        let camera = project.show.cameras.get(camera.index()).map_or("", |c| c.name.as_str());
        return format!("{head}; {camera} is hot and may see everything ({hot})");
    }
    let seers = Seers { project, cue, on_air: &on_air };
    let mut seen: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for id in all.into_iter().filter(|id| found.marks & (1 << id.0) == 0) {
        seers.of(id).into_iter().for_each(|shot| seen.entry(shot).or_default().push(name(id)));
    }
    let count = |names: &[&str]| if names.len() > FEW { format!("{} of them", names.len()) } else { names.join(", ") };
    let seen: Vec<String> = seen.iter().map(|(shot, names)| format!("; {shot} sees {}", count(names))).collect();
    format!("{head}{} ({hot})", seen.concat())
}

/// Who sees the marks of one cue.
struct Seers<'p> {
    project: &'p Project,
    cue: &'p Cue,
    on_air: &'p OnAir,
}

impl Seers<'_> {
    /// The hot shots in whose pictures a mark is; all of them when only what lies between their views sees it.
    fn of(&self, id: MarkId) -> Vec<String> {
        let show = &self.project.show;
        let solids = solids_at(show, self.cue, 0.0).unwrap_or_default();
        let (mut seeing, mut hot) = (BTreeSet::new(), BTreeSet::new());
        hidden::hot_views(show, self.cue, self.project.show.control.hot, &mut |view| {
            hot.insert(view.shot.0);
            if self.sees(&view, id, &solids) {
                seeing.insert(view.shot.0);
            }
        });
        let name = |shot: u8| show.shots.get(usize::from(shot)).map(|s| s.name.to_string());
        if seeing.is_empty() { hot } else { seeing }.into_iter().filter_map(name).collect()
    }

    fn sees(&self, view: &View, id: MarkId, solids: &[Solid]) -> bool {
        let show = &self.project.show;
        let latency_s = f32::from(show.latency_ms) / 1000.0;
        self.on_air.outlines.iter().filter(|(mark, _)| *mark == id).any(|(_, points)| {
            let away_m = points.iter().map(|p| p.distance(view.pose.centre.on_floor())).fold(0.0, f32::max);
            let guard = guard::of(shots::speed(show, view.shot), latency_s, away_m);
            hidden::mark(view, guard, &Patch::on(show, points), solids) == Hiding::Seen
        })
    }
}
