//! The report as people read it: ten lines at most unless all are asked for.

use std::fmt::Write;

use super::finding::{Finding, cue_number};
use super::report::NOT_CHECKED;
use super::{Report, Severity};
use crate::project::Waiver;

/// Lines of findings that a report shows when not asked for all.
pub const BRIEF_LINES: usize = 10;
/// Names that a line spells out; more people are counted.
const NAMES: usize = 6;

/// Writes the report: grouped and at most [`BRIEF_LINES`] lines of findings, or one by one with places
/// and lines of the file when `all` is set.
pub fn write(report: &Report, all: bool) -> String {
    let mut out = String::new();
    let code = report.code.as_deref().unwrap_or("----");
    let _ = writeln!(out, "{} · show code {code} · {}", report.title, report.source);
    if all {
        report.findings.iter().for_each(|finding| write_one(&mut out, finding));
    } else {
        write_groups(&mut out, &report.groups());
    }
    write_counts(&mut out, report, all);
    write_end(&mut out, report);
    out
}

fn write_groups(out: &mut String, groups: &[Vec<&Finding>]) {
    let shown = lines_shown(groups.len());
    for group in groups.iter().take(shown) {
        let _ = writeln!(out, "{}", group_line(group));
    }
    if shown < groups.len() {
        let _ = writeln!(out, "... and {} more lines: --all shows every finding", groups.len() - shown);
    }
}

/// How many of the groups' lines are shown; one of the ten says how many are not.
const fn lines_shown(groups: usize) -> usize {
    if groups > BRIEF_LINES { BRIEF_LINES - 1 } else { groups }
}

/// How many findings there are, and in how many lines where several share one.
fn write_counts(out: &mut String, report: &Report, all: bool) {
    let [stop, fix, note] = [Severity::Stop, Severity::Fix, Severity::Note].map(|severity| report.count(severity));
    let _ = write!(out, "\n{stop} stop, {fix} fix, {note} note");
    let (lines, findings) = (report.groups().len(), report.findings.len());
    if !all && lines < findings {
        let _ = write!(out, " in {lines} {}", if lines == 1 { "line" } else { "lines" });
    }
    if !all && lines_shown(lines) < lines {
        let _ = write!(out, ", {} of them shown", lines_shown(lines));
    }
    let _ = writeln!(out, "; {} waived.", report.waived.len());
}

/// One line for a group: severity, cues, who, what is worst, by how much, what to do, and its code.
pub fn group_line(group: &[&Finding]) -> String {
    let Some(worst) = group.first() else { return String::new() };
    let mut cues: Vec<u32> = group.iter().filter_map(|f| f.cue).collect();
    cues.sort_unstable();
    cues.dedup();
    let cues: Vec<String> = cues.into_iter().map(cue_number).collect();
    let mut who = distinct(group.iter().filter_map(|f| f.who.clone()));
    // Short names first, so that 5 stands before 14.
    who.sort_by_key(|name| (name.chars().count(), name.clone()));
    let mut line = format!("{:<4} ", worst.severity.word().to_uppercase());
    match cues.len() {
        0 => {}
        1 => drop(write!(line, "cue {} · ", cues[0])),
        _ => drop(write!(line, "cues {} · ", cues.join(" "))),
    }
    match who.len() {
        0 => {}
        1..=NAMES => drop(write!(line, "{} · ", who.join(", "))),
        many => drop(write!(line, "{many} {} · ", worst.id.plural())),
    }
    line.push_str(&lead(group, worst, who.len()));
    line.push_str(&clause(worst));
    let _ = write!(line, " [{}]", worst.id);
    line
}

/// Says whose the words after it are, where a group's findings differ.
fn lead(group: &[&Finding], worst: &Finding, people: usize) -> String {
    let alike = distinct(group.iter().map(|f| f.what.clone())).len() == 1;
    match &worst.who {
        _ if alike && worst.figure.is_none() => String::new(),
        Some(name) if people > 1 => format!("worst {name}: "),
        _ if alike => String::new(),
        _ => "worst: ".into(),
    }
}

fn clause(finding: &Finding) -> String {
    let mut text = finding.what.clone();
    if let Some(shot) = &finding.shot {
        let _ = write!(text, " in {shot}");
    }
    if let Some(moment_s) = finding.moment_s {
        let _ = write!(text, " at {moment_s:.1} s");
    }
    if let Some(figure) = finding.figure {
        let _ = write!(text, ": {}", figure);
    }
    text.push('.');
    if let Some(fix) = &finding.fix {
        let _ = write!(text, " Fix: {fix}.");
    }
    text
}

fn write_one(out: &mut String, finding: &Finding) {
    let _ = writeln!(out, "{}", group_line(&[finding]));
    let mut where_it_is = Vec::new();
    if let Some(p) = finding.place {
        where_it_is.push(format!("at {}", place(p.x, p.y)));
    }
    if let Some(line) = finding.line {
        where_it_is.push(format!("line {line} of the show file"));
    }
    if !where_it_is.is_empty() {
        let _ = writeln!(out, "       {}", where_it_is.join(", "));
    }
}

/// A stage place in the stage's own words: "0.35 m SL, 0.90 m DS of the centre".
pub fn place(x_m: f32, y_m: f32) -> String {
    let side = if x_m < 0.0 { "SR" } else { "SL" };
    let depth = if y_m < 0.0 { "DS" } else { "US" };
    format!("{:.2} m {side}, {:.2} m {depth} of the centre", x_m.abs(), y_m.abs())
}

fn write_end(out: &mut String, report: &Report) {
    write_waived(out, report);
    let checked = format!("Checked {} figures: {}.", report.measures.len(), report.checked.join("; "));
    out.push_str(&wrapped(&checked));
    out.push_str(&wrapped(&format!("NOT checked: {}.", NOT_CHECKED.join("; "))));
    let _ = writeln!(out, "A staging aid, not a safety device: walk every line before people rely on it.");
}

/// One line for each waiver that holds: what it names, how often, and why.
fn write_waived(out: &mut String, report: &Report) {
    let mut waivers: Vec<(&Waiver, usize)> = Vec::new();
    for (_, waiver) in &report.waived {
        match waivers.iter_mut().find(|(known, _)| *known == waiver) {
            Some((_, count)) => *count += 1,
            None => waivers.push((waiver, 1)),
        }
    }
    for (waiver, count) in waivers {
        let about = waiver.about.as_ref().map(|about| format!(" {about}")).unwrap_or_default();
        let times = if count > 1 { format!(", {count} findings") } else { String::new() };
        let _ = writeln!(out, "Waived until {}: {}{about}{times}: {}", waiver.until, waiver.finding, waiver.reason);
    }
}

/// Breaks a paragraph into lines of 100 characters, the second and later ones indented.
fn wrapped(paragraph: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in paragraph.split(' ') {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > 100 {
            out.push_str("\n  ");
            column = 2;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out.push('\n');
    out
}

fn distinct(items: impl Iterator<Item = String>) -> Vec<String> {
    let mut seen: Vec<String> = Vec::new();
    for item in items {
        if !seen.contains(&item) {
            seen.push(item);
        }
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::super::{Figure, FindingId, Unit};
    use super::*;

    fn many(kinds: usize) -> Report {
        let mut report = Report::default();
        for i in 0..kinds {
            let mut finding = Finding::new(FindingId::MarkInProp, Severity::Stop, format!("PROP {i}"), "stands in it");
            finding.cue = Some(100);
            finding.figure = Some(Figure::at_least(-0.1, 0.15, Unit::Metres));
            report.add(finding);
        }
        report
    }

    fn finding_lines(text: &str) -> usize {
        text.lines().skip(1).take_while(|line| !line.is_empty()).count()
    }

    #[test]
    fn a_report_shows_ten_lines_of_findings_at_most() {
        assert_eq!(finding_lines(&write(&many(10), false)), 10);
        assert_eq!(finding_lines(&write(&many(11), false)), 10);
        assert!(write(&many(11), false).contains("... and 2 more lines"));
        assert_eq!(finding_lines(&write(&many(11), true)), 11);
    }

    #[test]
    fn counts_say_in_how_many_lines_they_stand() {
        let counts = |report: &Report, all| {
            let text = write(report, all);
            text.lines().find(|l| l.ends_with(" waived.")).map(str::to_owned).unwrap_or_default()
        };
        assert_eq!(counts(&many(3), false), "3 stop, 0 fix, 0 note; 0 waived.");
        assert_eq!(counts(&many(12), false), "12 stop, 0 fix, 0 note, 9 of them shown; 0 waived.");
        let mut grouped = many(1);
        let again = Finding { cue: Some(250), ..grouped.findings[0].clone() };
        grouped.findings.extend([again.clone(), again]);
        assert_eq!(counts(&grouped, false), "3 stop, 0 fix, 0 note in 1 line; 0 waived.");
        assert_eq!(counts(&grouped, true), "3 stop, 0 fix, 0 note; 0 waived.");
        assert!(write(&grouped, false).contains("\nSTOP cues 1 2.5 · "), "a cue stands once");
    }

    #[test]
    fn every_report_says_what_was_not_checked_and_gives_no_verdict() {
        let text = write(&Report::default(), false);
        assert!(text.contains("NOT checked: hands"));
        let verdicts = text.to_lowercase().replace("not a safety device", "");
        assert!(!verdicts.contains("safe"), "{text}");
    }

    #[test]
    fn places_are_told_from_the_performers_side() {
        assert_eq!(place(-0.9, 0.1), "0.90 m SR, 0.10 m US of the centre");
        assert_eq!(place(0.75, -0.75), "0.75 m SL, 0.75 m DS of the centre");
    }
}
