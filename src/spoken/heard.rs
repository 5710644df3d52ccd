//! What was heard in a line, and what there is to say of it.

use super::doubt::Doubt;
use crate::diagnostic::{Diagnostic, Severity, code};
use crate::source::{Source, Span, Understood};

/// What was heard in a line.
pub(super) struct Heard {
    pub line: Span,
    /// What takes its place; `None` when that is asked first.
    pub text: Option<String>,
    pub parts: Vec<(Span, Span)>,
    pub doubts: Vec<(Span, Doubt, Vec<String>)>,
    /// Statements before this line that it takes back.
    pub scratches: usize,
    /// Numbers in talk that belong to no point.
    pub strays: Vec<Span>,
    /// True when words without a line kind were kept as talk.
    pub talk: bool,
    /// True when a time was said in it.
    pub clocked: bool,
}

impl Heard {
    /// A line that became another, and nothing about it to ask.
    pub fn plain(line: Span, text: String, parts: Vec<(Span, Span)>) -> Self {
        Self {
            line,
            text: Some(text),
            parts,
            doubts: Vec::new(),
            scratches: 0,
            strays: Vec::new(),
            talk: false,
            clocked: false,
        }
    }

    /// True when nothing about it is to be asked.
    pub fn is_certain(&self) -> bool {
        self.doubts.is_empty() && self.strays.is_empty()
    }

    pub fn understood(&self) -> Option<Understood> {
        Some(Understood {
            line: self.line,
            text: self.text.clone()?,
            parts: self.parts.clone(),
        })
    }

    /// What is said of it; `source` is the understood one.
    pub fn diagnostics(&self, source: &Source) -> Vec<Diagnostic> {
        let mut all = Vec::new();
        let place = source.understood_span(self.line);
        if let Some(text) = &self.text {
            let shown: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
            let shown = if shown.is_empty() {
                text.clone()
            } else {
                shown.join("` and `")
            };
            let diagnostic = Diagnostic::new(
                &code::UNDERSTOOD_AS,
                place,
                format!("understood as `{shown}`"),
            );
            all.push(if self.is_certain() {
                diagnostic.safe_fix("write it so", place, text.clone())
            } else {
                diagnostic.likely_fix("write it so", place, text.clone())
            });
        }
        for (span, doubt, ways) in &self.doubts {
            let mut diagnostic = Diagnostic::new(
                &code::HEARD_TWO_WAYS,
                source.understood_span(*span),
                doubt.message.clone(),
            );
            if !doubt.open {
                diagnostic.severity = Severity::Warning;
            }
            for ((name, value), way) in doubt.ways.iter().zip(ways) {
                diagnostic = diagnostic.likely_fix(
                    format!("`{}`", format!("{name} {value}").trim()),
                    place,
                    way.clone(),
                );
            }
            all.push(diagnostic);
        }
        for span in &self.strays {
            let here = source.understood_span(*span);
            all.push(
                Diagnostic::new(
                    &code::NUMBER_IN_TALK,
                    here,
                    format!(
                        "`{}` belongs to no point that is known, and stays talk",
                        source.slice_written(*span)
                    ),
                )
                .help("if it is a reading, write its point before it: `box 17 F`"),
            );
        }
        all
    }
}

/// The ending of a line; of the one before it where it has none.
pub(super) fn newline(text: &str, line: Span) -> &'static str {
    let after = &text[line.end as usize..];
    let crlf = after.starts_with("\r\n")
        || after.is_empty() && text[..line.start as usize].ends_with("\r\n");
    if crlf { "\r\n" } else { "\n" }
}
