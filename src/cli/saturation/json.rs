//! The answer for a program: SI values to nine figures, `null` for what is not known.

use super::answer::{Answer, Found, mean};
use super::question::{Asked, Question};
use crate::quantity::{AbsolutePressure, AtmosphereBasis, Temperature, significant};
use crate::refrigerant::{Gwp, OzoneClass, Refrigerant};
use serde::{Serialize, Serializer};

/// Goes up when a field changes its name or its meaning.
const VERSION: u32 = 1;
const ONE_ATMOSPHERE: AbsolutePressure = AbsolutePressure::from_pascal(101_325.0);

/// More figures would only show how a processor rounds.
const FIGURES: usize = 9;

fn rounded<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(significant(*value, FIGURES))
}

fn rounded_option<S: Serializer>(value: &Option<f64>, serializer: S) -> Result<S::Ok, S::Error> {
    value.map(|v| significant(v, FIGURES)).serialize(serializer)
}

#[derive(Serialize)]
struct Object {
    schema: String,
    request: Request,
    atmosphere: Local,
    /// One for a value, one a row for a range, none for a card.
    values: Vec<Row>,
    refrigerant: Card,
}

/// The question as it was understood.
#[derive(Serialize)]
struct Request {
    refrigerant: &'static str,
    /// `card`, `value` or `range`.
    asked: &'static str,
    /// Symbol of the unit the values were typed in.
    unit: Option<&'static str>,
}

#[derive(Serialize)]
struct Local {
    #[serde(serialize_with = "rounded")]
    pressure_pa: f64,
    /// `sea-level` (assumed), `altitude` or `barometer`.
    basis: &'static str,
    #[serde(serialize_with = "rounded_option")]
    altitude_m: Option<f64>,
}

/// One value: its pressure with temperatures, or its temperature with pressures.
#[derive(Serialize, Default)]
struct Row {
    typed: String,
    #[serde(serialize_with = "rounded_option")]
    pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    gauge_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    bubble_temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    dew_temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    mid_point_temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    bubble_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    bubble_gauge_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    dew_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    dew_gauge_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    mid_point_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    mid_point_gauge_pressure_pa: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    glide_k: Option<f64>,
    /// Why a value is missing, a sentence without its stop.
    refused: Option<String>,
}

#[derive(Serialize)]
struct Card {
    name: &'static str,
    aliases: &'static [&'static str],
    composition: Vec<Share>,
    safety_class: Option<&'static str>,
    /// True as well where no class is assigned.
    handle_as_flammable: bool,
    ozone_class: Option<&'static str>,
    gwp: Gwp,
    #[serde(serialize_with = "rounded_option")]
    normal_bubble_temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    normal_dew_temperature_k: Option<f64>,
    #[serde(serialize_with = "rounded_option")]
    normal_glide_k: Option<f64>,
    has_glide: bool,
    #[serde(serialize_with = "rounded")]
    critical_temperature_k: f64,
    #[serde(serialize_with = "rounded")]
    critical_pressure_pa: f64,
    #[serde(serialize_with = "rounded")]
    lowest_temperature_k: f64,
    #[serde(serialize_with = "rounded")]
    highest_temperature_k: f64,
    #[serde(serialize_with = "rounded")]
    highest_pressure_pa: f64,
    #[serde(serialize_with = "rounded_option")]
    lower_flammability_limit_kg_per_m3: Option<f64>,
    estimated: Option<&'static str>,
}

#[derive(Serialize)]
struct Share {
    component: &'static str,
    #[serde(serialize_with = "rounded")]
    mass_percent: f64,
}

/// The whole answer, pretty-printed.
pub(super) fn object(question: &Question, answers: &[Answer<'_>]) -> String {
    let atmosphere = question.atmosphere;
    let (basis, altitude_m) = match atmosphere.basis {
        AtmosphereBasis::SeaLevel => ("sea-level", None),
        AtmosphereBasis::Altitude(altitude) => ("altitude", Some(altitude.metre())),
        AtmosphereBasis::Barometer => ("barometer", None),
    };
    let object = Object {
        schema: format!("rimebook/saturation/{VERSION}"),
        request: Request {
            refrigerant: question.refrigerant.name,
            asked: match question.asked {
                Asked::Card => "card",
                Asked::One(_) => "value",
                Asked::Range(_) => "range",
            },
            unit: question.values().first().map(|value| value.unit.symbol()),
        },
        atmosphere: Local {
            pressure_pa: atmosphere.pressure.pascal(),
            basis,
            altitude_m,
        },
        values: answers.iter().map(|answer| row(question, answer)).collect(),
        refrigerant: card(question.refrigerant),
    };
    serde_json::to_string_pretty(&object).unwrap_or_default() + "\n"
}

fn row(question: &Question, answer: &Answer<'_>) -> Row {
    let gauge = |p: AbsolutePressure| p.gauge(question.atmosphere).pascal();
    let common = Row {
        typed: answer.value.written(),
        glide_k: answer.glide().map(|glide| glide.kelvin()),
        refused: answer.refused().map(|why| why.to_string()),
        ..Row::default()
    };
    match answer.found {
        Found::Temperatures {
            pressure,
            bubble,
            dew,
        } => {
            let (bubble, dew) = (bubble.ok(), dew.ok());
            let middle = bubble.zip(dew).map(|(b, d)| mean(b, d));
            Row {
                pressure_pa: Some(pressure.pascal()),
                gauge_pressure_pa: Some(gauge(pressure)),
                bubble_temperature_k: bubble.map(Temperature::kelvin),
                dew_temperature_k: dew.map(Temperature::kelvin),
                mid_point_temperature_k: middle.map(Temperature::kelvin),
                ..common
            }
        }
        Found::Pressures {
            temperature,
            bubble,
            dew,
            middle,
        } => {
            let (bubble, dew) = (bubble.ok(), dew.ok());
            Row {
                temperature_k: Some(temperature.kelvin()),
                bubble_pressure_pa: bubble.map(AbsolutePressure::pascal),
                bubble_gauge_pressure_pa: bubble.map(gauge),
                dew_pressure_pa: dew.map(AbsolutePressure::pascal),
                dew_gauge_pressure_pa: dew.map(gauge),
                mid_point_pressure_pa: middle.map(AbsolutePressure::pascal),
                mid_point_gauge_pressure_pa: middle.map(gauge),
                ..common
            }
        }
    }
}

fn card(refrigerant: &'static Refrigerant) -> Card {
    let (lowest, highest) = refrigerant.temperature_range();
    let normal = |t: Result<Temperature, _>| t.ok().map(Temperature::kelvin);
    Card {
        name: refrigerant.name,
        aliases: refrigerant.aliases,
        composition: refrigerant
            .composition
            .iter()
            .map(|&(component, mass_percent)| Share {
                component,
                mass_percent,
            })
            .collect(),
        safety_class: refrigerant.class.map(|class| class.name()),
        handle_as_flammable: refrigerant.is_flammable(),
        ozone_class: refrigerant.ozone.map(OzoneClass::name),
        gwp: refrigerant.gwp,
        normal_bubble_temperature_k: normal(refrigerant.bubble_temperature(ONE_ATMOSPHERE)),
        normal_dew_temperature_k: normal(refrigerant.dew_temperature(ONE_ATMOSPHERE)),
        normal_glide_k: refrigerant.glide(ONE_ATMOSPHERE).ok().map(|g| g.kelvin()),
        has_glide: refrigerant.has_glide(),
        critical_temperature_k: refrigerant.critical_temperature.kelvin(),
        critical_pressure_pa: refrigerant.critical_pressure.pascal(),
        lowest_temperature_k: lowest.kelvin(),
        highest_temperature_k: highest.kelvin(),
        highest_pressure_pa: refrigerant.highest_saturation().pascal(),
        lower_flammability_limit_kg_per_m3: refrigerant.lower_flammability_limit,
        estimated: refrigerant.estimated,
    }
}
