//! What every command over a folder shares: finding notes, reading them, showing the answer.

use super::output::{print, read_note};
use super::{COULD_NOT_RUN, Failure, NOTE_ERRORS, aside};
use crate::compile::compile;
use crate::records::{Answer, Period, Purpose, Record, without_copies};
use crate::settings::Settings;
use crate::world::{DiskWorld, World, notes_in, shown};
use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use jiff::civil::Date;
use rayon::prelude::*;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Notes compiled at a time; of each only its record is kept.
const BATCH: usize = 256;
/// A command that takes longer shows how far it is.
const PATIENCE: Duration = Duration::from_millis(500);

/// Where the notes are, and how the answer is written.
#[derive(Args)]
pub(super) struct Folder {
    /// Folder of notes, in any layout of folders
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// How the answer is written
    #[arg(long = "to", value_enum, default_value_t = Form::Text)]
    form: Form,
    /// Only this table; CSV holds one, the first without it
    #[arg(long, value_name = "NAME")]
    table: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// Tables for reading
    Text,
    /// One table, amounts exact in kilograms, times in minutes
    Csv,
    /// All of it, amounts exact
    Json,
}

/// The days to count.
#[derive(Args)]
pub(super) struct Days {
    /// First day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    from: Option<Date>,
    /// Last day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    until: Option<Date>,
}

impl Days {
    pub fn period(&self) -> Period {
        Period {
            from: self.from,
            to: self.until,
        }
    }
}

/// What was read of a folder.
pub(super) struct Notes {
    pub records: Vec<Record>,
    pub settings: Settings,
    pub beside: Beside,
}

/// What is said beside an answer of the reading itself.
#[derive(Default)]
pub(super) struct Beside {
    unreadable: Vec<String>,
    copies: Vec<String>,
    found: usize,
}

impl Folder {
    /// Reads every note of the folder, keeping what an answer needs.
    pub fn read(&self, purpose: Purpose) -> Result<Notes, Failure> {
        let world = DiskWorld::default();
        let folder = &self.folder;
        let files = notes_in(&world, folder)?;
        let settings = settings(&world, folder)?;
        let mut notes = Notes {
            records: Vec::with_capacity(files.len()),
            settings,
            beside: Beside {
                found: files.len(),
                ..Beside::default()
            },
        };
        let progress = progress(files.len());
        let started = Instant::now();
        for batch in files.chunks(BATCH) {
            let read: Vec<Result<Record, Failure>> = batch
                .par_iter()
                .map(|file| self.one(&world, file, &notes.settings, purpose))
                .collect();
            for record in read {
                match record {
                    Ok(record) => notes.records.push(record),
                    Err(Failure(sentence)) => notes.beside.unreadable.push(sentence),
                }
            }
            if started.elapsed() > PATIENCE && std::io::stderr().is_terminal() {
                progress.set_draw_target(ProgressDrawTarget::stderr());
            }
            progress.inc(batch.len() as u64);
        }
        progress.finish_and_clear();
        notes.beside.copies = without_copies(&mut notes.records);
        Ok(notes)
    }

    fn one(
        &self,
        world: &dyn World,
        file: &Path,
        settings: &Settings,
        purpose: Purpose,
    ) -> Result<Record, Failure> {
        let compiled = compile(read_note(world, file)?);
        let mut record = Record::of(&compiled, settings).for_purpose(purpose);
        // Paths are shown as they lie in the folder.
        if let Ok(inside) = file.strip_prefix(&self.folder)
            && !inside.as_os_str().is_empty()
        {
            record.file = shown(inside);
        }
        Ok(record)
    }

    /// Prints the answer; exit code 1 when something is missing from it.
    pub fn show(&self, beside: Beside, mut answer: Answer) -> Result<u8, Failure> {
        let unreadable = beside.unreadable.len();
        answer.incomplete.extend(beside.unreadable);
        answer.remarks.extend(beside.copies);
        if let Some(name) = &self.table {
            let names: Vec<&str> = answer.tables.iter().map(|t| t.name).collect();
            let Some(at) = names.iter().position(|n| n == name) else {
                return Err(Failure(format!(
                    "there is no table `{name}`; this answer has: {}",
                    names.join(", ")
                )));
            };
            answer.tables = vec![answer.tables.swap_remove(at)];
        }
        match self.form {
            Form::Text => print(&answer.to_text(width()))?,
            Form::Json => print(&answer.to_json())?,
            Form::Csv => {
                if let Some(table) = answer.tables.first() {
                    print(&table.to_csv())?;
                }
                // A CSV file has no place for what belongs beside it.
                for line in &answer.remarks {
                    aside!("rimebook: {line}");
                }
                for line in &answer.incomplete {
                    aside!("rimebook: incomplete: {line}");
                }
            }
        }
        Ok(match answer.incomplete.is_empty() {
            _ if unreadable == beside.found => COULD_NOT_RUN,
            false => NOTE_ERRORS,
            true => 0,
        })
    }
}

/// The settings that hold for a folder or a note.
pub(super) fn settings(world: &dyn World, path: &Path) -> Result<Settings, Failure> {
    let path = std::path::absolute(path)?;
    let folder = match path.is_dir() {
        true => path.as_path(),
        false => path.parent().unwrap_or(Path::new("/")),
    };
    Settings::of(world, folder).map_err(Failure)
}

pub(super) fn progress(notes: usize) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(notes as u64), ProgressDrawTarget::hidden());
    if let Ok(style) = ProgressStyle::with_template("{pos} of {len} notes {wide_bar}") {
        bar.set_style(style);
    }
    bar
}

/// Columns of the terminal that is written to.
fn width() -> Option<u16> {
    let stdout = console::Term::stdout();
    stdout.is_term().then(|| stdout.size().1)
}

/// A day as written on the command line: `2026-03-14`.
pub(super) fn day(text: &str) -> Result<Date, String> {
    text.parse()
        .map_err(|_| "write a day as year-month-day, for example 2026-03-14".to_owned())
}
