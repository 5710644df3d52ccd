//! The note's own habit of units, for values written without one.

use crate::quantity::{Dimension, Display, Unit, lookup_unit};
use crate::syntax::{Entry, Item, Line, Parse, Statement, ValueItem, tokens};
use crate::vocabulary::{HeadKey, Point};

/// Which scales the note writes out, so that a missing unit is taken from the note's own habit.
pub(crate) struct UnitHabits {
    fahrenheit: bool,
    celsius: bool,
    metric_pressure: bool,
    us_pressure: bool,
}

impl UnitHabits {
    /// Looks through the readings of a note, and its set point.
    pub fn of(parse: &Parse<'_>) -> Self {
        let mut habits = Self {
            fahrenheit: false,
            celsius: false,
            metric_pressure: false,
            us_pressure: false,
        };
        for line in &parse.lines {
            match &line.line {
                // `setpoint: -20 C` says in which scale the rest is meant.
                Line::Head(head) if head.known == Some(HeadKey::SetPoint) => {
                    for token in tokens(head.value.node, 0) {
                        habits.note(token.text);
                    }
                }
                Line::Entry(Entry {
                    statement: Statement::Readings(items),
                    ..
                }) => {
                    for item in items {
                        if let Item::Value(ValueItem {
                            unit: Some(unit), ..
                        }) = item
                        {
                            habits.note(unit.node);
                        }
                    }
                }
                _ => {}
            }
        }
        habits
    }

    fn note(&mut self, unit: &str) {
        for unit in lookup_unit(unit) {
            match unit {
                Unit::Fahrenheit => self.fahrenheit = true,
                Unit::Celsius => self.celsius = true,
                Unit::Bar | Unit::Kilopascal | Unit::Megapascal => self.metric_pressure = true,
                Unit::Psig | Unit::Psia => self.us_pressure = true,
                _ => {}
            }
        }
    }

    /// Metric when the note writes Celsius and never Fahrenheit.
    pub fn display(&self) -> Display {
        if self.celsius && !self.fahrenheit {
            Display::Si
        } else {
            Display::Us
        }
    }

    /// The unit to take for a point without one, or `None` when the note's habit leaves a doubt.
    pub fn assume(&self, point: Point) -> Option<Unit> {
        let info = point.info();
        match info.dimension? {
            Dimension::Temperature if self.celsius && self.fahrenheit => None,
            Dimension::Temperature if self.celsius => Some(Unit::Celsius),
            // bar, kPa or MPa: the note's own choice among them is not certain enough
            Dimension::Pressure if self.metric_pressure => None,
            // m3/h, L/s or m3/s: likewise
            Dimension::VolumeFlow if self.celsius || self.metric_pressure => None,
            _ => info.unit,
        }
    }

    /// True when the note itself, not custom alone, says that the assumed unit is meant. An amount
    /// that is written in one unit only (V, A, W) needs no such witness.
    pub fn bear_out(&self, point: Point) -> bool {
        match point.info().dimension {
            Some(Dimension::Temperature) => self.fahrenheit || self.celsius,
            Some(Dimension::Pressure) => self.fahrenheit || self.us_pressure,
            Some(Dimension::VolumeFlow) => self.fahrenheit,
            _ => true,
        }
    }
}
