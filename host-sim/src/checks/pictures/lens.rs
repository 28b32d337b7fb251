//! Shots that give no picture.

use underfoot_core::cameras::LensError;
use underfoot_core::cameras::shots::ShotError;
use underfoot_core::show::ShotId;

use super::desk::Desk;
use crate::findings::{Finding, FindingId, Report, Severity};

/// Reports shots whose lens or pose cannot be used.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report) {
    for (index, shot) in desk.board.show().shots.iter().enumerate() {
        let id = ShotId(index as u8);
        let Some(error) = desk.trials.book.album.error(id) else { continue };
        let (what, fix) = words(error);
        let mut finding = Finding::new(FindingId::LensUnusable, Severity::Stop, shot.name.to_string(), what);
        finding.shot = Some(shot.name.to_string());
        finding.fix = Some(fix.into());
        report.add(desk.board.at_line(finding, "shots", index));
    }
}

fn words(error: ShotError) -> (&'static str, &'static str) {
    match error {
        ShotError::Unknown => ("there is no such shot or camera", "name one that the show has"),
        ShotError::NoKeys => ("the shot has no pose", "give it a look point"),
        ShotError::BadPose => ("the camera looks at its own place", "move the look point away from the camera"),
        ShotError::Lens(LensError::FoldsOver) => (
            "the lens's distortion folds the picture over inside the frame",
            "check the order k1, k2, p1, p2, k3 and the signs",
        ),
        ShotError::Lens(LensError::BadDistortion) => ("the lens's distortion is no number", "give five numbers"),
        ShotError::Lens(LensError::BadSensor) => ("the sensor has no size", "give sensor_mm"),
        ShotError::Lens(LensError::BadFocal) => ("the focal length is not positive", "give focal_mm"),
    }
}
