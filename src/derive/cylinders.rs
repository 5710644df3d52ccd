//! What each cylinder held before and after a movement, as far as the note tells.
//!
//! Known where the head gives what it holds, or where it was weighed and its tare is known. Where
//! neither is, what was put into it during the note is the least it can hold.

use crate::model::{Flow, Job, Transfer, same_label};
use crate::quantity::Mass;

/// The most that a cylinder may be filled, in parts per hundred of its water capacity by mass:
/// common practice, from memory. The filling density that transport law sets differs by refrigerant.
pub const FULL_PERCENT: i128 = 80;

/// The content of a movement's cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Content {
    /// Before; `None` when the note does not tell.
    pub before: Option<Mass>,
    /// After.
    pub after: Option<Mass>,
    /// The least it holds after.
    pub at_least: Mass,
}

impl Content {
    /// The most it is known to have held during the movement.
    pub fn most(&self) -> Mass {
        let known = self.before.max(self.after).unwrap_or(Mass::ZERO);
        known.max(self.at_least)
    }
}

/// The content of every movement's cylinder, in order.
pub(super) fn contents(job: &Job, transfers: &[&Transfer]) -> Vec<Content> {
    let mut contents: Vec<Content> = Vec::with_capacity(transfers.len());
    for transfer in transfers {
        let Some(label) = transfer.cylinder.as_deref() else {
            contents.push(Content::default());
            continue;
        };
        let head = job.cylinder(label);
        let is_same = |t: &&Transfer| t.cylinder.as_deref().is_some_and(|l| same_label(l, label));
        let last = transfers[..contents.len()].iter().rposition(is_same);
        let (known, least) = match last {
            Some(last) => (contents[last].after, contents[last].at_least),
            None => (head.and_then(|c| c.holds), Mass::ZERO),
        };
        let tare = head.and_then(|c| c.tare);
        let net = |gross: Mass| {
            tare.map(|tare| gross - tare)
                .filter(|net| !net.is_negative())
        };
        let weighed = transfer.weighing.as_ref();
        let before = weighed.and_then(|w| net(w.before)).or(known);
        let moved = |from: Mass| match transfer.flow {
            Flow::Added => from - transfer.mass,
            Flow::Recovered => from + transfer.mass,
        };
        let after = weighed
            .and_then(|w| net(w.after))
            .or(before.map(moved).filter(|after| !after.is_negative()));
        let least = before.unwrap_or(Mass::ZERO).max(least);
        contents.push(Content {
            before,
            after,
            at_least: after.unwrap_or_else(|| moved(least).max(Mass::ZERO)),
        });
    }
    contents
}
