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

    fn read_in(&self, folder: &Path, name: &Path) -> io::Result<Vec<u8>> {
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        let target = folder.join(name).canonicalize()?;
        let is_inside = target.starts_with(folder.canonicalize()?);
        match is_inside && target.metadata()?.is_file() {
            true => self.read(&target),
            false => Err(io::Error::from(io::ErrorKind::NotFound)),
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

    fn templates(&self) -> io::Result<BTreeMap<String, String>> {
        let mut found = BTreeMap::new();
        if let Some(folder) = &self.templates {
            // A link inside that leads out would show a reader of reports what lies there.
            let inside = folder.canonicalize()?;
            collect_templates(folder, "", &inside, &mut found)?;
        }
        Ok(found)
    }
}

/// Endings of files that a folder of templates is read for.
const TEMPLATE_ENDINGS: &[&str] = &["html", "md", "css", "typ", "ftl"];
/// A template or message file larger than this is none.
const LARGEST_TEMPLATE: u64 = 1024 * 1024;

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

    fn templates(&self) -> io::Result<BTreeMap<String, String>> {
        Ok(self.templates.clone())
    }
}
