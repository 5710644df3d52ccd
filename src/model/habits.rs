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
    /// Masses in grams or kilograms, and in pounds or ounces.
    metric_mass: bool,
    us_mass: bool,
}

impl UnitHabits {
    /// Looks through the readings of a note, and its set point.
    pub fn of(parse: &Parse<'_>) -> Self {
        let mut habits = Self {
            fahrenheit: false,
            celsius: false,
            metric_pressure: false,
            us_pressure: false,
            metric_mass: false,
            us_mass: false,
        };
        for line in &parse.lines {
            match &line.line {
                // `setpoint: -20 C` says in which scale the rest is meant.
                Line::Head(head) if head.known == Some(HeadKey::SetPoint) => {
                    for token in tokens(head.value.node, 0) {
                        habits.note(token.text);
                    }
                }
                // A charge in grams is written by who reads degrees Celsius.
                Line::Head(head)
                    if matches!(head.known, Some(HeadKey::Refrigerant | HeadKey::Charge)) =>
                {
                    for token in tokens(head.value.node, 0) {
                        habits.weigh(token.text);
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

    fn weigh(&mut self, unit: &str) {
        for unit in lookup_unit(unit) {
            match unit {
                Unit::Gram | Unit::Kilogram => self.metric_mass = true,
                Unit::Pound | Unit::Ounce => self.us_mass = true,
                _ => {}
            }
        }
    }

    /// True when no scale is written, and all else is metric.
    fn is_metric(&self) -> bool {
        let us = self.fahrenheit || self.us_pressure || self.us_mass;
        !us && (self.metric_mass || self.metric_pressure)
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
        if self.celsius && !self.fahrenheit || self.is_metric() {
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
            Dimension::Temperature if self.celsius || self.is_metric() => Some(Unit::Celsius),
            Dimension::TemperatureDifference if self.celsius && self.fahrenheit => None,
            Dimension::TemperatureDifference if self.celsius || self.is_metric() => {
                Some(Unit::KelvinDifference)
            }
            // bar, kPa or MPa: the note's own choice among them is not certain enough
            Dimension::Pressure if self.metric_pressure || self.is_metric() => None,
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
