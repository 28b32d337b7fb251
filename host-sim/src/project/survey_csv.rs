//! Survey readings from a CSV file: name, stage x, y, z, tracking x, y, z, in metres.
//!
//! A first line of column names is skipped, and so are empty lines and lines that begin with `#`.
//! An eighth column that says `quick` marks a permanent reference point. Commas separate; a decimal
//! comma is refused, not guessed.

use std::collections::HashMap;
use std::path::Path;

use underfoot_core::geom::{StagePoint3, TrackingPoint};
use underfoot_core::limits::{NAME_BYTES, STAGE_REACH_M, SURVEY_POINTS};

use super::errors::{LoadError, LoadErrors};
use super::load::read_text;
use super::model::SurveyPoint;

/// Reads a CSV file of survey readings.
///
/// # Errors
/// Every fault that was found; nothing is read then.
pub fn read(path: &Path) -> Result<Vec<SurveyPoint>, LoadErrors> {
    let name = path.display().to_string();
    parse(&name, &read_text(path, &name)?)
}

/// Reads survey readings from text; `name` stands in its errors.
///
/// # Errors
/// Every fault that was found; nothing is read then.
pub fn parse(name: &str, text: &str) -> Result<Vec<SurveyPoint>, LoadErrors> {
    let mut points: Vec<SurveyPoint> = Vec::new();
    let mut errors = Vec::new();
    let mut first: HashMap<String, usize> = HashMap::new();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let rows = text.lines().enumerate().filter(|(_, row)| !row.trim().is_empty() && !row.trim_start().starts_with('#'));
    for (nth, (i, row)) in rows.enumerate() {
        let line = i + 1;
        if nth == 0 && row.split(',').skip(1).all(|cell| cell.trim().parse::<f64>().is_err()) {
            continue;
        }
        match point(row, line) {
            Ok(p) => {
                if let Some(before) = first.insert(p.name.clone(), line) {
                    let what =
                        format!("there are two points with the name `{}`; the first is on line {before}", p.name);
                    errors.push(fault(name, line, row, 1, &p.name, what, "give one of them another name"));
                }
                points.push(p);
            }
            Err((column, value, what, remedy)) => errors.push(fault(name, line, row, column, &value, what, &remedy)),
        }
    }
    if points.len() > SURVEY_POINTS {
        let what = format!("{} points; the limit is {SURVEY_POINTS}", points.len());
        errors.push(fault(name, 1, "", 1, "", what, "take some out"));
    }
    if points.is_empty() && errors.is_empty() {
        let remedy = "write rows of: name, stage x, y, z, tracking x, y, z in metres";
        errors.push(fault(name, 1, "", 1, "", "there is no point in the file".to_owned(), remedy));
    }
    if errors.is_empty() { Ok(points) } else { Err(LoadErrors::new(errors)) }
}

fn fault(file: &str, line: usize, row: &str, column: usize, value: &str, what: String, remedy: &str) -> LoadError {
    LoadError {
        file: file.to_owned(),
        line,
        column,
        value: value.to_owned(),
        what,
        remedy: remedy.to_owned(),
        source_line: row.to_owned(),
    }
}

type Refusal = (usize, String, String, String);

fn point(row: &str, line: usize) -> Result<SurveyPoint, Refusal> {
    let cells: Vec<&str> = row.split(',').map(str::trim).collect();
    if cells.len() < 7 || cells.len() > 8 {
        let what = format!("the row has {} columns, not 7", cells.len());
        let columns = "name, stage x, y, z, tracking x, y, z";
        return Err(refusal(row, 0, what, &format!("write {columns}, with a point as decimal sign")));
    }
    let name = cells.first().copied().unwrap_or("");
    if name.is_empty() || name.len() > NAME_BYTES {
        let what = format!("the name is {} bytes long; the limits are 1 and {NAME_BYTES}", name.len());
        return Err(refusal(row, 0, what, "shorten it"));
    }
    let mut values = [0.0_f32; 6];
    for (k, value) in values.iter_mut().enumerate() {
        *value = metres(row, k + 1, cells.get(k + 1).copied().unwrap_or(""))?;
    }
    let quick = match cells.get(7).copied() {
        None | Some("") => false,
        Some("quick") => true,
        Some(other) => return Err(refusal(row, 7, format!("\"{other}\" is not a flag"), "write quick, or nothing")),
    };
    let [x, y, z, tx, ty, tz] = values;
    Ok(SurveyPoint {
        name: name.to_owned(),
        stage: StagePoint3::new(x, y, z),
        tracking: TrackingPoint::new(tx, ty, tz),
        quick,
        line,
    })
}

/// A coordinate in column `k` of a row.
fn metres(row: &str, k: usize, cell: &str) -> Result<f32, Refusal> {
    match cell.parse::<f32>() {
        Ok(n) if n.is_finite() && n.abs() <= STAGE_REACH_M => Ok(n),
        Ok(n) => {
            let remedy = format!("metres from -{STAGE_REACH_M} to {STAGE_REACH_M}");
            Err(refusal(row, k, format!("{n} is out of range"), &remedy))
        }
        Err(_) => {
            let remedy = "write metres without a unit, with a point as decimal sign";
            Err(refusal(row, k, format!("\"{cell}\" is not a number"), remedy))
        }
    }
}

/// A fault of column `k` of a row, with the place where its text begins.
fn refusal(row: &str, k: usize, what: String, remedy: &str) -> Refusal {
    let before: usize = row.split(',').take(k).map(|cell| cell.chars().count() + 1).sum();
    let cell = row.split(',').nth(k).unwrap_or("");
    let indent = cell.chars().take_while(|c| c.is_whitespace()).count();
    (before + indent + 1, cell.trim().to_owned(), what, remedy.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_become_points() {
        let points =
            parse("s.csv", "name,x,y,z,tx,ty,tz\n# DS edge\nP1, -1.5,-1.5,0, 1.167,-3.660,0.117, quick\n").unwrap();
        assert_eq!(points.len(), 1);
        assert_eq!((points[0].name.as_str(), points[0].quick, points[0].line), ("P1", true, 3));
        assert_eq!(points[0].tracking, TrackingPoint::new(1.167, -3.660, 0.117));
    }

    #[test]
    fn every_bad_row_is_named() {
        let text =
            "P1,0,0,0,1,2\nP2,0,0,x,1,2,3\nP3,0,0,0,1,2,inf\nP4,0,0,0,1,2,3\nP4,0,0,0,1,2,3\nP5,0,0,0,1,2,3,slow\n";
        let errors = parse("s.csv", text).unwrap_err();
        let lines: Vec<usize> = errors.iter().map(|e| e.line).collect();
        assert_eq!(lines, [1, 2, 3, 5, 6]);
        assert_eq!(errors.iter().nth(1).map(|e| (e.column, e.value.as_str())), Some((8, "x")));
        assert!(parse("s.csv", "").is_err());
    }
}
