//! Single values: words, texts and numbers within their limits.

use serde_json::Value as Json;

use super::{Checker, Spot, clip, limit};
use crate::project::source::Node;
use crate::project::words::{did_you_mean, unit_of};

impl Checker<'_> {
    pub(super) fn text(&mut self, node: &Node, text: &str, schema: &Json, spot: &Spot<'_>) {
        if let Some(words) = schema.get("enum").and_then(Json::as_array) {
            let words: Vec<&str> = words.iter().filter_map(Json::as_str).collect();
            if !words.contains(&text) {
                let what = format!("{} cannot be \"{}\"", spot.words(), clip(text));
                let remedy = match words.as_slice() {
                    [only] => format!("write \"{only}\""),
                    _ => did_you_mean(text, &words),
                };
                self.fault(&node.span, what, remedy);
            }
            return;
        }
        let (least, most) = (limit(schema, "minLength").unwrap_or(0), limit(schema, "maxLength").unwrap_or(usize::MAX));
        if text.len() > most {
            let what = format!("{} is {} bytes long; the limit is {most}", spot.words(), text.len());
            self.fault(&node.span, what, "shorten it".to_owned());
        } else if text.trim().len() < least {
            let what = format!("{} is {} bytes long; it needs {least}", spot.words(), text.trim().len());
            self.fault(&node.span, what, "write it out".to_owned());
        } else if text.chars().any(|c| c.is_control() && c != '\n') {
            let what = format!("{} holds a control character", spot.words());
            self.fault(&node.span, what, "write plain text".to_owned());
        }
    }

    pub(super) fn number(&mut self, node: &Node, n: f64, schema: &Json, spot: &Spot<'_>) {
        let bound = |name: &str| schema.get(name).and_then(Json::as_f64);
        let unit = unit_of(spot.key);
        let with_unit = |text: String| if unit.is_empty() { text } else { format!("{text} {unit}") };
        if !n.is_finite() {
            let remedy =
                if unit.is_empty() { "write a number".to_owned() } else { format!("write a number of {unit}") };
            return self.fault(&node.span, format!("{} is not a finite number", spot.words()), remedy);
        }
        let above = bound("exclusiveMinimum");
        let (low, high) = (bound("minimum"), bound("maximum"));
        if above.is_some_and(|b| n <= b) || low.is_some_and(|b| n < b) || high.is_some_and(|b| n > b) {
            let from = match (above, low) {
                (Some(b), _) => format!("above {b}"),
                (None, Some(b)) => format!("{b}"),
                (None, None) => "anything".to_owned(),
            };
            let to = high.map_or(String::new(), |b| format!(" to {b}"));
            let what = format!("{} is {n}, out of range", spot.words());
            self.fault(&node.span, what, with_unit(format!("write a number from {from}{to}")));
        }
    }
}
