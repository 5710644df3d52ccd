//! Refrigerant mass, exact: an ounce of refrigerant in must equal an ounce out.

use super::Number;
use serde::Serialize;

/// A mass in whole picograms, so that ounces (28.349523125 g exactly) and grams add without drift.
///
/// One avoirdupois pound is exactly 0.45359237 kg (international yard and pound agreement, 1959).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct Mass(i128);

impl Mass {
    /// Picograms in one ounce.
    pub const PICOGRAM_PER_OUNCE: i128 = 28_349_523_125_000;
    /// Picograms in one pound.
    pub const PICOGRAM_PER_POUND: i128 = 16 * Self::PICOGRAM_PER_OUNCE;
    /// Picograms in one gram.
    pub const PICOGRAM_PER_GRAM: i128 = 1_000_000_000_000;
    /// No mass.
    pub const ZERO: Mass = Mass(0);

    /// `number` units of `picogram_per_unit` each, rounded to the nearest picogram.
    pub fn from_number(number: Number, picogram_per_unit: i128) -> Self {
        let (above, below) = number.ratio();
        let scaled = above * picogram_per_unit;
        Self((scaled + scaled.signum() * below / 2) / below)
    }

    /// Whole picograms, for comparisons that must be exact.
    pub fn picogram(self) -> i128 {
        self.0
    }

    /// Kilograms, for ratios and display.
    pub fn kilogram(self) -> f64 {
        self.0 as f64 / (1000 * Self::PICOGRAM_PER_GRAM) as f64
    }

    /// Pounds, for ratios and display.
    pub fn pound(self) -> f64 {
        self.0 as f64 / Self::PICOGRAM_PER_POUND as f64
    }

    /// Kilograms with every digit: `0.028349523125`.
    pub fn exact_kilogram(self) -> String {
        let whole = 1000 * Self::PICOGRAM_PER_GRAM;
        let sign = if self.0 < 0 { "-" } else { "" };
        let (kilogram, rest) = (self.0.abs() / whole, self.0.abs() % whole);
        let digits = format!("{rest:015}");
        match digits.trim_end_matches('0') {
            "" => format!("{sign}{kilogram}"),
            digits => format!("{sign}{kilogram}.{digits}"),
        }
    }

    /// To the nearest multiple of a step.
    pub fn to_nearest(self, step: Mass) -> Self {
        let half = self.0.signum() * step.0 / 2;
        Self((self.0 + half) / step.0 * step.0)
    }

    /// True below zero.
    pub fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// The magnitude.
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Pounds and ounces, to the nearest tenth of an ounce: `19 lb 6 oz`, `21 lb`, `3.5 oz`.
    pub fn pounds_ounces(self) -> String {
        let tenth = Self::PICOGRAM_PER_OUNCE / 10;
        let tenths = (self.0.abs() + tenth / 2) / tenth;
        let (pounds, rest) = (tenths / 160, tenths % 160);
        let sign = if self.0 < 0 && tenths != 0 { "-" } else { "" };
        let ounces = if rest % 10 == 0 {
            format!("{} oz", rest / 10)
        } else {
            format!("{}.{} oz", rest / 10, rest % 10)
        };
        match (pounds, rest) {
            (0, _) => format!("{sign}{ounces}"),
            (_, 0) => format!("{sign}{pounds} lb"),
            _ => format!("{sign}{pounds} lb {ounces}"),
        }
    }
}

impl std::ops::Add for Mass {
    type Output = Mass;
    fn add(self, other: Mass) -> Mass {
        Mass(self.0 + other.0)
    }
}

impl std::ops::Sub for Mass {
    type Output = Mass;
    fn sub(self, other: Mass) -> Mass {
        Mass(self.0 - other.0)
    }
}

/// So many times a mass, exact: shares are compared as `100 * part > 80 * whole`.
impl std::ops::Mul<i128> for Mass {
    type Output = Mass;
    fn mul(self, times: i128) -> Mass {
        Mass(self.0 * times)
    }
}

impl std::ops::AddAssign for Mass {
    fn add_assign(&mut self, other: Mass) {
        self.0 += other.0;
    }
}

impl std::iter::Sum for Mass {
    fn sum<I: Iterator<Item = Mass>>(masses: I) -> Mass {
        masses.fold(Mass::ZERO, |a, b| a + b)
    }
}
