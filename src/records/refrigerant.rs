//! Refrigerant over a folder: by refrigerant, by cylinder, by unit; leak rates and duties.

use super::leaks::assess;
use super::{
    Answer, Cell, MovementRecord, Period, Record, Table, UnitKey, by_unit, in_order, say_doubts,
};
use crate::derive::books::same_cylinder;
use crate::duties::{AS_OF, Assessment, CAUTION, Duty};
use crate::model::Flow;
use crate::quantity::{Display, Mass};
use crate::settings::Settings;

/// Sums of one row.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    before: Mass,
    added: Mass,
    recovered: Mass,
}

impl Sums {
    fn take(&mut self, movement: &MovementRecord, period: &Period) {
        let signed = match movement.flow {
            Flow::Added => movement.mass,
            Flow::Recovered => Mass::ZERO - movement.mass,
        };
        if period.is_before(movement.date) {
            self.before += signed;
        } else if period.has(movement.date) {
            match movement.flow {
                Flow::Added => self.added += movement.mass,
                Flow::Recovered => self.recovered += movement.mass,
            }
        }
    }

    fn net(&self) -> Mass {
        self.added - self.recovered
    }
}

/// Refrigerant of a period.
pub fn refrigerant(mut records: Vec<Record>, settings: &Settings, period: Period) -> Answer {
    in_order(&mut records);
    let display = settings.units;
    let mut answer = Answer::new("refrigerant", format!("Refrigerant, {}", period.name()));
    let units = by_unit(&records);
    answer.tables.push(unit_table(&units, display, period));
    answer
        .tables
        .push(refrigerant_table(&records, display, period));
    answer
        .tables
        .push(cylinder_table(&records, settings, period));
    answer
        .tables
        .push(movement_table(&records, display, period));
    let assessed: Vec<(&UnitKey, Assessment)> = units
        .iter()
        .filter_map(|(key, notes)| Some((*key, assess(notes, settings)?)))
        .collect();
    answer.tables.push(rate_table(&assessed, display, period));
    answer.tables.push(duty_table(&assessed));
    remarks(&mut answer, &records, &units, &assessed, display);
    say_doubts(&mut answer, &records);
    answer
}

fn unit_table(units: &[(&UnitKey, Vec<&Record>)], display: Display, period: Period) -> Table {
    let mut rows = Vec::new();
    let mut all: Vec<Sums> = Vec::new();
    for (key, notes) in units {
        // A unit that was converted has a row for each refrigerant.
        let mut names: Vec<&str> = Vec::new();
        for movement in notes.iter().flat_map(|r| &r.movements) {
            if !names.contains(&movement.name.as_str()) {
                names.push(&movement.name);
            }
        }
        for name in names {
            let mut sums = Sums::default();
            for movement in notes.iter().flat_map(|r| &r.movements) {
                if movement.name == name {
                    sums.take(movement, &period);
                }
            }
            let charge = notes.iter().rev().find_map(|r| r.plant.charge);
            rows.push(vec![
                Cell::text(&key.site),
                Cell::text(&key.tag),
                Cell::text(name),
                charge.map_or_else(|| Cell::unknown("not stated"), |c| Cell::mass(c, display)),
                Cell::mass(sums.before, display),
                Cell::mass(sums.added, display),
                Cell::mass(sums.recovered, display),
                Cell::mass(sums.net(), display),
            ]);
            all.push(sums);
        }
    }
    let total = vec![
        Cell::text("total"),
        Cell::empty(),
        Cell::empty(),
        Cell::empty(),
        sum(&all, |s| s.before, display),
        sum(&all, |s| s.added, display),
        sum(&all, |s| s.recovered, display),
        sum(&all, Sums::net, display),
    ];
    Table {
        name: "units",
        title: "By unit".to_owned(),
        columns: vec![
            ("site", "site"),
            ("unit", "unit"),
            ("refrigerant", "refrigerant"),
            ("full_charge_kg", "full charge"),
            ("net_before_kg", "net before"),
            ("added_kg", "added"),
            ("recovered_kg", "recovered"),
            ("net_kg", "net"),
        ],
        rows,
        total: Some(total),
    }
}

fn sum(all: &[Sums], of: impl Fn(&Sums) -> Mass, display: Display) -> Cell {
    let masses: Vec<Mass> = all.iter().map(of).collect();
    Cell::sum(&masses, display)
}

fn refrigerant_table(records: &[Record], display: Display, period: Period) -> Table {
    let mut rows: Vec<(&str, Option<f64>, Sums)> = Vec::new();
    for movement in records.iter().flat_map(|r| &r.movements) {
        let at = rows
            .iter()
            .position(|r| r.0 == movement.name)
            .unwrap_or_else(|| {
                let gwp = movement.refrigerant.and_then(|r| r.gwp.ar4);
                rows.push((&movement.name, gwp, Sums::default()));
                rows.len() - 1
            });
        rows[at].2.take(movement, &period);
    }
    rows.sort_by(|a, b| a.0.cmp(b.0));
    let all: Vec<Sums> = rows.iter().map(|r| r.2).collect();
    let co2e = |net: Mass, gwp: Option<f64>| match gwp {
        Some(gwp) => {
            let tonnes = net.kilogram() * gwp / 1000.0;
            let shown = crate::quantity::fixed(tonnes, 2);
            Cell {
                exact: shown
                    .parse::<f64>()
                    .map_or(serde_json::Value::Null, Into::into),
                shown,
            }
        }
        None => Cell::unknown("not known"),
    };
    Table {
        name: "refrigerants",
        title: "By refrigerant: into units and out of them".to_owned(),
        columns: vec![
            ("refrigerant", "refrigerant"),
            ("net_before_kg", "net before"),
            ("added_kg", "added"),
            ("recovered_kg", "recovered"),
            ("net_kg", "net"),
            ("net_t_co2e", "net t CO2e"),
        ],
        rows: rows
            .iter()
            .map(|(name, gwp, sums)| {
                vec![
                    Cell::text(*name),
                    Cell::mass(sums.before, display),
                    Cell::mass(sums.added, display),
                    Cell::mass(sums.recovered, display),
                    Cell::mass(sums.net(), display),
                    co2e(sums.net(), *gwp),
                ]
            })
            .collect(),
        total: Some(vec![
            Cell::text("total"),
            sum(&all, |s| s.before, display),
            sum(&all, |s| s.added, display),
            sum(&all, |s| s.recovered, display),
            sum(&all, Sums::net, display),
            Cell::empty(),
        ]),
    }
}

/// A cylinder's movements: what is added to a unit leaves it.
fn cylinder_table(records: &[Record], settings: &Settings, period: Period) -> Table {
    let display = settings.units;
    let mut rows: Vec<(Option<&str>, Vec<&str>, Sums)> = Vec::new();
    for movement in records.iter().flat_map(|r| &r.movements) {
        let cylinder = movement.cylinder.as_deref();
        let at = rows
            .iter()
            .position(|r| same_cylinder(r.0, cylinder))
            .unwrap_or_else(|| {
                rows.push((cylinder, Vec::new(), Sums::default()));
                rows.len() - 1
            });
        if !rows[at].1.contains(&movement.name.as_str()) {
            rows[at].1.push(&movement.name);
        }
        rows[at].2.take(movement, &period);
    }
    for label in settings.cylinders.keys() {
        if !rows.iter().any(|r| same_cylinder(r.0, Some(label))) {
            rows.push((Some(label), Vec::new(), Sums::default()));
        }
    }
    rows.sort_by(|a, b| (a.0.is_none(), a.0).cmp(&(b.0.is_none(), b.0)));
    let opening = |label: Option<&str>| {
        let known = settings
            .cylinders
            .iter()
            .find(|(known, _)| same_cylinder(Some(known), label));
        known.and_then(|(_, cylinder)| cylinder.opening)
    };
    let all: Vec<Sums> = rows.iter().map(|r| r.2).collect();
    Table {
        name: "cylinders",
        title: "By cylinder".to_owned(),
        columns: vec![
            ("cylinder", "cylinder"),
            ("refrigerant", "refrigerant"),
            ("opening_kg", "opening"),
            ("out_kg", "out of it"),
            ("in_kg", "into it"),
            ("closing_kg", "closing"),
        ],
        rows: rows
            .iter()
            .map(|(label, names, sums)| {
                // What was put into units before the period had left the cylinder by then.
                let opening = opening(*label).map(|held| held - sums.before);
                let known = |mass: Option<Mass>| {
                    mass.map_or_else(|| Cell::unknown("not known"), |m| Cell::mass(m, display))
                };
                vec![
                    label.map_or_else(|| Cell::unknown("not named"), Cell::text),
                    Cell::text(names.join(" and ")),
                    known(opening),
                    Cell::mass(sums.added, display),
                    Cell::mass(sums.recovered, display),
                    match opening.map(|held| held - sums.net()) {
                        Some(less) if less.is_negative() => Cell {
                            shown: format!("{}: more came out than it held", display.mass(less)),
                            ..Cell::mass(less, display)
                        },
                        closing => known(closing),
                    },
                ]
            })
            .collect(),
        total: Some(vec![
            Cell::text("total"),
            Cell::empty(),
            Cell::empty(),
            sum(&all, |s| s.added, display),
            sum(&all, |s| s.recovered, display),
            Cell::empty(),
        ]),
    }
}

fn movement_table(records: &[Record], display: Display, period: Period) -> Table {
    let mut rows = Vec::new();
    for record in records {
        for movement in record.movements.iter().filter(|m| period.has(m.date)) {
            rows.push(vec![
                Cell::optional(movement.date.map(|d| d.to_string())),
                Cell::text(&record.unit.site),
                Cell::text(&record.unit.tag),
                Cell::text(match movement.flow {
                    Flow::Added => "added",
                    Flow::Recovered => "recovered",
                }),
                Cell::mass(movement.mass, display),
                Cell::text(&movement.name),
                Cell::optional(movement.cylinder.as_deref()),
                Cell::optional(movement.circuit.as_deref()),
                Cell::optional(record.job.as_deref()),
                Cell::text(format!("{}:{}", record.file, movement.line)),
            ]);
        }
    }
    Table {
        name: "movements",
        title: "Movements".to_owned(),
        columns: vec![
            ("date", "date"),
            ("site", "site"),
            ("unit", "unit"),
            ("flow", ""),
            ("mass_kg", "amount"),
            ("refrigerant", "refrigerant"),
            ("cylinder", "cylinder"),
            ("circuit", "circuit"),
            ("job", "job"),
            ("line", "line"),
        ],
        rows,
        total: None,
    }
}

fn rate_table(assessed: &[(&UnitKey, Assessment)], display: Display, period: Period) -> Table {
    let mut rows = Vec::new();
    for (key, assessment) in assessed {
        for rate in assessment.rates.iter().filter(|r| period.has(Some(r.date))) {
            rows.push(vec![
                Cell::text(&key.site),
                Cell::text(&key.tag),
                Cell::text(rate.date.to_string()),
                Cell::mass(rate.added, display),
                rate.days.map_or_else(
                    || Cell::unknown("not known"),
                    |d| Cell::count(d.unsigned_abs() as usize),
                ),
                rate.annualizing
                    .map_or_else(|| Cell::unknown("not known"), |r| Cell::text(r.to_string())),
                Cell::text(rate.rolling.to_string()),
            ]);
        }
    }
    Table {
        name: "rates",
        title: "Leak rates, 40 CFR 82.152".to_owned(),
        columns: vec![
            ("site", "site"),
            ("unit", "unit"),
            ("date", "added on"),
            ("added_kg", "less recovered"),
            ("days", "days since"),
            ("annualizing", "annualizing"),
            ("rolling", "rolling"),
        ],
        rows,
        total: None,
    }
}

fn duty_table(assessed: &[(&UnitKey, Assessment)]) -> Table {
    let mut rows = Vec::new();
    for (key, assessment) in assessed {
        // What holds always, as the vacuum before opening, is for the sheet of the job.
        let to_be_done = |duty: &&Duty| !duty.is_standing;
        for duty in assessment.duties.iter().filter(to_be_done) {
            rows.push(vec![
                Cell::text(&key.site),
                Cell::text(&key.tag),
                Cell::text(&duty.what),
                duty.due.map_or_else(
                    || Cell::unknown("no day set"),
                    |d| Cell::text(d.to_string()),
                ),
                duty.done.map_or_else(
                    || Cell::unknown("not shown done"),
                    |d| Cell::text(format!("{d}")),
                ),
                Cell::text(&duty.because),
                Cell::text(duty.rule.citation),
            ]);
        }
    }
    Table {
        name: "duties",
        title: format!("Duties, by the rules as reviewed on {AS_OF}"),
        columns: vec![
            ("site", "site"),
            ("unit", "unit"),
            ("what", "what"),
            ("due", "due"),
            ("done", "done"),
            ("because", "because"),
            ("rule", "rule"),
        ],
        rows,
        total: None,
    }
}

fn remarks(
    answer: &mut Answer,
    records: &[Record],
    units: &[(&UnitKey, Vec<&Record>)],
    assessed: &[(&UnitKey, Assessment)],
    display: Display,
) {
    for (key, assessment) in assessed {
        // What is not known matters where refrigerant was moved.
        let moved = units
            .iter()
            .any(|(k, notes)| k == key && notes.iter().any(|r| !r.movements.is_empty()));
        if moved {
            let name = key.name();
            let said = assessment
                .unknown
                .iter()
                .map(|u| format!("{name}: {}", u.text));
            answer.remarks.extend(said);
        }
    }
    for (key, notes) in units {
        let mut names: Vec<&str> = notes
            .iter()
            .flat_map(|r| &r.movements)
            .map(|m| m.name.as_str())
            .collect();
        names.sort_unstable();
        names.dedup();
        if names.len() > 1 {
            answer.remarks.push(format!(
                "{}: several refrigerants were moved ({}); its leak rate counts them as one",
                key.name(),
                names.join(", ")
            ));
        }
    }
    for (key, notes) in units {
        let mut charges: Vec<Mass> = notes.iter().filter_map(|r| r.plant.charge).collect();
        charges.sort();
        charges.dedup();
        if let [least, .., most] = charges[..] {
            answer.remarks.push(format!(
                "{}: its notes state full charges from {} to {}; the last one is counted with",
                key.name(),
                display.mass(least),
                display.mass(most)
            ));
        }
    }
    if assessed.is_empty() {
        answer.remarks.push(
            "no jurisdiction is named in a note or in rimebook.toml: no leak rate or duty is worked out".to_owned(),
        );
    } else {
        answer.remarks.push(CAUTION.to_owned());
    }
    let undated = records
        .iter()
        .flat_map(|r| &r.movements)
        .filter(|m| m.date.is_none())
        .count();
    if undated > 0 {
        let movements = crate::vocabulary::plural(undated, "movement");
        answer.incomplete.push(format!(
            "{movements} without a date: counted in all notes, and in no leak rate or period"
        ));
    }
}
