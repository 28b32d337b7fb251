//! The worked numbers of core/docs/frames.md, loaded from its fenced blocks.

use underfoot_core::floor::Block;
use underfoot_core::floor::block::Lay;
use underfoot_core::floor::survey::{Reading, Recheck, Scale, Survey};
use underfoot_core::geom::{PixelPoint, StagePoint, StagePoint3, TrackingPoint};
use underfoot_core::show::Name;
use underfoot_core::units::Angle;
use underfoot_tests::document::{Document, near};

fn document() -> Document {
    Document::of_core("frames.md")
}

fn table(name: &str) -> Vec<Vec<f32>> {
    document().table(name)
}

fn figures(name: &str, key: &str) -> Vec<f32> {
    document().figures(name, key)
}

#[test]
fn canvas_places_are_as_printed() {
    let lay = figures("canvas", "block");
    let [columns, rows, panel_px, width_m, depth_m, turn_deg] = lay[..] else { panic!("six figures") };
    let lay = Lay { centre: StagePoint::new(0.0, 0.0), width_m, depth_m, turn: Angle::from_degrees(turn_deg) };
    let panel = (panel_px as u16, panel_px as u16);
    let name = Name::try_from("floor").expect("a name");
    let block = Block::laid(name, 0, (0, 0), (columns as u16, rows as u16), panel, &lay).expect("a block");
    let rows = table("canvas");
    assert_eq!(rows.len(), 4);
    for row in rows {
        let p = block.map.to_stage(PixelPoint::new(row[0], row[1]));
        near(p.x, row[2], 1e-6);
        near(p.y, row[3], 1e-6);
    }
}

#[test]
fn the_survey_is_as_printed() {
    let readings: Vec<Reading> = table("survey")
        .iter()
        .map(|r| Reading { stage: StagePoint3::new(r[0], r[1], r[2]), tracking: TrackingPoint::new(r[3], r[4], r[5]) })
        .collect();
    assert_eq!(readings.len(), 6);
    let survey = Survey::of(&readings, Scale::Fixed).expect("a fit");
    near(survey.map.yaw().to_degrees(), figures("survey", "yaw_deg")[0], 0.0005);
    near(survey.rms_m * 1e3, figures("survey", "rms_mm")[0], 0.0005);
    near(survey.plan_rms_m * 1e3, figures("survey", "plan_rms_mm")[0], 0.0015);
    near(survey.map.height_m() * 1e3, figures("survey", "height_mm")[0], 0.05);
}

#[test]
fn the_recheck_is_as_printed() {
    let rows = table("recheck");
    let at = |x: usize| -> Vec<StagePoint3> { rows.iter().map(|r| StagePoint3::new(r[x], r[x + 1], 0.0)).collect() };
    let found = Recheck::of(&at(0), &at(2)).expect("three points");
    for (move_m, printed) in found.moves_m.iter().zip(figures("recheck", "moves_mm")) {
        near(move_m * 1e3, printed, 0.05);
    }
    near(found.yaw.to_degrees(), figures("recheck", "yaw_deg")[0], 0.0005);
    let shift = figures("recheck", "shift_mm");
    near(found.shift.x * 1e3, shift[0], 0.05);
    near(found.shift.y * 1e3, shift[1], 0.05);
}
