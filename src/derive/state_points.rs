//! The state points of the refrigerant cycle, from the readings of one moment.

use super::pairing::{Bench, Moment, WINDOW_MINUTES, temperature};
use super::{Derived, Input};
use crate::model::{Minutes, Reading};
use crate::quantity::{AbsolutePressure, Temperature, TemperatureDifference};
use crate::refrigerant::{NoState, Refrigerant, State};
use crate::vocabulary::Point;
use serde::Serialize;

/// A liquid read this little above its bubble point, or a vapour this little below its dew point,
/// is put on the line: a clamp thermometer and a gauge are no finer together (1 °F). Common
/// practice, no source.
const INSTRUMENTS: TemperatureDifference = TemperatureDifference::from_kelvin(5.0 / 9.0);

/// Where in the cycle a state is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Station {
    /// Vapour leaving the evaporator.
    EvaporatorOut,
    /// Vapour entering the compressor.
    CompressorIn,
    /// Gas leaving the compressor.
    Discharge,
    /// Liquid leaving the condenser, or dense gas leaving a gas cooler.
    CondenserOut,
    /// Liquid before the expansion device.
    BeforeExpansion,
    /// Liquid and flash gas after it.
    AfterExpansion,
}

impl Station {
    /// As the trade says it.
    pub fn name(self) -> &'static str {
        match self {
            Self::EvaporatorOut => "evaporator out",
            Self::CompressorIn => "compressor in",
            Self::Discharge => "compressor out",
            Self::CondenserOut => "condenser out",
            Self::BeforeExpansion => "before expansion",
            Self::AfterExpansion => "after expansion",
        }
    }
}

/// One state of the cycle and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct StatePoint {
    /// Where.
    pub station: Station,
    /// The state.
    pub state: State,
    /// Readings it rests on.
    pub inputs: Vec<Input>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// The cycle of one moment, as far as its readings go.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredCycle {
    /// What runs in it.
    pub refrigerant: &'static Refrigerant,
    /// The suction pressure the moment is counted from.
    pub suction: Input,
    /// The discharge pressure of that moment.
    pub discharge: Option<Input>,
    /// Its circuit, when that has a name.
    pub which: Option<String>,
    /// When.
    pub at: Option<Minutes>,
    /// Index of the visit.
    pub visit: usize,
    /// Phase of the job.
    pub phase: u32,
    /// Absolute suction pressure.
    pub low: AbsolutePressure,
    /// Absolute discharge pressure.
    pub high: Option<AbsolutePressure>,
    /// States, in the order of flow.
    pub points: Vec<StatePoint>,
    /// What its readings should have given and do not, each with the reason.
    pub refused: Vec<(&'static str, String)>,
    /// What follows from the states.
    pub values: Vec<Derived>,
}

impl MeasuredCycle {
    /// The state at a station.
    pub fn at(&self, station: Station) -> Option<&StatePoint> {
        self.points.iter().find(|p| p.station == station)
    }
}

/// The cycles of a job: one a suction reading.
pub(super) fn cycles(
    refrigerant: Option<&'static Refrigerant>,
    bench: &Bench<'_>,
) -> Vec<MeasuredCycle> {
    let Some(refrigerant) = refrigerant else {
        return Vec::new();
    };
    bench
        .at(Point::Suction)
        .filter_map(|suction| cycle(refrigerant, bench, suction))
        .collect()
}

fn cycle(
    refrigerant: &'static Refrigerant,
    bench: &Bench<'_>,
    suction: &Reading,
) -> Option<MeasuredCycle> {
    let low = bench.pressure(suction).filter(|p| p.pascal() > 0.0)?;
    let moment = Moment::of(suction);
    // Pressures at rest or in defrost are no cycle.
    if bench.ran(&moment) == Some(false) || bench.in_defrost(&moment) {
        return None;
    }
    let discharge = bench.with(suction, Point::Discharge);
    let high = discharge.and_then(|d| bench.pressure(d));
    if high.is_some_and(|high| high <= low) {
        return None;
    }
    let mut build = Builder {
        bench,
        suction,
        discharge,
        cycle: MeasuredCycle {
            refrigerant,
            suction: Input::of(suction),
            discharge: discharge.map(Input::of),
            which: suction.which.clone(),
            at: suction.at,
            visit: suction.visit,
            phase: suction.phase,
            low,
            high,
            points: Vec::new(),
            refused: Vec::new(),
            values: Vec::new(),
        },
    };
    build.low_side();
    build.compressor_outlet();
    build.liquid_side();
    build.after_expansion();
    Some(build.cycle)
}

struct Builder<'a, 'b> {
    bench: &'b Bench<'a>,
    suction: &'b Reading,
    discharge: Option<&'b Reading>,
    cycle: MeasuredCycle,
}

/// A pressure and the gauge it was read on.
#[derive(Clone, Copy)]
struct Gauged<'a> {
    pressure: AbsolutePressure,
    reading: &'a Reading,
}

/// A state function of the refrigerant: vapour or liquid.
type Phase = fn(&Refrigerant, AbsolutePressure, Temperature) -> Result<State, NoState>;

const VAPOUR: Phase = Refrigerant::vapour;
const LIQUID: Phase = Refrigerant::liquid;
const NO_LOSS: &str = "no pressure lost between discharge and liquid line";

impl<'b> Builder<'_, 'b> {
    fn low_side(&mut self) {
        let low = Gauged {
            pressure: self.cycle.low,
            reading: self.suction,
        };
        let outlet = self.bench.with(self.suction, Point::SuctionLine);
        let inlet = self.bench.with(self.suction, Point::CompressorInlet);
        if let Some(line) = outlet {
            let same = "no pressure lost between evaporator and compressor";
            self.point(Station::EvaporatorOut, VAPOUR, low, line, &[same]);
        }
        match (inlet, outlet) {
            (Some(inlet), _) => self.point(Station::CompressorIn, VAPOUR, low, inlet, &[]),
            (None, Some(line)) => {
                let same = "suction line temperature taken at the compressor too";
                self.point(Station::CompressorIn, VAPOUR, low, line, &[same]);
            }
            (None, None) => {}
        }
    }

    /// The discharge gauge, when it read.
    fn high(&self) -> Option<Gauged<'b>> {
        Some(Gauged {
            pressure: self.cycle.high?,
            reading: self.discharge?,
        })
    }

    fn compressor_outlet(&mut self) {
        if let (Some(high), Some(hot)) = (
            self.high(),
            self.bench.with(self.suction, Point::DischargeLine),
        ) {
            self.point(Station::Discharge, VAPOUR, high, hot, &[]);
        }
    }

    /// Condenser outlet at discharge pressure; liquid line at its own, where that was read.
    fn liquid_side(&mut self) {
        let outlet = self.bench.with(self.suction, Point::CondenserOutlet);
        let liquid = self.bench.with(self.suction, Point::LiquidLine);
        let high = self.high();
        if let (Some(high), Some(outlet)) = (high, outlet) {
            self.point(Station::CondenserOut, LIQUID, high, outlet, &[]);
        }
        let gauge = self.bench.with(self.suction, Point::LiquidPressure);
        let measured = gauge.and_then(|reading| {
            let pressure = self.bench.pressure(reading)?;
            Some(Gauged { pressure, reading })
        });
        if let Some(at) = measured {
            let above = self
                .cycle
                .high
                .is_some_and(|high| at.pressure.pascal() > 1.05 * high.pascal());
            if at.pressure <= self.cycle.low || above {
                let side = if above {
                    "above discharge"
                } else {
                    "not above suction"
                };
                let why = format!(
                    "line {}: liquid pressure {} is {side}",
                    at.reading.line,
                    at.reading.value_text()
                );
                self.refuse(Station::BeforeExpansion, why);
                return;
            }
        }
        let is_gas_cooler = self
            .cycle
            .high
            .is_some_and(|high| self.cycle.refrigerant.is_supercritical(high));
        match (measured, liquid, high) {
            (Some(at), Some(line), _) => {
                self.point(Station::BeforeExpansion, LIQUID, at, line, &[]);
            }
            // Behind a gas cooler the liquid is at a receiver's pressure, which was not read.
            (None, Some(line), Some(_)) if is_gas_cooler && outlet.is_none() => {
                let why = format!(
                    "line {}: above the critical pressure the liquid line is not at discharge pressure; its own was not measured",
                    line.line
                );
                self.refuse(Station::BeforeExpansion, why);
            }
            (None, Some(line), Some(high)) if !is_gas_cooler => {
                self.point(Station::BeforeExpansion, LIQUID, high, line, &[NO_LOSS]);
            }
            _ => {
                let taken = "condenser outlet taken for the state before the expansion device too";
                if let Some(mut point) = self.cycle.at(Station::CondenserOut).cloned() {
                    point.station = Station::BeforeExpansion;
                    point.assumptions.push(taken.to_owned());
                    self.cycle.points.push(point);
                }
            }
        }
    }

    fn refuse(&mut self, station: Station, why: String) {
        self.cycle.refused.push((station.name(), why));
    }

    /// A throttle takes in no heat and gives no work: enthalpy stays.
    fn after_expansion(&mut self) {
        let cycle = &mut self.cycle;
        let Some(before) = cycle.at(Station::BeforeExpansion).cloned() else {
            return;
        };
        let enthalpy = before.state.enthalpy;
        match cycle.refrigerant.at_enthalpy(cycle.low, enthalpy) {
            Ok(state) => {
                let mut assumptions = before.assumptions;
                assumptions.push(
                    "heat neither taken in nor given off up to the expansion device".to_owned(),
                );
                assumptions.push("expansion to the suction pressure read".to_owned());
                let mut inputs = before.inputs;
                inputs.push(cycle.suction.clone());
                cycle.points.push(StatePoint {
                    station: Station::AfterExpansion,
                    state,
                    inputs,
                    assumptions,
                });
            }
            Err(error) => self.refuse(Station::AfterExpansion, error.to_string()),
        }
    }

    fn point(
        &mut self,
        station: Station,
        phase: Phase,
        gauge: Gauged<'_>,
        line: &Reading,
        assumptions: &[&str],
    ) {
        let Some((measured, _)) = temperature(line) else {
            return;
        };
        if !self.bench.together(gauge.reading, line) {
            let why = format!(
                "lines {} and {}: pressure and temperature were not read within {WINDOW_MINUTES} minutes",
                gauge.reading.line, line.line
            );
            self.refuse(station, why);
            return;
        }
        let refrigerant = self.cycle.refrigerant;
        let mut assumptions: Vec<String> = assumptions.iter().map(|&a| a.to_owned()).collect();
        assumptions.extend(self.bench.basis(gauge.reading, Some(refrigerant)));
        let mut state = phase(refrigerant, gauge.pressure, measured);
        if let Some((off, on_the_line)) = saturated_instead(refrigerant, gauge.pressure, &state)
            && off <= INSTRUMENTS
        {
            assumptions.push(format!(
                "{} read {:.1} F ({:.1} K) beyond saturation, within what the instruments show: taken on the line",
                line.label(),
                off.fahrenheit(),
                off.kelvin()
            ));
            state = on_the_line;
        }
        match state {
            Ok(state) => self.cycle.points.push(StatePoint {
                station,
                state,
                inputs: vec![Input::of(line), Input::of(gauge.reading)],
                assumptions,
            }),
            Err(error) => self.refuse(station, format!("line {}: {error}", line.line)),
        }
    }
}

/// How far a refused state is beyond its saturation line, and the state on that line.
fn saturated_instead(
    refrigerant: &Refrigerant,
    pressure: AbsolutePressure,
    refused: &Result<State, NoState>,
) -> Option<(TemperatureDifference, Result<State, NoState>)> {
    match refused {
        Err(NoState::Wet { below_dew, .. }) => {
            Some((*below_dew, refrigerant.saturated_vapour(pressure)))
        }
        Err(NoState::Flashing { above_bubble, .. }) => {
            Some((*above_bubble, refrigerant.saturated_liquid(pressure)))
        }
        _ => None,
    }
}
