//! The reference part of `host-sim/docs/show-file.md`, written from the schema: every table, every key.

use std::fmt::Write;

use serde_json::Value as Json;

use super::schema::schema;

/// Markdown tables of all tables and keys of the show file.
pub fn reference() -> String {
    let root = schema();
    let mut text = String::new();
    let empty = serde_json::Map::new();
    for (key, property) in root.get("properties").and_then(Json::as_object).unwrap_or(&empty) {
        let repeated = property.get("type").and_then(Json::as_str) == Some("array");
        let table = follow(root, property.get("items").unwrap_or(property));
        let heading = if repeated { format!("[[{key}]]") } else { format!("[{key}]") };
        let most = property.get("maxItems").and_then(Json::as_u64).map_or(String::new(), |n| format!(" At most {n}."));
        // Writing to a string cannot fail.
        let _ = write!(text, "### {heading}\n\n{}{most}\n\n", described(property, table));
        keys(&mut text, root, table);
        inner_tables(&mut text, root, key, table);
    }
    text
}

/// Tables inside a table: parts of a prop, keys of a motion.
fn inner_tables(text: &mut String, root: &Json, owner: &str, table: &Json) {
    for (key, property) in table.get("properties").and_then(Json::as_object).into_iter().flatten() {
        let property = single(property);
        let item = follow(root, property.get("items").unwrap_or(property));
        let branches = item.get("anyOf").and_then(Json::as_array);
        let item = branches
            .and_then(|b| b.iter().map(|b| follow(root, b)).find(|b| b.get("properties").is_some()))
            .unwrap_or(item);
        if item.get("properties").is_some() {
            let _ = write!(text, "#### `{key}` of [[{owner}]]\n\n{}\n\n", described(property, item));
            keys(text, root, item);
        }
    }
}

fn keys(text: &mut String, root: &Json, table: &Json) {
    let required: Vec<&str> =
        table.get("required").and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str).collect();
    text.push_str("| key | value | if left out | meaning |\n|---|---|---|---|\n");
    for (key, property) in table.get("properties").and_then(Json::as_object).into_iter().flatten() {
        let followed = follow(root, single(property));
        let default = match property.get("default").or_else(|| followed.get("default")) {
            _ if required.contains(&key.as_str()) => "**required**".to_owned(),
            Some(Json::Object(_)) | None => "-".to_owned(),
            Some(Json::Array(list)) if list.is_empty() => "-".to_owned(),
            Some(value) => format!("`{value}`"),
        };
        let meaning = described(property, followed);
        let _ = writeln!(text, "| `{key}` | {} | {default} | {meaning} |", kind(root, single(property)));
    }
    text.push('\n');
}

/// The value that a key takes, in words.
fn kind(root: &Json, schema: &Json) -> String {
    let schema = follow(root, schema);
    if let Some(branches) = schema.get("anyOf").and_then(Json::as_array) {
        return branches.iter().map(|b| kind(root, b)).collect::<Vec<_>>().join(" or ");
    }
    if let Some(words) = schema.get("enum").and_then(Json::as_array) {
        return words.iter().filter_map(Json::as_str).map(|w| format!("`\"{w}\"`")).collect::<Vec<_>>().join(", ");
    }
    let bound = |name: &str| schema.get(name).and_then(Json::as_f64);
    match schema.get("type").and_then(Json::as_str) {
        Some(name @ ("number" | "integer")) => {
            let low =
                bound("exclusiveMinimum").map(|b| format!("above {b}")).or(bound("minimum").map(|b| b.to_string()));
            let range = match (low, bound("maximum")) {
                (Some(low), Some(high)) => format!(", {low} to {high}"),
                (Some(low), None) => format!(", from {low}"),
                (None, Some(high)) => format!(", up to {high}"),
                (None, None) => String::new(),
            };
            format!("{}{range}", if name == "number" { "number" } else { "whole number" })
        }
        Some("string") if schema.get("format").is_some() => "date".to_owned(),
        Some("string") => match schema.get("maxLength").and_then(Json::as_u64) {
            Some(most) => format!("text, up to {most} bytes"),
            None => "text".to_owned(),
        },
        Some("boolean") => "true or false".to_owned(),
        Some("array") => {
            let item = schema.get("items").map_or(String::new(), |i| kind(root, i));
            let count = |name: &str| schema.get(name).and_then(Json::as_u64);
            match (count("minItems"), count("maxItems")) {
                (Some(a), Some(b)) if a == b => format!("[{a} × {item}]"),
                (Some(a), Some(b)) => format!("[{a} to {b} × {item}]"),
                (None, Some(b)) => format!("[up to {b} × {item}]"),
                _ => format!("[{item}]"),
            }
        }
        _ => "table".to_owned(),
    }
}

fn follow<'s>(root: &'s Json, schema: &'s Json) -> &'s Json {
    let pointer = schema.get("$ref").and_then(Json::as_str).and_then(|r| r.strip_prefix('#'));
    pointer.and_then(|p| root.pointer(p)).unwrap_or(schema)
}

/// An optional table is written as a choice of one.
fn single(schema: &Json) -> &Json {
    match schema.get("anyOf").and_then(Json::as_array).map(Vec::as_slice) {
        Some([only]) => only,
        _ => schema,
    }
}

fn described<'s>(property: &'s Json, followed: &'s Json) -> &'s str {
    property.get("description").or_else(|| followed.get("description")).and_then(Json::as_str).unwrap_or("")
}
