//! The walk from parsed lines to the model. Lines that could not be used are kept in
//! [`Job::unused`], so that nothing written is lost.

use super::draft::Draft;
use super::habits::UnitHabits;
use super::{Entry, EntryKind, Job, Minutes, Reading, Visit, action, head, private};
use crate::diagnostic::{Diagnostic, code};
use crate::source::{Source, Span, Spanned};
use crate::syntax::{
    Clock, Item, Line, Parse, ParsedLine, Statement, VisitDate, clock_alone, parse_statement,
};
use crate::vocabulary::Verb;
use crate::vocabulary::privacy::{has_marker, is_private, public_names, reaches_back};

/// Builds the job from the lines of a note and reports what the lines mean beside each other.
///
/// The head is read first, wherever its lines stand: what an entry means may rest on the unit's
/// refrigerant or atmosphere.
pub fn build(source: &Source, parse: &Parse<'_>) -> (Job, Vec<Diagnostic>) {
    let mut draft = Draft {
        source,
        job: Job::default(),
        diagnostics: Vec::new(),
        habits: UnitHabits::of(parse),
    };
    draft.job.display = draft.habits.display();
    let heads = head::collect(source, parse);
    head::read(&mut draft, &heads);
    let mut builder = Builder {
        draft,
        clock: None,
        afternoon: false,
        phase: 0,
        target: Target::None,
    };
    for line in &parse.lines {
        builder.line(line);
    }
    builder.finish(parse)
}

/// Minutes past which a time after midnight is questioned: a night's work leaves lines behind.
const LONGEST_NIGHT: i32 = 8 * 60;

/// What an indented line would continue.
enum Target {
    None,
    Entry,
    /// The line of the head that was last.
    Head(Span),
    Unused,
}

struct Builder<'a> {
    draft: Draft<'a>,
    clock: Option<Minutes>,
    /// True once this visit's times were read as afternoon.
    afternoon: bool,
    phase: u32,
    target: Target,
}

impl<'a> Builder<'a> {
    fn line(&mut self, line: &ParsedLine<'a>) {
        match &line.line {
            Line::Blank | Line::Comment => {}
            Line::Broken => {
                self.keep_unused(Spanned::new(self.draft.source.slice(line.span), line.span));
            }
            Line::Head(head) => {
                if is_private(head.value.node) {
                    let whole = self.draft.source.slice(line.span).to_owned();
                    self.draft.job.unused.push(Spanned::new(whole, line.span));
                    // What goes on below is of the private words.
                    self.target = Target::Unused;
                    return;
                }
                self.target = Target::Head(line.span);
            }
            Line::Visit(visit) => {
                self.open_visit(line.span);
                let date = visit.date.and_then(|date| self.date(date));
                let names = public_names(&visit.technicians);
                if visit.technicians.iter().any(|name| is_private(name.node)) {
                    let whole = self.draft.source.slice(line.span).to_owned();
                    self.draft.job.unused.push(Spanned::new(whole, line.span));
                }
                if let Some(opened) = self.draft.job.visits.last_mut() {
                    opened.date = date;
                    opened.technicians = names
                        .iter()
                        .map(|name| Spanned::new(name.node.to_owned(), name.span))
                        .collect();
                }
                self.target = Target::None;
            }
            Line::Continuation(text) => self.continuation(*text),
            Line::Entry(entry) => {
                if self.draft.job.visits.is_empty() {
                    if head::Raw::from_entry(entry, self.draft.source).is_some() {
                        self.target = Target::Head(line.span);
                        return;
                    }
                    // A line that says nothing known begins no visit: the head goes on under it.
                    if let Statement::Unknown(text) = &entry.statement {
                        self.keep_unused(*text);
                        return;
                    }
                    self.draft.diagnostics.push(
                        Diagnostic::new(
                            &code::NO_VISIT,
                            line.span,
                            "this entry stands before the first visit and has no date",
                        )
                        .help("put a line `visit 2026-03-14 Name` above it"),
                    );
                    self.open_visit(line.span);
                }
                if let Some(clock) = entry.clock {
                    self.advance(clock);
                }
                self.statement(&entry.statement, line);
                self.comment_after_number(line);
            }
        }
    }

    fn open_visit(&mut self, span: Span) {
        self.clock = None;
        self.afternoon = false;
        self.phase += 1;
        self.draft.job.visits.push(Visit {
            span,
            date: None,
            technicians: Vec::new(),
            entries: Vec::new(),
        });
    }

    fn date(&mut self, date: Spanned<VisitDate>) -> Option<jiff::civil::Date> {
        let earlier = self
            .draft
            .job
            .visits
            .iter()
            .rev()
            .skip(1)
            .find_map(|v| v.date);
        let found = match (date.node, earlier) {
            (VisitDate::Full(date), _) => Some(date),
            (VisitDate::NoYear { month, day }, Some(earlier)) => {
                let same = jiff::civil::Date::new(earlier.year(), month, day).ok();
                match same {
                    Some(same) if same >= earlier => Some(same),
                    _ => jiff::civil::Date::new(earlier.year() + 1, month, day).ok(),
                }
            }
            (VisitDate::NoYear { .. }, None) => None,
        };
        match (found, earlier) {
            (None, _) => self.draft.diagnostics.push(
                Diagnostic::new(
                    &code::BAD_DATE,
                    date.span,
                    "the year of this visit is missing",
                )
                .help("write the date as year-month-day: `visit 2026-03-14 Dana R.`"),
            ),
            (Some(found), Some(earlier)) if found < earlier => self.draft.diagnostics.push(
                Diagnostic::new(
                    &code::VISIT_ORDER,
                    date.span,
                    format!("this visit is dated {found}, before the one above it ({earlier})"),
                )
                .help("check the year, or move the visit up"),
            ),
            _ => {}
        }
        found
    }

    /// Moves the clock on to the time written, understanding midnight and a missing pm.
    fn advance(&mut self, clock: Spanned<Clock>) {
        let minutes = i32::from(clock.minutes);
        let Some(Minutes(before)) = self.clock else {
            self.clock = Some(Minutes(minutes));
            return;
        };
        let day = before - before.rem_euclid(1440);
        let now = day + minutes;
        let time = if now >= before {
            now
        } else if before.rem_euclid(1440) >= 18 * 60 && minutes < 6 * 60 {
            if now + 1440 - before > LONGEST_NIGHT {
                self.draft.diagnostics.push(
                    Diagnostic::new(
                        &code::TIME_BACKWARDS,
                        clock.span,
                        format!(
                            "`{}` was read as the next day, {} hours after the line above it",
                            self.draft.source.slice(clock.span),
                            Minutes(now + 1440 - before)
                        ),
                    )
                    .help("correct the time, or open a new visit with its date"),
                );
            }
            now + 1440
        } else {
            let written = self.draft.source.slice(clock.span);
            let mut diagnostic = Diagnostic::new(
                &code::TIME_BACKWARDS,
                clock.span,
                format!(
                    "`{written}` is earlier than the time above it, {}",
                    Minutes(before)
                ),
            );
            let afternoon = now + 12 * 60;
            if !clock.certain && afternoon >= before && minutes < 12 * 60 {
                let fixed = Minutes(afternoon).to_string();
                diagnostic.message = format!(
                    "`{written}` comes after {} and was read as {fixed}",
                    Minutes(before)
                );
                // Said once a visit: who writes 1:20 for 13:20 does so for the rest of the day.
                if !self.afternoon {
                    self.afternoon = true;
                    self.draft.diagnostics.push(
                        diagnostic
                            .help("later times of this visit are read the same way")
                            .likely_fix("write the afternoon time in full", clock.span, fixed),
                    );
                }
                self.clock = Some(Minutes(afternoon));
                return;
            }
            self.draft
                .diagnostics
                .push(diagnostic.help("correct the time, or move the line to where it belongs"));
            now
        };
        self.clock = Some(Minutes(time));
    }

    fn statement(&mut self, statement: &Statement<'a>, line: &ParsedLine<'a>) {
        match statement {
            Statement::Nothing => self.target = Target::None,
            Statement::Unknown(text) if has_marker(text.node) => {
                self.push_private(text.span, text.node.to_owned());
            }
            Statement::Unknown(text) => self.keep_unused(*text),
            Statement::Readings(items) => {
                let readings = self.readings(items);
                if readings.is_empty() && is_private(self.draft.source.slice(line.span)) {
                    let end = line.comment.map_or(line.span.end, |comment| comment.start);
                    let span = statement_span(items, line.span.start..end);
                    let said = self.draft.source.slice(span).trim_end().to_owned();
                    self.push_private(span, said);
                    return;
                }
                if readings.is_empty() {
                    self.keep_unused(Spanned::new(
                        self.draft.source.slice(line.span).trim(),
                        line.span,
                    ));
                    return;
                }
                let span = readings
                    .iter()
                    .map(|r| r.span)
                    .reduce(Span::to)
                    .unwrap_or(line.span);
                self.push(span, EntryKind::Readings(readings));
            }
            Statement::Action { verb, words, text } => {
                debug_assert!(*verb != Verb::Visit);
                // `arrive 0800`: the time stands behind the word.
                if matches!(verb, Verb::Arrive | Verb::Depart)
                    && let Some(clock) = clock_alone(*text)
                {
                    self.advance(clock);
                }
                let span = if words.is_empty() {
                    text.span
                } else {
                    words.to(text.span)
                };
                match action::read(&mut self.draft, *verb, span, *text) {
                    Some(EntryKind::Private(said)) => self.push_private(span, said),
                    Some(kind) => self.push(span, kind),
                    None => self.keep_unused(Spanned::new(self.draft.source.slice(span), span)),
                }
            }
        }
    }

    /// Words for the diagnosis note alone, behind what they do all the same: an indented line goes on
    /// with the words, never with the facts.
    fn push_private(&mut self, span: Span, said: String) {
        for fact in private::facts(&mut self.draft, span) {
            self.push(span, fact);
        }
        self.push(span, EntryKind::Private(said));
    }

    /// `keep that off the report` below an entry speaks of that entry.
    fn conceal_last(&mut self) {
        let entries = self.draft.job.visits.last_mut().map(|v| &mut v.entries);
        let speaks = |entry: &mut Entry| {
            entry.kind.text().is_some() && !matches!(entry.kind, EntryKind::Private(_))
        };
        if let Some(entry) = entries.and_then(|entries| entries.pop_if(speaks)) {
            let said = self.draft.source.slice(entry.span).to_owned();
            self.push_private(entry.span, said);
        }
    }

    fn push(&mut self, span: Span, kind: EntryKind) {
        if kind.changes_unit() {
            self.phase += 1;
        }
        let entry = Entry {
            line: self.draft.source.line(span.start),
            span,
            at: self.clock,
            phase: self.phase,
            kind,
        };
        if let Some(visit) = self.draft.job.visits.last_mut() {
            visit.entries.push(entry);
        }
        self.target = Target::Entry;
    }

    fn keep_unused(&mut self, text: Spanned<&str>) {
        self.draft
            .job
            .unused
            .push(Spanned::new(text.node.to_owned(), text.span));
        self.target = Target::Unused;
    }

    fn readings(&mut self, items: &[Item<'a>]) -> Vec<Reading> {
        let place = super::reading::Place {
            visit: self.draft.job.visits.len().saturating_sub(1),
            at: self.clock,
            phase: self.phase,
        };
        let mut readings: Vec<Reading> = items
            .iter()
            .flat_map(|item| super::reading::read(&mut self.draft, item, place))
            .collect();
        // `circuit A suction 118 psig, suction line 50 F`: the line is of one circuit until another is named.
        let mut circuit: Option<String> = None;
        for reading in &mut readings {
            match &reading.which {
                Some(which) if which.starts_with("circuit ") => circuit = Some(which.clone()),
                Some(_) => {}
                None if reading.point.is_of_circuit() => reading.which.clone_from(&circuit),
                None => {}
            }
        }
        readings
    }

    fn continuation(&mut self, text: Spanned<&'a str>) {
        match self.target {
            Target::None => {
                // An indented statement, not a continuation, as an editor's auto-indent leaves it.
                let mut diagnostics = Vec::new();
                let statement = parse_statement(text, &mut diagnostics);
                if self.draft.job.visits.is_empty() || matches!(statement, Statement::Unknown(_)) {
                    self.draft.diagnostics.push(
                        Diagnostic::new(
                            &code::LONE_CONTINUATION,
                            text.span,
                            "this indented line has nothing above it to continue",
                        )
                        .help("move it to the start of the line"),
                    );
                    self.keep_unused(text);
                    return;
                }
                self.draft.diagnostics.append(&mut diagnostics);
                self.statement_at(&statement, text);
            }
            Target::Unused => {
                if let Some(last) = self.draft.job.unused.last_mut() {
                    last.node.push('\n');
                    last.node.push_str(text.node);
                    last.span = last.span.to(text.span);
                }
            }
            // A private line is no part of what stands above it, in the head as elsewhere.
            Target::Head(head) if is_private(text.node) => {
                let span = if reaches_back(text.node) {
                    head.to(text.span)
                } else {
                    text.span
                };
                let said = self.draft.source.slice(span).to_owned();
                self.draft.job.unused.push(Spanned::new(said, span));
                self.target = Target::Unused;
            }
            Target::Head(_) => {} // taken with its head line
            // A private word starts something private, whatever stands above it.
            Target::Entry if is_private(text.node) => {
                if reaches_back(text.node) {
                    self.conceal_last();
                }
                self.push_private(text.span, text.node.to_owned());
            }
            Target::Entry => {
                let free_text = self
                    .draft
                    .job
                    .visits
                    .last_mut()
                    .and_then(|visit| visit.entries.last_mut());
                let Some(entry) = free_text else { return };
                if let Some(free_text) = entry.kind.text_mut() {
                    free_text.push('\n');
                    free_text.push_str(text.node);
                    entry.span = entry.span.to(text.span);
                    if let EntryKind::Observation { text, signs, .. } = &mut entry.kind {
                        *signs = crate::vocabulary::recognise(text);
                    }
                } else {
                    let statement = parse_statement(text, &mut self.draft.diagnostics);
                    self.statement_at(&statement, text);
                }
            }
        }
    }

    fn statement_at(&mut self, statement: &Statement<'a>, text: Spanned<&'a str>) {
        let line = ParsedLine {
            span: text.span,
            comment: None,
            line: Line::Blank,
        };
        self.statement(statement, &line);
    }

    fn comment_after_number(&mut self, line: &ParsedLine<'_>) {
        let Some(comment) = line.comment else { return };
        let before =
            self.draft.source.text()[line.span.start as usize..comment.start as usize].trim_end();
        let is_reading =
            matches!(&line.line, Line::Entry(e) if matches!(e.statement, Statement::Readings(_)));
        if is_reading && before.ends_with(|c: char| c.is_ascii_digit()) {
            let after_number = line.span.start as usize + before.len();
            self.draft.diagnostics.push(
                Diagnostic::new(
                    &code::COMMENT_AFTER_NUMBER,
                    comment,
                    "what follows this `#` is a comment and is not read",
                )
                .likely_fix(
                    "for pounds of pressure, join the mark to the number",
                    Span::new(after_number, comment.start as usize + 1),
                    "#",
                ),
            );
        }
    }

    fn finish(mut self, parse: &Parse<'_>) -> (Job, Vec<Diagnostic>) {
        let whole = parse
            .lines
            .iter()
            .find(|l| !matches!(l.line, Line::Blank | Line::Comment))
            .map(|l| l.span);
        match whole {
            None => self.draft.diagnostics.push(
                Diagnostic::new(
                    &code::EMPTY_NOTE,
                    Span::default(),
                    "this note holds no statement",
                )
                .help("start with `unit: …`, `refrigerant: …`, then `visit 2026-03-14 Name`"),
            ),
            Some(first) => self.draft.missing_head(first),
        }
        self.draft.default_refrigerant();
        self.draft.pair_arrivals();
        self.draft.same_moment();
        self.draft.swapped();
        self.draft.untimed();
        (self.draft.job, self.draft.diagnostics)
    }
}

/// A statement of readings within the line that it stands on, without the time before it.
fn statement_span(items: &[Item<'_>], line: std::ops::Range<u32>) -> Span {
    let start = items.iter().map(|item| match item {
        Item::Value(value) => value.name.span.start,
        Item::State { name, .. } => name.span.start,
    });
    Span {
        start: start.min().unwrap_or(line.start),
        end: line.end,
    }
}
