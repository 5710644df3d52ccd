//! What a line of free text speaks of, so that a recommendation can be told from the work that takes
//! it up.

use super::fold;
use rustc_hash::FxHashMap;

/// What one line speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Topic {
    /// Numbers of its words of weight, in order.
    words: Vec<u32>,
    /// Numbers and part numbers that tell one thing from another of its kind.
    labels: Vec<String>,
}

impl Topic {
    /// True when another line speaks of the same: two words of weight in common, or all that the
    /// shorter of the two has. Compressor 1 is not compressor 2.
    pub fn is_taken_up_by(&self, other: &Self) -> bool {
        let (mut i, mut j, mut shared) = (0, 0, 0);
        while let (Some(a), Some(b)) = (self.words.get(i), other.words.get(j)) {
            match a.cmp(b) {
                std::cmp::Ordering::Less => i += 1,
                std::cmp::Ordering::Greater => j += 1,
                std::cmp::Ordering::Equal => (i, j, shared) = (i + 1, j + 1, shared + 1),
            }
        }
        let shorter = self.words.len().min(other.words.len());
        let label = self.labels.is_empty()
            || other.labels.is_empty()
            || self.labels.iter().any(|l| other.labels.contains(l));
        label && (shared >= 2 || (shared > 0 && shared == shorter))
    }
}

/// Words that tell one thing from another, numbered once.
#[derive(Debug, Default)]
pub struct Topics(FxHashMap<String, u32>);

impl Topics {
    /// What a text speaks of: its words of weight, without their plural, and its labels.
    pub fn of(&mut self, text: &str) -> Topic {
        const LIGHT: &[&str] = &[
            "the", "and", "for", "with", "new", "part", "now", "soon", "later", "this", "that",
            "from", "before", "after", "replace", "replaced", "fit", "fitted", "clean", "cleaned",
            "check", "checked", "have", "unit", "next", "today", "time", "year", "will", "not",
            "again", "until", "into", "its", "our", "one", "two",
        ];
        let has_digit = |word: &str| word.chars().any(|c| c.is_ascii_digit());
        let mut words: Vec<u32> = fold(text)
            .split(' ')
            .filter(|w| w.chars().count() > 2 && !LIGHT.contains(w) && !has_digit(w))
            .map(|w| {
                let next = self.0.len() as u32;
                let word = w.strip_suffix('s').unwrap_or(w).to_owned();
                *self.0.entry(word).or_insert(next)
            })
            .collect();
        words.sort_unstable();
        words.dedup();
        let labels = text
            .split_whitespace()
            .map(|word| word.trim_matches([',', ';', '.', '(', ')']).to_lowercase())
            .filter(|word| has_digit(word))
            .collect();
        Topic { words, labels }
    }
}

/// What a `declined` line speaks of: `the relay` of `by store lead: the relay, for this year`.
pub fn what_was_declined(text: &str) -> &str {
    let what = text.split_once(':').map_or(text, |(_, what)| what);
    match text.contains(':') {
        true => what.split(',').next().unwrap_or(what),
        false => what,
    }
}
