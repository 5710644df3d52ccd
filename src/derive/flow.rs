//! Mass flow, capacity and heat rejection, from displacement or from published ratings.

use super::Formula;
use super::Value;
use super::balance::{Balance, CYCLE, rise};
use super::cycle::formulas;
use super::state_points::{StatePoint, Station};
use crate::model::{RatedSuction, RatingPolynomial};
use crate::quantity::{AbsolutePressure, MassFlow, Power, Temperature};
use crate::refrigerant::State;

const POLYNOMIAL: &str = "AHRI Standard 540, ten coefficients (form from memory); corrected to the \
     measured suction gas by three quarters of its change of density (Dabiri and Rice 1981, from memory)";
const SWEPT: &str = "volumetric efficiency 1.0 − 0.05 ((p discharge ÷ p suction)^(1/1.1) − 1), as of a sound \
     reciprocating compressor: common practice, no source";

formulas! {
    SWEPT_FLOW "mass-flow-swept" "mass flow, swept" "displacement × density compressor in × volumetric efficiency" SWEPT, "displacement, suction and discharge pressure, suction line temperature and the refrigerant";
    SWEPT_CAPACITY "capacity-swept" "evaporator capacity, swept" "mass flow, swept × refrigerating effect" CYCLE, "displacement and refrigerating effect";
    SWEPT_REJECTION "heat-rejection-swept" "heat rejection, swept" "mass flow, swept × heat rejected" CYCLE, "displacement and heat rejected";
    RATED_FLOW "mass-flow-rated" "mass flow, rated" "ten-coefficient polynomial (T dew suction, T dew discharge)" POLYNOMIAL, "mass flow coefficients, suction and discharge pressure, suction line temperature and the refrigerant";
    RATED_CAPACITY "capacity-rated" "evaporator capacity, rated" "mass flow, rated × refrigerating effect" CYCLE, "mass flow coefficients and refrigerating effect";
    RATED_REJECTION "heat-rejection-rated" "heat rejection, rated" "mass flow, rated × heat rejected" CYCLE, "mass flow coefficients and heat rejected";
    RATED_POWER "power-rated" "power, rated" "ten-coefficient polynomial (T dew suction, T dew discharge)" "AHRI Standard 540, ten coefficients (form from memory)", "power coefficients, suction and discharge pressure and the refrigerant";
}

/// Clearance of the swept-volume estimate, exponent of its re-expansion, and the least it is used
/// for. Common practice, no source.
const CLEARANCE: f64 = 0.05;
const REEXPANSION: f64 = 1.1;
const LEAST_VOLUMETRIC: f64 = 0.3;
/// No single compressor moves so much, kg/s, or draws so much, W: a slipped coefficient. Common
/// practice, no source.
const MOST_FLOW: f64 = 30.0;
const MOST_POWER: f64 = 2e6;
/// Share of a change in suction density that shows in mass flow: Dabiri and Rice, ASHRAE
/// Transactions 87 (1981), from memory.
const DENSITY_SHARE: f64 = 0.75;
/// The superheat taken, K, where the ratings do not say: AHRI 540's 20 °F, from memory.
const RATED_SUPERHEAT: f64 = 20.0 / 1.8;

impl<'b> Balance<'b> {
    /// Mass flow and what follows from it, from displacement or from published ratings.
    pub(super) fn flow(&mut self) {
        self.rated_power();
        let cycle = self.cycle;
        let (Some(inlet), Some(high)) = (cycle.at(Station::CompressorIn), cycle.high) else {
            return;
        };
        self.swept_flow(inlet, high);
        let Some(rating) = &self.unit.mass_flow_rating else {
            return;
        };
        match self.rated_flow(rating, &inlet.state, high) {
            Some((flow, assumed)) => {
                let formulas = [&RATED_FLOW, &RATED_CAPACITY, &RATED_REJECTION];
                self.flow_values(formulas, flow, inlet, &assumed);
            }
            None => self.outside(&RATED_FLOW),
        }
    }

    fn swept_flow(&mut self, inlet: &'b StatePoint, high: AbsolutePressure) {
        let Some(displacement) = self.unit.swept() else {
            return;
        };
        let ratio = high.pascal() / self.cycle.low.pascal();
        let volumetric = 1.0 - CLEARANCE * (ratio.powf(1.0 / REEXPANSION) - 1.0);
        if volumetric < LEAST_VOLUMETRIC {
            let why = format!(
                "no volumetric efficiency is estimated at a compression ratio of {ratio:.0}"
            );
            self.withhold(&SWEPT_FLOW, &why);
            return;
        }
        let density = inlet.state.density.kilogram_per_cubic_metre();
        let flow = displacement.cubic_metre_per_second() * density * volumetric;
        let assumed = format!(
            "the displacement is that of this circuit's compressor at full speed and load; \
             volumetric efficiency {volumetric:.2}, as of a sound one (common practice, no source)"
        );
        let formulas = [&SWEPT_FLOW, &SWEPT_CAPACITY, &SWEPT_REJECTION];
        self.flow_values(formulas, flow, inlet, &assumed);
    }

    /// Flow, capacity and heat rejection.
    fn flow_values(
        &mut self,
        [flow_formula, capacity, rejection]: [&'static Formula; 3],
        flow: f64,
        inlet: &StatePoint,
        assumed: &str,
    ) {
        let value = Value::MassFlow(MassFlow::from_kilogram_per_second(flow));
        self.push_high(flow_formula, value, &[inlet], &[assumed]);
        if let Some(effect) = self.effect().filter(|_| !self.is_bypassed()) {
            let mut from = self.effect_points();
            from.push(inlet);
            let value = Value::Heat(Power::from_watt(flow * effect));
            self.push(capacity, value, &from, &[assumed]);
        }
        if let (Some(outlet), Some(end)) = (self.outlet, self.condensed()) {
            let heat = flow * rise(&end.state, &outlet.state);
            let value = Value::Heat(Power::from_watt(heat));
            self.push(rejection, value, &[outlet, end], &[assumed]);
        }
    }

    /// kg/s, and what was assumed; `None` where the polynomial gives nothing usable.
    fn rated_flow(
        &self,
        rating: &RatingPolynomial,
        inlet: &State,
        high: AbsolutePressure,
    ) -> Option<(f64, String)> {
        let refrigerant = self.cycle.refrigerant;
        let low = self.cycle.low;
        let dew = refrigerant.dew_temperature(low).ok()?;
        let rated = rating.at(dew, refrigerant.dew_temperature(high).ok()?);
        let superheated = |kelvin| Temperature::from_kelvin(dew.kelvin() + kelvin);
        let (gas, said) = match rating.suction {
            Some(RatedSuction::ReturnGas(gas)) => (gas, ""),
            Some(RatedSuction::Superheat(superheat)) => (superheated(superheat.kelvin()), ""),
            None => (
                superheated(RATED_SUPERHEAT),
                ", taken to hold at 20 F (11 K) of superheat",
            ),
        };
        let at_rating = refrigerant.vapour(low, gas).ok()?.density;
        let ratio = inlet.density.kilogram_per_cubic_metre() / at_rating.kilogram_per_cubic_metre();
        let correction = 1.0 + DENSITY_SHARE * (ratio - 1.0);
        let assumed = format!(
            "the coefficients are those of this circuit's compressor, inside their published \
             range{said}; suction gas density corrects the flow by {correction:.3}"
        );
        (rated > 0.0 && rated < MOST_FLOW).then_some((rated * correction, assumed))
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
            if !(power > 0.0 && power < MOST_POWER) {
                self.outside(&RATED_POWER);
                return;
            }
            let value = Value::Power(Power::from_watt(power));
            self.push_high(&RATED_POWER, value, &[], &[]);
            if let Some(last) = self.out.last_mut() {
                last.inputs.insert(0, cycle.suction.clone());
            }
        }
    }

    fn outside(&mut self, formula: &'static Formula) {
        self.withhold(
            formula,
            "the coefficients give nothing usable at these temperatures: outside the range they \
             were published for, or mistyped",
        );
    }
}
