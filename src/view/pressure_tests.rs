//! Holds and evacuations in words, for the next technician.

use crate::derive::{HoldTest, VacuumShape, VacuumTest, hours_minutes};
use crate::quantity::Display;
use schemars::JsonSchema;
use serde::Serialize;

/// A test in words.
#[derive(Debug, JsonSchema, Serialize)]
pub struct TestRow {
    /// One sentence.
    pub text: String,
    /// The formula or limit it is judged by.
    pub basis: String,
    /// First and last line.
    pub lines: (u32, u32),
}

pub(super) fn hold(test: &HoldTest, display: Display) -> TestRow {
    let time = test
        .minutes
        .map_or_else(|| "time not recorded".to_owned(), hours_minutes);
    let text = match (test.expected, test.lost) {
        (Some(expected), Some(lost)) => {
            let change = crate::derive::Value::PressureChange(
                crate::quantity::AbsolutePressure::from_pascal(lost.abs()),
            );
            let judged = if test.leaks() {
                format!("{} lost", change.text(display))
            } else if lost < 0.0 {
                format!(
                    "{} above, within what the instruments leave in doubt",
                    change.text(display)
                )
            } else {
                format!(
                    "{} below, within what the instruments leave in doubt",
                    change.text(display)
                )
            };
            format!(
                "{}: {} → {} in {time}; expected {}: {judged}",
                test.gas,
                test.start,
                test.end,
                display.gauge(expected)
            )
        }
        _ => format!("{}: {}, not read again", test.gas, test.start),
    };
    let compensated = if test.compensated || test.expected.is_none() {
        ""
    } else {
        "; not compensated, a temperature is missing"
    };
    TestRow {
        text,
        basis: format!("{}{compensated}", HoldTest::EXPRESSION),
        lines: test.lines,
    }
}

pub(super) fn vacuum(test: &VacuumTest) -> TestRow {
    let deepest = test.deepest.micron();
    let last = test.last().micron();
    let text = match test.rise {
        None if test.readings.iter().any(|r| r.3) => {
            format!("{last:.0} micron isolated; read only once, no rise can be told")
        }
        None => format!("deepest {deepest:.0} micron; no rise read with the pump valved off"),
        Some((rise, minutes)) => {
            let time = minutes.map_or_else(|| "an unrecorded time".to_owned(), hours_minutes);
            let judged = match test.shape {
                Some(VacuumShape::Tight) => "held",
                Some(VacuumShape::Moisture) => "climbed and flattened: moisture",
                Some(VacuumShape::Leak) => "climbed steadily: leak",
                Some(VacuumShape::Undecided) | None => {
                    "too few readings to tell leak from moisture"
                }
            };
            format!(
                "deepest {deepest:.0} micron; isolated, {rise:+.0} micron in {time}, to {last:.0} micron: {judged}"
            )
        }
    };
    TestRow {
        text,
        basis: format!(
            "{:.0} micron limit, common practice",
            VacuumTest::LIMIT_MICRON
        ),
        lines: test.lines,
    }
}
