//! Moist air over a coil: dew points, enthalpies, the heat taken out and how it divides.

use super::cycle::formulas;
use super::pairing::Bench;
use super::{Derivation, Derived, Formula, Input, Missing, Value};
use crate::model::{Job, Reading};
use crate::psychrometrics::{HeatRemoved, MoistAir, NotAir};
use crate::quantity::{
    AbsolutePressure, Display, Percent, Power, SpecificEnthalpy, Temperature, VolumeFlow,
};
use crate::vocabulary::Point;

const ASHRAE: &str = "ASHRAE Handbook Fundamentals (2017), ch. 1: saturation by Hyland and Wexler, mixtures of perfect gases";

formulas! {
    RETURN_DEW "return-dew-point" "dew point of the return air" "T at which the vapor of the return air is saturated" ASHRAE, "return air, and its wet bulb or humidity";
    SUPPLY_DEW "supply-dew-point" "dew point of the supply air" "T at which the vapor of the supply air is saturated" ASHRAE, "supply air, and its wet bulb or humidity";
    ROOM_DEW "room-dew-point" "dew point of the room" "T at which the vapor of the room air is saturated" ASHRAE, "room temperature and humidity";
    AMBIENT_DEW "ambient-dew-point" "outdoor dew point" "T at which the vapor of the outdoor air is saturated" ASHRAE, "ambient, and its wet bulb or humidity";
    RETURN_ENTHALPY "return-enthalpy" "enthalpy of the return air" "h = 1.006 t + W (2501 + 1.86 t), kJ per kg of dry air; in Btu/lb counted from dry air at 0 F" ASHRAE, "return air, and its wet bulb or humidity";
    SUPPLY_ENTHALPY "supply-enthalpy" "enthalpy of the supply air" "h = 1.006 t + W (2501 + 1.86 t), kJ per kg of dry air; in Btu/lb counted from dry air at 0 F" ASHRAE, "supply air, and its wet bulb or humidity";
    AMBIENT_ENTHALPY "ambient-enthalpy" "outdoor enthalpy" "h = 1.006 t + W (2501 + 1.86 t), kJ per kg of dry air; in Btu/lb counted from dry air at 0 F" ASHRAE, "ambient, and its wet bulb or humidity";
    TOTAL_HEAT "coil-total-heat" "heat taken from the air" "h return − h supply" ASHRAE, "return and supply air, each with its wet bulb or humidity";
    SENSIBLE_HEAT "coil-sensible-heat" "heat taken by cooling" "h(t return, W supply) − h supply" ASHRAE, "return and supply air, each with its wet bulb or humidity";
    LATENT_HEAT "coil-latent-heat" "heat taken by drying" "h return − h(t return, W supply)" ASHRAE, "return and supply air, each with its wet bulb or humidity";
    HEAT_RATIO "sensible-heat-ratio" "sensible heat ratio" "heat taken by cooling ÷ heat taken from the air" ASHRAE, "return and supply air, each with its wet bulb or humidity";
    TOTAL_CAPACITY "air-capacity" "capacity by the air" "airflow ÷ v return × (h return − h supply)" ASHRAE, "airflow, and return and supply air, each with its wet bulb or humidity";
    SENSIBLE_CAPACITY "air-sensible-capacity" "sensible capacity by the air" "airflow ÷ v return × heat taken by cooling" ASHRAE, "airflow, and return and supply air, each with its wet bulb or humidity";
    LATENT_CAPACITY "air-latent-capacity" "latent capacity by the air" "airflow ÷ v return × heat taken by drying" ASHRAE, "airflow, and return and supply air, each with its wet bulb or humidity";
}

/// In kelvin.
const FREEZING: f64 = 273.15;

/// A place where air is measured, and what is derived of it.
struct Place {
    air: Point,
    /// What tells its moisture, the one relied on first.
    moisture: &'static [Point],
    dew: &'static Formula,
    enthalpy: Option<&'static Formula>,
}

static RETURN: Place = Place {
    air: Point::ReturnAir,
    moisture: &[Point::ReturnWetBulb, Point::ReturnHumidity],
    dew: &RETURN_DEW,
    enthalpy: Some(&RETURN_ENTHALPY),
};
static SUPPLY: Place = Place {
    air: Point::SupplyAir,
    moisture: &[Point::SupplyWetBulb, Point::SupplyHumidity],
    dew: &SUPPLY_DEW,
    enthalpy: Some(&SUPPLY_ENTHALPY),
};
static ROOM: Place = Place {
    air: Point::Room,
    moisture: &[Point::RoomHumidity],
    dew: &ROOM_DEW,
    enthalpy: None,
};
static AMBIENT: Place = Place {
    air: Point::Ambient,
    moisture: &[Point::AmbientWetBulb, Point::AmbientHumidity],
    dew: &AMBIENT_DEW,
    enthalpy: Some(&AMBIENT_ENTHALPY),
};
static PLACES: [&Place; 4] = [&RETURN, &SUPPLY, &ROOM, &AMBIENT];

/// Derives the values of moist air of every moment.
pub(super) fn derive(job: &Job, bench: &Bench<'_>, out: &mut Derivation) {
    let mut air = Air {
        bench,
        display: job.display,
        out,
        refused: Vec::new(),
    };
    for place in PLACES {
        for anchor in bench.at(place.air) {
            air.of_place(place, anchor);
        }
    }
    for anchor in bench.at(Point::ReturnAir) {
        air.over_coil(anchor);
    }
    air.report_missing();
}

struct Air<'a, 'b> {
    bench: &'b Bench<'a>,
    display: Display,
    out: &'b mut Derivation,
    /// Where readings were that no air can have, with a sentence, each said once.
    refused: Vec<(Point, String)>,
}

impl<'a> Air<'a, '_> {
    /// The dry bulb and the moisture of a place at the moment of `anchor`, where they make air.
    fn sample(&mut self, place: &Place, anchor: &'a Reading) -> Option<[&'a Reading; 2]> {
        let dry = if anchor.point == place.air {
            anchor
        } else {
            self.bench.with(anchor, place.air)?
        };
        let readings = [dry, self.bench.with_any(anchor, place.moisture)?];
        let values = readings.map(si);
        match state(&readings, &values, self.bench.atmosphere.pressure) {
            Ok(_) => Some(readings),
            Err(error) => {
                let line = readings[1].line;
                let said = format!("line {line}: {}", error.sentence(self.display));
                if !self.refused.contains(&(place.air, said.clone())) {
                    self.refused.push((place.air, said));
                }
                None
            }
        }
    }

    fn of_place(&mut self, place: &Place, anchor: &'a Reading) {
        let Some(readings) = self.sample(place, anchor) else {
            return;
        };
        let pressure = self.bench.atmosphere.pressure;
        let air = |v: &[f64]| state(&readings, v, pressure).ok();
        self.push(place.dew, &readings, temperature, |v| {
            Some(air(v)?.dew_point().kelvin())
        });
        if let Some(formula) = place.enthalpy {
            self.push(formula, &readings, enthalpy, |v| {
                Some(air(v)?.enthalpy().joule_per_kilogram())
            });
        }
    }

    fn over_coil(&mut self, anchor: &'a Reading) {
        let entering = self.sample(&RETURN, anchor);
        let leaving = self.sample(&SUPPLY, anchor);
        let (Some(entering), Some(leaving)) = (entering, leaving) else {
            return;
        };
        let mut readings = [entering, leaving].concat();
        let pressure = self.bench.atmosphere.pressure;
        let over = |v: &[f64]| {
            let before = state(&entering, &v[..2], pressure).ok()?;
            let after = state(&leaving, &v[2..4], pressure).ok()?;
            Some((before, before.heat_removed(&after)))
        };
        for (formula, _, part) in PARTS {
            self.push(formula, &readings, enthalpy_difference, |v| {
                Some(part(&over(v)?.1).joule_per_kilogram())
            });
        }
        self.push(&HEAT_RATIO, &readings, Value::Ratio, |v| {
            over(v)?.1.sensible_heat_ratio()
        });
        let Some(airflow) = self.bench.with(anchor, Point::Airflow) else {
            return;
        };
        readings.push(airflow);
        for (_, formula, part) in PARTS {
            self.push(formula, &readings, capacity, |v| {
                let (before, heat) = over(v)?;
                let flow = VolumeFlow::from_cubic_metre_per_second(v[4]);
                Some((part(&heat) * before.dry_air_flow(flow)).watt())
            });
        }
    }

    /// Adds the value of `of` at the readings, and what one step of their last digits makes of it.
    fn push(
        &mut self,
        formula: &'static Formula,
        readings: &[&Reading],
        wrap: fn(f64) -> Value,
        of: impl Fn(&[f64]) -> Option<f64>,
    ) {
        let at: Vec<f64> = readings.iter().map(|r| si(r)).collect();
        let Some(value) = of(&at) else {
            return;
        };
        let moved = |i: usize| {
            let step = readings[i].written()?.resolution;
            // One way may lead to what no air can be, as at saturation; then the other does not.
            let to = |step: f64| {
                let mut near = at.clone();
                near[i] += step;
                of(&near)
            };
            Some(to(step).or_else(|| to(-step))? - value)
        };
        let resolution = (0..at.len()).try_fold(0.0, |sum: f64, i| Some(sum.hypot(moved(i)?)));
        self.out.values.push(Derived {
            formula,
            which: readings[0].which.clone(),
            value: wrap(value),
            inputs: readings.iter().map(|r| Input::of(r)).collect(),
            assumptions: self.assumptions(formula, readings),
            resolution,
            at: readings[0].at,
            visit: readings[0].visit,
            phase: readings[0].phase,
        });
    }

    fn assumptions(&self, formula: &Formula, readings: &[&Reading]) -> Vec<String> {
        let mut assumptions = Vec::new();
        let needs_pressure = !formula.id.ends_with("dew-point");
        if needs_pressure || readings.iter().any(|r| is_wet_bulb(r)) {
            assumptions.push(self.bench.assumption.clone());
        }
        // Dry bulb and moisture of one place after the other, then perhaps the airflow.
        for pair in readings.chunks_exact(2) {
            let (cold, taken) = if is_wet_bulb(pair[1]) {
                (pair[1], "as of an iced bulb")
            } else {
                (pair[0], "against saturation over ice")
            };
            if si(cold) < FREEZING - 1e-9 {
                let moisture = pair[1].label();
                assumptions.push(format!("{moisture} below freezing taken {taken}"));
            }
        }
        if readings.iter().any(|r| r.point == Point::Airflow) {
            assumptions.push("airflow taken at the state of the return air".to_owned());
        }
        assumptions
    }

    /// Lists what part of the readings is there for, but not all.
    fn report_missing(&mut self) {
        let coil: &[&[Point]] = &[
            &[RETURN.air],
            RETURN.moisture,
            &[SUPPLY.air],
            SUPPLY.moisture,
        ];
        let capacity = [coil, &[&[Point::Airflow]]].concat();
        let has = |points: &[Point]| points.iter().any(|&p| self.bench.has(p));
        let read = [RETURN.moisture, SUPPLY.moisture, &[Point::Airflow]]
            .into_iter()
            .any(has);
        let wanted: [(&'static Formula, bool, &[&[Point]]); 4] = [
            (&TOTAL_HEAT, read || self.is_of_a_room(), coil),
            (&TOTAL_CAPACITY, read, &capacity),
            (&ROOM_DEW, has(ROOM.moisture), &[&[ROOM.air], ROOM.moisture]),
            (
                &AMBIENT_ENTHALPY,
                has(AMBIENT.moisture),
                &[&[AMBIENT.air], AMBIENT.moisture],
            ),
        ];
        let mut missing = Vec::new();
        for (formula, asked, groups) in wanted {
            if !asked || self.out.of(formula.id).next().is_some() {
                continue;
            }
            let lacking: Vec<&str> = groups
                .iter()
                .filter(|group| !has(group))
                .map(|group| group[0].name())
                .collect();
            let refused: Vec<&str> = self
                .refused
                .iter()
                .filter(|(air, _)| groups.iter().any(|group| group.contains(air)))
                .map(|(_, said)| said.as_str())
                .collect();
            let because = if !lacking.is_empty() {
                format!("not measured: {}", lacking.join(", "))
            } else if !refused.is_empty() {
                refused.join("; ")
            } else {
                format!(
                    "the readings are not of one moment (same visit, no work between, within {} minutes)",
                    super::WINDOW_MINUTES
                )
            };
            missing.push(Missing { formula, because });
        }
        self.out.missing.append(&mut missing);
    }

    /// Whether the air is that of a room. Common practice, no source: a wet bulb is read where
    /// people are, and nobody misses one in a cooler or freezer.
    fn is_of_a_room(&self) -> bool {
        let warm = |r: &Reading| si(r) >= 288.15;
        let mut air = self
            .bench
            .at(Point::ReturnAir)
            .chain(self.bench.at(Point::Room))
            .peekable();
        air.peek().is_some()
            && air.all(warm)
            && !self.bench.has(Point::Box)
            && !self.bench.has(Point::Product)
    }
}

type Part = fn(&HeatRemoved) -> SpecificEnthalpy;
/// The heat taken and its two parts, each with its formulas of enthalpy and of capacity.
static PARTS: [(&Formula, &Formula, Part); 3] = [
    (&TOTAL_HEAT, &TOTAL_CAPACITY, |heat| heat.total),
    (&SENSIBLE_HEAT, &SENSIBLE_CAPACITY, |heat| heat.sensible),
    (&LATENT_HEAT, &LATENT_CAPACITY, |heat| heat.latent),
];

/// Air from the dry bulb and the moisture of two readings, whose values may have been moved.
fn state(
    readings: &[&Reading; 2],
    values: &[f64],
    pressure: AbsolutePressure,
) -> Result<MoistAir, NotAir> {
    let dry = Temperature::from_kelvin(values[0]);
    if is_wet_bulb(readings[1]) {
        MoistAir::from_wet_bulb(dry, Temperature::from_kelvin(values[1]), pressure)
    } else {
        MoistAir::from_relative_humidity(dry, Percent::from_percent(values[1]), pressure)
    }
}

fn is_wet_bulb(reading: &Reading) -> bool {
    matches!(
        reading.point,
        Point::ReturnWetBulb | Point::SupplyWetBulb | Point::AmbientWetBulb
    )
}

/// The bare value of a reading; not a number where it has none, which no formula takes.
fn si(reading: &Reading) -> f64 {
    reading.written().map_or(f64::NAN, |w| w.quantity.si())
}

fn temperature(kelvin: f64) -> Value {
    Value::Temperature(Temperature::from_kelvin(kelvin))
}

fn enthalpy(joule_per_kilogram: f64) -> Value {
    Value::AirEnthalpy(SpecificEnthalpy::from_joule_per_kilogram(
        joule_per_kilogram,
    ))
}

fn enthalpy_difference(joule_per_kilogram: f64) -> Value {
    Value::EnthalpyDifference(SpecificEnthalpy::from_joule_per_kilogram(
        joule_per_kilogram,
    ))
}

fn capacity(watt: f64) -> Value {
    Value::Heat(Power::from_watt(watt))
}
