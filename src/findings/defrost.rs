//! RB37x: defrost. Air conditioners are left out: their heaters warm rooms.

use super::moment::{before, called, draws, minutes, not_after, not_called, reading_temperature};
use super::truth_table::LIVE;
use super::{Case, Rule, Verdict, entry_input, exceeds};
use crate::derive::Input;
use crate::diagnostic::{Code, Severity};
use crate::expectation::{Application, application};
use crate::model::{Entry, EntryKind, Reading};
use crate::quantity::Temperature;
use crate::vocabulary::{Point, Sign, State};

pub(super) static RULES: &[&Rule] = &[
    &CALLED_WITHOUT_HEAT,
    &NOT_ENDING,
    &TOO_LONG,
    &FANS_WITH_HEATERS,
    &ICED_AND_DEFROST_UNSEEN,
];

/// A called defrost may go on this long over a coil that shows no ice: it starts blind, and its
/// thermostat warms last. Common practice, no source.
const BLIND_MINUTES: i32 = 20;
/// A defrost that is still on after this is not ended by its thermostat.
const LONGEST_MINUTES: i32 = 45;
/// Fans and heaters switch within seconds; readings further apart may be of two states of the unit.
const SWITCH_MINUTES: i32 = 5;
/// Termination thermostats open between 45 and 60 F. Common practice, no source.
const ENDED_FAHRENHEIT: f64 = 60.0;

fn has_defrost(case: &Case<'_>) -> bool {
    application(&case.job.unit) != Some(Application::AirConditioning)
}

/// Heater currents and states.
fn heaters<'a>(case: &Case<'a>) -> impl Iterator<Item = &'a Reading> {
    case.bench
        .at(Point::HeaterCurrent)
        .chain(case.bench.at(Point::Heater))
}

/// The first reading of the stretch in which every state seen up to `reading` says that defrost is
/// called: when it began, at the latest.
fn call_began<'a>(case: &Case<'a>, reading: &Reading) -> Option<&'a Reading> {
    let mut began = None;
    for state in case.bench.at(Point::Defrost) {
        let same = (state.visit, state.phase) == (reading.visit, reading.phase)
            && (state.which.is_none() || state.which == reading.which);
        if same && state.span != reading.span && not_after(state, reading) {
            began = called(state).then(|| began.unwrap_or(state));
        }
    }
    began
}

static CALLED_WITHOUT_HEAT: Rule = Rule {
    code: Code {
        id: "RB371",
        name: "defrost-without-heat",
        severity: Severity::Warning,
        explanation: "Defrost is called and the heater draws nothing on any leg. An open element, limit or lead, or no voltage there: the heater's voltage at the same moment tells which. A unit that thaws with its fans alone or with hot gas has no heater to draw; the wiring diagram decides.",
    },
    needs: "defrost called, and then heater current or the heater's state",
    plain: "The defrost did not heat when it should, so ice stays on the cooling coil.",
    caution: Some(LIVE),
    source: "basic circuit logic, from memory",
    check: |case| {
        if !has_defrost(case) {
            return Verdict::NotEvaluated;
        }
        CALLED_WITHOUT_HEAT.each_reading(heaters(case), |heater| {
            let defrost = before(case, heater, Point::Defrost)?;
            let mut legs = heaters(case).filter(|r| r.line == heater.line);
            let dead = !draws(heater)? && legs.all(|r| draws(r) == Some(false));
            // With its voltage known it is known whether supply or element is at fault.
            let told = case.bench.with(heater, Point::HeaterVoltage).is_some();
            Some((called(defrost) && dead && !told).then(|| {
                let value = heater.value_text();
                let how = if heater.point == Point::Heater {
                    format!("is {value}")
                } else {
                    format!("draws {value}")
                };
                (
                    format!("defrost is called and the heater {how}: no heat"),
                    vec![heater, defrost],
                )
            }))
        })
    },
};

static NOT_ENDING: Rule = Rule {
    code: Code {
        id: "RB372",
        name: "defrost-not-ending",
        severity: Severity::Warning,
        explanation: "The heater draws current on a coil that is clear of ice, or warmer than a termination thermostat lets it get: defrost has not ended, and the heater now warms the box. The termination thermostat, its place on the coil, the timer or the heater's relay does not open. In the first 20 minutes of a called defrost a clear coil is not remarked on: a defrost starts whether there is ice or not.",
    },
    needs: "heater current or state, and the coil seen or its temperature",
    plain: "The defrost heater stayed on after the ice was gone and warmed the cabinet.",
    caution: Some(LIVE),
    source: "common practice, no source: termination at 45 to 60 F on the coil",
    check: |case| {
        if !has_defrost(case) {
            return Verdict::NotEvaluated;
        }
        NOT_ENDING.each_reading(heaters(case), |heater| {
            let warm = case
                .bench
                .with(heater, Point::CoilTemperature)
                .map(|r| (r, reading_temperature(r)));
            let hot = warm.filter(|(_, t)| {
                let limit = Temperature::from_fahrenheit(ENDED_FAHRENHEIT).kelvin();
                t.is_some_and(|t| exceeds(t.kelvin(), limit))
            });
            let seen = before(case, heater, Point::Coil);
            let coil = hot.or(warm).map(|(r, _)| r).or(seen)?;
            let clear = seen.is_some_and(|r| r.seen() == Some(State::Clear));
            // Heat while the unit cools is another finding.
            let defrost = before(case, heater, Point::Defrost);
            let cooling = before(case, heater, Point::Cooling);
            let cools =
                defrost.is_some_and(not_called) || defrost.is_none() && cooling.is_some_and(called);
            let young = defrost.is_some_and(called)
                && call_began(case, heater)
                    .and_then(|began| minutes(began, heater))
                    .is_none_or(|age| age < BLIND_MINUTES);
            let over = hot.is_some() || clear && !young;
            Some((draws(heater)? && over && !cools).then(|| {
                let shown = if hot.is_some() {
                    coil
                } else {
                    seen.unwrap_or(coil)
                };
                (
                    format!(
                        "heater {} with the coil at {}: defrost has not ended",
                        heater.value_text(),
                        shown.value_text()
                    ),
                    vec![heater, shown],
                )
            }))
        })
    },
};

static TOO_LONG: Rule = Rule {
    code: Code {
        id: "RB373",
        name: "defrost-too-long",
        severity: Severity::Warning,
        explanation: "Between `defrost called` and its end more than 45 minutes passed. An electric defrost that its termination thermostat ends is over well before; one that runs to its time limit heats the box. A defrost without heaters, on fans alone, may be timed longer.",
    },
    needs: "defrost called and a later state of it, both with a clock time",
    plain: "The defrost went on too long, which warms what is stored.",
    caution: Some(LIVE),
    source: "45 minutes: common practice, no source",
    check: |case| {
        if !has_defrost(case) {
            return Verdict::NotEvaluated;
        }
        TOO_LONG.each_reading(case.bench.at(Point::Defrost), |state| {
            let began = call_began(case, state)?;
            let lasted = minutes(began, state)?;
            let how = if called(state) {
                "was still on"
            } else {
                "ended"
            };
            Some((lasted > LONGEST_MINUTES).then(|| {
                (
                    format!("defrost {how} {lasted} min after it was noted as called"),
                    vec![state, began],
                )
            }))
        })
    },
};

static FANS_WITH_HEATERS: Rule = Rule {
    code: Code {
        id: "RB374",
        name: "fans-running-with-heaters",
        severity: Severity::Warning,
        explanation: "Evaporator fans run while the defrost heaters are on: they blow the heat and the melt water into the box, and the coil thaws badly. The fan relay or the defrost control's fan contact does not open. Older cases exist where the fans run on in defrost by design; the wiring diagram decides.",
    },
    needs: "heater current or state, and evaporator fan state or current within 5 minutes",
    plain: "The fans kept running during defrost and blew warm air into the cabinet.",
    caution: Some(LIVE),
    source: "common practice, no source",
    check: |case| {
        if !has_defrost(case) {
            return Verdict::NotEvaluated;
        }
        FANS_WITH_HEATERS.each_reading(heaters(case), |heater| {
            let defrost = before(case, heater, Point::Defrost);
            let mut fans = case
                .bench
                .at(Point::EvapFan)
                .chain(case.bench.at(Point::EvapFanCurrent))
                .filter(|fan| case.bench.together(heater, fan) && same_evaporator(heater, fan))
                .filter(|fan| {
                    minutes(heater, fan).is_none_or(|apart| apart.abs() <= SWITCH_MINUTES)
                })
                // Seen before defrost began, it tells of cooling.
                .filter(|fan| defrost.is_none_or(|d| not_after(d, fan)))
                .filter_map(|fan| Some((fan, draws(fan)?)))
                .peekable();
            fans.peek()?;
            let running = fans.find(|(_, runs)| *runs).map(|(fan, _)| fan);
            let cools = defrost.is_some_and(not_called);
            Some(
                running
                    .filter(|_| !cools && draws(heater) == Some(true))
                    .map(|fan| {
                        (
                            format!(
                                "{} {} while the heater is on ({})",
                                fan.label(),
                                fan.value_text(),
                                heater.value_text()
                            ),
                            vec![fan, heater],
                        )
                    }),
            )
        })
    },
};

/// A fan of another evaporator than the heater's cools on.
fn same_evaporator(heater: &Reading, fan: &Reading) -> bool {
    let evaporator = |r: &Reading| r.which.clone().filter(|w| w.starts_with("evap"));
    evaporator(heater) == evaporator(fan)
}

static ICED_AND_DEFROST_UNSEEN: Rule = Rule {
    code: Code {
        id: "RB375",
        name: "iced-coil-defrost-not-seen",
        severity: Severity::Advice,
        explanation: "The coil was iced over, and nothing in the note tells of its defrost: it was not seen called, no heater was seen drawing, no line names it. Ice comes back if defrost does not work. Too little air or refrigerant also ices a coil; only a look at a defrost tells.",
    },
    needs: "a coil seen iced, or heavy ice observed",
    plain: "The cooling coil was iced over; whether its defrost works was not recorded.",
    caution: Some(
        "Never chip ice off a coil: a pierced tube sprays refrigerant. Heaters and fans may start by themselves.",
    ),
    source: "common practice, no source",
    check: |case| {
        if !has_defrost(case) {
            return Verdict::NotEvaluated;
        }
        let state = case
            .bench
            .at(Point::Coil)
            .find(|r| r.seen() == Some(State::Iced))
            .map(Input::of);
        let observed = case
            .job
            .entries()
            .find(|(_, entry)| {
                matches!(&entry.kind, EntryKind::Observation { signs, .. } if signs.contains(&Sign::HeavyIce))
            })
            .map(|(_, entry)| entry_input("ice", "", entry));
        let Some(ice) = state.or(observed) else {
            return Verdict::NotEvaluated;
        };
        let looked_at = case.bench.has(Point::Defrost)
            || case.bench.has(Point::HeaterResistance)
            || heaters(case).any(|r| draws(r) == Some(true))
            || case.job.entries().any(|(_, entry)| names_defrost(entry));
        let mut found = Vec::new();
        if !looked_at {
            found.push(ICED_AND_DEFROST_UNSEEN.finding(
                "the coil is iced and the note does not tell of its defrost".to_owned(),
                vec![ice],
            ));
        }
        Verdict::Judged(found)
    },
};

fn names_defrost(entry: &Entry) -> bool {
    let text = match &entry.kind {
        EntryKind::Observation { text, .. }
        | EntryKind::Cause { text, .. }
        | EntryKind::Did(text)
        | EntryKind::Handled { text, .. }
        | EntryKind::Fitted(text)
        | EntryKind::Removed(text)
        | EntryKind::Told(text)
        | EntryKind::Advise { text, .. }
        | EntryKind::Private(text)
        | EntryKind::Left(text)
        | EntryKind::Restored(text) => text,
        _ => return false,
    };
    text.to_lowercase().contains("defrost")
}
