//! What the state points say: effect, work, efficiency, expected discharge temperature, flash gas,
//! limits of the liquid line, mass flow, capacity, heat rejected, COP.

use super::cycle::formulas;
use super::pairing::Bench;
use super::state_points::{MeasuredCycle, StatePoint, Station, cycles};
use super::{Derived, Formula, Input, Missing, Value};
use crate::model::{Job, RatedSuction, RatingPolynomial, Unit};
use crate::quantity::{
    AbsolutePressure, Density, MassFlow, Percent, Power, SpecificEnthalpy, Temperature,
};
use crate::refrigerant::{Region, State};
use crate::vocabulary::Point;

const CYCLE: &str = "vapour-compression cycle, textbook definition; enthalpy and entropy from the \
     equations of state CoolProp 8.0.0 carries";
const POLYNOMIAL: &str = "AHRI Standard 540, ten coefficients (form from memory); corrected to the \
     measured suction gas by three quarters of its change of density (Dabiri and Rice 1981, from memory)";

formulas! {
    EFFECT "refrigerating-effect" "refrigerating effect" "h evaporator out − h after expansion" CYCLE, "suction and discharge pressure, suction line and liquid line temperature, and the refrigerant";
    WORK "compression-work" "compression work" "h discharge − h compressor in" CYCLE, "suction and discharge pressure, suction line and discharge line temperature, and the refrigerant";
    IDEAL_DISCHARGE "ideal-discharge-temperature" "ideal discharge temperature" "T(p discharge, s compressor in)" CYCLE, "suction and discharge pressure, suction line temperature and the refrigerant";
    EXPECTED_DISCHARGE "expected-discharge-temperature" "expected discharge temperature" "T(p discharge, h compressor in + ideal work ÷ efficiency)" "a sound compressor turns ideal work into gas heat at 55 to 80 % efficiency, the heat its shell gives off counted in: common practice, no source", "suction and discharge pressure, suction line temperature and the refrigerant";
    EFFICIENCY "isentropic-efficiency" "compression efficiency" "ideal work ÷ measured work" CYCLE, "suction and discharge pressure, suction line and discharge line temperature, and the refrigerant";
    FLASH_GAS "flash-gas" "flash gas" "(h before expansion − h liquid) ÷ (h vapor − h liquid) at p suction" CYCLE, "suction and discharge pressure, liquid line temperature and the refrigerant";
    FLASH_TEMPERATURE "liquid-flash-temperature" "liquid may warm to" "T bubble(p liquid), where it flashes" CYCLE, "liquid or discharge pressure, liquid line temperature and the refrigerant";
    FLASH_DROP "liquid-flash-drop" "liquid may lose" "p liquid − p bubble(T liquid line), where it flashes" CYCLE, "liquid or discharge pressure, liquid line temperature and the refrigerant";
    COP "cop" "cycle COP" "refrigerating effect ÷ compression work" CYCLE, "suction and discharge pressure, suction, discharge and liquid line temperature, and the refrigerant";
    REJECTED "heat-rejected" "heat rejected" "h discharge − h before expansion" CYCLE, "suction and discharge pressure, discharge and liquid line temperature, and the refrigerant";
    SWEPT_FLOW "mass-flow-swept" "mass flow, swept" "displacement × density compressor in × volumetric efficiency" "volumetric efficiency 1.0 − 0.05 ((p discharge ÷ p suction)^(1/1.1) − 1), at least 0.3: common practice, no source", "displacement, suction and discharge pressure, suction line temperature and the refrigerant";
    RATED_FLOW "mass-flow-rated" "mass flow, rated" "ten-coefficient polynomial (T dew suction, T dew discharge)" POLYNOMIAL, "mass flow coefficients, suction and discharge pressure, suction line temperature and the refrigerant";
    RATED_POWER "power-rated" "power, rated" "ten-coefficient polynomial (T dew suction, T dew discharge)" "AHRI Standard 540, ten coefficients (form from memory)", "power coefficients, suction and discharge pressure and the refrigerant";
    CAPACITY "capacity" "cooling capacity" "mass flow × refrigerating effect" CYCLE, "mass flow and refrigerating effect";
    REJECTION "heat-rejection" "heat rejection" "mass flow × (h discharge − h before expansion)" CYCLE, "mass flow, discharge and liquid line temperature";
}

/// What part of the ideal work a sound compressor turns into gas temperature: its isentropic
/// efficiency, with the heat its shell and line give off counted in. Common practice, no source.
const SOUND: (f64, f64) = (0.55, 0.80);
/// Clearance of the swept-volume estimate and exponent of its re-expansion. Common practice, no
/// source.
const CLEARANCE: f64 = 0.05;
const REEXPANSION: f64 = 1.1;
const LEAST_VOLUMETRIC: f64 = 0.3;
/// Share of a change in suction density that shows in mass flow: Dabiri and Rice, ASHRAE
/// Transactions 87 (1981), from memory.
const DENSITY_SHARE: f64 = 0.75;
/// The suction gas taken where the ratings do not say: AHRI 540's 20 °F of superheat, from memory.
const RATED_SUPERHEAT: f64 = 20.0;

/// The cycles of a job and what they say. Worked out only where it is shown: a cycle takes a
/// hundred times as long as a superheat.
#[derive(Debug, Default)]
pub struct Energy {
    /// State points and values, a cycle a suction reading.
    pub cycles: Vec<MeasuredCycle>,
    /// What could not be derived.
    pub missing: Vec<Missing>,
}

impl Energy {
    /// All that the job's readings allow.
    pub fn of(job: &Job, bench: &Bench<'_>) -> Self {
        let mut cycles = cycles(job.unit.refrigerant.map(|r| r.node), bench);
        for cycle in &mut cycles {
            let mut balance = Balance {
                cycle,
                unit: &job.unit,
                out: Vec::new(),
            };
            balance.liquid_line();
            balance.evaporator();
            balance.compressor();
            balance.flow();
            cycle.values = balance.out;
        }
        let missing = missing(&job.unit, &cycles, bench);
        Self { cycles, missing }
    }

    /// Every value, in order of the note.
    pub fn values(&self) -> impl Iterator<Item = &Derived> {
        self.cycles.iter().flat_map(|cycle| &cycle.values)
    }
}

struct Balance<'b> {
    cycle: &'b MeasuredCycle,
    unit: &'b Unit,
    out: Vec<Derived>,
}

impl<'b> Balance<'b> {
    fn push(
        &mut self,
        formula: &'static Formula,
        value: Value,
        from: &[&StatePoint],
        more: &[&str],
    ) {
        let mut inputs: Vec<Input> = Vec::new();
        let mut assumptions: Vec<String> = Vec::new();
        for point in from {
            for input in &point.inputs {
                if !inputs.contains(input) {
                    inputs.push(input.clone());
                }
            }
            for assumption in &point.assumptions {
                if !assumptions.contains(assumption) {
                    assumptions.push(assumption.clone());
                }
            }
        }
        assumptions.extend(more.iter().map(|&a| a.to_owned()));
        let cycle = self.cycle;
        self.out.push(Derived {
            formula,
            which: cycle.which.clone(),
            value,
            inputs,
            assumptions,
            resolution: None,
            at: cycle.at,
            visit: cycle.visit,
            phase: cycle.phase,
        });
    }

    /// As [`Balance::push`], of a value that rests on the discharge pressure too.
    fn push_high(
        &mut self,
        formula: &'static Formula,
        value: Value,
        from: &[&StatePoint],
        more: &[&str],
    ) {
        self.push(formula, value, from, more);
        if let (Some(discharge), Some(last)) = (&self.cycle.discharge, self.out.last_mut())
            && !last.inputs.contains(discharge)
        {
            last.inputs.push(discharge.clone());
        }
    }

    /// Compression.
    fn compressor(&mut self) {
        let cycle = self.cycle;
        let (Some(inlet), Some(high)) = (cycle.at(Station::CompressorIn), cycle.high) else {
            return;
        };
        let Ok(ideal) = cycle.refrigerant.at_entropy(high, inlet.state.entropy) else {
            return;
        };
        let least = rise(&inlet.state, &ideal);
        let is_wet = matches!(ideal.region, Region::TwoPhase(_));
        if !is_wet {
            let temperature = Value::Temperature(ideal.temperature);
            self.push_high(&IDEAL_DISCHARGE, temperature, &[inlet], &[]);
            if let (Some(cool), Some(hot)) = (
                self.discharge_at(high, &inlet.state, least / SOUND.1),
                self.discharge_at(high, &inlet.state, least / SOUND.0),
            ) {
                let band = Value::TemperatureBand(cool, hot);
                let note = "measured within a foot of the compressor; liquid injection or a \
                     cooled head make it lower";
                self.push_high(&EXPECTED_DISCHARGE, band, &[inlet], &[note]);
            }
        }
        let Some(outlet) = cycle.at(Station::Discharge) else {
            return;
        };
        let work = rise(&inlet.state, &outlet.state);
        let heat = "heat given off by shell and discharge line counts as work not done: \
             efficiency looks better, work smaller than it is";
        self.push(&WORK, enthalpy(work), &[inlet, outlet], &[heat]);
        if work > 0.0 && least > 0.0 {
            let efficiency = Value::Percent(Percent::from_percent(100.0 * least / work));
            self.push(&EFFICIENCY, efficiency, &[inlet, outlet], &[heat]);
        }
        if let (Some(effect), true) = (self.effect(), work > 0.0) {
            let mut from = self.effect_points();
            from.push(outlet);
            self.push(
                &COP,
                Value::Ratio(effect / work),
                &from,
                &[heat, "fans and other loads not counted"],
            );
        }
    }

    fn discharge_at(
        &self,
        high: AbsolutePressure,
        inlet: &State,
        rise: f64,
    ) -> Option<Temperature> {
        let enthalpy = inlet.enthalpy.joule_per_kilogram() + rise;
        self.cycle
            .refrigerant
            .at_enthalpy(high, SpecificEnthalpy::from_joule_per_kilogram(enthalpy))
            .ok()
            .map(|state| state.temperature)
    }

    fn effect_points(&self) -> Vec<&'b StatePoint> {
        let cycle = self.cycle;
        [Station::EvaporatorOut, Station::CompressorIn]
            .iter()
            .find_map(|&station| cycle.at(station))
            .into_iter()
            .chain(cycle.at(Station::AfterExpansion))
            .collect()
    }

    /// J/kg; from the evaporator's outlet, or from the compressor's inlet where only that was read.
    fn effect(&self) -> Option<f64> {
        match self.effect_points()[..] {
            [out, after] => Some(rise(&after.state, &out.state)),
            _ => None,
        }
    }

    /// What the liquid line may lose, and what the condenser gave off.
    fn liquid_line(&mut self) {
        let cycle = self.cycle;
        let Some(before) = cycle.at(Station::BeforeExpansion) else {
            return;
        };
        let refrigerant = cycle.refrigerant;
        let (pressure, temperature) = (before.state.pressure, before.state.temperature);
        if before.state.region == Region::Liquid {
            if let Ok(bubble) = refrigerant.bubble_temperature(pressure) {
                self.push(
                    &FLASH_TEMPERATURE,
                    Value::Temperature(bubble),
                    &[before],
                    &[],
                );
            }
            if let Ok(bubble) = refrigerant.bubble_pressure(temperature) {
                let spare = (pressure.pascal() - bubble.pascal()).max(0.0);
                let spare = Value::PressureChange(AbsolutePressure::from_pascal(spare));
                self.push(&FLASH_DROP, spare, &[before], &[]);
            }
        }
        if let Some(outlet) = cycle.at(Station::Discharge) {
            let heat = rise(&before.state, &outlet.state);
            self.push(&REJECTED, enthalpy(heat), &[outlet, before], &[]);
        }
    }

    /// What a mass of refrigerant takes up in the evaporator.
    fn evaporator(&mut self) {
        let cycle = self.cycle;
        let refrigerant = cycle.refrigerant;
        let Some(after) = cycle.at(Station::AfterExpansion) else {
            return;
        };
        if let Region::TwoPhase(share) = after.state.region {
            let straight: &[&str] = if refrigerant.has_glide() {
                &[
                    "share of vapor taken as straight in enthalpy across the glide: one to six points off, the more the wider the glide",
                ]
            } else {
                &[]
            };
            let share = Value::Percent(Percent::from_percent(100.0 * share));
            self.push(&FLASH_GAS, share, &[after], straight);
        }
        if let Some(effect) = self.effect() {
            let from = self.effect_points();
            let at_compressor: &[&str] = if cycle.at(Station::EvaporatorOut).is_some() {
                &[]
            } else {
                &[
                    "compressor inlet taken for the evaporator outlet: heat picked up by the suction line counts as cooling",
                ]
            };
            self.push(&EFFECT, enthalpy(effect), &from, at_compressor);
        }
    }

    /// Mass flow and what follows from it, from displacement or from published ratings.
    fn flow(&mut self) {
        let cycle = self.cycle;
        let (Some(inlet), Some(high)) = (cycle.at(Station::CompressorIn), cycle.high) else {
            self.rated_power();
            return;
        };
        if let Some(displacement) = self.unit.swept() {
            let ratio = high.pascal() / cycle.low.pascal();
            let volumetric =
                (1.0 - CLEARANCE * (ratio.powf(1.0 / REEXPANSION) - 1.0)).max(LEAST_VOLUMETRIC);
            let density = inlet.state.density.kilogram_per_cubic_metre();
            let flow = displacement.cubic_metre_per_second() * density * volumetric;
            let assumed = format!(
                "volumetric efficiency {volumetric:.2}, estimated: the flow may be a tenth off, more for a worn compressor"
            );
            self.flow_values(&SWEPT_FLOW, flow, inlet, &assumed);
        }
        if let Some(rating) = &self.unit.mass_flow_rating
            && let Some((flow, assumed)) = self.rated_flow(rating, &inlet.state, high)
        {
            self.flow_values(&RATED_FLOW, flow, inlet, &assumed);
        }
        self.rated_power();
    }

    fn flow_values(
        &mut self,
        formula: &'static Formula,
        flow: f64,
        inlet: &StatePoint,
        assumed: &str,
    ) {
        let value = Value::MassFlow(MassFlow::from_kilogram_per_second(flow));
        self.push_high(formula, value, &[inlet], &[assumed]);
        let basis = format!("{} as computed: {assumed}", formula.name);
        if let Some(effect) = self.effect() {
            let mut from = self.effect_points();
            from.push(inlet);
            self.push(
                &CAPACITY,
                Value::Heat(Power::from_watt(flow * effect)),
                &from,
                &[&basis],
            );
        }
        let cycle = self.cycle;
        if let (Some(outlet), Some(before)) = (
            cycle.at(Station::Discharge),
            cycle.at(Station::BeforeExpansion),
        ) {
            let heat = flow * rise(&before.state, &outlet.state);
            let value = Value::Heat(Power::from_watt(heat));
            self.push(&REJECTION, value, &[outlet, before], &[&basis]);
        }
    }

    /// kg/s, and what was assumed.
    fn rated_flow(
        &self,
        rating: &RatingPolynomial,
        inlet: &State,
        high: AbsolutePressure,
    ) -> Option<(f64, String)> {
        let refrigerant = self.cycle.refrigerant;
        let (low, dew) = (
            self.cycle.low,
            refrigerant.dew_temperature(self.cycle.low).ok()?,
        );
        let rated = rating.at(dew, refrigerant.dew_temperature(high).ok()?);
        let (gas, said) = match rating.suction {
            Some(RatedSuction::ReturnGas(gas)) => (gas, String::new()),
            Some(RatedSuction::Superheat(superheat)) => (
                Temperature::from_kelvin(dew.kelvin() + superheat.kelvin()),
                String::new(),
            ),
            None => (
                Temperature::from_kelvin(dew.kelvin() + RATED_SUPERHEAT * 5.0 / 9.0),
                format!(", ratings taken to hold at {RATED_SUPERHEAT:.0} F of superheat"),
            ),
        };
        let at_rating = refrigerant.vapour(low, gas).ok()?.density;
        let ratio =
            |a: Density, b: Density| a.kilogram_per_cubic_metre() / b.kilogram_per_cubic_metre();
        let correction = 1.0 + DENSITY_SHARE * (ratio(inlet.density, at_rating) - 1.0);
        let assumed =
            format!("suction gas density corrects the rated flow by {correction:.3}{said}");
        (rated > 0.0).then_some((rated * correction, assumed))
    }

    fn rated_power(&mut self) {
        let cycle = self.cycle;
        let refrigerant = cycle.refrigerant;
        if let Some(rating) = &self.unit.power_rating
            && let (Ok(low), Some(Ok(high))) = (
                refrigerant.dew_temperature(cycle.low),
                cycle.high.map(|p| refrigerant.dew_temperature(p)),
            )
        {
            let power = rating.at(low, high);
            if power > 0.0 {
                self.push_high(
                    &RATED_POWER,
                    Value::Power(Power::from_watt(power)),
                    &[],
                    &[],
                );
                if let Some(last) = self.out.last_mut() {
                    last.inputs.insert(0, cycle.suction.clone());
                }
            }
        }
    }
}

/// h of the second less h of the first, J/kg.
fn rise(from: &State, to: &State) -> f64 {
    to.enthalpy.joule_per_kilogram() - from.enthalpy.joule_per_kilogram()
}

fn enthalpy(joule_per_kilogram: f64) -> Value {
    Value::EnthalpyDifference(SpecificEnthalpy::from_joule_per_kilogram(
        joule_per_kilogram,
    ))
}

/// One line for what the energy values lack, where a cycle was begun: each of a dozen formulas
/// would say the same.
fn missing(unit: &Unit, cycles: &[MeasuredCycle], bench: &Bench<'_>) -> Vec<Missing> {
    let mut values = cycles.iter().flat_map(|cycle| &cycle.values);
    if cycles.is_empty() || values.any(|d| d.formula.id == EFFECT.id) {
        return Vec::new();
    }
    let refused = cycles
        .iter()
        .flat_map(|c| &c.refused)
        .map(|(station, why)| format!("{}: {why}", station.name()));
    let lacking = [
        (Point::Discharge, &[Point::Discharge][..]),
        (
            Point::SuctionLine,
            &[Point::SuctionLine, Point::CompressorInlet],
        ),
        (
            Point::LiquidLine,
            &[Point::LiquidLine, Point::CondenserOutlet],
        ),
    ]
    .into_iter()
    .filter(|(_, any)| !any.iter().any(|&p| bench.has(p)))
    .map(|(point, _)| point.name())
    .collect::<Vec<_>>();
    let mut because: Vec<String> = refused.collect();
    because.dedup();
    if !lacking.is_empty() {
        because.push(format!("not measured: {}", lacking.join(", ")));
    }
    if because.is_empty() {
        because.push("the readings are not of one moment".to_owned());
    }
    let mut missing = vec![Missing {
        formula: &EFFECT,
        because: because.join("; "),
    }];
    if unit.swept().is_some() || unit.mass_flow_rating.is_some() {
        missing.push(Missing {
            formula: &CAPACITY,
            because: format!("needs the {}", EFFECT.name),
        });
    }
    missing
}
