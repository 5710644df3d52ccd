//! Exact numbers as typed: decimals and fractions without rounding.

/// A number read from a note, exact: `4.2`, `-5`, `3/8`, `5 1/2`, `1,200`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Number {
    numerator: i128,
    denominator: i128,
    /// Digits after the decimal point; 0 for fractions.
    decimals: u32,
}

impl Number {
    /// Most digits a typed number may have; more is a slip, and would not fit exact arithmetic.
    pub const MAX_DIGITS: usize = 15;

    /// Parses `-4.2`, `.5`, `1,200`, `3/8`, `5 1/2`, `5-1/2`. A Unicode minus counts as one.
    ///
    /// Returns `None` when the text is none of those, divides by zero, or has too many digits.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let (negative, text) = match text.strip_prefix(['-', '−', '–']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let text = text.trim_start();
        let magnitude = match text.split_once('/') {
            None => Self::decimal(text)?,
            Some((left, below)) => {
                let left = left.trim();
                let denominator = Self::decimal(below.trim())?;
                let (whole, above) = match left.rsplit_once([' ', '\t', '-']) {
                    Some((whole, above)) => (Self::decimal(whole.trim())?, above),
                    None => (Self::integer(0), left),
                };
                let above = Self::decimal(above)?;
                if denominator.numerator == 0
                    || [whole, above, denominator].iter().any(|n| n.decimals > 0)
                {
                    return None;
                }
                Self {
                    numerator: whole.numerator * denominator.numerator + above.numerator,
                    denominator: denominator.numerator,
                    decimals: 0,
                }
            }
        };
        Some(if negative {
            Self {
                numerator: -magnitude.numerator,
                ..magnitude
            }
        } else {
            magnitude
        })
    }

    /// A whole number.
    pub fn integer(value: i64) -> Self {
        Self {
            numerator: value.into(),
            denominator: 1,
            decimals: 0,
        }
    }

    fn decimal(text: &str) -> Option<Self> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let mut digits = String::with_capacity(text.len());
        for (i, group) in whole.split(',').enumerate() {
            if i > 0 && group.len() != 3 {
                return None;
            }
            digits.push_str(group);
        }
        digits.push_str(part);
        if digits.is_empty()
            || digits.len() > Self::MAX_DIGITS
            || !digits.bytes().all(|b| b.is_ascii_digit())
        {
            return None;
        }
        Some(Self {
            numerator: digits.parse().ok()?,
            denominator: 10i128.pow(part.len() as u32),
            decimals: part.len() as u32,
        })
    }

    /// Nearest floating-point value.
    pub fn value(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Numerator and denominator; the denominator is positive.
    pub fn ratio(self) -> (i128, i128) {
        (self.numerator, self.denominator)
    }

    /// One unit of the last place typed: 0.1 for `4.2`, 1 for `31`, 1/8 for `3/8`.
    pub fn resolution(self) -> f64 {
        if self.decimals == 0 && self.denominator != 1 {
            1.0 / self.denominator as f64
        } else {
            10f64.powi(-(self.decimals as i32))
        }
    }

    /// One of the last place typed, exact: 0.1 for `4.2`, 1 for `31`, 1/8 for `3/8`.
    pub fn last_place(self) -> Self {
        Self {
            numerator: 1,
            ..self
        }
    }

    /// The value with its sign changed.
    pub fn negated(self) -> Self {
        Self {
            numerator: -self.numerator,
            ..self
        }
    }

    /// True for a whole number.
    pub fn is_integer(self) -> bool {
        self.denominator == 1
    }
}

/// In plain form with every place that was typed: `4.0`, `-5`, `1200`, `0.5`, `5 1/2`.
impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.numerator < 0 {
            f.write_str("-")?;
        }
        let above = self.numerator.abs();
        let (whole, rest) = (above / self.denominator, above % self.denominator);
        match self.decimals as usize {
            0 if self.denominator == 1 => write!(f, "{whole}"),
            0 if whole > 0 && rest > 0 => write!(f, "{whole} {rest}/{}", self.denominator),
            0 => write!(f, "{above}/{}", self.denominator),
            places => write!(f, "{whole}.{rest:0places$}"),
        }
    }
}
