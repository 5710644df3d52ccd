//! The line that opens a visit: a date in any common writing, then names.

use super::grammar::{Grammar, Rule};
use super::line::{VisitDate, VisitLine};
use crate::diagnostic::{Diagnostic, code};
use crate::source::{Span, Spanned};
use jiff::civil::Date;
use pest::Parser;

/// Names of the months.
pub(crate) const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Reads the text after the word `visit`.
pub(super) fn visit<'s>(
    text: Spanned<&'s str>,
    keyword: Span,
    diagnostics: &mut Vec<Diagnostic>,
) -> VisitLine<'s> {
    let offset = text.span.start as usize;
    let root = Grammar::parse(Rule::visit, text.node)
        .ok()
        .and_then(|mut pairs| pairs.next());
    let Some(root) = root else {
        let place = if text.node.is_empty() {
            keyword
        } else {
            text.span
        };
        diagnostics.push(bad_date(place, "this visit has no date that could be read"));
        return VisitLine {
            date: None,
            technicians: technicians(text),
        };
    };
    let mut line = VisitLine {
        date: None,
        technicians: Vec::new(),
    };
    for pair in root.into_inner() {
        let s = pair.as_span();
        let span = Span::new(s.start(), s.end()).shift(offset);
        match pair.as_rule() {
            Rule::names => line.technicians = technicians(Spanned::new(pair.as_str(), span)),
            Rule::EOI => {}
            shape => {
                let written = pair.as_str();
                match date(shape, pair) {
                    Some((found, ambiguous)) => {
                        if ambiguous {
                            diagnostics.push(month_first(written, found, span));
                        }
                        line.date = Some(Spanned::new(found, span));
                    }
                    None => {
                        diagnostics.push(bad_date(span, format!("there is no date `{written}`")))
                    }
                }
            }
        }
    }
    line
}

fn month_first(written: &str, found: VisitDate, span: Span) -> Diagnostic {
    let read = match found {
        VisitDate::Full(date) => date.to_string(),
        VisitDate::NoYear { month, day } => format!("day {day} of month {month}"),
    };
    let diagnostic = Diagnostic::new(
        &code::DATE_ORDER,
        span,
        format!("`{written}` was read month first, as {read}"),
    );
    match found {
        VisitDate::Full(_) => diagnostic
            .help(format!("write `{read}` to leave no doubt"))
            .likely_fix("write the date as year-month-day", span, read),
        VisitDate::NoYear { .. } => diagnostic.help("write the date as year-month-day"),
    }
}

fn bad_date(span: Span, message: impl Into<String>) -> Diagnostic {
    Diagnostic::new(&code::BAD_DATE, span, message)
        .help("write the date as year-month-day: `visit 2026-03-14 Dana R.`")
}

/// The date, and whether month and day could be the other way round.
fn date(shape: Rule, pair: pest::iterators::Pair<'_, Rule>) -> Option<(VisitDate, bool)> {
    let (mut year, mut month, mut day) = (None::<i16>, None::<i8>, None::<i8>);
    for part in pair.into_inner() {
        let text = part.as_str();
        match part.as_rule() {
            Rule::year => year = text.parse().ok(),
            Rule::short_year => year = text.parse::<i16>().ok().map(|y| 2000 + y),
            Rule::month => month = text.parse().ok(),
            Rule::month_name => month = Some(month_by_name(text)?),
            Rule::day => {
                day = text
                    .trim_end_matches(|c: char| c.is_alphabetic())
                    .parse()
                    .ok()
            }
            _ => {}
        }
    }
    let (mut month, mut day) = (month?, day?);
    let mut ambiguous = false;
    if shape == Rule::slash_date {
        if month > 12 && day <= 12 {
            std::mem::swap(&mut month, &mut day); // 14/3: only day first is possible
        } else {
            ambiguous = day <= 12 && month != day;
        }
    }
    let found = match year {
        Some(year) => VisitDate::Full(Date::new(year, month, day).ok()?),
        None => {
            Date::new(2024, month, day).ok()?; // a leap year: 29 February may be meant
            VisitDate::NoYear { month, day }
        }
    };
    Some((found, ambiguous))
}

fn month_by_name(text: &str) -> Option<i8> {
    let name = text.trim_end_matches('.').to_ascii_lowercase();
    let at = MONTHS.iter().position(|month| {
        *month == name
            || (name.len() >= 3 && month.starts_with(&name))
            || (name == "sept" && *month == "september")
    })?;
    Some(at as i8 + 1)
}

/// `Dana R., Lee M. and Kim` → three names, trimmed.
fn technicians(text: Spanned<&str>) -> Vec<Spanned<&str>> {
    let base = text.node.as_ptr() as usize;
    let start = text.span.start as usize;
    text.node
        .split([',', ';', '+', '&'])
        .flat_map(|part| part.split(" and "))
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .map(|name| {
            let at = start + (name.as_ptr() as usize - base);
            Spanned::new(name, Span::new(at, at + name.len()))
        })
        .collect()
}
