//! The guide to the templates: every value they can use, from the schema of the views, and what they
//! can do.

use super::schema::schema;
use crate::view::Audience;
use serde_json::Value;
use std::fmt::Write;

const HEAD: &str = include_str!("../../templates/GUIDE.md");

/// The guide as Markdown.
pub fn guide() -> String {
    let mut out = HEAD.to_owned();
    for audience in Audience::ALL {
        let schema = schema(audience).to_value();
        // Writing to a string does not fail.
        let _ = writeln!(out, "\n## Values of `{}`\n", audience.name());
        out.push_str("| value | holds | what it is |\n|---|---|---|\n");
        let mut seen = Vec::new();
        fields(&mut out, &schema, &schema, "", &mut seen);
    }
    out
}

/// The fields of an object, and of the objects in them.
fn fields(out: &mut String, root: &Value, object: &Value, prefix: &str, seen: &mut Vec<String>) {
    let Some(properties) = object.get("properties").and_then(Value::as_object) else {
        return;
    };
    for (name, field) in properties {
        let path = format!("{prefix}{name}");
        let what = description(field).or_else(|| description(named(root, field)?));
        let what = what
            .unwrap_or_default()
            .replace('\n', " ")
            .replace('|', "\\|");
        let _ = writeln!(out, "| `{path}` | {} | {what} |", holds(root, field));
        let (inner, is_list) = inside(field);
        if let Some(target) = named(root, inner) {
            let key = format!("{path}{}", inner["$ref"]);
            // A type that holds itself is told once.
            if !seen.contains(&key) && prefix.matches('.').count() < 4 {
                seen.push(key);
                let prefix = if is_list {
                    format!("{path}[].")
                } else {
                    format!("{path}.")
                };
                fields(out, root, target, &prefix, seen);
            }
        }
    }
}

fn description(field: &Value) -> Option<String> {
    field
        .get("description")
        .and_then(Value::as_str)
        .map(str::to_owned)
}

/// What a list holds, or what may be missing; and whether it is a list.
fn inside(field: &Value) -> (&Value, bool) {
    if let Some(items) = field.get("items") {
        return (inside(items).0, true);
    }
    let some = field.get("anyOf").and_then(Value::as_array);
    let some = some.and_then(|any| any.iter().find(|one| one["type"] != "null"));
    match some {
        Some(one) => inside(one),
        None => (field, false),
    }
}

/// The definition that a reference leads to.
fn named<'v>(root: &'v Value, field: &Value) -> Option<&'v Value> {
    let name = field.get("$ref")?.as_str()?.strip_prefix("#/$defs/")?;
    root.get("$defs")?.get(name)
}

/// In words: `text`, `list of text`, `number, or nothing`.
fn holds(root: &Value, field: &Value) -> String {
    if let Some(items) = field.get("items") {
        return format!("list: {}", holds(root, items));
    }
    if let Some(several) = field.get("prefixItems").and_then(Value::as_array) {
        let all: Vec<String> = several.iter().map(|one| holds(root, one)).collect();
        return all.join(" and ");
    }
    if let Some(any) = field.get("anyOf").and_then(Value::as_array) {
        let some: Vec<String> = any
            .iter()
            .filter(|one| one["type"] != "null")
            .map(|one| holds(root, one))
            .collect();
        return format!("{}, or nothing", some.join(" or "));
    }
    if let Some(target) = named(root, field) {
        return match target.get("properties") {
            Some(_) => "values".to_owned(),
            None => choice(target),
        };
    }
    match &field["type"] {
        Value::Array(kinds) => {
            let kind = kinds.iter().find(|k| *k != "null").unwrap_or(&Value::Null);
            format!("{}, or nothing", word(kind))
        }
        kind => word(kind).to_owned(),
    }
}

/// `one of now, soon, later`.
fn choice(target: &Value) -> String {
    let plain = target.get("enum").and_then(Value::as_array);
    let told = target.get("oneOf").and_then(Value::as_array);
    let words: Vec<&str> = plain
        .into_iter()
        .flatten()
        .chain(told.into_iter().flatten().map(|one| &one["const"]))
        .filter_map(Value::as_str)
        .collect();
    match words.is_empty() {
        true => "value".to_owned(),
        false => format!("one of {}", words.join(", ")),
    }
}

fn word(kind: &Value) -> &'static str {
    match kind.as_str() {
        Some("string") => "text",
        Some("integer" | "number") => "number",
        Some("boolean") => "yes or no",
        Some("array") => "list",
        _ => "value",
    }
}
