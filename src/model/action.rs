//! What an action's text says: test readings, how soon, what is private.

use super::draft::Draft;
use super::transfer;
use super::written::{Found, find, find_duration, find_mass, is_word, unit_put_in, written};
use super::{EntryKind, Flow, Sense, Urgency};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Dimension, Duration, Quantity, Unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind, tokens};
use crate::vocabulary::{self, Point, Verb, faults, fold, recognise};

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
    if let (Some(words), true) = (private_part(text), verb != Verb::Private) {
        return Some(EntryKind::Private(words.to_owned()));
    }
    if matches!(
        verb,
        Verb::Did | Verb::Handled | Verb::Noted | Verb::Saw | Verb::Heard
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
        Verb::Hold => hold(draft, span, text)?,
        Verb::Vacuum => vacuum(draft, span, text)?,
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
        Verb::Material => EntryKind::Material(owned()),
        Verb::Instrument => EntryKind::Instrument(owned()),
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
fn place_of(text: &str) -> String {
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

const NO_PARTS: &[&str] = &[
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
const JUMPERS: &[&str] = &["jumper", "jumpers", "bypass"];
const NO_DEBT: &[&str] = &[
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
fn other_substance(text: &str) -> bool {
    const OTHER: &[&str] = &["oil", "nitrogen", "n2", "glycol", "water", "dye", "brine"];
    fold(text).split(' ').any(|word| OTHER.contains(&word))
}

fn starts_with_word(text: &str, words: &[&str]) -> bool {
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
fn duration(draft: &mut Draft<'_>, text: Spanned<&str>) -> Option<Duration> {
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

/// The text behind a private word that `text` starts with or holds after a stroke, a comma or a point:
/// `private: …`, `told manager all done / note private: …`.
pub(super) fn private_part(text: Spanned<&str>) -> Option<&str> {
    // Nearly every line ends here.
    let lower = text.node.to_ascii_lowercase();
    if !["private", "internal", "note to self", "office only"]
        .iter()
        .any(|word| lower.contains(word))
    {
        return None;
    }
    let private = |part: &str| {
        let part = part.trim_start();
        let part = part.strip_prefix("note ").unwrap_or(part);
        matches!(vocabulary::verb(part), Some((Verb::Private, _)))
    };
    let inside = private(&lower) || lower.split(['/', ';', '.', ',', '\n']).any(private);
    inside.then_some(text.node)
}

fn tokens_of<'s>(text: Spanned<&'s str>) -> Vec<Token<'s>> {
    tokens(text.node, text.span.start as usize)
}

/// Gases a standing test may be noted with, the dangerous ones too, so that they are seen.
const TEST_GASES: &[&str] = &[
    "nitrogen",
    "n2",
    "oxygen",
    "air",
    "argon",
    "co2",
    "acetylene",
    "helium",
    "refrigerant",
];

fn hold(draft: &mut Draft<'_>, span: Span, text: Spanned<&str>) -> Option<EntryKind> {
    let tokens = tokens_of(text);
    let base = text.span.start;
    let found = find(text.node, base, &tokens, Dimension::Pressure)
        .or_else(|| hold_without_unit(draft, text, &tokens));
    let Some(found) = found else {
        draft.diagnostics.push(
            Diagnostic::new(&code::TEST_INCOMPLETE, span, "this hold has no pressure")
                .help("write for example `hold nitrogen 150 psig at 72 F`"),
        );
        return None;
    };
    if let Some(loose) = found.loose {
        draft.diagnostics.push(two_numbers(loose));
        return None;
    }
    let written = found.written;
    let pressure = match written.quantity {
        Quantity::Gauge(pressure) => pressure,
        Quantity::Absolute(pressure) => pressure.gauge(draft.job.unit.atmosphere()),
        _ => return None,
    };
    let mut numbers = tokens.iter().filter(|t| t.number().is_some());
    if let Some(third) = numbers.nth(2)
        && tokens.iter().filter(|t| is_word(t, &["at"])).count() > 1
    {
        draft.diagnostics.push(two_numbers(third.span));
        return None;
    }
    let temperature = find(text.node, base, &tokens, Dimension::Temperature)
        .or_else(|| hold_temperature(draft, &tokens))
        .and_then(|found| match found.written.quantity {
            Quantity::Temperature(temperature) => Some(temperature),
            _ => None,
        });
    if pressure.pascal() > HIGHEST_HOLD {
        draft.diagnostics.push(
            Diagnostic::new(
                &code::IMPLAUSIBLE_VALUE,
                span,
                format!("{} is more than any system is tested with", written.text),
            )
            .help("check the digits; never go above the test pressure on the nameplate"),
        );
    }
    let gas = tokens
        .iter()
        .find(|t| is_word(t, TEST_GASES))
        .map_or("nitrogen", |t| t.text)
        .to_lowercase();
    Some(EntryKind::Hold {
        gas,
        pressure,
        written: written.text,
        resolution: written.resolution,
        temperature,
    })
}

/// A vacuum without a unit below this is questioned, micron. Common practice, no source.
const LOWEST_BARE_VACUUM: f64 = 20.0;

/// Above this no standing test of refrigeration is made, Pa: about 1000 psi. Common practice, no source.
const HIGHEST_HOLD: f64 = 7.0e6;

/// `hold nitrogen 150 at 72 F`: the pressure in the unit of the note's habit, and said.
fn hold_without_unit(
    draft: &mut Draft<'_>,
    text: Spanned<&str>,
    tokens: &[Token<'_>],
) -> Option<Found> {
    let unit = draft.habits.assume(Point::Suction)?;
    let at = tokens.iter().position(|t| t.number().is_some())?;
    let temperature =
        at > 0 && is_word(&tokens[at - 1], &["at"]) && unit_of_degrees(tokens, at + 1);
    let other = tokens[at + 1..]
        .iter()
        .enumerate()
        .any(|(i, t)| t.number().is_some() && !is_word(&tokens[at + i], &["at"]));
    if temperature || other {
        return None;
    }
    let token = &tokens[at];
    let end = token.span.end;
    draft.diagnostics.push(
        Diagnostic::new(
            &code::UNIT_ASSUMED,
            token.span,
            format!("`{}` has no unit; {} was taken", token.text, unit.symbol()),
        )
        .likely_fix(
            "write the unit",
            Span::new(end as usize, end as usize),
            unit_put_in(draft.source.text(), end, unit),
        ),
    );
    let shown = format!("{} {}", token.text, unit.symbol());
    debug_assert!(token.span.start >= text.span.start);
    Some(Found {
        written: written(token.number()?, unit, shown),
        loose: None,
    })
}

/// `at 72`, `at 72 degrees`: the temperature in the scale of the note's habit, and said.
fn hold_temperature(draft: &mut Draft<'_>, tokens: &[Token<'_>]) -> Option<Found> {
    // The pressure may stand behind an `at` too: the last one is of the temperature.
    let mut pairs = tokens.windows(2);
    let behind_at =
        pairs.rposition(|pair| is_word(&pair[0], &["at"]) && pair[1].number().is_some());
    let of_degrees = (0..tokens.len())
        .rfind(|&i| tokens[i].number().is_some() && unit_of_degrees(tokens, i + 1));
    let at = of_degrees.or(behind_at.map(|at| at + 1))?;
    let first = tokens.iter().position(|t| t.number().is_some());
    if first == Some(at) {
        return None;
    }
    let degrees = unit_of_degrees(tokens, at + 1);
    let open = tokens
        .get(at + 1)
        .is_none_or(|t| t.kind == TokenKind::Separator);
    let unit = draft.habits.assume(Point::Ambient)?;
    if !degrees && !open {
        return None;
    }
    let token = &tokens[at];
    let end = if degrees {
        tokens[at + 1].span.end
    } else {
        token.span.end
    };
    let after = Span::new(token.span.end as usize, end as usize);
    draft.diagnostics.push(
        Diagnostic::new(
            &code::UNIT_ASSUMED,
            token.span,
            format!(
                "`at {}` has no unit; {} was taken",
                token.text,
                unit.symbol()
            ),
        )
        .likely_fix(
            "write the unit",
            after,
            unit_put_in(draft.source.text(), end, unit),
        ),
    );
    Some(Found {
        written: written(token.number()?, unit, token.text.to_owned()),
        loose: None,
    })
}

fn unit_of_degrees(tokens: &[Token<'_>], at: usize) -> bool {
    tokens
        .get(at)
        .is_some_and(|t| is_word(t, &["degrees", "degree", "deg"]) || matches!(t.text, "°"))
}

fn two_numbers(loose: Span) -> Diagnostic {
    Diagnostic::new(
        &code::TEST_INCOMPLETE,
        loose,
        "this test line has two numbers, and which is the reading is not clear",
    )
    .here("this one has no unit")
    .help("write one reading a line, each with its time")
}

/// True when the text says that the pump was valved off, and does not deny it.
fn is_isolated(tokens: &[Token<'_>]) -> bool {
    const ALONE: &[&str] = &["isolated", "valved", "decay", "blanked", "standing"];
    let denied = tokens.iter().any(|t| is_word(t, &["not", "no"]));
    let pair = tokens.windows(2).any(|pair| {
        is_word(&pair[0], &["valve", "pump"]) && is_word(&pair[1], &["off", "closed", "shut"])
    });
    !denied && (pair || tokens.iter().any(|t| is_word(t, ALONE)))
}

fn vacuum(draft: &mut Draft<'_>, span: Span, text: Spanned<&str>) -> Option<EntryKind> {
    let tokens = tokens_of(text);
    let isolated = is_isolated(&tokens);
    if let Some(found) = find(text.node, text.span.start, &tokens, Dimension::Vacuum) {
        let behind = tokens
            .iter()
            .position(|t| is_word(t, &["isolated", "it's", "its"]));
        let second = behind.and_then(|at| tokens[at..].iter().find(|t| t.number().is_some()));
        if let Some(loose) = found.loose.or(second.map(|t| t.span)) {
            draft.diagnostics.push(two_numbers(loose));
            return None;
        }
        let Quantity::Vacuum(depth) = found.written.quantity else {
            return None;
        };
        return Some(EntryKind::Vacuum {
            depth,
            written: found.written.text,
            isolated,
        });
    }
    let bare = tokens.iter().find(|t| t.number().is_some());
    let gauge = find(text.node, text.span.start, &tokens, Dimension::Pressure).is_some()
        || tokens.iter().any(|t| is_word(t, &["inch", "inches", "in"]));
    let mut numbers = tokens.iter().filter(|t| t.number().is_some());
    if numbers.clone().count() > 1 && !gauge {
        draft
            .diagnostics
            .push(two_numbers(numbers.next_back().map_or(span, |t| t.span)));
        return None;
    }
    let (Some(token), false) = (bare, gauge) else {
        draft.diagnostics.push(
            Diagnostic::new(&code::TEST_INCOMPLETE, span, "this vacuum has no reading in micron")
                .help("write for example `vacuum 380 micron`; a compound gauge in inHg cannot show a deep vacuum"),
        );
        return None;
    };
    let after = Span::new(token.span.end as usize, token.span.end as usize);
    draft.diagnostics.push(
        Diagnostic::new(
            &code::UNIT_ASSUMED,
            token.span,
            format!("`vacuum {}` has no unit; micron was taken", token.text),
        )
        .safe_fix(
            "write the unit",
            after,
            unit_put_in(draft.source.text(), token.span.end, Unit::Micron),
        ),
    );
    if token.number()?.value() < LOWEST_BARE_VACUUM {
        draft.diagnostics.push(
            Diagnostic::new(
                &code::IMPLAUSIBLE_VALUE,
                token.span,
                format!("{} micron is deeper than field gauges show", token.text),
            )
            .help("check the digits and the unit"),
        );
    }
    let Quantity::Vacuum(depth) = Unit::Micron.quantity(token.number()?) else {
        return None;
    };
    Some(EntryKind::Vacuum {
        depth,
        written: format!("{} micron", token.text),
        isolated,
    })
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
