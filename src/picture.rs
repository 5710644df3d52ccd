//! The one door through which pictures come: photographs beside a note, the logo of a company.
//!
//! What a file holds is told by its first bytes, never by its name.

use crate::world::World;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::collections::BTreeMap;
use std::path::{Component, Path};

/// A larger picture is linked, not put into the report: a mailbox takes only so much.
const LARGEST_BYTES: usize = 2 * 1024 * 1024;

/// A picture that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Picture {
    /// Small enough for a report: a `data:` address.
    Data(String),
    /// To be linked.
    Large,
}

/// The photographs that were found for a note, by the name it gives them.
pub type Photographs = BTreeMap<String, Picture>;

/// Looks for the photographs of a note, in its own folder and below it.
pub fn photographs(
    world: &dyn World,
    folder: &Path,
    names: impl IntoIterator<Item = String>,
) -> Photographs {
    let found = names.into_iter().filter_map(|name| {
        let picture = Picture::of(&photograph(world, folder, &name)?)?;
        Some((name, picture))
    });
    found.collect()
}

/// The bytes of a photograph in a note's own folder or below it.
pub fn photograph(world: &dyn World, folder: &Path, name: &str) -> Option<Vec<u8>> {
    let name = Path::new(name);
    let mut parts = name.components();
    let is_inside = parts.all(|part| matches!(part, Component::Normal(_)));
    is_inside
        .then(|| world.read_in(folder, name).ok())
        .flatten()
}

/// A company's logo as a `data:` address.
///
/// # Errors
/// Why there is none: half a sentence.
pub fn logo(world: &dyn World, path: &Path) -> Result<String, String> {
    let bytes = world.read(path).map_err(|e| crate::world::reason(&e))?;
    data(&bytes).ok_or_else(|| "is no picture (PNG, JPEG, GIF or WebP)".to_owned())
}

/// The file ending and the bytes of a `data:` address.
pub fn bytes(source: &str) -> Option<(&str, Vec<u8>)> {
    let (media, data) = source.strip_prefix("data:image/")?.split_once(";base64,")?;
    Some((media, STANDARD.decode(data).ok()?))
}

impl Picture {
    fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.len() > LARGEST_BYTES {
            media_type(bytes).map(|_| Self::Large)
        } else {
            data(bytes).map(Self::Data)
        }
    }
}

fn data(bytes: &[u8]) -> Option<String> {
    let media = media_type(bytes)?;
    Some(format!("data:{media};base64,{}", STANDARD.encode(bytes)))
}

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
