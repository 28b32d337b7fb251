//! The text of a show file with places to write: only the bytes of what is changed are touched, so that comments, order
//! and line ends stay as somebody wrote them.

use std::ops::Range;

use toml_edit::{Document, Item, TableLike, Value};

use super::number;

/// A table of the file, under a header of its own or in braces.
#[derive(Clone, Copy)]
pub(super) struct Row<'d> {
    table: &'d dyn TableLike,
    is_inline: bool,
}

/// The text, and what is written into it.
pub(super) struct Page<'t> {
    text: &'t str,
    written: Vec<(Range<usize>, String)>,
}

/// The tables of a list of the file; none for a list that is not there.
pub(super) fn rows<'d>(document: &'d Document<&str>, list: &str) -> Vec<Row<'d>> {
    rows_of(document.as_table().get(list))
}

fn rows_of(item: Option<&Item>) -> Vec<Row<'_>> {
    match item {
        Some(Item::ArrayOfTables(tables)) => tables.iter().map(|table| Row { table, is_inline: false }).collect(),
        Some(Item::Value(Value::Array(items))) => {
            let tables = items.iter().filter_map(Value::as_inline_table);
            tables.map(|table| Row { table, is_inline: true }).collect()
        }
        _ => Vec::new(),
    }
}

/// The table of a list that has this name.
///
/// # Errors
/// Says that there is none.
pub(super) fn named<'d>(document: &'d Document<&str>, list: &str, name: &str) -> Result<Row<'d>, String> {
    let found = rows(document, list).into_iter().find(|row| row.text("name") == Some(name));
    found.ok_or_else(|| format!("there is no {list} \"{name}\""))
}

impl<'d> Row<'d> {
    /// The text under a key.
    pub(super) fn text(self, key: &str) -> Option<&'d str> {
        self.table.get(key)?.as_str()
    }

    /// The number under a key.
    pub(super) fn number(self, key: &str) -> Option<f64> {
        number_of(self.value(key)?)
    }

    /// The tables of a list under a key.
    pub(super) fn rows(self, key: &str) -> Vec<Row<'d>> {
        rows_of(self.table.get(key))
    }

    /// True when the table has the key.
    pub(super) fn has(self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The items of a list under a key; none when it is no list.
    pub(super) fn items(self, key: &str) -> Vec<&'d Value> {
        self.value(key).and_then(Value::as_array).map(|items| items.iter().collect()).unwrap_or_default()
    }

    /// The numbers of a place under a key, at the core's precision.
    pub(super) fn place(self, key: &str) -> Option<Vec<f32>> {
        place_of(self.value(key)?)
    }

    fn value(self, key: &str) -> Option<&'d Value> {
        self.table.get(key)?.as_value()
    }
}

/// The numbers of a place; `None` for what is not written as one.
pub(super) fn place_of(value: &Value) -> Option<Vec<f32>> {
    value.as_array()?.iter().map(|v| number_of(v).map(|n| n as f32)).collect()
}

fn number_of(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64))
}

impl<'t> Page<'t> {
    /// A page with nothing written on it.
    pub(super) fn new(text: &'t str) -> Self {
        Self { text, written: Vec::new() }
    }

    /// The text with all that was written.
    pub(super) fn finish(mut self) -> String {
        self.written.sort_by_key(|(range, _)| (range.start, range.end));
        let (mut text, mut at) = (String::with_capacity(self.text.len() + 64), 0);
        for (range, new) in &self.written {
            text.push_str(self.text.get(at..range.start).unwrap_or_default());
            text.push_str(new);
            at = range.end;
        }
        text + self.text.get(at..).unwrap_or_default()
    }

    /// Writes a number under a key, in the style of the one that is there, or else on a line of its own after `after`.
    pub(super) fn number(&mut self, row: Row<'_>, key: &str, new: f64, after: &str) -> Result<(), String> {
        match row.value(key) {
            Some(value) => self.instead(value, new).map(|_| ()),
            None => self.add(row, after, &format!("{key} = {}", rounded(new))),
        }
    }

    /// Writes a number under another key, in the place of the old key and its value.
    pub(super) fn rename(&mut self, row: Row<'_>, old: &str, key: &str, new: f64) -> Result<(), String> {
        let span = row.table.key(old).and_then(|key| key.span()).ok_or_else(lost)?;
        let end = row.value(old).and_then(Value::span).ok_or_else(lost)?.end;
        self.written.push((span.start..end, format!("{key} = {}", rounded(new))));
        Ok(())
    }

    /// Writes the first numbers of a place under a key; gives by how much each has changed.
    pub(super) fn place<const N: usize>(&mut self, row: Row<'_>, key: &str, to: [f64; N]) -> Result<[f64; N], String> {
        let value = row.value(key).ok_or_else(|| format!("it has no `{key}` in the show file"))?;
        self.spot(value, to)
    }

    /// The same for a place that stands in a list.
    pub(super) fn spot<const N: usize>(&mut self, place: &Value, to: [f64; N]) -> Result<[f64; N], String> {
        let numbers = place.as_array().filter(|a| a.len() >= N).ok_or_else(lost)?;
        let mut by = [0.0; N];
        for ((by, value), to) in by.iter_mut().zip(numbers).zip(to) {
            *by = self.instead(value, to)?;
        }
        Ok(by)
    }

    /// Moves the first numbers of a place under a key along, where there is one.
    pub(super) fn shift<const N: usize>(&mut self, row: Row<'_>, key: &str, by: [f64; N]) -> Result<(), String> {
        let Some(numbers) = row.value(key).and_then(Value::as_array) else { return Ok(()) };
        for (value, by) in numbers.iter().zip(by).filter(|(_, by)| *by != 0.0) {
            let (span, old) = value.span().zip(number_of(value)).ok_or_else(lost)?;
            let literal = self.text.get(span.clone()).unwrap_or_default();
            self.written.push((span, number::like(literal, old + by)));
        }
        Ok(())
    }

    /// Adds a place of a list after another one.
    pub(super) fn add_spot(&mut self, after: &Value, to: [f64; 2]) -> Result<(), String> {
        let end = after.span().ok_or_else(lost)?.end;
        self.written.push((end..end, format!(", [{}, {}]", rounded(to[0]), rounded(to[1]))));
        Ok(())
    }

    /// Writes a number in the place of another; gives by how much it has changed.
    fn instead(&mut self, value: &Value, new: f64) -> Result<f64, String> {
        if !new.is_finite() {
            return Err("this is not a number".into());
        }
        let (span, old) = value.span().zip(number_of(value)).ok_or_else(lost)?;
        let literal = self.text.get(span.clone()).unwrap_or_default();
        let Some((new, text)) = number::instead(literal, old, new) else { return Ok(0.0) };
        self.written.push((span, text));
        Ok(new - old)
    }

    /// Adds a key after another one: in braces behind a comma, else on a line of its own.
    fn add(&mut self, row: Row<'_>, after: &str, entry: &str) -> Result<(), String> {
        let end = row.value(after).and_then(Value::span).ok_or_else(lost)?.end;
        if row.is_inline {
            self.written.push((end..end, format!(", {entry}")));
            return Ok(());
        }
        let start = row.table.key(after).and_then(|key| key.span()).ok_or_else(lost)?.start;
        let before = self.text.get(..start).unwrap_or_default();
        let line = before.rfind('\n').map_or(0, |i| i + 1);
        let indent = self.text.get(line..start).unwrap_or_default();
        let rest = self.text.get(end..).unwrap_or_default();
        let line_end = end + rest.find('\n').unwrap_or(rest.len());
        // The new line ends as its neighbour does.
        let is_crlf = self.text.get(..line_end).is_some_and(|text| text.ends_with('\r'));
        let (at, newline) = if is_crlf { (line_end - 1, "\r\n") } else { (line_end, "\n") };
        self.written.push((at..at, format!("{newline}{indent}{entry}")));
        Ok(())
    }
}

fn rounded(value: f64) -> String {
    number::instead("", f64::INFINITY, value).map_or_else(|| value.to_string(), |(_, text)| text)
}

/// Where a value stands is known of every file that was read.
fn lost() -> String {
    "it is written in a way that cannot be changed from here: change it in the file".into()
}
