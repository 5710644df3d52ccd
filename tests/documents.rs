//! What is shown to a new user must work as shown.

use rimebook::compile::{Compiled, compile};
use rimebook::diagnostic::{Severity, short};
use rimebook::source::Source;
use std::path::Path;

/// The example that shows what is said of a hurried note.
const HURRIED: &str = "phone-typed.job";

#[test]
fn every_example_has_no_error_but_the_hurried_one() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let notes: Vec<_> = super::support::files(&folder)
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "job"))
        // The company's notes have a test of their own.
        .filter(|path| !path.starts_with(folder.join("company")))
        .collect();
    assert!(!notes.is_empty(), "no examples");
    for path in notes {
        let text = std::fs::read_to_string(&path).expect("an example is UTF-8");
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let compiled = compile(Source::new(name, text));
        let errors = errors(&compiled);
        let hurried = path.ends_with(HURRIED);
        assert_eq!(
            errors.is_empty(),
            !hurried,
            "{}: {errors:#?}",
            path.display()
        );
    }
}

/// Fenced blocks of a Markdown text: the language and the lines between the fences.
fn fenced(markdown: &str) -> Vec<(&str, String)> {
    let mut blocks: Vec<(&str, String)> = Vec::new();
    let mut open = false;
    for line in markdown.lines() {
        match line.strip_prefix("```") {
            Some(language) if !open => {
                blocks.push((language, String::new()));
                open = true;
            }
            Some(_) => open = false,
            None => {
                if let (true, Some((_, text))) = (open, blocks.last_mut()) {
                    text.push_str(line);
                    text.push('\n');
                }
            }
        }
    }
    blocks
}

#[test]
fn the_tour_shows_what_check_prints() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(readme).expect("the read-me");
    let blocks = fenced(&readme);
    let at = blocks
        .iter()
        .position(|(language, _)| *language == "job")
        .expect("the tour's note");
    let (language, shown) = &blocks[at + 1];
    assert_eq!(*language, "text", "what is printed follows the note");
    let run = super::support::Run::new()
        .file("note.job", &blocks[at].1)
        .args(["check", "note.job"])
        .go();
    let printed: Vec<&str> = run.stdout.trim_end().lines().map(str::trim_end).collect();
    let shown: Vec<&str> = shown.trim_end().lines().map(str::trim_end).collect();
    assert_eq!(printed.join("\n"), shown.join("\n"));
}

#[test]
fn every_line_shown_as_an_example_is_understood() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(readme).expect("the read-me");
    let (_, section) = readme
        .split_once("## What can be written")
        .expect("the table of lines");
    let section = section.split("\n## ").next().unwrap_or(section);
    let mut head = String::new();
    let mut entries = String::new();
    for row in section.lines().filter(|row| row.starts_with("| ")) {
        let cells: Vec<&str> = row.split(" | ").collect();
        let [kind, examples] = cells.as_slice() else {
            continue;
        };
        // Every other piece between backticks is code; `saw …` shows a place to fill in.
        for example in examples.split('`').skip(1).step_by(2) {
            if !example.contains('…') {
                let target = if kind.trim_start_matches('|').trim() == "head" {
                    &mut head
                } else {
                    &mut entries
                };
                target.push_str(example);
                target.push('\n');
            }
        }
    }
    assert!(
        head.lines().count() > 3 && entries.lines().count() > 10,
        "{head}{entries}"
    );
    let compiled = super::support::note(&format!("{head}{entries}"));
    let errors = errors(&compiled);
    assert!(errors.is_empty(), "{errors:#?}");
}

/// The errors of a note, a line each.
fn errors(compiled: &Compiled) -> Vec<String> {
    compiled
        .diagnostics
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .map(|d| short(&compiled.source, d))
        .collect()
}
