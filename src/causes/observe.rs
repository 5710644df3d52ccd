//! What was observed at one moment: deviations from what the unit should do, signs, findings that
//! tell a fault.

use super::hypothesis::HYPOTHESES;
use super::other_refrigerant;
use super::score::Observed;
use super::symptom::{Measured, Seen, SeenSign, Symptom, Telling};
use crate::derive::{Derived, Energy, Input, Moment, temperature, voltage};
use crate::expectation::{Basis, Sheet, formula};
use crate::findings::{COIL_LIVE, Case, Findings, NO_VOLTS, standing};
use crate::model::{EntryKind, Reading};
use crate::quantity::{Temperature, TemperatureDifference};
use crate::vocabulary::{Point, Sign, State};

/// Air taken at the set point where it was not measured may be this far from it, F. Common practice,
/// no source: a warm box is why somebody called.
const AT_SET_POINT: f64 = 8.0;
/// Air onto a condenser where it was not measured, F, and how far another day may be from it. Common
/// practice, no source.
const USUAL_DAY: f64 = 80.0;
const OTHER_DAY: f64 = 13.0;
/// A box this much above its set point calls for cooling, F of difference.
const CALLS: f64 = 3.0;
/// A capacitor further below its rating than this many percent is weak: the usual tolerance is 6.
const WEAK: f64 = -10.0;

/// One moment of a job, seen with everything known of it.
pub(super) struct At<'a> {
    pub case: &'a Case<'a>,
    pub energy: &'a Energy,
    pub visit: usize,
    pub phase: u32,
}

impl<'a> At<'a> {
    /// Everything observed.
    pub fn observe(&self, findings: &Findings) -> Observed {
        let measured = self.measure();
        let own = self.case.job.unit.refrigerant.map(|r| r.node);
        let pressure = |point| self.case.bench.pressure(self.readings(point).last()?);
        let (suction, discharge) = (pressure(Point::Suction), pressure(Point::Discharge));
        let others = other_refrigerant::fits(own, suction, discharge, &measured);
        Observed {
            signs: self.signs(),
            telling: self.telling(findings),
            phases: self.case.job.unit.nameplate.phases,
            measured,
            others,
        }
    }

    fn is_here(&self, visit: usize, phase: u32) -> bool {
        visit == self.visit && phase == self.phase
    }

    /// The readings of a point, in order.
    pub fn readings(&self, point: Point) -> impl Iterator<Item = &'a Reading> + '_ {
        let here = |r: &&Reading| self.is_here(r.visit, r.phase);
        self.case.bench.at(point).filter(here)
    }

    /// The last value of a formula while the unit ran and was not in defrost.
    fn value(&self, id: &str) -> Option<&'a Derived> {
        let here = |d: &&Derived| d.formula.id == id && self.is_here(d.visit, d.phase);
        let ran = |d: &&Derived| {
            let moment = Moment::of_value(d);
            self.case.bench.ran(&moment) != Some(false) && !self.case.bench.in_defrost(&moment)
        };
        self.case.derived.values.iter().filter(here).rfind(ran)
    }

    /// The deviations, symptom by symptom; what was not read is not there.
    fn measure(&self) -> Vec<Measured> {
        let ambient = self.readings(Point::Ambient).filter_map(temperature).last();
        let ambient = ambient.map(|(t, _)| t);
        let sheet = Sheet::new(self.case.job, self.case.derived, self.visit, ambient);
        let measured = |symptom: Symptom| {
            let (value, inputs) = self.symptom(symptom)?;
            let expected = sheet.expected(symptom)?;
            // The air split is said as a share of what is expected: its size follows the TD.
            let scale = match symptom {
                Symptom::AirSplit => expected.value,
                _ => 1.0,
            };
            Some(Measured {
                symptom,
                value: value / scale,
                expected: expected.value / scale,
                doubt: expected.doubt / scale,
                basis: expected.basis,
                inputs,
            })
        };
        let mut all: Vec<Measured> = Symptom::ALL.into_iter().filter_map(measured).collect();
        let lacks = |symptom| !all.iter().any(|m: &Measured| m.symptom == symptom);
        let td = lacks(Symptom::EvaporatorTd)
            .then(|| self.td_to_set_point(&sheet))
            .flatten();
        let split = lacks(Symptom::CondenserSplit)
            .then(|| self.split_to_usual_day(&sheet))
            .flatten();
        all.extend(td.into_iter().chain(split));
        all
    }

    /// A symptom's value in its unit, and the readings behind it.
    fn symptom(&self, symptom: Symptom) -> Option<(f64, Vec<Input>)> {
        let degrees = |id: &str| {
            let found = self.value(id)?;
            let kelvin = TemperatureDifference::from_kelvin(found.value.number());
            Some((kelvin.fahrenheit(), found.inputs.clone()))
        };
        match symptom {
            Symptom::AboveSetPoint => self.above_set_point(),
            Symptom::CondenserRise => {
                let (rise, inputs) = degrees("condenser-air-rise")?;
                let (split, of_split) = degrees("condenser-split")?;
                // A split of a few degrees gives no share worth the name.
                (split > 8.0).then(|| (rise / split, joined(inputs, of_split)))
            }
            Symptom::Efficiency => {
                let here = |d: &&Derived| self.is_here(d.visit, d.phase);
                let of_compression = |d: &&Derived| d.formula.id == "compression-efficiency";
                let found = self
                    .energy
                    .values()
                    .filter(here)
                    .filter(of_compression)
                    .last()?;
                Some((found.value.number() / 100.0, found.inputs.clone()))
            }
            Symptom::RunningCurrent => {
                let found = self.value("rla-share")?;
                let share = found.value.number() / 100.0;
                // A share far above one is a motor that does not start, not a load.
                (share < 2.0).then(|| (share, found.inputs.clone()))
            }
            _ => degrees(formula(symptom)?),
        }
    }

    fn above_set_point(&self) -> Option<(f64, Vec<Input>)> {
        let set = self.case.job.unit.set_point.as_ref()?.node;
        let air = [Point::Box, Point::Room, Point::ReturnAir]
            .into_iter()
            .find_map(|point| self.readings(point).last())?;
        if self.case.bench.in_defrost(&Moment::of(air)) || self.stands().is_some() {
            return None;
        }
        let (inside, _) = temperature(air)?;
        Some(((inside - set).fahrenheit(), vec![Input::of(air)]))
    }

    /// The TD with the set point for the air, where no air was read.
    fn td_to_set_point(&self, sheet: &Sheet<'_>) -> Option<Measured> {
        let set = self.case.job.unit.set_point.as_ref()?.node;
        let evaporating = self.value("evaporating-temperature")?;
        let crate::derive::Value::Temperature(saturated) = evaporating.value else {
            return None;
        };
        let expected = sheet.expected(Symptom::EvaporatorTd)?;
        Some(Measured {
            symptom: Symptom::EvaporatorTd,
            value: (set - saturated).fahrenheit(),
            expected: expected.value,
            doubt: expected.doubt.hypot(AT_SET_POINT),
            basis: Basis::Assumed("the set point was taken for the air"),
            inputs: evaporating.inputs.clone(),
        })
    }

    /// The condenser split with a usual day for the ambient, where that was not read.
    fn split_to_usual_day(&self, sheet: &Sheet<'_>) -> Option<Measured> {
        let condensing = self.value("condensing-temperature")?;
        let crate::derive::Value::Temperature(saturated) = condensing.value else {
            return None;
        };
        let expected = sheet.expected(Symptom::CondenserSplit)?;
        Some(Measured {
            symptom: Symptom::CondenserSplit,
            value: (saturated - Temperature::from_fahrenheit(USUAL_DAY)).fahrenheit(),
            expected: expected.value,
            doubt: expected.doubt.hypot(OTHER_DAY),
            basis: Basis::Assumed("80 F was taken for the ambient"),
            inputs: condensing.inputs.clone(),
        })
    }

    /// The compressor's last reading, where it says that it stands outside a defrost.
    fn stands(&self) -> Option<&'a Reading> {
        let state = self.readings(Point::Compressor).last();
        let last = state.or_else(|| self.readings(Point::CompressorCurrent).last())?;
        let moment = Moment::of(last);
        let stopped = self.case.bench.ran(&moment) == Some(false);
        (stopped && !self.case.bench.in_defrost(&moment)).then_some(last)
    }

    /// The reading by which the compressor stands although it is called for, or the box is warm.
    fn stopped(&self) -> Option<&'a Reading> {
        let stands = self.stands()?;
        let hums = matches!(stands.seen(), Some(State::Humming | State::Tripped));
        let is_called = self
            .readings(Point::Cooling)
            .chain(self.readings(Point::Compressor))
            .any(|r| matches!(r.seen(), Some(State::Called)));
        let set = self.case.job.unit.set_point.as_ref().map(|s| s.node);
        let is_warm = [Point::Box, Point::Room, Point::ReturnAir]
            .into_iter()
            .find_map(|point| self.readings(point).filter_map(temperature).last())
            .zip(set)
            .is_some_and(|((air, _), set)| (air - set).fahrenheit() > CALLS);
        let has_coil = self
            .readings(Point::CoilVoltage)
            .filter_map(voltage)
            .any(|v| v.volt() > COIL_LIVE);
        (hums || is_called || is_warm || has_coil || self.heard_humming().is_some())
            .then_some(stands)
    }

    fn heard_humming(&self) -> Option<SeenSign> {
        self.noted(Sign::NotStarting, Seen::MotorHums)
    }

    fn noted(&self, sign: Sign, seen: Seen) -> Option<SeenSign> {
        let entry = self.case.job.entries().find(|(visit, entry)| {
            self.is_here(*visit, entry.phase)
                && matches!(&entry.kind, EntryKind::Observation { signs, .. } if signs.contains(&sign))
        });
        entry.map(|(_, entry)| SeenSign {
            seen,
            input: Input {
                name: "seen:".to_owned(),
                text: sign.name().to_owned(),
                line: entry.line,
                span: entry.span,
            },
        })
    }

    /// Every sign, each once.
    fn signs(&self) -> Vec<SeenSign> {
        let states = [
            (Point::SightGlass, State::Bubbles, Seen::Bubbles),
            (Point::SightGlass, State::Clear, Seen::ClearGlass),
            (Point::Coil, State::Iced, Seen::HeavyIce),
            (Point::CondenserCoil, State::Dirty, Seen::DirtyCondenser),
            (Point::Coil, State::Dirty, Seen::DirtyEvaporator),
            (Point::CondenserFan, State::Off, Seen::CondenserFanStopped),
            (Point::CondenserFan, State::On, Seen::CondenserFanTurning),
            (Point::EvapFan, State::Off, Seen::EvaporatorFanStopped),
            (Point::EvapFan, State::On, Seen::EvaporatorFanTurning),
        ];
        let noted = [
            (Sign::HeavyIce, Seen::HeavyIce),
            (Sign::PartialFrost, Seen::PartialFrost),
            (Sign::Bubbles, Seen::Bubbles),
            (Sign::FrostToCompressor, Seen::FrostToCompressor),
            (Sign::DirtyCondenser, Seen::DirtyCondenser),
            (Sign::DirtyEvaporator, Seen::DirtyEvaporator),
        ];
        let of_states = states.into_iter().filter_map(|(point, state, seen)| {
            let last = self.readings(point).last()?;
            (last.seen() == Some(state)).then(|| sign(seen, last))
        });
        let of_notes = noted
            .into_iter()
            .filter_map(|(sign, seen)| self.noted(sign, seen));
        let mut all: Vec<SeenSign> = Vec::new();
        for sign in of_states
            .chain(of_notes)
            .chain(self.electrical())
            .chain(self.standing())
        {
            if !all.iter().any(|s| s.seen == sign.seen) {
                all.push(sign);
            }
        }
        all
    }

    /// What the meter shows of a compressor that stands although it is called.
    fn electrical(&self) -> Vec<SeenSign> {
        let Some(stopped) = self.stopped() else {
            return Vec::new();
        };
        let mut out = vec![sign(Seen::StoppedWhileCalled, stopped)];
        if stopped.seen() == Some(State::Humming) {
            out.push(sign(Seen::MotorHums, stopped));
        }
        out.extend(self.heard_humming());
        if let Some(contactor) = self.readings(Point::Contactor).last() {
            match contactor.seen() {
                Some(State::Closed | State::On) => out.push(sign(Seen::PulledIn, contactor)),
                Some(State::Open | State::Off) => out.push(sign(Seen::DroppedOut, contactor)),
                _ => {}
            }
        }
        out.extend(self.volts(
            &[Point::CoilVoltage],
            COIL_LIVE,
            Seen::CoilLive,
            Seen::CoilDead,
        ));
        let behind = [
            Point::T1T2,
            Point::T2T3,
            Point::T1T3,
            Point::CompressorVoltage,
        ];
        let line = [Point::L1L2, Point::L2L3, Point::L1L3, Point::SupplyVoltage];
        // A leg that is open reads part of the line by what feeds back through the windings.
        let rated = self
            .case
            .job
            .unit
            .nameplate
            .volts
            .map_or(200.0, |(v, _)| v.volt());
        let whole = 0.8 * rated;
        out.extend(self.volts(&behind, whole, Seen::LegsLive, Seen::LegDead));
        out.extend(self.volts(&line, whole, Seen::LineComplete, Seen::LineLegDead));
        let against_rating =
            self.case.derived.values.iter().rfind(|d| {
                d.formula.id == "capacitance-deviation" && self.is_here(d.visit, d.phase)
            });
        if let Some(found) = against_rating
            && let Some(input) = found.inputs.first()
        {
            let is_low = found.value.number() < WEAK;
            out.push(SeenSign {
                seen: match is_low {
                    true => Seen::CapacitorLow,
                    false => Seen::CapacitorSound,
                },
                input: input.clone(),
            });
        }
        out
    }

    /// Live when every reading of the points is, dead when one is not; nothing without readings.
    fn volts(&self, points: &[Point], whole: f64, live: Seen, dead: Seen) -> Option<SeenSign> {
        let readings: Vec<(&Reading, f64)> = points
            .iter()
            .flat_map(|&point| self.readings(point).last())
            .filter_map(|r| Some((r, voltage(r)?.volt())))
            .collect();
        let (lowest, volts) = readings.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        match volts {
            v if v >= whole => Some(sign(live, lowest)),
            v if v < NO_VOLTS || whole > COIL_LIVE => Some(sign(dead, lowest)),
            _ => None,
        }
    }

    /// What the pressure shows at rest: gases that do not condense, or another refrigerant, hold it
    /// above saturation at ambient. Below says nothing: the coldest part of the unit sets it.
    fn standing(&self) -> Option<SeenSign> {
        let above = |r: &'a Reading| Some((r, standing::above_ambient(self.case, r)?));
        let (reading, above) = self.readings(Point::Discharge).filter_map(above).last()?;
        let seen = match above.fahrenheit() {
            degrees if degrees > standing::HIGH => Seen::StandingHigh,
            degrees if degrees > -standing::HIGH => Seen::StandingLevel,
            _ => return None,
        };
        Some(sign(seen, reading))
    }

    /// Findings of that moment that tell a fault.
    fn telling(&self, findings: &Findings) -> Vec<Telling> {
        let is_of_the_moment = |input: &Input| {
            self.case
                .job
                .readings()
                .any(|r| r.span == input.span && self.is_here(r.visit, r.phase))
        };
        let mut out: Vec<Telling> = Vec::new();
        for finding in &findings.found {
            let code = finding.rule.code.id;
            let tells = HYPOTHESES.iter().any(|h| h.told(code).is_some());
            let is_new = !out.iter().any(|t| t.code == code);
            if tells && is_new && finding.evidence.iter().any(is_of_the_moment) {
                out.push(Telling {
                    code,
                    text: finding.text.clone(),
                    inputs: finding.evidence.clone(),
                });
            }
        }
        out
    }
}

fn sign(seen: Seen, reading: &Reading) -> SeenSign {
    SeenSign {
        seen,
        input: Input::of(reading),
    }
}

fn joined(mut inputs: Vec<Input>, more: Vec<Input>) -> Vec<Input> {
    for input in more {
        if !inputs.contains(&input) {
            inputs.push(input);
        }
    }
    inputs
}
