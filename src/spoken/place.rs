//! One line where it stands: whether it was spoken, and what it says.

use super::clause::Kind;
use super::compose::{Composer, Instead, Written};
use super::composed::{Composed, groups, strays};
use super::doubt::{Doubt, doubt, doubt_beside};
use super::families::{is_observation, is_reported};
use super::heard::{Heard, newline};
use super::number::names_number;
use super::phrase::Phrases;
use super::reading::Group;
use super::signs::{Trigger, trigger};
use super::words::{Word, put_right, words};
use crate::diagnostic::Severity;
use crate::source::{Source, Span};
use crate::syntax::{Item, Line, ParsedLine, Statement, is_blank, parse};
use crate::vocabulary::{HeadKey, Verb, resolve, slips_from};

/// A line where it stands.
pub(super) struct Place<'a> {
    pub source: &'a Source,
    pub line: &'a ParsedLine<'a>,
    pub visited: bool,
    /// True when a time was given in this visit.
    pub timed: bool,
    /// The line behind it.
    pub next: Option<&'a ParsedLine<'a>>,
}

impl Place<'_> {
    /// What was heard in it. A number said in words behind a sign that was typed is left as it stands:
    /// whether it is a dash or a minus is not for luck to say.
    pub fn hear(&self, faulty: bool) -> Option<Heard> {
        let found = self.heard(faulty)?;
        (!has_sign(self.source.slice(self.line.span))).then_some(found)
    }

    fn heard(&self, faulty: bool) -> Option<Heard> {
        let text = self.source.text();
        match &self.line.line {
            Line::Head(head) => {
                let colon =
                    text[head.key.span.end as usize..head.value.span.start as usize].contains(':');
                if colon {
                    return self.head(head.known?, head.key.span, head.value.span);
                }
                let value = self.source.slice(self.line.span);
                let linked = words(self.source.slice(head.value.span), 0)
                    .first()
                    .is_some_and(|w| matches!(w.folded.as_str(), "is" | "number"));
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

    /// What stands before a line that is tried by itself, for it to be read as here.
    pub fn lead(&self) -> &'static str {
        if self.visited {
            "visit 2000-01-01\n"
        } else {
            ""
        }
    }

    /// The line behind it, when that is one of readings.
    pub fn readings_behind(&self) -> Option<(&ParsedLine<'_>, &[Item<'_>])> {
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
        let mark = |c| clock.is_some() && matches!(c, ':' | ',' | ';' | '-' | '–' | '—');
        let lead = body.len() - body.trim_start_matches(|c| is_blank(c) || mark(c)).len();
        let body = body[lead..].trim_end_matches(is_blank);
        Span::new(start + lead, start + lead + body.len())
    }

    /// A line of several statements, or of one that the notation does not read.
    fn whole(&self, body: Span, clock: Option<Span>, tolerance: Tolerance) -> Option<Heard> {
        let cut = words(self.source.slice(body), body.start as usize);
        if cut.is_empty() {
            return None;
        }
        let plain = put_right(cut, false);
        let found = self.statements(&plain, clock);
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
            .filter_map(|words| self.statements(&words, clock))
            .find(|again| again.text.is_some() && !again.talk && again.strays.is_empty())
            .or(found)
    }

    /// A line in whose measured text a thumb slipped: `vacuum 400 mircon isolted`.
    fn mended(&self, body: Span, clock: Option<Span>) -> Option<Heard> {
        let plain = put_right(words(self.source.slice(body), body.start as usize), false);
        let mended = super::typo::mend(&plain)?;
        self.statements(&mended, clock)
    }

    fn statements(&self, said: &[Word<'_>], clock: Option<Span>) -> Option<Heard> {
        let text = self.source.text();
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
        let all: Vec<&Group> = clauses.iter().flat_map(groups).collect();
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
                    self.finished(&way, said, clock).0
                })
                .collect();
            doubts.push((span, doubt, ways));
        }
        let clock_doubt = clauses
            .iter()
            .find_map(|clause| clause.clock.as_ref())
            .filter(|_| clock.is_none() && !self.timed && self.visited);
        let strays: Vec<Span> = clauses
            .iter()
            .flat_map(|clause| strays(phrases, clause))
            .collect();
        let open = doubts.iter().any(|(_, doubt, _)| doubt.open);
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
        let (new, parts) = self.finished(&composed, said, clock);
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
        clock: Option<Span>,
    ) -> (String, Vec<(Span, Span)>) {
        let text = self.source.text();
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
            let source = Source::new("", format!("{}{text}", self.lead()));
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
        (line.text != line_text).then(|| Heard::plain(self.line.span, line.text, line.parts))
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
        (new.trim_end() != line_text.trim_end())
            .then(|| Heard::plain(self.line.span, new, line.parts))
    }
}

/// Whether misspelt words may be mended.
#[derive(Clone, Copy)]
enum Tolerance {
    None,
    Typos,
}

/// True when a number said in words has a sign before it that was typed: `box – nineteen`,
/// `suction < four psi`.
fn has_sign(text: &str) -> bool {
    const SIGNS: &[char] = &['–', '−', '<', '>', '~', '≈', '±', '≤', '≥'];
    let Some(at) = text.find(SIGNS) else {
        return false;
    };
    let behind = text[at..].trim_start_matches(|c| SIGNS.contains(&c) || is_blank(c));
    words(behind, 0).first().is_some_and(|word| {
        names_number(&word.folded) && !word.folded.starts_with(|c: char| c.is_ascii_digit())
    })
}
