//! Published compressor ratings: the ten-coefficient polynomial, as a head line gives it.

use crate::quantity::{Temperature, TemperatureDifference};

/// What a rating is a rating of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rated {
    /// Refrigerant mass flow.
    MassFlow,
    /// Power drawn.
    Power,
}

/// The gas at the compressor's inlet that ratings hold for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RatedSuction {
    /// So much superheat.
    Superheat(TemperatureDifference),
    /// Gas of this temperature.
    ReturnGas(Temperature),
}

/// X = C₁ + C₂S + C₃D + C₄S² + C₅SD + C₆D² + C₇S³ + C₈DS² + C₉SD² + C₁₀D³, S and D the dew-point
/// temperatures of suction and discharge pressure. Source: AHRI Standard 540 (form of the equation
/// and order of its coefficients from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct RatingPolynomial {
    /// C₁ to C₁₀ as published.
    pub coefficients: [f64; 10],
    /// SI units (kg/s, W) in one unit of the result.
    pub factor: f64,
    /// True when S and D are in °C, false in °F.
    pub is_celsius: bool,
    /// What the suction gas was rated at; `None` when the line does not say.
    pub suction: Option<RatedSuction>,
}

/// Units of mass flow: spelling and kg/s.
const MASS_FLOWS: &[(&str, f64)] = &[
    ("lb/h", 0.453_592_37 / 3600.0),
    ("lb/hr", 0.453_592_37 / 3600.0),
    ("lbs/hr", 0.453_592_37 / 3600.0),
    ("lbm/h", 0.453_592_37 / 3600.0),
    ("kg/h", 1.0 / 3600.0),
    ("kg/hr", 1.0 / 3600.0),
    ("kg/s", 1.0),
    ("g/s", 1e-3),
];

/// Units of power: spelling and W.
const POWERS: &[(&str, f64)] = &[("w", 1.0), ("kw", 1e3)];

impl RatingPolynomial {
    /// Reads ten numbers, the unit of the result, the scale of the temperatures, and what the
    /// suction gas was: `…, lb/h, F, 20 F superheat` or `…, kg/h, C, 18 C return gas`.
    ///
    /// # Errors
    /// A sentence saying what is not there.
    pub(super) fn read(text: &str, rated: Rated) -> Result<Self, String> {
        let bytes = text.as_bytes();
        let is_inside = |w: &[u8]| w[0].is_ascii_digit() && w[1] == b',' && w[2].is_ascii_digit();
        if bytes.windows(3).any(is_inside) {
            return Err(
                "has a comma between two digits: put a blank after a comma that separates, \
                 and write decimals with a point"
                    .to_owned(),
            );
        }
        let words: Vec<&str> = text
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';'))
            .filter(|w| !w.is_empty())
            .collect();
        let count = words.iter().take_while(|w| number(w).is_some()).count();
        // `… C10 20 F superheat` would be an eleventh: the unit of the result comes first.
        let numbers: Vec<f64> = words[..count].iter().filter_map(|w| number(w)).collect();
        let Ok(coefficients) = <[f64; 10]>::try_from(numbers) else {
            return Err(format!("has {count} numbers in a row, not ten"));
        };
        let mut rest = words[10..].iter().map(|w| w.to_lowercase());
        let units = match rated {
            Rated::MassFlow => MASS_FLOWS,
            Rated::Power => POWERS,
        };
        let unit = rest.next().unwrap_or_default();
        let factor = units
            .iter()
            .find(|(spelling, _)| *spelling == unit)
            .map(|(_, factor)| *factor)
            .ok_or("does not say the unit of the result after its ten numbers")?;
        let is_celsius = scale(&rest.next().unwrap_or_default())
            .ok_or("does not say whether its temperatures are in F or C")?;
        // `65F` is two words run together.
        let rest: Vec<String> = rest
            .flat_map(|word| {
                let unit = word.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
                let value = &word[..word.len() - unit.len()];
                [value.to_owned(), unit.to_owned()]
            })
            .filter(|word| !word.is_empty())
            .collect();
        Ok(Self {
            coefficients,
            factor,
            is_celsius,
            suction: suction(&rest)?,
        })
    }

    /// The rating in SI units at two dew-point temperatures.
    pub fn at(&self, suction: Temperature, discharge: Temperature) -> f64 {
        let read = |t: Temperature| {
            if self.is_celsius {
                t.celsius()
            } else {
                t.fahrenheit()
            }
        };
        let (s, d) = (read(suction), read(discharge));
        let [c1, c2, c3, c4, c5, c6, c7, c8, c9, c10] = self.coefficients;
        let value = c1
            + c2 * s
            + c3 * d
            + c4 * s * s
            + c5 * s * d
            + c6 * d * d
            + c7 * s * s * s
            + c8 * d * s * s
            + c9 * s * d * d
            + c10 * d * d * d;
        value * self.factor
    }
}

/// A plain or a scientific number; a typographic minus is a minus.
fn number(word: &str) -> Option<f64> {
    let value: f64 = word.replace('−', "-").parse().ok()?;
    value.is_finite().then_some(value)
}

/// True for Celsius, false for Fahrenheit.
fn scale(word: &str) -> Option<bool> {
    match word.trim_start_matches('°') {
        "c" => Some(true),
        "f" => Some(false),
        _ => None,
    }
}

fn suction(words: &[String]) -> Result<Option<RatedSuction>, String> {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let (value, unit, what) = match words[..] {
        [] => return Ok(None),
        [value, unit, "superheat"] => (value, unit, "superheat"),
        [value, unit, "return", "gas"] => (value, unit, "return gas"),
        _ => {
            return Err(format!(
                "ends in `{}`, which is neither `20 F superheat` nor `65 F return gas`",
                words.join(" ")
            ));
        }
    };
    let value = number(value).ok_or_else(|| format!("has no number in `{value} {unit} {what}`"))?;
    Ok(Some(match (what, unit.trim_start_matches('°')) {
        ("superheat", "f") => {
            RatedSuction::Superheat(TemperatureDifference::from_fahrenheit(value))
        }
        ("superheat", "k" | "c") => {
            RatedSuction::Superheat(TemperatureDifference::from_kelvin(value))
        }
        (_, "f") => RatedSuction::ReturnGas(Temperature::from_fahrenheit(value)),
        (_, "c") => RatedSuction::ReturnGas(Temperature::from_celsius(value)),
        _ => return Err(format!("has `{unit}` where F or C is expected")),
    }))
}
