//! Views to text: HTML, Markdown, JSON, with their plots.
//!
//! Templates are embedded and can be replaced one by one from a folder. Everything is escaped; free
//! text is Markdown in which raw HTML is only text.

mod bounds;
mod environment;
mod failure;
mod guide;
#[cfg(feature = "pdf")]
mod pdf;
mod plot;
mod prose;
mod schema;

pub use environment::TEMPLATES;
pub use guide::guide;
pub use schema::{schema, schema_text};

use crate::picture;
use crate::settings::Settings;
use crate::view::chart::{Bar, Chart};
use crate::view::history::Strip;
use crate::view::pictures::Picture;
use crate::view::{Audience, Issuer, Report, declared};
use crate::vocabulary::nearest;
use crate::words::{LANGUAGES, Words};
use crate::world::World;
use environment::environment;
use minijinja::value::Serde;
use minijinja::{Environment, Value, context};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a report is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// One self-contained HTML file.
    Html,
    /// Markdown.
    Markdown,
    /// The view itself.
    Json,
    /// One table of the report, exact, for other programs.
    Csv,
    /// A tagged PDF, in programs built with the feature `pdf`.
    Pdf,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Html, Self::Markdown, Self::Json, Self::Csv, Self::Pdf];

    /// File name ending.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Html => "html",
            Self::Markdown => "md",
            Self::Json => "json",
            Self::Csv => "csv",
            Self::Pdf => "pdf",
        }
    }
}

#[cfg(not(feature = "pdf"))]
const WITHOUT_PDF: &str = "this program was built without PDF; build it with `cargo build --release --features pdf`, or print the HTML report from a browser";

/// Why a report could not be rendered.
#[derive(Debug)]
pub struct RenderError(pub(crate) String);

impl std::fmt::Display for RenderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for RenderError {}

/// Everything that a company may change, by file name: templates, messages, and what they are made for.
pub fn exported() -> Vec<(String, String)> {
    let mut files: Vec<(String, String)> = TEMPLATES
        .iter()
        .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
        .collect();
    for (language, text) in LANGUAGES {
        let mut text = (*text).to_owned();
        if *language == "en" {
            text.push_str("\n## Measuring points, and what certain rules tell customers\n\n");
            for (id, words) in declared() {
                text.push_str(&format!("{id} = {words}\n"));
            }
        }
        files.push((format!("messages/{language}.ftl"), text));
    }
    for audience in Audience::ALL {
        let name = format!("schema/{}.schema.json", audience.name());
        files.push((name, schema_text(audience)));
    }
    files.push(("GUIDE.md".to_owned(), guide()));
    files
}

/// The templates and words of a company, ready for any number of notes.
pub struct Renderer {
    words: Arc<Words>,
    environment: Environment<'static>,
    /// Whether any template is the company's own.
    is_own: bool,
    settings: Settings,
    issuer: Issuer,
}

impl Renderer {
    /// Takes the company's templates and words, and the embedded ones for what it has none of.
    ///
    /// # Errors
    /// When a template or a message file cannot be read, or the settings name words that are not there.
    pub fn new(world: &dyn World, settings: &Settings) -> Result<Self, RenderError> {
        let wanted = &settings.report.words;
        let words = Words::load(wanted, world).map_err(RenderError)?;
        // Words that are declared in the program have no message in English to be checked against.
        let all = declared();
        let messages = crate::words::names("en");
        for id in wanted.wording.keys() {
            if !messages.contains(&id.as_str()) && !all.iter().any(|(known, _)| known == id) {
                let near = nearest(id, all.iter().map(|(known, _)| known.as_str()));
                let hint = near.map_or_else(String::new, |near| format!("; is `{near}` meant?"));
                return Err(RenderError(format!(
                    "`wording` has `{id}`, which is no message{hint}"
                )));
            }
        }
        let own = world
            .templates()
            .map_err(|e| RenderError(format!("templates: {e}")))?;
        bounds::check(&own)?;
        let words = Arc::new(words);
        Ok(Self {
            is_own: !own.is_empty(),
            environment: environment(&words, own)?,
            issuer: issuer(world, settings)?,
            words,
            settings: settings.clone(),
        })
    }

    /// The words it says.
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// The settings it was made with.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The company it speaks for.
    pub fn issuer(&self) -> &Issuer {
        &self.issuer
    }

    /// Renders a page that is of no single note: `index.html`, `unit.html`.
    ///
    /// # Errors
    /// As [`Renderer::report`].
    pub fn page<V: serde::Serialize>(
        &self,
        name: &str,
        view: &V,
        strip: Option<&Strip>,
    ) -> Result<String, RenderError> {
        let plots = strip.map(|s| (s.id.clone(), plot::strip(s)));
        let mut text = self.text(
            name,
            view,
            &plots.into_iter().collect(),
            &BTreeMap::new(),
            "",
        )?;
        end(&mut text);
        Ok(text)
    }

    /// Renders one report; `note` is the path that links to its lines name.
    ///
    /// # Errors
    /// When a template does not parse, or names a value or a message that is not there; the sentence
    /// names the template, the line and what may be meant.
    pub fn report(
        &self,
        report: &Report,
        format: Format,
        note: &str,
    ) -> Result<Vec<u8>, RenderError> {
        let sheet = Sheet {
            audience: report.audience(),
            format,
            note,
        };
        match report {
            Report::Customer(view) => {
                let mut plots = plots(&view.charts, None);
                let state = view.answers.outcome.state;
                plots.insert("state".to_owned(), plot::standing(state));
                self.render(view, plots, &view.pictures, sheet)
            }
            Report::Diagnosis(view) => {
                let mut plots = plots(&view.charts, view.balance.as_ref());
                let strip = view.history.as_ref().and_then(|h| h.strip.as_ref());
                plots.extend(strip.map(|s| (s.id.clone(), plot::strip(s))));
                self.render(view, plots, &[], sheet)
            }
            Report::Office(view) => {
                let plots = plots(&[], view.bar.as_ref());
                self.render(view, plots, &[], sheet)
            }
        }
    }

    fn render<V: serde::Serialize>(
        &self,
        view: &V,
        plots: BTreeMap<String, String>,
        photos: &[Picture],
        sheet: Sheet<'_>,
    ) -> Result<Vec<u8>, RenderError> {
        // Only a PDF holds files of its own.
        #[cfg(not(feature = "pdf"))]
        let _ = photos;
        match sheet.format {
            Format::Json => serde_json::to_string_pretty(view)
                .map(|text| (text + "\n").into_bytes())
                .map_err(|e| RenderError(e.to_string())),
            Format::Csv => Err(RenderError(
                "tables are written by themselves, not from a template".to_owned(),
            )),
            Format::Html | Format::Markdown => {
                let name = format!("{}.{}", sheet.audience.name(), sheet.format.extension());
                let mut text = self.text(&name, view, &plots, &BTreeMap::new(), sheet.note)?;
                if sheet.format == Format::Markdown {
                    text = without_idle_lines(&text);
                }
                end(&mut text);
                Ok(text.into_bytes())
            }
            #[cfg(not(feature = "pdf"))]
            Format::Pdf => Err(RenderError(WITHOUT_PDF.to_owned())),
            #[cfg(feature = "pdf")]
            Format::Pdf => {
                let (mut names, mut files) = self.files(&plots, photos);
                let name = format!("{}.typ", sheet.audience.name());
                let markup = self.text(&name, view, &plots, &names, sheet.note)?;
                match pdf::pdf(&name, markup, files.clone()) {
                    // A picture that does not decode costs itself, not the report.
                    Err(error) => {
                        let all = files.len();
                        files.retain(|file, bytes| {
                            file.ends_with(".svg") || pdf::shows(file, bytes)
                        });
                        names.retain(|_, file| files.contains_key(file));
                        if files.len() == all {
                            return Err(error);
                        }
                        let markup = self.text(&name, view, &plots, &names, sheet.note)?;
                        pdf::pdf(&name, markup, files)
                    }
                    made => made,
                }
            }
        }
    }

    /// A template with its values; `note` is the path that links to lines name.
    fn text<V: serde::Serialize>(
        &self,
        name: &str,
        view: &V,
        plots: &BTreeMap<String, String>,
        files: &BTreeMap<String, String>,
        note: &str,
    ) -> Result<String, RenderError> {
        let report = &self.settings.report;
        let link = report.line_links.as_ref();
        let look = context! {
            accent => report.accent.map(|c| c.to_string()),
            accent_on_dark => report.accent.map(|c| c.on_dark().to_string()),
            paper => report.paper.name(),
            line_link => link.map(|link| link.replace("{file}", &crate::address::in_address(note))),
        };
        let drawn =
            |(id, svg): (&String, &String)| (id.clone(), Value::from_safe_string(svg.clone()));
        let values = context! {
            look => look,
            plots => plots.iter().map(drawn).collect::<BTreeMap<_, _>>(),
            files => files,
            ..Value::from(Serde(view))
        };
        if self.is_own {
            let view = serde_json::to_value(view).map_err(|e| RenderError(e.to_string()))?;
            let bytes = view.to_string().len();
            let failed = |error| failure::failed(&error, Some(&view));
            return bounds::render(&self.environment, name, values, bytes, failed);
        }
        let failed = |error: minijinja::Error| {
            let view = serde_json::to_value(view).ok();
            failure::failed(&error, view.as_ref())
        };
        let template = self.environment.get_template(name).map_err(failed)?;
        template.render(values).map_err(failed)
    }

    /// What a PDF shows besides text: the name that markup says it by, and its bytes.
    #[cfg(feature = "pdf")]
    fn files(
        &self,
        plots: &BTreeMap<String, String>,
        photos: &[Picture],
    ) -> (BTreeMap<String, String>, BTreeMap<String, Vec<u8>>) {
        let mut names = BTreeMap::new();
        let mut files = BTreeMap::new();
        for (id, svg) in plots {
            let file = format!("plot-{id}.svg");
            files.insert(file.clone(), svg.clone().into_bytes());
            names.insert(id.clone(), file);
        }
        let photos = photos.iter().enumerate();
        let photos =
            photos.map(|(i, p)| (format!("photo-{i}"), p.file.clone(), p.source.as_deref()));
        let logo = (
            "logo".to_owned(),
            "logo".to_owned(),
            self.issuer.logo.as_deref(),
        );
        for (stem, name, source) in photos.chain([logo]) {
            if let Some((ending, bytes)) = source.and_then(picture::bytes) {
                let file = format!("{stem}.{ending}");
                files.insert(file.clone(), bytes);
                names.insert(name, file);
            }
        }
        (names, files)
    }
}

/// What is rendered, and of which note.
#[derive(Clone, Copy)]
struct Sheet<'a> {
    audience: Audience,
    format: Format,
    note: &'a str,
}

/// Ends a text with one line break, whatever its template left.
fn end(text: &mut String) {
    text.truncate(text.trim_end().len());
    text.push('\n');
}

/// Markdown with one blank line where a template left several.
fn without_idle_lines(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut blank = true;
    for line in text.lines() {
        let is_blank = line.trim().is_empty();
        if !(is_blank && blank) {
            out.push_str(line);
            out.push('\n');
        }
        blank = is_blank;
    }
    out
}

/// The drawings of a report, by the name of their chart.
fn plots(charts: &[Chart], bar: Option<&Bar>) -> BTreeMap<String, String> {
    let charts = charts.iter().map(|c| (c.id.clone(), plot::chart(c)));
    let bars = bar.map(|b| (b.id.clone(), plot::bar(b)));
    charts.chain(bars).collect()
}

/// The company of the settings, with its logo as data.
fn issuer(world: &dyn World, settings: &Settings) -> Result<Issuer, RenderError> {
    let company = &settings.company;
    let logo = company.logo.as_ref().map(|path| {
        picture::logo(world, path)
            .map_err(|why| RenderError(format!("`logo` {}: {why}", path.display())))
    });
    Ok(Issuer {
        name: company.name.clone(),
        phone: company.phone.clone(),
        email: company.email.clone(),
        web: company.web.clone(),
        address: company.address.clone(),
        licence: company.licence.clone(),
        logo: logo.transpose()?,
    })
}
