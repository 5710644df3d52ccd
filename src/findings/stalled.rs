//! RB42x: motors that are fed and do not turn, breakers that do not hold.

use super::moment::NO_AMPS;
use super::truth_table::LIVE;
use super::{Finding, Rule, Verdict, entry_input};
use crate::derive::current;
use crate::diagnostic::{Code, Severity};
use crate::model::{EntryKind, Reading};
use crate::vocabulary::{Point, Sign, State};

pub(super) static RULES: &[&Rule] = &[&FAN_STALLED, &BREAKER_TRIPS];

/// Where a fan's state and its current are read.
const FANS: [(Point, Point); 2] = [
    (Point::EvapFan, Point::EvapFanCurrent),
    (Point::CondenserFan, Point::CondenserFanCurrent),
];

fn stands(fan: &Reading) -> Option<bool> {
    match fan.seen()? {
        State::Off | State::Humming => Some(true),
        State::On => Some(false),
        _ => None,
    }
}

static FAN_STALLED: Rule = Rule {
    code: Code {
        id: "RB424",
        name: "fan-stalled",
        severity: Severity::Warning,
        explanation: "A fan stands and draws current: its motor is fed and does not turn. Seized bearings, a blade caught in ice or its guard, or a failed run capacitor does this; left so, its winding burns or its overload opens.",
    },
    needs: "whether the fan turns and its current, at one moment",
    plain: "A fan had power and could not turn.",
    caution: Some(LIVE),
    source: "basic circuit logic, from memory",
    check: |case| {
        let fans = FANS.iter().flat_map(|&(fan, _)| case.bench.at(fan));
        FAN_STALLED.each_reading(fans, |fan| {
            let (_, amps) = FANS.iter().find(|(point, _)| *point == fan.point)?;
            let drawn = case.bench.with(fan, *amps)?;
            let is_fed = current(drawn)?.ampere() > NO_AMPS;
            Some((stands(fan)? && is_fed).then(|| {
                (
                    format!(
                        "{} is noted as {} and draws {}: it is fed and does not turn",
                        fan.label(),
                        fan.value_text(),
                        drawn.value_text()
                    ),
                    vec![fan, drawn],
                )
            }))
        })
    },
};

static BREAKER_TRIPS: Rule = Rule {
    code: Code {
        id: "RB425",
        name: "breaker-trips-at-once",
        severity: Severity::Warning,
        explanation: "A breaker that trips, or a fuse that blows, the moment it is put back has a short or a ground fault behind it. Each reset feeds the fault: isolate the loads and measure resistance and insulation to ground with the supply locked out.",
    },
    needs: "an observation",
    plain: "The electrical supply tripped each time it was switched on.",
    caution: Some(
        "Do not reset it again and again. Lock out, tag, and prove it dead with a tested meter (OSHA 29 CFR 1910.147; your local code) before measuring for a short.",
    ),
    source: "basic circuit logic, from memory",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (_, entry) in case.job.entries() {
            let EntryKind::Observation { signs, .. } = &entry.kind else {
                continue;
            };
            judged = true;
            if signs.contains(&Sign::BreakerTrips) {
                let text =
                    "the breaker or fuse does not hold: a short or a ground fault".to_owned();
                found.push(BREAKER_TRIPS.finding(text, vec![entry_input("seen", "", entry)]));
            }
        }
        Verdict::of(judged, found)
    },
};
