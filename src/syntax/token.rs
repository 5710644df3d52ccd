//! Tokens of a statement: what is cut before the vocabulary gives it meaning.
//!
//! By hand and not by the grammar: this runs over every character of every reading, and measured
//! (`cargo bench --bench check`) the grammar took a third of the whole time of `check` for it.

use crate::quantity::{Number, lookup_unit};
use crate::source::{Span, Spanned};

/// A token and its place in the note.
#[derive(Debug, Clone, PartialEq)]
pub struct Token<'s> {
    /// What it is.
    pub kind: TokenKind,
    /// Its text.
    pub text: &'s str,
    /// Its place.
    pub span: Span,
}

/// The kinds of token.
#[derive(Debug, Clone, PartialEq)]
pub enum TokenKind {
    /// Letters, with digits, hyphens and points inside.
    Word,
    /// A number; `None` when it has too many digits or divides by zero.
    Number(Option<Number>),
    /// A number with a comma read as decimal point.
    CommaNumber(Option<Number>),
    /// Several values joined by `/`.
    Series(Vec<Spanned<Number>>),
    /// Any other character.
    Mark,
    /// A comma or the like.
    Separator,
}

impl Token<'_> {
    /// The number, when the token is one.
    pub fn number(&self) -> Option<Number> {
        match self.kind {
            TokenKind::Number(number) | TokenKind::CommaNumber(number) => number,
            _ => None,
        }
    }

    /// True for a number or a series.
    pub fn is_value(&self) -> bool {
        matches!(
            self.kind,
            TokenKind::Number(_) | TokenKind::CommaNumber(_) | TokenKind::Series(_)
        )
    }
}

/// Splits a statement into tokens; `offset` is where `text` starts in the note.
pub fn tokens(text: &str, offset: usize) -> Vec<Token<'_>> {
    let mut found = Vec::with_capacity(text.len() / 4 + 1);
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        let rest = &text[at..];
        let (length, kind) = if first.is_ascii_alphabetic() || first == '_' || first.is_alphabetic()
        {
            (word_after(rest, found.last(), at + offset), TokenKind::Word)
        } else if super::is_blank(first) {
            at += first.len_utf8();
            continue;
        } else if let Some(length) = number(rest) {
            let written = &rest[..length];
            let kind = if written.contains(',') && !thousands(written) {
                TokenKind::CommaNumber(Number::parse(&written.replace(',', ".")))
            } else {
                TokenKind::Number(Number::parse(written))
            };
            (length, kind)
        } else if matches!(first, ',' | ';' | '|' | '•') {
            (first.len_utf8(), TokenKind::Separator)
        } else {
            (first.len_utf8(), TokenKind::Mark)
        };
        found.push(Token {
            kind,
            text: &rest[..length],
            span: Span::new(at, at + length).shift(offset),
        });
        at += length;
    }
    join_series(found, text, offset)
}

/// Length of the word, or of the unit that a thumb ran together with the next number: `3lb4oz`.
fn word_after(text: &str, before: Option<&Token<'_>>, at: usize) -> usize {
    let length = word(text);
    let joined = before.is_some_and(|t| t.is_value() && t.span.end as usize == at);
    let unit = text[..length].find(|c: char| c.is_ascii_digit());
    match unit {
        Some(end) if joined && !lookup_unit(&text[..end]).is_empty() => end,
        _ => length,
    }
}

/// Length of the word that `text` starts with: letters and digits, with `-`, `.` and `&` between
/// them (`L1-L2`, `R-448A`, `w.c.`), and the point of an abbreviation (`in.`).
fn word(text: &str) -> usize {
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let next = text[at + c.len_utf8()..].chars().next();
        let goes_on = match c {
            '-' | '&' => next.is_some_and(char::is_alphanumeric),
            '.' => next.is_none_or(|n| {
                n.is_alphanumeric() || super::is_blank(n) || matches!(n, ',' | ';')
            }),
            '\'' | '’' | '_' => true,
            // combining marks: a letter and its accent may be two characters
            '\u{300}'..='\u{36F}' => true,
            other => other.is_alphanumeric(),
        };
        if !goes_on {
            break;
        }
        at += c.len_utf8();
    }
    at
}

/// Length of the number that `text` starts with: `12`, `-4.2`, `.5`, `1,200.5`, `4,2` (a decimal
/// comma), `3/8`, `5 1/2`, `5-1/2`.
fn number(text: &str) -> Option<usize> {
    let sign = match text.chars().next()? {
        c @ ('-' | '−' | '–' | '+') => c.len_utf8(),
        _ => 0,
    };
    let whole = sign + digits(&text[sign..]);
    let rest = &text[whole..];
    if whole == sign {
        return point(rest).map(|length| whole + length);
    }
    let tail = over(rest)
        .or_else(|| mixed(rest))
        .or_else(|| point(rest))
        .or_else(|| groups(rest))
        .or_else(|| comma(rest));
    Some(whole + tail.unwrap_or(0))
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// `.5`
fn point(text: &str) -> Option<usize> {
    let count = digits(text.strip_prefix('.')?);
    (count > 0).then_some(1 + count)
}

/// `,200` any number of times, then perhaps a point
fn groups(text: &str) -> Option<usize> {
    let mut at = 0;
    while text[at..].starts_with(',') && digits(&text[at + 1..]) == 3 {
        at += 4;
    }
    (at > 0).then(|| at + point(&text[at..]).unwrap_or(0))
}

/// `,2` or `,25`, not followed by what would make it a list
fn comma(text: &str) -> Option<usize> {
    let count = digits(text.strip_prefix(',')?);
    let end = 1 + count;
    ((1..=2).contains(&count) && !text[end..].starts_with(['/', '.', ','])).then_some(end)
}

/// ` 1/2` or `-1/2` after a whole number
fn mixed(text: &str) -> Option<usize> {
    let lead = match text.strip_prefix('-') {
        Some(_) => 1,
        None => text.len() - text.trim_start_matches(super::is_blank).len(),
    };
    let count = digits(&text[lead..]);
    if lead == 0 || !(1..=2).contains(&count) {
        return None;
    }
    over(&text[lead + count..]).map(|length| lead + count + length)
}

/// `/8`: the denominators of a rule or a scale, and nothing that would make it a series
fn over(text: &str) -> Option<usize> {
    let below = text.strip_prefix('/')?;
    let count = digits(below);
    let rest = &below[count..];
    let is_series =
        rest.starts_with('.') || rest.trim_start_matches(super::is_blank).starts_with('/');
    (matches!(&below[..count], "2" | "3" | "4" | "8" | "16" | "32" | "64") && !is_series)
        .then_some(1 + count)
}

/// Joins numbers with `/` between them into one series: three or more (`9.1/9.3/9.0`), or two with a
/// blank at the stroke (`207 / 209`), which no fraction has.
fn join_series<'s>(tokens: Vec<Token<'s>>, text: &'s str, offset: usize) -> Vec<Token<'s>> {
    let tokens = join_hyphens(tokens, text, offset);
    if !tokens
        .iter()
        .any(|t| t.kind == TokenKind::Mark && t.text == "/")
    {
        return tokens;
    }
    let mut joined: Vec<Token<'s>> = Vec::with_capacity(tokens.len());
    let mut i = 0;
    while i < tokens.len() {
        let mut values = Vec::new();
        let mut end = i;
        while let Some(token) = tokens.get(end)
            && let TokenKind::Number(Some(number)) = token.kind
        {
            match (values.is_empty(), token.text.split_once('/')) {
                // `9/8/8` reads as 9, then the fraction 8/8: behind a stroke those are two values.
                (false, Some((left, right))) => {
                    let start = token.span.start as usize;
                    for (part, from) in [(left, start), (right, start + left.len() + 1)] {
                        let place = Span::new(from, from + part.len());
                        values.extend(Number::parse(part).map(|n| Spanned::new(n, place)));
                    }
                }
                _ => values.push(Spanned::new(number, token.span)),
            }
            let stroke = tokens.get(end + 1).is_some_and(|t| t.text == "/");
            let next = tokens
                .get(end + 2)
                .is_some_and(|t| matches!(t.kind, TokenKind::Number(Some(_))));
            if !(stroke && next) {
                break;
            }
            end += 2;
        }
        let is_series = match values.as_slice() {
            [] | [_] => false,
            [a, b] => b.span.start - a.span.end > 1,
            _ => true,
        };
        if is_series {
            let span = tokens[i].span.to(tokens[end].span);
            joined.push(Token {
                kind: TokenKind::Series(values),
                text: &text[span.start as usize - offset..span.end as usize - offset],
                span,
            });
            i = end + 1;
        } else {
            joined.push(tokens[i].clone());
            i += 1;
        }
    }
    joined
}

/// Three numbers with hyphens between them, `9.1-9.3-9.0`, are three values; two are a range.
fn join_hyphens<'s>(tokens: Vec<Token<'s>>, text: &'s str, offset: usize) -> Vec<Token<'s>> {
    if !text.contains('-') {
        return tokens;
    }
    let joined = |at: usize| {
        let [a, b, c] = tokens.get(at..at + 3)? else {
            return None;
        };
        let next =
            |a: &Token<'_>, b: &Token<'_>| a.span.end == b.span.start && b.text.starts_with('-');
        let values = [a.number()?, b.number()?.negated(), c.number()?.negated()];
        (next(a, b) && next(b, c)).then(|| {
            let place = |t: &Token<'_>, sign: u32| Span {
                start: t.span.start + sign,
                end: t.span.end,
            };
            let spans = [place(a, 0), place(b, 1), place(c, 1)];
            let series = values
                .into_iter()
                .zip(spans)
                .map(|(n, s)| Spanned::new(n, s))
                .collect();
            let span = a.span.to(c.span);
            Token {
                kind: TokenKind::Series(series),
                text: &text[span.start as usize - offset..span.end as usize - offset],
                span,
            }
        })
    };
    let Some(at) = (0..tokens.len().saturating_sub(2)).find(|&at| joined(at).is_some()) else {
        return tokens;
    };
    let mut all = tokens[..at].to_vec();
    all.extend(joined(at));
    all.extend_from_slice(&tokens[at + 3..]);
    all
}

fn thousands(text: &str) -> bool {
    let whole = text.split('.').next().unwrap_or(text);
    whole.split(',').skip(1).all(|group| group.len() == 3)
}
