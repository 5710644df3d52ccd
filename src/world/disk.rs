//! The file system.

use super::replace::{self, Rewritten};
use super::{Claim, World, Writing, folder_of, is_note};
use crate::source::Source;
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The file system.
#[derive(Debug, Default)]
pub struct DiskWorld {
    /// Folder of templates that replace embedded ones.
    pub templates: Option<PathBuf>,
}

impl World for DiskWorld {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        ordinary(path, u64::MAX)
    }

    fn read_note(&self, path: &Path) -> io::Result<Vec<u8>> {
        if is_note(path) && path.is_symlink() && !is_note(&path.canonicalize()?) {
            return Err(io::Error::other(
                "it is a link to a file that is no note (*.job)",
            ));
        }
        // A 50 MB file is refused without reading it whole.
        ordinary(path, Source::MAX_BYTES as u64 + 1)
    }

    fn read_in(&self, folder: &Path, name: &Path) -> io::Result<Vec<u8>> {
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        let target = folder.join(name).canonicalize()?;
        if target.starts_with(folder.canonicalize()?) && target.metadata()?.is_file() {
            ordinary(&target, LARGEST_PICTURE)
        } else {
            Err(io::Error::from(io::ErrorKind::NotFound))
        }
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
            if is_note(entry.path()) && entry.file_type().is_some_and(|t| !t.is_dir()) {
                found.push(entry.into_path());
            }
        }
        found.sort();
        Ok(found)
    }

    fn templates(&self) -> io::Result<BTreeMap<String, String>> {
        let mut found = BTreeMap::new();
        if let Some(folder) = &self.templates {
            // A link inside that leads out would show a reader of reports what lies there.
            let inside = folder.canonicalize()?;
            collect_templates(folder, "", &inside, &mut found)?;
        }
        Ok(found)
    }

    fn length(&self, path: &Path) -> Option<u64> {
        let metadata = std::fs::metadata(path).ok()?;
        metadata.is_file().then_some(metadata.len())
    }

    fn is_taken(&self, path: &Path) -> bool {
        path.symlink_metadata().is_ok()
    }

    fn write(&self, path: &Path, content: &[u8], how: Writing) -> io::Result<()> {
        let put = || match how {
            Writing::Over => replace::replace(path, content, || Ok(())),
            Writing::Again => replace::replace_quickly(path, content),
            Writing::New => replace::create(path, content),
        };
        match put() {
            // Only a first file in a folder pays for looking whether the folder is there.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                std::fs::create_dir_all(folder_of(path))?;
                put()
            }
            done => done,
        }
    }

    fn rewrite(&self, note: &Path, as_read: &[u8], content: &[u8]) -> Result<Rewritten, String> {
        replace::rewrite(note, as_read, content)
    }

    fn append(&self, path: &Path, line: &str) -> io::Result<()> {
        let mut file = OpenOptions::new().create(true).append(true).open(path)?;
        // In one piece: what a killed run wrote is a whole line, or none.
        file.write_all(format!("{line}\n").as_bytes())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    fn tidy(&self, folder: &Path) {
        replace::tidy(folder);
    }

    fn claim(&self, folder: &Path) -> io::Result<Claim> {
        std::fs::create_dir_all(folder)?;
        // A folder cannot be opened, or not be locked, on every system.
        let lock = File::open(folder).and_then(|file| file.lock().map(|()| file));
        Ok(Claim { _lock: lock.ok() })
    }

    fn today(&self) -> Date {
        jiff::ZonedDateTime::now().date()
    }
}

/// More of a picture is not read: a report shows only smaller ones, and leads to the others.
const LARGEST_PICTURE: u64 = 4 * 1024 * 1024;
/// Endings of files that a folder of templates is read for.
const TEMPLATE_ENDINGS: &[&str] = &["html", "md", "css", "typ", "ftl"];
/// Larger template and message files are ignored.
const LARGEST_TEMPLATE: u64 = 1024 * 1024;

/// The first bytes of an ordinary file. A pipe or a device may never end, or never begin.
fn ordinary(path: &Path, limit: u64) -> io::Result<Vec<u8>> {
    let metadata = std::fs::metadata(path)?;
    if metadata.is_dir() {
        return Err(io::Error::from(io::ErrorKind::IsADirectory));
    }
    if !metadata.is_file() {
        return Err(io::Error::other(
            "it is no ordinary file; hand over a pipe with `-`",
        ));
    }
    let mut bytes = Vec::with_capacity(metadata.len().min(limit) as usize + 1);
    File::open(path)?.take(limit).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The templates of a folder and of the folders in it.
fn collect_templates(
    folder: &Path,
    prefix: &str,
    inside: &Path,
    found: &mut BTreeMap<String, String>,
) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let (Some(name), Ok(target)) = (
            path.file_name().and_then(|n| n.to_str()),
            path.canonicalize(),
        ) else {
            continue;
        };
        let name = format!("{prefix}{name}");
        if !target.starts_with(inside) {
            continue;
        }
        let is_template = Path::new(&name)
            .extension()
            .is_some_and(|e| TEMPLATE_ENDINGS.iter().any(|known| e == *known));
        let metadata = std::fs::metadata(&target)?;
        if metadata.is_dir() && prefix.matches('/').count() < 2 {
            collect_templates(&path, &format!("{name}/"), inside, found)?;
        } else if metadata.is_file() && is_template && metadata.len() <= LARGEST_TEMPLATE {
            let text = std::fs::read_to_string(&target)
                .map_err(|e| io::Error::new(e.kind(), format!("{name}: {e}")))?;
            found.insert(name, text);
        }
    }
    Ok(())
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
