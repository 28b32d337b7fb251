//! Cameras whose picture may be used at any moment, and what they may show.

use super::shots::{self, View};
use crate::show::{Camera, CameraId, CameraKind, Cue, Hot, ShotId, Show};

/// What a plan knows of the hot cameras of a cue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct HotSet {
    /// How many cameras are hot.
    pub cameras: u8,
    /// A hot camera that may see everything: it is not tracked, no shot is planned for it, or a shot of it gives
    /// no view. While it is hot, nothing is hidden.
    pub untracked: Option<CameraId>,
}

/// Calls `each` with every shot that a hot camera may show in a cue. On program and preview are the cameras with a
/// shot in the cue, and they show those shots; any other hot camera may show all of its own. In a cue without a shot
/// every tracked or recorded camera is hot.
pub fn hot_shots(show: &Show, cue: &Cue, hot: Hot, each: &mut impl FnMut(ShotId)) -> HotSet {
    let mut set = HotSet::default();
    for (id, camera) in (0..).map(CameraId).zip(&show.cameras) {
        let of_camera = |shot: &ShotId| show.shots.get(shot.index()).is_some_and(|s| s.camera == id);
        let mut of_cue = show.shots_in(cue).iter().copied().filter(of_camera).peekable();
        let in_cue = of_cue.peek().is_some();
        if !is_hot(show, cue, hot, (id, camera)) {
            continue;
        }
        set.cameras += 1;
        let mut planned = false;
        let mut note = |shot| {
            planned = true;
            each(shot);
        };
        if in_cue {
            of_cue.for_each(&mut note);
        } else {
            (0..show.shots.len() as u8).map(ShotId).filter(of_camera).for_each(&mut note);
        }
        if camera.kind == CameraKind::Untracked || !planned {
            set.untracked = set.untracked.or(Some(id));
        }
    }
    set
}

/// The cameras that are hot in a cue, as [`hot_shots`] takes them.
pub fn hot_cameras<'s>(show: &'s Show, cue: &'s Cue, hot: Hot) -> impl Iterator<Item = (CameraId, &'s Camera)> {
    (0..).map(CameraId).zip(&show.cameras).filter(move |one| is_hot(show, cue, hot, *one))
}

/// Calls `each` with every view that a hot camera may show in a cue, as [`shots::views`] has them: a move is a row
/// of views with gaps between them, so ask [`super::hidden::marks`] whether a mark is hidden all the time.
pub fn hot_views(show: &Show, cue: &Cue, hot: Hot, each: &mut impl FnMut(View)) -> HotSet {
    let mut failed = None;
    let set = hot_shots(show, cue, hot, &mut |shot| {
        if shots::views(show, shot, each).is_err() {
            failed = failed.or(camera_of(show, shot));
        }
    });
    HotSet { untracked: set.untracked.or(failed), ..set }
}

/// The camera of a shot.
pub(super) fn camera_of(show: &Show, shot: ShotId) -> Option<CameraId> {
    show.shots.get(shot.index()).map(|s| s.camera)
}

/// True for a camera whose picture may be used. A cue without a shot does not say which are on program, whatever the set:
/// each that is tracked or recorded may be, and any at all where none is.
fn is_hot(show: &Show, cue: &Cue, hot: Hot, (id, camera): (CameraId, &Camera)) -> bool {
    let counts = |camera: &Camera| camera.recorded || camera.kind != CameraKind::Untracked;
    let shots = show.shots_in(cue);
    if shots.is_empty() {
        return counts(camera) || !show.cameras.iter().any(counts);
    }
    let in_cue = shots.iter().any(|&shot| camera_of(show, shot) == Some(id));
    match hot {
        Hot::All => in_cue || counts(camera),
        Hot::ProgramPreviewRecorded => in_cue || camera.recorded,
        Hot::ProgramPreview => in_cue,
    }
}

#[cfg(test)]
mod tests {
    use std::vec::Vec;

    use super::super::tests::one_shot;
    use super::*;
    use crate::show::Run;

    /// Three cameras with a shot each: the second untracked, the third recorded. The cue has the first's shot.
    fn show() -> Show {
        let mut show = one_shot([0.0, -5.0, 1.5], [0.0, 0.0, 1.0], 10.0);
        for i in 1..3 {
            let (mut camera, mut shot) = (show.cameras[0].clone(), show.shots[0].clone());
            shot.camera = CameraId(i);
            if i == 1 {
                camera.kind = CameraKind::Untracked;
            }
            camera.recorded = i == 2;
            show.cameras.push(camera).unwrap();
            show.shots.push(shot).unwrap();
        }
        show.cue_shots.push(ShotId(0)).unwrap();
        show
    }

    fn asked(show: &Show, hot: Hot, shots: Run) -> (Vec<u8>, HotSet) {
        let (mut list, cue) = (Vec::new(), Cue { shots, ..Cue::default() });
        let set = hot_shots(show, &cue, hot, &mut |shot| list.push(shot.0));
        (list, set)
    }

    #[test]
    fn each_set_has_its_cameras() {
        let (show, of_cue) = (show(), Run { first: 0, len: 1 });
        let known = |cameras| HotSet { cameras, untracked: None };
        assert_eq!(asked(&show, Hot::All, of_cue), (std::vec![0, 2], known(2)));
        assert_eq!(asked(&show, Hot::ProgramPreviewRecorded, of_cue), (std::vec![0, 2], known(2)));
        assert_eq!(asked(&show, Hot::ProgramPreview, of_cue), (std::vec![0], known(1)));
        for (hot, ids) in [(Hot::All, std::vec![0, 2]), (Hot::ProgramPreview, std::vec![0])] {
            let cue = Cue { shots: of_cue, ..Cue::default() };
            assert_eq!(hot_cameras(&show, &cue, hot).map(|(id, _)| id.0).collect::<Vec<_>>(), ids);
        }
    }

    /// Nobody has said what is on program: that is no word that nothing is.
    #[test]
    fn in_a_cue_without_a_shot_any_camera_may_be_on() {
        let mut show = show();
        for hot in [Hot::All, Hot::ProgramPreviewRecorded, Hot::ProgramPreview] {
            assert_eq!(asked(&show, hot, Run::default()).0, [0, 2], "tracked, or recorded");
            assert_eq!(hot_cameras(&show, &Cue::default(), hot).count(), 2);
        }
        for camera in &mut show.cameras {
            (camera.kind, camera.recorded) = (CameraKind::Untracked, false);
        }
        for hot in [Hot::All, Hot::ProgramPreviewRecorded, Hot::ProgramPreview] {
            let (shots, set) = asked(&show, hot, Run::default());
            assert_eq!(
                (shots.len(), set.untracked),
                (3, Some(CameraId(0))),
                "nothing is hidden from what nobody follows"
            );
        }
    }

    #[test]
    fn a_hot_camera_that_nobody_follows_may_see_everything() {
        let (mut show, of_cue) = (show(), Run { first: 0, len: 1 });
        show.cameras[1].recorded = true;
        assert_eq!(asked(&show, Hot::All, of_cue).1.untracked, Some(CameraId(1)));
        show.cameras[1].recorded = false;
        show.shots[2].camera = CameraId(0);
        // The third camera has no shot left.
        assert_eq!(asked(&show, Hot::All, of_cue).1.untracked, Some(CameraId(2)));
        show.shots[0].camera = CameraId(1);
        assert_eq!(asked(&show, Hot::ProgramPreview, of_cue).1.untracked, Some(CameraId(1)));
    }
}
