//! Readings as a customer reads them: plain names, one scale of temperature, the usual band.

use super::{capitalised, is_line_voltage, repairs};
use crate::compile::Compiled;
use crate::expectation::Sheet;
use crate::findings::electrical;
use crate::model::{Job, Reading, Unit};
use crate::quantity::{Display, Quantity, Temperature, TemperatureDifference, fixed};
use crate::say;
use crate::vocabulary::{Leg, Point, Symptom};
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// One point before and after the repair; `None` is not measured.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PlainReading {
    /// The point in plain words.
    pub name: String,
    /// The first value before the first repair; without a repair the last value.
    pub before: Option<String>,
    /// The last value after the last repair.
    pub after: Option<String>,
    /// What is usual for it, where the note or the trade gives a band.
    pub usual: Option<String>,
    /// Where the last value lies against that band: `below`, `within`, `above`; of food, `within-limit`
    /// and `above-limit`.
    pub against: Option<&'static str>,
}

/// What makes two readings the same row.
type Place<'a> = (Point, Option<&'a str>, Option<Leg>);

/// A place with its readings.
pub(super) struct Row<'a> {
    place: Place<'a>,
    /// Before the repair.
    pub before: Option<&'a Reading>,
    /// After it.
    pub after: Option<&'a Reading>,
}

/// The first reading of each place before the first repair and the last after the last; without a repair
/// the last of all. In order of first reading.
pub(super) fn rows<'a>(job: &'a Job, wanted: impl Fn(&Reading) -> bool) -> Vec<Row<'a>> {
    let repairs = repairs(job);
    let mut rows: Vec<Row<'_>> = Vec::new();
    for reading in job.readings().filter(|r| wanted(r)) {
        let place = (reading.point, reading.which.as_deref(), reading.leg);
        let at = rows
            .iter()
            .position(|row| row.place == place)
            .unwrap_or_else(|| {
                rows.push(Row {
                    place,
                    before: None,
                    after: None,
                });
                rows.len() - 1
            });
        let row = &mut rows[at];
        match repairs {
            Some((first, _)) if reading.span.start < first => {
                row.before = row.before.or(Some(reading));
            }
            Some((_, last)) if reading.span.start > last => row.after = Some(reading),
            Some(_) => {}
            None => row.before = Some(reading),
        }
    }
    rows.retain(|row| row.before.is_some() || row.after.is_some());
    rows
}

/// What stands still draws nothing; that says nothing of how it runs.
fn is_idle(reading: &Reading) -> bool {
    let quantity = reading.written().map(|w| w.quantity);
    matches!(quantity, Some(Quantity::Current(a)) if a.ampere() == 0.0)
}

/// Values before and after as a customer reads them; `compared_only`: those that were read both times.
pub(super) fn readings(
    compiled: &Compiled,
    words: &Words,
    wanted: impl Fn(&Reading) -> bool,
    compared_only: bool,
) -> Vec<PlainReading> {
    let mut rows = rows(&compiled.job, |r| wanted(r) && !is_idle(r));
    rows.retain(|row| !compared_only || row.before.is_some() && row.after.is_some());
    let mut plain: Vec<PlainReading> = Vec::new();
    for row in &rows {
        let mut next = plain_row(compiled, words, row);
        match plain.last_mut() {
            // The three of a three-phase supply are one thing to a customer.
            Some(last) if is_conductor(row) && last.takes(&next) => {
                last.before = joined(last.before.take(), next.before.take());
                last.after = joined(last.after.take(), next.after.take());
                if next.against != Some("within") {
                    last.against = next.against;
                }
            }
            _ => plain.push(next),
        }
    }
    plain
}

/// True for a reading of one conductor of several.
fn is_conductor(row: &Row<'_>) -> bool {
    let (point, _, leg) = row.place;
    leg.is_some() || matches!(point, Point::L1L2 | Point::L2L3 | Point::L1L3)
}

impl PlainReading {
    /// True for a further conductor of the same, read at the same times.
    fn takes(&self, next: &Self) -> bool {
        self.name == next.name
            && self.usual == next.usual
            && self.before.is_some() == next.before.is_some()
            && self.after.is_some() == next.after.is_some()
    }
}

/// `208 V` and `207 V` as `208 / 207 V`.
fn joined(a: Option<String>, b: Option<String>) -> Option<String> {
    let (a, b) = (a?, b?);
    Some(match (a.rsplit_once(' '), b.rsplit_once(' ')) {
        (Some((digits, unit)), Some((more, same))) if unit == same => {
            format!("{digits} / {more} {unit}")
        }
        _ => format!("{a} / {b}"),
    })
}

fn plain_row(compiled: &Compiled, words: &Words, row: &Row<'_>) -> PlainReading {
    let display = compiled.job.display;
    let last = row.after.or(row.before);
    let band = last.and_then(|reading| band(compiled, reading));
    let si = |reading: &Reading| reading.written().map(|w| w.quantity.si());
    let against = band.as_ref().zip(last.and_then(si)).map(|(band, value)| {
        // What the meter may be off by is no difference.
        let near = match band.shown {
            Shown::Ampere => electrical::AMMETER_ALLOWANCE * band.high,
            _ => 1e-6 * value.abs(),
        };
        // Cold enough for the plan is not as it should be: a freezer's food at 34 F is within it.
        let of_limit = last.is_some_and(|r| r.point == Point::Product);
        match value {
            low if low < band.low - near => "below",
            high if high > band.high + near && of_limit => "above-limit",
            high if high > band.high + near => "above",
            _ if of_limit => "within-limit",
            _ => "within",
        }
    });
    PlainReading {
        name: last.map_or_else(String::new, |r| match (is_conductor(row), &r.which) {
            (true, Some(which)) => capitalised(&format!("{} ({which})", point(r.point, words))),
            (true, None) => capitalised(&point(r.point, words)),
            (false, _) => name(r, words),
        }),
        before: row.before.map(|r| value(r, display)),
        after: row.after.map(|r| value(r, display)),
        usual: band.map(|band| band.text(display, words)),
        against,
    }
}

/// `Box temperature`, `Supply voltage (L1-L2)`, `Compressor current (leg 2)`.
pub(super) fn name(reading: &Reading, words: &Words) -> String {
    let plain = point(reading.point, words);
    let plain = match (&reading.which, reading.leg) {
        (Some(which), _) => format!("{plain} ({which})"),
        (None, Some(Leg(leg))) => format!("{plain} ({})", say!(words, "leg", number = leg)),
        (None, None) if is_line_voltage(reading) => format!("{plain} ({})", reading.point.name()),
        (None, None) => plain,
    };
    capitalised(&plain)
}

/// A point in plain words.
pub(super) fn point(point: Point, words: &Words) -> String {
    words.declared(&message_name(point), point.info().plain)
}

/// `point-suction-line`: the message that translates a point's plain words.
pub fn message_name(point: Point) -> String {
    let mut id = "point".to_owned();
    for c in format!("{point:?}").chars() {
        if c.is_ascii_uppercase() {
            id.push('-');
        }
        id.push(c.to_ascii_lowercase());
    }
    id
}

/// A reading as the customer sees it: temperatures in the report's own scale with their sign, the rest
/// as written.
pub(super) fn value(reading: &Reading, display: Display) -> String {
    match reading.written().map(|w| (w, w.quantity)) {
        Some((written, Quantity::Temperature(t))) => {
            let digits: String = written
                .text
                .chars()
                .take_while(|c| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'))
                .collect();
            let own = display.degrees(t);
            // In the scale it was written in, the digits stay as typed.
            match digits.parse::<f64>() {
                Ok(typed) if (typed - own).abs() < 1e-6 => {
                    format!("{digits} {}", display.degree_sign())
                }
                _ => temperature(t, display),
            }
        }
        _ => reading.value_text().to_owned(),
    }
}

/// `38.5 °F`, without an idle `.0`.
pub(super) fn temperature(t: Temperature, display: Display) -> String {
    let own = display.degrees(t);
    format!("{} {}", short(own), display.degree_sign())
}

/// One decimal, without an idle `.0`.
fn short(value: f64) -> String {
    let text = fixed(value, 1);
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

/// The usual band of a reading, SI.
struct Band {
    low: f64,
    high: f64,
    shown: Shown,
}

/// What a band is in.
enum Shown {
    Temperature,
    Volt,
    Ampere,
    Microfarad,
}

impl Band {
    fn text(&self, display: Display, words: &Words) -> String {
        let show = |si: f64| match self.shown {
            Shown::Temperature => temperature(Temperature::from_kelvin(si), display),
            Shown::Volt => format!("{} V", fixed(si, 0)),
            Shown::Ampere => format!("{} A", short(si)),
            Shown::Microfarad => format!("{} uF", short(si * 1e6)),
        };
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => say!(
                words,
                "band-between",
                low = show(self.low),
                high = show(self.high)
            ),
            (false, _) => say!(words, "band-at-most", high = show(self.high)),
            (true, false) => say!(words, "band-at-least", low = show(self.low)),
        }
    }
}

/// What is usual: of the box about its set point, of food the limit of the plan, of volts and amperes
/// the nameplate. Limits are those of the rules of the same name.
fn band(compiled: &Compiled, reading: &Reading) -> Option<Band> {
    let job = &compiled.job;
    let unit: &Unit = &job.unit;
    let quantity = reading.written()?.quantity;
    match (reading.point, quantity) {
        (Point::Box | Point::Display | Point::Room, Quantity::Temperature(_)) => {
            let set_point = unit.set_point.as_ref()?.node;
            let sheet = Sheet::new(job, &compiled.derived, reading.visit, None);
            let about = sheet.expected(Symptom::AboveSetPoint)?;
            let kelvin = |degrees: f64| TemperatureDifference::from_fahrenheit(degrees).kelvin();
            Some(Band {
                low: set_point.kelvin() + kelvin(about.low),
                high: set_point.kelvin() + kelvin(about.high),
                shown: Shown::Temperature,
            })
        }
        (Point::Product, Quantity::Temperature(_)) => Some(Band {
            low: f64::NEG_INFINITY,
            high: job.food.limit.as_ref()?.node.kelvin(),
            shown: Shown::Temperature,
        }),
        (Point::L1L2 | Point::L2L3 | Point::L1L3 | Point::SupplyVoltage, Quantity::Voltage(_)) => {
            let (low, high) = unit.nameplate.volts?;
            Some(Band {
                low: (1.0 - electrical::SUPPLY_TOLERANCE) * low.volt(),
                high: (1.0 + electrical::SUPPLY_TOLERANCE) * high.volt(),
                shown: Shown::Volt,
            })
        }
        (Point::CompressorCurrent, Quantity::Current(_)) => Some(Band {
            low: f64::NEG_INFINITY,
            high: unit.nameplate.rla?.ampere(),
            shown: Shown::Ampere,
        }),
        (Point::RunCapacitor, Quantity::Capacitance(_)) => {
            let rated = unit.nameplate.capacitor?.farad();
            Some(Band {
                low: (1.0 - electrical::CAPACITOR_TOLERANCE) * rated,
                high: (1.0 + electrical::CAPACITOR_TOLERANCE) * rated,
                shown: Shown::Microfarad,
            })
        }
        _ => None,
    }
}
