//! The energy balance of one cycle: effect, work, efficiency, expected discharge temperature, flash
//! gas, limits of the liquid line, heat rejected, COP.

use super::cycle::formulas;
use super::state_points::{MeasuredCycle, StatePoint, Station};
use super::{Derived, Formula, Input, Value};
use crate::model::Unit;
use crate::quantity::{AbsolutePressure, Percent, SpecificEnthalpy, Temperature};
use crate::refrigerant::{Region, State};

pub(super) const CYCLE: &str = "vapor-compression cycle, textbook definition; enthalpy and entropy from the \
     equations of state CoolProp 8.0.0 carries";
const SOUND_BAND: &str = "a sound compressor turns ideal work into gas heat at 55 to 80 % efficiency, the \
     heat its shell gives off counted in: common practice, no source";
formulas! {
    EFFECT "refrigerating-effect" "refrigerating effect" "h evaporator out − h after expansion" CYCLE, "suction pressure, suction line and liquid line temperature, liquid or discharge pressure, and the refrigerant";
    WORK "compression-work" "compression work" "h discharge − h compressor in" CYCLE, "suction and discharge pressure, suction line and discharge line temperature, and the refrigerant";
    IDEAL_DISCHARGE "ideal-discharge-temperature" "ideal discharge temperature" "T(p discharge, s compressor in)" CYCLE, "suction and discharge pressure, suction line temperature and the refrigerant";
    EXPECTED_DISCHARGE "expected-discharge-temperature" "expected discharge temperature" "T(p discharge, h compressor in + ideal work ÷ efficiency)" SOUND_BAND, "suction and discharge pressure, suction line temperature and the refrigerant";
    EFFICIENCY "isentropic-efficiency" "compression efficiency" "ideal work ÷ measured work" CYCLE, "suction and discharge pressure, suction line and discharge line temperature, and the refrigerant";
    FLASH_GAS "flash-gas" "flash gas" "(h before expansion − h liquid) ÷ (h vapor − h liquid) at p suction" CYCLE, "suction pressure, liquid or discharge pressure, liquid line temperature and the refrigerant";
    FLASH_TEMPERATURE "liquid-flash-temperature" "liquid may warm to" "T bubble(p liquid), where it flashes" CYCLE, "liquid or discharge pressure, liquid line temperature and the refrigerant";
    FLASH_DROP "liquid-flash-drop" "liquid may lose" "p liquid − p bubble(T liquid line), where it flashes" CYCLE, "liquid or discharge pressure, liquid line temperature and the refrigerant";
    COP "cop" "cycle COP" "refrigerating effect ÷ compression work" CYCLE, "suction and discharge pressure, suction, discharge and liquid line temperature, and the refrigerant";
    REJECTED "heat-rejected" "heat rejected" "h discharge − h condenser out (or before expansion)" CYCLE, "discharge pressure, discharge line and condenser outlet or liquid line temperature, and the refrigerant";
}

/// What part of the ideal work a sound compressor turns into gas temperature: its isentropic
/// efficiency, with the heat its shell and line give off counted in. Common practice, no source.
const SOUND: (f64, f64) = (0.55, 0.80);
/// Above this the discharge line does not belong to the compression it is read for; a little over
/// one is heat lost before the clamp. Common practice, no source.
const MOST_EFFICIENCY: f64 = 1.05;
/// Liquid below this share of a supercritical discharge pressure comes from a receiver. Common
/// practice, no source.
const BYPASSED: f64 = 0.9;
/// The balance of one cycle while it is drawn up.
pub(super) struct Balance<'b> {
    pub(super) cycle: &'b MeasuredCycle,
    pub(super) unit: &'b Unit,
    /// The end of compression without losses.
    ideal: Option<State>,
    /// The compressor's outlet, unless it cannot be the end of this compression.
    pub(super) outlet: Option<&'b StatePoint>,
    pub(super) out: Vec<Derived>,
    pub(super) withheld: Vec<(&'static str, String)>,
}

impl<'b> Balance<'b> {
    pub(super) fn new(cycle: &'b MeasuredCycle, unit: &'b Unit) -> Self {
        let mut balance = Self {
            cycle,
            unit,
            ideal: None,
            outlet: cycle.at(Station::Discharge),
            out: Vec::new(),
            withheld: Vec::new(),
        };
        let (Some(inlet), Some(high)) = (cycle.at(Station::CompressorIn), cycle.high) else {
            return balance;
        };
        let ideal = cycle.refrigerant.at_entropy(high, inlet.state.entropy);
        balance.ideal = ideal.ok();
        if let (Some(ideal), Some(outlet)) = (&balance.ideal, balance.outlet) {
            let (least, work) = (rise(&inlet.state, ideal), rise(&inlet.state, &outlet.state));
            if work * MOST_EFFICIENCY < least {
                balance.outlet = None;
                balance.withhold(
                    &EFFICIENCY,
                    "the discharge line is colder than compression without any loss leaves the \
                     gas: a probe, another circuit, liquid coming back, or a cooled compressor; \
                     nothing is computed from it",
                );
            }
        }
        balance
    }

    pub(super) fn withhold(&mut self, formula: &'static Formula, why: &str) {
        self.withheld.push((formula.name, why.to_owned()));
    }

    pub(super) fn push(
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
    pub(super) fn push_high(
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

    /// What the liquid line may lose before it flashes.
    pub(super) fn liquid_line(&mut self) {
        let Some(before) = self.cycle.at(Station::BeforeExpansion) else {
            return;
        };
        if before.state.region != Region::Liquid {
            return;
        }
        let refrigerant = self.cycle.refrigerant;
        let (pressure, temperature) = (before.state.pressure, before.state.temperature);
        if let Ok(bubble) = refrigerant.bubble_temperature(pressure) {
            let value = Value::Temperature(bubble);
            self.push(&FLASH_TEMPERATURE, value, &[before], &[]);
        }
        if let Ok(bubble) = refrigerant.bubble_pressure(temperature) {
            let spare = (pressure.pascal() - bubble.pascal()).max(0.0);
            let spare = Value::PressureChange(AbsolutePressure::from_pascal(spare));
            self.push(&FLASH_DROP, spare, &[before], &[]);
        }
    }

    /// What a mass of refrigerant takes up in the evaporator.
    pub(super) fn evaporator(&mut self) {
        let cycle = self.cycle;
        let Some(after) = cycle.at(Station::AfterExpansion) else {
            return;
        };
        if let Region::TwoPhase(share) = after.state.region {
            let straight: &[&str] = if cycle.refrigerant.has_glide() {
                &[
                    "share of vapor taken as straight in enthalpy across the glide: up to six points off for the widest glides",
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

    /// The evaporator's outlet, or the compressor's inlet where the former was not read at all, and
    /// the state after expansion.
    pub(super) fn effect_points(&self) -> Vec<&'b StatePoint> {
        let cycle = self.cycle;
        let name = Station::EvaporatorOut.name();
        let is_refused = cycle.refused.iter().any(|(what, _)| *what == name);
        let outlet = cycle.at(Station::EvaporatorOut);
        let inlet = cycle.at(Station::CompressorIn).filter(|_| !is_refused);
        let after = cycle.at(Station::AfterExpansion);
        outlet.or(inlet).into_iter().chain(after).collect()
    }

    /// J/kg.
    pub(super) fn effect(&self) -> Option<f64> {
        match self.effect_points()[..] {
            [out, after] => Some(rise(&after.state, &out.state)),
            _ => None,
        }
    }

    /// Compression.
    pub(super) fn compressor(&mut self) {
        let cycle = self.cycle;
        let (Some(inlet), Some(high), Some(ideal)) =
            (cycle.at(Station::CompressorIn), cycle.high, self.ideal)
        else {
            return;
        };
        let least = rise(&inlet.state, &ideal);
        if !matches!(ideal.region, Region::TwoPhase(_)) {
            let temperature = Value::Temperature(ideal.temperature);
            self.push_high(&IDEAL_DISCHARGE, temperature, &[inlet], &[]);
            let at = |rise| self.discharge_at(high, &inlet.state, rise);
            if let (Some(cool), Some(hot)) = (at(least / SOUND.1), at(least / SOUND.0)) {
                let band = Value::TemperatureBand(cool, hot);
                let note = "measured within a foot of the compressor; liquid injection or a \
                     cooled head make it lower";
                self.push_high(&EXPECTED_DISCHARGE, band, &[inlet], &[note]);
            }
        }
        let Some(outlet) = self.outlet else {
            return;
        };
        let work = rise(&inlet.state, &outlet.state);
        let heat = "heat given off by shell and discharge line counts as work not done: \
             efficiency looks better, work smaller than it is";
        self.push(&WORK, enthalpy(work), &[inlet, outlet], &[heat]);
        let efficiency = Value::Percent(Percent::from_percent(100.0 * least / work));
        self.push(&EFFICIENCY, efficiency, &[inlet, outlet], &[heat]);
        let Some(effect) = self.effect() else {
            return;
        };
        if self.is_bypassed() {
            self.withhold(
                &COP,
                "the liquid is far below discharge pressure: what flashes before it does not pass \
                 the evaporator, and how much that is was not measured",
            );
            return;
        }
        let mut from = self.effect_points();
        from.push(outlet);
        let fans = "fans and other loads not counted";
        self.push(&COP, Value::Ratio(effect / work), &from, &[heat, fans]);
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

    /// Behind a gas cooler with a receiver part of the gas goes back without passing the
    /// evaporator: a kilogram compressed is not a kilogram evaporated.
    pub(super) fn is_bypassed(&self) -> bool {
        let cycle = self.cycle;
        let before = cycle.at(Station::BeforeExpansion);
        match (cycle.high, before) {
            (Some(high), Some(before)) => {
                cycle.refrigerant.is_supercritical(high)
                    && before.state.pressure.pascal() < BYPASSED * high.pascal()
            }
            _ => false,
        }
    }

    pub(super) fn condenser(&mut self) {
        if let (Some(outlet), Some(end)) = (self.outlet, self.condensed()) {
            let heat = rise(&end.state, &outlet.state);
            self.push(&REJECTED, enthalpy(heat), &[outlet, end], &[]);
        }
    }

    /// Where condenser or gas cooler end: their outlet, or the liquid line where that was not read.
    pub(super) fn condensed(&self) -> Option<&'b StatePoint> {
        let liquid = self.cycle.at(Station::BeforeExpansion);
        let liquid = liquid.filter(|_| !self.is_bypassed());
        self.cycle.at(Station::CondenserOut).or(liquid)
    }
}

/// h of the second less h of the first, J/kg.
pub(super) fn rise(from: &State, to: &State) -> f64 {
    to.enthalpy.joule_per_kilogram() - from.enthalpy.joule_per_kilogram()
}

fn enthalpy(joule_per_kilogram: f64) -> Value {
    Value::EnthalpyDifference(SpecificEnthalpy::from_joule_per_kilogram(
        joule_per_kilogram,
    ))
}
