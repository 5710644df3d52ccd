//! Reports of single notes: next to each, to a file, or to standard output.

use super::{Report, To};
use crate::address::way;
use crate::binder::{Around, Kind, report};
use crate::cli::folder as settings_of;
use crate::cli::output::{print_bytes, read_note, write_file};
use crate::cli::{COULD_NOT_RUN, Failure, NOTE_ERRORS, aside};
use crate::compile::{Compiled, compile};
use crate::diagnostic::{Severity, short};
use crate::records::{Purpose, Record};
use crate::render::{Format, Renderer};
use crate::settings::Settings;
use crate::view::history::{self, History};
use crate::view::tables::tables;
use crate::vocabulary::plural;
use crate::words::Words;
use crate::world::{DiskWorld, notes_in, shown};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

impl Report {
    pub(super) fn write_notes(&self) -> Result<u8, Failure> {
        let kind = self.kind();
        if self.notes.len() > 1 && self.output.as_deref().is_some_and(|o| o != Path::new("-")) {
            return Err(Failure(
                "several notes cannot be written to one file; leave out --output to write each next to its note".to_owned(),
            ));
        }
        if self.notes.len() > 1 && self.output.is_some() && self.format != To::Md {
            return Err(Failure(
                "several notes on standard output would be no valid file; use --to md, or leave out --output".to_owned(),
            ));
        }
        let mut code = 0;
        let earlier = self.history.as_deref().map(earlier).transpose()?;
        // Notes of one folder share templates and words.
        let mut last: Option<(Settings, DiskWorld, Renderer)> = None;
        for note in &self.notes {
            let source = match read_note(&DiskWorld::default(), note) {
                Ok(source) => source,
                // One note that cannot be read does not keep the others from their reports.
                Err(Failure(sentence)) if self.notes.len() > 1 => {
                    aside!("rimebook: {sentence}");
                    code = COULD_NOT_RUN;
                    continue;
                }
                Err(failure) => return Err(failure),
            };
            let (settings, world) = self.beside(note)?;
            let fits = |(of, ..): &(Settings, DiskWorld, Renderer)| *of == settings;
            let (settings, world, renderer) = match last.take().filter(fits) {
                Some(same) => same,
                None => {
                    let renderer = Renderer::new(&world, &settings)?;
                    (settings, world, renderer)
                }
            };
            let compiled = compile(source).shown_in(settings.units_of_reports());
            say_what_was_left_out(&compiled);
            let target = self.target(note, kind);
            let folder = note.parent().unwrap_or(Path::new(""));
            let photos_at = target.as_deref().map(|target| way(target, folder));
            let bytes = match (&self.table, kind.format) {
                (Some(name), Format::Csv) => self.table(&compiled, &renderer, name)?,
                _ => {
                    let history = earlier.as_ref().and_then(|records| {
                        history_of(&compiled, records, &settings, renderer.words())
                    });
                    let around = Around {
                        folder,
                        way: photos_at.unwrap_or_default(),
                        history,
                    };
                    report(&renderer, &compiled, kind, &world, around)?
                }
            };
            match target {
                None => print_bytes(&bytes)?,
                Some(path) => {
                    write_file(&world, &path, &bytes, note)?;
                    aside!("wrote {}", path.display());
                }
            }
            if compiled.has_errors() {
                code = code.max(NOTE_ERRORS);
            }
            last = Some((settings, world, renderer));
        }
        Ok(code)
    }

    fn table(
        &self,
        compiled: &Compiled,
        renderer: &Renderer,
        name: &str,
    ) -> Result<Vec<u8>, Failure> {
        let all = tables(compiled, self.audience(), renderer.words());
        match all.iter().find(|table| table.name == name) {
            Some(table) => Ok(table.to_csv().into_bytes()),
            None => {
                let names: Vec<&str> = all.iter().map(|table| table.name).collect();
                Err(Failure(format!(
                    "there is no table `{name}`; this report has: {}",
                    names.join(", ")
                )))
            }
        }
    }

    /// Where the report of a note goes; `None` is standard output.
    fn target(&self, note: &Path, kind: Kind) -> Option<PathBuf> {
        let dash = Path::new("-");
        match &self.output {
            Some(path) if path == dash => None,
            Some(path) => Some(path.clone()),
            None if note == dash => None,
            None => {
                let stem = note.file_stem().unwrap_or_default().to_string_lossy();
                Some(note.with_file_name(format!("{stem}{}", kind.ending())))
            }
        }
    }
}

/// What the notes of a folder keep for histories.
fn earlier(folder: &Path) -> Result<Vec<Record>, Failure> {
    let world = DiskWorld::default();
    let settings = settings_of::settings(&world, folder)?;
    let files = notes_in(&world, folder)?;
    let record = |file: &PathBuf| -> Result<Record, Failure> {
        let compiled = compile(read_note(&world, file)?);
        let mut record = Record::of(&compiled, &settings).for_purpose(Purpose::History);
        let inside = file.strip_prefix(folder).unwrap_or(file);
        record.file = shown(inside);
        Ok(record)
    };
    let read: Vec<Result<Record, Failure>> = files.par_iter().map(record).collect();
    let mut records = Vec::new();
    for result in read {
        match result {
            Ok(record) => records.push(record),
            // A note that cannot be read costs its own lines of the history.
            Err(Failure(sentence)) => aside!("rimebook: {sentence}"),
        }
    }
    Ok(records)
}

/// The history of a note's unit among earlier ones; `None` where there is no note of it.
fn history_of(
    compiled: &Compiled,
    records: &[Record],
    settings: &Settings,
    words: &Words,
) -> Option<History> {
    let key = Record::of(compiled, settings).unit;
    let is_own = |record: &&Record| record.unit.folded() == key.folded();
    let mut of_unit: Vec<&Record> = records.iter().filter(is_own).collect();
    (!of_unit.is_empty()).then(|| history::of(&key, &mut of_unit, settings, words))
}

/// The report is written all the same; what was left out of it is said here.
fn say_what_was_left_out(compiled: &Compiled) {
    let mut advice = 0;
    for diagnostic in &compiled.diagnostics {
        match diagnostic.severity {
            Severity::Advice => advice += 1,
            _ => aside!("{}", short(&compiled.source, diagnostic)),
        }
    }
    if advice > 0 {
        aside!(
            "{}: {}; see `rimebook check`",
            compiled.source.name(),
            plural(advice, "piece") + " of advice"
        );
    }
}
