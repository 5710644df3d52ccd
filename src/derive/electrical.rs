//! Electrical values: unbalance, share of rated current, heaters, capacitors, contacts.

use super::pairing::{Bench, current, voltage};
use super::{Derivation, Derived, Formula, Input, Value};
use crate::model::{Job, Reading};
use crate::quantity::{Current, Percent, Quantity};
use crate::vocabulary::Point;

macro_rules! formulas {
    ($($ident:ident $id:literal $name:literal $expression:literal $source:literal, $needs:literal;)*) => {
        $(#[doc = $expression]
        pub(super) static $ident: Formula = Formula { id: $id, name: $name, expression: $expression, source: $source, needs: $needs };)*
    };
}

formulas! {
    VOLTAGE_UNBALANCE "voltage-unbalance" "voltage unbalance" "100 × largest deviation from the mean ÷ mean, of the three line voltages" "NEMA MG-1", "the three line-to-line voltages";
    CURRENT_UNBALANCE "current-unbalance" "current unbalance" "100 × largest deviation from the mean ÷ mean, of the three leg currents" "NEMA MG-1, the same form on currents", "the three leg currents";
    SUPPLY_DEVIATION "supply-deviation" "supply against nameplate" "100 × (mean supply voltage − rated) ÷ rated" "NEMA MG-1 tolerance ±10 %, from memory", "supply voltage and rated voltage";
    RLA_SHARE "rla-share" "share of rated load current" "100 × highest leg current ÷ RLA" "common practice, no source", "compressor current and RLA";
    HEATER_EXPECTED "heater-current-expected" "heater current expected" "W ÷ V, or W ÷ (√3 V) on three phases, with W = W rated × (V ÷ V rated)²" "Ohm's law", "heater rating and voltage";
    HEATER_SHARE "heater-share" "heater current against expected" "100 × measured ÷ expected" "Ohm's law", "heater rating, voltage and current";
    CAPACITANCE_DEVIATION "capacitance-deviation" "run capacitor against rating" "100 × (measured − rated) ÷ rated" "common practice: ±6 %", "capacitance measured and rated";
    CONTACT_LOSS "contact-loss" "voltage lost across a contact" "100 × drop ÷ line voltage" "common practice, no source", "contact drop and line voltage";
    COIL_SHARE "coil-share" "coil voltage against rating" "100 × coil voltage ÷ rated control voltage" "common practice, no source", "contactor coil voltage and rated control voltage";
    WINDING_SUM "winding-sum" "winding resistances" "100 × (R-S − (C-R + C-S)) ÷ (C-R + C-S)" "series circuit: common to run and common to start add up between run and start", "C-R, C-S and R-S";
}

/// Derives the electrical values of every moment.
pub(super) fn derive(job: &Job, bench: &Bench<'_>, out: &mut Derivation) {
    let plate = &job.unit.nameplate;
    for first in bench.at(Point::L1L2) {
        let (Some(second), Some(third)) = (
            bench.with(first, Point::L2L3),
            bench.with(first, Point::L1L3),
        ) else {
            continue;
        };
        let legs = [first, second, third];
        if let Some((unbalance, mean)) = unbalance(&legs, |r| voltage(r).map(|v| v.volt())) {
            push(
                out,
                &VOLTAGE_UNBALANCE,
                &legs,
                percent(unbalance),
                Vec::new(),
            );
            if let Some((low, high)) = plate.volts {
                push(
                    out,
                    &SUPPLY_DEVIATION,
                    &legs,
                    percent(deviation(mean, low.volt(), high.volt())),
                    Vec::new(),
                );
            }
        }
    }
    if let Some((low, high)) = plate.volts {
        for supply in bench.at(Point::SupplyVoltage) {
            if let Some(volts) = voltage(supply) {
                push(
                    out,
                    &SUPPLY_DEVIATION,
                    &[supply],
                    percent(deviation(volts.volt(), low.volt(), high.volt())),
                    Vec::new(),
                );
            }
        }
    }
    compressor(job, bench, out);
    heaters(job, bench, out);
    if let Some(rated) = plate.capacitor {
        for reading in bench.at(Point::RunCapacitor) {
            if let Some(Quantity::Capacitance(measured)) = reading.written().map(|w| w.quantity) {
                let share = 100.0 * (measured.farad() / rated.farad() - 1.0);
                push(
                    out,
                    &CAPACITANCE_DEVIATION,
                    &[reading],
                    percent(share),
                    Vec::new(),
                );
            }
        }
    }
    for drop in bench.at(Point::ContactDrop) {
        let line = bench.with_any(
            drop,
            &[Point::SupplyVoltage, Point::L1L2, Point::L2L3, Point::L1L3],
        );
        if let (Some(lost), Some(line)) = (voltage(drop), line)
            && let Some(volts) = voltage(line)
            && volts.volt() > 0.0
        {
            push(
                out,
                &CONTACT_LOSS,
                &[drop, line],
                percent(100.0 * lost.volt() / volts.volt()),
                Vec::new(),
            );
        }
    }
    if let Some(rated) = plate.control_volts {
        for coil in bench.at(Point::CoilVoltage) {
            if let Some(volts) = voltage(coil) {
                push(
                    out,
                    &COIL_SHARE,
                    &[coil],
                    percent(100.0 * volts.volt() / rated.volt()),
                    Vec::new(),
                );
            }
        }
    }
    windings(bench, out);
}

fn compressor(job: &Job, bench: &Bench<'_>, out: &mut Derivation) {
    let all: Vec<&Reading> = bench.at(Point::CompressorCurrent).collect();
    // The legs of one moment stand together: same line, or same time and compressor.
    let mut rest = all.as_slice();
    while let Some(first) = rest.first() {
        let count = rest
            .iter()
            .take_while(|r| {
                r.which == first.which
                    && r.visit == first.visit
                    && r.phase == first.phase
                    && (r.line == first.line || (r.at == first.at && r.at.is_some()))
            })
            .count();
        let (legs, others) = rest.split_at(count.max(1));
        rest = others;
        let legs = legs.iter().rev().take(3).rev().copied().collect::<Vec<_>>();
        if legs.len() == 3
            && let Some((unbalance, _)) = unbalance(&legs, |r| current(r).map(Current::ampere))
        {
            push(
                out,
                &CURRENT_UNBALANCE,
                &legs,
                percent(unbalance),
                Vec::new(),
            );
        }
        if let Some(rla) = job.unit.nameplate.rla.filter(|rla| rla.ampere() > 0.0) {
            let highest = legs
                .iter()
                .filter_map(|r| current(r))
                .map(Current::ampere)
                .fold(f64::NAN, f64::max);
            if highest.is_finite() {
                push(
                    out,
                    &RLA_SHARE,
                    &legs,
                    percent(100.0 * highest / rla.ampere()),
                    Vec::new(),
                );
            }
        }
    }
}

/// Expected heater current at the voltage measured, or at the rated voltage where none was.
pub fn heater_current(power: f64, rated_volts: f64, volts: f64, three_phase: bool) -> f64 {
    let actual = power * (volts / rated_volts).powi(2);
    if three_phase {
        actual / (3f64.sqrt() * volts)
    } else {
        actual / volts
    }
}

fn heaters(job: &Job, bench: &Bench<'_>, out: &mut Derivation) {
    let plate = &job.unit.nameplate;
    let (Some(power), Some(rated)) = (
        plate.heaters,
        plate.heater_volts.or(plate.volts.map(|v| v.0)),
    ) else {
        return;
    };
    for reading in bench.at(Point::HeaterCurrent) {
        let Some(amps) = current(reading) else {
            continue;
        };
        let live = bench.with_any(
            reading,
            &[Point::HeaterVoltage, Point::SupplyVoltage, Point::L1L2],
        );
        let volts = live.and_then(voltage).filter(|v| v.volt() > 0.0);
        if live.is_some() && volts.is_none() {
            continue; // 0 V on the heater: nothing to expect
        }
        let mut assumptions = Vec::new();
        if volts.is_none() {
            assumptions.push(format!(
                "rated voltage {:.0} V at the heaters (not measured)",
                rated.volt()
            ));
        }
        // Three legs of heater current mean a three-phase heater; the unit's own phases decide otherwise.
        let three_phase = plate.phases == Some(3) && reading.leg.is_some();
        if plate.phases == Some(3) && !three_phase {
            assumptions.push("heaters connected across two legs (one current given)".to_owned());
        }
        let expected = heater_current(
            power.watt(),
            rated.volt(),
            volts.unwrap_or(rated).volt(),
            three_phase,
        );
        let mut inputs = vec![reading];
        inputs.extend(live);
        push(
            out,
            &HEATER_EXPECTED,
            &inputs,
            Value::Current(Current::from_ampere(expected)),
            assumptions.clone(),
        );
        push(
            out,
            &HEATER_SHARE,
            &inputs,
            percent(100.0 * amps.ampere() / expected),
            assumptions,
        );
    }
}

fn windings(bench: &Bench<'_>, out: &mut Derivation) {
    let ohms = |r: &Reading| match r.written().map(|w| w.quantity) {
        Some(Quantity::Resistance(v)) => Some(v.ohm()),
        _ => None,
    };
    for run in bench.at(Point::WindingCR) {
        let (Some(start), Some(both)) = (
            bench.with(run, Point::WindingCS),
            bench.with(run, Point::WindingRS),
        ) else {
            continue;
        };
        if let (Some(a), Some(b), Some(sum)) = (ohms(run), ohms(start), ohms(both))
            && a + b > 0.0
        {
            push(
                out,
                &WINDING_SUM,
                &[run, start, both],
                percent(100.0 * (sum / (a + b) - 1.0)),
                Vec::new(),
            );
        }
    }
}

/// Largest deviation from the mean in percent of the mean, and the mean.
fn unbalance(legs: &[&Reading], value: impl Fn(&Reading) -> Option<f64>) -> Option<(f64, f64)> {
    let values: Option<Vec<f64>> = legs.iter().map(|r| value(r)).collect();
    let values = values?;
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let worst = values.iter().map(|v| (v - mean).abs()).fold(0.0, f64::max);
    (mean > 0.0).then(|| (100.0 * worst / mean, mean))
}

/// Deviation from the nearer end of a rated range, 0 inside it.
fn deviation(volts: f64, low: f64, high: f64) -> f64 {
    if volts < low {
        100.0 * (volts - low) / low
    } else if volts > high {
        100.0 * (volts - high) / high
    } else {
        0.0
    }
}

fn percent(value: f64) -> Value {
    Value::Percent(Percent::from_percent(value))
}

fn push(
    out: &mut Derivation,
    formula: &'static Formula,
    readings: &[&Reading],
    value: Value,
    assumptions: Vec<String>,
) {
    let first = readings[0];
    out.values.push(Derived {
        formula,
        which: first.which.clone(),
        value,
        inputs: readings.iter().map(|r| Input::of(r)).collect(),
        assumptions,
        resolution: None,
        at: first.at,
        visit: first.visit,
        phase: first.phase,
    });
}
