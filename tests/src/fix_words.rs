//! Reading a printed fix as people do: names, numbers and places out of its words, and a mark moved as it says.

use underfoot_core::geom::StagePoint;
use underfoot_sim::checks::check;
use underfoot_sim::cli::show_source;
use underfoot_sim::findings::{Finding, Report, parse_day};
use underfoot_sim::project::Project;

/// A demo show.
pub fn project(demo: &str) -> Project {
    show_source::load(demo).unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// What `check` says of it.
pub fn report(project: &Project) -> Report {
    check(project, parse_day("2026-06-01").expect("a day"))
}

/// The text between two others; an empty second one stands for the text's end.
pub fn between<'t>(text: &'t str, from: &str, to: &str) -> Option<&'t str> {
    let rest = text.split_once(from)?.1;
    Some(if to.is_empty() { rest } else { rest.split_once(to)?.0 })
}

/// The number that the text begins with.
pub fn number(text: &str) -> f32 {
    let word = text.split_whitespace().next().unwrap_or_default();
    word.parse().unwrap_or_else(|_| panic!("no number in {text}"))
}

/// "0.70 m SR, 0.75 m DS": +X is stage left, +Y upstage.
pub fn place(text: &str) -> StagePoint {
    let (x, y) = text.split_once(", ").unwrap_or_else(|| panic!("no place in {text}"));
    let side = |part: &str, minus: &str| if part.contains(minus) { -number(part) } else { number(part) };
    StagePoint::new(side(x, " SR"), side(y, " DS"))
}

/// The index of the thing with this name.
pub fn index<T>(list: &[T], name: &str, of: impl Fn(&T) -> &str) -> usize {
    list.iter().position(|item| of(item) == name).unwrap_or_else(|| panic!("there is no {name}"))
}

/// Moves a mark to where "move mark C ... (to 0.70 m SR, 0.75 m DS of the centre)" says, and the lines that lead to it;
/// `None` for another fix.
pub fn move_mark(project: &mut Project, _: &Finding, fix: &str) -> Option<()> {
    let name = between(fix, "move mark ", " ")?;
    let to = place(between(fix, "(to ", " of the centre")?);
    let show = &mut project.show;
    let mark = index(&show.marks, name, |m| &m.name);
    let from = std::mem::replace(&mut show.marks[mark].at, to);
    show.line_points.iter_mut().filter(|p| p.at == from).for_each(|p| p.at = to);
    Some(())
}
