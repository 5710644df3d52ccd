//! Names: of a note in its folder, of its report in the folder of reports.

use super::report::Kind;
use super::state::digest;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path, PathBuf};

/// The notes of a folder, each under a name of its own, whatever its file is called.
#[derive(Debug, Default)]
pub(super) struct Names {
    /// File, by name.
    files: BTreeMap<String, PathBuf>,
    /// Names whose reports would share one on some disks: `a.job` and `A.JOB`.
    alike: BTreeSet<String>,
}

impl Names {
    pub fn of(files: Vec<PathBuf>, folder: &Path) -> Self {
        let mut by_stem: BTreeMap<String, Vec<String>> = BTreeMap::new();
        let mut names = Self::default();
        for file in files {
            let name = name(file.strip_prefix(folder).unwrap_or(&file));
            let same = by_stem.entry(stem(&name).to_lowercase()).or_default();
            same.push(name.clone());
            names.files.insert(name, file);
        }
        let several = by_stem.into_values().filter(|names| names.len() > 1);
        names.alike = several.flatten().collect();
        names
    }

    /// Name and file, in order.
    pub fn all(&self) -> Vec<(&String, &PathBuf)> {
        self.files.iter().collect()
    }

    /// The file of a note.
    pub fn file(&self, name: &str) -> Option<&Path> {
        self.files.get(name).map(PathBuf::as_path)
    }

    /// `wexholm/3162.job` to `wexholm/3162-customer.html`.
    pub fn report(&self, name: &str, kind: Kind) -> String {
        let digest = if self.alike.contains(name) {
            format!("-{}", &digest(name.as_bytes())[..6])
        } else {
            String::new()
        };
        format!("{}{digest}{}", stem(name), kind.ending())
    }
}

fn stem(name: &str) -> &str {
    match name.rsplit_once('.') {
        Some((stem, ending)) if !ending.contains('/') => stem,
        _ => name,
    }
}

/// A path as a name: with `/` between folders, and with its code in place of what is no text, could be
/// taken for a folder's end, or acts on a terminal. Two paths never share a name.
fn name(path: &Path) -> String {
    let parts = path.components().filter_map(|part| match part {
        Component::Normal(part) => Some(coded(part.as_encoded_bytes())),
        _ => None,
    });
    parts.collect::<Vec<_>>().join("/")
}

fn coded(part: &[u8]) -> String {
    let mut out = String::with_capacity(part.len());
    let code = |out: &mut String, bytes: &[u8]| {
        for byte in bytes {
            out.push_str(&format!("%{byte:02X}"));
        }
    };
    for chunk in part.utf8_chunks() {
        for (at, c) in chunk.valid().char_indices() {
            let text = &chunk.valid()[at..at + c.len_utf8()];
            let after = &chunk.valid().as_bytes()[at + c.len_utf8()..];
            // A name may hold what looks like a code.
            let is_code = c == '%'
                && after
                    .iter()
                    .take(2)
                    .filter(|b| b.is_ascii_hexdigit())
                    .count()
                    == 2;
            if c == '\\' || c.is_control() || is_code {
                code(&mut out, text.as_bytes());
            } else {
                out.push(c);
            }
        }
        code(&mut out, chunk.invalid());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn whatever_a_file_is_called_its_name_is_its_own() {
        use std::ffi::OsStr;
        use std::os::unix::ffi::OsStrExt;
        let named = |bytes: &[u8]| name(Path::new(OsStr::from_bytes(bytes)));
        assert_eq!(named(b"north/3162.job"), "north/3162.job");
        assert_eq!(named(b"b\xfcro.job"), "b%FCro.job");
        assert_eq!(named(b"b\xf6ro.job"), "b%F6ro.job");
        assert_eq!(named(b"b%FCro.job"), "b%25FCro.job");
        assert_eq!(named(b"50 %.job"), "50 %.job");
        assert_eq!(named(b"a\\b.job"), "a%5Cb.job");
        assert_eq!(named(b"a/b.job"), "a/b.job");
        assert_eq!(named(b"a\x1b[2J.job"), "a%1B[2J.job");
        assert_eq!(named("büro.job".as_bytes()), "büro.job");
    }
}
