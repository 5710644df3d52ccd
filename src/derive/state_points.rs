//! The state points of the refrigerant cycle, from the readings of one moment.

use super::pairing::{Bench, temperature};
use super::{Derived, Input};
use crate::model::{Minutes, Reading};
use crate::quantity::{AbsolutePressure, Quantity, Temperature, TemperatureDifference};
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
    /// Why a state that was measured is not there.
    pub refused: Vec<(Station, String)>,
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
    let discharge = bench.with(suction, Point::Discharge);
    let high = discharge.and_then(|d| bench.pressure(d));
    // Standing pressures are no cycle.
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
    build.high_side();
    Some(build.cycle)
}

struct Builder<'a, 'b> {
    bench: &'b Bench<'a>,
    suction: &'b Reading,
    discharge: Option<&'b Reading>,
    cycle: MeasuredCycle,
}

/// A state function of the refrigerant: vapour or liquid.
type Phase = fn(&Refrigerant, AbsolutePressure, Temperature) -> Result<State, NoState>;

impl Builder<'_, '_> {
    fn low_side(&mut self) {
        let (suction, low) = (self.suction, self.cycle.low);
        let outlet = self.bench.with(suction, Point::SuctionLine);
        let inlet = self.bench.with(suction, Point::CompressorInlet);
        let same = "no pressure lost between evaporator and compressor";
        let vapour: Phase = Refrigerant::vapour;
        if let Some(line) = outlet {
            self.point(Station::EvaporatorOut, vapour, low, suction, line, &[same]);
        }
        match (inlet, outlet) {
            (Some(inlet), _) => {
                self.point(Station::CompressorIn, vapour, low, suction, inlet, &[]);
            }
            (None, Some(line)) => self.point(
                Station::CompressorIn,
                vapour,
                low,
                suction,
                line,
                &["suction line temperature taken at the compressor too"],
            ),
            (None, None) => {}
        }
    }

    fn high_side(&mut self) {
        let (Some(discharge), Some(high)) = (self.discharge, self.cycle.high) else {
            return;
        };
        let suction = self.suction;
        let line = |point| self.bench.with(suction, point);
        let (hot, outlet, liquid) = (
            line(Point::DischargeLine),
            line(Point::CondenserOutlet),
            line(Point::LiquidLine),
        );
        if let Some(hot) = hot {
            let vapour: Phase = Refrigerant::vapour;
            self.point(Station::Discharge, vapour, high, discharge, hot, &[]);
        }
        let measured = line(Point::LiquidPressure)
            .and_then(|reading| Some((reading, self.bench.pressure(reading)?)))
            .filter(|(_, pressure)| *pressure > self.cycle.low);
        let (reading, pressure) = measured.unwrap_or((discharge, high));
        let same: &[&str] = match measured {
            Some(_) => &[],
            None => &["no pressure lost between discharge and liquid line"],
        };
        let phase: Phase = Refrigerant::liquid;
        if let Some(outlet) = outlet {
            self.point(
                Station::CondenserOut,
                phase,
                pressure,
                reading,
                outlet,
                same,
            );
        }
        let (before, assumption) = match (liquid, outlet) {
            (Some(liquid), _) => (liquid, None),
            (None, Some(outlet)) => (
                outlet,
                Some("condenser outlet temperature taken before the expansion device too"),
            ),
            (None, None) => return,
        };
        let assumptions: Vec<&str> = same.iter().copied().chain(assumption).collect();
        self.point(
            Station::BeforeExpansion,
            phase,
            pressure,
            reading,
            before,
            &assumptions,
        );
        self.after_expansion();
    }

    /// A throttle takes in no heat and gives no work: enthalpy stays.
    fn after_expansion(&mut self) {
        let cycle = &mut self.cycle;
        let Some(before) = cycle.at(Station::BeforeExpansion).cloned() else {
            return;
        };
        match cycle
            .refrigerant
            .at_enthalpy(cycle.low, before.state.enthalpy)
        {
            Ok(state) => {
                let mut assumptions = before.assumptions;
                assumptions.push("no heat taken in up to the expansion device".to_owned());
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
            Err(error) => cycle
                .refused
                .push((Station::AfterExpansion, error.to_string())),
        }
    }

    fn point(
        &mut self,
        station: Station,
        phase: Phase,
        pressure: AbsolutePressure,
        gauge: &Reading,
        line: &Reading,
        assumptions: &[&str],
    ) {
        let Some((measured, _)) = temperature(line) else {
            return;
        };
        let refrigerant = self.cycle.refrigerant;
        let mut assumptions: Vec<String> = assumptions.iter().map(|&a| a.to_owned()).collect();
        let is_gauge = gauge
            .written()
            .is_some_and(|w| matches!(w.quantity, Quantity::Gauge(_)));
        if is_gauge {
            assumptions.push(self.bench.assumption.clone());
        }
        let mut state = phase(refrigerant, pressure, measured);
        if let Some((off, on_the_line)) = saturated_instead(refrigerant, pressure, &state)
            && off <= INSTRUMENTS
        {
            assumptions.push(format!(
                "{} read {:.1} F beyond saturation, within what the instruments show: taken on the line",
                line.label(),
                off.fahrenheit()
            ));
            state = on_the_line;
        }
        match state {
            Ok(state) => self.cycle.points.push(StatePoint {
                station,
                state,
                inputs: vec![Input::of(line), Input::of(gauge)],
                assumptions,
            }),
            Err(error) => self
                .cycle
                .refused
                .push((station, format!("line {}: {error}", line.line))),
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
