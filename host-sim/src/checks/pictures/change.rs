//! Changes of a show that may put a fault right, and how they are applied to a copy of it.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CameraId, Layer, MarkId, Presence, PropId, Run, ShotId, Show, Wall};

use super::pair::Pair;

/// One change of a show.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Change {
    /// A mark goes elsewhere.
    Mark { mark: MarkId, to: StagePoint },
    /// Parts of a prop, by index, go into another layer: in every cue, or in one, as a prop of its own.
    Layer { prop: PropId, parts: Vec<u8>, layer: Layer, cue: Option<usize> },
    /// A person matte is keyed on a camera.
    Matte { camera: CameraId },
    /// A shot looks higher or lower, through a shorter lens.
    Shot { shot: ShotId, rise_m: f32, focal_mm: f32 },
    /// A prop stays out of a cue's picture.
    Leave { cue: usize, prop: PropId },
    /// An LED wall is added.
    Wall(Wall),
    /// An LED wall reaches higher.
    Raise { wall: usize, top_m: f32 },
}

impl Change {
    /// The show with the change; `None` when it has no room for it.
    pub(super) fn applied(&self, show: &Show) -> Option<Box<Show>> {
        let mut changed = Box::new(show.clone());
        match self {
            Self::Mark { mark, to } => move_mark(&mut changed, *mark, *to)?,
            Self::Layer { prop, parts, layer, .. } => change_layer(&mut changed, *prop, parts, *layer)?,
            Self::Matte { camera } => changed.cameras.get_mut(camera.index())?.person_matte = true,
            Self::Shot { shot, rise_m, focal_mm } => reframe(&mut changed, *shot, *rise_m, *focal_mm)?,
            Self::Leave { cue, prop } => leave_out(&mut changed, *cue, *prop)?,
            Self::Wall(wall) => changed.walls.push(wall.clone()).ok()?,
            Self::Raise { wall, top_m } => changed.walls.get_mut(*wall)?.top_m = *top_m,
        }
        Some(changed)
    }

    /// True when the change may make a difference to a pair.
    pub(super) fn touches(&self, show: &Show, pair: &Pair) -> bool {
        let cue_has = |prop: &PropId| {
            show.cues.get(pair.cue).is_some_and(|cue| show.props_in(cue).iter().any(|s| s.prop == *prop))
        };
        match self {
            Self::Mark { mark, .. } => pair.mark == *mark,
            // Cues are judged one by one, so that a change of one cue is one of the show that only that cue feels.
            Self::Layer { prop, cue, .. } => cue_has(prop) && cue.is_none_or(|cue| cue == pair.cue),
            Self::Matte { camera } => show.shots.get(pair.shot.index()).is_some_and(|s| s.camera == *camera),
            Self::Shot { shot, .. } => pair.shot == *shot,
            Self::Leave { cue, .. } => pair.cue == *cue,
            Self::Wall(_) | Self::Raise { .. } => true,
        }
    }
}

/// The indices of a run.
fn indices(run: Run) -> std::ops::Range<usize> {
    usize::from(run.first)..usize::from(run.first) + usize::from(run.len)
}

fn change_layer(show: &mut Show, prop: PropId, parts: &[u8], layer: Layer) -> Option<()> {
    let run = show.props.get(prop.index())?.parts;
    let all = show.parts.get_mut(indices(run))?;
    parts.iter().try_for_each(|&part| all.get_mut(usize::from(part)).map(|p| p.layer = layer))
}

fn reframe(show: &mut Show, shot: ShotId, rise_m: f32, focal_mm: f32) -> Option<()> {
    let keys = show.shots.get(shot.index())?.keys;
    for key in show.shot_keys.get_mut(indices(keys))? {
        key.look.z += rise_m;
        key.focal_mm = focal_mm;
    }
    Some(())
}

fn leave_out(show: &mut Show, cue: usize, prop: PropId) -> Option<()> {
    let props = show.cues.get(cue)?.props;
    let states = show.cue_props.get_mut(indices(props))?.iter_mut();
    for state in states.filter(|s| s.prop == prop) {
        // Announced for ever: never in the picture.
        (state.presence, state.coming_ms) = (Presence::Coming, 0);
    }
    Some(())
}

/// Moves a mark, and the ends of lines that lead to it.
fn move_mark(show: &mut Show, mark: MarkId, to: StagePoint) -> Option<()> {
    let mark = show.marks.get_mut(mark.index())?;
    let from = std::mem::replace(&mut mark.at, to);
    show.line_points.iter_mut().filter(|p| p.at == from).for_each(|p| p.at = to);
    Some(())
}
