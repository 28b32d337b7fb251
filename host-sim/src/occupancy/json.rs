//! A chart as JSON that people can diff: one text a row, equal cells in runs.

use serde_json::{Map, Value, json};
use underfoot_core::occupancy::CellClass;

use super::words::{class_meaning, class_word};
use super::{Chart, Room};

/// The letter of a class in a row.
pub const fn letter(class: CellClass) -> char {
    match class {
        CellClass::Free => '.',
        CellClass::Contact => 'C',
        CellClass::Body => 'B',
        CellClass::Overhead => 'O',
        CellClass::SweptSoon => 'S',
        CellClass::Physical => 'P',
        CellClass::Edge => 'E',
        CellClass::Dead => 'D',
    }
}

/// What the chart is of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct About {
    /// The show's title.
    pub show: String,
    /// Its show code.
    pub code: Option<String>,
    /// The cue's number and name: "4", "Pendulum".
    pub cue: (String, String),
    /// Seconds after the start of the cue.
    pub at_s: f32,
}

/// The chart, and the free room in millimetres when it is wanted.
pub fn value(about: &About, chart: &Chart, room: Option<&Room>) -> Value {
    let grid = chart.grid();
    let cell_mm = mm(grid.cell_m());
    let low = grid.cell(0, 0).map_or([0.0, 0.0], |c| [c.low().x, c.low().y]).map(mm);
    let mut classes = Map::new();
    for class in CellClass::ORDER {
        classes.insert(
            class_word(class).into(),
            json!({
                "letter": letter(class).to_string(),
                "means": class_meaning(class),
                "cells": chart.count(class),
                "m2": (chart.area_m2(class) * 1e4).round() / 1e4,
            }),
        );
    }
    let rows: Vec<String> = chart.rows_from_upstage().map(row).collect();
    let mut value = json!({
        "show": about.show,
        "code": about.code,
        "cue": about.cue.0,
        "cue_name": about.cue.1,
        "at_s": about.at_s,
        "cell_mm": cell_mm,
        "columns": grid.columns(),
        "rows": grid.rows(),
        "low_mm": low,
        "map_bytes": chart.bytes(),
        "classes": classes,
        "cells": rows,
    });
    if let (Some(room), Some(whole)) = (room, value.as_object_mut()) {
        let free = |i: usize| room.metres(i, grid.cell_m()) * 1000.0;
        let columns = grid.columns();
        let line = |r: usize| (0..columns).map(|c| number(free(r * columns + c))).collect::<Vec<_>>().join(" ");
        whole.insert("room_mm".into(), (0..grid.rows()).rev().map(line).collect());
    }
    value
}

/// Equal neighbours as one run: "15E 120. 15E".
fn row(classes: &[CellClass]) -> String {
    let runs = classes.chunk_by(|a, b| a == b);
    let words = runs.filter_map(|run| run.first().map(|&class| format!("{}{}", run.len(), letter(class))));
    words.collect::<Vec<_>>().join(" ")
}

fn number(mm: f64) -> String {
    if mm.is_finite() { format!("{mm:.0}") } else { "-".into() }
}

/// To a thousandth of a millimetre: what lies beyond is single precision, not a measure.
fn mm(metres: f32) -> f64 {
    (f64::from(metres) * 1e6).round() / 1e3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_neighbours_are_one_run() {
        use CellClass::{Body, Edge, Free};
        assert_eq!(row(&[Edge, Edge, Free, Body, Free, Free, Free]), "2E 1. 1B 3.");
        assert_eq!(row(&[]), "");
    }

    #[test]
    fn every_class_has_its_own_letter() {
        let letters: std::collections::BTreeSet<char> = CellClass::ORDER.into_iter().map(letter).collect();
        assert_eq!(letters.len(), CellClass::ORDER.len());
    }
}
