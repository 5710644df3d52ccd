//! One line: its time, what it states, its comment.

use super::{Note, action, kept, reading};
use crate::model::{Entry, EntryKind, Minutes};
use crate::source::{Span, Spanned};
use crate::syntax::{self, Clock, Line, ParsedLine, Statement, VisitDate, VisitLine, is_blank};
use crate::vocabulary;
use std::fmt::Write as _;

/// Writes a line in canonical form; `None` when it is to stay as it is.
pub(super) fn write(
    note: &Note<'_>,
    line: &ParsedLine<'_>,
    entry: Option<&Entry>,
    out: &mut String,
) -> Option<()> {
    let end = line.comment.map_or(line.span.end, |comment| comment.start);
    let text = note
        .source
        .slice(Span::new(line.span.start as usize, end as usize));
    let body = text.trim_end_matches(is_blank);
    match &line.line {
        Line::Blank | Line::Comment | Line::Continuation(_) | Line::Broken => return None,
        Line::Head(head) => {
            let key = head.known?;
            let _ = write!(out, "{}: {}", key.name(), head.value.node);
        }
        Line::Visit(visit) => write_visit(body.trim_start_matches(is_blank), visit, out)?,
        Line::Entry(stated) => {
            let body_end = line.span.start + body.len() as u32;
            statement(note, stated, entry, line.span.start..body_end, out)?;
        }
    }
    if line.comment.is_some() {
        let after = Span::new(
            line.span.start as usize + body.len(),
            line.span.end as usize,
        );
        out.push_str(note.written(after));
    }
    Some(())
}

fn write_visit(body: &str, visit: &VisitLine<'_>, out: &mut String) -> Option<()> {
    // A time before the word is no part of a visit, and would be lost.
    let (_, words) = vocabulary::verb(body)?;
    // A year that was left out is read, but it was not written.
    let VisitDate::Full(date) = visit.date?.node else {
        return None;
    };
    let words = &body[words];
    let word = if kept::line_kind(words) {
        words
    } else {
        "visit"
    };
    let _ = write!(out, "{word} {date}");
    for (i, name) in visit.technicians.iter().enumerate() {
        out.push_str(if i == 0 { " " } else { ", " });
        out.push_str(name.node);
    }
    Some(())
}

fn statement(
    note: &Note<'_>,
    stated: &syntax::Entry<'_>,
    entry: Option<&Entry>,
    place: std::ops::Range<u32>,
    out: &mut String,
) -> Option<()> {
    if entry.is_some_and(|e| matches!(e.kind, EntryKind::Private(_))) {
        return None;
    }
    let mut start = place.start;
    if let Some(clock) = stated.clock {
        write_clock(note, clock, entry?.at, out);
        out.push(' ');
        start = clock.span.end;
    }
    match &stated.statement {
        Statement::Readings(items) => reading::write(note, items, start..place.end, out),
        Statement::Action { verb, words, text } => {
            action::write(note, &entry?.kind, *verb, *words, *text, out);
            Some(())
        }
        Statement::Unknown(_) | Statement::Nothing => None,
    }
}

/// The time as 24-hour time where it was taken as it is written; else as written, so that the doubt
/// stays to be seen.
fn write_clock(note: &Note<'_>, clock: Spanned<Clock>, at: Option<Minutes>, out: &mut String) {
    let written = note.source.slice(clock.span);
    let minutes = clock.minutes;
    let as_written = at.is_some_and(|at| at.0.rem_euclid(1440) == i32::from(minutes) % 1440);
    let has_seconds = written.matches(':').count() > 1;
    let _ = if as_written && !has_seconds {
        write!(out, "{:02}{:02}", minutes / 60, minutes % 60)
    } else {
        write!(out, "{written}")
    };
}
