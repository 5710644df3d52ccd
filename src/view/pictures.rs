//! Photographs that lie beside a note.

use crate::compile::Compiled;
use crate::model::EntryKind;
use crate::world::World;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// A larger picture is linked, not put into the report: a mailbox takes only so much.
const LARGEST_BYTES: usize = 2 * 1024 * 1024;

/// File endings of pictures that a browser shows.
const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "webp", "gif"];

/// The file ending and the bytes of a `data:` address.
pub fn bytes(source: &str) -> Option<(&str, Vec<u8>)> {
    let (media, data) = source.strip_prefix("data:image/")?.split_once(";base64,")?;
    Some((media, STANDARD.decode(data).ok()?))
}

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

/// The photographs of a note that lies in `folder`; those without a file name are left to the list.
///
/// A file is looked for only below the note's own folder.
///
/// `way`: from the report to that folder, for those that are only linked.
pub fn of(compiled: &Compiled, world: &dyn World, folder: &Path, way: &str) -> Vec<Picture> {
    let texts = compiled.job.entries().filter_map(|(_, e)| match &e.kind {
        EntryKind::Photo(text) => Some(text.as_str()),
        _ => None,
    });
    texts
        .filter_map(|text| picture(text, world, folder, way))
        .collect()
}

/// The media type that the first bytes of a picture tell: a name says nothing of what a file holds.
fn media_type(bytes: &[u8]) -> Option<&'static str> {
    let starts = |magic: &[u8]| bytes.starts_with(magic);
    match () {
        () if starts(&[0xff, 0xd8, 0xff]) => Some("image/jpeg"),
        () if starts(b"\x89PNG\r\n\x1a\n") => Some("image/png"),
        () if starts(b"GIF8") => Some("image/gif"),
        () if starts(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") => Some("image/webp"),
        () => None,
    }
}

/// A picture as a `data:` address; `None` for what is none.
pub fn data(bytes: &[u8]) -> Option<String> {
    let media = media_type(bytes)?;
    Some(format!("data:{media};base64,{}", STANDARD.encode(bytes)))
}

/// The names of the picture files of a note that may lie beside it.
pub fn names(compiled: &Compiled) -> Vec<String> {
    let texts = compiled.job.entries().filter_map(|(_, e)| match &e.kind {
        EntryKind::Photo(text) => file_of(text),
        _ => None,
    });
    texts
        .filter(|file| is_inside(file))
        .map(str::to_owned)
        .collect()
}

/// The file that a `photo` line names.
fn file_of(text: &str) -> Option<&str> {
    text.split_whitespace().find_map(|word| {
        let word = word.trim_matches([',', ';', ':']);
        let ending = Path::new(word).extension()?.to_str()?.to_ascii_lowercase();
        ENDINGS.contains(&ending.as_str()).then_some(word)
    })
}

/// True for a name that leads nowhere but into the note's own folder.
fn is_inside(file: &str) -> bool {
    let mut parts = Path::new(file).components();
    parts.all(|part| matches!(part, std::path::Component::Normal(_)))
}

fn picture(text: &str, world: &dyn World, folder: &Path, way: &str) -> Option<Picture> {
    let file = file_of(text)?;
    let caption = text.replacen(file, "", 1);
    let caption = caption.trim_matches([' ', ',', ';', ':', '\n']).to_owned();
    let bytes = is_inside(file)
        .then(|| world.read_in(folder, Path::new(file)).ok())
        .flatten()
        .filter(|bytes| media_type(bytes).is_some());
    let source = bytes.as_ref().and_then(|bytes| match bytes.len() {
        small if small <= LARGEST_BYTES => data(bytes),
        _ => Some(format!("{way}{}", crate::address::in_address(file))),
    });
    Some(Picture {
        file: file.to_owned(),
        caption,
        is_there: bytes.is_some(),
        source,
    })
}
