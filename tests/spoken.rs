//! What must hold for notes that were spoken or thumbed, whatever became of their words.

use super::properties::PIECES;
use super::support::{cases, files, note, rendered};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::RngSeed;
use rimebook::binder::{Beside, text as report};
use rimebook::compile::Compiled;
use rimebook::diagnostic::code;
use rimebook::quantity::{UNITS, fold_unit};
use rimebook::render::Format;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::vocabulary::{POINTS, Slip, VERBS, fold, head_spellings, slips_from, state};
use rimebook::world::MemoryWorld;
use rphonetic::{DoubleMetaphone, Encoder};
use std::collections::HashSet;
use std::sync::LazyLock;

const HEAD: &str = "unit: WIF-1, walk-in freezer\nrefrigerant: R-448A, 22 lb\nsetpoint: -5 F\n";
const VISIT: &str = "visit 2026-03-14 Dana, Lee\n";

/// The lines of the corpus as they were spoken and thumbed.
static SAID: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut said = Vec::new();
    for path in files(&cases().join("dictated")) {
        let text = std::fs::read_to_string(&path).expect("text");
        said.extend(
            text.lines()
                .filter_map(|l| l.strip_prefix("< "))
                .map(str::to_owned),
        );
    }
    said
});

/// A line of the corpus with some of its words gone, doubled, changed over, cut, or beside a piece.
fn line() -> impl Strategy<Value = String> {
    let change = (any::<Index>(), 0usize..6, select(PIECES));
    let lead = select(
        &[
            "",
            "",
            "",
            "0912 ",
            "9:12 pm ",
            "at nine twelve ",
            "private ",
        ][..],
    );
    let tail = select(&["", "", "", " # by voice", ".", ", and", " scratch that"][..]);
    let lines = select(SAID.as_slice());
    (lines, lead, tail, proptest::collection::vec(change, 0..4)).prop_map(
        |(line, lead, tail, changes)| {
            let mut words: Vec<String> = line.split(' ').map(str::to_owned).collect();
            for (at, change, piece) in changes {
                let at = at.index(words.len());
                match change {
                    0 if words.len() > 1 => drop(words.remove(at)),
                    1 => words.insert(at, words[at].clone()),
                    2 => {
                        let next = (at + 1) % words.len();
                        words.swap(at, next);
                    }
                    3 => drop(words[at].pop()),
                    4 => words.insert(at, piece.to_owned()),
                    _ => words[at].push_str(piece),
                }
            }
            format!("{lead}{}{tail}", words.join(" "))
        },
    )
}

/// Notes of such lines, in the order of a note or in none, with either line ending.
pub fn dictated() -> impl Strategy<Value = String> {
    let lines = proptest::collection::vec(line(), 1..6);
    (
        lines,
        select(&["\n", "\n", "\r\n"][..]),
        0usize..8,
        any::<bool>(),
    )
        .prop_map(|(lines, end, shape, ends)| {
            let mut text = match shape {
                0 => String::new(),
                1 => HEAD.to_owned(),
                _ => format!("{HEAD}{VISIT}0900 arrive\n"),
            };
            text.push_str(&lines.join("\n"));
            if ends {
                text.push('\n');
            }
            text.replace("\r\n", "\n").replace('\n', end)
        })
}

/// For every line of the file, how many lines take its place when it is written as it was understood.
pub fn written_out(compiled: &Compiled) -> Vec<usize> {
    let count = Source::new("", compiled.source.written()).lines().count();
    let mut lines = vec![1; count];
    let understood = compiled
        .diagnostics
        .iter()
        .filter(|d| d.code.id == code::UNDERSTOOD_AS.id);
    for diagnostic in understood {
        if let Some(fix) = diagnostic.certain_fix() {
            let line = compiled.source.line(fix.span.start) as usize;
            lines[line - 1] = fix.replacement.split('\n').count();
        }
    }
    lines
}

/// For every line of a note and the one behind its last, the line of the file that it was written for;
/// `lines` is what [`written_out`] gives.
pub fn origins(lines: &[usize]) -> Vec<u32> {
    let mut origins = vec![0];
    for (at, &count) in lines.iter().enumerate() {
        origins.extend(std::iter::repeat_n(at as u32 + 1, count));
    }
    origins.push(lines.len() as u32 + 1);
    origins
}

/// Words that another spelling may stand for.
static SPELLINGS: LazyLock<HashSet<String>> = LazyLock::new(|| {
    let points = POINTS
        .iter()
        .flat_map(|p| std::iter::once(p.name).chain(p.aliases.iter().copied()));
    let verbs = VERBS
        .iter()
        .flat_map(|v| std::iter::once(v.name).chain(v.spellings.iter().copied()));
    let between = [
        "and", "the", "at", "of", "on", "reads", "reading", "is", "was", "to", "no",
    ];
    let groups = [
        "ckt",
        "evaporator",
        "comp",
        "fans",
        "heaters",
        "cond",
        "food",
    ];
    points
        .chain(verbs)
        .chain(head_spellings())
        .chain(between)
        .chain(groups)
        .flat_map(|words| {
            fold(words)
                .split(' ')
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect()
});

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Words of a line that are neither in another line nor a spelling of anything.
pub fn lost(old: &str, new: &str) -> Vec<String> {
    if old == new {
        return Vec::new();
    }
    // `9:12 pm` is 2112.
    let clock = ["am", "pm", "a", "p", "m"];
    let new = format!(" {} ", fold(new));
    let is_unit = |word: &str| {
        let word = fold_unit(word);
        UNITS
            .iter()
            .any(|u| u.spellings.iter().any(|s| s.contains(&word)) || fold_unit(u.symbol) == word)
    };
    let is_known = |word: &str| {
        SPELLINGS.contains(word)
            || is_unit(word)
            || state(word).is_some()
            || ["deg", "degs", "degree", "degrees"].contains(&word)
            || MONTHS.iter().any(|m| m.starts_with(word))
            || clock.contains(&word)
    };
    fold(old)
        .split(' ')
        .filter(|word| !new.contains(&format!(" {word} ")))
        // Numbers, times and dates, and units that were joined to them.
        .filter(|word| !word.starts_with(|c: char| c.is_ascii_digit()))
        .filter(|word| {
            let joined = word.trim_end_matches(|c: char| c.is_ascii_digit());
            !is_known(word) && !is_known(joined)
        })
        .map(str::to_owned)
        .collect()
}

/// Words that figures stand for.
const FIGURES: &[&str] = &[
    "oh",
    "o",
    "zero",
    "nought",
    "naught",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "niner",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
    "thirty",
    "forty",
    "fourty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
    "hundred",
    "thousand",
    "point",
    "decimal",
    "dot",
    "comma",
    "minus",
    "negative",
    "below",
    "half",
    "quarter",
    "quarters",
    "eighth",
    "eighths",
    "sixteenth",
    "sixteenths",
    "a",
    "an",
    "and",
    "past",
    "to",
    "till",
    "of",
    "noon",
    "midday",
    "midnight",
    "clock",
    "oclock",
    "o'clock",
    "hours",
    "dash",
    "hyphen",
    "slash",
    "morning",
    "afternoon",
    "evening",
    "night",
    "tonight",
    "in",
    "the",
    "at",
    "for",
    "fore",
    "too",
    "won",
    "ate",
    "inch",
];

/// Words of a spoken line that are neither in what it was understood as, nor figures there, nor a slip
/// of the ear or of the thumb that was put right.
pub fn lost_of_said(old: &str, new: &str) -> Vec<String> {
    let here = fold(new);
    let figures = new.contains(|c: char| c.is_ascii_digit());
    let folded = fold(old);
    let said: Vec<&str> = folded.split(' ').collect();
    let written: Vec<&str> = here.split(' ').collect();
    let units = UNITS.iter().filter(|u| {
        let spelt =
            |word: &String| fold_unit(u.symbol) == *word || u.spellings.contains(&word.as_str());
        written
            .iter()
            .map(|word| fold_unit(word))
            .any(|word| spelt(&word))
    });
    let units: Vec<&str> = units.flat_map(|u| u.spellings.iter().copied()).collect();
    // A slip may take several words, or split one.
    let put_right = |run: &[&str]| {
        let joined = run.concat();
        let meant = |slip: &&Slip| slip.words == run && lost(slip.meant, new).is_empty();
        // `adviced`: one slip away from another spelling of what is written.
        let spelt = || {
            SPELLINGS
                .iter()
                .any(|s| s.len() > 3 && strsim::osa_distance(s, &joined) == 1)
        };
        slips_from(run[0]).iter().any(|slip| meant(&slip))
            || run.len() == 1 && spelt()
            || (1..=3).any(|count| {
                let words = written.windows(count).map(<[&str]>::concat);
                words
                    .chain(units.iter().map(|unit| (*unit).to_owned()))
                    .any(|new| {
                        new == joined
                            || run.len() == 1 && strsim::osa_distance(&new, &joined) == 1
                            || sound(&joined).len() >= 4 && sound(&new) == sound(&joined)
                    })
            })
    };
    let slip = |word: &str| {
        (1..=5).any(|count| {
            said.windows(count)
                .any(|run| run.contains(&word) && put_right(run))
        })
    };
    let glued = |word: &str| {
        let letters = word.trim_matches(|c: char| c.is_ascii_digit());
        letters != word && here.contains(letters)
    };
    let other = |word: &str| {
        OTHERWISE
            .iter()
            .any(|(said, meant)| *said == word && written.contains(meant))
    };
    let ordinal =
        |word: &str| figures && word.ends_with(['h', 'd', 't']) && ORDINALS.contains(&word);
    lost(old, new)
        .into_iter()
        .filter(|word| {
            let kept = figures && is_in_figures(word, &said, new);
            !(kept || slip(word) || glued(word) || ordinal(word) || other(word))
        })
        .collect()
}

/// Words that are written otherwise: letters as they sound, `isn't`, `let them know`.
const OTHERWISE: &[(&str, &str)] = &[
    ("are", "r"),
    ("our", "r"),
    ("see", "c"),
    ("sea", "c"),
    ("be", "b"),
    ("bee", "b"),
    ("isnt", "not"),
    ("arent", "not"),
    ("wasnt", "not"),
    ("werent", "not"),
    ("let", "told"),
    ("know", "told"),
    ("single", "1"),
    ("its", "vacuum"),
];

/// Number words and the figures that hold them.
const NUMBERS: &[(&str, &str)] = &[
    ("one", "1"),
    ("two", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
    ("seven", "7"),
    ("eight", "8"),
    ("nine", "9"),
    ("niner", "9"),
    ("ten", "10"),
    ("eleven", "11"),
    ("twelve", "12"),
    ("thirteen", "13"),
    ("fourteen", "14"),
    ("fifteen", "15"),
    ("sixteen", "16"),
    ("seventeen", "17"),
    ("eighteen", "18"),
    ("nineteen", "19"),
    ("twenty", "2"),
    ("thirty", "3"),
    ("forty", "4"),
    ("fifty", "5"),
    ("sixty", "6"),
    ("seventy", "7"),
    ("eighty", "8"),
    ("ninety", "9"),
];

/// True for a number word whose figures are there; a time in the afternoon or before the hour has others.
fn is_in_figures(word: &str, said: &[&str], new: &str) -> bool {
    const OTHER: &[&str] = &["p", "pm", "afternoon", "evening", "night", "tonight"];
    // `ten to nine`, `twenty five of ten`
    let before = (0..said.len()).any(|at| {
        let to = matches!(said[at], "to" | "of" | "till" | "before");
        to && said[at.saturating_sub(2)..said.len().min(at + 2)].contains(&word)
    });
    let figures = NUMBERS.iter().find(|(name, _)| *name == word);
    let held = figures.is_none_or(|(_, figures)| new.contains(figures));
    FIGURES.contains(&word) && (held || before || said.iter().any(|word| OTHER.contains(word)))
}

const ORDINALS: &[&str] = &[
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
    "thirtieth",
];

/// How letters sound.
fn sound(word: &str) -> String {
    let letters: String = word.chars().filter(char::is_ascii_alphabetic).collect();
    DoubleMetaphone::new(None).encode(&letters)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_127), ..ProptestConfig::default() })]

    #[test]
    fn every_word_of_a_spoken_line_is_kept(text in dictated()) {
        let compiled = note(&text);
        prop_assert_eq!(compiled.source.written(), &text);
        for diagnostic in compiled.diagnostics.iter().filter(|d| d.code.id == code::UNDERSTOOD_AS.id || d.code.id == code::HEARD_TWO_WAYS.id) {
            for fix in &diagnostic.fixes {
                let (span, new) = compiled.source.written_edit(fix.span, &fix.replacement);
                let old = compiled.source.slice_written(span);
                // What may be chosen in place of a number has other figures.
                let mut lost = lost_of_said(old, &new);
                if diagnostic.code.id == code::HEARD_TWO_WAYS.id {
                    lost.retain(|word| !FIGURES.contains(&word.as_str()));
                }
                prop_assert!(lost.is_empty(), "{:?} lost {:?} in {:?}", old, lost, new);
                // The note's own line endings, and no other.
                let bare = new.replace("\r\n", "");
                let foreign = text.matches('\n').count() != text.matches("\r\n").count() || !text.contains('\n');
                prop_assert!(foreign || !bare.contains('\n'), "{:?} for {:?}", new, old);
            }
        }
    }

    #[test]
    fn every_report_of_a_spoken_note_renders(text in dictated()) {
        let compiled = note(&text);
        prop_assert_eq!(rendered(&compiled), rendered(&note(&text)));
        for audience in [Audience::Customer, Audience::Diagnosis, Audience::Office] {
            for format in [Format::Html, Format::Markdown, Format::Json] {
                let made = report(&compiled, audience, format, &MemoryWorld::default(), &Beside::default());
                prop_assert!(made.is_ok(), "{:?}", made.err());
            }
        }
    }
}
