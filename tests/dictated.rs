//! The corpus of spoken and thumbed lines: what each states, and what must be asked.

use rimebook::compile::{Compiled, compile};
use rimebook::diagnostic::Severity;
use rimebook::model::{EntryKind, Value};
use rimebook::source::Source;
use std::fmt::Write as _;

const US: &str = "unit: WIF-1, walk-in freezer\nrefrigerant: R-448A, 22 lb\nmetering: txv, receiver\nsetpoint: -5 F\n";
const SI: &str = "unit: WIF-1, walk-in freezer\nrefrigerant: R-448A, 10 kg\nmetering: txv, receiver\nsetpoint: -20 C\n";
const VISIT: &str = "visit 2026-03-14 Dana, Lee\n";
const SI_READINGS: &str = "0700 room 18 C\n0700 suction 1.2 bar\n";

/// A case of the corpus.
#[derive(Debug, Default, Clone)]
struct Case {
    place: String,
    context: String,
    si: bool,
    said: Vec<String>,
    states: Vec<String>,
    asked: Option<String>,
}

fn cases() -> Vec<Case> {
    // Another corpus can be held against it: RIMEBOOK_DICTATED=FOLDER.
    let own = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/dictated");
    let folder = std::env::var("RIMEBOOK_DICTATED").unwrap_or_else(|_| own.to_owned());
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the corpus")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .collect();
    files.sort();
    let mut cases = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("text");
        let stem = file
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let (mut context, mut si) = ("entry".to_owned(), false);
        let mut case = Case::default();
        for (i, line) in text.lines().chain([""]).enumerate() {
            if let Some(directive) = line.strip_prefix("@ ") {
                match directive.split_whitespace().collect::<Vec<_>>()[..] {
                    ["note", system] => si = system == "si",
                    [one] => context = one.to_owned(),
                    _ => panic!("{stem}:{}: {line}", i + 1),
                }
            } else if let Some(said) = line.strip_prefix("< ") {
                if case.said.is_empty() {
                    case.place = format!("{stem}:{}", i + 1);
                }
                case.said.push(said.to_owned());
            } else if let Some(states) = line.strip_prefix("> ") {
                case.states.push(states.to_owned());
            } else if let Some(asked) = line.strip_prefix("? ") {
                case.asked = Some(asked.to_owned());
            } else if line.trim().is_empty() && !case.said.is_empty() {
                case.context.clone_from(&context);
                case.si = si;
                cases.push(std::mem::take(&mut case));
            }
        }
    }
    cases
}

fn note(case: &Case, lines: &[String]) -> Compiled {
    let body = lines.join("\n");
    let head = if case.si { SI } else { US };
    let text = match case.context.as_str() {
        // Keys of the usual head that the case gives itself are left out.
        "head" => {
            let key = |line: &str| {
                line.split(':')
                    .next()
                    .unwrap_or("")
                    .to_lowercase()
                    .replace(' ', "")
            };
            let given: Vec<String> = case.states.iter().map(|l| key(l)).collect();
            let body_only = given.is_empty();
            let kept: Vec<&str> = head
                .lines()
                .filter(|l| !body_only && !given.contains(&key(l)))
                .collect();
            let readings = if case.si { SI_READINGS } else { "" };
            format!(
                "{}\n{body}\n{VISIT}{readings}0800 arrive\n",
                kept.join("\n")
            )
        }
        "visit" => format!("{head}{body}\n"),
        _ => {
            let readings = if case.si { SI_READINGS } else { "" };
            format!("{head}{VISIT}{readings}{body}\n")
        }
    };
    compile(Source::new("note.job", text))
}

/// What a note states, a line each, whatever lines it is spread over.
pub fn stated(compiled: &Compiled) -> String {
    let job = &compiled.job;
    let text = |text: &str| {
        let folded = text.to_lowercase().replace(',', "");
        folded
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .trim_end_matches('.')
            .to_owned()
    };
    let mut out = String::new();
    let heads = [
        ("job", &job.number),
        ("customer", &job.customer),
        ("site", &job.site),
        ("contact", &job.contact),
        ("order", &job.order),
        ("complaint", &job.complaint),
        ("contents", &job.contents),
        ("access", &job.access),
        ("unit", &job.unit.tag),
        ("model", &job.unit.model),
        ("serial", &job.unit.serial),
    ];
    for (name, value) in heads {
        if let Some(value) = value {
            let _ = writeln!(out, "{name}: {}", text(&value.node));
        }
    }
    let unit = &job.unit;
    let np = &unit.nameplate;
    let _ = writeln!(
        out,
        "{:?} {:?} {:?} {:?}",
        unit.refrigerant.map(|r| r.node.name),
        unit.charge.map(|c| c.node),
        unit.metering.expansion,
        unit.metering.receiver
    );
    let _ = writeln!(
        out,
        "{:?} {:?} {:?} {:?} {:?} {:?} {:?}",
        np.volts, np.phases, np.rla, np.heaters, np.heater_volts, np.capacitor, np.control_volts
    );
    let _ = writeln!(
        out,
        "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
        unit.set_point.map(|s| s.node),
        unit.atmosphere,
        unit.design_td,
        unit.design_split,
        unit.design_ambient,
        unit.head_pressure_hold,
        unit.target_superheat,
        unit.target_subcooling
    );
    let _ = writeln!(
        out,
        "{:?} {:?} {:?} {:?} {:?}",
        unit.jurisdiction, unit.appliance, unit.leak_detection, unit.sealed, unit.displacement
    );
    let _ = writeln!(
        out,
        "{:?} {:?}",
        job.food.limit.map(|l| l.node),
        job.food.hours
    );
    for cylinder in &job.cylinders {
        let _ = writeln!(
            out,
            "cylinder {} {:?} {:?} {:?} {:?}",
            cylinder.label.node,
            cylinder.refrigerant.map(|r| r.name),
            cylinder.water_capacity,
            cylinder.tare,
            cylinder.holds
        );
    }
    for visit in &job.visits {
        let names: Vec<String> = visit.technicians.iter().map(|t| text(&t.node)).collect();
        let _ = writeln!(out, "visit {:?} {names:?}", visit.date);
        for entry in &visit.entries {
            let at = entry.at.map_or("-".to_owned(), |at| at.to_string());
            match &entry.kind {
                EntryKind::Readings(readings) => {
                    for reading in readings {
                        let value = match &reading.value {
                            Value::Measured(w) => format!("{:?} ±{:.3e}", w.quantity, w.resolution),
                            Value::Seen(state) => format!("{state:?}"),
                        };
                        let _ = writeln!(out, "{at} {} {value}", reading.label());
                    }
                }
                EntryKind::Refrigerant(t) => {
                    let _ = writeln!(
                        out,
                        "{at} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
                        t.flow,
                        t.mass,
                        t.refrigerant.map(|r| r.name),
                        t.cylinder,
                        t.circuit,
                        t.weighing.as_ref().map(|w| (w.before, w.after)),
                        t.reached.as_ref().map(|r| r.pressure)
                    );
                }
                EntryKind::Hold {
                    gas,
                    pressure,
                    resolution,
                    temperature,
                    ..
                } => {
                    let _ = writeln!(
                        out,
                        "{at} hold {gas} {pressure:?} {resolution:.3e} {temperature:?}"
                    );
                }
                EntryKind::Vacuum {
                    depth, isolated, ..
                } => {
                    let _ = writeln!(out, "{at} vacuum {depth:?} {isolated}");
                }
                EntryKind::Travel { duration, .. } => {
                    let _ = writeln!(out, "{at} travel {duration:?}");
                }
                EntryKind::Waited { duration, .. } => {
                    let _ = writeln!(out, "{at} waited {duration:?}");
                }
                EntryKind::Private(said) => {
                    let _ = writeln!(out, "{at} private {}", said.trim());
                }
                EntryKind::Observation {
                    sense, text: said, ..
                } => {
                    let _ = writeln!(out, "{at} {sense:?} {}", text(said));
                }
                kind => {
                    let _ = writeln!(
                        out,
                        "{at} {}",
                        text(&format!("{kind:?}").replace("\",", "").replace('"', ""))
                    );
                }
            }
        }
    }
    for line in &job.unused {
        let _ = writeln!(out, "unused {}", text(&line.node));
    }
    out
}

/// True when something of at least warning level is said about the writing.
fn is_asked(compiled: &Compiled, code: &str) -> bool {
    compiled.report().iter().any(|d| {
        let writing =
            d.code.id.starts_with("RB1") || d.code.id.starts_with("RB2") || d.code.id == "RB313";
        if code == "ask" {
            writing && d.severity >= Severity::Warning && d.code.id != "RB217"
        } else {
            d.code.id == code
        }
    })
}

#[test]
fn every_line_is_understood_or_asked() {
    let (mut exact, mut asked, mut wrong) = (0, 0, Vec::new());
    let all = cases();
    assert!(all.len() >= 250, "{} cases", all.len());
    for case in &all {
        let heard = note(case, &case.said);
        let expected = note(case, &case.states);
        let same = stated(&heard) == stated(&expected);
        let said = case.asked.as_ref().map(|code| is_asked(&heard, code));
        match (same, said) {
            (_, Some(true)) if case.states.is_empty() => exact += 1,
            (true, None | Some(true)) => exact += 1,
            (false, None) if is_asked(&heard, "ask") => {
                asked += 1;
                report(case, &heard, &expected, "asked");
            }
            _ => {
                wrong.push(case.place.clone());
                report(case, &heard, &expected, "WRONG");
            }
        }
    }
    let total = all.len();
    println!(
        "{exact} of {total} exactly right, {asked} asked, {} silently wrong",
        wrong.len()
    );
    assert!(wrong.is_empty(), "silently wrong: {wrong:?}");
    assert!(
        exact * 100 >= total * 98,
        "{exact} of {total} exactly right"
    );
}

fn report(case: &Case, heard: &Compiled, expected: &Compiled, what: &str) {
    let list = |text: String| {
        text.lines()
            .map(|l| format!("      {l}\n"))
            .collect::<String>()
    };
    let (heard_text, expected_text) = (stated(heard), stated(expected));
    let only = |a: &str, b: &str| {
        a.lines()
            .filter(|l| !b.lines().any(|m| m == *l))
            .collect::<Vec<_>>()
            .join("\n")
    };
    println!(
        "{what} {} [{}]\n   < {}\n   heard:\n{}   expected:\n{}   understood: {:?}\n   said: {:?}",
        case.place,
        case.asked.as_deref().unwrap_or(""),
        case.said.join("\n   < "),
        list(only(&heard_text, &expected_text)),
        list(only(&expected_text, &heard_text)),
        heard.source.text().lines().skip(5).collect::<Vec<_>>(),
        heard
            .diagnostics
            .iter()
            .filter(|d| d.code.id < "RB3")
            .map(|d| format!("{} {}", d.code.id, d.message))
            .collect::<Vec<_>>()
    );
}
