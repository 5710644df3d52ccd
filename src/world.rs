//! Everything outside the library, behind one trait: files, folders, templates.
//!
//! The command line uses [`DiskWorld`]; tests and embedders use [`MemoryWorld`].

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// What the library may ask of its surroundings.
pub trait World: Sync {
    /// The bytes of a file.
    ///
    /// # Errors
    /// As the file system gives them; a folder is an error.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;

    /// The job notes (`*.job`) at or below a path, sorted; a file names itself.
    ///
    /// # Errors
    /// As the file system gives them.
    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>>;

    /// A template that replaces the embedded one of that name, if there is one.
    ///
    /// # Errors
    /// As the file system gives them; a template that is not there is `Ok(None)`.
    fn template(&self, name: &str) -> io::Result<Option<String>>;
}

/// The file system.
#[derive(Debug, Default)]
pub struct DiskWorld {
    /// Folder of templates that replace embedded ones.
    pub templates: Option<PathBuf>,
}

impl World for DiskWorld {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        use std::io::Read;
        let limit = crate::source::Source::MAX_BYTES as u64 + 1;
        let file = std::fs::File::open(path)?;
        let length = file.metadata().map_or(0, |m| m.len()).min(limit);
        let mut bytes = Vec::with_capacity(length as usize + 1);
        // A 50 MB file is refused without reading it whole.
        file.take(limit).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        if !std::fs::metadata(path)?.is_dir() {
            return Ok(vec![path.to_owned()]);
        }
        let mut found = Vec::new();
        for entry in ignore::WalkBuilder::new(path).build() {
            let entry = match entry {
                Ok(entry) => entry,
                // A folder that may not be looked into is one that cannot be read, like a file.
                Err(error) => match path_of(&error) {
                    Some(inside) if inside != path => {
                        found.push(inside.to_owned());
                        continue;
                    }
                    _ => return Err(io::Error::other(error)),
                },
            };
            let is_note = entry
                .path()
                .extension()
                .is_some_and(|e| e.eq_ignore_ascii_case("job"));
            if is_note && entry.file_type().is_some_and(|t| !t.is_dir()) {
                found.push(entry.into_path());
            }
        }
        found.sort();
        Ok(found)
    }

    fn template(&self, name: &str) -> io::Result<Option<String>> {
        let Some(folder) = &self.templates else {
            return Ok(None);
        };
        match std::fs::read_to_string(folder.join(name)) {
            Ok(text) => Ok(Some(text)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }
}

/// The path that a walk failed at.
fn path_of(error: &ignore::Error) -> Option<&Path> {
    match error {
        ignore::Error::WithPath { path, .. } => Some(path),
        ignore::Error::WithDepth { err, .. } | ignore::Error::WithLineNumber { err, .. } => {
            path_of(err)
        }
        _ => None,
    }
}

/// Files in memory.
#[derive(Debug, Default)]
pub struct MemoryWorld {
    /// Path and content.
    pub files: BTreeMap<PathBuf, Vec<u8>>,
    /// Name and text of replaced templates.
    pub templates: BTreeMap<String, String>,
}

impl World for MemoryWorld {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.files
            .get(path)
            .cloned()
            .ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }

    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        Ok(self
            .files
            .keys()
            .filter(|p| {
                p.starts_with(path)
                    && (p.as_path() == path || p.extension().is_some_and(|e| e == "job"))
            })
            .cloned()
            .collect())
    }

    fn template(&self, name: &str) -> io::Result<Option<String>> {
        Ok(self.templates.get(name).cloned())
    }
}
