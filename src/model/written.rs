//! Quantities inside free text: the number, its unit, and what was typed.

use crate::quantity::{Dimension, Duration, Mass, Number, Quantity, Unit, Written, lookup_unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind, tokens};
use std::ops::Range;

/// A quantity found among tokens.
pub(super) struct Found {
    pub written: Written,
    /// A number without a unit that stands before it, and so might be what is meant.
    pub loose: Option<Span>,
}

/// The value of `number` in `unit`, with what is to be shown.
pub(super) fn written(number: Number, unit: Unit, text: String) -> Written {
    let quantity = unit.quantity(number);
    Written {
        quantity,
        text,
        resolution: number.resolution() * unit.info().factor,
    }
}

/// The unit spelt by the tokens from `at` on, longest first, and the token after it.
pub(crate) fn unit_at(
    tokens: &[Token<'_>],
    at: usize,
    dimension: Dimension,
) -> Option<(Unit, usize)> {
    (1..=4usize.min(tokens.len().saturating_sub(at)))
        .rev()
        .find_map(|count| {
            let spelt: String = tokens[at..at + count].iter().map(|t| t.text).collect();
            let unit = lookup_unit(&spelt)
                .iter()
                .copied()
                .find(|u| u.dimension() == dimension)?;
            Some((unit, at + count))
        })
}

/// The first number followed by a unit of the dimension.
pub(super) fn find(
    text: &str,
    base: u32,
    tokens: &[Token<'_>],
    dimension: Dimension,
) -> Option<Found> {
    (0..tokens.len()).find_map(|i| {
        let number = tokens[i].number()?;
        let (unit, end) = unit_at(tokens, i + 1, dimension)?;
        let span = tokens[i].span.to(tokens[end - 1].span);
        Some(Found {
            written: written(number, unit, slice(text, base, span).to_owned()),
            loose: loose_number(&tokens[..i]),
        })
    })
}

/// The first number among tokens that no unit follows.
pub(super) fn loose_number(tokens: &[Token<'_>]) -> Option<Span> {
    (0..tokens.len())
        .find(|&i| {
            let next: Vec<&str> = tokens[i + 1..].iter().take(4).map(|t| t.text).collect();
            let followed = (1..=next.len()).any(|n| !lookup_unit(&next[..n].concat()).is_empty());
            tokens[i].number().is_some() && !followed
        })
        .map(|i| tokens[i].span)
}

/// A run of numbers with mass units, added: `19 lb 6 oz`.
pub(super) fn find_mass(
    text: &str,
    base: u32,
    tokens: &[Token<'_>],
) -> Option<(Mass, String, Range<usize>)> {
    sum_run(text, base, tokens, Dimension::Mass, |q| match q {
        Quantity::Mass(mass) => mass,
        _ => Mass::ZERO,
    })
}

/// A weight alone: `25 lb`, `19 lb 6 oz`, `4.1 kg`; `None` where anything else is written beside it.
pub fn mass(text: &str) -> Option<Mass> {
    let tokens = crate::syntax::tokens(text, 0);
    let (mass, _, range) = find_mass(text, 0, &tokens)?;
    (range == (0..tokens.len())).then_some(mass)
}

/// True when a weight stands anywhere in a text.
pub(crate) fn has_mass(text: &str) -> bool {
    find_mass(text, 0, &crate::syntax::tokens(text, 0)).is_some()
}

/// A run of numbers with time units, added: `1 h 10 min`.
pub(super) fn find_duration(tokens: &[Token<'_>]) -> Option<Duration> {
    let (seconds, _, _) = sum_run("", 0, tokens, Dimension::Duration, |q| Seconds(q.si()))?;
    Some(Duration::from_second(seconds.0))
}

#[derive(Default)]
struct Seconds(f64);

impl std::iter::Sum for Seconds {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        Seconds(parts.map(|p| p.0).sum())
    }
}

fn sum_run<T: std::iter::Sum>(
    text: &str,
    base: u32,
    tokens: &[Token<'_>],
    dimension: Dimension,
    value: impl Fn(Quantity) -> T,
) -> Option<(T, String, Range<usize>)> {
    let start = (0..tokens.len())
        .find(|&i| tokens[i].number().is_some() && unit_at(tokens, i + 1, dimension).is_some())?;
    let mut parts = Vec::new();
    let mut end = start;
    while let Some(number) = tokens.get(end).and_then(Token::number) {
        let Some((unit, next)) = unit_at(tokens, end + 1, dimension) else {
            break;
        };
        parts.push(value(unit.quantity(number)));
        end = next;
        if tokens
            .get(end)
            .is_some_and(|t| t.text == "," || t.text.eq_ignore_ascii_case("and"))
            && tokens.get(end + 1).is_some_and(|t| t.number().is_some())
            && unit_at(tokens, end + 2, dimension).is_some()
        {
            end += 1;
        }
    }
    let span = tokens[start].span.to(tokens[end - 1].span);
    let typed = if text.is_empty() {
        String::new()
    } else {
        slice(text, base, span).to_owned()
    };
    Some((parts.into_iter().sum(), typed, start..end))
}

/// A unit to be put in at byte `at`: with a blank before it, and one after it where a word follows.
pub(super) fn unit_put_in(text: &str, at: u32, unit: Unit) -> String {
    let joined = text[at as usize..]
        .chars()
        .next()
        .is_some_and(|c| !c.is_whitespace() && !matches!(c, ',' | ';'));
    let after = if joined { " " } else { "" };
    format!(" {}{after}", unit.symbol())
}

/// The text under a span, `base` being where `text` starts in the note.
pub(super) fn slice(text: &str, base: u32, span: Span) -> &str {
    &text[(span.start - base) as usize..(span.end - base) as usize]
}

/// True for a token that is one of the words, whatever its case.
pub(super) fn is_word(token: &Token<'_>, words: &[&str]) -> bool {
    token.kind == TokenKind::Word && words.iter().any(|w| token.text.eq_ignore_ascii_case(w))
}

/// The tokens of a text where it stands.
pub(super) fn tokens_of<'s>(text: Spanned<&'s str>) -> Vec<Token<'s>> {
    tokens(text.node, text.span.start as usize)
}
