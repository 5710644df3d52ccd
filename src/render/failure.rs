//! Why a template failed: its file, its line, and the value that a misspelt name may mean.

use super::RenderError;
use crate::vocabulary::nearest;
use minijinja::{Error, ErrorKind};
use serde_json::Value;

/// An error of a template in a sentence; `view` is what it was given.
pub(super) fn failed(error: &Error, view: Option<&Value>) -> RenderError {
    // The error of an included template is the cause of the one that includes it.
    let mut innermost = error;
    while let Some(source) =
        std::error::Error::source(innermost).and_then(|source| source.downcast_ref::<Error>())
    {
        innermost = source;
    }
    let place = match (innermost.name(), innermost.line()) {
        (Some(name), Some(line)) => format!("template {name}, line {line}: "),
        (Some(name), None) => format!("template {name}: "),
        _ => String::new(),
    };
    let hint = match innermost.kind() {
        ErrorKind::UndefinedError => misspelt(innermost, view),
        _ => None,
    };
    let detail = innermost.detail().map_or_else(
        || innermost.kind().to_string(),
        |detail| format!("{}: {detail}", innermost.kind()),
    );
    RenderError(format!("{place}{detail}{}", hint.unwrap_or_default()))
}

/// `; there is no `headin`, is `heading` meant?`, for the first name at the place that the view does
/// not have.
fn misspelt(error: &Error, view: Option<&Value>) -> Option<String> {
    let source = error.template_source()?;
    let line = source.lines().nth(error.line()?.checked_sub(1)?)?;
    // The whole tag, as the error's own place may be one name of it.
    let expression = match error.range().and_then(|range| source.get(range)) {
        Some(text) if !text.trim().is_empty() => text,
        _ => line,
    };
    let mut fields = Vec::new();
    collect(view?, &mut fields);
    fields.sort_unstable();
    fields.dedup();
    let named = |text: &str| {
        text.split(|c: char| !(c.is_alphanumeric() || c == '_'))
            .filter(|word| word.len() > 1 && !word.starts_with(|c: char| c.is_ascii_digit()))
            .find_map(|word| {
                let known = fields.contains(&word);
                let near = nearest(word, fields.iter().copied())?;
                (!known).then(|| (word.to_owned(), near.to_owned()))
            })
    };
    let (word, near) = named(expression).or_else(|| named(line))?;
    Some(format!("; there is no `{word}`, is `{near}` meant?"))
}

/// The names of all fields of a view.
fn collect<'v>(value: &'v Value, fields: &mut Vec<&'v str>) {
    match value {
        Value::Object(map) => {
            for (name, inner) in map {
                fields.push(name);
                collect(inner, fields);
            }
        }
        Value::Array(list) => list.iter().for_each(|inner| collect(inner, fields)),
        _ => {}
    }
}
