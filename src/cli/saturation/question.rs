//! What was typed: a refrigerant, and a value, a range, or nothing.

use crate::quantity::{
    AbsolutePressure, Atmosphere, Dimension, Number, Quantity, Temperature, Unit, fixed, fold_unit,
    lookup_unit, unit_spellings,
};
use crate::refrigerant::{Recognition, Refrigerant, lookup, recognise, why_not_carried};
use crate::syntax::tokens;
use crate::vocabulary::{list, nearest};

/// Rows of a table by default at most; the step is then the smallest 1, 2 or 5 that does.
const USUAL_ROWS: f64 = 35.0;
/// More rows than this are a slip.
const MOST_ROWS: f64 = 500.0;

/// Words a name may have: `R 1234 ze (E)`.
const LONGEST_NAME: usize = 4;

/// How a question is put.
const EXAMPLE: &str = "write it first, then the value, as in `rimebook saturation R-448A 40psig`";

/// One question, understood.
pub(super) struct Question {
    pub refrigerant: &'static Refrigerant,
    pub atmosphere: Atmosphere,
    pub asked: Asked,
}

/// What is asked of the refrigerant.
pub(super) enum Asked {
    /// Only its card.
    Card,
    One(Value),
    /// The rows of a table, in one unit; never empty.
    Range(Vec<Value>),
}

/// A pressure or a temperature as typed.
pub(super) struct Value {
    pub refrigerant: &'static Refrigerant,
    /// The digits, with a plain hyphen as sign.
    pub digits: String,
    pub unit: Unit,
    pub at: At,
}

/// Where on the saturation line.
#[derive(Clone, Copy)]
pub(super) enum At {
    Pressure(AbsolutePressure),
    Temperature(Temperature),
}

impl Question {
    /// Reads what was typed behind the command.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what to type.
    pub fn read(text: &str, step: Option<&str>, atmosphere: Atmosphere) -> Result<Self, String> {
        let (refrigerant, rest) = split(text)?;
        let reader = Reader {
            refrigerant,
            atmosphere,
        };
        let asked = match (rest, range(rest), step) {
            (_, Some((from, to)), _) => Asked::Range(reader.rows(from, to, step)?),
            (_, None, Some(_)) => {
                return Err(format!(
                    "a step goes with a range, as in `rimebook saturation {refrigerant} -40..120F --step 10`"
                ));
            }
            ("", None, None) => Asked::Card,
            (rest, None, None) => Asked::One(reader.value(rest)?),
        };
        Ok(Self {
            refrigerant,
            atmosphere,
            asked,
        })
    }

    /// The values asked; none for a card.
    pub fn values(&self) -> &[Value] {
        match &self.asked {
            Asked::Card => &[],
            Asked::One(value) => std::slice::from_ref(value),
            Asked::Range(values) => values,
        }
    }
}

impl Value {
    /// `40 psig`; of vacuum, in words.
    pub fn written(&self) -> String {
        format!("{} {}", self.digits, unit_name(self.unit))
    }
}

/// The unit as shown; inches of mercury say that they are vacuum.
pub(super) fn unit_name(unit: Unit) -> &'static str {
    match unit {
        Unit::InchMercuryVacuum => "inHg vacuum",
        unit => unit.symbol(),
    }
}

/// The atmosphere the gauges read against.
///
/// # Errors
/// A sentence when the option is no altitude or no atmospheric pressure.
pub(super) fn atmosphere(
    altitude: Option<&str>,
    barometer: Option<&str>,
) -> Result<Atmosphere, String> {
    let measured = |text: &str, kinds: &[Dimension]| {
        let (number, _, spelt) = number_and_unit(text)?;
        Some(unit_of(spelt, kinds)?.quantity(number))
    };
    if let Some(text) = altitude {
        return match measured(text, &[Dimension::Length]) {
            Some(Quantity::Length(length)) if (-500.0..9000.0).contains(&length.metre()) => {
                Ok(Atmosphere::at_altitude(length))
            }
            _ => Err(format!(
                "`{}` is no altitude; write `--altitude 5000ft` or `--altitude 1500m`",
                plain(text)
            )),
        };
    }
    let Some(text) = barometer else {
        return Ok(Atmosphere::SEA_LEVEL);
    };
    let pressure = match measured(text, &[Dimension::Pressure, Dimension::Vacuum]) {
        Some(Quantity::Absolute(pressure)) => pressure.pascal(),
        // A barometer reads absolute, whatever the unit would mean on a gauge.
        Some(Quantity::Gauge(pressure)) => pressure.pascal().abs(),
        Some(Quantity::Vacuum(depth)) => depth.pascal(),
        _ => f64::NAN,
    };
    if !(30e3..=110e3).contains(&pressure) {
        return Err(format!(
            "`{}` is no atmospheric pressure; write what stands on a barometer there, not reduced \
             to sea level: `--barometer 24.9inHg` or `--barometer 843hPa`",
            plain(text)
        ));
    }
    Ok(Atmosphere::from_barometer(AbsolutePressure::from_pascal(
        pressure,
    )))
}

/// The refrigerant at the head of the words, and what follows it.
///
/// A name may be several words (`R 448A`, `carbon dioxide`), so every number of them is tried: the
/// first that is carried and is followed by nothing or by a value.
fn split(text: &str) -> Result<(&'static Refrigerant, &str), String> {
    let text = text.trim();
    if text.is_empty() {
        return Err(format!("no refrigerant is named; {EXAMPLE}"));
    }
    let ends = || {
        let blanks = text.char_indices().filter(|(_, c)| c.is_whitespace());
        blanks
            .map(|(at, _)| at)
            .take(LONGEST_NAME)
            .chain([text.len()])
    };
    let mut carried = None;
    for end in ends() {
        let (name, rest) = (&text[..end], without_at(&text[end..]));
        if let Some(refrigerant) = lookup(name) {
            carried = Some((refrigerant, rest));
            if rest.is_empty() || range(rest).is_some() || number_and_unit(rest).is_some() {
                break;
            }
        }
    }
    carried.ok_or_else(|| {
        let before_value = ends().find(|&end| {
            let rest = without_at(&text[end..]);
            number_and_unit(rest).is_some_and(|(_, _, spelt)| unit_of(spelt, KINDS).is_some())
        });
        let names = before_value.into_iter().chain([text.len()]).chain(ends());
        let mut names = names.map(|end| &text[..end]);
        let first = names.clone().next().unwrap_or(text);
        let name = names.find(|name| recognise(name) != Recognition::Unknown);
        not_carried(name.unwrap_or(first))
    })
}

/// Without the `at` or `@` that may stand before a value.
fn without_at(text: &str) -> &str {
    let text = text.trim();
    match text.strip_prefix('@') {
        Some(rest) => rest.trim_start(),
        None => text.strip_prefix("at ").map_or(text, str::trim_start),
    }
}

fn not_carried(name: &str) -> String {
    match recognise(name) {
        Recognition::NotCarried => {
            let why = why_not_carried(name).unwrap_or("it is not in the catalogue");
            format!("`{name}` is not carried: {why}; no similar refrigerant is taken in its place")
        }
        Recognition::Misspelt(near) => {
            let named: Vec<&str> = near.iter().take(6).map(|r| r.name).collect();
            let more = if near.len() > named.len() { " …" } else { "" };
            format!(
                "there is no refrigerant `{name}`; is {}{more} meant?",
                list(&named, "or")
            )
        }
        Recognition::Carried(_) | Recognition::Unknown => {
            format!("there is no refrigerant `{}`; {EXAMPLE}", shortened(name))
        }
    }
}

/// Where units may stand for several things, the first of these is meant: `lb` is a pressure here.
const KINDS: &[Dimension] = &[
    Dimension::Pressure,
    Dimension::Temperature,
    Dimension::Vacuum,
    Dimension::AirPressure,
];

/// The unit of one of the kinds, the first that fits.
fn unit_of(spelt: &str, kinds: &[Dimension]) -> Option<Unit> {
    let found = lookup_unit(spelt);
    let unit = |kind: &Dimension| found.iter().copied().find(|u| u.dimension() == *kind);
    kinds.iter().find_map(unit)
}

/// The unit of a pressure or a temperature.
fn asked_unit(spelt: &str) -> Option<Unit> {
    unit_of(spelt, KINDS).or_else(|| match fold_unit(spelt).as_str() {
        // Inches of a compound gauge are of mercury, below the atmosphere.
        "\"" | "in" | "inch" | "inches" => Some(Unit::InchMercuryVacuum),
        "k" | "kelvin" => Some(Unit::KelvinDifference),
        _ => None,
    })
}

/// A number at the head of a text, its digits, and what follows.
fn number_and_unit(text: &str) -> Option<(Number, &str, &str)> {
    let text = text.trim();
    let first = tokens(text, 0).into_iter().next()?;
    let number = first.number()?;
    let (digits, unit) = text.split_at_checked(first.span.end as usize)?;
    Some((number, digits, unit.trim()))
}

/// The two ends of a range: `-40..120 F`, `-40F to 120F`.
fn range(text: &str) -> Option<(&str, &str)> {
    let (from, to) = ["..", "…", " to "]
        .iter()
        .find_map(|between| text.split_once(between))?;
    Some((from.trim(), to.trim_start_matches('.').trim()))
}

/// Reads values of one refrigerant.
struct Reader {
    refrigerant: &'static Refrigerant,
    atmosphere: Atmosphere,
}

impl Reader {
    fn value(&self, text: &str) -> Result<Value, String> {
        let (number, digits, spelt) = number_and_unit(text).ok_or_else(|| self.no_value(text))?;
        let unit = self.unit(spelt, digits)?;
        Ok(self.of(number, digits, unit))
    }

    fn of(&self, number: Number, digits: &str, unit: Unit) -> Value {
        let at = match unit.quantity(number) {
            Quantity::Absolute(pressure) => At::Pressure(pressure),
            Quantity::Gauge(pressure) | Quantity::AirPressure(pressure) => {
                At::Pressure(pressure.absolute(self.atmosphere))
            }
            Quantity::Temperature(temperature) => At::Temperature(temperature),
            // Kelvin; see `asked_unit`.
            Quantity::TemperatureDifference(kelvin) => {
                At::Temperature(Temperature::from_kelvin(kelvin.kelvin()))
            }
            other => At::Pressure(AbsolutePressure::from_pascal(other.si())),
        };
        Value {
            refrigerant: self.refrigerant,
            digits: plain(digits),
            unit,
            at,
        }
    }

    /// The unit spelt behind `digits`.
    fn unit(&self, spelt: &str, digits: &str) -> Result<Unit, String> {
        if let Some(unit) = asked_unit(spelt) {
            return Ok(unit);
        }
        let (name, digits) = (self.refrigerant, plain(digits));
        if fold_unit(spelt).is_empty() {
            return Err(format!(
                "`{digits}` may be a pressure or a temperature; write the unit: \
                 `rimebook saturation {name} {digits}psig` or `rimebook saturation {name} {digits}F`"
            ));
        }
        let known = unit_spellings().filter(|s| unit_of(s, KINDS).is_some());
        let hint = nearest(&fold_unit(spelt), known).map_or_else(
            || "write psig, psia, inHg, bar, kPa, F or C".to_owned(),
            |near| format!("is `{near}` meant?"),
        );
        Err(format!(
            "`{}` is no unit of pressure or temperature; {hint}",
            shortened(spelt)
        ))
    }

    fn no_value(&self, text: &str) -> String {
        format!(
            "`{}` is no value; write for example `rimebook saturation {name} 40psig`, \
             `rimebook saturation {name} -20F` or `rimebook saturation {name} -40..120F`",
            shortened(text),
            name = self.refrigerant,
        )
    }

    /// The rows from one end of a range to the other, both included where the step meets them.
    fn rows(&self, from: &str, to: &str, step: Option<&str>) -> Result<Vec<Value>, String> {
        // A stroke in the end of a range leads its step: no gauge is read in fractions here.
        let (to, step) = match (to.rsplit_once('/'), step) {
            (None, step) => (to, step),
            (Some((to, step)), None) => (to, Some(step)),
            (Some(_), Some(_)) => return Err("the step stands there twice".to_owned()),
        };
        let decimal = |text: &'_ str| {
            let (number, digits, spelt) = number_and_unit(text)?;
            (!digits.contains('/')).then(|| (number, digits.to_owned(), spelt.to_owned()))
        };
        let read = |text: &str| decimal(text).ok_or_else(|| self.no_value(text));
        let (from, from_digits, from_unit) = read(from)?;
        let (to, to_digits, to_unit) = read(to)?;
        let step = step.map(read).transpose()?;
        let step_unit = step.as_ref().map_or("", |(_, _, unit)| unit.as_str());

        let spelt: Vec<&str> = [from_unit.as_str(), &to_unit, step_unit]
            .into_iter()
            .filter(|unit| !fold_unit(unit).is_empty())
            .collect();
        let both = format!("{from_digits}..{to_digits}");
        let unit = self.unit(spelt.first().unwrap_or(&""), &both)?;
        for other in spelt {
            if self.unit(other, &both)? != unit {
                return Err(format!(
                    "`{}` and `{other}` are two units; write a range and its step in one",
                    unit.symbol()
                ));
            }
        }

        let span = to.value() - from.value();
        let step = match step {
            Some((step, _, _)) => step,
            None => usual_step(span.abs()).ok_or_else(|| self.no_value(&both))?,
        };
        let rows = (span / step.value()).abs() + 1.0;
        if step.value() == 0.0 {
            return Err("a step of nothing makes no table".to_owned());
        }
        if rows > MOST_ROWS {
            return Err(format!(
                "that would be a table of {rows:.0} rows; write a larger step, as in `--step {}`",
                usual_step(span.abs()).map_or(0.0, Number::value)
            ));
        }
        let toward = step.value().abs().copysign(span);
        let decimals = decimals(from).max(decimals(step));
        // A hair over, so that the end is not lost to rounding.
        (0..=(rows - 1.0 + 1e-9) as u32)
            .map(|row| {
                let digits = fixed(from.value() + f64::from(row) * toward, decimals);
                let number = Number::parse(&digits).ok_or_else(|| self.no_value(&both))?;
                Ok(self.of(number, &digits, unit))
            })
            .collect()
    }
}

/// The smallest step of 1, 2 or 5 and their tens that keeps a table short; `None` for a span that
/// is no number of the trade.
fn usual_step(span: f64) -> Option<Number> {
    if span == 0.0 {
        return Some(Number::integer(1));
    }
    let least = span / USUAL_ROWS;
    let tens = least.log10().floor();
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|times| times * 10f64.powf(tens))
        .into_iter()
        .find(|step| *step >= least * (1.0 - 1e-9))?;
    Number::parse(&fixed(step, (-tens).max(0.0) as usize))
}

/// Decimals of a number as typed.
fn decimals(number: Number) -> usize {
    (-number.resolution().log10()).round().max(0.0) as usize
}

/// A typed text with a plain hyphen for its minus sign.
fn plain(text: &str) -> String {
    text.trim().replace(['−', '–'], "-")
}

/// A typed text, cut where it is too long to be read back.
fn shortened(text: &str) -> String {
    let text = plain(text);
    match text.char_indices().nth(40) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text,
    }
}
