//! Names that sound alike over radio.

use super::board::Board;
use crate::findings::{Finding, FindingId, Report, Severity};
use crate::project::Places;

/// Words that are taken for each other over radio (common practice, brief feature 24).
const ALIKE: &[&[&str]] = &[
    &["B", "C", "D", "E", "G", "P", "T", "V"],
    &["M", "N"],
    &["F", "S"],
    &["13", "30"],
    &["14", "40"],
    &["15", "50"],
    &["16", "60"],
    &["17", "70"],
    &["18", "80"],
    &["19", "90"],
];

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let show = board.show();
    let kinds: [(&str, Vec<String>); 5] = [
        ("marks", show.marks.iter().map(|m| m.name.to_string()).collect()),
        ("lines", show.lines.iter().map(|l| l.name.to_string()).collect()),
        ("props", show.props.iter().map(|p| p.name.to_string()).collect()),
        ("people", show.people.iter().map(|p| p.name.to_string()).collect()),
        ("grid letters", grid_letters(board)),
    ];
    for (kind, names) in kinds {
        for group in alike(&names) {
            let what = format!("{kind} {} sound alike over radio", group.join(", "));
            let mut finding = Finding::new(FindingId::SoundAlike, Severity::Note, kind, what);
            finding.things = group;
            finding.fix = Some("say them with code words, or rename all but one".into());
            report.add(finding);
        }
    }
    report.checked.push("names over radio".into());
}

/// Letters of the grid's columns, where places are named by a grid.
fn grid_letters(board: &Board<'_>) -> Vec<String> {
    let naming = &board.project.naming;
    let xs = || board.show().floor.vertices.iter().map(|v| v.x);
    let width_m = xs().fold(f32::MIN, f32::max) - xs().fold(f32::MAX, f32::min);
    match naming.places {
        Places::Stage => Vec::new(),
        Places::Grid => {
            let columns = (width_m / naming.grid_m - 0.01).ceil().clamp(0.0, 26.0) as u8;
            (0..columns).map(|i| char::from(b'A' + i).to_string()).collect()
        }
    }
}

/// Groups of names that differ in one word only, and there in words that sound alike.
fn alike(names: &[String]) -> Vec<Vec<String>> {
    let mut groups: Vec<Vec<String>> = Vec::new();
    for (i, name) in names.iter().enumerate() {
        if groups.iter().any(|g| g.contains(name)) {
            continue;
        }
        let same = names[i + 1..].iter().filter(|other| sound_alike(name, other));
        let group: Vec<String> = std::iter::once(name).chain(same).cloned().collect();
        if group.len() > 1 {
            groups.push(group);
        }
    }
    groups
}

fn sound_alike(one: &str, two: &str) -> bool {
    let (one, two) = (spoken(one), spoken(two));
    if one.len() != two.len() {
        return false;
    }
    let different: Vec<_> = one.iter().zip(&two).filter(|(a, b)| a != b).collect();
    let [(a, b)] = different.as_slice() else { return false };
    ALIKE.iter().any(|set| set.contains(&a.as_str()) && set.contains(&b.as_str()))
}

/// The words of a name as they are said: single letters, numbers, and words, in capitals.
fn spoken(name: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut last = ' ';
    for c in name.chars() {
        let joins = c.is_alphanumeric() && last.is_alphanumeric() && c.is_ascii_digit() == last.is_ascii_digit();
        match words.last_mut().filter(|_| joins) {
            Some(word) => word.extend(c.to_uppercase()),
            None if c.is_alphanumeric() => words.push(c.to_uppercase().collect()),
            None => {}
        }
        last = c;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_differ_by_ear() {
        let rows = [
            ("B", "C", true),
            ("B1", "P1", true),
            ("B1", "B2", false),
            ("B1", "C2", false),
            ("14", "40", true),
            ("no 13", "no 30", true),
            ("M", "N", true),
            ("F", "S", true),
            ("A", "H", false),
            ("WATCH", "DOME", false),
            ("Guest 15", "Guest 50", true),
            ("1", "14", false),
        ];
        for (one, two, expected) in rows {
            assert_eq!(sound_alike(one, two), expected, "{one} and {two}");
        }
    }

    #[test]
    fn a_rhyme_is_told_once() {
        let names = ["A", "B", "C", "D"].map(String::from);
        assert_eq!(alike(&names), [["B", "C", "D"].map(String::from)]);
    }
}
