//! Why the file system refused, in words.

use std::io;
use std::path::Path;

/// An I/O error in words, without the number of the operating system.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        _ => {
            let text = error.to_string();
            match text.rfind(" (os error ") {
                Some(number) => text[..number].to_owned(),
                None => text,
            }
        }
    }
}

/// [`reason`] for an error at a path, which may be a link that dangles or leads back to itself.
pub fn reason_at(path: &Path, error: &io::Error) -> String {
    let denied = error.kind() == io::ErrorKind::PermissionDenied;
    if !denied && path.is_symlink() && path.metadata().is_err() {
        return "it is a link that leads to no file".to_owned();
    }
    reason(error)
}
