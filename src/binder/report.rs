//! One report of one note, with what it takes from beside the note.

use crate::compile::Compiled;
use crate::picture::photographs;
use crate::render::{Format, RenderError, Renderer};
use crate::settings::Settings;
use crate::view::history::History;
use crate::view::tables::tables;
use crate::view::{self, Audience, pictures};
use crate::world::World;
use std::path::{Path, PathBuf};

/// Which report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kind {
    /// Who it is for.
    pub audience: Audience,
    /// What it is written as.
    pub format: Format,
}

impl Kind {
    /// How the names of its files end: `-customer.html`.
    pub fn ending(self) -> String {
        format!("-{}.{}", self.audience.name(), self.format.extension())
    }

    /// Every kind there is.
    pub fn all() -> impl Iterator<Item = Self> {
        Audience::ALL.into_iter().flat_map(|audience| {
            let formats = Format::ALL.into_iter();
            formats.map(move |format| Self { audience, format })
        })
    }
}

/// Where a note lies, and what is known around it.
#[derive(Debug, Clone)]
pub struct Around<'a> {
    /// The note's folder, where photographs are looked for.
    pub folder: &'a Path,
    /// The way from the report to that folder: empty, or ending in a stroke.
    pub way: String,
    /// The history of its unit, for a diagnosis note.
    pub history: Option<History>,
}

impl<'a> Around<'a> {
    /// A note in a folder, with its report beside it.
    pub fn beside(folder: &'a Path) -> Self {
        Self {
            folder,
            way: String::new(),
            history: None,
        }
    }
}

/// Makes one report of a compiled note; of its tables, the first.
///
/// # Errors
/// As [`Renderer::report`].
pub fn report(
    renderer: &Renderer,
    compiled: &Compiled,
    kind: Kind,
    world: &dyn World,
    around: Around<'_>,
) -> Result<Vec<u8>, RenderError> {
    let words = renderer.words();
    if kind.format == Format::Csv {
        let tables = tables(compiled, kind.audience, words);
        let first = tables.first().map(crate::records::Table::to_csv);
        return Ok(first.unwrap_or_default().into_bytes());
    }
    let names = pictures::names(&compiled.job);
    let beside = view::Beside {
        photographs: photographs(world, around.folder, names),
        way: around.way,
        history: around.history,
    };
    let report = view::Report::of(
        compiled,
        kind.audience,
        beside,
        renderer.settings(),
        renderer.issuer(),
        words,
    );
    renderer.report(&report, kind.format, compiled.source.name())
}

/// What a report takes from beside its note, for [`text`].
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// The settings of its folder.
    pub settings: Settings,
    /// The folder itself, where photographs are looked for.
    pub folder: PathBuf,
}

/// Makes one report of a compiled note as text; for many, and for PDF, keep a [`Renderer`].
///
/// # Errors
/// As [`Renderer::new`] and [`report`].
pub fn text(
    compiled: &Compiled,
    audience: Audience,
    format: Format,
    world: &dyn World,
    beside: &Beside,
) -> Result<String, RenderError> {
    let kind = Kind { audience, format };
    let renderer = Renderer::new(world, &beside.settings)?;
    let around = Around::beside(&beside.folder);
    let bytes = report(&renderer, compiled, kind, world, around)?;
    String::from_utf8(bytes).map_err(|_| RenderError("a PDF is no text".to_owned()))
}
