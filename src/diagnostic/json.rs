//! Diagnostics as JSON: one object each, positions as line and column from 1 and as byte offsets.

use super::{Diagnostic, Severity};
use crate::source::{Source, Span};
use serde::Serialize;

/// One diagnostic, ready for JSON.
#[derive(Debug, Serialize)]
pub struct DiagnosticJson<'a> {
    file: &'a str,
    code: &'static str,
    name: &'static str,
    severity: Severity,
    message: &'a str,
    labels: Vec<LabelJson<'a>>,
    help: &'a [String],
    fixes: Vec<FixJson<'a>>,
}

#[derive(Debug, Serialize)]
struct LabelJson<'a> {
    #[serde(flatten)]
    place: PlaceJson,
    text: &'a str,
}

#[derive(Debug, Serialize)]
struct FixJson<'a> {
    title: &'a str,
    #[serde(flatten)]
    place: PlaceJson,
    replacement: String,
    safe: bool,
}

#[derive(Debug, Serialize)]
struct PlaceJson {
    line: u32,
    column: u32,
    start: u32,
    end: u32,
}

fn place(source: &Source, span: Span) -> PlaceJson {
    written(source, source.written_span(span))
}

/// A place in the file.
fn written(source: &Source, span: Span) -> PlaceJson {
    let (line, column) = source.written_position(span.start);
    PlaceJson {
        line,
        column,
        start: span.start,
        end: span.end,
    }
}

/// The JSON form of one diagnostic.
pub fn to_json<'a>(source: &'a Source, diagnostic: &'a Diagnostic) -> DiagnosticJson<'a> {
    DiagnosticJson {
        file: source.name(),
        code: diagnostic.code.id,
        name: diagnostic.code.name,
        severity: diagnostic.severity,
        message: &diagnostic.message,
        labels: diagnostic
            .labels
            .iter()
            .map(|label| LabelJson {
                place: place(source, label.span),
                text: &label.text,
            })
            .collect(),
        help: &diagnostic.help,
        fixes: diagnostic
            .fixes
            .iter()
            .map(|fix| {
                let (span, replacement) = source.written_edit(fix.span, &fix.replacement);
                // A fix that has to write the whole of a spoken line settles what is doubtful of it too.
                let widened = replacement != fix.replacement
                    && diagnostic.code.id != super::code::UNDERSTOOD_AS.id;
                FixJson {
                    title: &fix.title,
                    place: written(source, span),
                    replacement,
                    safe: fix.safe && !widened,
                }
            })
            .collect(),
    }
}
