//! What an action's text says: amounts, cylinders, test readings, how soon.

use super::draft::Draft;
use super::weighing;
use super::written::{find, find_duration, find_mass, is_word, loose_number, slice, unit_put_in};
use super::{EntryKind, Flow, Sense, Transfer, Urgency, same_label};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Dimension, Mass, Quantity, Unit};
use crate::refrigerant::{self, Recognition, Refrigerant};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind, tokens};
use crate::vocabulary::{self, Verb, faults, fold, recognise};

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
        Verb::Recovered => EntryKind::Refrigerant(transfer(draft, Flow::Recovered, span, text)?),
        Verb::Added => EntryKind::Refrigerant(transfer(draft, Flow::Added, span, text)?),
        Verb::Hold => hold(draft, span, text)?,
        Verb::Vacuum => vacuum(draft, span, text)?,
        Verb::Told => EntryKind::Told(owned()),
        Verb::Advise => advise(text.node),
        Verb::Approved => EntryKind::Approved(owned()),
        Verb::Declined => EntryKind::Declined(owned()),
        Verb::Photo => EntryKind::Photo(owned()),
        Verb::Private => EntryKind::Private(owned()),
        Verb::Travel => EntryKind::Travel {
            duration: find_duration(&tokens_of(text)),
            text: owned(),
        },
        Verb::Waited => EntryKind::Waited {
            duration: find_duration(&tokens_of(text)),
            text: owned(),
        },
        Verb::Arrive => EntryKind::Arrive(owned()),
        Verb::Depart => EntryKind::Depart(owned()),
        Verb::Material => EntryKind::Material(owned()),
        Verb::Instrument => EntryKind::Instrument(owned()),
        Verb::LockedOut => EntryKind::LockedOut(owned()),
        Verb::LockOff => EntryKind::LockOff(owned()),
        Verb::Left if text.node.is_empty() => EntryKind::Depart(String::new()),
        // `left unit running`, `left customer a quote`: nothing to undo.
        Verb::Left if starts_with_word(text.node, NO_DEBT) => observation(Sense::Noted),
        Verb::Left => EntryKind::Left(owned()),
        Verb::Restored => EntryKind::Restored(owned()),
    })
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

/// The text behind a private word that `text` starts with or holds after a stroke or a point:
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
    let inside = private(&lower) || lower.split(['/', ';', '.']).any(private);
    inside.then_some(text.node)
}

fn tokens_of<'s>(text: Spanned<&'s str>) -> Vec<Token<'s>> {
    tokens(text.node, text.span.start as usize)
}

fn transfer(
    draft: &mut Draft<'_>,
    flow: Flow,
    span: Span,
    text: Spanned<&str>,
) -> Option<Transfer> {
    let tokens = tokens_of(text);
    let Some((mass, written, range)) = find_mass(text.node, text.span.start, &tokens) else {
        amount_missing(draft, flow, span);
        return None;
    };
    let weighed = weighing::find(text, &tokens, range.start);
    if let Some((weighing, place)) = &weighed
        && place.start <= range.start
    {
        let doubt = format!(
            "`{}` is the scale before and after, and the amount itself is missing",
            weighing.written
        );
        amount_doubtful(draft, span, doubt);
        return None;
    }
    // `19 lb 6 R-448A`, `2 of 3 kg`: a number that belongs to no weight leaves the amount in doubt.
    let loose = tokens.get(range.end).is_some_and(|t| t.number().is_some())
        || loose_number(&tokens[..range.start]).is_some();
    if mass <= Mass::ZERO || loose {
        let doubt = if loose {
            format!("another number stands beside `{written}`, so the amount is in doubt")
        } else {
            format!("`{written}` is no amount that can be booked")
        };
        amount_doubtful(draft, span, doubt);
        return None;
    }
    // What the scale showed names no cylinder and no refrigerant.
    let (weighing, rest) = match weighed {
        Some((weighing, place)) => {
            let mut rest = tokens[range.end..place.start].to_vec();
            rest.extend_from_slice(&tokens[place.end..]);
            (Some(weighing), rest)
        }
        None => (None, tokens[range.end..].to_vec()),
    };
    let rest = rest.as_slice();
    // A cylinder may be called R-40, as a refrigerant is.
    let named = refrigerant_in(text, &tokens[..range.start])
        .or_else(|| refrigerant_in(text, &without_label(draft, flow, rest)));
    let refrigerant = match named {
        None => None,
        Some((Ok(found), _)) => Some(found),
        Some((Err(words), span)) => {
            let own = draft.job.unit.refrigerant.map(|r| r.node);
            draft
                .diagnostics
                .push(unknown_refrigerant(words, span, own));
            None
        }
    };
    let words = named.map(|(_, span)| slice(text.node, text.span.start, span).to_owned());
    Some(Transfer {
        flow,
        mass,
        written,
        refrigerant,
        named: words,
        cylinder: cylinder(text, rest, flow),
        circuit: circuit(&tokens),
        weighing,
        first: is_first_charge(text.node),
    })
}

/// Tokens without one that stands where a cylinder's label does and is none but that: a cylinder of
/// the head or of an earlier recovery, or what something is recovered into, no word for a vessel
/// behind it.
fn without_label<'s>(draft: &Draft<'_>, flow: Flow, tokens: &[Token<'s>]) -> Vec<Token<'s>> {
    const VESSELS: &[&str] = &["cylinder", "cyl", "bottle", "tank", "drum", "recovery"];
    let label = |at: usize| {
        let text = tokens[at].text;
        let known = draft.job.cylinder(text).is_some()
            || draft.job.entries().any(|(_, entry)| {
                matches!(&entry.kind, EntryKind::Refrigerant(t) if t.flow == Flow::Recovered
                    && t.cylinder.as_deref().is_some_and(|label| same_label(label, text))
                    && t.named.as_deref() != t.cylinder.as_deref())
            });
        let into = flow == Flow::Recovered
            && at > 0
            && is_word(&tokens[at - 1], &["into"])
            && !tokens
                .get(at + 1)
                .is_some_and(|next| is_word(next, VESSELS));
        known || into
    };
    (0..tokens.len())
        .filter(|&at| !label(at))
        .map(|at| tokens[at].clone())
        .collect()
}

/// `first charge`, `commissioning`: the unit held nothing before, so nothing was lost.
fn is_first_charge(text: &str) -> bool {
    let folded = fold(text);
    [
        "first charge",
        "initial charge",
        "commissioning",
        "new system",
        "new unit",
        "start up charge",
        "startup charge",
    ]
    .iter()
    .any(|words| folded.contains(words))
}

/// A refrigerant named in some tokens: known, or a designation for which no data is carried.
pub(super) fn refrigerant_in<'s>(
    text: Spanned<&'s str>,
    tokens: &[Token<'s>],
) -> Option<(Result<&'static Refrigerant, &'s str>, Span)> {
    for start in 0..tokens.len() {
        for count in (1..=3.min(tokens.len() - start)).rev() {
            let part = &tokens[start..start + count];
            if part.iter().any(|t| t.kind == TokenKind::Separator) {
                continue;
            }
            let span = part[0].span.to(part[count - 1].span);
            let words = slice(text.node, text.span.start, span);
            // A bare number is an amount here, not a designation.
            if !words.starts_with(|c: char| c.is_ascii_digit())
                && let Some(found) = refrigerant::lookup(words)
            {
                return Some((Ok(found), span));
            }
        }
    }
    tokens
        .iter()
        .find(|t| t.kind == TokenKind::Word && looks_like_designation(t.text))
        .map(|t| (Err(t.text), t.span))
}

/// `R-123`, `R508B`, `r-4xx`: R, then at least two digits.
fn looks_like_designation(word: &str) -> bool {
    let mut chars = word.chars();
    chars.next().is_some_and(|c| c.eq_ignore_ascii_case(&'r'))
        && chars
            .as_str()
            .trim_start_matches('-')
            .chars()
            .take_while(char::is_ascii_digit)
            .count()
            >= 2
}

/// The diagnostic for a refrigerant without data.
///
/// The unit's `own` refrigerant, one slip away, is likelier meant than any other: another could be
/// of another safety class.
pub(super) fn unknown_refrigerant(
    words: &str,
    span: Span,
    own: Option<&'static Refrigerant>,
) -> Diagnostic {
    let mut diagnostic = Diagnostic::new(
        &code::UNKNOWN_REFRIGERANT,
        span,
        format!("no data is carried for the refrigerant `{words}`"),
    );
    let own = own.map(|r| r.name).filter(|name| {
        let fold = |text: &str| text.replace(['-', ' '], "").to_uppercase();
        strsim::osa_distance(&fold(words), &fold(name)) <= 1
    });
    let likely = match (own, refrigerant::recognise(words)) {
        (Some(own), _) => vec![own],
        (None, Recognition::Misspelt(near)) => near.iter().map(|r| r.name).collect(),
        (None, _) => Vec::new(),
    };
    match likely[..] {
        [near] => diagnostic.here(format!("is `{near}` meant?")).likely_fix(
            format!("write `{near}`"),
            span,
            near,
        ),
        [] => {
            if let Some(why) = refrigerant::why_not_carried(words) {
                diagnostic = diagnostic.here(why);
            }
            diagnostic.help("no saturation temperature is computed from its pressures")
        }
        // Which of several is not for luck to say.
        _ => {
            let named: Vec<String> = likely.iter().take(6).map(|n| format!("`{n}`")).collect();
            let more = if likely.len() > 6 { " …" } else { "" };
            diagnostic.here(format!("which one? {}{more}", named.join(", ")))
        }
    }
}

/// The cylinder a transfer names: behind `from` for what went in, `into` for what came out, or
/// behind its own word; never a circuit, a side or the unit itself.
fn cylinder(text: Spanned<&str>, tokens: &[Token<'_>], flow: Flow) -> Option<String> {
    const OWN: &[&str] = &["cylinder", "cyl", "bottle", "tank", "drum"];
    const LEAD: &[&str] = &[
        "into", "from", "to", "in", "out", "of", "cylinder", "cyl", "bottle", "tank", "drum",
        "the", "a", "my",
    ];
    const NOT: &[&str] = &[
        "circuit", "ckt", "system", "unit", "receiver", "liquid", "suction", "low", "high",
        "vapor", "vapour", "side",
    ];
    let ways: &[&str] = match flow {
        Flow::Added => &["from", "out"],
        Flow::Recovered => &["into", "to", "in"],
    };
    let named = |words: &[&str]| {
        (0..tokens.len())
            .filter(|&i| is_word(&tokens[i], words))
            .find_map(|at| {
                let rest = &tokens[at..];
                let lead = rest
                    .iter()
                    .take_while(|t| is_word(t, LEAD) || t.text == "#")
                    .count();
                let label: Vec<&Token<'_>> = rest[lead..]
                    .iter()
                    .take_while(|t| {
                        t.kind != TokenKind::Separator
                            && !is_word(
                                t,
                                &[
                                    "circuit", "ckt", "for", "with", "by", "at", "until", "to",
                                    "into", "from", "first", "initial", "scale", "weight",
                                ],
                            )
                    })
                    .collect();
                let (first, last) = (label.first()?, label.last()?);
                (!is_word(first, NOT))
                    .then(|| slice(text.node, text.span.start, first.span.to(last.span)).to_owned())
            })
    };
    named(ways).or_else(|| named(OWN))
}

fn circuit(tokens: &[Token<'_>]) -> Option<String> {
    let at = tokens
        .iter()
        .position(|t| is_word(t, &["circuit", "ckt", "system"]))?;
    let label = tokens.get(at + 1)?;
    (label.text.len() <= 3).then(|| format!("circuit {}", label.text.to_uppercase()))
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
    let Some(found) = find(text.node, base, &tokens, Dimension::Pressure) else {
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
    let temperature = find(text.node, base, &tokens, Dimension::Temperature).and_then(|found| {
        match found.written.quantity {
            Quantity::Temperature(temperature) => Some(temperature),
            _ => None,
        }
    });
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
        if let Some(loose) = found.loose {
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
    let gauge = find(text.node, text.span.start, &tokens, Dimension::Pressure).is_some();
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

/// Reports that an amount is no weight that can be booked.
fn amount_doubtful(draft: &mut Draft<'_>, span: Span, doubt: String) {
    draft.diagnostics.push(
        Diagnostic::new(&code::AMOUNT_DOUBTFUL, span, doubt)
            .help("write one weight, as the scale shows it: `3 lb 8 oz`"),
    );
}

/// Reports that a transfer has no amount.
fn amount_missing(draft: &mut Draft<'_>, flow: Flow, span: Span) {
    let word = match flow {
        Flow::Added => "added",
        Flow::Recovered => "recovered",
    };
    draft.diagnostics.push(
        Diagnostic::new(
            &code::AMOUNT_MISSING,
            span,
            format!("how much was {word} is missing"),
        )
        .help(format!(
            "write the amount with its unit: `{word} 1 lb 10 oz R-448A {} C-120`",
            if flow == Flow::Added { "from" } else { "into" }
        )),
    );
}
