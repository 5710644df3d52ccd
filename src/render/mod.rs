//! Views to text: HTML, Markdown, JSON.
//!
//! Templates are embedded and can be replaced one by one from a folder. Everything is escaped; free
//! text is Markdown in which raw HTML is only text.

mod prose;

use crate::compile::Compiled;
use crate::settings::Settings;
use crate::view::{Audience, customer, diagnosis, office, pictures, rules};
use crate::world::World;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use std::path::PathBuf;

use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value};

/// What a report is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// One self-contained HTML file.
    Html,
    /// Markdown.
    Markdown,
    /// The view itself.
    Json,
}

impl Format {
    /// File name ending.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Html => "html",
            Self::Markdown => "md",
            Self::Json => "json",
        }
    }
}

/// Every embedded template, by the name a replacement must have.
pub static TEMPLATES: &[(&str, &str)] = &[
    ("style.css", include_str!("../../templates/style.css")),
    ("page.html", include_str!("../../templates/page.html")),
    ("food.html", include_str!("../../templates/food.html")),
    (
        "customer.html",
        include_str!("../../templates/customer.html"),
    ),
    ("customer.md", include_str!("../../templates/customer.md")),
    (
        "diagnosis.html",
        include_str!("../../templates/diagnosis.html"),
    ),
    ("diagnosis.md", include_str!("../../templates/diagnosis.md")),
    ("office.html", include_str!("../../templates/office.html")),
    ("office.md", include_str!("../../templates/office.md")),
];

/// Those that every page may include.
const SHARED: &[&str] = &["style.css", "page.html", "food.html"];

/// Steps a template may take; an endless loop in a replaced one ends here.
const FUEL: u64 = 2_000_000;

/// Why a report could not be rendered.
#[derive(Debug)]
pub struct RenderError(String);

impl std::fmt::Display for RenderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for RenderError {}

/// What a report takes from beside its note.
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// The settings of its folder.
    pub settings: Settings,
    /// The folder itself, where photographs are looked for.
    pub folder: PathBuf,
}

/// Renders one report of a compiled note.
///
/// # Errors
/// When a replaced template cannot be read, does not parse, or names a value that is not there;
/// the sentence names the template and the line.
pub fn report(
    compiled: &Compiled,
    audience: Audience,
    format: Format,
    world: &dyn World,
    beside: &Beside,
) -> Result<String, RenderError> {
    let company = beside.settings.company.clone();
    match audience {
        Audience::Customer => {
            let mut view = customer::view(compiled);
            view.heading.company = company;
            view.pictures = pictures::of(compiled, world, &beside.folder);
            render(&view, audience, format, world)
        }
        Audience::Diagnosis => {
            let mut view = diagnosis::view(compiled);
            view.heading.company = company;
            render(&view, audience, format, world)
        }
        Audience::Office => {
            let mut view = office::view(compiled);
            view.heading.company = company;
            view.pictures = pictures::of(compiled, world, &beside.folder);
            view.rules = rules::view(compiled, &beside.settings);
            render(&view, audience, format, world)
        }
    }
}

fn render<V: serde::Serialize>(
    view: &V,
    audience: Audience,
    format: Format,
    world: &dyn World,
) -> Result<String, RenderError> {
    if format == Format::Json {
        return serde_json::to_string_pretty(view)
            .map(|text| text + "\n")
            .map_err(|e| RenderError(e.to_string()));
    }
    let name = format!("{}.{}", audience.name(), format.extension());
    let environment = environment(&name, world)?;
    let template = environment.get_template(&name).map_err(|e| failed(&e))?;
    let mut text = template
        .render(Value::from(Serde(view)))
        .map_err(|e| failed(&e))?;
    text.truncate(text.trim_end().len());
    text.push('\n');
    Ok(text)
}

fn environment(wanted: &str, world: &dyn World) -> Result<Environment<'static>, RenderError> {
    let syntax = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .keep_trailing_newline(true)
        .build()
        .map_err(|e| failed(&e))?;
    let mut environment = Environment::new();
    environment.set_syntax(syntax);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_fuel(Some(FUEL));
    environment.set_auto_escape_callback(|name| {
        if name.ends_with(".html") {
            AutoEscape::Html
        } else if name.ends_with(".md") {
            AutoEscape::Custom("markdown".into())
        } else {
            AutoEscape::None
        }
    });
    environment.add_filter("prose", |text: &str| {
        Value::from_safe_string(prose::html(text))
    });
    // Whatever a Markdown template prints is inert, whether or not it says `item` or `cell`.
    environment.set_formatter(|out, state, value| match state.auto_escape() {
        AutoEscape::Custom(_) => {
            let text = match value.as_str() {
                Some(text) if value.is_safe() => text.to_owned(),
                Some(text) => prose::inert(text),
                None => value.to_string(),
            };
            write!(out, "{text}").map_err(minijinja::Error::from)
        }
        _ => minijinja::escape_formatter(out, state, value),
    });
    environment.add_filter("item", |text: &str| {
        Value::from_safe_string(prose::markdown_item(text))
    });
    environment.add_filter("cell", |text: &str| {
        Value::from_safe_string(prose::markdown_cell(text))
    });
    environment.add_filter("sentence", |text: &str| crate::view::capitalised(text));
    let is_html = wanted.ends_with(".html");
    for &(name, embedded) in TEMPLATES {
        let needed = name == wanted || (is_html && SHARED.contains(&name));
        if !needed {
            continue;
        }
        let replaced = world
            .template(name)
            .map_err(|e| RenderError(format!("template {name}: {e}")))?;
        let added = match replaced {
            Some(text) => environment.add_template_owned(name.to_owned(), text),
            None => environment.add_template(name, embedded),
        };
        added.map_err(|e| failed(&e))?;
    }
    Ok(environment)
}

fn failed(error: &minijinja::Error) -> RenderError {
    let place = match (error.name(), error.line()) {
        (Some(name), Some(line)) => format!("template {name}, line {line}: "),
        (Some(name), None) => format!("template {name}: "),
        _ => String::new(),
    };
    let detail = error.detail().map_or_else(
        || error.kind().to_string(),
        |d| format!("{}: {d}", error.kind()),
    );
    RenderError(format!("{place}{detail}"))
}
