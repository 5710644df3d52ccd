//! The words of a line or of prose, with slips of the ear put right.

use super::number::{Atom, atom};
use crate::source::Span;
use crate::vocabulary::{fold, slips_from};
use std::borrow::Cow;

/// One word.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Word<'s> {
    /// Its text, or what was meant by a slip.
    pub text: Cow<'s, str>,
    /// For lookup.
    pub folded: String,
    /// Where it was said; the words that a slip stands for share its place.
    pub said: Span,
    /// What stands behind it.
    pub after: Pause,
    /// True when the text is not what was said.
    pub corrected: bool,
    /// The slip of the thumb that was mended: 0 for letters changed over, 1 for one left out, 2 for one
    /// too many, 3 for another one hit.
    pub thumb: Option<u8>,
}

/// What follows a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pause {
    None,
    Comma,
    /// The end of a sentence.
    Stop,
}

/// Cuts a text that starts at `offset` into words.
pub(super) fn words(text: &str, offset: usize) -> Vec<Word<'_>> {
    let mut found: Vec<Word<'_>> = Vec::new();
    for raw in text
        .split(crate::syntax::is_blank)
        .filter(|raw| !raw.is_empty())
    {
        let at = raw.as_ptr() as usize - text.as_ptr() as usize;
        if is_stamp(raw) {
            continue;
        }
        let core = core(raw);
        let start = core.as_ptr() as usize - raw.as_ptr() as usize;
        let after = pause(&raw[start + core.len()..]);
        if core.is_empty() {
            if let Some(last) = found.last_mut() {
                last.after = last.after.max(after);
            }
            continue;
        }
        let from = found.len();
        // `twenty-four`, `two-oh-eight`
        let numbers = core.contains('-')
            && core
                .split('-')
                .all(|part| matches!(atom(&fold(part)), Some(a) if !matches!(a, Atom::Figures(_))));
        let parts: Vec<&str> = if numbers {
            core.split('-').collect()
        } else {
            vec![core]
        };
        for part in parts {
            let start = at + (part.as_ptr() as usize - raw.as_ptr() as usize);
            found.push(Word {
                text: Cow::Borrowed(part),
                folded: folded(part),
                said: Span::new(start, start + part.len()).shift(offset),
                after: Pause::None,
                corrected: false,
                thumb: None,
            });
        }
        if let Some(last) = found[from..].last_mut() {
            last.after = after;
        }
    }
    found
}

/// `[0:25]`, `00:00:25`: how far into a recording, and no time of day.
pub(super) fn is_stamp(raw: &str) -> bool {
    let bare = raw.trim_end_matches([':', ',', '-']);
    let inside = bare
        .strip_prefix(['[', '('])
        .and_then(|b| b.strip_suffix([']', ')']));
    let parts: Vec<&str> = inside.unwrap_or(bare).split(':').collect();
    let figures =
        |part: &&str| (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    let count = if inside.is_some() { 2..=3 } else { 3..=3 };
    count.contains(&parts.len()) && parts.iter().all(figures)
}

/// A word for lookup; `9:12`, `-5` and `4.2` keep their marks.
fn folded(word: &str) -> String {
    if word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '−' | '.')) {
        return word.to_lowercase();
    }
    let lower = word.to_lowercase();
    if lower == "@" {
        return lower;
    }
    if lower == "o'clock" || lower == "o’clock" {
        return "o'clock".to_owned();
    }
    // `suction's at four`, `isn't turning`
    let lower = lower.replace('’', "'");
    match lower.as_str() {
        "isn't" | "aren't" | "wasn't" | "weren't" => return "not".to_owned(),
        "it's" | "that's" | "there's" | "here's" | "what's" | "let's" => return lower,
        _ => {}
    }
    match lower.strip_suffix("'s") {
        Some(base) => fold(base),
        None => fold(word),
    }
}

/// A word without the punctuation around it.
fn core(raw: &str) -> &str {
    let quote = |c: char| matches!(c, '"' | '“' | '”' | '(' | ')' | '[' | ']' | '‘');
    let start = raw.trim_start_matches(|c: char| quote(c) || matches!(c, ',' | ';' | '…'));
    // A stroke or a point before a figure belongs to it.
    let start = match start.strip_prefix(['–', '—']) {
        Some(rest) if !rest.starts_with(|c: char| c.is_ascii_digit()) => rest,
        _ => start,
    };
    let abbreviation = start.trim_end_matches(quote).ends_with('.')
        && (start.matches('.').count() > 1 && start.contains(char::is_alphabetic));
    let end = start.trim_end_matches(|c: char| {
        quote(c) || matches!(c, ',' | ';' | ':' | '!' | '?' | '…' | '—' | '–')
    });
    if abbreviation {
        end
    } else {
        end.trim_end_matches(['.', ',', ')', '"', '”'])
    }
}

fn pause(tail: &str) -> Pause {
    if tail.contains(['.', ';', '!', '?', '…']) {
        Pause::Stop
    } else if tail.contains([',', ':', '—', '–']) {
        Pause::Comma
    } else {
        Pause::None
    }
}

/// Words that tell, before or after it, that an English word is a slip of the trade.
const BEFORE: &[&str] = &[
    "a",
    "an",
    "the",
    "new",
    "old",
    "bad",
    "burnt",
    "replaced",
    "fitted",
    "installed",
    "changed",
    "compressor",
    "fan",
    "filter",
    "defrost",
    "liquid",
    "line",
    "main",
    "heard",
    "saw",
];
const AFTER: &[&str] = &[
    "chattering",
    "buzzing",
    "pitted",
    "terminals",
    "terminal",
    "open",
    "closed",
    "burnt",
    "humming",
    "coil",
    "coils",
    "contacts",
    "contact",
    "points",
    "line",
    "pressure",
    "temp",
    "temperature",
    "heater",
    "heaters",
    "timer",
    "stuck",
    "pulled",
    "voltage",
    "clock",
    "termination",
];

/// Puts slips of the ear right; those that are English too only where their neighbours or a number
/// tell. Words of `free` text keep what is English.
pub(super) fn put_right<'s>(mut words: Vec<Word<'s>>, free: bool) -> Vec<Word<'s>> {
    if !free {
        digits_heard_as_words(&mut words);
        if let Some(first) = words.first_mut().filter(|w| w.folded == "sore") {
            *first = Word {
                text: Cow::Borrowed("saw"),
                folded: "saw".to_owned(),
                corrected: true,
                ..first.clone()
            };
        }
    }
    let hit = words.iter().any(|w| !slips_from(&w.folded).is_empty());
    if !hit {
        return words;
    }
    let mut right: Vec<Word<'s>> = Vec::with_capacity(words.len());
    let mut at = 0;
    while at < words.len() {
        let slip = slips_from(&words[at].folded).iter().find(|slip| {
            let said = words.get(at..at + slip.words.len());
            let same = said.is_some_and(|said| {
                let inside = &said[..said.len() - 1];
                said.iter().zip(&slip.words).all(|(w, s)| w.folded == *s)
                    && inside.iter().all(|w| w.after == Pause::None)
            });
            same && (!slip.english || !free && is_trade(&words, at, slip.words.len()))
        });
        let Some(slip) = slip else {
            right.push(words[at].clone());
            at += 1;
            continue;
        };
        let said = &words[at..at + slip.words.len()];
        let span = said[0].said.to(said[said.len() - 1].said);
        let capital = said[0].text.starts_with(char::is_uppercase) && said[0].text.len() > 1;
        for (i, meant) in slip.meant.split(' ').enumerate() {
            let mut text = meant.to_owned();
            if capital
                && i == 0
                && let Some(first) = text.get_mut(..1)
            {
                first.make_ascii_uppercase();
            }
            right.push(Word {
                text: Cow::Owned(text),
                folded: fold(meant),
                said: span,
                after: Pause::None,
                corrected: true,
                thumb: None,
            });
        }
        if let Some(last) = right.last_mut() {
            last.after = said[said.len() - 1].after;
        }
        at += slip.words.len();
    }
    right
}

/// `for point two`, `minus ate`, `added to pounds`: short words that are digits where only a digit can
/// stand.
fn digits_heard_as_words(words: &mut [Word<'_>]) {
    for at in 0..words.len() {
        let digit = match words[at].folded.as_str() {
            "for" | "fore" => "four",
            "to" | "too" => "two",
            "ate" => "eight",
            "won" => "one",
            _ => continue,
        };
        let folded = |i: Option<usize>| {
            i.and_then(|i| words.get(i))
                .map_or("", |w| w.folded.as_str())
        };
        let before = folded(at.checked_sub(1));
        let after = folded(Some(at + 1));
        let digit_after = matches!(
            atom(folded(Some(at + 2))),
            Some(Atom::Digit(_) | Atom::Zero)
        );
        let point = after == "point" && digit_after && before != "set";
        let oh = after == "oh" || before == "oh" || after == "hundred";
        let amount = matches!(before, "added" | "recovered" | "add" | "another")
            && matches!(after, "pounds" | "ounces" | "kilos" | "grams");
        if point || oh || amount || before == "minus" {
            words[at].text = Cow::Borrowed(digit);
            words[at].folded = digit.to_owned();
            words[at].corrected = true;
        }
    }
}

/// True when the words around an English slip, or a number beside it, are the trade's.
fn is_trade(words: &[Word<'_>], at: usize, count: usize) -> bool {
    let before = at.checked_sub(1).map(|i| words[i].folded.as_str());
    let after = words.get(at + count).map(|w| w.folded.as_str());
    let number = |word: Option<&str>| word.and_then(atom).is_some_and(|a| a != Atom::Article);
    const UNITS: &[&str] = &[
        "homes",
        "bolts",
        "ants",
        "votes",
        "lamps",
        "owns",
        "pounce",
        "announces",
    ];
    let unit = UNITS.contains(&words[at].folded.as_str());
    if unit {
        return number(before) && before != Some("and");
    }
    before.is_some_and(|w| BEFORE.contains(&w))
        || after.is_some_and(|w| AFTER.contains(&w))
        || number(after) && after != Some("and")
}
