//! What is not so, or not now: denied, wished, still to come, done or said by somebody else.

use super::families::{is_observation, is_reported};
use super::phrase::Phrases;
use super::reading::Group;
use super::words::Pause;
use crate::vocabulary::Verb;
use std::ops::Range;

/// Words before a line kind that say it did not happen here and now, folded: without apostrophes.
const UNREAL: &[&str] = &[
    "not", "never", "nobody", "dont", "didnt", "cant", "cannot", "wont", "wouldnt", "couldnt",
    "shouldnt", "havent", "hasnt", "without", "forget", "forgot", "remember", "should", "would",
    "could", "will", "ill", "wish", "must", "may", "might", "need", "needs", "tomorrow", "last",
    "previous", "guy", "tag", "sticker", "label", "invoice", "if", "when", "going", "gonna",
    "want", "wants", "like", "before", "until", "supposed", "please",
];

/// Words of a sentence that speak of another time, of what should be, or of what somebody said.
const ELSEWHEN: &[&str] = &[
    "yesterday",
    "last",
    "said",
    "says",
    "should",
    "supposed",
    "limit",
    "design",
    "normal",
    "normally",
    "usually",
    "than",
    "colder",
    "warmer",
    "if",
    "until",
    "would",
    "want",
    "wants",
    "between",
    "from",
    "claims",
    "claimed",
    "reported",
    "overnight",
    "over",
    "above",
    "under",
    "within",
    "rated",
    "before",
    "ago",
    "tomorrow",
    "keeps",
    "wrote",
    "originally",
    "sticker",
    "plate",
    "log",
    "comes",
    "say",
    "will",
    "private",
    "record",
];

/// Words before a reading that deny it.
const DENIED: &[&str] = &["not", "never", "didnt", "sure", "no"];

impl Phrases<'_, '_> {
    /// True when the words of a statement up to `at` say that what follows was not done: `did not take
    /// the`, `the last guy`. A pause or a joining word starts afresh.
    pub fn is_unreal(&self, start: usize, at: usize) -> bool {
        let from = if start == usize::MAX { 0 } else { start };
        (from..at)
            .rev()
            .take_while(|&i| {
                self.words[i].after == Pause::None
                    && !matches!(self.folded(i), "and" | "then" | "but" | "so")
            })
            .any(|i| UNREAL.contains(&self.folded(i)))
    }

    /// True when `left` in the midst of words states what is left undone: `left the panel off`, and not
    /// `the door left open`, `left of the fan`.
    pub fn is_leaving(&self, after: usize, verb: Option<Verb>, connected: bool) -> bool {
        let next = self.folded(after);
        let side = matches!(
            next,
            "of" | "to" | "side" | "hand" | "at" | "door" | "it" | "the"
        ) && matches!(self.folded(after + 1), "the" | "right" | "" | "it" | "was");
        let of = verb.is_some_and(|verb| is_observation(verb) || is_reported(verb));
        let undone = |i: usize| {
            matches!(
                self.folded(i),
                "off"
                    | "on"
                    | "open"
                    | "out"
                    | "in"
                    | "silenced"
                    | "bypassed"
                    | "jumped"
                    | "jumpered"
                    | "disabled"
                    | "disconnected"
                    | "closed"
                    | "unplugged"
                    | "forced"
                    | "manual"
                    | "running"
                    | "loose"
                    | "down"
                    | "up"
                    | "muted"
            )
        };
        let object = !undone(after);
        object && !side && (connected || !of && (after + 1..self.words.len()).any(undone))
    }

    /// True when the words speak of another time, of what should be, or of what somebody said.
    pub fn is_hearsay(&self, range: Range<usize>, groups: &[Group]) -> bool {
        let ours = (range.start..range.end)
            .any(|i| matches!(self.folded(i), "for" | "between") && self.folded(i + 1) == "us");
        let last = groups.last().map_or(0, |group| group.range.start);
        let inside = |i: &usize| groups.iter().any(|group| group.range.contains(i));
        ours || range.filter(|i| !inside(i)).any(|i| {
            let word = self.folded(i);
            ELSEWHEN.contains(&word) || i < last && DENIED.contains(&word)
        })
    }
}
