//! A world in memory.

use super::{Claim, Rewritten, World, Writing, is_note};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Files in memory.
#[derive(Debug)]
pub struct MemoryWorld {
    files: Mutex<BTreeMap<PathBuf, Vec<u8>>>,
    /// Name and text of replaced templates.
    pub templates: BTreeMap<String, String>,
    /// The day it is.
    pub today: Date,
}

impl Default for MemoryWorld {
    fn default() -> Self {
        Self {
            files: Mutex::default(),
            templates: BTreeMap::new(),
            today: Date::constant(2026, 1, 1),
        }
    }
}

impl MemoryWorld {
    /// The same with a file.
    #[must_use]
    pub fn with(self, path: impl Into<PathBuf>, content: impl Into<Vec<u8>>) -> Self {
        self.files().insert(path.into(), content.into());
        self
    }

    /// All files, by path.
    pub fn files(&self) -> MutexGuard<'_, BTreeMap<PathBuf, Vec<u8>>> {
        self.files.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl World for MemoryWorld {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        let found = self.files().get(path).cloned();
        found.ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }

    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        let files = self.files();
        let is_meant = |p: &&PathBuf| p.starts_with(path) && (p.as_path() == path || is_note(p));
        Ok(files.keys().filter(is_meant).cloned().collect())
    }

    fn templates(&self) -> io::Result<BTreeMap<String, String>> {
        Ok(self.templates.clone())
    }

    fn length(&self, path: &Path) -> Option<u64> {
        self.files().get(path).map(|content| content.len() as u64)
    }

    fn is_taken(&self, path: &Path) -> bool {
        self.files().keys().any(|known| known.starts_with(path))
    }

    fn write(&self, path: &Path, content: &[u8], how: Writing) -> io::Result<()> {
        if how == Writing::New && self.is_taken(path) {
            return Err(io::Error::from(io::ErrorKind::AlreadyExists));
        }
        self.files().insert(path.to_owned(), content.to_owned());
        Ok(())
    }

    fn rewrite(&self, note: &Path, as_read: &[u8], content: &[u8]) -> Result<Rewritten, String> {
        let mut files = self.files();
        match files.get_mut(note) {
            Some(held) if held == content => Ok(Rewritten::Unchanged),
            Some(held) if held == as_read => {
                content.clone_into(held);
                Ok(Rewritten::Replaced { other_names: 0 })
            }
            _ => Err(format!(
                "{}: it was changed since it was read; nothing was written",
                note.display()
            )),
        }
    }

    fn append(&self, path: &Path, line: &str) -> io::Result<()> {
        let mut files = self.files();
        let held = files.entry(path.to_owned()).or_default();
        held.extend(line.bytes().chain([b'\n']));
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let held = self.files().remove(path);
        held.map(drop)
            .ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }

    fn tidy(&self, _: &Path) {}

    fn claim(&self, _: &Path) -> io::Result<Claim> {
        Ok(Claim::default())
    }

    fn today(&self) -> Date {
        self.today
    }
}
