//! RB38x: the compressor: liquid, oil, starting and stopping, its motor.

use super::moment::{observed, ran, reading_temperature};
use super::truth_table::LIVE;
use super::{Case, Finding, Rule, Verdict, entry_input, exceeds};
use crate::derive::{Derived, Input, Value, current};
use crate::diagnostic::{Code, Severity};
use crate::model::{Entry, EntryKind, Minutes, Reading};
use crate::quantity::{AbsolutePressure, Quantity, TemperatureDifference};
use crate::vocabulary::{Point, Sign, State};

pub(super) static RULES: &[&Rule] = &[
    &FLOODBACK,
    &COLD_BODY,
    &SHORT_CYCLING,
    &LOW_OIL_PRESSURE,
    &INTERNAL_OVERLOAD_OPEN,
    &LOCKED_ROTOR,
];

const LIQUID: &str = "Wear goggles and gloves when connecting gauges: liquid refrigerant freezes skin and eyes. A compressor full of liquid can burst a valve: stand clear when it starts.";

/// Superheat at the compressor below which drops may still be in the gas, F of difference.
const DRY: f64 = 5.0;
/// Superheat of a line at saturation, F of difference: what a clamp on a pipe is off by.
const SATURATED: f64 = 1.0;
/// Oil and shell this little above evaporating are wet with refrigerant, F of difference.
const COLD: f64 = 20.0;

/// The superheat worked out from a line temperature.
fn superheat<'a>(case: &Case<'a>, line: &Reading) -> Option<&'a Derived> {
    let formula = if line.point == Point::CompressorInlet {
        "total-superheat"
    } else {
        "superheat"
    };
    case.derived
        .values
        .iter()
        .filter(|d| d.formula.id == formula)
        .find(|d| d.span() == line.span)
}

fn below(value: &Derived, limit: f64) -> Option<bool> {
    Some(exceeds(limit, value.value.difference()?.fahrenheit()))
}

/// Oil or shell temperature of the moment that is hardly above evaporating; `None` when not known.
fn cold_body<'a>(case: &Case<'a>, anchor: &Reading) -> Option<(&'a Reading, bool)> {
    let body = case
        .bench
        .with_any(anchor, &[Point::Sump, Point::CompressorShell])?;
    Some((body, above_evaporating(case, body)?.fahrenheit() < COLD))
}

fn above_evaporating(case: &Case<'_>, body: &Reading) -> Option<TemperatureDifference> {
    let suction = case.bench.with(body, Point::Suction)?;
    let refrigerant = case.job.unit.refrigerant?;
    let evaporating = refrigerant
        .dew_temperature(case.bench.pressure(suction)?)
        .ok()?;
    Some(reading_temperature(body)? - evaporating)
}

/// Liquid at the compressor, by this line: `Some(None)` when it is dry, `None` when it cannot tell.
fn floods<'a>(case: &Case<'a>, line: &'a Reading) -> Option<Option<(String, Vec<Input>)>> {
    let value = superheat(case, line)?;
    if ran(case, line) == Some(false) {
        return None;
    }
    let shown = value.text(case.job.display);
    if line.point == Point::CompressorInlet {
        return Some(below(value, DRY)?.then(|| {
            let text = format!("superheat at the compressor is {shown}: liquid comes back to it");
            (text, value.inputs.clone())
        }));
    }
    // The inlet of the compressor, where it was measured, decides.
    if case.bench.with(line, Point::CompressorInlet).is_some() {
        return None;
    }
    let body = cold_body(case, line);
    let sign = observed(case, line, &[Sign::FrostToCompressor, Sign::LiquidSound]);
    let (seen, evidence) = match (body, sign) {
        (Some((body, true)), _) => (
            format!("{} is at {}", body.label(), body.value_text()),
            Input::of(body),
        ),
        (_, Some(entry)) => (what_was_seen(entry), entry_input("seen", "", entry)),
        (Some((_, false)), None) => return Some(None),
        (None, None) => return None,
    };
    Some(below(value, SATURATED)?.then(|| {
        let text = format!("suction line at saturation (superheat {shown}) and {seen}: liquid comes back to the compressor");
        (text, value.inputs.iter().cloned().chain([evidence]).collect())
    }))
}

fn what_was_seen(entry: &Entry) -> String {
    match &entry.kind {
        EntryKind::Observation { signs, .. } if signs.contains(&Sign::FrostToCompressor) => {
            Sign::FrostToCompressor.name().to_owned()
        }
        _ => Sign::LiquidSound.name().to_owned(),
    }
}

static FLOODBACK: Rule = Rule {
    code: Code {
        id: "RB381",
        name: "floodback",
        severity: Severity::Warning,
        explanation: "Liquid refrigerant comes back to the running compressor: the gas at its inlet has less than 5 F of superheat, or the suction line is at saturation while the compressor is cold, frosted or gurgles. Liquid washes the oil out of the bearings and breaks valves. An overfeeding expansion device, a loose bulb, fans or air missing at the coil, ice, or too much charge is behind it.",
    },
    needs: "superheat at the compressor; or superheat, with sump or shell temperature or the compressor seen frosted or heard",
    plain: "Liquid refrigerant was coming back to the compressor, which wears it out quickly.",
    caution: Some(LIQUID),
    source: "common practice, no source",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        let mut seen = Vec::new();
        let inlet = case.bench.at(Point::CompressorInlet);
        for line in inlet.chain(case.bench.at(Point::SuctionLine)) {
            let Some(verdict) = floods(case, line) else {
                continue;
            };
            judged = true;
            let key = (line.phase, line.which.as_deref());
            if let Some((text, evidence)) = verdict
                && !seen.contains(&key)
            {
                seen.push(key);
                found.push(FLOODBACK.finding(text, evidence));
            }
        }
        Verdict::of(judged, found)
    },
};

static COLD_BODY: Rule = Rule {
    code: Code {
        id: "RB382",
        name: "cold-compressor",
        severity: Severity::Warning,
        explanation: "The compressor runs and its oil or shell is hardly warmer than the refrigerant evaporates: refrigerant boils in the oil. It comes back as liquid, or it gathered there while the compressor stood; a compressor started minutes before may still be clearing itself. Foaming oil does not hold up a bearing.",
    },
    needs: "sump or shell temperature, suction pressure, refrigerant, and the compressor running",
    plain: "The compressor was too cold: liquid refrigerant was in its oil.",
    caution: Some(LIQUID),
    source: "less than 20 F above evaporating: common practice, no source",
    check: |case| {
        let bodies = case
            .bench
            .at(Point::Sump)
            .chain(case.bench.at(Point::CompressorShell));
        COLD_BODY.each_reading(bodies, |body| {
            if ran(case, body) != Some(true) {
                return None;
            }
            let above = above_evaporating(case, body)?;
            let suction = case.bench.with(body, Point::Suction)?;
            // Floodback already tells of it.
            let lines = [Point::CompressorInlet, Point::SuctionLine];
            let told = lines
                .iter()
                .filter_map(|&point| case.bench.with(body, point))
                .any(|line| matches!(floods(case, line), Some(Some(_))));
            Some((exceeds(COLD, above.fahrenheit()) && !told).then(|| {
                (
                    format!(
                        "{} {} is {} above evaporating with the compressor running: refrigerant in the oil",
                        body.label(),
                        body.value_text(),
                        case.job.display.difference(above)
                    ),
                    vec![body, suction],
                )
            }))
        })
    },
};

/// So many starts and stops within so many minutes.
const CHANGES: usize = 3;
const CYCLING_MINUTES: i32 = 15;

static SHORT_CYCLING: Rule = Rule {
    code: Code {
        id: "RB383",
        name: "short-cycling",
        severity: Severity::Warning,
        explanation: "The compressor starts and stops often: noted in so many words, or by three starts and stops within 15 minutes with no work between them. A pressure or temperature control with too narrow a differential, a safety that resets by itself, low charge, or a loose connection does this. Every start heats the motor and throws out oil.",
    },
    needs: "the compressor noted as short cycling, or its states over time",
    plain: "The compressor was starting and stopping too often, which wears it out.",
    caution: Some(LIVE),
    source: "three changes in 15 minutes: common practice, no source",
    check: |case| {
        let mut found: Vec<Finding> = Vec::new();
        let states: Vec<&Reading> = case.bench.at(Point::Compressor).collect();
        let noted = states
            .iter()
            .find(|r| r.seen() == Some(State::ShortCycling))
            .map(|r| Input::of(r));
        let observed = case.job.entries().find_map(|(_, entry)| match &entry.kind {
            EntryKind::Observation { signs, .. } if signs.contains(&Sign::ShortCycling) => {
                Some(entry_input("short cycling", "", entry))
            }
            _ => None,
        });
        let mut judged = false;
        if let Some(evidence) = noted.or(observed) {
            judged = true;
            let text = "the compressor is noted as short cycling".to_owned();
            found.push(SHORT_CYCLING.finding(text, vec![evidence]));
        }
        for group in groups(&states) {
            let changes = changes(&group);
            judged |= group.len() > 1;
            let cycled = changes
                .windows(CHANGES)
                .find(|w| w[CHANGES - 1].0.0 - w[0].0.0 <= CYCLING_MINUTES);
            if let (Some(cycled), true) = (cycled, found.is_empty()) {
                let within = cycled[CHANGES - 1].0.0 - cycled[0].0.0;
                let text =
                    format!("the compressor started and stopped {CHANGES} times in {within} min");
                let evidence = cycled.iter().map(|(_, r)| Input::of(r)).collect();
                found.push(SHORT_CYCLING.finding(text, evidence));
            }
        }
        Verdict::of(judged, found)
    },
};

/// Timed states of one compressor with no work between them.
fn groups<'a>(states: &[&'a Reading]) -> Vec<Vec<&'a Reading>> {
    let key = |r: &Reading| (r.visit, r.phase, r.which.clone());
    let mut groups: Vec<Vec<&Reading>> = Vec::new();
    for &state in states
        .iter()
        .filter(|r| r.at.is_some() && runs(r).is_some())
    {
        match groups.iter_mut().find(|g| key(g[0]) == key(state)) {
            Some(group) => group.push(state),
            None => groups.push(vec![state]),
        }
    }
    groups
}

fn runs(state: &Reading) -> Option<bool> {
    match state.seen()? {
        State::On => Some(true),
        State::Off | State::Tripped => Some(false),
        _ => None,
    }
}

/// The states that differ from the one before, with their time.
fn changes<'a>(group: &[&'a Reading]) -> Vec<(Minutes, &'a Reading)> {
    group
        .windows(2)
        .filter(|pair| runs(pair[0]) != runs(pair[1]))
        .filter_map(|pair| Some((pair[1].at?, pair[1])))
        .collect()
}

static LOW_OIL_PRESSURE: Rule = Rule {
    code: Code {
        id: "RB384",
        name: "low-oil-pressure",
        severity: Severity::Warning,
        explanation: "The oil pump lifts the oil less than 10 psi above suction pressure while the compressor runs. The gauge shows both together; what the bearings get is the difference. Too little oil, oil thinned by refrigerant, a blocked strainer or a worn pump or bearing does this. The maker's limit decides where it is known.",
    },
    needs: "oil pressure, suction pressure, and the compressor running",
    plain: "The compressor was not getting enough oil pressure.",
    caution: Some(
        "Wear goggles and gloves when connecting gauges: hot oil and refrigerant spray out of a fitting that is opened.",
    ),
    source: "net oil pressure under 10 psi: common practice, no source",
    check: |case| {
        LOW_OIL_PRESSURE.each_reading(case.bench.at(Point::OilPressure), |oil| {
            if ran(case, oil) != Some(true) {
                return None;
            }
            let suction = case.bench.with(oil, Point::Suction)?;
            let net = case.bench.pressure(oil)?.psi() - case.bench.pressure(suction)?.psi();
            Some(exceeds(10.0, net).then(|| {
                let net = Value::PressureChange(AbsolutePressure::from_psi(net));
                let shown = net.text(case.job.display);
                (
                    format!(
                        "oil pressure is {shown} above suction, under 10 psi (common practice)"
                    ),
                    vec![oil, suction],
                )
            }))
        })
    },
};

static INTERNAL_OVERLOAD_OPEN: Rule = Rule {
    code: Code {
        id: "RB385",
        name: "internal-overload-open",
        severity: Severity::Warning,
        explanation: "From common to run and from common to start the motor is open, and from run to start it reads as it should: both windings are whole and the common is open, at the internal overload or its lead. On a hot shell the overload is only doing its work, and closes after hours of cooling: a compressor is not condemned hot. On a cold shell it or the common lead has failed. What heated the motor is still to be found.",
    },
    needs: "C-R and C-S as open or as resistance, and R-S as resistance",
    plain: "The compressor's built-in heat protection had switched it off, or has failed.",
    caution: Some(
        "Measure windings dead, isolated and discharged; never under vacuum. The compressor starts by itself once the overload closes: lock it out.",
    ),
    source: "basic circuit logic, from memory",
    check: |case| {
        INTERNAL_OVERLOAD_OPEN.each_reading(case.bench.at(Point::WindingRS), |across| {
            let run = case
                .bench
                .with_any(across, &[Point::CommonToRun, Point::WindingCR])?;
            let start = case
                .bench
                .with_any(across, &[Point::CommonToStart, Point::WindingCS])?;
            let open = |r: &Reading| r.seen() == Some(State::Open);
            let Quantity::Resistance(whole) = across.written()?.quantity else {
                return None;
            };
            // No winding has a kilohm.
            let whole = whole.ohm() > 0.0 && whole.ohm() < 1000.0;
            Some((open(run) && open(start) && whole).then(|| {
                let mut evidence = vec![across, run, start];
                let shell = case.bench.with(across, Point::CompressorShell);
                let at = shell.map_or(String::new(), |r| {
                    evidence.push(r);
                    format!(", shell at {}", r.value_text())
                });
                (
                    format!(
                        "C-R and C-S open, R-S {}{at}: the internal overload or the common lead is open",
                        across.value_text()
                    ),
                    evidence,
                )
            }))
        })
    },
};

/// Locked-rotor current is several times the rated one; a loaded motor that turns draws far less.
const STALLED_SHARE: f64 = 3.0;

static LOCKED_ROTOR: Rule = Rule {
    code: Code {
        id: "RB386",
        name: "locked-rotor",
        severity: Severity::Warning,
        explanation: "The compressor is noted as humming, not starting or tripped, and draws three times its rated current or more: the rotor does not turn. Seized bearings, liquid or pressure it cannot start against, a start capacitor or relay, a lost phase or too low a voltage does this. The overload opens within seconds; each new try heats the windings.",
    },
    needs: "compressor current, RLA, and the compressor noted as humming, not starting or tripped",
    plain: "The compressor had power and could not turn.",
    caution: Some(LIVE),
    source: "basic circuit logic, from memory; three times RLA: common practice, no source",
    check: |case| {
        let rla = case.job.unit.nameplate.rla;
        LOCKED_ROTOR.each_reading(case.bench.at(Point::CompressorCurrent), |drawn| {
            let share = current(drawn)?.ampere() / rla?.ampere();
            let state = case.bench.with(drawn, Point::Compressor);
            let stalled = state
                .is_some_and(|r| matches!(r.seen(), Some(State::Humming | State::Tripped)));
            let sign = observed(case, drawn, &[Sign::NotStarting]);
            if state.is_none() && sign.is_none() {
                return None;
            }
            let fires = !exceeds(STALLED_SHARE, share) && (stalled || sign.is_some());
            Some(fires.then(|| {
                let seen = state.filter(|_| stalled);
                let how = seen.map_or("does not start", |r| r.value_text());
                let mut evidence = vec![drawn];
                evidence.extend(seen);
                (
                    format!(
                        "compressor draws {}, {:.0} % of its RLA, noted as: {how}; the rotor does not turn",
                        drawn.value_text(),
                        100.0 * share
                    ),
                    evidence,
                )
            }))
        })
    },
};
