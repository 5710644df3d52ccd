//! Words that a cold thumb missed by one letter.

use super::words::Word;
use crate::quantity::lookup_unit;
use crate::vocabulary::{POINTS, fold, state, verb_spellings};
use rustc_hash::FxHashSet;
use std::borrow::Cow;
use std::sync::LazyLock;

/// Shortest word that is mended: in shorter ones one letter makes another word.
const SHORTEST: usize = 5;

/// The words that names of points and line kinds are made of.
static TRADE: LazyLock<FxHashSet<String>> = LazyLock::new(|| {
    let names = POINTS.iter().flat_map(|p| std::iter::once(p.name).chain(p.aliases.iter().copied()));
    names
        .chain(verb_spellings())
        .flat_map(|name| fold(name).split(' ').map(str::to_owned).collect::<Vec<_>>())
        .filter(|word| word.len() >= SHORTEST - 1)
        .collect()
});

/// The words with those mended that are one letter away from exactly one word of the trade; `None`
/// when there are none.
pub(super) fn mend<'s>(words: &[Word<'s>]) -> Option<Vec<Word<'s>>> {
    let mut mended = false;
    let found = words
        .iter()
        .map(|word| match meant(&word.folded) {
            Some(meant) => {
                mended = true;
                Word {
                    text: Cow::Owned(meant.to_owned()),
                    folded: meant.to_owned(),
                    corrected: true,
                    ..word.clone()
                }
            }
            None => word.clone(),
        })
        .collect();
    mended.then_some(found)
}

/// The word of the trade that a word is one slip of the thumb away from, if only one is.
fn meant(word: &str) -> Option<&'static str> {
    let length = word.chars().count();
    let known = TRADE.contains(word) || !lookup_unit(word).is_empty() || state(word).is_some();
    if length < SHORTEST || known || !word.chars().all(char::is_alphabetic) {
        return None;
    }
    let mut near = TRADE
        .iter()
        .filter(|trade| trade.len().abs_diff(word.len()) <= 1)
        .filter(|trade| strsim::osa_distance(word, trade) == 1);
    let found = near.next()?;
    // An `s` more or less is grammar, not a slip.
    let plural = found.strip_suffix('s') == Some(word) || word.strip_suffix('s') == Some(found);
    (near.next().is_none() && !plural).then_some(found.as_str())
}
