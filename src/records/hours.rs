//! Hours and parts for the office: by job, by technician, by month.

use super::{Answer, Cell, NotedKind, Period, Record, Table, in_order, say_doubts};
use jiff::civil::Date;
use rustc_hash::FxHashMap;

/// What the hours are summed by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// A row a job.
    Job,
    /// A row a technician.
    Technician,
    /// A row a month.
    Month,
}

/// One technician on one visit: hours are counted a person.
struct Stay<'a> {
    record: &'a Record,
    date: Option<Date>,
    technician: &'a str,
    on_site: Option<i32>,
    travel: Option<i32>,
    waiting: Option<i32>,
    clock: &'a [(i32, i32)],
}

/// Builds the hours and parts of a period.
pub fn hours(mut records: Vec<Record>, period: Period, by: By) -> Answer {
    in_order(&mut records);
    let stays = stays(&records, period);
    let what = match by {
        By::Job => "job",
        By::Technician => "technician",
        By::Month => "month",
    };
    let mut answer = Answer::new("hours", format!("Hours by {what}, {}", period.name()));
    answer.tables.push(summed(&stays, by));
    answer.tables.push(visits(&stays));
    answer.tables.push(parts(&records, period));
    answer.remarks.push(
        "Hours are a person's: a visit of two counts twice. Waiting lies within the time on site."
            .to_owned(),
    );
    answer
        .incomplete
        .extend(stays.iter().filter(|s| s.on_site.is_none()).map(|s| {
            format!(
                "{}: the time on site of {} on {} is not recorded",
                s.record.file,
                s.technician,
                day(s.date)
            )
        }));
    answer.incomplete.extend(overlaps(&stays));
    say_doubts(&mut answer, &records);
    answer
}

fn stays<'a>(records: &'a [Record], period: Period) -> Vec<Stay<'a>> {
    let mut out = Vec::new();
    for record in records {
        for visit in record.visits.iter().filter(|v| period.has(v.date)) {
            let travel = visit.time.travel;
            let waiting = visit.time.waiting;
            let stay = |technician: &'a str, on_site, clock: &'a [(i32, i32)]| Stay {
                record,
                date: visit.date,
                technician,
                on_site,
                travel,
                waiting,
                clock,
            };
            match visit.people.as_slice() {
                [] => out.push(stay("not named", visit.time.on_site, &[])),
                people => out.extend(people.iter().map(|p| Stay {
                    waiting: p.waiting,
                    ..stay(&p.name, p.on_site, &p.stays)
                })),
            }
        }
    }
    out
}

fn day(date: Option<Date>) -> String {
    date.map_or_else(|| "a day not recorded".to_owned(), |d| d.to_string())
}

/// Sum of what is recorded; `None` where nothing is.
fn sum(parts: impl Iterator<Item = Option<i32>>) -> Option<i32> {
    parts.flatten().reduce(|a, b| a + b)
}

fn sums<'a>(stays: impl Iterator<Item = &'a Stay<'a>> + Clone) -> [Cell; 3] {
    [
        Cell::minutes(sum(stays.clone().map(|s| s.on_site))),
        Cell::minutes(sum(stays.clone().map(|s| s.travel))),
        match sum(stays.map(|s| s.waiting)) {
            None => Cell::empty(),
            known => Cell::minutes(known),
        },
    ]
}

fn summed(stays: &[Stay<'_>], by: By) -> Table {
    let key = |stay: &Stay<'_>| match by {
        By::Job => (stay.record.name(), stay.record.unit.name()),
        // One person, whatever the case of the name.
        By::Technician => (stay.technician.to_lowercase(), String::new()),
        By::Month => {
            let month = stay.date.map(|d| d.strftime("%Y-%m").to_string());
            (
                month.unwrap_or_else(|| "not recorded".to_owned()),
                String::new(),
            )
        }
    };
    let mut places: FxHashMap<(String, String), usize> = FxHashMap::default();
    let mut groups: Vec<((String, String), Vec<&Stay<'_>>)> = Vec::new();
    for stay in stays {
        let key = key(stay);
        let at = *places.entry(key.clone()).or_insert_with(|| {
            groups.push((key, Vec::new()));
            groups.len() - 1
        });
        groups[at].1.push(stay);
    }
    if by != By::Job {
        groups.sort_by(|a, b| a.0.cmp(&b.0));
    }
    let row = |(key, own): ((String, String), Vec<&Stay<'_>>)| {
        let about = match by {
            By::Job => Cell::text(key.1),
            _ => Cell::count(jobs(own.iter().copied())),
        };
        let name = match by {
            By::Technician => own[0].technician.to_owned(),
            _ => key.0,
        };
        let mut row = vec![Cell::text(name), about, Cell::count(own.len())];
        row.extend(sums(own.iter().copied()));
        row
    };
    let mut total = vec![Cell::text("total"), Cell::empty(), Cell::count(stays.len())];
    total.extend(sums(stays.iter()));
    let (key, label, about) = match by {
        By::Job => ("job", "job", ("unit", "unit")),
        By::Technician => ("technician", "technician", ("jobs", "jobs")),
        By::Month => ("month", "month", ("jobs", "jobs")),
    };
    Table {
        name: "hours",
        title: "Hours".to_owned(),
        columns: vec![
            (key, label),
            about,
            ("visits", "visits"),
            ("on_site_min", "on site"),
            ("travel_min", "travel"),
            ("waiting_min", "waiting"),
        ],
        rows: groups.into_iter().map(row).collect(),
        total: Some(total),
    }
}

fn jobs<'a>(stays: impl Iterator<Item = &'a Stay<'a>>) -> usize {
    let mut names: Vec<String> = stays.map(|s| s.record.name()).collect();
    names.sort();
    names.dedup();
    names.len()
}

fn visits(stays: &[Stay<'_>]) -> Table {
    Table {
        name: "visits",
        title: "Visits".to_owned(),
        columns: vec![
            ("date", "date"),
            ("technician", "technician"),
            ("job", "job"),
            ("site", "site"),
            ("unit", "unit"),
            ("on_site_min", "on site"),
            ("travel_min", "travel"),
            ("waiting_min", "waiting"),
            ("file", "file"),
        ],
        rows: stays
            .iter()
            .map(|stay| {
                let mut row = vec![
                    Cell::optional(stay.date.map(|d| d.to_string())),
                    Cell::text(stay.technician),
                    Cell::optional(stay.record.job.as_deref()),
                    Cell::text(&stay.record.unit.site),
                    Cell::text(&stay.record.unit.tag),
                ];
                row.extend(sums(std::iter::once(stay)));
                row.push(Cell::text(&stay.record.file));
                row
            })
            .collect(),
        total: None,
    }
}

fn parts(records: &[Record], period: Period) -> Table {
    let mut rows = Vec::new();
    for record in records {
        for moved in &record.parts {
            let date = record.date(moved.visit);
            if period.has(date) {
                let mut row = vec![
                    Cell::optional(date.map(|d| d.to_string())),
                    Cell::optional(record.job.as_deref()),
                    Cell::text(&record.unit.site),
                    Cell::text(&record.unit.tag),
                ];
                row.extend(super::part_cells(moved));
                row.push(Cell::text(format!("{}:{}", record.file, moved.line)));
                rows.push(row);
            }
        }
        for used in record
            .events
            .iter()
            .filter(|e| e.kind == NotedKind::Material)
        {
            let date = record.date(used.visit);
            if period.has(date) {
                rows.push(vec![
                    Cell::optional(date.map(|d| d.to_string())),
                    Cell::optional(record.job.as_deref()),
                    Cell::text(&record.unit.site),
                    Cell::text(&record.unit.tag),
                    Cell::text("used"),
                    Cell::unknown("as written"),
                    Cell::text(&used.text),
                    Cell::empty(),
                    Cell::text(format!("{}:{}", record.file, used.line)),
                ]);
            }
        }
    }
    Table {
        name: "parts",
        title: "Parts and materials".to_owned(),
        columns: vec![
            ("date", "date"),
            ("job", "job"),
            ("site", "site"),
            ("unit", "unit"),
            ("way", ""),
            ("count", "count"),
            ("part", "part"),
            ("number", "number"),
            ("line", "line"),
        ],
        rows,
        total: None,
    }
}

/// One technician at two places at one time.
fn overlaps(stays: &[Stay<'_>]) -> Vec<String> {
    let mut timed: Vec<(&str, Date, (i32, i32), &str)> = stays
        .iter()
        .filter_map(|s| Some((s, s.date?)))
        .flat_map(|(s, date)| {
            let file = s.record.file.as_str();
            s.clock
                .iter()
                .map(move |clock| (s.technician, date, *clock, file))
        })
        .collect();
    timed.sort();
    let clock = |minutes: i32| crate::model::Minutes(minutes).to_string();
    timed
        .windows(2)
        .filter(|pair| pair[0].0 == pair[1].0 && pair[0].1 == pair[1].1)
        .filter(|pair| pair[1].2.0 < pair[0].2.1)
        .map(|pair| {
            let (technician, date, (_, leaves), file) = pair[0];
            let (_, _, (arrives, _), other) = pair[1];
            format!(
                "{technician} arrives at {} on {date} ({other}) before leaving at {} ({file}): the hours overlap",
                clock(arrives),
                clock(leaves)
            )
        })
        .collect()
}
