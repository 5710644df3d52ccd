//! Families of line kinds: what is perceived, what is reported, what is measured, what has a time.

use crate::vocabulary::Verb;

/// Line kinds that state what was perceived.
pub(super) fn is_observation(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Saw | Verb::Heard | Verb::Felt | Verb::Smelled | Verb::Noted
    )
}

/// Line kinds whose text is what somebody is told or thinks: a line kind in it is part of that.
pub(super) fn is_reported(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Told
            | Verb::Advise
            | Verb::Approved
            | Verb::Watch
            | Verb::Booked
            | Verb::Declined
            | Verb::Cause
            | Verb::Left
            | Verb::Photo
            | Verb::Private
    )
}

/// Line kinds that say plainly that something else is spoken of now.
pub(super) fn is_deed(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Told
            | Verb::Advise
            | Verb::LockedOut
            | Verb::LockOff
            | Verb::Recovered
            | Verb::Added
            | Verb::Arrive
            | Verb::Depart
            | Verb::Restored
            | Verb::Declined
            | Verb::Approved
            | Verb::Watch
            | Verb::Booked
            | Verb::Photo
            | Verb::Fitted
            | Verb::Removed
            | Verb::Left
            | Verb::Visit
    )
}

/// Line kinds that the records count on: what they say must have happened.
pub(super) fn is_accounted(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::LockedOut
            | Verb::LockOff
            | Verb::Recovered
            | Verb::Added
            | Verb::Restored
            | Verb::Fitted
            | Verb::Removed
            | Verb::Handled
            | Verb::Left
            | Verb::Approved
            | Verb::Watch
            | Verb::Booked
            | Verb::Declined
    )
}

/// Line kinds in whose text numbers are amounts, so that words for them become figures.
pub(super) fn is_measured(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Recovered
            | Verb::Added
            | Verb::Hold
            | Verb::Vacuum
            | Verb::Travel
            | Verb::Waited
            | Verb::Fitted
            | Verb::Removed
            | Verb::Material
            | Verb::Arrive
            | Verb::Depart
    )
}

/// Line kinds that a time at the end of their text is the time of.
pub(super) fn is_timed(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Recovered
            | Verb::Hold
            | Verb::Vacuum
            | Verb::Added
            | Verb::Fitted
            | Verb::Removed
            | Verb::Arrive
            | Verb::Depart
            | Verb::LockedOut
            | Verb::LockOff
            | Verb::Did
            | Verb::Handled
            | Verb::Restored
            | Verb::Left
    )
}
