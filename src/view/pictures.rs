//! Photographs that a note names.

use crate::model::{EntryKind, Job};
use crate::picture::{self, Photographs};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// File endings of pictures that a browser shows.
const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "webp", "gif"];

/// One photograph of a note.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Picture {
    /// Its file, as written.
    pub file: String,
    /// What is written beside the file's name.
    pub caption: String,
    /// Where the report finds it: its own data, or the file beside it; nothing when there is none.
    pub source: Option<String>,
    /// True when the file lies beside the note and holds a picture.
    pub is_there: bool,
}

/// The picture files that a note names.
pub fn names(job: &Job) -> Vec<String> {
    texts(job).filter_map(file_of).map(str::to_owned).collect()
}

/// The photographs of a note; those without a file name are left to the list.
///
/// `way`: from the report to the note's folder, for those that are only linked.
pub(super) fn view(job: &Job, found: &Photographs, way: &str) -> Vec<Picture> {
    let picture = |text| {
        let file = file_of(text)?;
        let caption = text.replacen(file, "", 1);
        let source = found.get(file).map(|picture| match picture {
            picture::Picture::Data(data) => data.clone(),
            picture::Picture::Large => format!("{way}{}", crate::address::in_address(file)),
        });
        Some(Picture {
            file: file.to_owned(),
            caption: caption.trim_matches([' ', ',', ';', ':', '\n']).to_owned(),
            is_there: source.is_some(),
            source,
        })
    };
    texts(job).filter_map(picture).collect()
}

fn texts(job: &Job) -> impl Iterator<Item = &str> {
    job.entries().filter_map(|(_, e)| match &e.kind {
        EntryKind::Photo(text) => Some(text.as_str()),
        _ => None,
    })
}

/// The file that a `photo` line names.
fn file_of(text: &str) -> Option<&str> {
    text.split_whitespace().find_map(|word| {
        let word = word.trim_matches([',', ';', ':']);
        let ending = Path::new(word).extension()?.to_str()?.to_ascii_lowercase();
        ENDINGS.contains(&ending.as_str()).then_some(word)
    })
}
