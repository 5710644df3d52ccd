//! What is still open over a folder: temporary states, locks, recommendations, return visits, duties.

use super::leaks::{assess, events};
use super::{
    Answer, Cell, NotedKind, Record, Table, UnitKey, by_unit, days_between, in_order, say_doubts,
};
use crate::derive::DebtKind;
use crate::derive::debts::closes;
use crate::duties::CAUTION;
use crate::model::Urgency;
use crate::settings::Settings;
use crate::vocabulary::{Topic, Topics, fold, what_was_declined};
use jiff::civil::Date;

/// How much it matters that it stays open. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Risk {
    High,
    Middle,
    Low,
}

impl Risk {
    fn name(self) -> &'static str {
        match self {
            Self::High => "high",
            Self::Middle => "middle",
            Self::Low => "low",
        }
    }
}

/// One thing that is open.
struct Open<'a> {
    risk: Risk,
    kind: &'static str,
    text: String,
    unit: &'a UnitKey,
    since: Option<Date>,
    due: Option<Date>,
    place: String,
}

/// Builds the list as of a day.
pub fn open(mut records: Vec<Record>, settings: &Settings, on: Date) -> Answer {
    in_order(&mut records);
    // What was noted after the day is not known on it.
    records.retain(|r| r.first_date().is_none_or(|first| first <= on));
    let mut found: Vec<Open<'_>> = Vec::new();
    let mut words = Topics::default();
    let mut unknown = Vec::new();
    for (key, notes) in by_unit(&records) {
        found.extend(debts(key, &notes));
        found.extend(advice(key, &notes, &mut words));
        found.extend(returns(key, &notes));
        found.extend(duties(key, &notes, settings, on, &mut unknown));
    }
    // The riskiest first, the oldest of those first; without a day last.
    found.sort_by(|a, b| {
        let order = |o: &Open<'_>| (o.risk, o.since.is_none(), o.since);
        order(a).cmp(&order(b)).then_with(|| a.place.cmp(&b.place))
    });
    let mut answer = Answer::new("open", format!("Open on {on}"));
    answer.tables.push(table(&found, on));
    if found.iter().any(|o| o.kind == "duty") {
        answer.remarks.push(CAUTION.to_owned());
    }
    answer.remarks.extend(unknown);
    if settings.jurisdiction.is_none() && records.iter().all(|r| r.jurisdiction.is_none()) {
        answer.remarks.push(
            "no jurisdiction is named in a note or in rimebook.toml: duties on refrigerant are not looked for".to_owned(),
        );
    }
    say_doubts(&mut answer, &records);
    answer
}

fn table(found: &[Open<'_>], on: Date) -> Table {
    let rows = found.iter().map(|open| {
        vec![
            Cell::text(open.risk.name()),
            Cell::text(open.kind),
            Cell::text(&open.text),
            Cell::text(&open.unit.site),
            Cell::text(&open.unit.tag),
            Cell::optional(open.since.map(|d| d.to_string())),
            match open.since.map(|since| days_between(since, on)) {
                Some(days) => Cell::count(days),
                None => Cell::unknown("not known"),
            },
            match open.due {
                Some(due) if due < on => Cell {
                    shown: format!("{due}, overdue"),
                    exact: due.to_string().into(),
                },
                due => Cell::optional(due.map(|d| d.to_string())),
            },
            Cell::text(&open.place),
        ]
    });
    Table {
        name: "open",
        title: "By risk, then by age".to_owned(),
        columns: vec![
            ("risk", "risk"),
            ("kind", "kind"),
            ("what", "what"),
            ("site", "site"),
            ("unit", "unit"),
            ("since", "since"),
            ("days", "days"),
            ("due", "due"),
            ("line", "line"),
        ],
        rows: rows.collect(),
        total: None,
    }
}

fn place(record: &Record, line: u32) -> String {
    format!("{}:{line}", record.file)
}

/// Temporary states and locks of one unit that no note has closed.
fn debts<'a>(unit: &'a UnitKey, notes: &[&Record]) -> Vec<Open<'a>> {
    struct Left<'r> {
        kind: DebtKind,
        text: &'r str,
        since: Option<Date>,
        place: String,
    }
    let mut left: Vec<Left<'_>> = Vec::new();
    for record in notes {
        // A closing line without its opening one in the note closes what an earlier note left.
        for orphan in &record.orphans {
            let own: Vec<usize> = (0..left.len())
                .filter(|&i| left[i].kind == orphan.kind)
                .collect();
            let texts: Vec<&str> = own.iter().map(|&i| left[i].text).collect();
            let mut closed = closes(&texts, orphan.kind, &orphan.text);
            closed.sort_unstable();
            for at in closed.into_iter().rev() {
                left.remove(own[at]);
            }
        }
        let still = record.debts.iter().filter(|d| !d.is_closed).map(|d| Left {
            kind: d.kind,
            text: &d.text,
            since: d.opened,
            place: place(record, d.line),
        });
        left.extend(still);
    }
    left.into_iter()
        .map(|left| Open {
            risk: match left.kind {
                DebtKind::Lock => Risk::High,
                DebtKind::Condition => Risk::Middle,
            },
            kind: match left.kind {
                DebtKind::Lock => "lock",
                DebtKind::Condition => "temporary state",
            },
            text: left.text.to_owned(),
            unit,
            since: left.since,
            due: None,
            place: left.place,
        })
        .collect()
}

/// What a line of a unit's notes speaks of.
struct Said {
    note: usize,
    line: u32,
    kind: Work,
    topic: Topic,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Work {
    /// A part put in.
    Fitted,
    /// Other work.
    Done,
    Declined,
    /// A job that did work was called for this.
    Called,
}

/// Recommendations that no later work of the unit has taken up.
fn advice<'a>(unit: &'a UnitKey, notes: &[&Record], words: &mut Topics) -> Vec<Open<'a>> {
    let mut said: Vec<Said> = Vec::new();
    for (note, record) in notes.iter().enumerate() {
        let worked = |e: &super::Noted| matches!(e.kind, NotedKind::Did | NotedKind::Fitted);
        if let Some(complaint) = record.complaint.as_deref()
            && record.events.iter().any(worked)
        {
            said.push(Said {
                note,
                line: 0,
                kind: Work::Called,
                topic: words.of(complaint),
            });
        }
        for event in &record.events {
            let kind = match event.kind {
                NotedKind::Declined => Work::Declined,
                NotedKind::Fitted => Work::Fitted,
                NotedKind::Did | NotedKind::Removed => Work::Done,
                _ => continue,
            };
            let text = match kind {
                Work::Declined => what_was_declined(&event.text),
                _ => &event.text,
            };
            said.push(Said {
                note,
                line: event.line,
                kind,
                topic: words.of(text),
            });
        }
    }
    let mut out = Vec::new();
    for (note, record) in notes.iter().enumerate() {
        for advised in &record.events {
            let NotedKind::Advised(urgency) = advised.kind else {
                continue;
            };
            let wanted = words.of(&advised.text);
            let after: Vec<&Said> = said
                .iter()
                .filter(|s| (s.note, s.line) > (note, advised.line))
                .filter(|s| wanted.is_taken_up_by(&s.topic))
                .collect();
            // A part of that name was put in: done. Other words about it are for a person to judge.
            if after.iter().any(|s| s.kind == Work::Fitted) {
                continue;
            }
            let perhaps = after.iter().find(|s| s.kind != Work::Declined);
            let declined = after.iter().any(|s| s.kind == Work::Declined);
            out.push(Open {
                risk: match (urgency, declined || perhaps.is_some()) {
                    (_, true) => Risk::Low,
                    (Urgency::Now, _) => Risk::High,
                    (Urgency::Soon | Urgency::Unstated, _) => Risk::Middle,
                    (Urgency::Later, _) => Risk::Low,
                },
                kind: match (perhaps, declined) {
                    (Some(_), _) => "perhaps done",
                    (None, true) => "declined",
                    (None, false) => "recommendation",
                },
                text: match perhaps {
                    Some(said) => format!(
                        "{} (see {})",
                        advised.text,
                        place(notes[said.note], said.line.max(1))
                    ),
                    None => advised.text.clone(),
                },
                unit,
                since: record.date(advised.visit),
                due: None,
                place: place(record, advised.line),
            });
        }
    }
    out
}

/// Promised returns after which no visit is on record.
fn returns<'a>(unit: &'a UnitKey, notes: &[&Record]) -> Vec<Open<'a>> {
    let mut out = Vec::new();
    for (i, record) in notes.iter().enumerate() {
        for said in &record.events {
            let speaks = matches!(
                said.kind,
                NotedKind::Told | NotedKind::Approved | NotedKind::Advised(_)
            );
            let folded = format!(" {} ", fold(&said.text));
            let is_promise = [" return ", " come back ", " back tomorrow ", " next visit "]
                .iter()
                .any(|words| folded.contains(words));
            // `told manager not to return the fish` promises nothing.
            let is_promise = speaks && is_promise && !folded.contains(" not ");
            let is_promise = is_promise || said.kind == NotedKind::Booked;
            let came_back = i + 1 < notes.len() || said.visit + 1 < record.visits.len();
            if is_promise && !came_back {
                out.push(Open {
                    risk: Risk::Middle,
                    kind: "return visit",
                    text: said.text.clone(),
                    unit,
                    since: record.date(said.visit),
                    due: None,
                    place: place(record, said.line),
                });
            }
        }
    }
    out
}

fn duties<'a>(
    unit: &'a UnitKey,
    notes: &[&Record],
    settings: &Settings,
    on: Date,
    unknown: &mut Vec<String>,
) -> Vec<Open<'a>> {
    let Some(assessment) = assess(notes, settings) else {
        return Vec::new();
    };
    let moved = notes.iter().any(|r| !r.movements.is_empty());
    if moved && !assessment.unknown.is_empty() {
        let count = crate::vocabulary::plural(assessment.unknown.len(), "question");
        unknown.push(format!(
            "{}: {count} about its duties cannot be answered from the notes; see `rimebook refrigerant`",
            unit.name()
        ));
    }
    let since = events(notes).iter().map(|event| event.date).max();
    assessment
        .duties
        .into_iter()
        .filter(|duty| duty.done.is_none() && !duty.is_standing)
        .map(|duty| Open {
            risk: match duty.is_overdue(on) {
                true => Risk::High,
                false => Risk::Middle,
            },
            kind: "duty",
            text: match duty.due {
                Some(_) => format!("{} ({})", duty.what, duty.because),
                None => format!("{}; nothing on record ({})", duty.what, duty.because),
            },
            unit,
            since,
            due: duty.due,
            place: duty.rule.citation.to_owned(),
        })
        .collect()
}
