//! The report for other programs: every measured figure, the good ones too.

use serde_json::{Value, json};

use super::finding::{Figure, Finding, Measure, cue_number};
use super::report::NOT_CHECKED;
use super::{Report, Severity};
use crate::project::Waiver;

/// Number of the JSON shape. It grows when a field changes its meaning or goes; new fields leave it.
pub const SHAPE: u32 = 1;

/// The report as one JSON object.
pub fn value(report: &Report) -> Value {
    json!({
        "shape": SHAPE,
        "title": report.title,
        "show_code": report.code,
        "source": report.source,
        "counts": counts(report),
        "findings": findings(report),
        "waived": report.waived.iter().map(|(f, w)| waived(f, w)).collect::<Vec<_>>(),
        "measured": report.measures.iter().map(measure).collect::<Vec<_>>(),
        "checked": report.checked,
        "not_checked": NOT_CHECKED,
        "caution": "A staging aid, not a safety device.",
    })
}

/// How many findings are open, by severity, and how many are waived.
pub fn counts(report: &Report) -> Value {
    json!({
        "stop": report.count(Severity::Stop),
        "fix": report.count(Severity::Fix),
        "note": report.count(Severity::Note),
        "waived": report.waived.len(),
    })
}

/// The open findings, sorted.
pub fn findings(report: &Report) -> Value {
    report.findings.iter().map(finding).collect()
}

fn finding(f: &Finding) -> Value {
    json!({
        "severity": f.severity.word(),
        "id": f.id.code(),
        "about": f.about,
        "who": f.who,
        "cue": f.cue.map(cue_number),
        "shot": f.shot,
        "moment_s": f.moment_s.map(number),
        "place_m": f.place.map(|p| [number(p.x), number(p.y)]),
        "what": f.what,
        "figure": f.figure.as_ref().map(figure),
        "fix": f.fix,
        "line": f.line,
        "things": f.things,
    })
}

fn waived(f: &Finding, w: &Waiver) -> Value {
    let mut object = finding(f);
    if let Value::Object(fields) = &mut object {
        fields.insert("reason".into(), json!(w.reason));
        fields.insert("accepted_by".into(), json!(w.by));
        fields.insert("until".into(), json!(w.until.to_string()));
    }
    object
}

fn measure(m: &Measure) -> Value {
    let mut object = figure(&m.figure);
    if let Value::Object(fields) = &mut object {
        fields.insert("id".into(), json!(m.id.code()));
        fields.insert("what".into(), json!(m.what));
        fields.insert("cue".into(), json!(m.cue.map(cue_number)));
    }
    object
}

fn figure(f: &Figure) -> Value {
    let rule = if f.at_least { "at_least" } else { "at_most" };
    json!({ "value": number(f.value), "unit": f.unit.symbol(), rule: number(f.limit), "holds": f.holds() })
}

/// The shortest decimal that gives the same `f32` back, so that 0.35 does not print as 0.3499999940395355.
fn number(value: f32) -> Value {
    value.to_string().parse::<f64>().map_or(Value::Null, |v| json!(v))
}

#[cfg(test)]
mod tests {
    use super::super::{FindingId, Unit};
    use super::*;

    #[test]
    fn figures_keep_their_own_decimals() {
        let shown = figure(&Figure::at_least(0.35, 0.15, Unit::Metres));
        assert_eq!(shown, json!({ "value": 0.35, "unit": "m", "at_least": 0.15, "holds": true }));
    }

    #[test]
    fn good_figures_are_carried_too() {
        let mut report = Report::default();
        let good = Figure::at_least(0.5, 0.15, Unit::Metres);
        report.measure(FindingId::MarkNearProp, Some(450), "A to WATCH", good);
        let value = value(&report);
        assert_eq!(value["findings"], json!([]));
        assert_eq!(value["measured"][0]["cue"], json!("4.5"));
        assert_eq!(value["measured"][0]["holds"], json!(true));
    }

    #[test]
    fn a_figure_that_is_not_a_number_is_null() {
        assert_eq!(number(f32::NAN), Value::Null);
    }
}
