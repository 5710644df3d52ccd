//! One struct for everything rimebook has to say about a note, and its three renderings.

pub mod code;
mod json;
mod render;

pub use code::Code;
pub use json::{DiagnosticJson, to_json};
pub use render::{annotated, short};

use crate::source::Span;
use serde::Serialize;

/// How much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Something was assumed or could be better.
    Advice,
    /// Doubtful: likely to be wrong, or in need of attention.
    Warning,
    /// The line, or part of it, could not be used.
    Error,
}

impl Severity {
    /// The word shown.
    pub fn name(self) -> &'static str {
        match self {
            Self::Advice => "advice",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A place in the note and what is to be said there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What, a few words; may be empty.
    pub text: String,
}

/// A replacement that makes the problem go away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    /// What it does, in the imperative.
    pub title: String,
    /// What is replaced.
    pub span: Span,
    /// By what.
    pub replacement: String,
    /// True when it can be applied without a second look.
    pub safe: bool,
}

/// One thing to say about a note.
///
/// The message is true and clear when nothing else is shown. The first label is where the problem
/// stands; further labels point at what it conflicts with. Help says what to type.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostic {
    /// What kind of problem.
    pub code: &'static Code,
    /// How much it matters; usually the code's own severity.
    pub severity: Severity,
    /// One sentence without a full stop.
    pub message: String,
    /// Where, most important first.
    pub labels: Vec<Label>,
    /// What to do about it.
    pub help: Vec<String>,
    /// Replacements that are known, the most plausible first; each makes the problem go away alone.
    pub fixes: Vec<Fix>,
}

impl Diagnostic {
    /// A diagnostic at a place.
    pub fn new(code: &'static Code, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: code.severity,
            message: message.into(),
            labels: vec![Label {
                span,
                text: String::new(),
            }],
            help: Vec::new(),
            fixes: Vec::new(),
        }
    }

    /// Sets the words at the main place.
    #[must_use]
    pub fn here(mut self, text: impl Into<String>) -> Self {
        self.labels[0].text = text.into();
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            text: text.into(),
        });
        self
    }

    /// Adds a line of help.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help.push(text.into());
        self
    }

    /// Adds a replacement that can be applied without a second look, after those already there.
    #[must_use]
    pub fn safe_fix(
        self,
        title: impl Into<String>,
        span: Span,
        replacement: impl Into<String>,
    ) -> Self {
        self.with_fix(title.into(), span, replacement.into(), true)
    }

    /// Adds a replacement that is a likely guess, after those already there.
    #[must_use]
    pub fn likely_fix(
        self,
        title: impl Into<String>,
        span: Span,
        replacement: impl Into<String>,
    ) -> Self {
        self.with_fix(title.into(), span, replacement.into(), false)
    }

    fn with_fix(mut self, title: String, span: Span, replacement: String, safe: bool) -> Self {
        self.fixes.push(Fix {
            title,
            span,
            replacement,
            safe,
        });
        self
    }

    /// The replacement to apply without asking: safe, and the only one. A likely one, or one of
    /// several, is for the writer to choose.
    pub fn certain_fix(&self) -> Option<&Fix> {
        match self.fixes.as_slice() {
            [only] if only.safe => Some(only),
            _ => None,
        }
    }

    /// Where the problem stands.
    pub fn span(&self) -> Span {
        self.labels[0].span
    }
}
