//! Tokens of a statement: what the grammar sees before the vocabulary gives it meaning.

use super::grammar::{Grammar, Rule};
use crate::quantity::Number;
use crate::source::{Span, Spanned};
use pest::Parser;

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
    let Ok(mut pairs) = Grammar::parse(Rule::tokens, text) else {
        return Vec::new(); // the rule takes any text
    };
    let Some(root) = pairs.next() else {
        return Vec::new();
    };
    let tokens = root
        .into_inner()
        .filter_map(|pair| {
            let text = pair.as_str();
            let place = pair.as_span();
            let kind = match pair.as_rule() {
                Rule::word => TokenKind::Word,
                Rule::mark => TokenKind::Mark,
                Rule::separator => TokenKind::Separator,
                Rule::number if text.contains(',') && !thousands(text) => {
                    TokenKind::CommaNumber(Number::parse(&text.replace(',', ".")))
                }
                Rule::number => TokenKind::Number(Number::parse(text)),
                _ => return None,
            };
            Some(Token {
                kind,
                text,
                span: Span::new(place.start(), place.end()).shift(offset),
            })
        })
        .collect();
    join_series(tokens, text, offset)
}

/// Joins numbers with `/` between them into one series: three or more (`9.1/9.3/9.0`), or two with a
/// blank at the stroke (`207 / 209`), which no fraction has.
fn join_series<'s>(tokens: Vec<Token<'s>>, text: &'s str, offset: usize) -> Vec<Token<'s>> {
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

fn thousands(text: &str) -> bool {
    let whole = text.split('.').next().unwrap_or(text);
    whole.split(',').skip(1).all(|group| group.len() == 3)
}
