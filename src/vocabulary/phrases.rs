//! Phrases looked for in free text: sets of words that must all be there, in any order.
//!
//! The words of a table are numbered once; a text then becomes one bit set, and asking for a phrase
//! is one comparison, however many phrases the table has.

use super::fold;
use rustc_hash::FxHashMap;

/// A table of phrases, ready for looking up; `K` is what a row stands for.
pub(super) struct Phrases<K> {
    words: FxHashMap<&'static str, u32>,
    rows: Vec<(K, Vec<u128>)>,
}

impl<K: Copy> Phrases<K> {
    /// Numbers the words of a table.
    ///
    /// # Panics
    /// When the table has more than 128 different words; a unit test builds every table.
    pub fn new(table: impl Iterator<Item = (K, &'static [&'static [&'static str]])>) -> Self {
        let mut words = FxHashMap::default();
        let rows = table
            .map(|(key, phrases)| {
                let masks = phrases
                    .iter()
                    .map(|phrase| {
                        phrase.iter().fold(0, |mask, word| {
                            let next = words.len() as u32;
                            mask | 1u128 << *words.entry(*word).or_insert(next)
                        })
                    })
                    .collect();
                (key, masks)
            })
            .collect();
        assert!(
            words.len() <= 128,
            "too many words for one table of phrases"
        );
        Self { words, rows }
    }

    /// The rows any of whose phrases is in a text, in table order.
    pub fn found_in(&self, text: &str) -> impl Iterator<Item = K> + '_ {
        let present = fold(text)
            .split(' ')
            .filter_map(|word| self.words.get(word))
            .fold(0u128, |mask, bit| mask | 1 << bit);
        self.rows
            .iter()
            .filter(move |_| present != 0)
            .filter(move |(_, masks)| masks.iter().any(|mask| mask & present == *mask))
            .map(|(key, _)| *key)
    }
}
