//! Photographs that lie beside a note.

use crate::compile::Compiled;
use crate::model::EntryKind;
use crate::world::World;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use std::path::Path;

/// A larger picture is linked, not put into the report: a mailbox takes only so much.
const LARGEST_BYTES: usize = 2 * 1024 * 1024;

/// File endings of pictures that a browser shows, with their media types.
const TYPES: &[(&str, &str)] = &[
    ("jpg", "image/jpeg"),
    ("jpeg", "image/jpeg"),
    ("png", "image/png"),
    ("webp", "image/webp"),
    ("gif", "image/gif"),
];

/// One photograph of a note.
#[derive(Debug, Clone, Serialize)]
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

/// The photographs of a note that lies in `folder`; those without a file name are left to the list.
///
/// A file is looked for only below the note's own folder.
pub fn of(compiled: &Compiled, world: &dyn World, folder: &Path) -> Vec<Picture> {
    let texts = compiled.job.entries().filter_map(|(_, e)| match &e.kind {
        EntryKind::Photo(text) => Some(text.as_str()),
        _ => None,
    });
    texts
        .filter_map(|text| picture(text, world, folder))
        .collect()
}

/// True for the first bytes of the formats in [`TYPES`].
fn is_picture(bytes: &[u8]) -> bool {
    let starts = |magic: &[u8]| bytes.starts_with(magic);
    starts(&[0xff, 0xd8, 0xff])
        || starts(b"\x89PNG\r\n\x1a\n")
        || starts(b"GIF8")
        || starts(b"RIFF") && bytes.get(8..12) == Some(b"WEBP")
}

fn picture(text: &str, world: &dyn World, folder: &Path) -> Option<Picture> {
    let (file, media) = text.split_whitespace().find_map(|word| {
        let word = word.trim_matches([',', ';', ':']);
        let ending = Path::new(word).extension()?.to_str()?.to_ascii_lowercase();
        let media = TYPES.iter().find(|(known, _)| *known == ending)?.1;
        Some((word, media))
    })?;
    let caption = text.replacen(file, "", 1);
    let caption = caption.trim_matches([' ', ',', ';', ':', '\n']).to_owned();
    let path = Path::new(file);
    let is_inside = path
        .components()
        .all(|part| matches!(part, std::path::Component::Normal(_)));
    let bytes = is_inside
        .then(|| world.read(&folder.join(path)).ok())
        .flatten()
        // A name says nothing of what a file holds.
        .filter(|bytes| is_picture(bytes));
    let source = bytes.as_ref().map(|bytes| match bytes.len() {
        small if small <= LARGEST_BYTES => {
            format!("data:{media};base64,{}", STANDARD.encode(bytes))
        }
        _ => file.to_owned(),
    });
    Some(Picture {
        file: file.to_owned(),
        caption,
        is_there: bytes.is_some(),
        source,
    })
}
