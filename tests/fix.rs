//! Replacements: how they are shown, which are applied, and what is left to choose.

use rimebook::diagnostic::{Diagnostic, annotated, code, short, to_json};
use rimebook::source::{Source, Span};

/// A problem with two replacements, the likelier first.
fn doubtful() -> (Source, Diagnostic) {
    let source = Source::new("note.job", "visit 2026-03-14 Dana R.\n0912 sucktion 31\n");
    let word = Span::new(30, 38);
    let diagnostic = Diagnostic::new(
        &code::UNKNOWN_POINT,
        word,
        "`sucktion` is no measuring point",
    )
    .likely_fix("write `suction`", word, "suction")
    .likely_fix("write `suction line`", word, "suction line");
    (source, diagnostic)
}

#[test]
fn each_replacement_is_shown_as_its_own() {
    let (source, diagnostic) = doubtful();
    insta::assert_snapshot!(annotated(&source, &diagnostic, false), @r"
error[RB104]: `sucktion` is no measuring point
 --> note.job:2:6
  |
2 | 0912 sucktion 31
  |      ^^^^^^^^
  |
help: write `suction`
  |
2 - 0912 sucktion 31
2 + 0912 suction 31
  |
help: write `suction line`
  |
2 - 0912 sucktion 31
2 + 0912 suction line 31
  |
");
    assert_eq!(
        short(&source, &diagnostic),
        "note.job:2:6: error[RB104] `sucktion` is no measuring point"
    );
    let json = serde_json::to_value(to_json(&source, &diagnostic)).expect("JSON");
    let written: Vec<_> = json["fixes"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|fix| fix["replacement"].as_str())
        .collect();
    assert_eq!(written, [Some("suction"), Some("suction line")]);
}

#[test]
fn only_a_safe_replacement_without_another_is_certain() {
    let place = Span::new(0, 1);
    let new = || Diagnostic::new(&code::UNKNOWN_POINT, place, "a");
    assert!(new().certain_fix().is_none());
    assert!(new().likely_fix("b", place, "b").certain_fix().is_none());
    let safe = new().safe_fix("b", place, "b");
    assert_eq!(safe.certain_fix(), safe.fixes.first());
    assert!(safe.likely_fix("c", place, "c").certain_fix().is_none());
}
