//! Standing tests and evacuation: what their lines read.

use super::EntryKind;
use super::draft::Draft;
use super::written::{Found, find, is_word, tokens_of, unit_put_in, written};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, TokenKind};
use crate::vocabulary::Point;

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

pub(super) fn hold(draft: &mut Draft<'_>, span: Span, text: Spanned<&str>) -> Option<EntryKind> {
    let tokens = tokens_of(text);
    let base = text.span.start;
    let found = find(text.node, base, &tokens, Dimension::Pressure)
        .or_else(|| hold_without_unit(draft, &tokens));
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
fn hold_without_unit(draft: &mut Draft<'_>, tokens: &[Token<'_>]) -> Option<Found> {
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

pub(super) fn vacuum(draft: &mut Draft<'_>, span: Span, text: Spanned<&str>) -> Option<EntryKind> {
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
