//! RB50x: pressure tests, evacuation, and whether a repair was proved.

use super::{Case, Finding, Rule, Verdict, entry_input};
use crate::derive::{HoldTest, Input, VacuumShape, VacuumTest};
use crate::diagnostic::{Code, Severity};
use crate::model::{Entry, EntryKind, Flow, Reading};
use crate::quantity::{AbsolutePressure, GaugePressure};
use crate::vocabulary::Point;

pub(super) static RULES: &[&Rule] = &[
    &HOLD_LOST,
    &HOLD_NOT_COMPENSATED,
    &HOLD_UNFINISHED,
    &DANGEROUS_TEST_GAS,
    &VACUUM_LEAK,
    &VACUUM_MOISTURE,
    &VACUUM_HIGH,
    &VACUUM_NOT_ISOLATED,
    &OPENED_WITHOUT_TESTS,
    &REPAIR_NOT_PROVED,
];

const NITROGEN: &str = "Dry nitrogen only through a regulator with a relief, to no more than the low-side test pressure on the nameplate; never oxygen, air or acetylene.";

fn hold_input(test: &HoldTest) -> Input {
    Input {
        name: "hold".to_owned(),
        text: format!("{} → {}", test.start, test.end),
        line: test.lines.1,
        span: test.span,
    }
}

fn vacuum_input(test: &VacuumTest) -> Input {
    let text = test.readings.last().map_or(String::new(), |r| r.2.clone());
    Input {
        name: "vacuum".to_owned(),
        text,
        line: test.lines.1,
        span: test.span,
    }
}

fn each_hold(
    rule: &'static Rule,
    case: &Case<'_>,
    condition: impl Fn(&HoldTest) -> Option<Option<String>>,
) -> Verdict {
    let mut judged = false;
    let mut found: Vec<Finding> = Vec::new();
    for test in &case.derived.holds {
        let Some(verdict) = condition(test) else {
            continue;
        };
        judged = true;
        if let Some(text) = verdict {
            found.push(rule.finding(text, vec![hold_input(test)]));
        }
    }
    Verdict::of(judged, found)
}

fn each_vacuum(
    rule: &'static Rule,
    case: &Case<'_>,
    condition: impl Fn(&VacuumTest) -> Option<Option<String>>,
) -> Verdict {
    let mut judged = false;
    let mut found: Vec<Finding> = Vec::new();
    for test in &case.derived.vacuums {
        let Some(verdict) = condition(test) else {
            continue;
        };
        judged = true;
        if let Some(text) = verdict {
            found.push(rule.finding(text, vec![vacuum_input(test)]));
        }
    }
    Verdict::of(judged, found)
}

static HOLD_LOST: Rule = Rule {
    code: Code {
        id: "RB501",
        name: "hold-lost-pressure",
        severity: Severity::Warning,
        explanation: "A standing test ended below the pressure that the first reading gives at the last temperature, by more than one gauge digit and one degree of gas temperature: gas is escaping, or has not yet cooled evenly.",
    },
    needs: "two hold readings",
    plain: "The pressure test showed a leak.",
    caution: Some(NITROGEN),
    source: "ideal-gas law at fixed volume",
    check: |case| {
        each_hold(&HOLD_LOST, case, |test| {
            let lost = test.lost?;
            let expected = test.expected?;
            Some(test.leaks().then(|| {
                let psi = |pascal: f64| case.job.display.gauge(GaugePressure::from_pascal(pascal));
                let lost =
                    crate::derive::Value::PressureChange(AbsolutePressure::from_pascal(lost))
                        .text(case.job.display);
                format!(
                    "hold ended at {}, {lost} below the {} expected of a tight system",
                    test.end,
                    psi(expected.pascal())
                )
            }))
        })
    },
};

static HOLD_NOT_COMPENSATED: Rule = Rule {
    code: Code {
        id: "RB502",
        name: "hold-without-temperature",
        severity: Severity::Advice,
        explanation: "A sealed gas gains or loses about 0.2 % of its absolute pressure a degree Fahrenheit: 0.3 psi at 150 psig. Without the temperature at both ends a small change of pressure says nothing.",
    },
    needs: "two hold readings",
    plain: "The pressure test was not corrected for temperature.",
    caution: None,
    source: "ideal-gas law at fixed volume",
    check: |case| {
        each_hold(&HOLD_NOT_COMPENSATED, case, |test| {
            test.expected?;
            Some((!test.compensated).then(|| {
                "the hold has no temperature at both ends and cannot be corrected for it".to_owned()
            }))
        })
    },
};

static HOLD_UNFINISHED: Rule = Rule {
    code: Code {
        id: "RB503",
        name: "hold-without-end",
        severity: Severity::Warning,
        explanation: "A standing test has one reading only. A hold proves nothing until it is read again after a while.",
    },
    needs: "a hold reading",
    plain: "A pressure test was started, and its result is not recorded.",
    caution: Some(NITROGEN),
    source: "definition of a standing test",
    check: |case| {
        each_hold(&HOLD_UNFINISHED, case, |test| {
            Some(
                test.expected
                    .is_none()
                    .then(|| format!("the hold at {} was never read again", test.start)),
            )
        })
    },
};

static DANGEROUS_TEST_GAS: Rule = Rule {
    code: Code {
        id: "RB504",
        name: "dangerous-test-gas",
        severity: Severity::Error,
        explanation: "Oxygen, compressed air and acetylene can explode with the oil in a refrigeration system. A pressure test uses dry nitrogen through a regulator.",
    },
    needs: "a hold reading",
    plain: "A pressure test was noted with a gas that must not be used.",
    caution: Some(NITROGEN),
    source: "common practice: never oxygen, compressed air or acetylene",
    check: |case| {
        each_hold(&DANGEROUS_TEST_GAS, case, |test| {
            let dangerous = matches!(test.gas.as_str(), "oxygen" | "air" | "acetylene");
            Some(dangerous.then(|| {
                format!(
                    "{} must never be used for a pressure test: with oil it can explode",
                    test.gas
                )
            }))
        })
    },
};

static VACUUM_LEAK: Rule = Rule {
    code: Code {
        id: "RB505",
        name: "vacuum-rises-steadily",
        severity: Severity::Warning,
        explanation: "The isolated vacuum climbed in a straight line past 1000 micron: air is coming in. Moisture would climb and then flatten.",
    },
    needs: "an isolated vacuum of three readings with times",
    plain: "The vacuum test showed a leak.",
    caution: None,
    source: "trade practice, from memory",
    check: |case| {
        each_vacuum(&VACUUM_LEAK, case, |test| {
            let shape = test.shape?;
            if shape == VacuumShape::Undecided {
                return None;
            }
            Some((shape == VacuumShape::Leak).then(|| {
                format!(
                    "the isolated vacuum rose steadily to {:.0} micron: leak",
                    test.last().micron()
                )
            }))
        })
    },
};

static VACUUM_MOISTURE: Rule = Rule {
    code: Code {
        id: "RB506",
        name: "vacuum-rises-and-flattens",
        severity: Severity::Warning,
        explanation: "The isolated vacuum climbed and then flattened: water in the system is boiling off. Change the pump oil, break the vacuum with dry nitrogen, and pull again.",
    },
    needs: "an isolated vacuum of three readings with times",
    plain: "There was still moisture in the system during the vacuum test.",
    caution: None,
    source: "trade practice, from memory",
    check: |case| {
        each_vacuum(&VACUUM_MOISTURE, case, |test| {
            let shape = test.shape?;
            if shape == VacuumShape::Undecided {
                return None;
            }
            Some((shape == VacuumShape::Moisture).then(|| {
                format!(
                    "the isolated vacuum flattened at {:.0} micron: moisture",
                    test.last().micron()
                )
            }))
        })
    },
};

static VACUUM_HIGH: Rule = Rule {
    code: Code {
        id: "RB507",
        name: "vacuum-not-deep-enough",
        severity: Severity::Warning,
        explanation: "The evacuation never reached 500 micron, or did not stay there once isolated. Makers of systems with POE oil ask for 200 to 300.",
    },
    needs: "a vacuum reading",
    plain: "The vacuum before charging did not reach the usual depth.",
    caution: None,
    source: "500 micron: common practice; not found in a standard that was seen",
    check: |case| {
        each_vacuum(&VACUUM_HIGH, case, |test| {
            let limit = VacuumTest::LIMIT_MICRON;
            let deepest = test.deepest.micron();
            let ends = test.last().micron();
            Some(if deepest > limit + 0.5 {
                Some(format!(
                    "the deepest vacuum is {deepest:.0} micron (500 is usual)"
                ))
            } else if test.shape == Some(VacuumShape::Undecided) {
                Some(format!(
                    "the isolated vacuum rose to {ends:.0} micron, too few readings to tell leak from moisture"
                ))
            } else {
                None
            })
        })
    },
};

static VACUUM_NOT_ISOLATED: Rule = Rule {
    code: Code {
        id: "RB508",
        name: "vacuum-not-isolated",
        severity: Severity::Advice,
        explanation: "No vacuum reading says that the pump was valved off. With the pump running a deep reading proves the pump, not the system. Valve it off, wait ten minutes, and add the word `isolated`.",
    },
    needs: "a vacuum reading",
    plain: "The vacuum was not tested with the pump closed off.",
    caution: None,
    source: "common practice, no source",
    check: |case| {
        each_vacuum(&VACUUM_NOT_ISOLATED, case, |test| {
            Some(test.rise.is_none().then(|| {
                if test.readings.iter().any(|r| r.3) {
                    "the isolated vacuum was read only once: no rise can be told".to_owned()
                } else {
                    "no rise was read with the pump valved off".to_owned()
                }
            }))
        })
    },
};

static OPENED_WITHOUT_TESTS: Rule = Rule {
    code: Code {
        id: "RB509",
        name: "opened-without-tests",
        severity: Severity::Warning,
        explanation: "Refrigerant was recovered and put back, so the system was open, and the note has no pressure hold or no evacuation between. They may have been done and not written: write them, with readings.",
    },
    needs: "refrigerant recovered and added again",
    plain: "The tests after opening the system are not recorded.",
    caution: Some(NITROGEN),
    source: "common practice, no source",
    check: |case| {
        let recovered = case.job.entries().find(
            |(_, e)| matches!(&e.kind, EntryKind::Refrigerant(t) if t.flow == Flow::Recovered),
        );
        let Some((_, recovered)) = recovered else {
            return Verdict::NotEvaluated;
        };
        let added = case.job.entries().find(|(_, e)| {
            e.span.start > recovered.span.start
                && matches!(&e.kind, EntryKind::Refrigerant(t) if t.flow == Flow::Added)
        });
        let Some((_, added)) = added else {
            return Verdict::NotEvaluated;
        };
        let between = |kind: fn(&EntryKind) -> bool| {
            case.job.entries().any(|(_, e)| {
                e.span.start > recovered.span.start
                    && e.span.start < added.span.start
                    && kind(&e.kind)
            })
        };
        let mut lacking = Vec::new();
        if !between(|k| matches!(k, EntryKind::Hold { .. })) {
            lacking.push("pressure hold");
        }
        if !between(|k| matches!(k, EntryKind::Vacuum { .. })) {
            lacking.push("evacuation");
        }
        let mut found = Vec::new();
        if !lacking.is_empty() {
            let text = format!(
                "the system was opened and charged again with no {} noted",
                lacking.join(" and no ")
            );
            found.push(OPENED_WITHOUT_TESTS.finding(
                text,
                vec![
                    entry_input("added", "", added),
                    entry_input("recovered", "", recovered),
                ],
            ));
        }
        Verdict::Judged(found)
    },
};

/// A reading that can show the effect of a repair: at a point read before it, or of the cycle, the
/// box or the load. The weather and the supply alone prove nothing.
fn shows_effect(case: &Case<'_>, reading: &Reading, repair: &Entry) -> bool {
    const SURROUNDINGS: &[Point] = &[
        Point::SetPoint,
        Point::HighAlarm,
        Point::Ambient,
        Point::L1L2,
        Point::L2L3,
        Point::L1L3,
        Point::SupplyVoltage,
        Point::ControlVoltage,
    ];
    let read_before = || {
        case.bench
            .at(reading.point)
            .any(|r| r.span.start < repair.span.start)
    };
    !SURROUNDINGS.contains(&reading.point) || reading.point != Point::SetPoint && read_before()
}

static REPAIR_NOT_PROVED: Rule = Rule {
    code: Code {
        id: "RB510",
        name: "repair-not-proved",
        severity: Severity::Warning,
        explanation: "After the last repair no reading was taken that could show its effect. A repair without readings after it is a hope: take at least one of those that showed the fault.",
    },
    needs: "a repair (did, fitted, added)",
    plain: "The effect of the repair was not measured before we left.",
    caution: None,
    source: "common practice, no source",
    check: |case| {
        let last = case
            .job
            .entries()
            .filter(|(_, e)| e.kind.is_repair())
            .last();
        let Some((_, repair)) = last else {
            return Verdict::NotEvaluated;
        };
        let after = case
            .job
            .readings()
            .any(|r| r.span.start > repair.span.start && shows_effect(case, r, repair));
        let mut found = Vec::new();
        if !after {
            let place = repair.at.map_or(String::new(), |at| format!(" ({at})"));
            let text = format!("no reading after the last repair{place}");
            found.push(REPAIR_NOT_PROVED.finding(text, vec![entry_input("repair", "", repair)]));
        }
        Verdict::Judged(found)
    },
};
