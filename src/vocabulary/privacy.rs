//! What says that words are not for the customer or the office.

use super::{VERBS, Verb, fold, verb};
use crate::source::{Span, Spanned};
use std::sync::LazyLock;

/// Phrases that make the sentence they stand in private, wherever they stand; folded.
const MARKERS: &[&str] = &[
    "between us",
    "between ourselves",
    "between you and me",
    "between you and i",
    "between me and you",
    "between the two of us",
    "off the record",
    "off the report",
    "off their report",
    "off this report",
    "off the paperwork",
    "off the invoice",
    "out of the report",
    "not for the report",
    "not for the customer",
    "not for customers",
    "stays private",
    "stay private",
    "keep this private",
    "keep that private",
    "keep it private",
    "thats private",
    "that is private",
    "this is private",
    "just for us",
    "only for us",
    "for us only",
    "for our eyes only",
    "for your eyes only",
    "in house only",
    "keep this quiet",
    "keep that quiet",
    "keep it quiet",
    "dont tell the customer",
    "dont tell the owner",
    "dont tell the client",
    "dont tell them",
    "dont tell anyone",
    "dont tell anybody",
    "dont let the customer know",
    "do not tell the customer",
    "do not tell the owner",
    "do not tell the client",
    "do not tell them",
    "do not tell anyone",
    "do not tell anybody",
    "customer doesnt need to know",
    "customer does not need to know",
    "customer need not know",
];

/// Where a clause may end, and a private word may start another one.
const BREAKS: &[char] = &[
    '/', ';', '.', ',', '\n', ':', '(', '[', '{', '"', '\u{2013}', '\u{2014}',
];

/// The phrases with a blank on both sides, to be looked for in a folded text of the same kind.
static PHRASES: LazyLock<Vec<String>> =
    LazyLock::new(|| MARKERS.iter().map(|marker| format!(" {marker} ")).collect());

/// Pieces of which one stands in every text that may be private, however it is spaced: most lines have none.
static HINTS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
    let row = VERBS.iter().find(|row| row.verb == Verb::Private);
    let words = row.into_iter().flat_map(|row| row.spellings);
    let words = words.copied().chain([Verb::Private.name()]);
    words
        .chain(["between", "record", "report", "paperwork", "invoice"])
        .chain(["us", "eyes", "house", "quiet", "tell", "know"])
        .collect()
});

/// True when a text, or a clause in it, is private by a word or a phrase that says so.
pub fn is_private(text: &str) -> bool {
    let lower = text.to_lowercase();
    HINTS.iter().any(|hint| lower.contains(hint)) && (has_word(&lower) || has_marker(text))
}

/// `private …`, `did belt (pvt: …)`, `note a - internal …`.
fn has_word(lower: &str) -> bool {
    // `(office only) …`: what closes around the words is no part of them.
    let lower = lower.replace([')', ']', '}'], " ");
    let private = |part: &str| {
        let part = part.trim_start();
        let rest = part.strip_prefix("note ").unwrap_or(part);
        let is_private = |text| matches!(verb(text), Some((Verb::Private, _)));
        // `note to self` is private whole, `note private …` in what follows its first word.
        is_private(part) || is_private(rest)
    };
    private(&lower) || lower.split(BREAKS).any(private) || lower.split(" - ").any(private)
}

/// True when a phrase in a text says that its sentence is private.
pub fn has_marker(text: &str) -> bool {
    let folded = format!(" {} ", fold(text));
    PHRASES.iter().any(|phrase| folded.contains(phrase))
}

/// A text without the clauses that only say that it is private, and without such words in the others.
pub fn without_markers(text: &str) -> String {
    let clauses = text.split([',', ';']);
    let kept = clauses.filter(|clause| !has_marker(clause) || !is_bare(clause));
    kept.map(str::trim).collect::<Vec<_>>().join(", ")
}

/// True when a text says that something is private, and nothing else.
fn is_bare(text: &str) -> bool {
    const IDLE: &[&str] = &[
        "and", "so", "but", "just", "well", "please", "ok", "okay", "all", "that", "thats", "this",
        "it", "its", "is", "one", "keep", "leave", "put", "strictly", "only", "though", "by",
        "the", "way", "um", "uh", "let", "lets", "should", "must", "to",
    ];
    let mut left = format!(" {} ", fold(text));
    for phrase in PHRASES.iter() {
        left = left.replace(phrase, " ");
    }
    left.split(' ')
        .all(|word| word.is_empty() || IDLE.contains(&word))
}

/// True when an indented line says of what stands above it that it is private: it says nothing else, or
/// it goes on with the sentence above (`who cannot braze, between us`).
pub fn reaches_back(text: &str) -> bool {
    const JOINS: &[&str] = &[
        "and", "or", "but", "who", "whose", "which", "that", "because", "so", "as", "with", "than",
        "to", "of", "in", "on", "for", "at", "by", "like", "when", "where", "while",
    ];
    let folded = fold(text);
    let first = folded.split(' ').next().unwrap_or("");
    has_marker(text) && (is_bare(text) || JOINS.contains(&first))
}

/// Which of some sentences are private. One that says no more than that speaks of the one before it, and
/// may lead to the one behind it: `Between us. …`, not `Keep that off the report. …`.
pub fn private_sentences(sentences: &[&str]) -> Vec<bool> {
    const LEADS: &[&str] = &[
        "between",
        "off the record",
        "just for us",
        "dont tell",
        "do not tell",
    ];
    let mut private: Vec<bool> = sentences.iter().map(|s| has_marker(s)).collect();
    for (at, sentence) in sentences.iter().enumerate() {
        if !has_marker(sentence) || !is_bare(sentence) {
            continue;
        }
        if let Some(before) = at.checked_sub(1) {
            private[before] = true;
        }
        let folded = fold(sentence);
        let leads = LEADS.iter().any(|lead| folded.starts_with(lead));
        if let Some(behind) = private.get_mut(at + 1).filter(|_| leads) {
            *behind = true;
        }
    }
    private
}

/// What of a text stands before its first private clause.
pub fn public_part(text: &str) -> &str {
    if !is_private(text) {
        return text;
    }
    if has_marker(text) {
        return "";
    }
    let mut end = 0;
    for piece in text.split_inclusive(BREAKS) {
        // `note a - private b`: a dash between blanks ends a clause too.
        for part in piece.split_inclusive(" - ") {
            if has_word(&part.to_lowercase()) {
                let open = text[..end].trim_end_matches(|c: char| c.is_whitespace() || c == '-');
                return open.trim_end_matches(BREAKS).trim_end();
            }
            end += part.len();
        }
    }
    text
}

/// What of a text that names or rates something is not private: `WIF-2, walk-in freezer` of `WIF-2,
/// walk-in freezer, between us a wreck`. A phrase alone takes the words before it along, but never the
/// first.
pub fn public_value(text: &str) -> &str {
    if !has_marker(text) {
        return public_part(text);
    }
    let clauses: Vec<&str> = text.split([',', ';']).collect();
    let Some(at) = clauses.iter().position(|clause| has_marker(clause)) else {
        return "";
    };
    let kept = match at {
        0 => 0,
        _ if is_bare(clauses[at]) => (at - 1).max(1),
        _ => at,
    };
    let length: usize = clauses[..kept].iter().map(|clause| clause.len() + 1).sum();
    public_part(text[..length.saturating_sub(1)].trim_end())
}

/// The names of a visit line before the first private word; none behind it is a name.
pub fn public_names<'s>(names: &[Spanned<&'s str>]) -> Vec<Spanned<&'s str>> {
    let mut open: Vec<Spanned<&str>> = Vec::new();
    for name in names {
        let part = public_part(name.node);
        if !part.is_empty() {
            let start = name.span.start as usize;
            open.push(Spanned::new(part, Span::new(start, start + part.len())));
        }
        if part.len() < name.node.len() {
            break;
        }
    }
    open
}

/// The sentences of a text, each with its end: at a full stop, a semicolon, a line's end.
pub fn sentences(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let mut end = rest.len();
        for (at, c) in rest.char_indices() {
            let after = &rest[at + c.len_utf8()..];
            let is_end = match c {
                '\n' | ';' => true,
                // The point of `4.2` ends nothing.
                '.' if is_short(&rest[..at]) => after.trim().is_empty(),
                '.' | '!' | '?' => after.is_empty() || after.starts_with(char::is_whitespace),
                _ => false,
            };
            if is_end {
                end = at + c.len_utf8();
                break;
            }
        }
        let (sentence, after) = rest.split_at(end);
        rest = after;
        Some(sentence)
    })
}

/// `Mr`, `Dana R`: a point behind it ends no sentence.
fn is_short(before: &str) -> bool {
    const SHORT: &[&str] = &["mr", "mrs", "ms", "dr", "st", "approx", "nr"];
    let word = before.rsplit(char::is_whitespace).next().unwrap_or("");
    let letter = word.len() == 1 && word.starts_with(char::is_alphabetic);
    letter || SHORT.iter().any(|short| word.eq_ignore_ascii_case(short))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_marker_anywhere_makes_its_sentence_private() {
        for text in [
            "private the owner is rude",
            "belt done (pvt: owner is rude)",
            "dirt, prvt owner is rude",
            "warm / pvt: owner is rude",
            "owner is rude, keep that off the report",
            "between us, owner is rude",
            "Don't tell the customer, owner is rude",
            "owner is rude, that's just for us",
            "owner is rude, that stays private",
            "owner is rude, just for  us",
            "owner is rude, for-us only",
        ] {
            assert!(is_private(text), "{text}");
        }
        for marker in MARKERS {
            assert!(is_private(marker), "{marker}");
        }
        for text in [
            "told the customer to keep the door shut",
            "clearance between the coil and the wall",
            "told manager report follows",
            "internal leak at the seat",
            "added to the report",
        ] {
            let known = text.starts_with("internal");
            assert_eq!(is_private(text), known, "{text}");
        }
    }

    #[test]
    fn what_stands_before_private_words_is_open() {
        assert_eq!(public_part("warm / pvt: owner is rude"), "warm");
        assert_eq!(
            public_part("warm since noon, private owner is rude"),
            "warm since noon"
        );
        assert_eq!(public_part("warm (office only) owner is rude"), "warm");
        assert_eq!(public_part("warm - internal owner is rude"), "warm");
        assert_eq!(public_part("warm, owner is rude, between us"), "");
        assert_eq!(public_part("warm since noon"), "warm since noon");
    }

    #[test]
    fn sentences_end_where_they_end() {
        let all: Vec<&str> = sentences("Suction 4.2. Box 17; keep it quiet\nDone").collect();
        assert_eq!(
            all,
            ["Suction 4.2.", " Box 17;", " keep it quiet\n", "Done"]
        );
        assert_eq!(
            without_markers("added 3 lb R-448A from C-118, keep that off the report"),
            "added 3 lb R-448A from C-118"
        );
    }
}
