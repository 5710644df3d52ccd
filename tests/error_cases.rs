//! `cases/errors/RBnnn_slug.job`: each note with the problems of writing as the user sees them.

use super::support::{case, cases, files, rendered};
use rimebook::diagnostic::code::CODES;

#[test]
fn every_case_reads_as_before() {
    insta::glob!("cases/errors/*.job", |path| {
        let text = std::fs::read_to_string(path).expect("a case");
        insta::with_settings!({ description => text, omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!("error", rendered(&case(path)));
        });
    });
}

/// A file that is no text never becomes a note, so its code belongs to the command line's own tests.
const OF_THE_COMMAND: &str = "RB001";

#[test]
fn every_code_has_a_case_that_gives_it() {
    let files = files(&cases().join("errors"));
    for code in CODES.iter().filter(|c| c.id != OF_THE_COMMAND) {
        let mut named = files
            .iter()
            .filter(|path| {
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                name.starts_with(&format!("{}_", code.id))
            })
            .peekable();
        assert!(
            named.peek().is_some(),
            "no case for {} {}",
            code.id,
            code.name
        );
        for path in named {
            let compiled = case(path);
            assert!(
                compiled.diagnostics.iter().any(|d| d.code.id == code.id),
                "{} does not give {}",
                path.display(),
                code.id
            );
        }
    }
}

#[test]
fn every_case_is_named_after_a_code() {
    for path in files(&cases().join("errors")) {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        assert!(
            CODES
                .iter()
                .any(|c| name.starts_with(&format!("{}_", c.id))),
            "{name} is named after no code"
        );
    }
}

#[test]
fn codes_are_unique_and_of_their_band() {
    let rules = rimebook::findings::registry().map(|r| (&r.code, 300..1000));
    let mut seen: Vec<&str> = Vec::new();
    for (code, band) in CODES.iter().map(|&c| (c, 0..300)).chain(rules) {
        let number: u16 = code.id[2..].parse().expect("RB and a number");
        assert!(
            code.id.starts_with("RB") && code.id.len() == 5,
            "{}",
            code.id
        );
        assert!(band.contains(&number), "{} is outside its band", code.id);
        for taken in [code.id, code.name] {
            assert!(!seen.contains(&taken), "{taken} is used twice");
            seen.push(taken);
        }
        assert!(code.explanation.ends_with('.'), "{}", code.id);
    }
}
