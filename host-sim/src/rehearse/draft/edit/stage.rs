//! Changes of what is on the floor, and of cues.

use toml_edit::{Document, Value};

use super::page::{Page, Row, named, place_of, rows};

type Text<'d> = Document<&'d str>;

pub(super) fn move_prop(document: &Text<'_>, page: &mut Page<'_>, name: &str, to: [f64; 2]) -> Result<(), String> {
    let by = page.place(named(document, "prop", name)?, "at", to)?;
    for motion in rows(document, "motion").into_iter().filter(|row| row.text("prop") == Some(name)) {
        page.shift(motion, "centre", by)?;
        page.shift(motion, "pivot", by)?;
        motion.rows("key").into_iter().try_for_each(|key| page.shift(key, "at", by))?;
    }
    Ok(())
}

pub(super) fn move_mark(document: &Text<'_>, page: &mut Page<'_>, name: &str, to: [f64; 2]) -> Result<(), String> {
    let mark = named(document, "mark", name)?;
    let from = mark.place("at");
    page.place(mark, "at", to)?;
    for line in rows(document, "line") {
        for point in line.items("points").into_iter().filter(|point| place_of(point) == from) {
            page.spot(point, to)?;
        }
    }
    Ok(())
}

pub(super) fn move_physical(document: &Text<'_>, page: &mut Page<'_>, name: &str, to: [f64; 2]) -> Result<(), String> {
    page.place(named(document, "physical", name)?, "at", to).map(|_| ())
}

/// Turns what has a `turn_deg`: nothing when it is left out.
pub(super) fn turn(
    document: &Text<'_>,
    page: &mut Page<'_>,
    (list, name): (&str, &str),
    deg: f64,
) -> Result<(), String> {
    let (row, deg) = (named(document, list, name)?, angle(deg)?);
    if deg == 0.0 && !row.has("turn_deg") {
        return Ok(());
    }
    page.number(row, "turn_deg", deg, "at")
}

/// A mark that faces a thing by name faces a direction from then on.
pub(super) fn turn_mark(document: &Text<'_>, page: &mut Page<'_>, name: &str, deg: f64) -> Result<(), String> {
    let (mark, deg) = (named(document, "mark", name)?, angle(deg)?);
    if mark.has("faces") {
        return page.rename(mark, "faces", "facing_deg", deg);
    }
    page.number(mark, "facing_deg", deg, "at")
}

pub(super) fn move_point(
    document: &Text<'_>,
    page: &mut Page<'_>,
    (name, point): (&str, usize),
    to: [f64; 2],
) -> Result<(), String> {
    let spot = point_of(named(document, "line", name)?, name, point)?;
    if let Some(thing) = spot.as_str() {
        return Err(format!("point {} of line \"{name}\" is {thing}: move that", point + 1));
    }
    page.spot(spot, to).map(|_| ())
}

pub(super) fn add_point(
    document: &Text<'_>,
    page: &mut Page<'_>,
    (name, after): (&str, usize),
    to: [f64; 2],
) -> Result<(), String> {
    let line = named(document, "line", name)?;
    if after + 1 >= line.items("points").len() {
        return Err(format!("a point goes between two others of line \"{name}\""));
    }
    page.add_spot(point_of(line, name, after)?, to)
}

fn point_of<'d>(line: Row<'d>, name: &str, point: usize) -> Result<&'d Value, String> {
    line.items("points").get(point).copied().ok_or_else(|| format!("line \"{name}\" has no point {}", point + 1))
}

pub(super) fn limit(document: &Text<'_>, page: &mut Page<'_>, number: &str, seconds: f64) -> Result<(), String> {
    // Numbers have two places at most; what is nearer is the same number.
    let is_it = |cue: &Row<'_>| {
        let asked = number.parse::<f64>().ok();
        cue.number("number").zip(asked).is_some_and(|(has, asked)| (has - asked).abs() < 0.001)
    };
    let cue = rows(document, "cue").into_iter().find(is_it).ok_or_else(|| format!("there is no cue {number}"))?;
    page.number(cue, "limit_s", seconds, "mode")
}

/// An angle from 0 to 360, to a tenth of a degree.
fn angle(deg: f64) -> Result<f64, String> {
    let deg = ((deg * 10.0).round() / 10.0).rem_euclid(360.0);
    deg.is_finite().then_some(deg).ok_or_else(|| "this is not an angle".into())
}
