//! The nameplate line: `208 V 3 ph, rla 14.2 A, heaters 3300 W`.

use super::Nameplate;
use super::written::unit_at;
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Dimension, Number, Quantity, Unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind, tokens};
use crate::vocabulary::fold;

/// Reads the ratings; what is not understood is reported once and kept as written.
pub(super) fn read(text: Spanned<&str>, diagnostics: &mut Vec<Diagnostic>) -> Nameplate {
    let mut plate = Nameplate {
        written: Some(Spanned::new(text.node.to_owned(), text.span)),
        ..Nameplate::default()
    };
    let all = tokens(text.node, text.span.start as usize);
    let mut unread: Vec<Span> = Vec::new();
    for chunk in all
        .split(|t| t.kind == TokenKind::Separator)
        .filter(|c| !c.is_empty())
    {
        let mut rest = chunk;
        while !rest.is_empty() {
            let Some(at) = rest.iter().position(Token::is_value) else {
                unread.push(rest[0].span.to(rest[rest.len() - 1].span));
                break;
            };
            let name = fold(
                &rest[..at]
                    .iter()
                    .map(|t| t.text)
                    .collect::<Vec<_>>()
                    .join(" "),
            );
            let used = rating(&mut plate, &name, rest, at);
            if used == 0 {
                unread.push(rest[0].span.to(rest[rest.len() - 1].span));
                break;
            }
            rest = &rest[used..];
        }
    }
    if let Some(span) = unread.into_iter().reduce(Span::to) {
        diagnostics.push(
            Diagnostic::new(
                &code::NAMEPLATE_WORDS,
                span,
                "this part of the nameplate was not understood",
            )
            .help("ratings read: `208 V 3 ph`, `rla 14.2 A`, `heaters 3300 W`, `heaters 240 V`, `capacitor 45 uF`, `control 24 V`"),
        );
    }
    plate
}

/// Reads one rating whose number is at token `at`; returns how many tokens it took.
fn rating(plate: &mut Nameplate, name: &str, tokens: &[Token<'_>], at: usize) -> usize {
    let next = at + 1;
    let numbers: Vec<Number> = match &tokens[at].kind {
        TokenKind::Series(series) => series.iter().map(|n| n.node).collect(),
        _ => tokens[at].number().into_iter().collect(),
    };
    let Some(&first) = numbers.first() else {
        return 0;
    };
    if tokens
        .get(next)
        .is_some_and(|t| matches!(fold(t.text).as_str(), "ph" | "phase" | "ø" | "φ"))
    {
        plate.phases = match first.value() as u8 {
            phases @ (1 | 3) => Some(phases),
            _ => return 0,
        };
        return next + 1;
    }
    // `208/230 V`, `208-230 V`: a second number before the unit, or lexed as a negative one.
    let (second, unit_from) = match tokens.get(next) {
        Some(t) if t.text == "/" => (tokens.get(next + 1).and_then(Token::number), next + 2),
        Some(t) if t.number().is_some_and(|n| n.value() < 0.0) => {
            (t.number().map(Number::negated), next + 1)
        }
        _ => (numbers.get(1).copied(), next),
    };
    let quantity = |dimension| {
        unit_at(tokens, unit_from, dimension).map(|(unit, end)| (unit.quantity(first), unit, end))
    };
    if let Some((Quantity::Voltage(volts), _, end)) = quantity(Dimension::Voltage) {
        let upper = second.map_or(volts, |n| match Unit::Volt.quantity(n) {
            Quantity::Voltage(upper) => upper,
            _ => volts,
        });
        match name {
            "" | "supply" | "volts" | "rated" => plate.volts = Some((volts, upper)),
            "heater" | "heaters" | "defrost" => plate.heater_volts = Some(volts),
            "control" | "coil" | "contactor coil" | "transformer" => {
                plate.control_volts = Some(volts)
            }
            _ => return 0,
        }
        return end;
    }
    if let Some((Quantity::Current(amps), _, end)) = quantity(Dimension::Current) {
        match name {
            "rla" | "fla" | "compressor" | "compressor rla" | "rated" | "amps" => {
                plate.rla = Some(amps)
            }
            "lra" | "mca" | "mop" | "mocp" | "fuse" => {} // read, nothing is computed from them
            _ => return 0,
        }
        return end;
    }
    if let Some((Quantity::Power(power), _, end)) = quantity(Dimension::Power) {
        match name {
            "heater" | "heaters" | "defrost" | "defrost heaters" | "defrost heater" => {
                plate.heaters = Some(power)
            }
            _ => return 0,
        }
        return end;
    }
    if name.ends_with("displacement")
        && let Some((Quantity::VolumeFlow(swept), _, end)) = quantity(Dimension::VolumeFlow)
        && swept.cubic_metre_per_second() > 0.0
    {
        plate.displacement = Some(swept);
        return end;
    }
    if let Some((Quantity::Capacitance(value), _, end)) = quantity(Dimension::Capacitance) {
        plate.capacitor = Some(value);
        return end;
    }
    if tokens
        .get(next)
        .is_some_and(|t| t.text.eq_ignore_ascii_case("hz"))
    {
        return next + 1;
    }
    // `rla 14.2` without its unit: amperes is all it can be.
    if name == "rla" || name == "fla" {
        if let Quantity::Current(amps) = Unit::Ampere.quantity(first) {
            plate.rla = Some(amps);
        }
        return next;
    }
    0
}
