//! Which lines of a note were spoken, and what takes their place.

use super::heard::{Heard, newline};
use super::number::names_number;
use super::place::Place;
use crate::diagnostic::{Diagnostic, Severity, code};
use crate::source::{Source, Understood};
use crate::syntax::{Line, Parse, Statement, parse};
use crate::vocabulary::privacy;

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
        // What a sentence says that is to stay private is not taken apart.
        let is_open = || !privacy::has_marker(source.slice(line.span));
        let found = here.hear(faulty).filter(|_| is_open());
        let Some(found) = found.and_then(|found| {
            if settle {
                settled(&here, found)
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
                        let text = format!("# scratched: {}", source.slice(parsed.span));
                        heard.push(Heard::plain(parsed.span, text, Vec::new()));
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

/// What was heard, once it says the same when it is heard again; `None` when that is in doubt.
fn settled(here: &Place<'_>, mut found: Heard) -> Option<Heard> {
    const TIMES: usize = 3;
    if found.scratches > 0 || !found.is_certain() {
        return Some(found);
    }
    let newline = newline(here.source.text(), here.line.span);
    for _ in 0..TIMES {
        let Some(text) = &found.text else { break };
        let lead = here.lead();
        let next = here
            .readings_behind()
            .map_or("", |(line, _)| here.source.slice(line.span));
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
