//! Replacing what a file holds: whole or not at all, and a note only as it was read.

use super::{folder_of, is_note, reason, reason_at};
use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::Path;
use tempfile::NamedTempFile;

/// How the name of a file begins and ends that is not yet in its place.
const UNFINISHED: (&str, &str) = (".rimebook-", ".tmp");

/// What rewriting a note did.
#[derive(Debug, PartialEq, Eq)]
pub enum Rewritten {
    /// It held that already, and was left alone.
    Unchanged,
    /// It holds the new content.
    Replaced {
        /// Hard links to it under other names: these keep the old content.
        other_names: u64,
    },
}

/// See [`super::World::rewrite`].
pub(super) fn rewrite(note: &Path, as_read: &[u8], content: &[u8]) -> Result<Rewritten, String> {
    if content == as_read {
        return Ok(Rewritten::Unchanged);
    }
    let refused = |why: &str| format!("{}: {why}; nothing was written", note.display());
    let failed = |error: io::Error| refused(&reason_at(note, &error));
    let target = note.canonicalize().map_err(failed)?;
    if !is_note(note) || !is_note(&target) {
        return Err(refused("only notes (*.job) are rewritten"));
    }
    let held = target.metadata().map_err(failed)?;
    if !held.is_file() {
        return Err(refused("it is no ordinary file"));
    }
    // Renaming needs no right to write the note itself, and the superuser is refused nothing: that
    // somebody made it read-only counts all the same.
    let folder = folder_of(&target).metadata().map_err(failed)?;
    if held.permissions().readonly() {
        return Err(refused("the note is read-only"));
    }
    if folder.permissions().readonly() {
        return Err(refused("its folder is read-only"));
    }
    OpenOptions::new()
        .append(true)
        .open(&target)
        .map_err(|e| match e.kind() {
            io::ErrorKind::PermissionDenied => refused("you may not write to it"),
            _ => failed(e),
        })?;
    // As late as can be: between this and the renaming nothing else is done.
    let unchanged = || {
        if std::fs::read(&target)? == as_read {
            Ok(())
        } else {
            Err(io::Error::other("it was changed since it was read"))
        }
    };
    replace(&target, content, unchanged).map_err(|e| match e.kind() {
        io::ErrorKind::PermissionDenied => refused("you may not write to its folder"),
        _ => refused(&reason(&e)),
    })?;
    Ok(Rewritten::Replaced {
        other_names: names(&held).saturating_sub(1),
    })
}

/// Puts content in the place of a file, or of none: written to a temporary neighbour first, which is
/// renamed over it when `sure` has no objection. Mode and, where allowed, owner are kept.
///
/// # Errors
/// As `sure` and the file system give them; the old file is then as it was (a full disk).
pub(super) fn replace(
    target: &Path,
    content: &[u8],
    sure: impl FnOnce() -> io::Result<()>,
) -> io::Result<()> {
    let file = beside(target, content, target.metadata().ok())?;
    file.as_file().sync_all()?;
    sure()?;
    file.persist(target).map_err(|e| e.error)?;
    Ok(())
}

/// The same for what can be made again at any time: whole or not at all, and not waited for until the
/// disk has it.
pub(super) fn replace_quickly(target: &Path, content: &[u8]) -> io::Result<()> {
    let file = beside(target, content, target.metadata().ok())?;
    file.persist(target).map_err(|e| e.error)?;
    Ok(())
}

/// Puts content in a new file; what stands at the path already is not touched.
///
/// # Errors
/// As the file system gives them: `AlreadyExists` where something stands there.
pub(super) fn create(target: &Path, content: &[u8]) -> io::Result<()> {
    let file = beside(target, content, None)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(target).map_err(|e| e.error)?;
    Ok(())
}

/// A temporary neighbor with some content; like `old` in mode and owner.
///
/// It is locked while it is written: [`tidy`] takes one that nobody holds for what a killed run left.
fn beside(target: &Path, content: &[u8], old: Option<Metadata>) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED.0).suffix(UNFINISHED.1);
    #[cfg(unix)]
    if old.is_none() {
        use std::os::unix::fs::PermissionsExt;
        // Temporary files are private by default; a new one is an ordinary file (umask applies).
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = loop {
        let file = builder.tempfile_in(folder_of(target))?;
        // Where the file system knows no locks, nothing is tidied away either.
        let _ = file.as_file().try_lock();
        // Another run may have tidied it away just before it was locked.
        if names(&file.as_file().metadata()?) > 0 {
            break file;
        }
    };
    file.write_all(content)?;
    if let Some(old) = &old {
        keep(file.as_file(), old)?;
    }
    Ok(file)
}

/// Removes unfinished files of runs that were killed.
pub(super) fn tidy(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let is_unfinished = name.starts_with(UNFINISHED.0) && name.ends_with(UNFINISHED.1);
        let is_file = entry.file_type().is_ok_and(|t| t.is_file());
        if is_unfinished
            && is_file
            && File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok())
        {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Gives a file the owner and mode of the one it replaces.
fn keep(file: &File, old: &Metadata) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, fchown};
        let new = file.metadata()?;
        // Only the superuser may give a file away; a group one belongs to may be kept by anybody.
        if (new.uid(), new.gid()) != (old.uid(), old.gid())
            && fchown(file, Some(old.uid()), Some(old.gid())).is_err()
        {
            let _ = fchown(file, None, Some(old.gid()));
        }
    }
    // After the owner: a change of owner may clear bits of the mode.
    file.set_permissions(old.permissions())
}

#[cfg(unix)]
fn names(held: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(held)
}

#[cfg(not(unix))]
fn names(_: &Metadata) -> u64 {
    1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refusal(note: &Path, read: &[u8], content: &[u8]) -> String {
        match rewrite(note, read, content) {
            Ok(done) => panic!("not refused: {done:?}"),
            Err(sentence) => sentence,
        }
    }

    #[test]
    fn what_was_written_meanwhile_is_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        let note = folder.path().join("a.job");
        std::fs::write(&note, "as read, and then more").expect("a note");
        let sentence = refusal(&note, b"as read", b"new");
        assert!(sentence.ends_with("a.job: it was changed since it was read; nothing was written"));
        let held = std::fs::read_to_string(&note).expect("the note");
        assert_eq!(held, "as read, and then more");
        // No temporary neighbour stays behind.
        let files = std::fs::read_dir(folder.path()).expect("the folder");
        assert_eq!(files.count(), 1);
    }

    #[test]
    fn a_note_that_went_away_is_not_made_again() {
        let folder = tempfile::tempdir().expect("a folder");
        let note = folder.path().join("a.job");
        assert!(refusal(&note, b"a", b"b").contains("there is no such file"));
        assert!(!note.exists());
    }

    #[test]
    fn only_notes_are_rewritten() {
        let folder = tempfile::tempdir().expect("a folder");
        let text = folder.path().join("a.txt");
        std::fs::write(&text, "a").expect("a text");
        assert!(refusal(&text, b"a", b"b").contains("only notes (*.job)"));
        let note = folder.path().join("a.job");
        std::fs::create_dir(&note).expect("a folder named like a note");
        assert!(refusal(&note, b"a", b"b").contains("no ordinary file"));
    }
}
