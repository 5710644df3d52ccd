//! A cylinder's weight before and after, on the line of a movement: `cylinder 31.2 lb to 28.2 lb`,
//! `scale 31.2 before 28.2 after`.

use super::Weighing;
use super::written::{is_word, slice, unit_at};
use crate::quantity::{Dimension, Mass, Quantity, Unit};
use crate::source::Spanned;
use crate::syntax::{Token, TokenKind};
use std::ops::Range;

const SCALE: &[&str] = &[
    "scale", "cylinder", "cyl", "bottle", "tank", "drum", "weight", "weighed", "gross",
];
const FILL: &[&str] = &[
    "was", "from", "at", "reads", "read", "then", "now", "and", "to",
];
const JOINTS: &[&str] = &["to", "then", "now"];

/// One mass among tokens.
struct Weight {
    mass: Mass,
    step: Mass,
    /// True when a unit is written.
    unit: bool,
    end: usize,
}

/// The weighing on a line and its tokens, with the amount that starts at token `amount`.
///
/// Weights without a unit are in the first unit of the amount, and then only behind a word for the
/// scale or the cylinder.
pub(super) fn find(
    text: Spanned<&str>,
    tokens: &[Token<'_>],
    amount: usize,
) -> Option<(Weighing, Range<usize>)> {
    let (default, _) = unit_at(tokens, amount + 1, Dimension::Mass)?;
    (0..tokens.len()).find_map(|start| {
        let first = weight(tokens, start, default)?;
        let lead = tokens[..start]
            .iter()
            .rposition(|t| !(is_word(t, FILL) || is_word(t, &["before", "after"])));
        let named = lead.is_some_and(|at| is_word(&tokens[at], SCALE));
        let label_before = tokens[..start].last().and_then(order);
        let between = tokens[first.end..]
            .iter()
            .take_while(|t| t.number().is_none() && !t.is_value())
            .count();
        let between = &tokens[first.end..first.end + between];
        let joined = between.iter().all(|t| {
            t.kind == TokenKind::Separator
                || matches!(t.text, "-" | ">" | "→" | "–")
                || is_word(t, FILL)
                || order(t).is_some()
        });
        let second = weight(tokens, first.end + between.len(), default)?;
        let label_after = between.iter().find_map(order);
        let end_label = tokens.get(second.end).and_then(order);
        let arrow = between
            .iter()
            .any(|t| is_word(t, JOINTS) || matches!(t.text, ">" | "→"));
        let ordered = arrow || label_before.is_some() || label_after.is_some();
        if !joined || !ordered || !(named || first.unit && second.unit) {
            return None;
        }
        // `31.2 before 28.2 after` labels what stands before it, `before 31.2 after 28.2` what follows.
        let first_is_after = match (label_before, label_after) {
            (Some(label), _) => label == Order::After,
            (None, Some(label)) if end_label.is_some() || !arrow => label == Order::After,
            _ => false,
        };
        let (before, after) = if first_is_after {
            (&second, &first)
        } else {
            (&first, &second)
        };
        let end = second.end + usize::from(label_before.is_none() && end_label.is_some());
        let span = tokens[start].span.to(tokens[end - 1].span);
        let weighing = Weighing {
            before: before.mass,
            after: after.mass,
            step: before.step.max(after.step),
            written: slice(text.node, text.span.start, span).to_owned(),
        };
        Some((weighing, start..end))
    })
}

#[derive(Clone, Copy, PartialEq)]
enum Order {
    Before,
    After,
}

fn order(token: &Token<'_>) -> Option<Order> {
    if is_word(token, &["before"]) {
        Some(Order::Before)
    } else if is_word(token, &["after"]) {
        Some(Order::After)
    } else {
        None
    }
}

/// The mass that starts at a token: `31.2 lb`, `31 lb 3 oz`, or a bare number.
fn weight(tokens: &[Token<'_>], at: usize, default: Unit) -> Option<Weight> {
    let number = tokens.get(at)?.number()?;
    let mass = |unit: Unit, number| match unit.quantity(number) {
        Quantity::Mass(mass) => mass,
        _ => Mass::ZERO,
    };
    let Some((unit, mut end)) = unit_at(tokens, at + 1, Dimension::Mass) else {
        return Some(Weight {
            mass: mass(default, number),
            step: mass(default, number.last_place()),
            unit: false,
            end: at + 1,
        });
    };
    let mut total = mass(unit, number);
    let mut step = mass(unit, number.last_place());
    while let Some(more) = tokens.get(end).and_then(Token::number)
        && let Some((unit, next)) = unit_at(tokens, end + 1, Dimension::Mass)
    {
        total += mass(unit, more);
        step = mass(unit, more.last_place());
        end = next;
    }
    Some(Weight {
        mass: total,
        step,
        unit: true,
        end,
    })
}
