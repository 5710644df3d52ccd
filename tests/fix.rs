//! Replacements: how they are shown, which are applied, and what is left to choose.

use super::properties::any_text;
use super::spoken::{origins, written_out};
use super::support::{cases, files, note};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::RngSeed;
use rimebook::compile::Compiled;
use rimebook::diagnostic::{Diagnostic, annotated, code, short, to_json};
use rimebook::fixes::{Choice, Fixed, fixed};
use rimebook::source::{Source, Span};
use std::collections::BTreeMap;

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

const HEAD: &str =
    "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\nvisit 2026-03-14 Dana R.\n";

fn worked(lines: &str) -> Fixed {
    fixed(Source::new("note.job", format!("{HEAD}{lines}")), &[]).expect("no choices to refuse")
}

/// What stands below the head.
fn lines(fixed: &Fixed) -> &str {
    fixed.after.strip_prefix(HEAD).expect("the head is kept")
}

fn choices(written: &[&str]) -> Vec<Choice> {
    written
        .iter()
        .map(|text| text.parse().expect("a choice"))
        .collect()
}

#[test]
fn what_is_certain_is_put_in_in_one_go() {
    let fixed =
        worked("0912 ambient 82, box 4,5\n0913 suction line 12 F, discharge 238 lb\n0930 depart\n");
    assert_eq!(
        lines(&fixed),
        "0912 ambient 82 F, box 4.5 F\n0913 suction line 12 F, discharge 238 psig\n0930 depart\n"
    );
    // The comma and the unit of `4,5` touch: the second was put in at a second look.
    assert_eq!((fixed.applied, fixed.left.len(), fixed.errors), (4, 0, 0));
    assert_eq!(fixed.summary(true), "note.job: 4 fixes applied\n");
    assert_eq!(fixed.summary(false), "note.job: 4 fixes to apply\n");
}

#[test]
fn a_mark_of_degrees_becomes_the_unit() {
    let fixed = worked("0912 box 31°, ambient 82 F\n0913 box 31 degrees, ambient 31 °\n");
    assert_eq!(
        lines(&fixed),
        "0912 box 31 F, ambient 82 F\n0913 box 31 F, ambient 31 F\n"
    );
}

#[test]
fn fixed_again_nothing_changes() {
    let once = worked("0912 ambient 82, box 4,5\n0913 box 12 F, sucktoin 4,2\n0914 zzyzx\n");
    let twice = fixed(Source::new("note.job", once.after.as_str()), &[]).expect("no choices");
    assert_eq!(once.after, twice.after);
    assert_eq!(once.left, twice.left);
    assert_eq!((twice.applied, twice.errors), (0, 1));
    assert_eq!(
        worked("0912 box 4 F\n").summary(true),
        "note.job: nothing to fix\n"
    );
}

#[test]
fn line_endings_and_what_needs_no_fix_stay_as_they_are() {
    let text = "\u{feff}unit: WIF-2\r\nvisit 2026-03-14 Dana R.\r\n0912  box 4,5 F  # as found\r\n\t0913 saw ice \r\n0914 ambient 82 F";
    let fixed = fixed(Source::new("note.job", text), &[]).expect("no choices");
    assert_eq!(fixed.before, text);
    assert_eq!(fixed.after, text.replace("4,5", "4.5"));
}

#[test]
fn what_is_only_likely_is_listed_and_never_put_in() {
    let fixed = worked("0912 sucktoin 4.2 psig\n0913 suction 31 F\n");
    assert_eq!(fixed.before, fixed.after);
    insta::assert_snapshot!(fixed.summary(true), @r"
    note.job: 0 fixes applied, 2 left to choose
      line 4: error[RB104] `sucktoin` is no measuring point
        4a: write `suction`
          0912 suction 4.2 psig
      line 5: error[RB201] `suction` is a pressure, and `F` is a unit of temperature
        5a: write `suction line` if that is meant
          0913 suction line 31 F
    ");
}

#[test]
fn a_certain_fix_never_settles_a_doubt_beside_it() {
    // `17 # F`: a suction of 17 pounds, or a comment. With `psig` put in, nobody would ask.
    let fixed = worked("0912 discharge 238 psig\n0913 suction 17 # F\n");
    assert_eq!(fixed.applied, 0);
    let offers: Vec<&str> = fixed
        .left
        .iter()
        .flat_map(|left| &left.offers)
        .map(|offer| offer.line.as_str())
        .collect();
    assert_eq!(offers, ["0913 suction 17 psig # F", "0913 suction 17# F"]);
}

#[test]
fn on_a_line_that_could_not_be_read_whole_nothing_is_certain() {
    // `box 4` is not what was meant; the writer corrects the line, and the rest follows.
    let fixed = worked("0911 box 4 F\n0912 box 4,5, ambient 82\n");
    assert_eq!(
        (fixed.applied, fixed.left.len(), fixed.errors),
        (0, 0, 1),
        "{fixed:?}"
    );
    let fixed = worked("0911 box 4 F\n0912 sucktoin 4 psig, ambient 82\n");
    assert_eq!((fixed.applied, fixed.left.len()), (0, 1));
}

#[test]
fn a_fix_that_says_more_than_it_is_for_is_left_to_choose() {
    // `17-` is kept with a remark; `17 F -` would be read without one.
    let fixed = worked("0911 box 4 F\n0912 box 17-, ambient 82\n");
    assert_eq!((fixed.applied, fixed.left.len()), (0, 2), "{fixed:?}");
}

#[test]
fn a_unit_that_custom_alone_tells_is_confirmed_once() {
    let text = format!("{HEAD}0912 box 4\n0913 ambient 82, suction line -3\n");
    let source = || Source::new("note.job", text.as_str());
    let asked = fixed(source(), &[]).expect("no choices");
    assert_eq!((asked.applied, asked.left.len()), (0, 3));
    // One of them written, the note says it itself.
    let told = fixed(source(), &choices(&["4a"])).expect("an offered choice");
    assert_eq!(
        lines(&told),
        "0912 box 4 F\n0913 ambient 82 F, suction line -3 F\n"
    );
}

#[test]
fn a_choice_is_put_in_and_what_it_brings_to_light_as_well() {
    let text =
        format!("{HEAD}0912 box 4 F\n0913 sucktoin 4,2\n0914 sucktoin 5 psig, dishcage 90\n");
    let work = |written: &[&str]| fixed(Source::new("note.job", text.as_str()), &choices(written));
    let done = work(&["5a", "6B"]).expect("offered choices");
    assert_eq!(
        lines(&done),
        "0912 box 4 F\n0913 suction 4.2 psig\n0914 sucktoin 5 psig, discharge 90\n"
    );
    assert_eq!(done.left.len(), 1);
    assert_eq!(work(&["5a", "5a"]).expect("said twice").left.len(), 2);
    assert_eq!(
        work(&["5a", "6c"]).expect_err("not offered"),
        "there is no choice 6c; without --choose, all are listed"
    );
}

#[test]
fn choices_are_read_as_they_are_written() {
    for (written, shown) in [("12a", "12a"), ("7B", "7b"), ("3zb", "3zb")] {
        let choice: Choice = written.parse().expect("a choice");
        assert_eq!(choice.to_string(), shown);
    }
    for written in ["", "a", "12", "a12", "12ab", "12é", "12a ", "99999999999a"] {
        let refused = written.parse::<Choice>().expect_err(written);
        assert!(refused.contains("the line and its letter"), "{refused}");
    }
}

#[test]
fn a_fix_never_makes_a_line_too_long_to_be_read() {
    let line = format!("0912 box 40 F, box 17;{}", " ".repeat(4096 - 22));
    assert_eq!(line.len(), Source::MAX_LINE_BYTES);
    let full = worked(&line);
    assert_eq!((full.applied, full.left.len()), (0, 1));
    assert_eq!(worked(&line[..4094]).applied, 1);
}

/// Pieces of entries that bring replacements about, and neighbours for them.
const PIECES: &[&str] = &[
    "0912 ",
    "\n",
    "\r\n",
    "\n  ",
    "suction",
    "sucktoin",
    "suction line",
    "box",
    "discharge",
    "dishcage",
    "coil",
    "ambient",
    "vacuum",
    "compressor",
    "setpoint:",
    " ",
    ", ",
    "/",
    "4,2",
    "17",
    "1,200",
    "-5",
    "°",
    "degrees",
    "psig",
    "psg",
    "F",
    "C",
    "lb",
    "#",
    " # ",
    "A",
    "bar",
    "kPa",
    "micron",
    "visit 3/4/2026",
    "cleened coil",
    "saw ice",
    "left alarm",
    "added 3 lb R-448",
    "\u{feff}",
    "\0",
    "é",
    "½",
];

fn any_note() -> impl Strategy<Value = String> {
    proptest::collection::vec((select(PIECES), select(&["", " "][..])), 0..60).prop_map(|pieces| {
        let entries: String = pieces.into_iter().flat_map(|(a, b)| [a, b]).collect();
        format!("{HEAD}{entries}")
    })
}

/// Problems that need a choice, or have no replacement, by line and code. `origins` are the lines that
/// the note's lines are known by.
fn doubts(compiled: &Compiled, origins: &[u32]) -> BTreeMap<(u32, &'static str), usize> {
    let mut found = BTreeMap::new();
    for diagnostic in &compiled.diagnostics {
        if diagnostic.certain_fix().is_none() {
            let line = origins[compiled.source.line(diagnostic.span().start) as usize];
            *found.entry((line, diagnostic.code.id)).or_default() += 1;
        }
    }
    found
}

#[test]
fn every_note_at_hand_is_fixed_once() {
    let examples = cases().join("../../examples");
    let mut fixes = 0;
    for path in files(&cases()).into_iter().chain(files(&examples)) {
        let Ok(Ok(source)) =
            std::fs::read(&path).map(|bytes| Source::from_bytes("note.job", bytes))
        else {
            continue;
        };
        let once = fixed(source, &[]).expect("no choices");
        let twice = fixed(Source::new("note.job", once.after.as_str()), &[]).expect("no choices");
        let path = path.display();
        let before = note(&once.before);
        let lines = written_out(&before);
        let (own, origins) = (origins(&vec![1; lines.len()]), origins(&lines));
        assert_eq!(
            doubts(&before, &own),
            doubts(&note(&once.after), &origins),
            "{path}"
        );
        assert_eq!(once.after, twice.after, "{path}");
        assert_eq!(once.left, twice.left, "{path}");
        fixes += once.applied;
    }
    assert!(fixes > 20, "{fixes} fixes");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_126), ..ProptestConfig::default() })]

    #[test]
    fn fixing_any_note_changes_its_lines_alone_and_once(text in prop_oneof![any_note(), any_text()]) {
        let before = note(&text);
        let fixed = fixed(Source::new("note.job", text.as_str()), &[]).expect("no choices");
        prop_assert_eq!(&fixed.before, &text);
        let after = note(&fixed.after);
        // A line that nothing certain was said of is the same bytes, with its ending.
        let with_fix: Vec<u32> = before
            .diagnostics
            .iter()
            .filter(|d| d.certain_fix().is_some())
            .map(|d| before.source.line(d.span().start))
            .collect();
        let lines = written_out(&before);
        let (own, origins) = (origins(&vec![1; lines.len()]), origins(&lines));
        let (old, new): (Vec<&str>, Vec<&str>) =
            (text.split_inclusive('\n').collect(), fixed.after.split_inclusive('\n').collect());
        let mut rest = new.as_slice();
        for (i, old) in old.iter().enumerate() {
            let count = lines.get(i).copied().unwrap_or(1);
            prop_assert!(count <= rest.len(), "{:?}\n{:?}", text, fixed.after);
            let (new, after) = rest.split_at(count);
            rest = after;
            prop_assert!(new == [*old] || with_fix.contains(&(i as u32 + 1)), "{:?} became {:?}", old, new);
        }
        prop_assert!(rest.is_empty());
        // No doubt is settled unasked, and none is brought in.
        prop_assert_eq!(doubts(&before, &own), doubts(&after, &origins), "{}\n{}", text, fixed.after);
        let read = |compiled: &Compiled, origins: &[u32]| -> Vec<String> {
            let of = |r: &rimebook::model::Reading| format!("{} {:?} {} {:?}", origins[r.line as usize], r.at, r.label(), r.written().map(|w| w.quantity));
            compiled.job.readings().map(of).collect()
        };
        prop_assert_eq!(read(&before, &own), read(&after, &origins));
        let again = rimebook::fixes::fixed(Source::new("note.job", fixed.after.as_str()), &[]).expect("no choices");
        prop_assert_eq!(again.applied, 0);
        prop_assert_eq!(&again.after, &fixed.after);
        prop_assert_eq!(again.left, fixed.left);
    }
}
