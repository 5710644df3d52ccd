//! What kind of statement a line is: told by its first words, by a colon, or by a measuring point.

use super::line::{Clock, Entry, Head, Line, Statement};
use super::reading;
use super::token::tokens;
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::lookup_unit;
use crate::source::{Span, Spanned};
use crate::vocabulary::{
    HeadKey, POINTS, Verb, fold, head_key, head_spellings, nearest, resolve, verb, verb_spellings,
};

/// Longest text before a colon that is taken for a key.
const LONGEST_KEY: usize = 40;

/// A line that starts with a time; `whole` is the line from the time to the end of the body.
pub(super) fn stamped<'s>(
    whole: Spanned<&'s str>,
    clock: Spanned<&'s str>,
    body: Option<Spanned<&'s str>>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Line<'s> {
    let body = body.map(|body| after(body, 0)); // `0912 - suction …`
    if let Some(body) = body
        && starts_with_unit(clock.node, body.node)
    {
        // `230 V at the disconnect` starts with a value, not with half past two.
        return classify(whole, true, diagnostics);
    }
    let time = read_clock(clock.node);
    if time.is_none() {
        diagnostics.push(
            Diagnostic::new(
                &code::BAD_CLOCK,
                clock.span,
                format!("there is no time `{}`", clock.node),
            )
            .help("write 24-hour time, as `0912` or `21:05`, or `9:12 pm`"),
        );
    }
    let clock = time.map(|time| Spanned::new(time, clock.span));
    let statement = match body {
        None => Statement::Nothing,
        Some(body) => match classify(body, true, diagnostics) {
            Line::Entry(entry) => entry.statement,
            other => return other, // `0900 visit …`: the visit line itself
        },
    };
    Line::Entry(Entry { clock, statement })
}

/// A line or body without a time. `within` is set where a head line cannot stand.
pub(super) fn classify<'s>(
    text: Spanned<&'s str>,
    within: bool,
    diagnostics: &mut Vec<Diagnostic>,
) -> Line<'s> {
    if !within && let Some(head) = head(text) {
        if head.known.is_none() {
            diagnostics.push(unknown_key(&head));
        }
        return Line::Head(head);
    }
    let entry = |statement| {
        Line::Entry(Entry {
            clock: None,
            statement,
        })
    };
    let found = verb(text.node);
    let speaking = found.as_ref().is_some_and(|(_, words)| words.is_empty());
    if let Some((verb, words)) = found
        && !(speaking && starts_with_point(text.node))
        && !(verb == Verb::Left && is_the_left_side(text.node))
    {
        let start = text.span.start as usize;
        let words = Span::new(start + words.start, start + words.end);
        let rest = after(text, words.end as usize - start);
        return if verb == Verb::Visit {
            Line::Visit(super::date::visit(rest, words, diagnostics))
        } else {
            entry(Statement::Action {
                verb,
                words,
                text: rest,
            })
        };
    }
    let tokens = tokens(text.node, text.span.start as usize);
    match reading::items(text, &tokens, diagnostics) {
        Some(items) => entry(Statement::Readings(items)),
        None => {
            diagnostics.push(unknown_statement(text));
            entry(Statement::Unknown(text))
        }
    }
}

fn head(text: Spanned<&str>) -> Option<Head<'_>> {
    if let Some(colon) = text.node.find(':') {
        let key = text.node[..colon].trim_end();
        if key.is_empty() || key.len() > LONGEST_KEY || !looks_like_key(key) {
            return None;
        }
        let known = head_key(key);
        if known.is_none() && (verb(key).is_some() || resolve(key).is_some()) {
            return None; // `saw: …`, `suction: 4 psig`: punctuation does not matter
        }
        return Some(Head {
            key: Spanned::new(key, Span::new(0, key.len()).shift(text.span.start as usize)),
            known,
            value: after(text, colon),
        });
    }
    // Without a colon only a known key that is nothing else: `refrigerant R-448A`, `job 2041`.
    let end = text.node.find([' ', '\t'])?;
    let word = &text.node[..end];
    let known = head_key(word).filter(|key| key.name() == word.to_ascii_lowercase())?;
    if known == HeadKey::Cylinder {
        return None; // `cylinder head hot`: a cylinder of the head needs its colon
    }
    if resolve(word).is_some() || starts_with_point(text.node) {
        return None;
    }
    Some(Head {
        key: Spanned::new(word, Span::new(0, end).shift(text.span.start as usize)),
        known: Some(known),
        value: after(text, end),
    })
}

fn looks_like_key(key: &str) -> bool {
    let words = key.split_whitespace().count();
    words <= 3
        && key
            .chars()
            .all(|c| c.is_alphabetic() || matches!(c, ' ' | '-' | '_' | '.' | '/' | '\'' | '#'))
}

/// `left leg 9.1 A`, `left side of the coil iced`: a side, not something left behind.
fn is_the_left_side(text: &str) -> bool {
    let second = text.split_whitespace().nth(1).unwrap_or("");
    ["leg", "side", "hand"]
        .iter()
        .any(|word| second.eq_ignore_ascii_case(word))
}

/// True when the longest leading run of words that names anything names a point.
fn starts_with_point(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().take(4).collect();
    (2..=words.len()).any(|n| resolve(&words[..n].join(" ")).is_some())
}

fn starts_with_unit(clock: &str, body: &str) -> bool {
    let bare = clock.bytes().all(|b| b.is_ascii_digit()) && !clock.starts_with('0');
    let first = body
        .split(|c: char| c.is_whitespace() || c == ',' || c == ';')
        .next()
        .unwrap_or("");
    // `1130 vac 650`: a vacuum, and no 1130 V of alternating current.
    let second = body.split_whitespace().nth(1).unwrap_or("");
    let vacuum =
        first.eq_ignore_ascii_case("vac") && second.starts_with(|c: char| c.is_ascii_digit());
    bare && !vacuum && !lookup_unit(first).is_empty()
}

/// Reads a clock time as the grammar lets it through.
pub(super) fn read_clock(text: &str) -> Option<Clock> {
    let lower = text.to_ascii_lowercase();
    let digits = lower.trim_end_matches(|c: char| !c.is_ascii_digit());
    let half = lower[digits.len()..].trim().chars().next();
    let mut parts = digits.split([':', 'h']);
    let (hour, minute) = match (parts.next()?, parts.next()) {
        (hour, Some(minute)) => (hour.parse::<u16>().ok()?, minute.parse::<u16>().ok()?),
        // `9am`
        (bare, None) if bare.len() <= 2 => (bare.parse().ok()?, 0),
        (bare, None) => {
            let bare: u16 = bare.parse().ok()?;
            (bare / 100, bare % 100)
        }
    };
    let hour = match half {
        Some('p') if (1..=11).contains(&hour) => hour + 12,
        Some('a') if hour == 12 => 0,
        Some('a') if hour > 12 => return None,
        _ => hour,
    };
    if minute > 59 || hour > 24 || (hour == 24 && minute > 0) {
        return None;
    }
    Some(Clock {
        minutes: hour * 60 + minute, // 24:00 is the end of the day, not its start
        certain: half.is_some()
            || hour > 12
            || digits.starts_with('0')
            || digits.len() == 4 && !digits.contains(':'),
    })
}

/// The text from byte `at` on, without the punctuation and blanks that lead to it.
fn after(text: Spanned<&str>, at: usize) -> Spanned<&str> {
    let rest = &text.node[at..];
    let trimmed =
        rest.trim_start_matches(|c: char| c.is_whitespace() || matches!(c, ':' | ',' | ';'));
    let trimmed = trimmed
        .strip_prefix("- ")
        .or_else(|| trimmed.strip_prefix("– "))
        .or_else(|| trimmed.strip_prefix("— "))
        .unwrap_or(trimmed)
        .trim_start();
    let start = text.span.end as usize - trimmed.len();
    Spanned::new(trimmed, Span::new(start, text.span.end as usize))
}

fn unknown_key(head: &Head<'_>) -> Diagnostic {
    let word = fold(head.key.node);
    let diagnostic = Diagnostic::new(
        &code::UNKNOWN_KEY,
        head.key.span,
        format!("`{}` is no key of the head", head.key.node),
    );
    match nearest(&word, head_spellings()) {
        Some(known) => diagnostic
            .here(format!("is `{known}` meant?"))
            .likely_fix(format!("write `{known}`"), head.key.span, known),
        None => diagnostic.help("keys are job, customer, site, contact, order, unit, model, serial, refrigerant, charge, metering, nameplate, setpoint, altitude, barometer, design td, target superheat, target subcooling, food limit, time control, cylinder, instruments, complaint, contents, access"),
    }
}

fn unknown_statement(text: Spanned<&str>) -> Diagnostic {
    let start = text.span.start as usize;
    // Two words before one: `locked ot` is nearer to `locked out` than `locked` to `looked`.
    let near = [2, 1].into_iter().find_map(|count| {
        let words = leading_words(text.node, count)?;
        let known = nearest(&fold(words), verb_spellings())?;
        (known.split(' ').count() == count).then_some((known, words.len()))
    });
    let diagnostic = Diagnostic::new(
        &code::UNKNOWN_STATEMENT,
        text.span,
        "this line is no reading and starts with no known line kind",
    );
    // In Britain a supply that is locked off is locked out; elsewhere the lock came off.
    if let Some(words) = leading_words(text.node, 2)
        && fold(words) == "locked off"
    {
        let span = Span::new(start, start + words.len());
        return diagnostic
            .here("was the lock put on, or taken off?")
            .likely_fix("put on: write `locked out`", span, "locked out")
            .likely_fix("taken off: write `lock off`", span, "lock off");
    }
    match near {
        Some((known, length)) => diagnostic.here(format!("is `{known}` meant?")).likely_fix(
            format!("write `{known}`"),
            Span::new(start, start + length),
            known,
        ),
        None => {
            let near_point = nearest(&fold(text.node), POINTS.iter().map(|p| p.name));
            let diagnostic = match near_point {
                Some(point) => diagnostic.here(format!("is `{point}` meant?")),
                None => diagnostic,
            };
            diagnostic.help("start it with `saw`, `did`, `told`, `advise`, `private` …, or name a measuring point and its value")
        }
    }
}

/// The text of the first so many words; `None` when there are fewer.
fn leading_words(text: &str, count: usize) -> Option<&str> {
    let last = text.split_whitespace().nth(count - 1)?;
    let end = last.as_ptr() as usize - text.as_ptr() as usize + last.len();
    Some(&text[..end])
}
