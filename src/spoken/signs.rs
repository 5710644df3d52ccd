//! What in the text of a line kind says that it was spoken.

use super::clause::Kind;
use super::families::{is_measured, is_observation};
use super::number::names_number;
use super::phrase::Phrases;
use super::speech::{is_weak, may_be_bound};
use super::words::{Word, put_right, words};
use crate::vocabulary::{Verb, slips_from, starts_verb, verb as verb_of};

/// How much of an action's line is heard again.
pub(super) enum Trigger {
    Whole,
    /// Likewise, with slips of the thumb.
    Mended,
    InPlace,
}

/// What in an action's text says that it was spoken; `None` for nothing, as nearly always.
pub(super) fn trigger(verb: Verb, text: &str) -> Option<Trigger> {
    if verb == Verb::Private {
        return None;
    }
    let signs = Signs::of(text);
    let reads = |words: &[Word<'_>], number: bool| {
        let phrases = Phrases { words };
        (0..words.len()).any(|i| {
            phrases
                .group(i)
                .is_some_and(|g| !g.values.is_empty() && (g.unit.is_some() || number))
        })
    };
    if signs.scratch {
        let said = words(text, 0);
        let clauses = Phrases { words: &said }.clauses(false, false);
        if clauses.iter().any(|c| c.kind == Kind::Scratch) {
            return Some(Trigger::Whole);
        }
    }
    let amounts = is_measured(verb) || verb == Verb::Handled && text.starts_with("moved");
    if signs.number && is_measured(verb)
        || verb == Verb::Added && !signs.digit && !signs.number
        || amounts && !signs.digit && signs.amount
    {
        return Some(Trigger::Whole);
    }
    if matches!(verb, Verb::Hold | Verb::Vacuum)
        && !signs.slip
        && super::typo::mend(&words(text, 0)).is_some()
    {
        return Some(Trigger::Mended);
    }
    if is_observation(verb)
        && (signs.digit || signs.number)
        && reads(&put_right(words(text, 0), true), signs.number)
    {
        return Some(Trigger::Whole);
    }
    // Another line kind within the text: said in one breath, or behind a full stop. What was typed with
    // commas is one statement.
    let spoken = signs.number || signs.slip;
    let paused = text.contains([',', ';']);
    let stopped = text.contains(". ") || text.contains("; ");
    let several = signs.verb && (spoken || stopped || !paused);
    if several || signs.number && (text.contains(" at ") || text.starts_with("at ")) {
        let said = words(text, 0);
        if (Phrases { words: &said }).goes_on(verb) {
            return Some(Trigger::Whole);
        }
    }
    (signs.slip || signs.designation).then_some(Trigger::InPlace)
}

/// True when a text starts with some words.
pub(super) fn is_said(text: &str, words: &[&str]) -> bool {
    let mut said = text
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|w| !w.is_empty());
    words
        .iter()
        .all(|word| said.next().is_some_and(|w| w.eq_ignore_ascii_case(word)))
}

/// What stands in a text, word by word: cheap, for nearly every line has nothing of it.
#[derive(Default)]
pub(super) struct Signs {
    number: bool,
    digit: bool,
    slip: bool,
    scratch: bool,
    /// `half`, `hour`, `pound`: an amount said without a number.
    amount: bool,
    /// A number in words with a letter behind it: `four forty eight a`.
    designation: bool,
    /// A line kind behind the first word.
    verb: bool,
}

impl Signs {
    fn of(text: &str) -> Self {
        let mut signs = Self::default();
        let mut lower = [0u8; 24];
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '\'');
        let mut before = "";
        let mut numbered = false;
        for (i, word) in words.filter(|word| !word.is_empty()).enumerate() {
            let bound = std::mem::replace(&mut before, word);
            if word.as_bytes()[0].is_ascii_digit() {
                signs.digit = true;
                continue;
            }
            let written = word;
            if word.len() > lower.len() || !word.is_ascii() {
                continue;
            }
            for (to, from) in lower.iter_mut().zip(word.bytes()) {
                *to = from.to_ascii_lowercase();
            }
            let word = std::str::from_utf8(&lower[..word.len()]).unwrap_or("");
            let number = names_number(word);
            signs.number |= number;
            signs.designation |= numbered
                && matches!(
                    word,
                    "a" | "b" | "c" | "d" | "e" | "f" | "hey" | "eh" | "ay" | "bee"
                )
                || number && matches!(bound, "r" | "R" | "are");
            numbered = number;
            let at = written.as_ptr() as usize - text.as_ptr() as usize;
            signs.slip |= slips_from(word)
                .iter()
                .any(|slip| is_said(&text[at..], &slip.words));
            signs.scratch |= matches!(word, "scratch" | "strike" | "nvm" | "never" | "nevermind");
            signs.amount |= matches!(
                word,
                "half" | "hour" | "pound" | "ounce" | "kilo" | "pounds" | "ounces" | "kilos"
            );
            signs.verb |= i > 0 && starts_verb(word) && {
                let behind_stop = text[..at].trim_end().ends_with(['.', ';', '!', '?']);
                let free = !may_be_bound(bound) && !is_weak(word);
                (free || behind_stop) && verb_of(&text[at..]).is_some()
            };
        }
        signs
    }
}
