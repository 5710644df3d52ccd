//! Everything outside the library, behind one trait: files, folders, templates, the day.
//!
//! The command line uses [`DiskWorld`]; tests and embedders use [`MemoryWorld`].

mod disk;
mod memory;
mod reason;
mod replace;

pub use disk::DiskWorld;
pub use memory::MemoryWorld;
pub use reason::{reason, reason_at};
pub use replace::Rewritten;

use crate::diagnostic::code;
use crate::source::{Source, visible};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// What the library may ask of its surroundings.
pub trait World: Sync {
    /// The bytes of an ordinary file.
    ///
    /// # Errors
    /// As the file system gives them; a folder, a pipe or a device is an error.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;

    /// The bytes of a note. A link is followed only to another note (`*.job`): one that leads elsewhere
    /// would show, or let be rewritten, a file that nobody meant.
    ///
    /// # Errors
    /// As [`World::read`]; a link that leads to no note is one.
    fn read_note(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.read(path)
    }

    /// The bytes of an ordinary file that lies in a folder or below it, whatever links lead there.
    ///
    /// # Errors
    /// As the file system gives them; a pipe, a device, or a file that lies elsewhere is not found.
    fn read_in(&self, folder: &Path, name: &Path) -> io::Result<Vec<u8>> {
        self.read(&folder.join(name))
    }

    /// The job notes (`*.job`) at or below a path, sorted; a file names itself.
    ///
    /// # Errors
    /// As the file system gives them.
    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>>;

    /// The company's own templates and message files: text by name, with `/` between folders. They
    /// replace the embedded ones of the same name.
    ///
    /// # Errors
    /// As the file system gives them; without a folder of templates there are none.
    fn templates(&self) -> io::Result<BTreeMap<String, String>>;

    /// The length of an ordinary file, in bytes; nothing where there is none.
    fn length(&self, path: &Path) -> Option<u64>;

    /// True when anything at all stands at a path.
    fn is_taken(&self, path: &Path) -> bool;

    /// Writes a file whole or not at all, with the folders above it.
    ///
    /// # Errors
    /// As the file system gives them (a full disk); what stood there is then as it was. With
    /// [`Writing::New`] `AlreadyExists` where anything stands.
    fn write(&self, path: &Path, content: &[u8], how: Writing) -> io::Result<()>;

    /// Replaces what a note holds, if it still holds `as_read`.
    ///
    /// A link stays a link: the note that it leads to is replaced. A note with several hard links is
    /// replaced under this name alone. Other names are mostly those of a copy kept for safety, which
    /// writing in place would change with it; and a disk that fills up halfway through writing in place
    /// would leave no whole note under any name. The caller says that the others keep the old content.
    ///
    /// # Errors
    /// A sentence, and the note is as it was: when it is no `*.job`, or no ordinary file, may not be
    /// written, was changed since it was read, or the file system refuses.
    fn rewrite(&self, note: &Path, as_read: &[u8], content: &[u8]) -> Result<Rewritten, String>;

    /// Adds a line to a file, made if it is not there.
    ///
    /// # Errors
    /// As the file system gives them.
    fn append(&self, path: &Path, line: &str) -> io::Result<()>;

    /// Removes a file.
    ///
    /// # Errors
    /// As the file system gives them.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Removes what writes that were killed left in a folder. Nothing depends on it.
    fn tidy(&self, folder: &Path);

    /// Keeps other runs from writing to a folder, made if it is not there, as long as what is returned
    /// lives; waits while another run has it.
    ///
    /// # Errors
    /// As the file system gives them. Where it knows no locks, nobody is kept out.
    fn claim(&self, folder: &Path) -> io::Result<Claim>;

    /// The day, where the user is.
    fn today(&self) -> Date;
}

/// What stands at a path before a file is written there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Writing {
    /// Anything: it is replaced, and the disk is waited for.
    Over,
    /// The same for what can be made again at any time: the disk is not waited for.
    Again,
    /// Nothing.
    New,
}

/// A folder that no other run writes to meanwhile.
#[derive(Debug, Default)]
pub struct Claim {
    /// The lock ends when this is closed.
    _lock: Option<std::fs::File>,
}

/// Reads a note as text.
///
/// # Errors
/// A sentence that names the note and says why it cannot be read.
pub fn read_note(world: &dyn World, path: &Path) -> Result<Source, String> {
    let name = shown(path);
    let bytes = world.read_note(path).map_err(|e| match e.kind() {
        io::ErrorKind::IsADirectory => format!("{name} is a folder; name a note (*.job)"),
        _ => format!("{name}: {}", reason_at(path, &e)),
    })?;
    source(name, bytes)
}

/// The text of a note that was read, under a name to show.
///
/// # Errors
/// A sentence that names the note and says why it is none.
pub fn source(name: String, bytes: Vec<u8>) -> Result<Source, String> {
    Source::from_bytes(name.clone(), bytes)
        .map_err(|why| format!("error[{}] {name}: {why}", code::UNREADABLE.id))
}

/// A path to be shown.
pub fn shown(path: &Path) -> String {
    visible(&path.display().to_string()).into_owned()
}

/// True for a path that has the ending of a note.
pub fn is_note(path: &Path) -> bool {
    path.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("job"))
}

/// The folder that a file lies in.
pub fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The notes at or below a path.
///
/// # Errors
/// A sentence: there is no such path, or no note in the folder.
pub fn notes_in(world: &dyn World, path: &Path) -> Result<Vec<PathBuf>, String> {
    let name = shown(path);
    let found = world
        .notes(path)
        .map_err(|e| format!("{name}: {}", reason_at(path, &e)))?;
    if found.is_empty() {
        return Err(format!(
            "{name}: no note (*.job) in this folder (hidden files and those that .gitignore names are left out)"
        ));
    }
    Ok(found)
}
