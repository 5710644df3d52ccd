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
    root.into_inner()
        .filter_map(|pair| {
            let span = |s: pest::Span<'_>| Span::new(s.start(), s.end()).shift(offset);
            let text = pair.as_str();
            let place = span(pair.as_span());
            let kind = match pair.as_rule() {
                Rule::word => TokenKind::Word,
                Rule::mark => TokenKind::Mark,
                Rule::separator => TokenKind::Separator,
                Rule::number if text.contains(',') && !thousands(text) => {
                    TokenKind::CommaNumber(Number::parse(&text.replace(',', ".")))
                }
                Rule::number => TokenKind::Number(Number::parse(text)),
                Rule::series => TokenKind::Series(
                    pair.into_inner()
                        .filter_map(|v| {
                            Some(Spanned::new(Number::parse(v.as_str())?, span(v.as_span())))
                        })
                        .collect(),
                ),
                _ => return None,
            };
            Some(Token {
                kind,
                text,
                span: place,
            })
        })
        .collect()
}

fn thousands(text: &str) -> bool {
    let whole = text.split('.').next().unwrap_or(text);
    whole.split(',').skip(1).all(|group| group.len() == 3)
}
