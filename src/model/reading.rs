//! Readings: the point that the unit can measure, the unit where none was written, the range.

use super::draft::Draft;
use super::habits::UnitHabits;
use super::written::{unit_put_in, written};
use super::{Minutes, Reading, Value};
use crate::diagnostic::{Diagnostic, Severity, code};
use crate::quantity::{Dimension, Unit, Written, lookup_unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Item, ValueItem};
use crate::vocabulary::{Leg, Point, candidates, fold, list};

/// Where a reading stands in the job.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub visit: usize,
    pub at: Option<Minutes>,
    pub phase: u32,
}

/// The readings of one item: none when it had to be refused, three for three legs.
pub(super) fn read(draft: &mut Draft<'_>, item: &Item<'_>, place: Place) -> Vec<Reading> {
    match item {
        Item::State { name, point, state } => point
            .seen()
            .map(|seen| Reading {
                point: seen,
                which: point.which.clone(),
                leg: point.leg,
                value: Value::Seen(state.node),
                seen_as: Some(draft.source.slice(state.span).to_lowercase()),
                remark: None,
                span: name.span.to(state.span),
                line: draft.source.line(name.span.start),
                visit: place.visit,
                at: place.at,
                phase: place.phase,
            })
            .into_iter()
            .collect(),
        Item::Value(value) => value_readings(draft, value, place),
    }
}

/// `box 1 7`: 7 of box 1, or 17 with a blank in it?
fn number_or_value(draft: &mut Draft<'_>, item: &ValueItem<'_>) {
    let ([value], None, Some(which)) = (item.values.as_slice(), item.unit, &item.point.which)
    else {
        return;
    };
    let single = |text: &str| text.len() == 1 && text.bytes().all(|b| b.is_ascii_digit());
    let label = item.name.node.rsplit(' ').next().unwrap_or("");
    let digit = draft.source.slice(value.span);
    let product = which.starts_with("box ") || which.starts_with("product ");
    if !product || !single(label) || !single(digit) {
        return;
    }
    let name = item.name.node[..item.name.node.len() - 1].trim_end();
    let span = item.name.span.to(value.span);
    draft.diagnostics.push(
        Diagnostic {
            severity: Severity::Warning,
            ..Diagnostic::new(
                &code::HEARD_TWO_WAYS,
                span,
                format!("`{name} {label} {digit}` may be {digit} of `{name} {label}` or {label}{digit} of `{name}`"),
            )
        }
        .likely_fix(format!("`{name} {label}{digit}`"), span, format!("{name} {label}{digit}"))
        .likely_fix(
            format!("`{name} {label}, {digit}` with its unit"),
            span,
            format!("{name} {label} {digit} {}", draft.habits.assume(Point::Box).map_or("F", Unit::symbol)),
        ),
    );
}

fn value_readings(draft: &mut Draft<'_>, item: &ValueItem<'_>, place: Place) -> Vec<Reading> {
    number_or_value(draft, item);
    let Some((point, unit)) = point_and_unit(draft, item) else {
        return Vec::new();
    };
    let points = match legs(item, point) {
        Some(points) => points,
        None => {
            let span = item.values[0]
                .span
                .to(item.values[item.values.len() - 1].span);
            let message = format!(
                "`{}` takes one value, and here are {}",
                item.name.node,
                item.values.len()
            );
            draft.diagnostics.push(
                Diagnostic::new(&code::WRONG_COUNT, span, message)
                    .help("give one value, or name the legs: `compressor 9.1 / 9.3 / 9.0 A`"),
            );
            return Vec::new();
        }
    };
    let mut readings = Vec::with_capacity(points.len());
    for (value, (point, leg)) in item.values.iter().zip(points) {
        let text = shown(draft, item, *value, unit);
        let quantity = written(value.node, unit, text);
        question(draft, point, &quantity, item.name.span, value.span);
        readings.push(Reading {
            point,
            which: item.point.which.clone(),
            leg,
            value: Value::Measured(quantity),
            seen_as: None,
            remark: item.remark.map(|r| r.node.to_owned()),
            span: item.name.span.to(item.unit.map_or(value.span, |u| u.span)),
            line: draft.source.line(item.name.span.start),
            visit: place.visit,
            at: place.at,
            phase: place.phase,
        });
    }
    readings
}

/// The digits as typed, with the unit as typed or, where none was, the one assumed.
fn shown(
    draft: &Draft<'_>,
    item: &ValueItem<'_>,
    value: Spanned<crate::quantity::Number>,
    unit: Unit,
) -> String {
    let digits = draft.source.slice(value.span);
    match item.unit {
        Some(written) => {
            // `4.2psig` stays joined, `4.2 psig` stays apart; a leg of three gets a blank.
            let joined = item.values.len() == 1 && value.span.end == written.span.start;
            let gap = if joined { "" } else { " " };
            format!("{digits}{gap}{}", written.node)
        }
        None => format!("{digits} {}", unit.symbol()),
    }
}

fn legs(item: &ValueItem<'_>, point: Point) -> Option<Vec<(Point, Option<Leg>)>> {
    match (item.values.len(), point) {
        (1, _) => Some(vec![(point, item.point.leg)]),
        (3, Point::SupplyVoltage | Point::L1L2) => Some(vec![
            (Point::L1L2, None),
            (Point::L2L3, None),
            (Point::L1L3, None),
        ]),
        (3, Point::T1T2) => Some(vec![
            (Point::T1T2, None),
            (Point::T2T3, None),
            (Point::T1T3, None),
        ]),
        (count @ 2..=3, point) if point.has_legs() => Some(
            (1..=count as u8)
                .map(|leg| (point, Some(Leg(leg))))
                .collect(),
        ),
        _ => None,
    }
}

/// The point that an item measures and its unit, written or taken from the note's habit; `None` where
/// the two do not fit, or where a unit left out could be several.
pub(crate) fn measured(item: &ValueItem<'_>, habits: &UnitHabits) -> Option<(Point, Unit)> {
    match item.unit {
        Some(unit) => item.point.measured_by(lookup_unit(unit.node)),
        None => {
            // Three values without a unit are of the point that has legs: no voltmeter reads a leg.
            let legs = item.values.len() > 1;
            let mut measured = item.point.measured().filter(|p| !legs || p.has_legs());
            let (point, None) = (measured.next()?, measured.next()) else {
                return None;
            };
            habits.assume(point).map(|unit| (point, unit))
        }
    }
}

fn point_and_unit(draft: &mut Draft<'_>, item: &ValueItem<'_>) -> Option<(Point, Unit)> {
    let found = measured(item, &draft.habits);
    let Some(unit) = item.unit else {
        return assumed_unit(draft, item, found);
    };
    let units = lookup_unit(unit.node);
    if let Some(found) = found {
        if found.1 == Unit::Psig && units.contains(&Unit::Pound) && unit.node != "#" {
            draft.diagnostics.push(
                Diagnostic::new(
                    &code::UNIT_ASSUMED,
                    unit.span,
                    format!("`{}` at {} was taken as psig", unit.node, item.name.node),
                )
                .safe_fix("write psig", unit.span, "psig"),
            );
        }
        return Some(found);
    }
    draft.diagnostics.push(wrong_dimension(item, unit, units));
    None
}

fn wrong_dimension(item: &ValueItem<'_>, unit: Spanned<&str>, units: &[Unit]) -> Diagnostic {
    let measured: Vec<Dimension> = units.iter().map(|u| u.dimension()).collect();
    // Every temperature unit measures differences as well; saying so would only puzzle.
    let measures: Vec<&str> = measured
        .iter()
        .filter(|&&d| {
            d != Dimension::TemperatureDifference || !measured.contains(&Dimension::Temperature)
        })
        .map(|d| d.name())
        .collect();
    let can: Vec<&str> = item
        .point
        .measured()
        .filter_map(|p| p.info().dimension)
        .map(Dimension::name)
        .collect();
    let name = item.name.node;
    let is = if can.is_empty() {
        "takes a state, not a value".to_owned()
    } else {
        format!("is a {}", list(&can, "or"))
    };
    let mut diagnostic = Diagnostic::new(
        &code::WRONG_DIMENSION,
        unit.span,
        format!(
            "`{name}` {is}, and `{}` is a unit of {}",
            unit.node,
            list(&measures, "or")
        ),
    )
    .here(format!("measures {}", list(&measures, "or")))
    .also(
        item.name.span,
        if can.is_empty() {
            "has a state only".to_owned()
        } else {
            format!("a {}", list(&can, "or"))
        },
    );
    // `suction 31 F`: the neighbour whose name starts alike and that the unit can measure.
    let folded = fold(name);
    let neighbour = ["line", "temp", "pressure", "air", "amps", "volts", "ohms"]
        .iter()
        .flat_map(|suffix| candidates(&format!("{folded} {suffix}")))
        .chain(folded.strip_suffix(" line").map_or(&[][..], candidates))
        .find(|p| {
            units
                .iter()
                .any(|u| Some(u.dimension()) == p.info().dimension)
        });
    if let Some(neighbour) = neighbour {
        let neighbour = neighbour.name();
        diagnostic = diagnostic.likely_fix(
            format!("write `{neighbour}` if that is meant"),
            item.name.span,
            neighbour,
        );
    }
    if let Some(unit) = item.point.measured().next().and_then(|p| p.info().unit) {
        diagnostic = diagnostic.help(format!("write `{name} … {}`", unit.symbol()));
    }
    diagnostic
}

fn assumed_unit(
    draft: &mut Draft<'_>,
    item: &ValueItem<'_>,
    assumed: Option<(Point, Unit)>,
) -> Option<(Point, Unit)> {
    let measured: Vec<Point> = item.point.measured().collect();
    let last = item.values[item.values.len() - 1];
    let name = item.name.node;
    let temperature = |d: Option<Dimension>| {
        matches!(
            d,
            Some(Dimension::Temperature | Dimension::TemperatureDifference)
        )
    };
    if let Some(degree) = item.degree
        && !measured
            .iter()
            .any(|point| temperature(point.info().dimension))
        && !measured.is_empty()
    {
        // `suction 31 degrees`: no pressure has degrees.
        let word = Spanned::new(draft.source.slice(degree), degree);
        draft
            .diagnostics
            .push(wrong_dimension(item, word, lookup_unit("F")));
        return None;
    }
    if let Some((point, unit)) = assumed {
        let value = draft.source.slice(item.values[0].span.to(last.span));
        let diagnostic = Diagnostic::new(
            &code::UNIT_ASSUMED,
            item.name.span.to(last.span),
            format!("`{name} {value}` has no unit; {} was taken", unit.symbol()),
        );
        // `31 degrees F` is right of a temperature, `31 F degrees` is a difference: the mark goes.
        let end = item.degree.map_or(last.span.end, |degree| degree.end);
        let after = Span::new(last.span.end as usize, end as usize);
        let written = unit_put_in(draft.source.text(), end, unit);
        // What custom alone says is for the writer to confirm, once: the note then says it itself.
        let diagnostic = match draft.habits.bear_out(point) {
            true => diagnostic.safe_fix("write the unit", after, written),
            false => diagnostic.likely_fix("write the unit", after, written),
        };
        draft.diagnostics.push(diagnostic);
        return assumed;
    }
    let choices: Vec<&str> = match measured.as_slice() {
        [] => {
            let usual = item.point.seen().map_or(["on", "off"], Point::usual_states);
            draft.diagnostics.push(
                Diagnostic::new(
                    &code::WRONG_DIMENSION,
                    last.span,
                    format!("`{name}` takes a state, not a value"),
                )
                .here("a value")
                .also(item.name.span, "has a state only")
                .help(format!(
                    "write `{name} {}` or `{name} {}`",
                    usual[0], usual[1]
                )),
            );
            return None;
        }
        [point] if point.info().dimension == Some(Dimension::Temperature) => vec!["F", "C"],
        [point] if point.info().dimension == Some(Dimension::Pressure) => {
            vec!["psig", "bar", "kPa"]
        }
        [point] if point.info().dimension == Some(Dimension::VolumeFlow) => {
            vec!["m3/h", "L/s", "cfm"]
        }
        several => {
            // Amperes first: what a clamp reads is what is most often noted of a part.
            let mut units: Vec<Unit> = several.iter().filter_map(|p| p.info().unit).collect();
            units.sort_by_key(|unit| *unit != Unit::Ampere);
            units.into_iter().map(Unit::symbol).collect()
        }
    };
    draft.diagnostics.push(
        Diagnostic::new(
            &code::UNIT_NEEDED,
            item.name.span.to(last.span),
            format!("`{name}` needs a unit: it may be {}", list(&choices, "or")),
        )
        .help(format!(
            "write for example `{name} {} {}`",
            draft.source.slice(last.span),
            choices[0]
        )),
    );
    None
}

/// Questions a value far outside what the point can read.
fn question(draft: &mut Draft<'_>, point: Point, value: &Written, name: Span, span: Span) {
    let (low, high) = point.info().plausible;
    let si = value.quantity.si();
    if (low..=high).contains(&si) {
        return;
    }
    let side = if si < low { "below" } else { "above" };
    draft.diagnostics.push(
        Diagnostic::new(
            &code::IMPLAUSIBLE_VALUE,
            span,
            format!(
                "{} at {} is far {side} anything it can read",
                value.text,
                point.name()
            ),
        )
        .also(name, "at this point")
        .help("check the digits, the sign and the unit"),
    );
}
