//! `rimebook report`: writes a report of each note.

use super::output::{print, read_note, write_file};
use super::{COULD_NOT_RUN, Failure, NOTE_ERRORS, folder};
use crate::compile::compile;
use crate::diagnostic::{Severity, short};
use crate::render::{self, Beside, Format};
use crate::view::Audience;
use crate::vocabulary::plural;
use crate::world::DiskWorld;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(super) struct Report {
    /// Notes; `-` reads standard input
    #[arg(required = true)]
    notes: Vec<PathBuf>,
    /// Who the report is for
    #[arg(long = "for", value_enum, default_value_t = For::Customer)]
    audience: For,
    /// What it is written as
    #[arg(long = "to", value_enum, default_value_t = To::Html)]
    format: To,
    /// File to write, `-` for standard output; without it, next to each note
    #[arg(short, long, value_name = "PATH")]
    output: Option<PathBuf>,
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

#[derive(Clone, Copy, ValueEnum)]
enum To {
    Html,
    Md,
    Json,
}

impl Report {
    pub fn run(&self) -> Result<u8, Failure> {
        let audience = match self.audience {
            For::Customer => Audience::Customer,
            For::Diagnosis => Audience::Diagnosis,
            For::Office => Audience::Office,
        };
        let format = match self.format {
            To::Html => Format::Html,
            To::Md => Format::Markdown,
            To::Json => Format::Json,
        };
        if let Some(folder) = &self.templates
            && !folder.is_dir()
        {
            return Err(Failure(format!(
                "{}: there is no such folder of templates",
                folder.display()
            )));
        }
        if self.notes.len() > 1 && self.output.as_deref().is_some_and(|o| o != Path::new("-")) {
            return Err(Failure(
                "several notes cannot be written to one file; leave out --output to write each next to its note".to_owned(),
            ));
        }
        if self.notes.len() > 1 && self.output.is_some() && !matches!(self.format, To::Md) {
            return Err(Failure(
                "several notes on standard output would be no valid file; use --to md, or leave out --output".to_owned(),
            ));
        }
        let world = DiskWorld::default();
        let mut code = 0;
        for note in &self.notes {
            let source = match read_note(&world, note) {
                Ok(source) => source,
                // One note that cannot be read does not keep the others from their reports.
                Err(Failure(sentence)) if self.notes.len() > 1 => {
                    eprintln!("rimebook: {sentence}");
                    code = COULD_NOT_RUN;
                    continue;
                }
                Err(failure) => return Err(failure),
            };
            let compiled = compile(source);
            // The report is written all the same; what was left out of it is said here.
            let mut advice = 0;
            for diagnostic in &compiled.diagnostics {
                match diagnostic.severity {
                    Severity::Advice => advice += 1,
                    _ => eprintln!("{}", short(&compiled.source, diagnostic)),
                }
            }
            if advice > 0 {
                eprintln!(
                    "{}: {}; see `rimebook check`",
                    compiled.source.name(),
                    plural(advice, "piece") + " of advice"
                );
            }
            let beside = Beside {
                settings: folder::settings(&world, note)?,
                folder: note.parent().map(Path::to_owned).unwrap_or_default(),
            };
            let world = DiskWorld {
                templates: self
                    .templates
                    .clone()
                    .or_else(|| beside.settings.templates.clone()),
            };
            let text = render::report(&compiled, audience, format, &world, &beside)?;
            match self.target(note, audience, format) {
                None => print(&text)?,
                Some(path) => {
                    write_file(&path, text.as_bytes(), note)?;
                    eprintln!("wrote {}", path.display());
                }
            }
            if compiled.has_errors() {
                code = code.max(NOTE_ERRORS);
            }
        }
        Ok(code)
    }

    /// Where the report of a note goes; `None` is standard output.
    fn target(&self, note: &Path, audience: Audience, format: Format) -> Option<PathBuf> {
        let dash = Path::new("-");
        match &self.output {
            Some(path) if path == dash => None,
            Some(path) => Some(path.clone()),
            None if note == dash => None,
            None => {
                let stem = note.file_stem().unwrap_or_default().to_string_lossy();
                Some(note.with_file_name(format!(
                    "{stem}-{}.{}",
                    audience.name(),
                    format.extension()
                )))
            }
        }
    }
}
