//! Names that are somebody's: makers, brands and programs are nowhere in what this project says.
//!
//! The list holds digests, so that it names nobody itself. To add to it, run
//! `RIMEBOOK_NAMES="one name, another" cargo test --test main foreign_names -- --nocapture` and put the
//! lines that are printed into `cases/foreign_names.txt`.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use xxhash_rust::xxh3::xxh3_64;

/// Words of the longest name.
const LONGEST: usize = 3;

fn digest(words: &[String]) -> String {
    format!("{:016x}", xxh3_64(words.join(" ").as_bytes()))
}

/// Lower-case words of a line: runs of letters and digits.
fn words(line: &str) -> Vec<String> {
    line.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// The text files of the project: what git tracks, or all that lies there without git.
fn texts() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let tracked = std::process::Command::new("git")
        .args(["ls-files", "-z"])
        .current_dir(root)
        .output();
    let tracked: Vec<PathBuf> = match tracked {
        Ok(done) if done.status.success() && !done.stdout.is_empty() => {
            let names = String::from_utf8_lossy(&done.stdout).into_owned();
            let names = names.split('\0').filter(|name| !name.is_empty());
            names.map(|name| root.join(name)).collect()
        }
        _ => ["src", "tests", "templates", "examples", "grammar"]
            .iter()
            .flat_map(|folder| super::support::files(&root.join(folder)))
            .chain(["README.md", "DEVELOPERS.md", "Cargo.toml"].map(|name| root.join(name)))
            .collect(),
    };
    let is_ours = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        // The license of the fonts names their maker, as it asks; the lock file names crates.
        !matches!(name.as_ref(), "OFL.md" | "LICENSE" | "Cargo.lock")
    };
    tracked.into_iter().filter(is_ours).collect()
}

fn found_in(text: &str, names: &HashSet<&str>) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let words = words(line);
        for length in 1..=LONGEST {
            for run in words.windows(length) {
                if names.contains(digest(run).as_str()) {
                    found.push((i + 1, run.join(" ")));
                }
            }
        }
    }
    found
}

fn list() -> HashSet<&'static str> {
    let list = include_str!("cases/foreign_names.txt");
    let lines = list.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .collect()
}

#[test]
fn nothing_here_bears_a_name_that_is_somebodys() {
    if let Ok(asked) = std::env::var("RIMEBOOK_NAMES") {
        for name in asked.split(',') {
            println!("{}", digest(&words(name)));
        }
    }
    let names = list();
    assert!(names.len() > 100, "the list is short: {}", names.len());
    let mut found = Vec::new();
    for path in texts() {
        let Ok(text) = std::fs::read_to_string(&path) else {
            continue;
        };
        for (line, name) in found_in(&text, &names) {
            found.push(format!("{}:{line}: {name}", path.display()));
        }
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn a_name_is_found_in_any_spelling_of_its_words() {
    let digest = digest(&words("Walrus Tools"));
    let names = HashSet::from([digest.as_str()]);
    for text in ["a WALRUS tools gauge", "x\nwalrus-tools", "`walrus_tools`"] {
        assert_eq!(found_in(text, &names).len(), 1, "{text}");
    }
    assert_eq!(found_in("walrus and tools", &names), []);
}
