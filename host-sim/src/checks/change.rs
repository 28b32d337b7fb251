//! Changes of a show that may put a fault right, and how they are applied to a copy of it.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::show::{CameraId, Layer, MarkId, MotionKind, Presence, PropId, Run, ShotId, Show, Wall};

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
    /// A prop rests elsewhere, and so do its moves.
    Prop { prop: PropId, by: StageVector },
    /// People have more time in a cue.
    Time { cue: usize, limit_ms: u32 },
    /// A prop is announced for longer in a cue.
    Announce { cue: usize, prop: PropId, coming_ms: u32 },
    /// The keyed move of a prop begins later in a cue.
    Later { cue: usize, prop: PropId, by_s: f32 },
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
            Self::Prop { prop, by } => move_prop(&mut changed, *prop, *by)?,
            Self::Time { cue, limit_ms } => changed.cues.get_mut(*cue)?.time_limit_ms = *limit_ms,
            Self::Announce { cue, prop, coming_ms } => announce(&mut changed, *cue, *prop, *coming_ms)?,
            Self::Later { cue, prop, by_s } => begin_later(&mut changed, *cue, *prop, *by_s)?,
        }
        Some(changed)
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
    // Announced for ever: never in the picture.
    announce(show, cue, prop, 0)
}

fn announce(show: &mut Show, cue: usize, prop: PropId, coming_ms: u32) -> Option<()> {
    let props = show.cues.get(cue)?.props;
    let states = show.cue_props.get_mut(indices(props))?.iter_mut();
    for state in states.filter(|s| s.prop == prop) {
        (state.presence, state.coming_ms) = (Presence::Coming, coming_ms);
    }
    Some(())
}

/// Moves a prop with all its motions.
fn move_prop(show: &mut Show, prop: PropId, by: StageVector) -> Option<()> {
    let data = show.props.get_mut(prop.index())?;
    data.at = data.at + by;
    for motion in show.motions.iter_mut().filter(|m| m.prop == prop) {
        match &mut motion.kind {
            MotionKind::Keys { keys, .. } => {
                show.motion_keys.get_mut(indices(*keys))?.iter_mut().for_each(|key| key.place = key.place + by);
            }
            MotionKind::Circle { centre, .. } => *centre = *centre + by,
            MotionKind::Pendulum { pivot, .. } => *pivot = *pivot + by,
            MotionKind::Grow { .. } | MotionKind::Presence => {}
        }
    }
    Some(())
}

/// Lets the keys of a cue's move come later, in every cue that has the same motion.
fn begin_later(show: &mut Show, cue: usize, prop: PropId, by_s: f32) -> Option<()> {
    let states = show.props_in(show.cues.get(cue)?);
    let motion = states.iter().find(|s| s.prop == prop)?.motion?;
    let MotionKind::Keys { keys, .. } = show.motions.get(motion.index())?.kind else { return None };
    show.motion_keys.get_mut(indices(keys))?.iter_mut().for_each(|key| key.at_s += by_s);
    Some(())
}

/// Moves a mark, and the ends of lines that lead to it.
fn move_mark(show: &mut Show, mark: MarkId, to: StagePoint) -> Option<()> {
    let mark = show.marks.get_mut(mark.index())?;
    let from = std::mem::replace(&mut mark.at, to);
    show.line_points.iter_mut().filter(|p| p.at == from).for_each(|p| p.at = to);
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demos::DEMOS;
    use crate::project::{Project, parse};
    use crate::rehearse::draft::edit;

    /// Half a millimetre, to which a file's numbers are rounded, and what `f32` leaves of 100 m.
    const ALIKE_M: f32 = 0.0005 + 1e-5;

    /// Everything that a moved prop may take along: its own place, its keys, the middles and pivots of its motions.
    fn places(show: &Show) -> Vec<StagePoint> {
        let props = show.props.iter().map(|p| p.at);
        let keys = show.motion_keys.iter().map(|k| k.place);
        let motions = show.motions.iter().filter_map(|m| match m.kind {
            MotionKind::Circle { centre, .. } => Some(centre),
            MotionKind::Pendulum { pivot, .. } => Some(pivot),
            _ => None,
        });
        props.chain(keys).chain(motions).collect()
    }

    fn assert_alike(one: &Show, two: &Show, what: &str) {
        let (one, two) = (places(one), places(two));
        assert_eq!(one.len(), two.len(), "{what}");
        for (a, b) in one.iter().zip(&two) {
            assert!(a.distance(*b) <= ALIKE_M, "{what}: {a:?} and {b:?}");
        }
    }

    fn edited(project: &Project, change: &edit::Change) -> Box<Show> {
        let text = change.apply(&project.source).expect("a change");
        parse("edited", &text).expect("a show").show
    }

    /// The same change of the lists and of the file's text, which is then read again.
    #[test]
    fn a_prop_moved_in_the_file_is_the_prop_moved_in_the_show() {
        for (name, text) in DEMOS {
            let project = parse(name, text).expect("a demo");
            for (i, prop) in project.show.props.iter().enumerate() {
                let by = StageVector::new(0.37, -0.21);
                let to = [prop.at.x + by.x, prop.at.y + by.y].map(f64::from);
                let change = edit::Change::MoveProp { name: prop.name.to_string(), to };
                let moved = Change::Prop { prop: PropId(i as u8), by }.applied(&project.show).expect("room");
                assert_alike(&edited(&project, &change), &moved, &format!("{name}: {}", prop.name));
            }
        }
    }

    #[test]
    fn a_mark_moved_in_the_file_takes_the_ends_of_drawn_lines_along_as_in_the_show() {
        for (name, text) in DEMOS {
            let project = parse(name, text).expect("a demo");
            for (i, mark) in project.show.marks.iter().enumerate() {
                let to = StagePoint::new(mark.at.x + 0.11, mark.at.y - 0.07);
                let change = edit::Change::MoveMark { name: mark.name.to_string(), to: [to.x, to.y].map(f64::from) };
                let moved = Change::Mark { mark: MarkId(i as u8), to }.applied(&project.show).expect("room");
                let edited = edited(&project, &change);
                assert!(edited.marks[i].at.distance(to) <= ALIKE_M, "{name}: {}", mark.name);
                let drawn = |show: &Show| -> Vec<StagePoint> {
                    let lines = show.lines.iter().filter(|line| !line.planned);
                    lines.flat_map(|line| show.points_of(line).iter().map(|p| p.at)).collect()
                };
                let (one, two) = (drawn(&edited), drawn(&moved));
                assert_eq!(one.len(), two.len());
                let alike = one.iter().zip(&two).all(|(a, b)| a.distance(*b) <= ALIKE_M);
                assert!(alike, "{name}: {}", mark.name);
            }
        }
    }
}
