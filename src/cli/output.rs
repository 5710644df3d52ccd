//! Reading notes and writing results: whole or not at all.

use super::Failure;
use super::reason::{reason, reason_at};
use super::rewrite::{create, replace};
use crate::diagnostic::code;
use crate::source::Source;
use crate::world::World;
use clap::ValueEnum;
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
            Self::Auto => terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
        }
    }
}

/// Reads a note; `-` is standard input.
pub(super) fn read_note(world: &dyn World, path: &Path) -> Result<Source, Failure> {
    let (name, bytes) = if path == Path::new("-") {
        let mut bytes = Vec::new();
        io::stdin()
            .take(Source::MAX_BYTES as u64 + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| Failure(format!("standard input: {e}")))?;
        ("standard input".to_owned(), bytes)
    } else {
        let name = path.display().to_string();
        let bytes = world.read(path).map_err(|e| {
            Failure(if path.is_dir() {
                format!("{name} is a folder; name a note (*.job)")
            } else {
                format!("{name}: {}", reason_at(path, &e))
            })
        })?;
        (name, bytes)
    };
    Source::from_bytes(name.clone(), bytes)
        .map_err(|why| Failure(format!("error[{}] {name}: {why}", code::UNREADABLE.id)))
}

/// The notes at or below a path.
///
/// # Errors
/// When there is no such path, or no note in the folder.
pub(super) fn notes_in(world: &dyn World, path: &Path) -> Result<Vec<PathBuf>, Failure> {
    let name = path.display();
    let found = world
        .notes(path)
        .map_err(|e| Failure(format!("{name}: {}", reason_at(path, &e))))?;
    if found.is_empty() {
        return Err(Failure(format!(
            "{name}: no note (*.job) in this folder (hidden files and those that .gitignore names are left out)"
        )));
    }
    Ok(found)
}

/// Writes a file whole or not at all: to a temporary neighbour first, then renamed over.
///
/// # Errors
/// Refuses to write over a note, the one it is made from (`note`) whatever its name; otherwise as the file system gives them (a full disk leaves the
/// old file as it was).
pub(super) fn write_file(path: &Path, content: &[u8], note: &Path) -> Result<(), Failure> {
    let name = path.display();
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("job"))
    {
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
    if target
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("job"))
    {
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
    replace(&target, content, || Ok(())).map_err(|e| Failure(format!("{name}: {}", reason(&e))))
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// When something stands at the path already; otherwise as the file system gives them.
pub(super) fn write_new(path: &Path, content: &[u8]) -> Result<(), Failure> {
    let name = path.display();
    create(path, content).map_err(|e| {
        Failure(match e.kind() {
            io::ErrorKind::AlreadyExists => {
                format!("{name} is there already; nothing is written over it")
            }
            _ => format!("{name}: {}", reason(&e)),
        })
    })
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

/// The way from a file to a folder, as part of an address: empty where the file lies in it, else ending in a
/// stroke.
pub(super) fn way(from: &Path, to: &Path) -> String {
    let whole = |path: &Path| {
        let path = if path.as_os_str().is_empty() {
            Path::new(".")
        } else {
            path
        };
        std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
    };
    let from = whole(from.parent().unwrap_or(Path::new("")));
    let to = whole(to);
    let shared = from
        .components()
        .zip(to.components())
        .take_while(|(a, b)| a == b)
        .count();
    let up = from.components().skip(shared).map(|_| "..".to_owned());
    let down = to
        .components()
        .skip(shared)
        .map(|part| crate::address::in_address(&part.as_os_str().to_string_lossy()));
    up.chain(down).map(|part| part + "/").collect()
}

#[cfg(test)]
mod tests {
    use super::way;
    use std::path::Path;

    #[test]
    fn the_way_from_a_report_to_the_photographs() {
        let way = |from: &str, to: &str| way(Path::new(from), Path::new(to));
        assert_eq!(way("/a/b/r.html", "/a/b"), "");
        assert_eq!(way("/a/out/x/r.html", "/a/notes 1/x"), "../../notes%201/x/");
        assert_eq!(way("r.html", ""), "");
        assert_eq!(way("out/r.html", "notes"), "../notes/");
    }
}
