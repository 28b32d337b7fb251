//! Checks a file's tree against the schema and keeps every fault: unknown and missing keys, wrong
//! kinds of value, numbers out of range, lists too long, unknown words.

mod containers;
mod kinds;
mod values;

use std::ops::Range;

use serde_json::Value as Json;

use super::errors::LoadError;
use super::source::{Document, Node, Value};
use kinds::{kind_of, kinds};

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
}

fn limit(schema: &Json, name: &str) -> Option<usize> {
    schema.get(name).and_then(Json::as_u64).and_then(|n| usize::try_from(n).ok())
}

fn clip(text: &str) -> String {
    let short: String = text.chars().take(40).collect();
    if short.len() < text.len() { format!("{short}...") } else { short }
}
