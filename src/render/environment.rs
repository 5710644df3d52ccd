//! What a template can do: its syntax, escaping, filters and functions, and the files it may include.

use super::{RenderError, bounds, prose};
use crate::words::Words;
use fluent_bundle::FluentValue;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Kwargs, Rest};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, State, UndefinedBehavior, Value};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Every embedded template, by the name a replacement must have.
pub static TEMPLATES: &[(&str, &str)] = &[
    ("style.css", include_str!("../../templates/style.css")),
    ("page.html", include_str!("../../templates/page.html")),
    ("parts.html", include_str!("../../templates/parts.html")),
    (
        "customer.html",
        include_str!("../../templates/customer.html"),
    ),
    ("index.html", include_str!("../../templates/index.html")),
    ("unit.html", include_str!("../../templates/unit.html")),
    ("page.typ", include_str!("../../templates/page.typ")),
    ("customer.typ", include_str!("../../templates/customer.typ")),
    (
        "diagnosis.typ",
        include_str!("../../templates/diagnosis.typ"),
    ),
    ("office.typ", include_str!("../../templates/office.typ")),
    ("parts.md", include_str!("../../templates/parts.md")),
    ("customer.md", include_str!("../../templates/customer.md")),
    (
        "diagnosis.html",
        include_str!("../../templates/diagnosis.html"),
    ),
    ("diagnosis.md", include_str!("../../templates/diagnosis.md")),
    ("office.html", include_str!("../../templates/office.html")),
    ("office.md", include_str!("../../templates/office.md")),
];

/// The environment of a company's templates, over the embedded ones.
///
/// # Errors
/// When the signs of its syntax do not go together.
pub(super) fn environment(
    words: &Arc<Words>,
    own: BTreeMap<String, String>,
) -> Result<Environment<'static>, RenderError> {
    let syntax = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .keep_trailing_newline(true)
        .build()
        .map_err(|e| super::failure::failed(&e, None))?;
    let mut environment = Environment::new();
    environment.set_syntax(syntax);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_recursion_limit(bounds::CALLS);
    environment.set_auto_escape_callback(|name| {
        if name.ends_with(".html") {
            AutoEscape::Html
        } else if name.ends_with(".md") {
            AutoEscape::Custom("markdown".into())
        } else if name.ends_with(".typ") {
            AutoEscape::Custom("typst".into())
        } else {
            AutoEscape::None
        }
    });
    // Whatever a Markdown template prints is inert, whether or not it says `item` or `cell`.
    environment.set_formatter(|out, state, value| match state.auto_escape() {
        AutoEscape::Custom(form) => {
            let text = match value.as_str() {
                Some(text) if value.is_safe() => text.to_owned(),
                Some(text) if form == "typst" => prose::typst_text(text),
                Some(text) => prose::inert(text),
                None => value.to_string(),
            };
            write!(out, "{text}").map_err(Error::from)
        }
        AutoEscape::Html => match value.as_str() {
            Some(text) if !value.is_safe() => {
                write!(out, "{}", prose::escaped(text)).map_err(Error::from)
            }
            _ => minijinja::escape_formatter(out, state, value),
        },
        _ => minijinja::escape_formatter(out, state, value),
    });
    environment.add_filter("prose", |state: &State<'_, '_>, text: &str| {
        Value::from_safe_string(match state.auto_escape() {
            AutoEscape::Custom(form) if form == "typst" => prose::typst(text),
            _ => prose::html(text),
        })
    });
    environment.add_filter("code", |text: &str| {
        Value::from_safe_string(prose::quoted(text))
    });
    environment.add_filter("item", |text: &str| {
        Value::from_safe_string(prose::markdown_item(text))
    });
    environment.add_filter("cell", |text: &str| {
        Value::from_safe_string(prose::markdown_cell(text))
    });
    environment.add_filter("sentence", |text: &str| crate::view::capitalised(text));
    let spoken = Arc::clone(words);
    environment.add_function("t", move |id: &str, none: Rest<Value>, parts: Kwargs| {
        if !none.is_empty() {
            let said = "values of a message are named: t(\"id\", count=3)";
            return Err(Error::new(ErrorKind::TooManyArguments, said));
        }
        message(&spoken, id, &parts)
    });
    let language = words.language().to_owned();
    environment.add_function("language", move || language.clone());
    environment.set_loader(move |name| Ok(source(&own, name)));
    Ok(environment)
}

/// A company's own template, or the embedded one.
fn source(own: &BTreeMap<String, String>, name: &str) -> Option<String> {
    own.get(name).cloned().or_else(|| {
        let embedded = TEMPLATES.iter().find(|(known, _)| *known == name)?;
        Some(embedded.1.to_owned())
    })
}

/// A message with the values a template names.
fn message(words: &Words, id: &str, parts: &Kwargs) -> Result<String, Error> {
    if !words.has(id) {
        let near = words.nearest(id);
        let hint = near.map_or_else(String::new, |near| format!("; is \"{near}\" meant?"));
        let said = format!("there is no message \"{id}\"{hint}");
        return Err(Error::new(ErrorKind::InvalidOperation, said));
    }
    let mut values = Vec::new();
    for name in parts.args() {
        let value: Value = parts.get(name)?;
        // Plural forms are chosen on numbers; everything else is text.
        let value = match i64::try_from(value.clone()) {
            Ok(number) if value.is_number() => number.into(),
            _ => value.to_string().into(),
        };
        values.push((name.to_owned(), value));
    }
    parts.assert_all_used()?;
    let values: Vec<_> = values
        .iter()
        .map(|(name, value): &(String, FluentValue<'_>)| (name.as_str(), value.clone()))
        .collect();
    Ok(words.say_with(id, &values))
}
