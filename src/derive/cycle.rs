//! The refrigerant cycle: saturation, superheat, subcooling, TD, splits, ratio.

use super::pairing::{Bench, temperature};
use super::{Derivation, Derived, Formula, Input, Missing, Value};
use crate::model::{Job, Reading};
use crate::quantity::{AbsolutePressure, Temperature};
use crate::refrigerant::{OutOfRange, Refrigerant};
use crate::vocabulary::Point;

const TRADE: &str =
    "definition of the trade; saturation from CoolProp 8.0.0 by way of the embedded fit";
const PRACTICE: &str = "definition of the trade (common practice)";

macro_rules! formulas {
    ($($ident:ident $id:literal $name:literal $expression:literal $source:expr, $needs:literal;)*) => {
        $(#[doc = $expression]
        pub(super) static $ident: Formula = Formula { id: $id, name: $name, expression: $expression, source: $source, needs: $needs };)*
    };
}

pub(super) use formulas;

formulas! {
    EVAPORATING "evaporating-temperature" "evaporating temperature" "T dew(p suction)" TRADE, "suction pressure and the refrigerant";
    CONDENSING "condensing-temperature" "condensing temperature" "mid-point of T bubble and T dew(p high side)" TRADE, "discharge pressure and the refrigerant";
    SUPERHEAT "superheat" "superheat" "T suction line − T dew(p suction)" TRADE, "suction pressure, suction line temperature and the refrigerant";
    TOTAL_SUPERHEAT "total-superheat" "superheat at the compressor" "T compressor inlet − T dew(p suction)" TRADE, "suction pressure, compressor inlet temperature and the refrigerant";
    DISCHARGE_SUPERHEAT "discharge-superheat" "discharge superheat" "T discharge line − T dew(p discharge)" TRADE, "discharge pressure, discharge line temperature and the refrigerant";
    SUBCOOLING "subcooling" "subcooling" "T bubble(p liquid) − T liquid line" TRADE, "liquid or discharge pressure, liquid line temperature and the refrigerant";
    TD "evaporator-td" "evaporator TD" "T air entering − T dew(p suction)" TRADE, "suction pressure, box or return air temperature and the refrigerant";
    AIR_SPLIT "air-split" "air split" "T return air − T supply air" PRACTICE, "return and supply air";
    CONDENSER_SPLIT "condenser-split" "condenser split" "T condensing (mid-point) − T ambient" TRADE, "discharge pressure, ambient and the refrigerant";
    CONDENSER_RISE "condenser-air-rise" "condenser air rise" "T condenser air out − T ambient" PRACTICE, "ambient and condenser air out";
    RATIO "compression-ratio" "compression ratio" "p discharge absolute ÷ p suction absolute" PRACTICE, "suction and discharge pressure";
    APPROACH "gas-cooler-approach" "gas-cooler approach" "T gas cooler out − T ambient" "definition of the trade (common practice)", "gas-cooler outlet and ambient";
    DRIER_DROP "drier-drop" "temperature drop across the drier" "T liquid line − T after drier" PRACTICE, "liquid line and after-drier temperature";
}

type Saturation = fn(&Refrigerant, AbsolutePressure) -> Result<Temperature, OutOfRange>;

struct Cycle<'a, 'b> {
    bench: &'b Bench<'a>,
    refrigerant: Option<&'static Refrigerant>,
    out: &'b mut Derivation,
    /// Sentences of pressures without a saturation temperature, each said once.
    refused: Vec<String>,
}

/// Derives the cycle values of every moment.
pub(super) fn derive(job: &Job, bench: &Bench<'_>, out: &mut Derivation) {
    let mut cycle = Cycle {
        bench,
        refrigerant: job.unit.refrigerant.map(|r| r.node),
        out,
        refused: Vec::new(),
    };
    let dew: Saturation = Refrigerant::dew_temperature;
    let mid: Saturation = Refrigerant::mid_point_temperature;
    for suction in bench.at(Point::Suction) {
        cycle.saturation(&EVAPORATING, suction, dew);
        cycle.ratio(suction);
    }
    for discharge in bench.at(Point::Discharge) {
        cycle.saturation(&CONDENSING, discharge, mid);
    }
    let low: &[Point] = &[Point::Suction];
    let high: &[Point] = &[Point::Discharge, Point::LiquidPressure];
    cycle.against_saturation(&SUPERHEAT, Point::SuctionLine, low, dew, 1.0);
    cycle.against_saturation(&TOTAL_SUPERHEAT, Point::CompressorInlet, low, dew, 1.0);
    cycle.against_saturation(
        &DISCHARGE_SUPERHEAT,
        Point::DischargeLine,
        &[Point::Discharge],
        dew,
        1.0,
    );
    cycle.against_saturation(
        &SUBCOOLING,
        Point::LiquidLine,
        &[Point::LiquidPressure, Point::Discharge],
        Refrigerant::bubble_temperature,
        -1.0,
    );
    cycle.evaporator_td(low, dew);
    cycle.against_saturation(&CONDENSER_SPLIT, Point::Ambient, high, mid, -1.0);
    cycle.two_temperatures(&AIR_SPLIT, Point::ReturnAir, Point::SupplyAir);
    cycle.two_temperatures(&CONDENSER_RISE, Point::CondenserAirOut, Point::Ambient);
    cycle.two_temperatures(&DRIER_DROP, Point::LiquidLine, Point::AfterDrier);
    cycle.gas_cooler();
    cycle.report_missing();
}

impl Cycle<'_, '_> {
    fn push(
        &mut self,
        formula: &'static Formula,
        anchor: &Reading,
        value: Value,
        inputs: &[&Reading],
        assumptions: Vec<String>,
        resolution: Option<f64>,
    ) {
        self.out.values.push(Derived {
            formula,
            which: anchor.which.clone(),
            value,
            inputs: inputs.iter().map(|r| Input::of(r)).collect(),
            assumptions,
            resolution,
            at: anchor.at,
            visit: anchor.visit,
            phase: anchor.phase,
        });
    }

    /// Saturation temperature of a pressure reading and how far one digit of the gauge moves it.
    fn saturated(&mut self, reading: &Reading, curve: Saturation) -> Option<(Temperature, f64)> {
        let refrigerant = self.refrigerant?;
        let pressure = self.bench.pressure(reading)?;
        match curve(refrigerant, pressure) {
            Ok(temperature) => {
                let step = reading.written().map_or(0.0, |w| w.resolution);
                let next = AbsolutePressure::from_pascal(pressure.pascal() + step);
                let slope =
                    curve(refrigerant, next).map_or(0.0, |t| t.kelvin() - temperature.kelvin());
                Some((temperature, slope.abs()))
            }
            Err(error) => {
                let sentence = format!("line {}: {error}", reading.line);
                if !self.refused.contains(&sentence) {
                    self.refused.push(sentence);
                }
                None
            }
        }
    }

    fn atmosphere(&self, reading: &Reading) -> Vec<String> {
        self.bench.basis(reading, self.refrigerant)
    }

    fn saturation(&mut self, formula: &'static Formula, reading: &Reading, curve: Saturation) {
        if let Some((temperature, _)) = self.saturated(reading, curve) {
            let assumptions = self.atmosphere(reading);
            self.push(
                formula,
                reading,
                Value::Temperature(temperature),
                &[reading],
                assumptions,
                None,
            );
        }
    }

    fn ratio(&mut self, suction: &Reading) {
        let Some(discharge) = self.bench.with(suction, Point::Discharge) else {
            return;
        };
        let (Some(low), Some(high)) =
            (self.bench.pressure(suction), self.bench.pressure(discharge))
        else {
            return;
        };
        if low.pascal() <= 0.0 || high.pascal() <= 0.0 {
            return;
        }
        let assumptions = self.bench.basis(suction, None);
        self.push(
            &RATIO,
            suction,
            Value::Ratio(high.pascal() / low.pascal()),
            &[suction, discharge],
            assumptions,
            None,
        );
    }

    /// The difference of a temperature to saturation at the pressure of the same moment;
    /// `sign` −1 turns it round (saturation minus temperature).
    fn against_saturation(
        &mut self,
        formula: &'static Formula,
        at: Point,
        pressures: &[Point],
        curve: Saturation,
        sign: f64,
    ) {
        let bench = self.bench;
        for anchor in bench.at(at) {
            self.difference(formula, anchor, pressures, curve, sign);
        }
    }

    /// TD rests on the air entering the coil; the box stands in for it where it was not measured.
    fn evaporator_td(&mut self, low: &[Point], dew: Saturation) {
        let bench = self.bench;
        for suction in bench.at(Point::Suction) {
            let Some(air) = bench.with_any(suction, &[Point::ReturnAir, Point::Box, Point::Room])
            else {
                continue;
            };
            let before = self.out.values.len();
            self.difference(&TD, air, low, dew, 1.0);
            if air.point != Point::ReturnAir
                && let Some(derived) = self.out.values.get_mut(before)
            {
                derived.assumptions.push(format!(
                    "{} taken for the air entering the coil",
                    air.label()
                ));
            }
        }
        // Two suction readings may share one air reading: keep the first.
        let mut seen = Vec::new();
        self.out.values.retain(|d| {
            d.formula.id != TD.id || {
                let key = d.inputs.first().map(|i| i.span);
                let new = !seen.contains(&key);
                seen.push(key);
                new
            }
        });
    }

    fn difference(
        &mut self,
        formula: &'static Formula,
        anchor: &Reading,
        pressures: &[Point],
        curve: Saturation,
        sign: f64,
    ) {
        let Some((measured, written)) = temperature(anchor) else {
            return;
        };
        let Some(pressure) = self.bench.with_any(anchor, pressures) else {
            return;
        };
        let Some((saturated, slope)) = self.saturated(pressure, curve) else {
            return;
        };
        let mut assumptions = self.atmosphere(pressure);
        if formula.id == SUBCOOLING.id && pressure.point == Point::Discharge {
            assumptions.push("no pressure lost between discharge and liquid line".to_owned());
        }
        let difference = (measured - saturated).kelvin() * sign;
        let value = Value::Difference(crate::quantity::TemperatureDifference::from_kelvin(
            difference,
        ));
        // The last digits are independent: they add as squares.
        let resolution = written.resolution.hypot(slope);
        self.push(
            formula,
            anchor,
            value,
            &[anchor, pressure],
            assumptions,
            Some(resolution),
        );
    }

    fn two_temperatures(&mut self, formula: &'static Formula, from: Point, to: Point) {
        let bench = self.bench;
        for anchor in bench.at(from) {
            let Some(other) = bench.with(anchor, to) else {
                continue;
            };
            let (Some((a, wa)), Some((b, wb))) = (temperature(anchor), temperature(other)) else {
                continue;
            };
            let resolution = wa.resolution.hypot(wb.resolution);
            self.push(
                formula,
                anchor,
                Value::Difference(a - b),
                &[anchor, other],
                Vec::new(),
                Some(resolution),
            );
        }
    }

    /// Above the critical pressure nothing condenses: how near the gas leaves to the air is what
    /// there is to say of the gas cooler.
    fn gas_cooler(&mut self) {
        let (Some(refrigerant), bench) = (self.refrigerant, self.bench) else {
            return;
        };
        for discharge in bench.at(Point::Discharge) {
            let pressure = bench.pressure(discharge);
            if !pressure.is_some_and(|p| refrigerant.is_supercritical(p)) {
                continue;
            }
            let outlet = bench.with_any(discharge, &[Point::CondenserOutlet, Point::LiquidLine]);
            let (Some(outlet), Some(ambient)) = (outlet, bench.with(discharge, Point::Ambient))
            else {
                continue;
            };
            if let (Some((warm, a)), Some((air, b))) = (temperature(outlet), temperature(ambient)) {
                let resolution = a.resolution.hypot(b.resolution);
                self.push(
                    &APPROACH,
                    outlet,
                    Value::Difference(warm - air),
                    &[outlet, ambient, discharge],
                    vec![
                        "above the critical pressure: a gas cooler, without condensing or subcooling"
                            .to_owned(),
                    ],
                    Some(resolution),
                );
            }
        }
    }

    /// Lists what part of the readings is there for, but not all.
    fn report_missing(&mut self) {
        use Point::{
            AfterDrier, Ambient, Box, CompressorInlet, CondenserAirOut, Discharge, DischargeLine,
            LiquidLine, LiquidPressure, ReturnAir, Suction, SuctionLine, SupplyAir,
        };
        let wanted: [(&'static Formula, &[&[Point]]); 10] = [
            (&SUPERHEAT, &[&[Suction], &[SuctionLine]]),
            (&TOTAL_SUPERHEAT, &[&[CompressorInlet], &[Suction]]),
            (&DISCHARGE_SUPERHEAT, &[&[DischargeLine], &[Discharge]]),
            (&SUBCOOLING, &[&[LiquidLine], &[LiquidPressure, Discharge]]),
            (&TD, &[&[Suction], &[ReturnAir, Box]]),
            (
                &CONDENSER_SPLIT,
                &[&[Discharge, LiquidPressure], &[Ambient]],
            ),
            (&RATIO, &[&[Suction], &[Discharge]]),
            (&AIR_SPLIT, &[&[ReturnAir], &[SupplyAir]]),
            (&DRIER_DROP, &[&[AfterDrier], &[LiquidLine]]),
            (&CONDENSER_RISE, &[&[CondenserAirOut], &[Ambient]]),
        ];
        for (formula, groups) in wanted {
            if self.out.values.iter().any(|d| d.formula.id == formula.id) {
                continue;
            }
            let has: Vec<bool> = groups
                .iter()
                .map(|g| g.iter().any(|&p| self.bench.has(p)))
                .collect();
            if !has.contains(&true) {
                continue;
            }
            let lacking: Vec<&str> = groups
                .iter()
                .zip(&has)
                .filter(|(_, has)| !**has)
                .map(|(group, _)| group[0].name())
                .collect();
            let needs_refrigerant = formula.needs.contains("refrigerant");
            let because = if !lacking.is_empty() {
                format!("not measured: {}", lacking.join(", "))
            } else if needs_refrigerant && self.refrigerant.is_none() {
                "the refrigerant is not known".to_owned()
            } else if needs_refrigerant && !self.refused.is_empty() {
                self.refused.join("; ")
            } else {
                format!(
                    "the readings are not of one moment (same visit, no work between, within {} minutes)",
                    super::WINDOW_MINUTES
                )
            };
            self.out.missing.push(Missing { formula, because });
        }
    }
}
