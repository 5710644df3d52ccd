//! From what was said to the notation: number words, slips of the ear, several statements in one
//! breath, readings within talk.
//!
//! Stands between [`crate::source`] and the model: a line that the notation reads as it stands is left
//! alone, and one that was plainly dictated is replaced by what a colleague would have understood, with
//! a diagnostic that says so. What can be heard two ways is asked, with each way as a fix.

mod boundary;
mod clause;
mod clock;
mod compose;
mod composed;
mod cue;
mod doubt;
mod families;
mod head;
mod hear;
mod heard;
mod names;
mod number;
mod phrase;
mod place;
mod reading;
mod rewrite;
mod signs;
mod sound;
mod speech;
mod talk;
mod typo;
mod unreal;
mod usual;
mod words;

pub use hear::hear;
pub use rewrite::{understand, written_out};
