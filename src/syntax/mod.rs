//! From text to lines. Parsing never fails: a line that cannot be read becomes [`Line::Broken`] or
//! [`Statement::Unknown`], is reported, and costs nothing else.
//!
//! Every line is parsed by itself, so deleting one changes no other line's parse.

mod date;
mod grammar;
mod line;
mod reading;
mod statement;
mod token;

pub(crate) use date::MONTHS;
pub use line::{
    Clock, Entry, Head, Item, Line, ParsedLine, Statement, ValueItem, VisitDate, VisitLine,
};
pub use token::{Token, TokenKind, tokens};

use crate::diagnostic::{Diagnostic, code};
use crate::source::{Source, Span, Spanned};
use grammar::{Grammar, Rule};
use pest::Parser;

/// All lines of a note and what is to be said about their shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Parse<'s> {
    /// One entry per line of the source, in order.
    pub lines: Vec<ParsedLine<'s>>,
    /// Problems of shape, in order of lines.
    pub diagnostics: Vec<Diagnostic>,
}

/// Parses a whole note.
pub fn parse(source: &Source) -> Parse<'_> {
    let mut diagnostics = Vec::new();
    let lines = source
        .lines()
        .map(|span| parse_line(source.slice(span), span, &mut diagnostics))
        .collect();
    Parse { lines, diagnostics }
}

/// Parses one statement that stands without a time, as a continuation line may.
pub fn parse_statement<'s>(
    text: Spanned<&'s str>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Statement<'s> {
    match statement::classify(text, true, diagnostics) {
        Line::Entry(entry) => entry.statement,
        _ => Statement::Unknown(text),
    }
}

/// The clock time that a text is and nothing else: `0800`, `9:12 pm`.
pub fn clock_alone(text: Spanned<&str>) -> Option<Spanned<Clock>> {
    let Lead { end, clock, .. } = lead(text.node);
    let clock = clock?;
    let rest = text.node[end..].trim();
    let time = statement::read_clock(&text.node[clock.clone()])?;
    let span = Span::new(clock.start, clock.end).shift(text.span.start as usize);
    rest.is_empty().then(|| Spanned::new(time, span))
}

fn parse_line<'s>(text: &'s str, span: Span, diagnostics: &mut Vec<Diagnostic>) -> ParsedLine<'s> {
    let broken = ParsedLine {
        span,
        comment: None,
        line: Line::Broken,
    };
    if text.len() > Source::MAX_LINE_BYTES {
        let shown = text.floor_char_boundary(60);
        diagnostics.push(
            Diagnostic::new(
                &code::LINE_TOO_LONG,
                Span::new(span.start as usize, span.start as usize + shown),
                format!("this line is {} bytes long and is not read", text.len()),
            )
            .help("split it: one statement a line"),
        );
        return broken;
    }
    let body = text.trim_end_matches('\r');
    if let Some(at) = body
        .bytes()
        .position(|b| b.is_ascii_control() && b != b'\t')
    {
        let help = if body.as_bytes()[at] == b'\r' {
            "it ends lines in a way of old: save the note with the line ends of today (LF or CRLF)"
        } else {
            "delete the character, or check that the file is a note"
        };
        let at = span.start as usize + at;
        diagnostics.push(
            Diagnostic::new(
                &code::CONTROL_CHARACTER,
                Span::new(at, at + 1),
                "this line holds a control character and is not read",
            )
            .help(help),
        );
        return broken;
    }
    let offset = span.start as usize;
    let part = |range: std::ops::Range<usize>| {
        Spanned::new(
            &text[range.clone()],
            Span::new(range.start, range.end).shift(offset),
        )
    };
    let Lead {
        end: start,
        indented,
        clock,
        comment,
    } = lead(text);
    if let Some(at) = comment {
        return ParsedLine {
            span,
            comment: Some(part(at..text.len()).span),
            line: Line::Comment,
        };
    }
    let clock = clock.map(part);
    let (body, comment) = split_comment(text, start);
    let comment = comment.map(|at| part(at..text.len()).span);
    let body = (!body.is_empty()).then(|| part(body));
    let line = match (clock, body) {
        (Some(clock), body) => {
            let end = body.map_or(clock.span, |body| body.span).end as usize - offset;
            let whole = part(clock.span.start as usize - offset..end);
            statement::stamped(whole, clock, body, diagnostics)
        }
        (None, Some(text)) if indented => Line::Continuation(text),
        (None, Some(text)) => statement::classify(text, false, diagnostics),
        (None, None) if comment.is_some() => Line::Comment,
        (None, None) => Line::Blank,
    };
    ParsedLine {
        span,
        comment,
        line,
    }
}

/// How a line starts.
#[derive(Debug, Default, PartialEq)]
struct Lead {
    /// Where the rest of the line starts.
    end: usize,
    /// True behind blanks.
    indented: bool,
    /// The clock time's place.
    clock: Option<std::ops::Range<usize>>,
    /// Where the comment starts that the whole line is.
    comment: Option<usize>,
}

/// The start of a line, by the grammar, but for the two commonest starts: a letter, and a four-digit
/// time with no am or pm behind it. Measured, they are worth an eighth of `check`'s time.
fn lead(text: &str) -> Lead {
    let bytes = text.as_bytes();
    if bytes.first().is_some_and(u8::is_ascii_alphabetic) {
        return Lead::default();
    }
    let timed = bytes.len() > 5
        && bytes[..4].iter().all(u8::is_ascii_digit)
        && bytes[4] == b' '
        && bytes[5].is_ascii_alphabetic()
        && !matches!(bytes[5].to_ascii_lowercase(), b'a' | b'p');
    if timed {
        return Lead {
            end: 4,
            clock: Some(0..4),
            ..Lead::default()
        };
    }
    lead_by_grammar(text)
}

fn lead_by_grammar(text: &str) -> Lead {
    let mut lead = Lead::default();
    let parsed = Grammar::parse(Rule::lead, text).ok();
    let Some(root) = parsed.and_then(|mut pairs| pairs.next()) else {
        return lead; // not reached: the rule takes any start, the empty one too
    };
    lead.end = root.as_span().end();
    for pair in root.into_inner() {
        let range = pair.as_span().start()..pair.as_span().end();
        match pair.as_rule() {
            Rule::indent => lead.indented = !range.is_empty(),
            Rule::clock => lead.clock = Some(range),
            Rule::hash => lead.comment = Some(range.start),
            _ => {}
        }
    }
    lead
}

/// The statement from `start` on, without blanks around it, and where a comment starts.
///
/// A comment's `#` stands between blanks and something follows it: `#3` and `228#` are text, and a
/// `#` at the end of the line is pounds.
fn split_comment(text: &str, start: usize) -> (std::ops::Range<usize>, Option<usize>) {
    let bytes = text.as_bytes();
    let blank = |at: usize| matches!(bytes.get(at), Some(b' ' | b'\t'));
    let comment = text[start..]
        .match_indices('#')
        .map(|(at, _)| start + at)
        .find(|&at| {
            let before = at == start || text[..at].ends_with(char::is_whitespace);
            before && blank(at + 1) && !text[at + 1..].trim().is_empty()
        });
    let body = &text[start..comment.unwrap_or(text.len())];
    let left = body.len() - body.trim_start_matches(is_blank).len();
    let right = body.trim_end_matches(is_blank).len();
    (start + left..(start + right).max(start + left), comment)
}

/// The blanks of the grammar, and those that only Unicode knows.
pub(crate) fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '\u{200B}'
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_way_reads_a_start_as_the_grammar_does() {
        for text in [
            "suction 4.2 psig",
            "0912 suction 4.2 psig",
            "0912 added 2 lb",
            "0912 p",
            "0912 a",
            "0912",
            "0912 ",
            "0912  saw frost",
            "2575 saw frost",
            "09125 saw",
            "0912: saw",
            "0912 4 psig",
            "é 0912",
            "9:12 pm saw",
            "",
        ] {
            assert_eq!(lead(text), lead_by_grammar(text), "{text}");
        }
    }
}
