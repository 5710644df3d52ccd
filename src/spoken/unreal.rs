//! What was not done: denied, wished, still to come, done by somebody else.

use super::families::{is_observation, is_reported};
use super::phrase::Phrases;
use super::words::Pause;
use crate::vocabulary::Verb;

/// Words before a line kind that say it did not happen here and now.
const UNREAL: &[&str] = &[
    "not",
    "never",
    "nobody",
    "don't",
    "dont",
    "didn't",
    "didnt",
    "can't",
    "cant",
    "cannot",
    "won't",
    "wont",
    "wouldn't",
    "couldn't",
    "shouldn't",
    "haven't",
    "havent",
    "hasn't",
    "without",
    "forget",
    "forgot",
    "remember",
    "should",
    "would",
    "could",
    "will",
    "i'll",
    "wish",
    "must",
    "may",
    "might",
    "need",
    "needs",
    "tomorrow",
    "last",
    "previous",
    "guy",
    "tag",
    "sticker",
    "label",
    "invoice",
    "if",
    "when",
    "going",
    "gonna",
    "want",
    "wants",
    "like",
    "before",
    "until",
    "supposed",
    "please",
];

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
}
