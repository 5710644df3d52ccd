//! Which lines of a note were spoken, and what takes their place.

use super::clause::{
    Clause, Kind, is_measured, is_observation, is_reported, is_weak, may_be_bound,
};
use super::compose::{Composer, Instead, Written};
use super::doubt::{Doubt, doubt, doubt_beside};
use super::number::{atom, names_number};
use super::phrase::Phrases;
use super::words::{Word, put_right, words};
use crate::diagnostic::{Diagnostic, Severity, code};
use crate::source::{Source, Span, Understood};
use crate::syntax::{Item, Line, Parse, ParsedLine, Statement, is_blank, parse};
use crate::vocabulary::{HeadKey, Verb, resolve, slips_from, starts_verb, verb as verb_of};

/// The note as it is understood, and what there is to say of that; `None` when every line stands in the
/// notation.
///
/// `parse` is the note's lines as they are written. Places of the diagnostics count in the new source.
pub fn understand(source: &Source, parse: &Parse<'_>) -> Option<(Source, Vec<Diagnostic>)> {
    let heard = heard(source, parse);
    if heard.is_empty() {
        return None;
    }
    let understood = with(source, &heard);
    let diagnostics = heard
        .iter()
        .flat_map(|h| h.diagnostics(&understood))
        .collect();
    Some((understood, diagnostics))
}

/// The text of a note with every spoken line written in the notation, but those that leave a doubt;
/// `None` when there is none.
pub fn written_out(source: &Source, parse: &Parse<'_>) -> Option<String> {
    let mut heard = heard(source, parse);
    heard.retain(|h| h.text.is_some() && h.is_certain());
    (!heard.is_empty()).then(|| with(source, &heard).text().to_owned())
}

/// The note with its spoken lines as they were understood.
fn with(source: &Source, heard: &[Heard]) -> Source {
    let lines: Vec<Understood> = heard.iter().filter_map(Heard::understood).collect();
    if lines.is_empty() {
        return source.clone();
    }
    source.understood(&lines)
}

/// What was heard in the lines of a note, in order of lines.
fn heard(source: &Source, parse: &Parse<'_>) -> Vec<Heard> {
    heard_in(source, parse, true)
}

/// Likewise; `settle` says that what was heard is itself heard again, until nothing more is heard in it.
fn heard_in(source: &Source, parse: &Parse<'_>, settle: bool) -> Vec<Heard> {
    let mut faults = parse.diagnostics.iter().peekable();
    let (mut visited, mut timed) = (false, false);
    let mut heard: Vec<Heard> = Vec::new();
    for (at, line) in parse.lines.iter().enumerate() {
        let mut faulty = false;
        while let Some(fault) = faults.next_if(|d| d.span().start <= line.span.end) {
            let words = fault.code.id == code::TRAILING_WORDS.id
                && is_more_than_remark(source.slice(fault.span()));
            faulty |= fault.code.severity > Severity::Advice || words;
            if fault.code.id == code::BAD_CLOCK.id {
                faulty = false;
                break;
            }
        }
        let here = Place {
            source,
            line,
            visited,
            timed,
            next: parse.lines.get(at + 1),
        };
        timed = match &line.line {
            Line::Visit(_) => false,
            Line::Entry(entry) => timed || entry.clock.is_some(),
            _ => timed,
        };
        visited |= match &line.line {
            Line::Visit(_) => true,
            Line::Entry(entry) => !matches!(entry.statement, Statement::Unknown(_)),
            _ => false,
        };
        let found = here.hear(faulty);
        let Some(found) = found.and_then(|found| {
            if settle {
                here.settled(found)
            } else {
                Some(found)
            }
        }) else {
            continue;
        };
        if found.scratches > 0 && !scratch(source, parse, &mut heard, at, found.scratches) {
            continue; // nothing stands before it: the line is asked about as it is
        }
        timed |= found.clocked;
        heard.push(found);
    }
    heard.sort_by_key(|h| h.line.start);
    heard
}

/// True when words behind a value are more than a remark on it.
fn is_more_than_remark(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().collect();
    let joined = matches!(words.first(), Some(&"and" | &"but" | &"so" | &"which"));
    joined || words.len() > 5 || words.iter().any(|word| names_number(&word.to_lowercase()))
}

/// The ending of a line; of the one before it where it has none.
fn newline(text: &str, line: Span) -> &'static str {
    let after = &text[line.end as usize..];
    let crlf = after.starts_with("\r\n")
        || after.is_empty() && text[..line.start as usize].ends_with("\r\n");
    if crlf { "\r\n" } else { "\n" }
}

/// What was heard in a line.
struct Heard {
    line: Span,
    /// What takes its place; `None` when that is asked first.
    text: Option<String>,
    parts: Vec<(Span, Span)>,
    doubts: Vec<(Span, Doubt, Vec<String>)>,
    /// Statements before this line that it takes back.
    scratches: usize,
    /// Numbers in talk that belong to no point.
    strays: Vec<Span>,
    /// True when words without a line kind were kept as talk.
    talk: bool,
    /// True when a time was said in it.
    clocked: bool,
}

impl Heard {
    /// True when nothing about it is to be asked.
    fn is_certain(&self) -> bool {
        self.doubts.is_empty() && self.strays.is_empty()
    }

    fn understood(&self) -> Option<Understood> {
        Some(Understood {
            line: self.line,
            text: self.text.clone()?,
            parts: self.parts.clone(),
        })
    }

    /// What is said of it; `source` is the understood one.
    fn diagnostics(&self, source: &Source) -> Vec<Diagnostic> {
        let mut all = Vec::new();
        let place = source.understood_span(self.line);
        if let Some(text) = &self.text {
            let shown: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
            let shown = if shown.is_empty() {
                text.clone()
            } else {
                shown.join("` and `")
            };
            let diagnostic = Diagnostic::new(
                &code::UNDERSTOOD_AS,
                place,
                format!("understood as `{shown}`"),
            );
            all.push(if self.is_certain() {
                diagnostic.safe_fix("write it so", place, text.clone())
            } else {
                diagnostic.likely_fix("write it so", place, text.clone())
            });
        }
        for (span, doubt, ways) in &self.doubts {
            let mut diagnostic = Diagnostic::new(
                &code::HEARD_TWO_WAYS,
                source.understood_span(*span),
                doubt.message.clone(),
            );
            if !doubt.open {
                diagnostic.severity = Severity::Warning;
            }
            for ((name, value), way) in doubt.ways.iter().zip(ways) {
                diagnostic = diagnostic.likely_fix(
                    format!("`{}`", format!("{name} {value}").trim()),
                    place,
                    way.clone(),
                );
            }
            all.push(diagnostic);
        }
        for span in &self.strays {
            let here = source.understood_span(*span);
            all.push(
                Diagnostic::new(
                    &code::NUMBER_IN_TALK,
                    here,
                    format!(
                        "`{}` belongs to no point that is known, and stays talk",
                        source.slice_written(*span)
                    ),
                )
                .help("if it is a reading, write its point before it: `box 17 F`"),
            );
        }
        all
    }
}

/// A line where it stands.
struct Place<'a> {
    source: &'a Source,
    line: &'a ParsedLine<'a>,
    visited: bool,
    /// True when a time was given in this visit.
    timed: bool,
    /// The line behind it.
    next: Option<&'a ParsedLine<'a>>,
}

impl Place<'_> {
    fn hear(&self, faulty: bool) -> Option<Heard> {
        let text = self.source.text();
        match &self.line.line {
            Line::Head(head) => {
                let colon =
                    text[head.key.span.end as usize..head.value.span.start as usize].contains(':');
                if colon {
                    return self.head(head.known?, head.key.span, head.value.span);
                }
                let value = self.source.slice(self.line.span);
                let linked = matches!(
                    words(self.source.slice(head.value.span), 0)
                        .first()
                        .map(|w| w.folded.clone())
                        .as_deref(),
                    Some("is" | "number")
                );
                let spoken = linked
                    || words(value, 0)
                        .iter()
                        .any(|w| names_number(&w.folded) || !slips_from(&w.folded).is_empty());
                if !spoken {
                    return None;
                }
                let whole = self.whole(self.body(None), None, Tolerance::None);
                whole
                    .filter(|found| {
                        !self.visited || found.text.as_ref().is_some_and(|text| !text.contains(':'))
                    })
                    .or_else(|| {
                        // A key of the head that comes late is one all the same.
                        self.head(head.known?, head.key.span, head.value.span)
                            .filter(|_| self.visited)
                    })
            }
            Line::Visit(visit) if visit.date.is_none() => {
                self.whole(self.body(None), None, Tolerance::None)
            }
            Line::Entry(entry) => {
                let clock = entry.clock.map(|clock| clock.span);
                let body = self.body(clock);
                match &entry.statement {
                    Statement::Unknown(_) => self.whole(body, clock, Tolerance::Typos),
                    Statement::Readings(_) if faulty => self.whole(body, clock, Tolerance::Typos),
                    Statement::Action {
                        verb, text: said, ..
                    } => {
                        let said = &text[said.span.start as usize..said.span.end as usize];
                        let found = trigger(*verb, said)?;
                        if is_observation(*verb) && self.is_stated_behind(said) {
                            return None;
                        }
                        match found {
                            Trigger::Whole => self.whole(body, clock, Tolerance::None),
                            Trigger::Mended => self.mended(body, clock),
                            Trigger::InPlace => self.in_place(
                                body,
                                clock,
                                is_reported(*verb) && *verb != Verb::Cause,
                            ),
                        }
                    }
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// What was heard, once it says the same when it is heard again; `None` when that is in doubt.
    fn settled(&self, mut found: Heard) -> Option<Heard> {
        const TIMES: usize = 3;
        if found.scratches > 0 || !found.is_certain() {
            return Some(found);
        }
        let newline = newline(self.source.text(), self.line.span);
        for _ in 0..TIMES {
            let Some(text) = &found.text else { break };
            let lead = if self.visited {
                "visit 2000-01-01\n"
            } else {
                ""
            };
            let next = self
                .readings_behind()
                .map_or("", |(line, _)| self.source.slice(line.span));
            let source = Source::new("", format!("{lead}{text}{newline}{next}"));
            let end = lead.len() + text.len();
            let mut again = heard_in(&source, &parse(&source), false);
            again.retain(|heard| heard.line.end as usize <= end);
            if again.is_empty() {
                return Some(found);
            }
            if again
                .iter()
                .any(|heard| heard.scratches > 0 || heard.text.is_none() || !heard.is_certain())
            {
                return None;
            }
            let new = with(&source, &again);
            let new = &new.text()[lead.len()..new.text().len() - next.len() - newline.len()];
            found.text = Some(new.to_owned());
            found.parts.clear();
        }
        None
    }

    /// The line behind it, when that is one of readings.
    fn readings_behind(&self) -> Option<(&ParsedLine<'_>, &[Item<'_>])> {
        let next = self.next?;
        let Line::Entry(entry) = &next.line else {
            return None;
        };
        let Statement::Readings(items) = &entry.statement else {
            return None;
        };
        Some((next, items))
    }

    /// True when the readings within a sentence stand in the line behind it, as they do in a note that
    /// was written out.
    fn is_stated_behind(&self, said: &str) -> bool {
        let Some((_, items)) = self.readings_behind() else {
            return false;
        };
        let stated: Vec<_> = items
            .iter()
            .map(|item| match item {
                Item::Value(value) => value.point.points,
                Item::State { point, .. } => point.points,
            })
            .collect();
        let said = put_right(words(said, 0), true);
        let phrases = Phrases { words: &said };
        let groups = phrases.groups_in(0..said.len());
        let mut valued = groups
            .iter()
            .filter(|group| !group.values.is_empty())
            .peekable();
        valued.peek().is_some()
            && valued.all(|group| {
                let name = resolve(&group.name_text);
                name.is_some_and(|name| {
                    stated
                        .iter()
                        .any(|points| name.points.iter().any(|p| points.contains(p)))
                })
            })
    }

    /// The statement, without time and comment.
    fn body(&self, clock: Option<Span>) -> Span {
        let text = self.source.text();
        let start = clock.map_or(self.line.span.start, |clock| clock.end) as usize;
        let end = self
            .line
            .comment
            .map_or(self.line.span.end, |comment| comment.start) as usize;
        let body = &text[start..end.max(start)];
        let lead = body.len()
            - body
                .trim_start_matches(|c| {
                    is_blank(c) || matches!(c, ':' | ',' | ';' | '-' | '–' | '—')
                })
                .len();
        let lead = if clock.is_some() {
            lead
        } else {
            body.len() - body.trim_start_matches(is_blank).len()
        };
        let body = body[lead..].trim_end_matches(is_blank);
        Span::new(start + lead, start + lead + body.len())
    }

    /// A line of several statements, or of one that the notation does not read.
    fn whole(&self, body: Span, clock: Option<Span>, tolerance: Tolerance) -> Option<Heard> {
        let text = self.source.text();
        let cut = words(self.source.slice(body), body.start as usize);
        if cut.is_empty() {
            return None;
        }
        let plain = put_right(cut, false);
        let found = self.statements(&plain, text, clock);
        let unsure = |found: &Option<Heard>| {
            found
                .as_ref()
                .is_none_or(|f| f.talk || f.text.is_none() && f.doubts.is_empty())
        };
        if matches!(tolerance, Tolerance::None) || !unsure(&found) {
            return found;
        }
        // A slip of the thumb or of the ear is believed where everything then makes sense.
        let mended = super::typo::mend(&plain);
        let alike = super::sound::mend(&plain);
        [mended, alike]
            .into_iter()
            .flatten()
            .filter_map(|words| self.statements(&words, text, clock))
            .find(|again| again.text.is_some() && !again.talk && again.strays.is_empty())
            .or(found)
    }

    /// A line in whose measured text a thumb slipped: `vacuum 400 mircon isolted`.
    fn mended(&self, body: Span, clock: Option<Span>) -> Option<Heard> {
        let plain = put_right(words(self.source.slice(body), body.start as usize), false);
        let mended = super::typo::mend(&plain)?;
        self.statements(&mended, self.source.text(), clock)
    }

    fn statements(&self, said: &[Word<'_>], text: &str, clock: Option<Span>) -> Option<Heard> {
        let phrases = Phrases { words: said };
        let clauses = phrases.clauses(!self.visited && clock.is_none(), false);
        // Two times for one statement: the notation has its say of the second.
        if clock.is_some() && clauses.first().is_some_and(|clause| clause.clock.is_some()) {
            return None;
        }
        let mut composed = Composed::default();
        let composer = Composer {
            phrases,
            source: text,
            instead: None,
        };
        composed.clauses(&composer, &clauses, clock);
        if !composed.complete && composed.scratches == 0 {
            return None;
        }
        let mut doubts = Vec::new();
        let all: Vec<&super::phrase::Group> = clauses.iter().flat_map(groups).collect();
        for &group in &all {
            let found = doubt(phrases, group).or_else(|| doubt_beside(phrases, group, &all));
            let Some(doubt) = found else { continue };
            let span = said[group.range.start]
                .said
                .to(said[group.range.end - 1].said);
            let ways = doubt
                .ways
                .iter()
                .map(|(name, value)| {
                    let composer = Composer {
                        phrases,
                        source: text,
                        instead: Some(Instead {
                            at: doubt.at,
                            name,
                            value,
                        }),
                    };
                    let mut way = Composed::default();
                    way.clauses(&composer, &clauses, clock);
                    // Of `thirty thirteen` only the first: the second is to be seen where it was said.
                    if let Some(all) = group
                        .values
                        .first()
                        .filter(|all| doubt.open && all.joined && all.text != *value)
                    {
                        way.used.remove(&(all.range.end - 1));
                    }
                    self.finished(&way, said, text, clock).0
                })
                .collect();
            doubts.push((span, doubt, ways));
        }
        let clock_doubt = clauses
            .iter()
            .find_map(|clause| clause.clock.as_ref())
            .filter(|_| clock.is_none() && !self.timed && self.visited);
        let strays = clauses
            .iter()
            .flat_map(|clause| strays(phrases, clause))
            .collect();
        let open = doubts.iter().any(|(_, doubt, _)| doubt.open);
        let strays: Vec<Span> = strays;
        // Typed talk with readings in it is a sentence; a word or two beside readings is a slip, and the
        // notation has more to say of it.
        let spoken = phrases.is_spoken();
        let slip = clauses.iter().any(|clause| match &clause.kind {
            Kind::Talk { text, groups } => {
                !spoken
                    && (phrases.leftover(text.clone(), groups).len()
                        < 2 + usize::from(groups.iter().any(|g| !g.values.is_empty()))
                        || !strays.is_empty())
            }
            _ => false,
        });
        if slip {
            return None;
        }
        let (new, parts) = self.finished(&composed, said, text, clock);
        let same = new == self.source.slice(self.line.span);
        if let Some(clock) = clock_doubt
            && let Some((hour, minute)) = clock.figures.split_once(':')
            && let Ok(hour @ 1..=6) = hour.parse::<u32>()
        {
            let span = said[clock.range.start]
                .said
                .to(said[clock.range.end - 1].said);
            let (later, early) = (
                format!("{}{minute}", hour + 12),
                format!("{hour:02}{minute}"),
            );
            let way = |time: &str| new.replacen(&clock.figures, time, 1);
            let ways = vec![way(&later), way(&early)];
            let doubt = Doubt {
                at: clock.range.start,
                message: format!(
                    "`{}` may be {later} or {early}: no time before it says",
                    self.source.slice(span)
                ),
                ways: vec![(later, String::new()), (early, String::new())],
                open: false,
            };
            doubts.push((span, doubt, ways));
        }
        let better = !open
            && !same
            && (composed.scratches > 0
                || self.is_better(
                    &new,
                    clauses.iter().any(|c| matches!(c.kind, Kind::Readings(_))),
                ));
        if !better && doubts.is_empty() {
            return None;
        }
        Some(Heard {
            line: self.line.span,
            text: better.then_some(new),
            parts,
            doubts,
            scratches: composed.scratches,
            strays: if better { strays } else { Vec::new() },
            clocked: clauses.iter().any(|clause| clause.clock.is_some()),
            talk: clauses
                .iter()
                .any(|clause| matches!(clause.kind, Kind::Talk { .. })),
        })
    }

    /// The lines with what was said before them, where words of it are not in them, and the comment of
    /// the line behind them.
    fn finished(
        &self,
        composed: &Composed,
        said: &[Word<'_>],
        text: &str,
        clock: Option<Span>,
    ) -> (String, Vec<(Span, Span)>) {
        let all = composed.used.len();
        let spoken = (!said.is_empty()).then(|| self.body(clock));
        let mut new = String::new();
        let newline = newline(text, self.line.span);
        if let (Some(spoken), true) = (spoken, all < said.len()) {
            new.push_str("# said: ");
            new.push_str(&text[spoken.start as usize..spoken.end as usize]);
            if !composed.lines.is_empty() {
                new.push_str(newline);
            }
        }
        let mut parts = Vec::new();
        for (i, line) in composed.lines.iter().enumerate() {
            if i > 0 {
                new.push_str(newline);
            }
            parts.extend(
                line.parts
                    .iter()
                    .map(|&(here, written)| (here.shift(new.len()), written)),
            );
            new.push_str(&line.text);
        }
        if let Some(comment) = self.line.comment {
            let body_end = spoken.map_or(comment.start, |s| s.end);
            new.push_str(if composed.lines.is_empty() {
                " "
            } else {
                &text[body_end as usize..comment.start as usize]
            });
            new.push_str(self.source.slice(comment));
        }
        (new, parts)
    }

    /// True when the notation reads the new text, or more of it than of the line as written.
    fn is_better(&self, new: &str, reads: bool) -> bool {
        let faults = |text: &str| {
            let head = if self.visited {
                "visit 2000-01-01\n"
            } else {
                ""
            };
            let source = Source::new("", format!("{head}{text}"));
            parse(&source)
                .diagnostics
                .iter()
                .filter(|d| d.code.severity == Severity::Error)
                .count()
        };
        let new = faults(new);
        let old = faults(self.source.slice(self.line.span));
        new == 0 || new < old || new == old && reads
    }

    /// Words put right where they stand, everything else as it is.
    fn in_place(&self, body: Span, clock: Option<Span>, reported: bool) -> Option<Heard> {
        let text = self.source.text();
        let said = put_right(
            words(self.source.slice(body), body.start as usize),
            reported,
        );
        let mut line = Written::default();
        let start = self.line.span.start as usize;
        line.text.push_str(&text[start..body.start as usize]);
        if let Some(clock) = clock {
            let here = clock.start as usize - start..clock.end as usize - start;
            line.parts.push((Span::new(here.start, here.end), clock));
        }
        let composer = Composer {
            phrases: Phrases { words: &said },
            source: text,
            instead: None,
        };
        composer.free(&mut line, 0..said.len());
        let end = line.text.len();
        let tail_from = said.last()?.said.end as usize;
        let tail = &text[tail_from..self.line.span.end as usize];
        let closed = line.text.len() - end;
        line.text.push_str(&tail[closed.min(tail.len())..]);
        let line_text = self.source.slice(self.line.span);
        (line.text != line_text).then(|| Heard {
            line: self.line.span,
            text: Some(line.text),
            parts: line.parts,
            doubts: Vec::new(),
            scratches: 0,
            strays: Vec::new(),
            talk: false,
            clocked: false,
        })
    }

    /// A head line: numbers and refrigerants of its value in figures.
    fn head(&self, key: HeadKey, name: Span, value: Span) -> Option<Heard> {
        let text = self.source.text();
        let said = put_right(words(self.source.slice(value), value.start as usize), true);
        let spoken = said.iter().any(|w| names_number(&w.folded) || w.corrected);
        let lead = said
            .iter()
            .take_while(|w| matches!(w.folded.as_str(), "is" | "number"))
            .count();
        let lead = if text[name.end as usize..value.start as usize].contains(':') {
            0
        } else {
            lead
        };
        if said.is_empty() || !spoken && lead == 0 || lead == said.len() {
            return None;
        }
        let composer = Composer {
            phrases: Phrases { words: &said },
            source: text,
            instead: None,
        };
        let mut line = Written::default();
        let start = self.line.span.start;
        let written = self.source.slice(Span {
            start,
            end: name.end,
        });
        line.put_start(written, name, name.start - start);
        line.text.push_str(": ");
        composer.head_value(&mut line, key, lead..said.len());
        let mut new = line.text;
        let tail = self.source.slice(Span {
            start: value.end,
            end: self.line.span.end,
        });
        new.push_str(tail);
        let line_text = self.source.slice(self.line.span);
        (new.trim_end() != line_text.trim_end()).then(|| Heard {
            line: self.line.span,
            text: Some(new),
            parts: line.parts,
            doubts: Vec::new(),
            scratches: 0,
            strays: Vec::new(),
            talk: false,
            clocked: false,
        })
    }
}

/// Whether misspelt words may be mended.
#[derive(Clone, Copy)]
enum Tolerance {
    None,
    Typos,
}

/// The lines of a line.
#[derive(Default)]
struct Composed {
    lines: Vec<Written>,
    used: std::collections::BTreeSet<usize>,
    /// Statements of earlier lines that are taken back.
    scratches: usize,
    /// True when every clause was understood.
    complete: bool,
}

impl Composed {
    fn clauses(
        &mut self,
        composer: &Composer<'_, '_, '_>,
        clauses: &[Clause],
        clock: Option<Span>,
    ) {
        let mut unread = Vec::new();
        let written = clock;
        let mut clock = clock;
        for clause in clauses {
            if clause.kind == Kind::Scratch {
                // What was not understood is taken back as well.
                if unread.pop().is_some_and(|lines| lines == self.lines.len()) {
                    continue;
                }
                match self
                    .lines
                    .iter()
                    .rposition(|line| !line.text.starts_with('#'))
                {
                    // The words stay in the comment that says what was said.
                    Some(at) => {
                        let gone = self.lines.remove(at);
                        for word in gone.used {
                            self.used.remove(&word);
                        }
                        // The time of the line goes to what takes the place of its first statement.
                        if self.lines.iter().all(|line| line.text.starts_with('#')) {
                            clock = written;
                        }
                    }
                    None => self.scratches += 1,
                }
                continue;
            }
            if clause.kind == Kind::Nothing {
                continue;
            }
            let lines = composer.lines(clause, clock);
            if lines.is_empty() {
                unread.push(self.lines.len());
                continue;
            }
            clock = None;
            for line in &lines {
                self.used.extend(line.used.iter().copied());
            }
            self.lines.extend(lines);
        }
        self.complete = unread.is_empty();
    }
}

/// The readings of a clause.
pub(super) fn groups(clause: &Clause) -> &[super::phrase::Group] {
    match &clause.kind {
        Kind::Readings(groups) | Kind::Talk { groups, .. } | Kind::Act { groups, .. } => groups,
        _ => &[],
    }
}

/// Numbers of talk without a line kind that are in none of its readings.
pub(super) fn strays(phrases: Phrases<'_, '_>, clause: &Clause) -> Vec<Span> {
    let Kind::Talk { text, groups } = &clause.kind else {
        return Vec::new();
    };
    let mut strays = Vec::new();
    let mut end = 0;
    for at in phrases.leftover(text.clone(), groups) {
        let Some(number) = phrases.number(at).filter(|_| at >= end) else {
            continue;
        };
        end = number.range.end;
        // `two of them`, `the other one`
        let count = number.range.len() == 1
            && atom(phrases.folded(at)).is_some()
            && phrases.unit(end).is_none();
        if !count {
            let from = at.saturating_sub(1).max(text.start);
            strays.push(phrases.words[from].said.to(phrases.words[end - 1].said));
        }
    }
    strays
}

/// Takes back the statements before line `at`: they become comments. False when there are not so many.
fn scratch(
    source: &Source,
    parse: &Parse<'_>,
    heard: &mut Vec<Heard>,
    at: usize,
    count: usize,
) -> bool {
    let mut left = count;
    let mut line = at;
    while left > 0 && line > 0 {
        line -= 1;
        let parsed = &parse.lines[line];
        let known = heard.iter_mut().find(|h| h.line == parsed.span);
        match (&parsed.line, known) {
            (Line::Entry(_) | Line::Broken, Some(before)) if before.text.is_some() => {
                let Some(text) = &mut before.text else {
                    continue;
                };
                let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
                if let Some(last) = lines.iter().rposition(|l| !l.starts_with('#')) {
                    lines[last] = format!("# scratched: {}", lines[last]);
                    *text = lines.join(newline(source.text(), before.line));
                    before.parts.clear();
                    left -= 1;
                }
            }
            (Line::Entry(_), _) => {
                for parsed in &parse.lines[line..at] {
                    let of_it = parsed.span == parse.lines[line].span
                        || matches!(parsed.line, Line::Continuation(_));
                    if of_it
                        && !heard
                            .iter()
                            .any(|h| h.line == parsed.span && h.text.is_some())
                    {
                        heard.push(Heard {
                            line: parsed.span,
                            text: Some(format!("# scratched: {}", source.slice(parsed.span))),
                            parts: Vec::new(),
                            doubts: Vec::new(),
                            scratches: 0,
                            strays: Vec::new(),
                            talk: false,
                            clocked: false,
                        });
                    }
                }
                left -= 1;
            }
            (Line::Head(_) | Line::Visit(_), _) => break,
            _ => {}
        }
    }
    left == 0
}

/// How much of an action's line is heard again.
enum Trigger {
    Whole,
    /// Likewise, with slips of the thumb.
    Mended,
    InPlace,
}

/// What in an action's text says that it was spoken; `None` for nothing, as nearly always.
fn trigger(verb: Verb, text: &str) -> Option<Trigger> {
    if verb == Verb::Private {
        return None;
    }
    let signs = Signs::of(text);
    let reads = |words: &[Word<'_>], number: bool| {
        let phrases = Phrases { words };
        (0..words.len()).any(|i| {
            phrases
                .group(i)
                .is_some_and(|g| !g.values.is_empty() && (g.unit.is_some() || number))
        })
    };
    if signs.scratch {
        let said = words(text, 0);
        let clauses = Phrases { words: &said }.clauses(false, false);
        if clauses.iter().any(|c| c.kind == Kind::Scratch) {
            return Some(Trigger::Whole);
        }
    }
    let amounts = is_measured(verb) || verb == Verb::Handled && text.starts_with("moved");
    if signs.number && is_measured(verb)
        || verb == Verb::Added && !signs.digit && !signs.number
        || amounts && !signs.digit && signs.amount
    {
        return Some(Trigger::Whole);
    }
    if matches!(verb, Verb::Hold | Verb::Vacuum)
        && !signs.slip
        && super::typo::mend(&words(text, 0)).is_some()
    {
        return Some(Trigger::Mended);
    }
    if is_observation(verb)
        && (signs.digit || signs.number)
        && reads(&put_right(words(text, 0), true), signs.number)
    {
        return Some(Trigger::Whole);
    }
    // Another line kind within the text: said in one breath, or behind a full stop. What was typed with
    // commas is one statement.
    let spoken = signs.number || signs.slip;
    let paused = text.contains([',', ';']);
    let stopped = text.contains(". ") || text.contains("; ");
    let several = signs.verb && (spoken || stopped || !paused);
    if several || signs.number && text.contains(" at ") {
        let said = words(text, 0);
        if (Phrases { words: &said }).goes_on(verb) {
            return Some(Trigger::Whole);
        }
    }
    (signs.slip || signs.designation).then_some(Trigger::InPlace)
}

/// True when a text starts with some words.
fn is_said(text: &str, words: &[&str]) -> bool {
    let mut said = text
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|w| !w.is_empty());
    words
        .iter()
        .all(|word| said.next().is_some_and(|w| w.eq_ignore_ascii_case(word)))
}

/// What stands in a text, word by word: cheap, for nearly every line has nothing of it.
#[derive(Default)]
struct Signs {
    number: bool,
    digit: bool,
    slip: bool,
    scratch: bool,
    /// `half`, `hour`, `pound`: an amount said without a number.
    amount: bool,
    /// A number in words with a letter behind it: `four forty eight a`.
    designation: bool,
    /// A line kind behind the first word.
    verb: bool,
}

impl Signs {
    fn of(text: &str) -> Self {
        let mut signs = Self::default();
        let mut lower = [0u8; 24];
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '\'');
        let mut before = "";
        let mut numbered = false;
        for (i, word) in words.filter(|word| !word.is_empty()).enumerate() {
            let bound = std::mem::replace(&mut before, word);
            if word.as_bytes()[0].is_ascii_digit() {
                signs.digit = true;
                continue;
            }
            let written = word;
            if word.len() > lower.len() || !word.is_ascii() {
                continue;
            }
            for (to, from) in lower.iter_mut().zip(word.bytes()) {
                *to = from.to_ascii_lowercase();
            }
            let word = std::str::from_utf8(&lower[..word.len()]).unwrap_or("");
            let number = names_number(word);
            signs.number |= number;
            signs.designation |= numbered
                && matches!(
                    word,
                    "a" | "b" | "c" | "d" | "e" | "f" | "hey" | "eh" | "ay" | "bee"
                )
                || number && matches!(bound, "r" | "R" | "are");
            numbered = number;
            let at = written.as_ptr() as usize - text.as_ptr() as usize;
            signs.slip |= slips_from(word)
                .iter()
                .any(|slip| is_said(&text[at..], &slip.words));
            signs.scratch |= matches!(word, "scratch" | "strike" | "nvm" | "never" | "nevermind");
            signs.amount |= matches!(
                word,
                "half" | "hour" | "pound" | "ounce" | "kilo" | "pounds" | "ounces" | "kilos"
            );
            signs.verb |= i > 0 && starts_verb(word) && {
                let behind_stop = text[..at].trim_end().ends_with(['.', ';', '!', '?']);
                let free = !may_be_bound(bound) && !is_weak(word);
                (free || behind_stop) && verb_of(&text[at..]).is_some()
            };
        }
        signs
    }
}
