//! `rimebook report`: writes reports of notes, or of all notes of a folder.

mod folder;
mod notes;

use super::Failure;
use super::folder as settings_of;
use crate::binder::Kind;
use crate::render::Format;
use crate::settings::Settings;
use crate::view::Audience;
use crate::world::DiskWorld;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(super) struct Report {
    /// Notes; `-` reads standard input; or one folder, for the reports of all notes in it
    #[arg(required = true)]
    notes: Vec<PathBuf>,
    /// Who the report is for
    #[arg(long = "for", value_enum, default_value_t = For::Customer)]
    audience: For,
    /// What it is written as
    #[arg(long = "to", value_enum, default_value_t = To::Html)]
    format: To,
    /// With `--to csv`, which table; the first without it
    #[arg(long, value_name = "NAME")]
    table: Option<String>,
    /// File to write, `-` for standard output; without it, next to each note. Of a folder, the folder its
    /// reports go to
    #[arg(short, long, value_name = "PATH")]
    output: Option<PathBuf>,
    /// Folder of notes in which the earlier jobs of the unit are, for the diagnosis note
    #[arg(long, value_name = "FOLDER")]
    history: Option<PathBuf>,
    /// Folder of templates that replace the embedded ones by name
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

#[derive(Clone, Copy, ValueEnum)]
enum For {
    /// Plain words for the customer
    Customer,
    /// Everything, for the next technician
    Diagnosis,
    /// Hours, parts and refrigerant, for the office
    Office,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum To {
    /// One self-contained page
    Html,
    /// Markdown, for a forge or an e-mail
    Md,
    /// A tagged PDF (in programs built with it)
    Pdf,
    /// All values, by a schema
    Json,
    /// One table
    Csv,
}

impl Report {
    pub fn run(&self) -> Result<u8, Failure> {
        if let Some(folder) = &self.templates
            && !folder.is_dir()
        {
            return Err(Failure(format!(
                "{}: there is no such folder of templates",
                folder.display()
            )));
        }
        if self.table.is_some() && self.format != To::Csv {
            return Err(Failure("`--table` is for `--to csv`".to_owned()));
        }
        if self.history.is_some() && self.audience() != Audience::Diagnosis {
            return Err(Failure("`--history` is for `--for diagnosis`".to_owned()));
        }
        match self.notes.as_slice() {
            [folder] if folder.is_dir() => self.write_folder(folder),
            notes if notes.iter().any(|n| n.is_dir()) => Err(Failure(
                "one folder at a time, and no notes beside it".to_owned(),
            )),
            _ => self.write_notes(),
        }
    }

    fn kind(&self) -> Kind {
        Kind {
            audience: self.audience(),
            format: match self.format {
                To::Html => Format::Html,
                To::Md => Format::Markdown,
                To::Json => Format::Json,
                To::Csv => Format::Csv,
                To::Pdf => Format::Pdf,
            },
        }
    }

    fn audience(&self) -> Audience {
        match self.audience {
            For::Customer => Audience::Customer,
            For::Diagnosis => Audience::Diagnosis,
            For::Office => Audience::Office,
        }
    }

    /// The settings that hold for a note or a folder, and the templates they name.
    fn beside(&self, path: &Path) -> Result<(Settings, DiskWorld), Failure> {
        let settings = settings_of::settings(&DiskWorld::default(), path)?;
        let templates = self
            .templates
            .clone()
            .or_else(|| settings.templates.clone());
        if let Some(folder) = settings.templates.as_ref().filter(|f| !f.is_dir()) {
            return Err(Failure(format!(
                "{}: there is no such folder of templates (named in rimebook.toml)",
                folder.display()
            )));
        }
        Ok((settings, DiskWorld { templates }))
    }
}
