//! The head's line of healthy readings: `healthy: td 11 F, superheat 8 F, amps 9.4 A`.

use super::written::find;
use crate::quantity::{Current, Dimension, Quantity, TemperatureDifference};
use crate::source::Span;
use crate::syntax::{Token, tokens};
use crate::vocabulary::Symptom;

/// What a value of the unit was when it was healthy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Healthy {
    /// Of what.
    pub symptom: Symptom,
    /// How much.
    pub value: Reference,
}

/// A healthy value as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reference {
    /// Degrees between two temperatures.
    Difference(TemperatureDifference),
    /// Highest leg of the compressor.
    Current(Current),
}

/// Reads the line; parts that are no value are given back as they stand. A part without letters,
/// such as a date, is passed over.
pub(super) fn read(text: &str) -> (Vec<Healthy>, Vec<&str>) {
    let mut values = Vec::new();
    let mut unread = Vec::new();
    for part in text.split([',', ';', '\n']).map(str::trim) {
        match one(part) {
            Some(healthy) => values.push(healthy),
            None if part.chars().any(char::is_alphabetic) => unread.push(part),
            None => {}
        }
    }
    (values, unread)
}

fn one(part: &str) -> Option<Healthy> {
    let tokens: Vec<Token<'_>> = tokens(part, 0);
    let first = tokens.iter().position(|t| t.number().is_some())?;
    let named = Span::new(0, tokens[first].span.start as usize);
    let symptom = Symptom::recognise(&part[..named.end as usize])?;
    let dimension = match symptom {
        Symptom::RunningCurrent => Dimension::Current,
        Symptom::AboveSetPoint | Symptom::Efficiency => return None,
        _ => Dimension::TemperatureDifference,
    };
    let value = match find(part, 0, &tokens, dimension)?.written.quantity {
        Quantity::Current(amps) => Reference::Current(amps),
        Quantity::TemperatureDifference(degrees) => Reference::Difference(degrees),
        _ => return None,
    };
    Some(Healthy { symptom, value })
}
