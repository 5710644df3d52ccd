//! `cases/syntax/*.txt`: how each line is read, what the readings come to, and what is said.

use super::support::{case, cases};
use rimebook::compile::Compiled;
use rimebook::diagnostic::{Severity, short};
use rimebook::model::{EntryKind, Reading, Value};
use rimebook::quantity::{Quantity, fixed};
use rimebook::source::Span;
use rimebook::syntax::{Clock, Item, Line, Statement, VisitDate, parse};
use std::fmt::Write as _;

#[test]
fn every_case_reads_as_before() {
    insta::glob!("cases/syntax/*.txt", |path| {
        let text = std::fs::read_to_string(path).expect("a case");
        insta::with_settings!({ description => text, omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!("syntax", dump(&case(path)));
        });
    });
}

#[test]
fn the_note_of_the_design_has_no_error() {
    let compiled = case(&cases().join("syntax/walk_in_freezer.txt"));
    let errors: Vec<String> = compiled
        .report()
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .map(|d| short(&compiled.source, d))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    assert!(compiled.job.unused.is_empty(), "{:?}", compiled.job.unused);
}

/// Lines, readings and diagnostics as text.
fn dump(compiled: &Compiled) -> String {
    let source = &compiled.source;
    let mut out = String::from("-- lines\n");
    for (number, line) in parse(source).lines.iter().enumerate() {
        let _ = write!(out, "{:>3} {}", number + 1, kind(&line.line));
        if let Some(comment) = line.comment {
            let _ = write!(out, "  comment {:?}", source.slice(comment));
        }
        out.push('\n');
        if let Line::Entry(entry) = &line.line
            && let Statement::Readings(items) = &entry.statement
        {
            for item in items {
                let _ = writeln!(out, "      {}", written(item, |span| source.slice(span)));
            }
        }
    }
    out.push_str("-- readings\n");
    for reading in compiled.job.readings() {
        let _ = writeln!(out, "{:>3} {}", reading.line, measured(reading));
    }
    for (_, entry) in compiled.job.entries() {
        if let Some(action) = acted(&entry.kind) {
            let _ = writeln!(out, "{:>3} {action}", entry.line);
        }
    }
    out.push_str("-- said\n");
    for diagnostic in &compiled.diagnostics {
        let _ = writeln!(out, "{}", short(source, diagnostic));
        for fix in &diagnostic.fixes {
            let (from, to) = (source.slice(fix.span), &fix.replacement);
            let _ = writeln!(out, "    {}: {from:?} to {to:?}", fix.title);
        }
    }
    out
}

fn kind(line: &Line<'_>) -> String {
    match line {
        Line::Blank => "blank".to_owned(),
        Line::Comment => "comment".to_owned(),
        Line::Broken => "broken".to_owned(),
        Line::Continuation(text) => format!("continuation {:?}", text.node),
        Line::Head(head) => {
            let known = head.known.map_or("not known", |k| k.name());
            format!("head {:?} ({known}) = {:?}", head.key.node, head.value.node)
        }
        Line::Visit(visit) => {
            let names: Vec<&str> = visit.technicians.iter().map(|t| t.node).collect();
            let date = match visit.date.map(|d| d.node) {
                None => "no date".to_owned(),
                Some(VisitDate::Full(date)) => date.to_string(),
                Some(VisitDate::NoYear { month, day }) => format!("{month}-{day}, no year"),
            };
            format!("visit {date} {names:?}")
        }
        Line::Entry(entry) => {
            let clock = entry.clock.map_or("--:--".to_owned(), |c| clock(c.node));
            let said = match &entry.statement {
                Statement::Readings(_) => "readings".to_owned(),
                Statement::Nothing => "nothing".to_owned(),
                Statement::Unknown(text) => format!("not understood {:?}", text.node),
                Statement::Action { verb, text, .. } => format!("{} {:?}", verb.name(), text.node),
            };
            format!("{clock} {said}")
        }
    }
}

fn clock(clock: Clock) -> String {
    let sure = if clock.certain { "" } else { "?" };
    format!("{:02}:{:02}{sure}", clock.minutes / 60, clock.minutes % 60)
}

fn written<'a>(item: &Item<'a>, slice: impl Fn(Span) -> &'a str) -> String {
    match item {
        Item::State { name, state, .. } => format!("{} is {}", name.node, state.node.name()),
        Item::Value(value) => {
            let values: Vec<&str> = value.values.iter().map(|v| slice(v.span)).collect();
            let unit = value.unit.map_or("no unit", |u| u.node);
            let remark = value
                .remark
                .map_or(String::new(), |r| format!(", remark {:?}", r.node));
            format!(
                "{} = {} [{unit}]{remark}",
                value.name.node,
                values.join(" / ")
            )
        }
    }
}

/// What is read out of the text of an action, where something is.
fn acted(kind: &EntryKind) -> Option<String> {
    Some(match kind {
        EntryKind::Refrigerant(t) => {
            let of = t.refrigerant.map_or("unknown", |r| r.name);
            let cylinder = t.cylinder.as_deref().unwrap_or("not said");
            let circuit = t.circuit.as_deref().unwrap_or("the unit");
            let kilogram = fixed(t.mass.kilogram(), 6);
            format!(
                "{:?} {:?} = {kilogram} kg of {of}, cylinder {cylinder}, {circuit}",
                t.flow, t.written
            )
        }
        EntryKind::Hold {
            gas,
            pressure,
            temperature,
            ..
        } => {
            let at = temperature.map_or("no temperature".to_owned(), |t| {
                format!("{} K", fixed(t.kelvin(), 2))
            });
            format!(
                "hold of {gas}, {} Pa gauge, {at}",
                fixed(pressure.pascal(), 0)
            )
        }
        EntryKind::Vacuum {
            depth, isolated, ..
        } => format!(
            "vacuum {} Pa{}",
            fixed(depth.pascal(), 2),
            if *isolated { ", isolated" } else { "" }
        ),
        EntryKind::Travel {
            duration: Some(d), ..
        }
        | EntryKind::Waited {
            duration: Some(d), ..
        } => format!("{} s", fixed(d.second(), 0)),
        EntryKind::Cause {
            fault: Some(fault), ..
        } => format!("cause: {}", fault.name),
        EntryKind::Advise { urgency, text } => format!("advise {urgency:?}: {text:?}"),
        EntryKind::Observation { signs, .. } if !signs.is_empty() => format!("signs {signs:?}"),
        _ => return None,
    })
}

fn measured(reading: &Reading) -> String {
    let value = match &reading.value {
        Value::Seen(state) => state.name().to_owned(),
        Value::Measured(written) => {
            let (name, decimals) = match written.quantity {
                Quantity::Gauge(_) => ("Pa gauge", 0),
                Quantity::Absolute(_) => ("Pa absolute", 0),
                Quantity::Vacuum(_) => ("Pa vacuum", 2),
                Quantity::AirPressure(_) => ("Pa air", 1),
                Quantity::Temperature(_) => ("K", 2),
                Quantity::TemperatureDifference(_) => ("K difference", 2),
                Quantity::Voltage(_) => ("V", 3),
                Quantity::Current(_) => ("A", 3),
                Quantity::Power(_) => ("W", 1),
                Quantity::Resistance(_) => ("ohm", 1),
                Quantity::Capacitance(_) => ("F", 9),
                Quantity::Mass(_) => ("kg", 6),
                Quantity::Duration(_) => ("s", 0),
                Quantity::Length(_) => ("m", 3),
                Quantity::Percent(_) => ("%", 1),
                Quantity::VolumeFlow(_) => ("m3/s", 4),
            };
            let si = fixed(written.quantity.si(), decimals);
            format!("{:?} = {si} {name}", written.text)
        }
    };
    let at = reading.at.map_or("untimed".to_owned(), |at| at.to_string());
    format!("{at} {}: {value}", reading.label())
}
