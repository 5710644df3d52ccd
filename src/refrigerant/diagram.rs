//! The pressure–enthalpy diagram of a refrigerant, as curves ready for plotting.

use super::{Refrigerant, State};
use crate::quantity::{AbsolutePressure, SpecificEntropy, Temperature};
use serde::Serialize;

/// Points along each side of the dome.
const DOME_POINTS: usize = 60;
/// Points along an isotherm or an isentrope in each region it crosses.
const CURVE_POINTS: usize = 24;

/// A curve of the diagram: enthalpy in J/kg and absolute pressure in Pa, in order.
pub type Curve = Vec<(f64, f64)>;

/// A curve and the value that holds along it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// K of an isotherm, J/(kg K) of an isentrope.
    pub value: f64,
    /// From high to low pressure.
    pub curve: Curve,
}

/// Everything under a cycle's points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PressureEnthalpy {
    /// Saturated liquid, from low pressure to high.
    pub bubble: Curve,
    /// Saturated vapour, from low pressure to high.
    pub dew: Curve,
    /// Lines of one temperature, coldest first; across the dome of a blend they slope by its glide.
    pub isotherms: Vec<Line>,
    /// Lines of one entropy in the vapour, smallest first.
    pub isentropes: Vec<Line>,
}

impl Refrigerant {
    /// The diagram between two pressures, with isotherms and isentropes at the values asked for.
    /// Pressures outside the saturation line are drawn as far as it reaches; a line with no point
    /// in range is left out.
    pub fn pressure_enthalpy(
        &self,
        low: AbsolutePressure,
        high: AbsolutePressure,
        temperatures: &[Temperature],
        entropies: &[SpecificEntropy],
    ) -> PressureEnthalpy {
        let top = high.pascal().min(self.highest_saturation().pascal());
        let dome = |state: fn(&Self, AbsolutePressure) -> Result<State, super::NoState>| -> Curve {
            spread(low.pascal(), top, DOME_POINTS)
                .filter_map(|p| state(self, AbsolutePressure::from_pascal(p)).ok())
                .map(|s| at(&s))
                .collect()
        };
        let lines = |curves: Vec<(f64, Curve)>| {
            let kept = curves.into_iter().filter(|(_, curve)| curve.len() > 1);
            kept.map(|(value, curve)| Line { value, curve }).collect()
        };
        PressureEnthalpy {
            bubble: dome(Self::saturated_liquid),
            dew: dome(Self::saturated_vapour),
            isotherms: lines(
                temperatures
                    .iter()
                    .map(|&t| (t.kelvin(), self.isotherm(t, low.pascal(), high.pascal())))
                    .collect(),
            ),
            isentropes: lines(
                entropies
                    .iter()
                    .map(|&s| {
                        let value = s.joule_per_kilogram_kelvin();
                        (value, self.isentrope(s, low.pascal(), high.pascal()))
                    })
                    .collect(),
            ),
        }
    }

    /// Through compressed liquid, straight across the dome, through vapour.
    fn isotherm(&self, temperature: Temperature, low: f64, high: f64) -> Curve {
        let (bubble, dew) = match (
            self.bubble_pressure(temperature),
            self.dew_pressure(temperature),
        ) {
            (Ok(bubble), Ok(dew)) => (bubble.pascal(), dew.pascal()),
            // Above the critical temperature there is no dome to cross.
            _ => (low, high),
        };
        let mut curve: Curve = Vec::new();
        if bubble < high && dew < high {
            let liquid = spread(high, bubble.max(low), CURVE_POINTS);
            curve.extend(liquid.filter_map(|p| {
                let state = self
                    .liquid(AbsolutePressure::from_pascal(p), temperature)
                    .ok()?;
                Some(at(&state))
            }));
        }
        if dew > low {
            let vapour = spread(dew.min(high), low, CURVE_POINTS);
            curve.extend(vapour.filter_map(|p| {
                let state = self
                    .vapour(AbsolutePressure::from_pascal(p), temperature)
                    .ok()?;
                Some(at(&state))
            }));
        }
        curve
    }

    fn isentrope(&self, entropy: SpecificEntropy, low: f64, high: f64) -> Curve {
        spread(high, low, CURVE_POINTS)
            .filter_map(|p| {
                self.at_entropy(AbsolutePressure::from_pascal(p), entropy)
                    .ok()
            })
            .map(|state| at(&state))
            .collect()
    }
}

fn at(state: &State) -> (f64, f64) {
    (state.enthalpy.joule_per_kilogram(), state.pressure.pascal())
}

/// Pressures evenly spread on a logarithmic axis, both ends included.
fn spread(from: f64, to: f64, count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| {
        // The ends exactly: the last of a saturation line is inside it by a hair.
        match i {
            0 => from,
            i if i == count - 1 => to,
            i => from * (to / from).powf(i as f64 / (count - 1) as f64),
        }
    })
}
