//! Diagnostics for people: an annotated excerpt of the note, or one line a problem.
//!
//! annotate-snippets draws the excerpt: it takes our own struct as plain data (miette wants its
//! trait on every error type, ariadne its own report builder and character offsets), it is what the
//! Rust compiler's own messages are drawn with, so tabs, wide characters and very long lines are
//! well tried, and it adds three small crates.

use super::{Diagnostic, Severity};
use crate::source::{Source, Span};
use annotate_snippets::{AnnotationKind, Element, Group, Level, Patch, Renderer, Snippet};

/// The excerpt form, styled with escape codes when `colour` is set.
pub fn annotated(source: &Source, diagnostic: &Diagnostic, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::INFO.with_name(Severity::Advice.name()),
    };
    let places: Vec<Span> = diagnostic
        .labels
        .iter()
        .map(|label| source.written_span(label.span))
        .collect();
    let edits: Vec<(Span, String)> = diagnostic
        .fixes
        .iter()
        .map(|fix| source.written_edit(fix.span, &fix.replacement))
        .collect();
    let (text, base, first_line) = around(
        source,
        places.iter().chain(edits.iter().map(|(span, _)| span)),
    );
    let range = |span: Span| span.start as usize - base..span.end as usize - base;
    let annotations = diagnostic.labels.iter().enumerate().map(|(i, label)| {
        let kind = if i == 0 {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let annotation = kind.span(range(places[i]));
        if label.text.is_empty() {
            annotation
        } else {
            annotation.label(label.text.as_str())
        }
    });
    let mut elements: Vec<Element<'_>> = vec![
        Snippet::source(text)
            .line_start(first_line)
            .path(source.name())
            .annotations(annotations)
            .into(),
    ];
    for help in &diagnostic.help {
        elements.push(Level::HELP.message(help.as_str()).into());
    }
    let mut report = vec![
        level
            .primary_title(diagnostic.message.as_str())
            .id(diagnostic.code.id)
            .elements(elements),
    ];
    for (fix, (span, replacement)) in diagnostic.fixes.iter().zip(&edits) {
        report.push(
            Group::with_title(Level::HELP.secondary_title(fix.title.as_str())).element(
                Snippet::source(text)
                    .line_start(first_line)
                    .patch(Patch::new(range(*span), replacement.as_str())),
            ),
        );
    }
    renderer.render(&report)
}

/// `path:line:column: severity[code] message (help)` on one line.
pub fn short(source: &Source, diagnostic: &Diagnostic) -> String {
    let (line, column) = source.position(diagnostic.span().start);
    // What to type; where only a label says it (`is … meant?`), the label.
    let told = diagnostic
        .help
        .first()
        .or_else(|| diagnostic.labels.first().map(|label| &label.text));
    let help = match told {
        Some(text) if !text.is_empty() => format!(" ({text})"),
        _ => String::new(),
    };
    format!(
        "{}:{line}:{column}: {}[{}] {}{help}",
        source.name(),
        diagnostic.severity.name(),
        diagnostic.code.id,
        diagnostic.message,
    )
}

/// The lines of the file that hold some places, where they start, and the number of the first: the
/// renderer then looks at those only, not at the whole note for every problem.
fn around<'a, 's>(
    source: &'a Source,
    places: impl Iterator<Item = &'s Span>,
) -> (&'a str, usize, usize) {
    let whole = places.copied().reduce(Span::to).unwrap_or_default();
    let text = source.written();
    let start = text[..whole.start as usize]
        .rfind('\n')
        .map_or(0, |at| at + 1);
    let end = text[whole.end as usize..]
        .find('\n')
        .map_or(text.len(), |at| whole.end as usize + at);
    let line = source.written_line(start as u32);
    (&text[start..end], start, line as usize)
}
