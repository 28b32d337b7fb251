//! Sorting, grouping and waiving.

use super::waive::names;
use super::{Figure, Finding, FindingId, Measure, Severity};
use crate::project::{Day, Waiver};

/// What no check looks at yet. Printed at the end of every report.
pub const NOT_CHECKED: &[&str] = &[
    "hands that reach out, and people off their lines or out of their time",
    "pictures of people between their marks",
    "props where presence leads them",
    "focus, light on people, and what is not in the show file",
    "brightness and spill",
    "the real floor: only people on it can check that",
];

/// What was found in one show.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// The show's title.
    pub title: String,
    /// The show code, where the show could be packed.
    pub code: Option<String>,
    /// Where the show came from.
    pub source: String,
    /// Open findings, sorted.
    pub findings: Vec<Finding>,
    /// Waived findings with the waiver that names them.
    pub waived: Vec<(Finding, Waiver)>,
    /// Everything that was measured.
    pub measures: Vec<Measure>,
    /// What was checked, in words.
    pub checked: Vec<String>,
}

impl Report {
    /// Notes a measured figure, and gives it back when it is out of its limit.
    pub fn measure(
        &mut self,
        id: FindingId,
        cue: Option<u32>,
        what: impl Into<String>,
        figure: Figure,
    ) -> Option<Figure> {
        self.measures.push(Measure { id, what: what.into(), cue, figure });
        (!figure.holds()).then_some(figure)
    }

    /// Adds a finding.
    pub fn add(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Applies waivers, then sorts. A waiver past its day waives nothing and is itself noted, and so is
    /// one that names nothing.
    pub fn settle(&mut self, waivers: &[Waiver], today: Day) {
        for waiver in waivers {
            let (named, rest): (Vec<_>, Vec<_>) = self.findings.drain(..).partition(|f| names(waiver, f));
            self.findings = rest;
            if named.is_empty() {
                self.findings.push(unused(waiver));
            } else if waiver.until < today {
                self.findings.extend(named);
                self.findings.push(expired(waiver, today));
            } else {
                self.waived.extend(named.into_iter().map(|f| (f, waiver.clone())));
            }
        }
        self.findings.sort_by(|a, b| order(a).cmp(&order(b)).then_with(|| miss(b).total_cmp(&miss(a))));
    }

    /// Number of open findings of one severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// True when a stop or a fix is open.
    pub fn has_faults(&self) -> bool {
        self.findings.iter().any(|f| f.severity != Severity::Note)
    }

    /// The findings in groups: the same severity, kind and subject, and the same cue where the kind asks for it.
    /// The first of a group misses most.
    pub fn groups(&self) -> Vec<Vec<&Finding>> {
        let mut groups: Vec<Vec<&Finding>> = Vec::new();
        for finding in &self.findings {
            let key = |f: &Finding| (f.severity, f.id, f.about.clone(), f.cue.filter(|_| f.id.is_by_cue()));
            match groups.iter_mut().find(|g| g.first().is_some_and(|first| key(first) == key(finding))) {
                Some(group) => group.push(finding),
                None => groups.push(vec![finding]),
            }
        }
        for group in &mut groups {
            group.sort_by(|a, b| miss(b).total_cmp(&miss(a)));
        }
        groups
    }
}

/// Worst first; of what is as bad, bodies before pictures, then in the order of the show.
fn order(finding: &Finding) -> (Severity, bool, Option<u32>, FindingId, &str) {
    (finding.severity, !finding.id.is_bodily(), finding.cue, finding.id, &finding.about)
}

fn miss(finding: &Finding) -> f32 {
    finding.figure.map_or(0.0, |f| f.miss())
}

fn expired(waiver: &Waiver, today: Day) -> Finding {
    let mut finding = Finding::new(
        FindingId::WaiverExpired,
        Severity::Note,
        waiver.finding.clone(),
        format!("the waiver for {} ran out on {}; today is {today}", waiver.finding, waiver.until),
    );
    finding.who.clone_from(&waiver.about);
    finding.fix = Some("put the finding right, or decide anew and set a later day".into());
    finding
}

fn unused(waiver: &Waiver) -> Finding {
    let mut finding = Finding::new(
        FindingId::WaiverUnused,
        Severity::Note,
        waiver.finding.clone(),
        match FindingId::from_code(&waiver.finding) {
            Some(_) => format!("the waiver for {} names nothing that was found", waiver.finding),
            None => {
                format!("the waiver for {} names a kind of finding that this version does not know", waiver.finding)
            }
        },
    );
    finding.who.clone_from(&waiver.about);
    finding.fix = Some("take the waiver out, so that it cannot hide a later fault".into());
    finding
}

#[cfg(test)]
mod tests {
    use super::super::{Unit, parse_day};
    use super::*;

    fn near(about: &str, cue: u32, gap_m: f32) -> Finding {
        let mut finding = Finding::new(FindingId::MarkNearProp, Severity::Fix, about, "too close");
        finding.cue = Some(cue);
        finding.figure = Some(Figure::at_least(gap_m, 0.15, Unit::Metres));
        finding
    }

    fn waiver(until: &str) -> Waiver {
        Waiver {
            finding: "mark-near-prop".into(),
            about: Some("WATCH".into()),
            reason: "agreed at the table".into(),
            by: Some("floor manager".into()),
            until: parse_day(until).expect("a day"),
        }
    }

    fn report() -> Report {
        let mut report = Report::default();
        report.add(near("WATCH", 300, 0.12));
        report.add(near("WATCH", 400, 0.02));
        report.add(near("DOME", 200, 0.10));
        report
    }

    fn today() -> Day {
        parse_day("2030-06-01").expect("a day")
    }

    #[test]
    fn a_waiver_counts_to_the_end_of_its_last_day() {
        let mut kept = report();
        kept.settle(&[waiver("2030-06-01")], today());
        assert_eq!((kept.findings.len(), kept.waived.len()), (1, 2));
        let mut over = report();
        over.settle(&[waiver("2030-05-31")], today());
        assert_eq!((over.findings.len(), over.waived.len()), (4, 0));
        assert_eq!(over.findings.last().map(|f| f.id), Some(FindingId::WaiverExpired));
    }

    #[test]
    fn a_waiver_for_nothing_is_noted() {
        let mut report = Report::default();
        report.settle(&[waiver("2030-06-01")], today());
        assert_eq!(report.findings.first().map(|f| f.id), Some(FindingId::WaiverUnused));
        assert!(!report.has_faults());
    }

    #[test]
    fn groups_join_a_subject_over_cues_and_lead_with_the_worst() {
        let mut report = report();
        report.settle(&[], today());
        let groups = report.groups();
        assert_eq!(groups.iter().map(Vec::len).collect::<Vec<_>>(), [1, 2]);
        assert_eq!(groups[1][0].cue, Some(400));
    }

    #[test]
    fn a_held_figure_is_kept_but_not_given_back() {
        let mut report = Report::default();
        let good = Figure::at_least(0.5, 0.15, Unit::Metres);
        assert_eq!(report.measure(FindingId::MarkNearProp, None, "A to WATCH", good), None);
        assert_eq!(report.measures.len(), 1);
    }
}
