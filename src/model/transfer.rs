//! Refrigerant moved: the amount, which refrigerant, which cylinder, which circuit.

use super::draft::Draft;
use super::weighing;
use super::written::{find, find_mass, is_word, loose_number, slice, unit_at};
use super::{EntryKind, Flow, Reached, Transfer, same_label};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Dimension, Mass, Quantity};
use crate::refrigerant::{self, Recognition, Refrigerant};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind, tokens};
use crate::vocabulary::{ABOUT, fold};
use std::ops::Range;

/// Reads a movement; `None` when its amount is missing or in doubt (reported).
pub(super) fn read(
    draft: &mut Draft<'_>,
    flow: Flow,
    span: Span,
    text: Spanned<&str>,
) -> Option<Transfer> {
    let tokens = tokens(text.node, text.span.start as usize);
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
    if let Some(doubt) =
        rough(&tokens, &written).or_else(|| partial(&tokens, &range, weighed.is_some(), &written))
    {
        amount_doubtful(draft, span, doubt);
        return None;
    }
    // What the scale showed names no cylinder and no refrigerant.
    let (weighing, rest) = match weighed {
        Some((weighing, place)) => {
            let mut rest = tokens[range.end..place.start].to_vec();
            rest.push(Token {
                kind: TokenKind::Separator,
                ..tokens[place.start].clone()
            });
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
        reached: match flow {
            Flow::Recovered => reached(draft, text, &tokens[range.end..]),
            Flow::Added => None,
        },
    })
}

/// Why an amount is none that can be booked, by the words around it: `about a pound`, `2 lb, no, 3 lb`,
/// `2 lb of 407`.
fn rough(tokens: &[Token<'_>], written: &str) -> Option<String> {
    let number = |at: usize| tokens.get(at).is_some_and(|t| t.number().is_some());
    let or_so = tokens
        .windows(2)
        .any(|pair| is_word(&pair[0], &["or"]) && is_word(&pair[1], &["so"]));
    if or_so || (0..tokens.len()).any(|i| is_word(&tokens[i], ABOUT) && number(i + 1)) {
        return Some(format!(
            "`{written}` is a guess, and the books need a weight off the scale"
        ));
    }
    let again =
        |i: usize| is_word(&tokens[i], &["no", "sorry", "correction", "mean"]) && number(i + 1);
    if (0..tokens.len()).any(again) {
        return Some(format!(
            "the line corrects `{written}`, and which weight holds is not clear"
        ));
    }
    let unnamed =
        |i: usize| is_word(&tokens[i], &["of"]) && number(i + 1) && tokens[i + 1].text.len() == 3;
    (0..tokens.len()).find(|i| unnamed(*i)).map(|i| {
        format!(
            "`{}` is no whole designation of a refrigerant",
            tokens[i + 1].text
        )
    })
}

/// Why an amount may be a bound, a part of what was moved, or of another day: `under 3 lb`, `3 lb and a
/// half`, `3 lb into C-1 and 2 lb into C-2`, `3 lb yesterday`.
fn partial(
    tokens: &[Token<'_>],
    amount: &Range<usize>,
    weighed: bool,
    written: &str,
) -> Option<String> {
    const BOUNDS: &[&str] = &["under", "over", "than", "least", "most", "but", "except"];
    let word = |at: usize, words: &[&str]| tokens.get(at).is_some_and(|t| is_word(t, words));
    let back = |count: usize, words: &[&str]| {
        amount
            .start
            .checked_sub(count)
            .is_some_and(|at| word(at, words))
    };
    let sign = amount
        .start
        .checked_sub(1)
        .is_some_and(|at| matches!(tokens[at].text, "~" | "≈" | "<" | ">" | "±" | "≤" | "≥"));
    let share = back(1, &["of"]) && back(2, &["third", "quarter", "half", "part", "most", "some"]);
    if sign || share || back(1, BOUNDS) || back(2, &["up"]) && back(1, &["to"]) {
        return Some(format!(
            "the words before `{written}` make it a bound or a share, and the books need the weight itself"
        ));
    }
    let behind = amount.end..tokens.len();
    let again = |at: usize| {
        word(
            at,
            &[
                "make", "wait", "each", "twice", "apiece", "plus", "except", "short",
            ],
        ) || word(at, &["give", "i"]) && word(at + 1, &["or", "guess", "think"])
            || word(at, &["and"])
                && word(at + 1, &["a", "one"])
                && word(at + 2, &["half", "quarter", "third", "bit"])
            || word(at, &["for", "to", "too"]) && word(at + 1, &["oz", "ounce", "ounces"])
    };
    if behind.clone().any(again) {
        return Some(format!(
            "the words behind `{written}` change it, so the amount is in doubt"
        ));
    }
    let second = |at: &usize| {
        word(*at, &["and", "then", "plus", "another"])
            && tokens.get(at + 1).is_some_and(|t| t.number().is_some())
            && unit_at(tokens, at + 2, Dimension::Mass).is_some()
    };
    if !weighed && behind.clone().any(|at| second(&at)) {
        return Some(format!(
            "another weight stands behind `{written}`, and each movement needs a line of its own"
        ));
    }
    (0..tokens.len())
        .any(|at| word(at, &["yesterday", "tomorrow"]))
        .then(|| format!("`{written}` was not moved on the day of this visit"))
}

/// Tokens without one that stands where a cylinder's label does and is none but that: a cylinder of
/// the head or of an earlier recovery, or what something is recovered into, no word for a vessel
/// behind it.
fn without_label<'s>(draft: &Draft<'_>, flow: Flow, tokens: &[Token<'s>]) -> Vec<Token<'s>> {
    let label = |at: usize| {
        let text = tokens[at].text;
        let known = draft.job.cylinder(text).is_some()
            || draft.job.entries().any(|(_, entry)| {
                matches!(&entry.kind, EntryKind::Refrigerant(t) if t.flow == Flow::Recovered
                    && t.cylinder.as_deref().is_some_and(|label| same_label(label, text))
                    && t.named.as_deref() != t.cylinder.as_deref())
            });
        let lead = tokens[..at].iter().rev().take_while(|t| leads_to_label(t));
        let next = tokens.get(at + 1);
        let into = flow == Flow::Recovered
            && lead.into_iter().any(|t| is_word(t, &["into"]))
            && !next.is_some_and(|t| is_word(t, VESSELS) || is_word(t, &["recovery"]));
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

/// `recovered 12 lb into R-40, down to 10 inHg`: the pressure it ended at.
fn reached(draft: &Draft<'_>, text: Spanned<&str>, tokens: &[Token<'_>]) -> Option<Reached> {
    let found = find(text.node, text.span.start, tokens, Dimension::Pressure)?;
    let pressure = match found.written.quantity {
        Quantity::Gauge(pressure) => pressure.absolute(draft.job.unit.atmosphere()),
        Quantity::Absolute(pressure) => pressure,
        _ => return None,
    };
    Some(Reached {
        pressure,
        written: found.written.text,
    })
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
pub(super) fn looks_like_designation(word: &str) -> bool {
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

const VESSELS: &[&str] = &["cylinder", "cyl", "bottle", "tank", "drum"];

/// True for a word that stands before a label: `into the recovery cylinder R-40`.
fn leads_to_label(token: &Token<'_>) -> bool {
    const LEAD: &[&str] = &[
        "into", "from", "to", "in", "out", "of", "the", "a", "my", "recovery",
    ];
    is_word(token, LEAD) || is_word(token, VESSELS) || token.text == "#"
}

/// The cylinder a transfer names: behind `from` for what went in, `into` for what came out, or
/// behind its own word; never a circuit, a side or the unit itself.
fn cylinder(text: Spanned<&str>, tokens: &[Token<'_>], flow: Flow) -> Option<String> {
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
                let lead = rest.iter().take_while(|t| leads_to_label(t)).count();
                let label: Vec<&Token<'_>> = rest[lead..]
                    .iter()
                    .take_while(|t| {
                        t.kind != TokenKind::Separator
                            && !is_word(t, VESSELS)
                            && !is_word(
                                t,
                                &[
                                    "circuit", "ckt", "for", "with", "by", "at", "until", "to",
                                    "into", "from", "first", "initial", "scale", "weight", "down",
                                    "and", "then",
                                ],
                            )
                    })
                    .collect();
                if label.is_empty() && rest[..lead].iter().any(|t| is_word(t, &["recovery"])) {
                    return Some("recovery cylinder".to_owned());
                }
                let (first, last) = (label.first()?, label.last()?);
                (!is_word(first, NOT))
                    .then(|| slice(text.node, text.span.start, first.span.to(last.span)).to_owned())
            })
    };
    // `down to 10 inHg into C-118`: what it went into comes before what it went down to.
    named(&ways[..1])
        .or_else(|| named(ways))
        .or_else(|| named(VESSELS))
}

fn circuit(tokens: &[Token<'_>]) -> Option<String> {
    let at = tokens
        .iter()
        .position(|t| is_word(t, &["circuit", "ckt", "system"]))?;
    let label = tokens.get(at + 1)?;
    (label.text.len() <= 3).then(|| format!("circuit {}", label.text.to_uppercase()))
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
