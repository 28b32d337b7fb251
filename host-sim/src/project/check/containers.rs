//! Tables and lists: their keys, their lengths, and what they hold.

use std::ops::Range;

use serde_json::Value as Json;

use super::{Checker, Spot, clip, limit};
use crate::project::source::{Node, Value};
use crate::project::words::{did_you_mean, unit_of};

impl Checker<'_> {
    pub(super) fn table(
        &mut self,
        node: &Node,
        entries: &[(String, Range<usize>, Node)],
        schema: &Json,
        spot: &Spot<'_>,
    ) {
        let owner = owner_words(entries, spot);
        let empty = serde_json::Map::new();
        let properties = schema.get("properties").and_then(Json::as_object).unwrap_or(&empty);
        let known: Vec<&str> = properties.keys().map(String::as_str).collect();
        for (key, span, value) in entries {
            match properties.get(key) {
                Some(schema) => self.node(value, schema, &Spot { key, owner: &owner }),
                None => self.fault(span, format!("`{key}` is not a key of {owner}"), did_you_mean(key, &known)),
            }
        }
        for key in schema.get("required").and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str) {
            if !entries.iter().any(|(k, ..)| k == key) {
                let about = properties.get(key).map_or("", |p| first_sentence(self.follow(p), p));
                self.fault(&node.span, format!("{owner} has no `{key}`"), format!("add `{key}`: {about}"));
            }
        }
    }

    pub(super) fn list(&mut self, node: &Node, items: &[Node], schema: &Json, spot: &Spot<'_>) {
        let (least, most) = (limit(schema, "minItems"), limit(schema, "maxItems"));
        if let Some(most) = most.filter(|&most| items.len() > most) {
            // Repeated tables have no span of their own: point at the first one too many.
            let span = items.get(most).map_or(&node.span, |item| &item.span);
            let remedy = if least == Some(most) {
                format!("write {most} values")
            } else {
                format!("take {} out", items.len() - most)
            };
            self.fault(span, format!("{} has {} items; the limit is {most}", spot.words(), items.len()), remedy);
        }
        if let Some(least) = least.filter(|&least| items.len() < least) {
            let unit = unit_of(spot.key);
            let what = format!("{} has {} items; it needs {least}", spot.words(), items.len());
            let remedy = if unit.is_empty() {
                format!("write {least} values")
            } else {
                format!("write {least} values in {unit}")
            };
            self.fault(&node.span, what, remedy);
        }
        let Some(item_schema) = schema.get("items") else { return };
        for item in items {
            self.node(item, item_schema, spot);
        }
    }
}

/// "prop `WATCH`" for a table with a name, "a prop" without.
fn owner_words(entries: &[(String, Range<usize>, Node)], spot: &Spot<'_>) -> String {
    let named = ["number", "name", "title"].into_iter().find_map(|wanted| {
        let (.., node) = entries.iter().find(|(key, ..)| key == wanted)?;
        match &node.value {
            Value::Text(text) => Some(clip(text)),
            Value::Whole(n) => Some(n.to_string()),
            Value::Real(n) => Some(n.to_string()),
            _ => None,
        }
    });
    match (spot.key, named) {
        ("", _) => "the file".to_owned(),
        (key, Some(name)) if key != "show" => format!("{key} `{name}`"),
        (key, _) if spot.owner == "the file" => format!("[{key}]"),
        (key, _) => format!("{key} of {}", spot.owner),
    }
}

fn first_sentence<'s>(followed: &'s Json, property: &'s Json) -> &'s str {
    let text = property.get("description").or_else(|| followed.get("description")).and_then(Json::as_str).unwrap_or("");
    text.split_once(". ").map_or(text, |(first, _)| first)
}
