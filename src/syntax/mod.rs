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
    if let Some(at) = text
        .bytes()
        .position(|b| b.is_ascii_control() && !matches!(b, b'\t' | b'\r'))
    {
        let at = span.start as usize + at;
        diagnostics.push(
            Diagnostic::new(
                &code::CONTROL_CHARACTER,
                Span::new(at, at + 1),
                "this line holds a control character and is not read",
            )
            .help("delete the character, or check that the file is a note"),
        );
        return broken;
    }
    let Some(root) = Grammar::parse(Rule::line, text)
        .ok()
        .and_then(|mut pairs| pairs.next())
    else {
        diagnostics.push(Diagnostic::new(
            &code::UNKNOWN_STATEMENT,
            span,
            "this line could not be read",
        ));
        return broken;
    };
    let offset = span.start as usize;
    let spanned = |pair: pest::iterators::Pair<'s, Rule>| {
        let s = pair.as_span();
        Spanned::new(pair.as_str(), Span::new(s.start(), s.end()).shift(offset))
    };
    let mut comment = None;
    let mut clock = None;
    let mut body = None;
    let mut shape = Rule::empty;
    if let Some(pair) = root.into_inner().next() {
        shape = pair.as_rule();
        if shape == Rule::comment_line {
            return ParsedLine {
                span,
                comment: Some(spanned(pair).span),
                line: Line::Comment,
            };
        }
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::clock => clock = Some(spanned(part)),
                Rule::text => body = Some(spanned(part)),
                Rule::tail_comment => comment = Some(spanned(part).span),
                _ => {}
            }
        }
    }
    let line = match (shape, clock, body) {
        (Rule::indented, _, Some(text)) => Line::Continuation(text),
        (Rule::stamped, Some(clock), body) => {
            let whole = body.map_or(clock.span, |body| clock.span.to(body.span));
            let inside = whole.start as usize - offset..whole.end as usize - offset;
            statement::stamped(Spanned::new(&text[inside], whole), clock, body, diagnostics)
        }
        (_, _, Some(body)) => statement::classify(body, false, diagnostics),
        _ => Line::Blank,
    };
    ParsedLine {
        span,
        comment,
        line,
    }
}
