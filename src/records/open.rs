//! What is still open over a folder: temporary states, locks, recommendations, return visits, duties.

use super::leaks::assess;
use super::ledger::by_unit;
use super::{Answer, Cell, NotedKind, Record, Table, UnitKey, in_order, say_doubts};
use crate::derive::DebtKind;
use crate::derive::debts::closes;
use crate::duties::CAUTION;
use crate::model::Urgency;
use crate::settings::Settings;
use crate::vocabulary::fold;
use jiff::civil::Date;
use rustc_hash::FxHashMap;

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
    let mut found: Vec<Open<'_>> = Vec::new();
    let mut words = Words::default();
    for (key, notes) in by_unit(&records) {
        found.extend(debts(key, &notes));
        found.extend(advice(key, &notes, &mut words));
        found.extend(returns(key, &notes));
        found.extend(duties(key, &notes, on));
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
            match open.since.map(|since| days(since, on)) {
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

/// Whole days from one to a later day; none before it.
fn days(since: Date, on: Date) -> usize {
    let days = since.until(on).map_or(0, |span| span.get_days());
    usize::try_from(days).unwrap_or(0)
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

/// What a line of a unit's notes says, by its words of weight.
struct Said {
    note: usize,
    line: u32,
    kind: Work,
    words: Vec<u32>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Work {
    Done,
    Declined,
    /// A job that did work was called for this.
    Called,
}

/// Recommendations that no later work of the unit has taken up.
fn advice<'a>(unit: &'a UnitKey, notes: &[&Record], words: &mut Words) -> Vec<Open<'a>> {
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
                words: words.of(complaint),
            });
        }
        for event in &record.events {
            let kind = match event.kind {
                NotedKind::Declined => Work::Declined,
                NotedKind::Did | NotedKind::Fitted | NotedKind::Removed => Work::Done,
                _ => continue,
            };
            said.push(Said {
                note,
                line: event.line,
                kind,
                words: words.of(&event.text),
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
            let after = said
                .iter()
                .filter(|s| (s.note, s.line) > (note, advised.line))
                .filter(|s| takes_up(&wanted, &s.words));
            let kinds: Vec<Work> = after.map(|s| s.kind).collect();
            if kinds.iter().any(|kind| *kind != Work::Declined) {
                continue;
            }
            let declined = !kinds.is_empty();
            out.push(Open {
                risk: match (urgency, declined) {
                    (_, true) => Risk::Low,
                    (Urgency::Now, _) => Risk::High,
                    (Urgency::Soon | Urgency::Unstated, _) => Risk::Middle,
                    (Urgency::Later, _) => Risk::Low,
                },
                kind: match declined {
                    true => "declined",
                    false => "recommendation",
                },
                text: advised.text.clone(),
                unit,
                since: record.date(advised.visit),
                due: None,
                place: place(record, advised.line),
            });
        }
    }
    out
}

/// True when a line of work speaks of what was advised: two words of weight in common, or all that
/// the shorter of the two has.
fn takes_up(advised: &[u32], done: &[u32]) -> bool {
    let (mut i, mut j, mut shared) = (0, 0, 0);
    while let (Some(a), Some(b)) = (advised.get(i), done.get(j)) {
        match a.cmp(b) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => (i, j, shared) = (i + 1, j + 1, shared + 1),
        }
    }
    shared >= 2 || (shared > 0 && shared == advised.len().min(done.len()))
}

/// Words that tell one thing from another, numbered once.
#[derive(Default)]
struct Words(FxHashMap<String, u32>);

impl Words {
    /// The words of weight of a text, without their plural, in order of their numbers.
    fn of(&mut self, text: &str) -> Vec<u32> {
        const LIGHT: &[&str] = &[
            "the", "and", "for", "with", "new", "part", "now", "soon", "later", "this", "that",
            "from", "before", "after", "replace", "replaced", "fit", "fitted", "clean", "cleaned",
            "check", "checked", "have", "unit", "next", "today", "time", "year", "will", "not",
            "again", "until", "into", "its", "our", "one", "two",
        ];
        let mut numbers: Vec<u32> = fold(text)
            .split(' ')
            .filter(|w| w.chars().count() > 2 && !LIGHT.contains(w))
            .filter(|w| !w.chars().any(|c| c.is_ascii_digit()))
            .map(|w| {
                let next = self.0.len() as u32;
                let word = w.strip_suffix('s').unwrap_or(w).to_owned();
                *self.0.entry(word).or_insert(next)
            })
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    }
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
            let came_back = i + 1 < notes.len() || said.visit + 1 < record.visits.len();
            if speaks && is_promise && !came_back {
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

fn duties<'a>(unit: &'a UnitKey, notes: &[&Record], on: Date) -> Vec<Open<'a>> {
    let Some(assessment) = assess(notes) else {
        return Vec::new();
    };
    let last = notes.iter().rev().find_map(|r| r.first_date());
    assessment
        .duties
        .into_iter()
        .filter(|duty| duty.done.is_none() && duty.due.is_some())
        .map(|duty| Open {
            risk: match duty.is_overdue(on) {
                true => Risk::High,
                false => Risk::Middle,
            },
            kind: "duty",
            text: format!("{} ({})", duty.what, duty.because),
            unit,
            since: last,
            due: duty.due,
            place: duty.rule.citation.to_owned(),
        })
        .collect()
}
