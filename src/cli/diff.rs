//! What changed in a note, as a unified diff.

use crate::source::visible;
use similar::{ChangeTag, TextDiff};

/// The change from one text to another; empty when there is none.
pub(super) fn unified(name: &str, before: &str, after: &str, colour: bool) -> String {
    let styled = |style: &str, line: &str| match colour {
        true => format!("\x1b[{style}m{line}\x1b[0m\n"),
        false => format!("{line}\n"),
    };
    // Cut here rather than by the library, which ends a line at a lone carriage return too.
    let lines = |text| -> Vec<&str> { str::split_inclusive(text, '\n').collect() };
    let (before, after) = (lines(before), lines(after));
    let diff = TextDiff::from_slices(&before, &after);
    let mut text = String::new();
    for hunk in diff.unified_diff().iter_hunks() {
        if text.is_empty() {
            text += &styled("1", &format!("--- {name}"));
            text += &styled("1", &format!("+++ {name}"));
        }
        text += &styled("36", &hunk.header().to_string());
        for change in hunk.iter_changes() {
            let line = shown(change.value().strip_suffix('\n').unwrap_or(change.value()));
            match change.tag() {
                ChangeTag::Equal => text += &format!(" {line}\n"),
                ChangeTag::Delete => text += &styled("31", &format!("-{line}")),
                ChangeTag::Insert => text += &styled("32", &format!("+{line}")),
            }
            if !change.value().ends_with('\n') {
                text += "\\ No newline at end of file\n";
            }
        }
    }
    text
}

/// A line of a note; a carriage return at its end is one of its line ending.
fn shown(line: &str) -> String {
    match line.strip_suffix('\r') {
        Some(line) => format!("{}\r", visible(line)),
        None => visible(line).into_owned(),
    }
}
