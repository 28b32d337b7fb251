//! Checks a file's tree against the schema and keeps every fault: unknown and missing keys, wrong
//! kinds of value, numbers out of range, lists too long, unknown words.

use std::ops::Range;

use serde_json::Value as Json;

use super::errors::LoadError;
use super::source::{Document, Node, Value};
use super::words::{did_you_mean, number_with_unit, unit_of};

/// Checks the whole document.
pub(super) fn check(document: &Document, schema: &Json) -> Vec<LoadError> {
    let mut checker = Checker { document, schema, errors: Vec::new() };
    checker.node(&document.root, schema, &Spot { key: "", owner: "the file" });
    checker.errors
}

struct Checker<'a> {
    document: &'a Document,
    schema: &'a Json,
    errors: Vec<LoadError>,
}

/// Where the check is: the key, and the thing that holds it in words.
struct Spot<'a> {
    key: &'a str,
    owner: &'a str,
}

impl Spot<'_> {
    fn words(&self) -> String {
        if self.owner == "the file" || self.owner == self.key {
            format!("`{}`", self.key)
        } else {
            format!("`{}` of {}", self.key, self.owner)
        }
    }
}

impl Checker<'_> {
    fn fault(&mut self, span: &Range<usize>, what: String, remedy: String) {
        self.errors.push(self.document.error(span, what, remedy));
    }

    fn node(&mut self, node: &Node, schema: &Json, spot: &Spot<'_>) {
        let schema = self.follow(schema);
        if let Some(branches) = schema.get("anyOf").and_then(Json::as_array) {
            let fits = |b: &&Json| kinds(self.follow(b)).contains(&kind_of(&node.value));
            match branches.iter().find(fits).or(if branches.len() == 1 { branches.first() } else { None }) {
                Some(branch) => self.node(node, branch, spot),
                None => {
                    let wanted: Vec<&str> = branches.iter().flat_map(|b| kinds(self.follow(b))).collect();
                    self.wrong_kind(node, &wanted, spot);
                }
            }
            return;
        }
        match (kinds(schema).first().copied(), &node.value) {
            (Some("object"), Value::Table(entries)) => self.table(node, entries, schema, spot),
            (Some("array"), Value::List(items)) => self.list(node, items, schema, spot),
            (Some("string"), Value::Text(text)) => self.text(node, text, schema, spot),
            (Some("string"), Value::Date(_)) if schema.get("format").is_some() => {}
            (Some("number"), Value::Real(n)) => self.number(node, *n, schema, spot),
            (Some("number" | "integer"), Value::Whole(n)) => self.number(node, *n as f64, schema, spot),
            (Some("boolean"), Value::Bool(_)) | (None, _) => {}
            (Some(_), _) => self.wrong_kind(node, &kinds(schema), spot),
        }
    }

    fn follow<'s>(&self, schema: &'s Json) -> &'s Json
    where
        Self: 's,
    {
        let Some(pointer) = schema.get("$ref").and_then(Json::as_str).and_then(|r| r.strip_prefix('#')) else {
            return schema;
        };
        // The schema lives as long as the checker; a dangling reference cannot come from the generator.
        let whole: &'s Json = self.schema;
        whole.pointer(pointer).unwrap_or(schema)
    }

    fn table(&mut self, node: &Node, entries: &[(String, Range<usize>, Node)], schema: &Json, spot: &Spot<'_>) {
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

    fn list(&mut self, node: &Node, items: &[Node], schema: &Json, spot: &Spot<'_>) {
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

    fn text(&mut self, node: &Node, text: &str, schema: &Json, spot: &Spot<'_>) {
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

    fn number(&mut self, node: &Node, n: f64, schema: &Json, spot: &Spot<'_>) {
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

    fn wrong_kind(&mut self, node: &Node, wanted: &[&str], spot: &Spot<'_>) {
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
fn kinds(schema: &Json) -> Vec<&str> {
    match schema.get("type") {
        Some(Json::String(kind)) => vec![kind],
        Some(Json::Array(kinds)) => kinds.iter().filter_map(Json::as_str).collect(),
        _ => Vec::new(),
    }
}

fn kind_of(value: &Value) -> &'static str {
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

fn kind_words(kind: &str) -> &str {
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

fn limit(schema: &Json, name: &str) -> Option<usize> {
    schema.get(name).and_then(Json::as_u64).and_then(|n| usize::try_from(n).ok())
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

fn clip(text: &str) -> String {
    let short: String = text.chars().take(40).collect();
    if short.len() < text.len() { format!("{short}...") } else { short }
}
