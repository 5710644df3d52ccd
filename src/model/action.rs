//! What an action's text says: test readings, how soon, what is private.

use super::draft::Draft;
use super::written::{find_duration, find_mass, tokens_of};
use super::{EntryKind, Flow, Sense, Urgency};
use super::{pressure_tests, transfer};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::Duration;
use crate::source::{Span, Spanned};
use crate::vocabulary::privacy::is_private;
use crate::vocabulary::{Verb, faults, fold, is_heard_from, recognise};

/// Reads the text of an action; `None` when it lacks what it cannot do without (reported).
pub(super) fn read(
    draft: &mut Draft<'_>,
    verb: Verb,
    span: Span,
    text: Spanned<&str>,
) -> Option<EntryKind> {
    let owned = || text.node.to_owned();
    let whole = draft.source.slice(span);
    let said = || whole.to_owned();
    if verb != Verb::Private && is_private(text.node) {
        return Some(EntryKind::Private(whole.to_owned()));
    }
    if matches!(
        verb,
        Verb::Did
            | Verb::Handled
            | Verb::Noted
            | Verb::Saw
            | Verb::Heard
            | Verb::Restored
            | Verb::Removed
    ) {
        unbooked(draft, span, Spanned::new(whole, span));
    }
    let observation = |sense| EntryKind::Observation {
        sense,
        text: owned(),
        signs: recognise(text.node),
    };
    Some(match verb {
        Verb::Visit => return None,
        Verb::Saw => observation(Sense::Seen),
        Verb::Heard => observation(Sense::Heard),
        Verb::Felt => observation(Sense::Felt),
        Verb::Smelled => observation(Sense::Smelled),
        Verb::Noted => observation(Sense::Noted),
        Verb::Cause => EntryKind::Cause {
            text: owned(),
            fault: faults::recognise(text.node),
        },
        // `did not fix, part on order` is news, not work.
        Verb::Did if starts_with_word(text.node, &["not", "nothing", "no", "none"]) => {
            EntryKind::Observation {
                sense: Sense::Noted,
                text: said(),
                signs: Vec::new(),
            }
        }
        Verb::Did => EntryKind::Did(owned()),
        Verb::Handled => EntryKind::Handled {
            text: owned(),
            changes: !starts_with_word(text.node, &["checked", "tested"]),
        },
        // A jumper put in is a temporary condition, and taken out no repair.
        Verb::Fitted if starts_with_word(text.node, JUMPERS) => EntryKind::Left(said()),
        Verb::Removed if starts_with_word(text.node, JUMPERS) => EntryKind::Handled {
            text: said(),
            changes: true,
        },
        // Gauges and settings come and go without being parts.
        Verb::Fitted | Verb::Removed if starts_with_word(text.node, NO_PARTS) => {
            EntryKind::Handled {
                text: said(),
                changes: true,
            }
        }
        Verb::Fitted => EntryKind::Fitted(owned()),
        Verb::Removed => EntryKind::Removed(owned()),
        Verb::Recovered | Verb::Added if other_substance(text.node) => EntryKind::Handled {
            text: said(),
            changes: true,
        },
        Verb::Recovered => {
            EntryKind::Refrigerant(transfer::read(draft, Flow::Recovered, span, text)?)
        }
        Verb::Added => EntryKind::Refrigerant(transfer::read(draft, Flow::Added, span, text)?),
        Verb::Hold => pressure_tests::hold(draft, span, text)?,
        Verb::Vacuum => pressure_tests::vacuum(draft, span, text)?,
        // `told by manager …`, `told me …` is what somebody else said.
        Verb::Told if is_heard_from(text.node) => EntryKind::Observation {
            sense: Sense::Noted,
            text: said(),
            signs: Vec::new(),
        },
        Verb::Told => EntryKind::Told(owned()),
        Verb::Advise => advise(text.node),
        Verb::Approved => EntryKind::Approved(owned()),
        Verb::Declined => EntryKind::Declined(owned()),
        Verb::Photo => EntryKind::Photo(owned()),
        Verb::Private => EntryKind::Private(owned()),
        Verb::Travel => EntryKind::Travel {
            duration: duration(draft, text),
            text: owned(),
        },
        Verb::Waited => EntryKind::Waited {
            duration: duration(draft, text),
            text: owned(),
        },
        Verb::Arrive => EntryKind::Arrive(owned()),
        Verb::Depart => EntryKind::Depart(owned()),
        Verb::Watch => EntryKind::Watch(owned()),
        Verb::Booked => EntryKind::Booked(owned()),
        Verb::Material => EntryKind::Material(owned()),
        Verb::Instrument => EntryKind::Instrument(owned()),
        // `lock off main disconnect not yet`, `restored alarm tomorrow`: news, and nothing undone. A
        // lock put on is one, whatever else is said of it.
        Verb::LockOff | Verb::Restored if is_still_to_do(text.node) => EntryKind::Observation {
            sense: Sense::Noted,
            text: said(),
            signs: Vec::new(),
        },
        Verb::LockedOut => EntryKind::LockedOut(place_of(text.node)),
        Verb::LockOff => EntryKind::LockOff(place_of(text.node)),
        Verb::Left if text.node.is_empty() => EntryKind::Depart(String::new()),
        // `left unit running`, `left customer a quote`: nothing to undo.
        Verb::Left if starts_with_word(text.node, NO_DEBT) => observation(Sense::Noted),
        Verb::Left => EntryKind::Left(owned()),
        Verb::Restored => EntryKind::Restored(owned()),
    })
}

/// `lockout on the main disconnect`, `took my lock off the main disconnect`: where the lock is.
pub(super) fn place_of(text: &str) -> String {
    let leads = ["on the ", "off the ", "from the ", "of the "];
    let lead = leads.iter().find(|lead| {
        text.get(..lead.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(lead))
    });
    match lead {
        Some(lead) => text[lead.len() - "the ".len()..].to_owned(),
        None => text.to_owned(),
    }
}

/// Words that say a thing is not done yet.
const STILL_TO_DO: &[&str] = &["not", "never", "tomorrow", "later"];

pub(super) const NO_PARTS: &[&str] = &[
    "gauges",
    "gauge",
    "set",
    "setpoint",
    "setting",
    "settings",
    "temporary",
    "temp",
    "panel",
    "cover",
];
pub(super) const JUMPERS: &[&str] = &["jumper", "jumpers", "bypass"];
pub(super) const NO_DEBT: &[&str] = &[
    "unit",
    "system",
    "everything",
    "all",
    "customer",
    "quote",
    "card",
    "invoice",
    "running",
    "note",
    "message",
];

/// Oil and the like are no refrigerant: they are told as work and never booked.
pub(super) fn other_substance(text: &str) -> bool {
    const OTHER: &[&str] = &["oil", "nitrogen", "n2", "glycol", "water", "dye", "brine"];
    fold(text).split(' ').any(|word| OTHER.contains(&word))
}

/// True when the text says so before its first comma: `lock off main disconnect, fan not turning` is
/// done.
pub(super) fn is_still_to_do(text: &str) -> bool {
    let first = text.split([',', ';']).next().unwrap_or(text);
    let folded = fold(first);
    folded.split(' ').any(|word| STILL_TO_DO.contains(&word))
}

pub(super) fn starts_with_word(text: &str, words: &[&str]) -> bool {
    let folded = fold(text);
    folded
        .split(' ')
        .next()
        .is_some_and(|first| words.contains(&first))
}

/// Questions a line of work or remark with a weight of refrigerant in it, which books none.
fn unbooked(draft: &mut Draft<'_>, span: Span, text: Spanned<&str>) {
    const MOVED: &[&str] = &[
        "add",
        "added",
        "adding",
        "charged",
        "recovered",
        "vented",
        "lost",
        "leaked",
        "blew",
        "transferred",
        "weighed",
        "topped",
        "removed",
        "put",
        "took",
        "released",
        "moved",
    ];
    let folded = fold(text.node);
    let moves = folded.split(' ').any(|word| MOVED.contains(&word));
    if !moves || find_mass(text.node, text.span.start, &tokens_of(text)).is_none() {
        return;
    }
    if other_substance(text.node) {
        return;
    }
    draft.diagnostics.push(
        Diagnostic::new(
            &code::AMOUNT_UNBOOKED,
            span,
            "a weight stands here and is in no book of refrigerant",
        )
        .help("start the line with `added` or `recovered` if it was moved by the scale"),
    );
}

/// Longest time of one trip or wait that is believed, s: three days.
const LONGEST: f64 = 3.0 * 86_400.0;

/// The time of a trip or a wait; one that cannot be is questioned and not counted.
pub(super) fn duration(draft: &mut Draft<'_>, text: Spanned<&str>) -> Option<Duration> {
    let tokens = tokens_of(text);
    let Some(duration) = find_duration(&tokens) else {
        if let [token] = tokens.as_slice()
            && token.number().is_some()
        {
            draft.diagnostics.push(
                Diagnostic::new(
                    &code::TIME_DOUBTFUL,
                    token.span,
                    format!(
                        "`{}` has no unit, so how long it took is not known",
                        token.text
                    ),
                )
                .help("write for example `travel 40 min` or `waited 1 h 10 min for parts`"),
            );
        }
        return None;
    };
    if (0.0..=LONGEST).contains(&duration.second()) {
        return Some(duration);
    }
    draft.diagnostics.push(
        Diagnostic::new(
            &code::TIME_DOUBTFUL,
            text.span,
            "this is no time that a trip or a wait can take; it is not counted",
        )
        .help("write for example `travel 40 min` or `waited 1 h 10 min for parts`"),
    );
    None
}

/// Words that say how soon, and what they say.
const SOONNESS: &[(&str, Urgency)] = &[
    ("now", Urgency::Now),
    ("urgent", Urgency::Now),
    ("urgently", Urgency::Now),
    ("immediately", Urgency::Now),
    ("today", Urgency::Now),
    ("soon", Urgency::Soon),
    ("this week", Urgency::Soon),
    ("this month", Urgency::Soon),
    ("later", Urgency::Later),
    ("next visit", Urgency::Later),
    ("next service", Urgency::Later),
    ("when convenient", Urgency::Later),
];

fn advise(text: &str) -> EntryKind {
    let lower = text.to_lowercase();
    let found = SOONNESS.iter().find_map(|&(word, urgency)| {
        let rest = lower.strip_prefix(word)?;
        (rest.is_empty() || rest.starts_with([' ', ':', ',', '-'])).then_some((word.len(), urgency))
    });
    let (skip, urgency) = found.unwrap_or((0, Urgency::Unstated));
    // Lower-casing may change lengths outside ASCII, but every word above is ASCII at the start.
    let rest = text.get(skip..).unwrap_or(text);
    EntryKind::Advise {
        urgency,
        text: rest.trim_start_matches([' ', ':', ',', '-']).to_owned(),
    }
}
