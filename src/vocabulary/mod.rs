//! The words of the trade as data: measuring points, line kinds, head keys, states, signs.
//!
//! None of these are grammar keywords. That is what lets a misspelt word be answered with its
//! nearest neighbour, and a new spelling be added as one string in one table.

pub mod faults;
mod heads;
mod people;
mod phrases;
mod plain_words;
mod points;
pub mod privacy;
mod remarks;
mod signs;
mod slips;
mod states;
mod suggest;
mod symptoms;
mod topics;
mod verbs;
mod when;

pub use heads::{HeadKey, head_key, head_spellings};
pub use people::{is_heard_from, is_retold, tells_a_colleague};
pub use plain_words::{names_a_part, names_a_thing, plain_words, same_word, tell_apart};
pub use points::{Leg, POINTS, Point, PointInfo, PointName, candidates, is_numbered, resolve};
pub use remarks::{ABOUT, starts_remark};
pub use signs::{SIGNS, Sign, recognise};
pub use slips::{Slip, slips_from};
pub use states::{State, nearest_state, state, state_spellings};
pub use suggest::{list, nearest, plural};
pub use symptoms::Symptom;
pub use topics::{Topic, Topics, what_was_declined};
pub use verbs::{VERBS, Verb, VerbInfo, starts_verb, verb, verb_spellings};
pub use when::{says_when, spells_number};

/// Folds a name for lookup: lower case, punctuation to blanks, one blank between words.
///
/// `Suction-Line.` and `suction line` fold alike; `L1-L2` folds to `l1 l2`.
pub fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    let mut gap = false;
    for c in text.chars() {
        if c.is_alphanumeric() {
            if gap && !folded.is_empty() {
                folded.push(' ');
            }
            gap = false;
            if c.is_ascii() {
                folded.push(c.to_ascii_lowercase());
            } else {
                folded.extend(c.to_lowercase());
            }
        } else if !matches!(c, '.' | '\'' | '’') {
            gap = true;
        }
    }
    folded
}
