//! Paths as parts of addresses.

use std::path::Path;

/// A path as part of an address: what has a meaning there is written as its code.
pub fn in_address(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                out.push(char::from(byte));
            }
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}

/// The way from a file to a folder, as part of an address: empty where the file lies in it, else ending in a
/// stroke.
pub fn way(from: &Path, to: &Path) -> String {
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
        .map(|part| in_address(&part.as_os_str().to_string_lossy()));
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
