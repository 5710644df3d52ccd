//! The company's folder in `examples/company`: every note compiles, and only the lines that are
//! broken on purpose are errors. Its read-me tells of every note.

use super::support::files;
use rimebook::compile::compile;
use rimebook::diagnostic::{Severity, code};
use rimebook::source::Source;
use std::path::Path;

/// Note, code and line of every error that its note is there to show.
const BROKEN: &[(&str, &str, u32)] = &[("tamblewick/2026-01-20-wif-2.job", "RB104", 21)];
/// Note and line of every slip that is understood all the same.
const UNDERSTOOD: &[(&str, u32)] = &[("tamblewick/2026-01-20-wif-2.job", 29)];

#[test]
fn every_note_of_the_company_has_no_error_but_the_intended_ones() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/company");
    let readme = std::fs::read_to_string(folder.join("README.md")).expect("a read-me");
    let (mut found, mut understood) = (Vec::new(), Vec::new());
    for path in files(&folder) {
        if path.extension().is_none_or(|e| e != "job") {
            continue;
        }
        let name = path.strip_prefix(&folder).expect("a file of the folder");
        let name = name.to_string_lossy().replace('\\', "/");
        assert!(
            readme.contains(&format!("({name})")),
            "{name} is not told of"
        );
        let text = std::fs::read_to_string(&path).expect("a note is UTF-8");
        let compiled = compile(Source::new(name.clone(), text));
        assert!(!compiled.job.visits.is_empty(), "{name} has no visit");
        for diagnostic in compiled.report() {
            let line = compiled.source.line(diagnostic.span().start);
            if diagnostic.severity == Severity::Error {
                found.push((name.clone(), diagnostic.code.id, line));
            }
            if diagnostic.code.id == code::UNDERSTOOD_AS.id {
                understood.push((name.clone(), line));
            }
        }
    }
    let found: Vec<(&str, &str, u32)> = found.iter().map(|(n, c, l)| (&n[..], *c, *l)).collect();
    assert_eq!(found, BROKEN);
    let understood: Vec<(&str, u32)> = understood.iter().map(|(n, l)| (&n[..], *l)).collect();
    assert_eq!(understood, UNDERSTOOD);
}
