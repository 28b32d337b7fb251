//! Kinds of value, and what to say of a wrong one.

use serde_json::Value as Json;

use super::{Checker, Spot};
use crate::project::source::{Node, Value};
use crate::project::words::{number_with_unit, unit_of};

impl Checker<'_> {
    pub(super) fn wrong_kind(&mut self, node: &Node, wanted: &[&str], spot: &Spot<'_>) {
        let unit = unit_of(spot.key);
        let mut names: Vec<String> = wanted.iter().map(|w| kind_words(w).to_owned()).collect();
        names.dedup();
        let wanted_words = names.join(" or ");
        let numeric = wanted.iter().any(|w| matches!(*w, "number" | "integer"));
        let remedy = match &node.value {
            Value::Text(text) if numeric => match number_with_unit(text, spot.key).or_else(|| text.trim().parse().ok())
            {
                Some(n) => format!("write {n} without quotes or unit: `{}` is in {unit}", spot.key),
                None if unit.is_empty() => "write a number without quotes".to_owned(),
                None => format!("write a number of {unit} without quotes or unit"),
            },
            Value::Table(_) if wanted.contains(&"array") => format!("write `[[{0}]]` for each {0}", spot.key),
            Value::List(_) if wanted.contains(&"object") => format!("write `[{0}]` once: there is one {0}", spot.key),
            Value::Real(_) if wanted.contains(&"integer") && wanted.contains(&"string") => {
                "write a whole number, or text like \"29.97\"".to_owned()
            }
            _ => format!("write {wanted_words}"),
        };
        let what = format!("{} is {}; it must be {wanted_words}", spot.words(), kind_words(kind_of(&node.value)));
        self.fault(&node.span, what, remedy);
    }
}

/// The JSON kinds that a schema takes.
pub(super) fn kinds(schema: &Json) -> Vec<&str> {
    match schema.get("type") {
        Some(Json::String(kind)) => vec![kind],
        Some(Json::Array(kinds)) => kinds.iter().filter_map(Json::as_str).collect(),
        _ => Vec::new(),
    }
}

pub(super) fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Bool(_) => "boolean",
        Value::Whole(_) => "integer",
        Value::Real(_) => "number",
        Value::Text(_) => "string",
        Value::Date(_) => "date",
        Value::List(_) => "array",
        Value::Table(_) => "object",
    }
}

pub(super) fn kind_words(kind: &str) -> &str {
    match kind {
        "boolean" => "true or false",
        "integer" => "a whole number",
        "number" => "a number",
        "string" => "text",
        "date" => "a date",
        "array" => "a list",
        _ => "a table",
    }
}
