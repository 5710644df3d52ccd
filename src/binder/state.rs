//! What is remembered between runs, beside the reports.

use crate::compile::Compiled;
use crate::records::{Record, UnitKey};
use crate::words::Words;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use xxhash_rust::xxh3::Xxh3Default;

/// What the reports of a folder were made from.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// Digest of everything that all reports share: program, settings, templates, words, kind of report.
    pub made_with: String,
    /// Each note, by its path in the folder.
    pub notes: BTreeMap<String, Kept>,
    /// Each page of a unit and the index, by file name.
    pub pages: BTreeMap<String, PageKept>,
}

/// What is known of one note.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Kept {
    /// Digest of its text.
    pub note: String,
    /// Its photographs, each with the digest of its file; empty where there is none.
    pub photos: BTreeMap<String, String>,
    /// Digest of the other notes that its report tells of; empty where it tells of none.
    pub others: String,
    /// The report, by its path in the folder of reports, and its length.
    pub report: String,
    /// Length of that file.
    pub length: u64,
    /// What the index says of it.
    pub summary: Summary,
}

/// A page, and what it was made from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PageKept {
    /// Digest.
    pub from: String,
    /// Length of the file.
    pub length: u64,
}

/// What the index says of a note.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Site, or the customer where no site is named.
    pub site: String,
    /// Tag of the unit.
    pub tag: String,
    /// First day.
    pub date: Option<String>,
    /// Job number.
    pub job: Option<String>,
    /// The cause stated, the first line of it.
    pub cause: Option<String>,
    /// How it stands: as [`crate::view::Outcome::state`].
    pub state: String,
    /// Temporary conditions and locks that are still open.
    pub open: usize,
    /// True when the note has errors.
    pub has_errors: bool,
}

impl Summary {
    /// Of a note.
    pub fn of(compiled: &Compiled, record: &Record) -> Self {
        let (cause, outcome) = crate::view::standing(compiled, Words::english());
        Self {
            site: record.unit.site.clone(),
            tag: record.unit.tag.clone(),
            date: record.first_date().map(|d| d.to_string()),
            job: record.job.clone(),
            cause,
            state: outcome.state.to_owned(),
            open: compiled
                .derived
                .debts
                .iter()
                .filter(|d| d.closed.is_none())
                .count(),
            has_errors: compiled.has_errors(),
        }
    }

    /// The unit it is of.
    pub fn unit(&self) -> UnitKey {
        UnitKey {
            site: self.site.clone(),
            tag: self.tag.clone(),
        }
    }
}

/// Digest of some bytes: 128 bits of xxh3, no proof against malice and none is needed.
pub fn digest(bytes: &[u8]) -> String {
    digest_of([bytes])
}

/// Digest of several pieces, each told from the next.
pub fn digest_of<'a>(pieces: impl IntoIterator<Item = &'a [u8]>) -> String {
    let mut hasher = Xxh3Default::new();
    for piece in pieces {
        hasher.update(&(piece.len() as u64).to_le_bytes());
        hasher.update(piece);
    }
    format!("{:032x}", hasher.digest128())
}

impl State {
    /// What the text of a state file says; nothing where it does not read, so that all is made anew.
    pub fn parse(text: &[u8]) -> Self {
        serde_json::from_slice(text).unwrap_or_default()
    }

    /// As the text of a state file.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default() + "\n"
    }

    /// The units of all notes: their notes by path.
    pub fn units(&self) -> BTreeMap<(String, String), (UnitKey, Vec<String>)> {
        let mut units: BTreeMap<(String, String), (UnitKey, Vec<String>)> = BTreeMap::new();
        for (path, kept) in &self.notes {
            let key = kept.summary.unit();
            let entry = units
                .entry(key.folded())
                .or_insert_with(|| (key, Vec::new()));
            entry.1.push(path.clone());
        }
        units
    }

    /// Digest of what is written of a unit: its notes, by name and content.
    pub fn digest_of_unit(&self, notes: &[String]) -> String {
        let pieces = notes.iter().flat_map(|path| {
            let note = self.notes.get(path).map_or("", |kept| kept.note.as_str());
            [path.as_bytes(), note.as_bytes()]
        });
        digest_of(pieces)
    }
}
