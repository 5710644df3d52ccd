//! What is shown to a new user must work as shown.

use rimebook::compile::compile;
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
        .collect();
    assert!(!notes.is_empty(), "no examples");
    for path in notes {
        let text = std::fs::read_to_string(&path).expect("an example is UTF-8");
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let compiled = compile(Source::new(name, text));
        let errors: Vec<String> = compiled
            .diagnostics
            .iter()
            .filter(|d| d.severity == Severity::Error)
            .map(|d| short(&compiled.source, d))
            .collect();
        let hurried = path.ends_with(HURRIED);
        assert_eq!(
            errors.is_empty(),
            !hurried,
            "{}: {errors:#?}",
            path.display()
        );
    }
}
