//! The text of a show file as a tree that knows where everything stands.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::errors::{LoadError, LoadErrors};

/// A value with the bytes of the text that it came from.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Bytes of the value (of the header, for a table written under one).
    pub(super) span: Range<usize>,
    /// The value.
    pub(super) value: Value,
}

/// What a [`Node`] holds.
#[derive(Clone, Debug)]
pub(super) enum Value {
    Bool(bool),
    Whole(i64),
    Real(f64),
    Text(String),
    Date(String),
    List(Vec<Node>),
    Table(Vec<(String, Range<usize>, Node)>),
}

/// A show file: its name, its text and its tree.
#[derive(Clone, Debug)]
pub(super) struct Document {
    pub(super) name: String,
    pub(super) text: String,
    pub(super) root: Node,
    line_starts: Vec<usize>,
}

impl Document {
    /// Reads the text as TOML and keeps every syntax error.
    pub(super) fn read(name: &str, text: &str) -> Result<Self, LoadErrors> {
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut document = Self {
            name: name.to_owned(),
            text: text.to_owned(),
            root: Node { span: 0..0, value: Value::Table(Vec::new()) },
            line_starts: line_starts(text),
        };
        let mut found: Vec<LoadError> = Vec::new();
        for error in errors {
            // What follows the first slip of syntax follows from it; a key written twice stands alone.
            if found.is_empty() || error.message().contains("duplicate") {
                found.push(document.syntax_error(error.span().unwrap_or(0..0), error.message()));
            }
        }
        if found.is_empty() {
            let table = table.into_inner();
            document.root.value = table_value(&table, &document, &mut found);
        }
        if found.is_empty() { Ok(document) } else { Err(LoadErrors::new(found)) }
    }

    /// An error at a byte range of the text.
    pub(super) fn error(&self, span: &Range<usize>, what: String, remedy: String) -> LoadError {
        let start = floor_boundary(&self.text, span.start);
        let end = floor_boundary(&self.text, span.end.max(start));
        let (line, column) = self.line_column(start);
        let line_start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let source_line = self.text.get(line_start..).and_then(|rest| rest.lines().next()).unwrap_or("");
        let value = self.text.get(start..end).unwrap_or("").lines().next().unwrap_or("");
        LoadError {
            file: self.name.clone(),
            line,
            column,
            value: value.to_owned(),
            what,
            remedy,
            source_line: source_line.to_owned(),
        }
    }

    /// Line and column (in characters), both counted from 1.
    pub(super) fn line_column(&self, offset: usize) -> (usize, usize) {
        let offset = floor_boundary(&self.text, offset);
        let line = self.line_starts.partition_point(|&start| start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = self.text.get(start..offset).map_or(0, |before| before.chars().count()) + 1;
        (line, column)
    }

    /// The bytes of the deepest node on `path` ("prop[2].part[0].radius_m") that is in the file.
    pub(super) fn span_of(&self, path: &str) -> Range<usize> {
        let mut node = &self.root;
        for step in path.split(['.', '[']).filter(|s| !s.is_empty()) {
            let next = match (&node.value, step.strip_suffix(']')) {
                (Value::List(items), Some(index)) => index.parse().ok().and_then(|i: usize| items.get(i)),
                (Value::Table(entries), None) => entries.iter().find(|(key, ..)| key == step).map(|(.., value)| value),
                _ => None,
            };
            match next {
                Some(next) => node = next,
                None => break,
            }
        }
        node.span.clone()
    }

    fn syntax_error(&self, span: Range<usize>, message: &str) -> LoadError {
        let what = format!("this is not TOML: {}", message.lines().next().unwrap_or("cannot be read"));
        self.error(&span, what, syntax_remedy(message).to_owned())
    }
}

/// A remedy for the commonest slips; the message itself comes from the TOML reader.
fn syntax_remedy(message: &str) -> &'static str {
    if message.contains("duplicate") {
        "a key may stand once in a table: remove or rename one of the two"
    } else if message.contains("string") {
        "close the text with a quote mark on the same line"
    } else if message.contains("array") {
        "close the list with `]` and put a comma between its items"
    } else if message.contains("inline table") {
        "close the table with `}` and put a comma between its keys"
    } else {
        "write `key = value`, text in quote marks, a table as `[name]` and a repeated one as `[[name]]`"
    }
}

fn table_value(table: &DeTable<'_>, document: &Document, errors: &mut Vec<LoadError>) -> Value {
    let mut entries = Vec::with_capacity(table.len());
    for (key, value) in table {
        let node = Node { span: value.span(), value: node_value(value.get_ref(), value.span(), document, errors) };
        entries.push((key.get_ref().to_string(), key.span(), node));
    }
    Value::Table(entries)
}

fn node_value(value: &DeValue<'_>, span: Range<usize>, document: &Document, errors: &mut Vec<LoadError>) -> Value {
    match value {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Boolean(b) => Value::Bool(*b),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).map_or_else(
            |_| {
                let what = format!("the number {} is far out of range", n.as_str());
                errors.push(document.error(&span, what, "check its digits".to_owned()));
                Value::Whole(0)
            },
            Value::Whole,
        ),
        // `f64::from_str` turns an overlong exponent into infinity, which the schema check then refuses.
        DeValue::Float(n) => Value::Real(n.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Array(items) => Value::List(
            items
                .iter()
                .map(|i| Node { span: i.span(), value: node_value(i.get_ref(), i.span(), document, errors) })
                .collect(),
        ),
        DeValue::Table(table) => table_value(table, document, errors),
    }
}

impl Node {
    /// The tree as JSON, for serde. Numbers are finite by then; a stray one becomes null and is refused.
    pub(super) fn to_json(&self) -> serde_json::Value {
        use serde_json::Value as Json;
        match &self.value {
            Value::Bool(b) => Json::Bool(*b),
            Value::Whole(n) => Json::from(*n),
            Value::Real(n) => Json::from(*n),
            Value::Text(s) | Value::Date(s) => Json::String(s.clone()),
            Value::List(items) => Json::Array(items.iter().map(Self::to_json).collect()),
            Value::Table(entries) => {
                Json::Object(entries.iter().map(|(key, _, node)| (key.clone(), node.to_json())).collect())
            }
        }
    }
}

fn line_starts(text: &str) -> Vec<usize> {
    std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect()
}

/// The nearest character boundary at or before `offset`.
fn floor_boundary(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset
}
