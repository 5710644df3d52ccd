//! What must hold for any text at all.

use super::support::{cases, note, rendered};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::RngSeed;
use rimebook::diagnostic::{Diagnostic, annotated, code, short, to_json};
use rimebook::source::{Source, Span};
use rimebook::syntax::{ParsedLine, parse};

/// Pieces of notes: words of the trade, numbers, units, marks, and what does not belong there.
pub const PIECES: &[&str] = &[
    "0912",
    "9:12 pm",
    "25:99",
    "visit",
    "2026-03-14",
    "3/4",
    "Dana R.",
    "suction",
    "suction line",
    "discharge",
    "liquid line",
    "box",
    "evap 2",
    "evap fan",
    "circuit B",
    "leg 3",
    "compressor",
    "contactor coil",
    "heater",
    "L1-L2",
    "sight glass",
    "set point",
    "superheat",
    "static",
    "psig",
    "psi",
    "#",
    "F",
    "°F",
    "°",
    "deg",
    "C",
    "\"Hg",
    "inHg",
    "in. w.c.",
    "kPa",
    "bar",
    "micron",
    "V",
    "A",
    "W",
    "ohm",
    "uF",
    "lb",
    "oz",
    "kg",
    "running",
    "off",
    "bubbles",
    "not called",
    "saw",
    "cause",
    "did",
    "cleaned",
    "fitted",
    "added",
    "recovered",
    "hold",
    "nitrogen",
    "vacuum",
    "isolated",
    "left",
    "restored",
    "locked out",
    "lock off",
    "told",
    "advise",
    "soon",
    "private",
    "travel",
    "arrive",
    "depart",
    "R-448A",
    "R-404A",
    "R-999",
    "into",
    "from",
    "C-118",
    "cylinder",
    "cylinder:",
    "scale",
    "before",
    "after",
    "to",
    "water capacity",
    "tare",
    "food limit:",
    "time control:",
    "instruments:",
    "product",
    "jumpered",
    "put",
    "back",
    "alarm",
    "removed",
    "part",
    "materials",
    "vented the charge",
    "unit:",
    "refrigerant:",
    "nameplate:",
    "metering:",
    "altitude:",
    "barometer:",
    "setpoint:",
    "shoe:",
    "208-230 V",
    "3 ph",
    "rla",
    "txv",
    "and",
    "at",
    "with",
    "drier restricted",
    "0",
    "4.2",
    "-5",
    "−5",
    ".5",
    "3/8",
    "5 1/2",
    "1,200",
    "4,2",
    "9.1/9.3/9.0",
    "9.1 / 9.3",
    "1/0",
    "/",
    "99999999",
    "12345678901234567",
    ",",
    ";",
    ":",
    "-",
    "–",
    ".",
    "|",
    "•",
    "(",
    ")",
    "\t",
    " ",
    "  ",
    "\u{A0}",
    "\n",
    "\n",
    "\n",
    "\r\n",
    "\n  ",
    "\0",
    "\u{7f}",
    "\u{feff}",
    "é",
    "魚",
    "🧊",
    "ß",
    "İ",
    "\u{301}",
    "\u{200b}",
    "½",
    "４",
    "’",
    "”",
    "′",
];

fn design() -> String {
    std::fs::read_to_string(cases().join("syntax/walk_in_freezer.txt")).expect("the design's note")
}

/// Notes put together from pieces, with and without blanks between them.
fn assembled() -> impl Strategy<Value = String> {
    let piece = (select(PIECES), select(&["", " ", " ", " "][..]));
    proptest::collection::vec(piece, 0..80)
        .prop_map(|pieces| pieces.into_iter().flat_map(|(a, b)| [a, b]).collect())
}

/// The design's note with some of its characters cut out and pieces put in.
fn mutated() -> impl Strategy<Value = String> {
    let change = (any::<prop::sample::Index>(), 0usize..12, select(PIECES));
    proptest::collection::vec(change, 1..8).prop_map(|changes| {
        let mut text = design();
        for (at, cut, piece) in changes {
            let start = text.floor_char_boundary(at.index(text.len() + 1));
            let end = text.floor_char_boundary((start + cut).min(text.len()));
            text.replace_range(start..end.max(start), piece);
        }
        text
    })
}

pub fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        1 => any::<String>(),
        1 => proptest::collection::vec("\\PC{0,40}", 0..12).prop_map(|lines| lines.join("\n")),
        3 => assembled(),
        3 => mutated(),
        3 => super::spoken::dictated(),
    ]
}

fn inside(text: &str, span: Span) -> bool {
    span.start <= span.end && text.get(span.start as usize..span.end as usize).is_some()
}

/// What a line was read as, with its places counted from its own start.
fn rebased(line: &ParsedLine<'_>) -> String {
    let text = format!("{line:?}");
    let mut out = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some(at) = rest.find("Span { start: ") {
        let (before, after) = rest.split_at(at);
        out.push_str(before);
        let end = after.find('}').expect("a span ends");
        let numbers: Vec<i64> = after[..end]
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|digits| digits.parse().ok())
            .collect();
        let base = i64::from(line.span.start);
        out.push_str(&format!("{}..{}", numbers[0] - base, numbers[1] - base));
        rest = &after[end + 1..];
    }
    out + rest
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_125), ..ProptestConfig::default() })]

    #[test]
    fn any_text_compiles_and_every_place_is_in_it(text in any_text()) {
        let compiled = note(&text);
        let source = &compiled.source;
        let lines = parse(source).lines;
        prop_assert_eq!(lines.len(), source.lines().count());
        // What stands in the file is what was given, and every place in the text leads back into it.
        prop_assert_eq!(source.written(), &text);
        let known = |span: Span| inside(source.text(), span) && inside(&text, source.written_span(span));
        let edit = |span: Span| inside(&text, source.written_edit(span, "").0);
        for line in &lines {
            prop_assert!(known(line.span), "{:?}", line);
            prop_assert!(line.comment.is_none_or(known));
        }
        for (_, entry) in compiled.job.entries() {
            prop_assert!(known(entry.span), "{:?}", entry);
        }
        for reading in compiled.job.readings() {
            prop_assert!(known(reading.span), "{:?}", reading);
        }
        for unused in &compiled.job.unused {
            prop_assert!(known(unused.span), "{:?}", unused);
        }
        for diagnostic in compiled.report() {
            for label in &diagnostic.labels {
                prop_assert!(known(label.span), "{:?}", diagnostic);
            }
            prop_assert!(diagnostic.fixes.iter().all(|f| known(f.span) && edit(f.span)));
            prop_assert!(!diagnostic.message.is_empty() && !diagnostic.message.ends_with('.'));
            // None of the renderings may fail, whatever the text is.
            prop_assert!(annotated(source, &diagnostic, true).contains(diagnostic.code.id));
            prop_assert!(!short(source, &diagnostic).trim_end().is_empty());
            prop_assert!(serde_json::to_string(&to_json(source, &diagnostic)).is_ok());
        }
    }

    #[test]
    fn the_same_text_gives_the_same_words(text in any_text()) {
        prop_assert_eq!(rendered(&note(&text)), rendered(&note(&text)));
    }

    #[test]
    fn a_line_taken_out_changes_no_other(text in any_text(), at in any::<prop::sample::Index>()) {
        let source = Source::new("note.job", text.as_str());
        let before = parse(&source);
        prop_assume!(!before.lines.is_empty());
        // The line with its ending, so that its neighbours stay lines.
        let gone = at.index(before.lines.len());
        let start = before.lines[gone].span.start as usize;
        let end = text[start..].find('\n').map_or(text.len(), |i| start + i + 1);
        let shorter = format!("{}{}", &text[..start], &text[end..]);
        // A byte-order mark left alone, or one that now stands first, is another text.
        prop_assume!(!text.contains('\u{feff}'));
        let source = Source::new("note.job", shorter.as_str());
        let after = parse(&source);
        let mut kept: Vec<String> = before.lines.iter().map(rebased).collect();
        kept.remove(gone);
        let now: Vec<String> = after.lines.iter().map(rebased).collect();
        prop_assert_eq!(kept, now);
        let gone = &before.lines[gone];
        // The last line may end without a newline: what is said at its very end is its own.
        let next = if text[start..].contains('\n') { end } else { end + 1 };
        let others = before
            .diagnostics
            .iter()
            .filter(|d| d.span().start < gone.span.start || d.span().start as usize >= next)
            .map(|d| (&d.message, &d.help))
            .collect::<Vec<_>>();
        let said = after.diagnostics.iter().map(|d| (&d.message, &d.help)).collect::<Vec<_>>();
        prop_assert_eq!(others, said);
    }

    #[test]
    fn a_broken_line_put_in_costs_only_itself(
        text in mutated(),
        at in any::<prop::sample::Index>(),
        broken in select(&["zzyzx qwfp", "0975", "xqzv wyvw 17 F", "?!", "\u{1}"][..]),
    ) {
        let source = Source::new("note.job", text.as_str());
        // An indented line continues the one above it, and would continue the broken one.
        let places: Vec<usize> = source
            .lines()
            .map(|l| l.start as usize)
            .filter(|&i| !text[i..].starts_with([' ', '\t', '\u{A0}', '\u{feff}']))
            .collect();
        prop_assume!(!places.is_empty());
        let place = places[at.index(places.len())];
        let longer = format!("{}{broken}\n{}", &text[..place], &text[place..]);
        let read = |text: &str| -> Vec<String> {
            note(text)
                .job
                .readings()
                .map(|r| format!("{:?} {} {:?}", r.at, r.label(), r.value_text()))
                .collect()
        };
        prop_assert_eq!(read(&text), read(&longer));
    }

    #[test]
    fn a_safe_fix_makes_its_problem_go_away(text in prop_oneof![assembled(), mutated(), super::spoken::dictated()]) {
        let compiled = note(&text);
        // Spoken lines are written out together: one may take back another.
        let spoken = |d: &&Diagnostic| d.code.id == code::UNDERSTOOD_AS.id && d.certain_fix().is_some();
        let mut written: Vec<_> = compiled
            .diagnostics
            .iter()
            .filter(spoken)
            .filter_map(Diagnostic::certain_fix)
            .map(|fix| compiled.source.written_edit(fix.span, &fix.replacement))
            .collect();
        written.sort();
        let mut out = text.clone();
        for (place, replacement) in written.iter().rev() {
            out.replace_range(place.start as usize..place.end as usize, replacement);
        }
        let left: Vec<String> = note(&out).diagnostics.iter().filter(spoken).map(|d| d.message.clone()).collect();
        prop_assert!(left.is_empty(), "{:?}\n{}", left, out);
        let compiled = note(&out);
        for diagnostic in &compiled.diagnostics {
            let Some(fix) = diagnostic.certain_fix() else { continue };
            let mut fixed = out.clone();
            let (place, replacement) = compiled.source.written_edit(fix.span, &fix.replacement);
            // A line that was understood with a doubt is not written out, so nothing is certain on it.
            let doubt = |d: &&Diagnostic| d.code.id == code::HEARD_TWO_WAYS.id || d.code.id == code::NUMBER_IN_TALK.id;
            let mut doubts = compiled.diagnostics.iter().filter(doubt).map(|d| compiled.source.written_span(d.span()));
            if doubts.any(|doubt| doubt.start < place.end && place.start < doubt.end) {
                continue;
            }
            fixed.replace_range(place.start as usize..place.end as usize, &replacement);
            let line = |source: &Source, d: &Diagnostic| source.line(d.span().start);
            let count = |compiled: &rimebook::compile::Compiled| {
                compiled
                    .diagnostics
                    .iter()
                    .filter(|d| d.code.id == diagnostic.code.id)
                    .filter(|d| line(&compiled.source, d) == line(&compiled.source, diagnostic))
                    .count()
            };
            let now = note(&fixed);
            // A line that is talk, once this much of it is read, is another line.
            let talk = |d: &Diagnostic| d.code.id == code::UNDERSTOOD_AS.id && line(&now.source, d) == line(&compiled.source, diagnostic);
            if now.diagnostics.iter().any(talk) {
                continue;
            }
            prop_assert!(count(&now) < count(&compiled), "{:?}\n{}", diagnostic, fixed);
        }
    }
}

/// Lines that would take a parser with backtracking or recursion long, or a rendering wide.
#[test]
fn lines_made_to_hurt_are_read() {
    for piece in [
        " ",
        "\t",
        "1",
        "1/",
        "1 1/",
        "1/1/",
        "#",
        "# ",
        ",",
        "-",
        "− ",
        ".",
        "1,",
        "1,234,",
        "a",
        "a-",
        "a ",
        "leg 1 ",
        "evap 2 ",
        "suction 1 psig ",
        "\"",
        "°",
        "é",
        "🧊",
        "\u{301}",
        "0912 ",
        "and ",
        "9:12a ",
        "visit ",
        "1 lb ",
        "in of water ",
        "box and ",
    ] {
        for lead in [
            "",
            "0912 ",
            "  ",
            "unit: ",
            "nameplate: ",
            "visit 2026-03-14 ",
            "added ",
            "0912 saw ",
        ] {
            let mut line = lead.to_owned();
            while line.len() + piece.len() <= Source::MAX_LINE_BYTES {
                line.push_str(piece);
            }
            let text = format!("unit: WIF-2\nvisit 2026-03-14 Dana R.\n{line}\n0912 box 17 F\n");
            let compiled = note(&text);
            // Whatever that line was, the one below it is read.
            assert!(
                compiled.job.readings().any(|r| r.value_text() == "17 F"),
                "{lead:?} and {piece:?}"
            );
            assert!(!rendered(&compiled).is_empty());
        }
    }
}
