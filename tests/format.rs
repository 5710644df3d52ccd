//! The canonical form of notes, and `rimebook fmt`.

use super::properties::any_text;
use super::spoken::{lost, lost_of_said, written_out};
use super::support::{Run, cases, files, note};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rimebook::compile::Compiled;
use rimebook::diagnostic::{Severity, code};
use rimebook::format::{Style, canonical};
use rimebook::source::Source;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

#[allow(
    dead_code,
    reason = "the benchmarks' generator, of which the notes are used here"
)]
#[path = "benches/generate.rs"]
mod generate;

const SIGNS: Style = Style { unit_signs: true };

fn form(text: &str) -> String {
    styled(text, Style::default())
}

fn styled(text: &str, style: Style) -> String {
    canonical(&Source::new("note.job", text), style).into_owned()
}

/// Lines that changed as they were and as they are, the others once.
fn changes(before: &str, after: &str) -> String {
    let pairs = before.lines().zip(after.lines());
    let shown = pairs.map(|(old, new)| match old == new {
        true => format!("  {old}\n"),
        false => format!("- {old}\n+ {new}\n"),
    });
    shown.collect()
}

#[test]
fn every_case_is_written_as_before() {
    insta::glob!("cases/format/*.job", |path| {
        let text = std::fs::read_to_string(path).expect("a case");
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!("format", changes(&text, &form(&text)));
        });
    });
}

#[test]
fn the_readme_shows_what_comes_out() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(readme).expect("the read-me");
    let blocks: Vec<&str> = readme.split("```diff\n").skip(1).collect();
    assert_eq!(blocks.len(), 2, "lines before and after, typed and spoken");
    for shown in blocks {
        let shown = shown.split("```").next().unwrap_or_default();
        let side = |sign: char| -> String {
            let lines = shown.lines().filter_map(|line| line.strip_prefix(sign));
            let lines: Vec<&str> = lines.collect();
            format!("visit 2026-03-14 Dana R.\n{}\n", lines.join("\n"))
        };
        assert_eq!(form(&side('-')), side('+'));
    }
}

#[test]
fn signs_of_units_are_a_matter_of_style() {
    let plain = "visit 2026-03-14 Dana R.\n0912 box 17 F, C-R 1.2 ohm, insulation 50 megohm, run capacitor 45 uF\n\
                 0913 superheat 8 F, heater resistance 2 kohm\n0914 hold nitrogen 150 psig at 72 F\n";
    let signs = "visit 2026-03-14 Dana R.\n0912 box 17 °F, C-R 1.2 Ω, insulation 50 MΩ, run capacitor 45 µF\n\
                 0913 superheat 8 °F, heater resistance 2 kΩ\n0914 hold nitrogen 150 psig at 72 °F\n";
    assert_eq!(styled(plain, SIGNS), signs);
    assert_eq!(form(signs), plain);
}

#[test]
fn endings_a_byte_order_mark_and_a_missing_newline_stay() {
    let text = "\u{feff}Unit: WIF-2\r\nvisit 2026-03-14 Dana R.\n9:12 box 17F  \r\n\r\n9:13 box 17F # warm \n9:14 box 17F ";
    let canonical = "\u{feff}unit: WIF-2\r\nvisit 2026-03-14 Dana R.\n0912 box 17 F\r\n\r\n0913 box 17 F # warm \n0914 box 17 F";
    assert_eq!(form(text), canonical);
}

#[test]
fn a_canonical_note_is_not_copied() {
    let text = "unit: WIF-2\nvisit 2026-03-14 Dana R.\n0912 box 17 F\n";
    let source = Source::new("note.job", text);
    let form = canonical(&source, Style::default());
    assert!(matches!(form, std::borrow::Cow::Borrowed(_)));
}

#[test]
fn where_all_lines_together_would_say_something_else_the_others_are_written_anew() {
    // The only Celsius of the note: as `K` it would leave the note without a scale.
    let text = "visit 2026-03-14 Dana R.\n9:12 subcooling 4 C\n9:13 suction 2 psi\n";
    let form = form(text);
    assert_eq!(
        form,
        "visit 2026-03-14 Dana R.\n9:12 subcooling 4 C\n0913 suction 2 psig\n"
    );
}

/// The codes of a note's doubts, its values and its findings.
fn meaning(compiled: &Compiled) -> (Vec<&'static str>, Vec<String>, Vec<&'static str>) {
    let doubts = compiled.diagnostics.iter();
    let doubts = doubts.filter(|d| d.severity != Severity::Advice);
    let mut codes: Vec<_> = doubts.map(|d| d.code.id).collect();
    codes.sort_unstable();
    let values = compiled.derived.values.iter();
    let values =
        values.map(|d| format!("{:?} {} {}", d.at, d.label(), d.text(compiled.job.display)));
    let found = compiled.findings().found.iter();
    let found = found.map(|f| f.rule.code.id);
    (codes, values.collect(), found.collect())
}

/// What must hold for any text.
fn check(text: &str, style: Style) -> Result<(), TestCaseError> {
    let form = styled(text, style);
    prop_assert_eq!(
        &styled(&form, style),
        &form,
        "not the same again: {:?}",
        text
    );
    let (before, after) = (note(text), note(&form));
    prop_assert!(
        before.job.says_the_same_as(&after.job),
        "{:?}\n{:?}",
        text,
        form
    );
    prop_assert_eq!(meaning(&before), meaning(&after));
    let places = |text: &str| {
        let source = Source::new("", text);
        source
            .lines()
            .map(|line| source.slice(line).to_owned())
            .collect::<Vec<String>>()
    };
    let spoken: HashSet<u32> = before
        .diagnostics
        .iter()
        .filter(|d| d.code.id == code::UNDERSTOOD_AS.id)
        .map(|d| before.source.line(d.span().start))
        .collect();
    // A spoken line is written as it was understood, which may be several lines.
    let lines = written_out(&before);
    let (old, new) = (places(text), places(&form));
    prop_assert_eq!(
        new.len(),
        lines.iter().sum::<usize>(),
        "{:?}\n{:?}",
        text,
        form
    );
    let mut rest = new.as_slice();
    for (at, (old, &count)) in old.iter().zip(&lines).enumerate() {
        let (new, after) = rest.split_at(count);
        rest = after;
        let said = spoken.contains(&(at as u32 + 1));
        let new = new.join("\n");
        let lost = if said {
            lost_of_said(old, &new)
        } else {
            lost(old, &new)
        };
        prop_assert!(lost.is_empty(), "{:?} lost {:?} in {:?}", old, lost, new);
    }
    // What is between the lines is not the form's business; a line that becomes several has its own
    // ending behind each.
    let ends = |text: &str| {
        text.split_inclusive('\n')
            .map(|l| l.ends_with("\r\n"))
            .collect::<Vec<bool>>()
    };
    if !text.contains("\r\r") {
        let own = ends(text);
        let before_last = own.iter().rev().nth(1).copied().unwrap_or_default();
        let open = !text.ends_with('\n');
        let mut expected = Vec::new();
        for (at, (&end, &count)) in own.iter().zip(&lines).enumerate() {
            let last = open && at + 1 == own.len();
            expected.extend(std::iter::repeat_n(
                if last { before_last } else { end },
                count,
            ));
            if let (true, Some(last)) = (last, expected.last_mut()) {
                *last = false;
            }
        }
        expected.resize(
            expected.len() + own.len().saturating_sub(lines.len()),
            false,
        );
        prop_assert_eq!(ends(&form), expected, "{:?}\n{:?}", text, form);
        prop_assert_eq!(text.ends_with('\n'), form.ends_with('\n'));
        prop_assert_eq!(text.starts_with('\u{feff}'), form.starts_with('\u{feff}'));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_126), ..ProptestConfig::default() })]

    #[test]
    fn any_text_says_the_same_in_canonical_form(text in any_text(), signs in any::<bool>()) {
        check(&text, Style { unit_signs: signs })?;
    }

    #[test]
    fn generated_notes_typed_with_a_thumb_say_the_same(index in 0u64..10_000, slips in slips()) {
        check(&typed(&generate::generate(7, index), &slips), Style::default())?;
    }
}

/// Other ways of writing the same, each at so many places of a note.
fn slips() -> impl Strategy<Value = Vec<(usize, prop::sample::Index)>> {
    proptest::collection::vec((0..SLIPS.len(), any::<prop::sample::Index>()), 1..20)
}

const SLIPS: &[(&str, &str)] = &[
    (" psig", "psi"),
    (" psig", "#"),
    (" F", "°F"),
    (" F", ""),
    (", ", "; "),
    (", ", " and "),
    ("suction line", "suction temp"),
    ("0", "O"),
    (" ", "  "),
    ("saw", "Found:"),
    (".", ","),
    ("-", "−"),
    (" V", " volts"),
    ("compressor ", "comp "),
    (" lb", "lbs"),
    ("visit", "Visit:"),
    ("told", "explained to"),
    ("box", "box is"),
    ("\n", " \r\n"),
    (" A", ""),
    (" micron", ""),
    ("\n0", "\n"),
    ("\n1", "\n "),
    ("box", "case"),
    ("evap", "evap 2"),
    (":", " -"),
    ("F", "C"),
];

fn typed(text: &str, slips: &[(usize, prop::sample::Index)]) -> String {
    let mut text = text.to_owned();
    for (slip, place) in slips {
        let (from, to) = SLIPS[*slip];
        let places: Vec<usize> = text.match_indices(from).map(|(at, _)| at).collect();
        if !places.is_empty() {
            let at = places[place.index(places.len())];
            text.replace_range(at..at + from.len(), to);
        }
    }
    text
}

fn notes() -> Vec<PathBuf> {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let all = [files(&examples), files(&cases())].concat();
    let is_text = |path: &PathBuf| path.extension().is_some_and(|e| e == "job" || e == "txt");
    all.into_iter().filter(is_text).collect()
}

#[test]
fn every_note_of_the_repository_says_the_same() {
    for path in notes() {
        let Ok(text) = std::fs::read_to_string(&path) else {
            continue;
        };
        for style in [Style::default(), SIGNS] {
            if let Err(why) = check(&text, style) {
                panic!("{}: {why}", path.display());
            }
        }
    }
}

#[test]
fn generated_notes_are_canonical_but_for_their_slips() {
    for index in 0..300 {
        let text = generate::generate(2026, index);
        check(&text, Style::default()).unwrap_or_else(|why| panic!("{index}: {why}"));
    }
}

const SLOPPY: &str =
    "unit: WIF-2\nrefrigerant: R-448A, 22 lb\nvisit 2026-03-14 Dana R.\n9:12 box 17F\n";
const NEAT: &str =
    "unit: WIF-2\nrefrigerant: R-448A, 22 lb\nvisit 2026-03-14 Dana R.\n0912 box 17 F\n";

#[test]
fn check_names_what_is_not_canonical_and_writes_nothing() {
    let run = Run::new()
        .file("jobs/a.job", SLOPPY)
        .file("jobs/b.job", NEAT);
    let run = run.args(["fmt", "--check", "jobs"]).go().exits(1);
    assert_eq!(run.stdout, "jobs/a.job: not in canonical form\n");
    assert_eq!(run.holds("jobs/a.job"), SLOPPY);
    let run = Run::new()
        .file("b.job", NEAT)
        .args(["fmt", "--check", "b.job"])
        .go();
    assert_eq!(run.exits(0).stdout, "");
}

#[test]
fn stdout_and_standard_input_are_printed() {
    let run = Run::new().file("a.job", SLOPPY).file("b.job", NEAT);
    let run = run.args(["fmt", "--stdout", "a.job", "b.job"]).go();
    assert_eq!(run.exits(0).stdout, format!("{NEAT}{NEAT}"));
    let run = Run::new().stdin(SLOPPY).args(["fmt", "-"]).go();
    assert_eq!(run.exits(0).stdout, NEAT);
    let run = Run::new().stdin(SLOPPY).args(["fmt", "--check", "-"]).go();
    run.exits(1).says("standard input: not in canonical form");
    let run = Run::new()
        .args(["fmt", "--check", "--stdout", "a.job"])
        .go();
    run.exits(2).complains("cannot be used with");
}

#[cfg(unix)]
#[test]
fn a_note_is_rewritten_in_place_and_a_canonical_one_is_not_touched() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let mut untouched = 0;
    let run = Run::new()
        .file("a.job", SLOPPY)
        .file("b.job", NEAT)
        .file("store/c.job", SLOPPY);
    let run = run.with(|folder| {
        let mode = std::fs::Permissions::from_mode(0o640);
        std::fs::set_permissions(folder.join("a.job"), mode).expect("a mode");
        symlink("store/c.job", folder.join("link.job")).expect("a link");
        untouched = std::fs::metadata(folder.join("b.job"))
            .expect("a note")
            .ino();
    });
    let run = run
        .args(["fmt", "."])
        .go()
        .exits(0)
        .says("a.job: rewritten");
    // The link and the note that it leads to are one note.
    assert_eq!(run.stdout.lines().count(), 2, "{run:?}");
    assert_eq!(run.holds("a.job"), NEAT);
    assert_eq!(run.holds("store/c.job"), NEAT);
    assert!(run.path("link.job").is_symlink());
    let held = |name| std::fs::metadata(run.path(name)).expect("a note");
    assert_eq!(held("a.job").permissions().mode() & 0o777, 0o640);
    assert_eq!(held("b.job").ino(), untouched);
}

#[test]
fn a_note_that_cannot_be_read_is_said_and_the_others_are_written() {
    let run = Run::new()
        .file("jobs/a.job", [0xFF, 0xFE, b'u', 0])
        .file("jobs/b.job", SLOPPY);
    let run = run.args(["fmt", "jobs"]).go();
    run.exits(1)
        .says("jobs/b.job: rewritten")
        .complains("UTF-16");
    let run = Run::new()
        .file("a.job", [0xFF, 0xFE])
        .args(["fmt", "a.job"])
        .go();
    run.exits(2).complains("UTF-16");
    let run = Run::new().args(["fmt", "none.job"]).go();
    run.exits(2).complains("there is no such file");
}

#[test]
fn the_style_is_the_folders() {
    let run = Run::new()
        .file("rimebook.toml", "unit_signs = true\n")
        .file("a.job", SLOPPY);
    let run = run.args(["fmt", "--stdout", "a.job"]).go();
    run.exits(0).says("0912 box 17 °F");
}

/// A tab is a blank: a note with tabs for blanks comes to the same before `fmt` and after it.
#[test]
fn tabs_mean_what_blanks_mean() {
    for name in [
        "cooler-food-plan",
        "freezer-two-visits",
        "rooftop-contactor",
    ] {
        let path = format!("{}/examples/{name}.job", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("an example");
        let tabs = text.replace(' ', "\t");
        let findings = |text: &str| {
            let compiled = rimebook::compile::compile(rimebook::source::Source::new("a.job", text));
            let found = compiled.findings().found.iter();
            let found: Vec<String> = found
                .map(|f| format!("{} {}", f.rule.code.id, f.text))
                .collect();
            found
        };
        assert!(!findings(&text).is_empty());
        assert_eq!(findings(&tabs), findings(&text), "{name}");
    }
}
