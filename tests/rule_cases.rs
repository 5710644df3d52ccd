//! `cases/rules/RBnnn-name/*.job`: notes that say in a comment what the rule must make of them.
//!
//! - `# expect: fires RB301 on line 9`: it fires there, and nowhere else that is not named.
//! - `# expect: quiet RB301`: it had all it needs, judged, and found nothing.
//! - `# expect: not evaluated RB301`: it lacked something, and says so.
//! - `# expect: says 12.8`: a finding of the folder's rule has these words.
//! - `# expect: only`: no other rule fires on the note than those that a `fires` line names.

use super::support::{case, cases, files};
use rimebook::compile::Compiled;
use rimebook::diagnostic::Severity;
use rimebook::findings::registry;
use std::path::Path;

/// What one `# expect:` line asks for.
enum Expect<'a> {
    Fires { code: &'a str, line: u32 },
    Quiet(&'a str),
    NotEvaluated(&'a str),
    Says(&'a str),
    Only,
}

fn expectations(text: &str) -> Vec<Expect<'_>> {
    text.lines()
        .filter_map(|line| line.strip_prefix("# expect: "))
        .map(|asked| {
            if let Some(rest) = asked.strip_prefix("fires ") {
                let (code, line) = rest.split_once(" on line ").expect("a code and a line");
                let line = line.parse().expect("a line number");
                Expect::Fires { code, line }
            } else if let Some(code) = asked.strip_prefix("quiet ") {
                Expect::Quiet(code)
            } else if let Some(code) = asked.strip_prefix("not evaluated ") {
                Expect::NotEvaluated(code)
            } else if let Some(words) = asked.strip_prefix("says ") {
                Expect::Says(words)
            } else if asked == "only" {
                Expect::Only
            } else {
                panic!("`{asked}` is no expectation")
            }
        })
        .collect()
}

/// Lines a rule fired on, in order.
fn fired(compiled: &Compiled, code: &str) -> Vec<u32> {
    compiled
        .findings()
        .found
        .iter()
        .filter(|f| f.rule.code.id == code)
        .map(|f| compiled.source.line(f.span().start))
        .collect()
}

fn not_evaluated(compiled: &Compiled, code: &str) -> bool {
    compiled
        .findings()
        .not_evaluated
        .iter()
        .any(|r| r.code.id == code)
}

fn known(code: &str) -> bool {
    registry().any(|r| r.code.id == code)
}

fn holds(path: &Path) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    let compiled = case(path);
    // A case with a slip in it would be quiet for the wrong reason.
    if let Some(slip) = compiled
        .diagnostics
        .iter()
        .find(|d| d.severity == Severity::Error)
    {
        return Err(format!("the case itself has an error: {}", slip.message));
    }
    let folder = folder_code(path);
    let asked = expectations(&text);
    if asked.is_empty() {
        return Err("no `# expect:` line".to_owned());
    }
    for expect in &asked {
        match *expect {
            Expect::Fires { code, .. } => {
                let lines: Vec<u32> = asked
                    .iter()
                    .filter_map(|e| match *e {
                        Expect::Fires { code: other, line } if other == code => Some(line),
                        _ => None,
                    })
                    .collect();
                let found = fired(&compiled, code);
                if found != lines {
                    return Err(format!("{code} fired on {found:?}, expected {lines:?}"));
                }
            }
            Expect::Quiet(code) => {
                let found = fired(&compiled, code);
                if !known(code) || !found.is_empty() || not_evaluated(&compiled, code) {
                    let lacked = not_evaluated(&compiled, code);
                    return Err(format!(
                        "{code} fired on {found:?}, not evaluated: {lacked}; expected quiet"
                    ));
                }
            }
            Expect::NotEvaluated(code) => {
                let found = fired(&compiled, code);
                if !found.is_empty() || !not_evaluated(&compiled, code) {
                    return Err(format!("{code} was judged and fired on {found:?}"));
                }
            }
            Expect::Only => {
                let named = |id: &str| {
                    asked
                        .iter()
                        .any(|e| matches!(*e, Expect::Fires { code, .. } if code == id))
                };
                let others: Vec<(&str, u32)> = compiled
                    .findings()
                    .found
                    .iter()
                    .filter(|f| !named(f.rule.code.id))
                    .map(|f| (f.rule.code.id, compiled.source.line(f.span().start)))
                    .collect();
                if !others.is_empty() {
                    return Err(format!("these fired too: {others:?}"));
                }
            }
            Expect::Says(words) => {
                let said: Vec<&str> = compiled
                    .findings()
                    .found
                    .iter()
                    .filter(|f| f.rule.code.id == folder)
                    .map(|f| f.text.as_str())
                    .collect();
                if !said.iter().any(|s| s.contains(words)) {
                    return Err(format!("no finding says `{words}`: {said:?}"));
                }
            }
        }
    }
    Ok(())
}

/// `RB301` of `cases/rules/RB301-high-superheat/fires.job`.
fn folder_code(path: &Path) -> String {
    path.parent()
        .and_then(Path::file_name)
        .map(|name| name.to_string_lossy()[..5].to_owned())
        .unwrap_or_default()
}

#[test]
fn every_rule_does_what_its_cases_say() {
    let failures: Vec<String> = files(&cases().join("rules"))
        .iter()
        .filter_map(|path| {
            let why = holds(path).err()?;
            let shown = path.strip_prefix(cases()).unwrap_or(path).display();
            Some(format!("{shown}: {why}"))
        })
        .collect();
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
}

#[test]
fn every_rule_has_a_case_that_fires_and_one_that_is_quiet() {
    let all = files(&cases().join("rules"));
    for rule in registry() {
        let folder = format!("{}-{}", rule.code.id, rule.code.name);
        for (file, words) in [("fires", "fires"), ("quiet", "quiet")] {
            let wanted = format!("# expect: {words} {}", rule.code.id);
            let found = all.iter().any(|path| {
                path.parent()
                    .and_then(Path::file_name)
                    .is_some_and(|f| *f == *folder)
                    && path
                        .file_name()
                        .is_some_and(|f| f.to_string_lossy().starts_with(file))
                    && std::fs::read_to_string(path).is_ok_and(|text| text.contains(&wanted))
            });
            assert!(found, "{folder} has no {file} case");
        }
    }
}

#[test]
fn every_folder_is_a_rule() {
    let entries = std::fs::read_dir(cases().join("rules")).expect("the rule cases");
    for entry in entries {
        let name = entry
            .expect("a folder")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            registry().any(|r| name == format!("{}-{}", r.code.id, r.code.name)),
            "{name} is no rule"
        );
    }
}

#[test]
fn every_rule_says_what_a_reader_needs() {
    for rule in registry() {
        let id = rule.code.id;
        assert!(!rule.needs.is_empty() && !rule.source.is_empty(), "{id}");
        assert!(rule.plain.ends_with('.'), "{id}: {}", rule.plain);
        // The customer's sentence is free of the trade's codes and abbreviations.
        for jargon in [
            "RB",
            "TXV",
            "superheat",
            "subcooling",
            "psig",
            "micron",
            "coil V",
        ] {
            assert!(!rule.plain.contains(jargon), "{id}: {}", rule.plain);
        }
    }
}
