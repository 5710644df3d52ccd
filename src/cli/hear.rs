//! `rimebook hear`: a note from raw dictation.

use super::output::{print, read_note, write_new};
use super::{COULD_NOT_RUN, Failure, aside};
use crate::format::{Style, canonical};
use crate::source::Source;
use crate::spoken;
use crate::world::DiskWorld;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(super) struct Hear {
    /// Dictated text; standard input without one, or with `-`
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// Day and names of the visit, for a dictation that does not say them: "2026-03-14 Dana R."
    #[arg(long, value_name = "DAY NAMES")]
    visit: Option<String>,
    /// Write the note here instead of to standard output; an existing file is never written over
    #[arg(short, long, value_name = "PATH")]
    output: Option<PathBuf>,
}

impl Hear {
    pub fn run(&self) -> Result<u8, Failure> {
        let world = DiskWorld::default();
        let file = self.file.as_deref().unwrap_or(Path::new("-"));
        let dictation = read_note(&world, file)?;
        let visit = self.visit.as_deref().map(str::trim);
        if visit.is_some_and(|visit| visit.contains(['\n', '\r'])) {
            return Err(Failure("--visit takes one line".to_owned()));
        }
        let text = spoken::hear(dictation.written(), visit);
        if text.len() > Source::MAX_BYTES {
            aside!("rimebook: {}: too long for one note", dictation.name());
            return Ok(COULD_NOT_RUN);
        }
        let note = Source::new(dictation.name(), text);
        let text = canonical(&note, Style::default());
        match &self.output {
            None => print(&text)?,
            Some(path) => write_new(&world, path, text.as_bytes())?,
        }
        Ok(0)
    }
}
