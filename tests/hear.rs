//! Whole dictations: the notes they become, their reports, and that no word is lost.

use super::dictated::stated;
use super::facts::Reports;
use super::properties::any_text;
use super::support::{Run, cases};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rimebook::binder::{Beside, text as report};
use rimebook::compile::{Compiled, compile};
use rimebook::format::{Style, canonical};
use rimebook::source::Source;
use rimebook::spoken::hear;
use rimebook::world::MemoryWorld;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

fn recordings() -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(cases().join("heard"))
        .expect("recordings")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .collect();
    files.sort();
    files
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).expect("text")
}

/// The note of a dictation in canonical form.
fn heard(dictation: &str) -> String {
    let note = Source::new("note.job", hear(dictation, None));
    canonical(&note, Style::default()).into_owned()
}

fn compiled(text: &str) -> Compiled {
    compile(Source::new("note.job", text))
}

#[test]
fn a_recording_becomes_a_note_and_its_reports() {
    let recordings = recordings();
    assert!(recordings.len() >= 3);
    for path in recordings {
        let name = path
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let dictation = text(&path);
        assert!(dictation.split_whitespace().count() >= 300, "{name}");
        let note = heard(&dictation);
        let compiled = compiled(&note);
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(format!("heard-{name}.job"), note);
        });
        let reports = Reports::of(|audience, format| {
            let world = MemoryWorld::default();
            report(&compiled, audience, format, &world, &Beside::default())
                .expect("an embedded template renders")
        });
        reports.hold(&format!("heard-{name}"));
    }
}

/// What a person wrote down after listening, beside what was heard: nearly all of it, and nothing wrong
/// without a question about it.
#[test]
fn a_recording_states_what_a_listener_wrote_down() {
    for path in recordings() {
        let said = stated(&compiled(&heard(&text(&path))));
        let expected = stated(&compiled(&text(&path.with_extension("job"))));
        let missing: Vec<&str> = expected
            .lines()
            .filter(|line| !said.lines().any(|l| l == *line))
            .collect();
        let count = expected.lines().count();
        println!("{}: {} of {count}", path.display(), count - missing.len());
        println!("missing: {missing:#?}");
        let others: Vec<&str> = said
            .lines()
            .filter(|line| !expected.lines().any(|l| l == *line))
            .collect();
        println!("other: {others:#?}");
        assert!(
            missing.len() * 10 <= count,
            "{}: {missing:#?}",
            path.display()
        );
    }
}

/// How often each word stands in a text.
fn counted(text: &str) -> HashMap<&str, usize> {
    let mut count = HashMap::new();
    for word in text.split_whitespace() {
        *count.entry(word).or_default() += 1;
    }
    count
}

fn keeps_every_word(dictation: &str) -> Result<(), TestCaseError> {
    let note = heard(dictation);
    let (said, kept) = (counted(dictation), counted(&note));
    for (word, times) in said {
        let found = kept.get(word).copied().unwrap_or(0);
        prop_assert!(
            found >= times,
            "{word:?} {found} of {times} times in\n{note}"
        );
    }
    Ok(())
}

#[test]
fn no_word_of_a_recording_is_lost() {
    for path in recordings() {
        keeps_every_word(&text(&path)).expect("every word");
    }
}

/// Words as they are dictated, in any order.
fn babble() -> impl Strategy<Value = String> {
    let all: Vec<String> = recordings()
        .iter()
        .flat_map(|path| {
            text(path)
                .split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect();
    prop::collection::vec(prop::sample::select(all), 0..120).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_126), ..ProptestConfig::default() })]

    #[test]
    fn no_word_of_any_text_is_lost(text in prop_oneof![babble(), any_text(), any::<String>()]) {
        keeps_every_word(&text)?;
    }

    #[test]
    fn what_was_heard_is_a_note_that_compiles(text in prop_oneof![babble(), any::<String>()]) {
        let note = heard(&text);
        let compiled = compiled(&note);
        let source = Source::new("note.job", note.as_str());
        let again = canonical(&source, Style::default());
        prop_assert_eq!(again.as_ref(), note.as_str());
        prop_assert!(compiled.report().len() < 100_000);
    }
}

#[test]
fn hear_reads_a_file_or_standard_input_and_writes_no_file_over() {
    let said = "[0:04] okay, nine twelve, suction's at four point two psi and the box is at seventeen. \
                [0:11] lovely weather. [0:15] private bring the long ladder.";
    let note = "visit 2026-03-14 Dana R.\n\
                # said: [0:04] okay, nine twelve, suction's at four point two psi and the box is at seventeen.\n\
                0912 suction 4.2 psig, box 17\n\
                # not understood: [0:11] lovely weather.\n\
                # said: [0:15] private bring the long ladder.\n\
                private bring the long ladder\n";
    let visit = "2026-03-14 Dana R.";
    let run = Run::new()
        .file("said.txt", said)
        .args(["hear", "--visit", visit, "said.txt"])
        .go()
        .exits(0);
    assert_eq!(run.stdout, note);
    let readme = include_str!("../README.md");
    assert!(readme.contains(note), "the README shows what comes out");
    let run = Run::new()
        .stdin(said)
        .args(["hear", "--visit", visit])
        .go()
        .exits(0);
    assert_eq!(run.stdout, note);
    let run = Run::new()
        .file("said.txt", said)
        .args(["hear", "said.txt", "-o", "out.job"])
        .go()
        .exits(0);
    assert!(
        run.holds("out.job").contains("\nvisit\n"),
        "no day was said"
    );
    let run = Run::new()
        .file("said.txt", said)
        .file("out.job", "mine\n")
        .args(["hear", "said.txt", "-o", "out.job"])
        .go()
        .exits(2)
        .complains("there already");
    assert_eq!(run.holds("out.job"), "mine\n");
}

/// The lines of a dictation that are no comment.
fn entries(dictation: &str) -> Vec<String> {
    let note = hear(dictation, None);
    let lines = note
        .lines()
        .filter(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    lines.map(str::to_owned).collect()
}

#[test]
fn what_was_not_done_is_no_entry() {
    for said in [
        "Nobody may take the lock off main disconnect.",
        "Tomorrow Lee will take the lock off.",
        "The last guy added three pounds from c one eighteen.",
        "I wish I had recovered three pounds.",
        "It could use added three pounds.",
        "The customer is angry. The job is done.",
    ] {
        assert_eq!(entries(said), Vec::<String>::new(), "{said}");
    }
    for said in [
        "I did not take the lock off main disconnect.",
        "Don't forget to take lock off main disconnect.",
        "I have to remember to take the jumper off low pressure switch.",
        "We shouldn't take the lock off main disconnect.",
        "I'll take the lock off main disconnect.",
    ] {
        let undone = |line: &String| line.starts_with("lock off") || line.starts_with("jumper off");
        assert!(!entries(said).iter().any(undone), "{said}");
    }
}

#[test]
fn private_talk_stays_private_until_something_else_is_plainly_meant() {
    let said = "Private. The manager is a crook and the box is at nineteen. He also lies about the box at \
                forty degrees. Suction four point two. Replaced the fan motor.";
    assert_eq!(
        entries(said),
        [
            "visit",
            "private The manager is a crook and the box is at nineteen. He also lies about the box at forty degrees",
            "suction 4.2",
            "replaced the fan motor"
        ]
    );
}
