//! Reading notes and writing results: whole or not at all.

use super::Failure;
use crate::source::Source;
use crate::world::{self, World, Writing, folder_of, is_note, reason};
use clap::ValueEnum;
use std::collections::BTreeSet;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// When to colour.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    Always,
    Never,
}

impl Colour {
    /// Whether to colour what goes to a stream, which is a terminal or not.
    pub fn on(self, terminal: bool) -> bool {
        match self {
            Self::Always => true,
            Self::Never => false,
            Self::Auto => {
                let is_set = |name| std::env::var_os(name).filter(|v| !v.is_empty());
                let is_dumb = is_set("TERM").is_some_and(|term| term == "dumb");
                terminal && is_set("NO_COLOR").is_none() && !is_dumb
            }
        }
    }
}

/// Reads a note; `-` is standard input.
pub(super) fn read_note(world: &dyn World, path: &Path) -> Result<Source, Failure> {
    if path != Path::new("-") {
        return world::read_note(world, path).map_err(Failure);
    }
    let mut bytes = Vec::new();
    io::stdin()
        .take(Source::MAX_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Failure(format!("standard input: {e}")))?;
    world::source("standard input".to_owned(), bytes).map_err(Failure)
}

/// Writes a file whole or not at all: to a temporary neighbour first, then renamed over.
///
/// # Errors
/// Refuses to write over a note, the one it is made from (`note`) whatever its name; otherwise as the file system gives them (a full disk leaves the
/// old file as it was).
pub(super) fn write_file(
    world: &dyn World,
    path: &Path,
    content: &[u8],
    note: &Path,
) -> Result<(), Failure> {
    let name = path.display();
    if is_note(path) {
        return Err(Failure(format!(
            "{name} is a note; a report is never written over one"
        )));
    }
    if path.file_name().is_some_and(|n| n == crate::settings::FILE) {
        return Err(Failure(format!(
            "{name} holds settings; a report is never written over it"
        )));
    }
    // A symbolic link stays a link: its target is what is replaced.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if is_note(&target) {
        return Err(Failure(format!(
            "{name} leads to a note; a report is never written over one"
        )));
    }
    if note.canonicalize().is_ok_and(|note| note == target) {
        return Err(Failure(format!(
            "{name} is the note itself; a report is never written over one"
        )));
    }
    // A pipe or a device is written to, never replaced.
    if std::fs::metadata(&target).is_ok_and(|m| !m.is_file() && !m.is_dir()) {
        return std::fs::OpenOptions::new()
            .write(true)
            .open(&target)
            .and_then(|mut file| file.write_all(content))
            .map_err(|e| Failure(format!("{name}: {}", reason(&e))));
    }
    if target.is_dir() {
        return Err(Failure(format!("{name} is a folder")));
    }
    world.tidy(folder_of(&target));
    world
        .write(&target, content, Writing::Over)
        .map_err(|e| Failure(format!("{name}: {}", reason(&e))))
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// When something stands at the path already; otherwise as the file system gives them.
pub(super) fn write_new(world: &dyn World, path: &Path, content: &[u8]) -> Result<(), Failure> {
    let name = path.display();
    world.write(path, content, Writing::New).map_err(|e| {
        Failure(match e.kind() {
            io::ErrorKind::AlreadyExists => {
                format!("{name} is there already; nothing is written over it")
            }
            _ => format!("{name}: {}", reason(&e)),
        })
    })
}

/// Removes what runs that were killed left beside notes.
pub(super) fn tidy<'n>(world: &dyn World, notes: impl IntoIterator<Item = &'n PathBuf>) {
    let folders: BTreeSet<&Path> = notes.into_iter().map(|note| folder_of(note)).collect();
    for folder in folders {
        world.tidy(folder);
    }
}

/// Writes to standard output; a reader that went away (`| head`) is no failure.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    print_bytes(text.as_bytes())
}

/// The same for what is no text.
pub(super) fn print_bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(|e| Failure(format!("standard output: {e}"))),
    }
}
