//! Words that a cold thumb missed by one letter.

use super::words::{Pause, Word};
use crate::quantity::lookup_unit;
use crate::vocabulary::{
    POINTS, VERBS, fold, head_spellings, state, state_spellings, verb_spellings,
};
use rustc_hash::FxHashSet;
use std::borrow::Cow;
use std::sync::LazyLock;

/// The words that names of points, units, states, line kinds and head keys are made of.
static TRADE: LazyLock<FxHashSet<String>> = LazyLock::new(|| {
    let names = POINTS
        .iter()
        .flat_map(|p| std::iter::once(p.name).chain(p.aliases.iter().copied()));
    let speaking = VERBS.iter().flat_map(|verb| verb.speaking.iter().copied());
    let words = names
        .chain(verb_spellings())
        .chain(speaking)
        .chain(state_spellings());
    words
        .chain(head_spellings().filter(|key| key.len() > 4))
        .chain([
            "psig", "micron", "microns", "amps", "volts", "pounds", "ounces", "degrees", "megohm",
            "receiver", "isolated",
        ])
        .flat_map(|name| fold(name).split(' ').map(str::to_owned).collect::<Vec<_>>())
        .filter(|word| word.len() > 2 && word.bytes().all(|b| b.is_ascii_alphabetic()))
        .collect()
});

/// Each of them with the letters it has, a bit each.
static TRADE_LETTERS: LazyLock<Vec<(&'static String, u32)>> =
    LazyLock::new(|| TRADE.iter().map(|word| (word, letters_of(word))).collect());

fn letters_of(word: &str) -> u32 {
    word.bytes()
        .fold(0, |set, byte| set | 1u32.wrapping_shl(u32::from(byte)))
}

/// Words of everyday speech that are one letter away from one of the trade.
const ENGLISH: &[&str] = &[
    "about", "are", "cleaner", "cold", "come", "done", "each", "ice", "jumper", "lead", "leave",
    "leaver", "like", "line", "live", "low", "more", "new", "now", "odd", "our", "out", "over",
    "room", "sit", "six", "size", "slow", "some", "stop", "than", "that", "them", "then", "there",
    "they", "this", "time", "top", "water", "were", "wet", "with", "boiler", "filler", "heated",
    "lever", "moving", "motor", "normal", "norman", "open", "other", "real", "seal", "seat",
    "still", "valve",
];

/// The words with those mended that are one letter away from exactly one word of the trade; `None`
/// when there are none.
pub(super) fn mend<'s>(words: &[Word<'s>]) -> Option<Vec<Word<'s>>> {
    let mut mended = false;
    let mut found = Vec::with_capacity(words.len());
    for word in words {
        let put = |found: &mut Vec<Word<'s>>, text: String, thumb: Option<u8>| {
            found.push(Word {
                folded: text.to_lowercase(),
                text: Cow::Owned(text),
                after: Pause::None,
                corrected: true,
                thumb,
                ..word.clone()
            });
        };
        let lower = word.text.to_lowercase();
        if let Some((a, b)) = glued(&lower) {
            put(&mut found, a.to_owned(), None);
            put(&mut found, b.to_owned(), None);
        } else if let Some((slip, meant)) = meant(&word.folded) {
            put(&mut found, meant.to_owned(), Some(slip));
        } else {
            found.push(word.clone());
            continue;
        }
        if let Some(last) = found.last_mut() {
            last.after = word.after;
        }
        mended = true;
    }
    mended.then_some(found)
}

/// True for a word of the trade.
pub(super) fn is_trade(word: &str) -> bool {
    TRADE.contains(word)
}

/// `suction4.2`, `0912suction`: a word and a number that a thumb ran together.
fn glued(word: &str) -> Option<(&str, &str)> {
    let digit = |c: char| c.is_ascii_digit();
    let (a, b) = if word.starts_with(digit) {
        word.split_at(word.find(|c: char| !c.is_ascii_digit())?)
    } else {
        word.split_at(word.find(|c: char| digit(c) || c == '-')?)
    };
    let number = |text: &str| {
        let end = text
            .find(|c: char| c.is_ascii_alphabetic())
            .unwrap_or(text.len());
        let (figures, unit) = text.split_at(end);
        let figures = figures.trim_start_matches('-');
        figures.starts_with(digit)
            && figures.chars().all(|c| digit(c) || c == '.')
            && (unit.is_empty() || !lookup_unit(unit).is_empty())
    };
    let known = |text: &str| text.len() > 2 && TRADE.contains(text);
    let time = a.len() == 4 && number(a);
    (known(a) && number(b) || time && known(b)).then_some((a, b))
}

/// How a word differs from one of the trade by one slip, the likelier the lower: two letters changed
/// over (0), one left out (1) or too many (2), another one hit (3).
fn slip(word: &str, trade: &str) -> Option<u8> {
    if word.len().abs_diff(trade.len()) > 1 || strsim::osa_distance(word, trade) != 1 {
        return None;
    }
    let sorted = |text: &str| {
        let mut bytes = text.as_bytes().to_vec();
        bytes.sort_unstable();
        bytes
    };
    Some(if word.len() < trade.len() {
        1
    } else if word.len() > trade.len() {
        2
    } else if sorted(word) == sorted(trade) {
        0
    } else {
        3
    })
}

/// The word of the trade that a word is one slip of the thumb away from, if only one is.
fn meant(word: &str) -> Option<(u8, &'static str)> {
    let known = super::number::atom(word).is_some()
        || ENGLISH.contains(&word)
        || TRADE.contains(word)
        || !lookup_unit(word).is_empty()
        || state(word).is_some();
    if known || word.len() < 3 || !word.bytes().all(|b| b.is_ascii_alphabetic()) {
        return None;
    }
    // One slip changes at most two letters of the set: most words are out without measuring.
    let letters = letters_of(word);
    let mut near: Vec<(u8, bool, &str)> = TRADE_LETTERS
        .iter()
        .filter(|(_, of)| (of ^ letters).count_ones() <= 2)
        .filter_map(|(trade, _)| {
            let slip = slip(word, trade)?;
            // In a short word one letter makes another word, unless two only changed places.
            let short = word.len().max(trade.len()) < 5
                && slip > 0
                && !(slip == 1 && trade.len() == 4 && word.len() == 3);
            let first = word.as_bytes()[0] != trade.as_bytes()[0];
            (!short).then_some((slip, first, trade.as_str()))
        })
        .collect();
    near.sort_unstable();
    let (best, second) = (near.first()?, near.get(1));
    let alone = second.is_none_or(|second| (second.0, second.1) > (best.0, best.1));
    // An `s` more or less is grammar, not a slip.
    let plural = best.2.strip_suffix('s') == Some(word) || word.strip_suffix('s') == Some(best.2);
    // `hooked` is no `looked`: what was done is not guessed by a letter.
    let deed = best.0 == 3 && crate::vocabulary::starts_verb(best.2);
    (alone && !plural && !deed).then_some((best.0, best.2))
}
