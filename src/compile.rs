//! The orchestrator, to be read first: a source goes in, everything known about it comes out.
//!
//! Each stage runs whatever the one before complained about; only what rests on a broken line is
//! left out.

use crate::causes::{Causes, rank};
use crate::derive::{Bench, Derivation, Derived, Energy, derive};
use crate::diagnostic::{Diagnostic, Severity, code};
use crate::findings::{Case, Findings, judge};
use crate::model::{self, Job};
use crate::quantity::Display;
use crate::source::Source;
use crate::spoken;
use crate::syntax::{self, Parse};
use crate::vocabulary::privacy;
use std::sync::OnceLock;

/// A note and all that follows from it.
#[derive(Debug)]
pub struct Compiled {
    /// The text.
    pub source: Source,
    /// What it says.
    pub job: Job,
    /// What its readings mean.
    pub derived: Derivation,
    /// What there is to say about the note's writing, in order of place.
    pub diagnostics: Vec<Diagnostic>,
    findings: OnceLock<Findings>,
    energy: OnceLock<Energy>,
    causes: OnceLock<Causes>,
}

impl Compiled {
    /// The same, with computed values in other units than the note's own.
    pub fn shown_in(mut self, display: Option<Display>) -> Self {
        self.job.display = display.unwrap_or(self.job.display);
        self
    }

    /// What follows from the readings, judged when first asked for: the books do not ask.
    pub fn findings(&self) -> &Findings {
        self.findings.get_or_init(|| {
            let bench = Bench::new(&self.job);
            judge(&self.job, &self.derived, &bench)
        })
    }

    /// The cycles and what they say, worked out when first asked for.
    pub fn energy(&self) -> &Energy {
        self.energy
            .get_or_init(|| Energy::of(&self.job, &Bench::new(&self.job)))
    }

    /// The causes that fit, ranked when first asked for.
    pub fn causes(&self) -> &Causes {
        self.causes.get_or_init(|| {
            let bench = Bench::new(&self.job);
            let case = Case {
                job: &self.job,
                derived: &self.derived,
                bench: &bench,
            };
            rank(&case, self.energy(), self.findings())
        })
    }

    /// Every derived value, in order of its first reading.
    pub fn values(&self) -> Vec<&Derived> {
        let mut all: Vec<&Derived> = self.derived.values.iter().collect();
        all.extend(self.energy().values());
        all.sort_by_key(|d| d.span().start);
        all
    }

    /// Everything `check` prints: problems of writing and findings, in order of place.
    pub fn report(&self) -> Vec<Diagnostic> {
        let mut all = self.diagnostics.clone();
        all.extend(
            self.findings()
                .found
                .iter()
                .map(crate::findings::Finding::diagnostic),
        );
        all.sort_by_key(|d| (d.span().start, d.code.id));
        // A caution said twelve times is read once: only its first place keeps it.
        let mut said: Vec<String> = Vec::new();
        for diagnostic in &mut all {
            diagnostic.help.retain(|help| !said.contains(help));
            said.extend(diagnostic.help.iter().cloned());
        }
        all
    }

    /// Lines that may hold hours, parts or refrigerant and could not be used, for readers who do not see
    /// the note. Readings are not the office's business: they are only counted.
    pub fn not_counted(&self) -> Vec<String> {
        let of_reading = [
            &code::UNKNOWN_POINT,
            &code::UNKNOWN_UNIT,
            &code::MISSING_VALUE,
            &code::STRAY_VALUE,
            &code::WRONG_COUNT,
            &code::WRONG_DIMENSION,
            &code::UNIT_NEEDED,
        ];
        let errors = self
            .diagnostics
            .iter()
            .filter(|d| d.severity == Severity::Error || d.code.id == code::AMOUNT_UNBOOKED.id);
        // `weighed in 2 lb R-448A` reads like a point that nobody knows, and is an amount.
        let is_amount = |d: &&Diagnostic| {
            let line = self.source.line_at(d.span().start);
            model::has_mass(self.source.slice(line))
        };
        // A message quotes what it is about: of private words only an amount is told, and without them.
        let is_private = |d: &&Diagnostic| {
            let line = self.source.line_at(d.span().start);
            privacy::is_private(self.source.slice(line))
        };
        let (mut doubtful, errors): (Vec<_>, Vec<_>) = errors.partition(is_private);
        doubtful.retain(|d| {
            let of_amount = [
                &code::AMOUNT_DOUBTFUL,
                &code::AMOUNT_MISSING,
                &code::AMOUNT_UNBOOKED,
            ];
            of_amount.iter().any(|c| c.id == d.code.id)
        });
        let errors = errors.into_iter();
        let is_reading = |d: &&Diagnostic| of_reading.iter().any(|c| c.id == d.code.id);
        let (readings, others): (Vec<_>, Vec<_>) =
            errors.partition(|d| is_reading(d) && !is_amount(d));
        let mut lines: Vec<String> = others
            .into_iter()
            .map(|d| {
                let line = self.source.line(d.span().start);
                format!("line {line}: {}", d.message)
            })
            .collect();
        lines.extend(doubtful.iter().map(|d| {
            let line = self.source.line(d.span().start);
            format!("line {line}: an amount that is not booked (see the diagnosis note)")
        }));
        if !readings.is_empty() && !lines.is_empty() {
            lines.push(format!(
                "and {} that could not be used (see the diagnosis note)",
                crate::vocabulary::plural(readings.len(), "reading")
            ));
        }
        lines
    }

    /// True when anything is an error.
    pub fn has_errors(&self) -> bool {
        self.diagnostics
            .iter()
            .any(|d| d.severity == Severity::Error)
            || self
                .findings()
                .found
                .iter()
                .any(|f| f.rule.code.severity == Severity::Error)
    }
}

/// Compiles one note: source → spoken → syntax → model → derive. Findings, cycles and causes follow when
/// asked for.
pub fn compile(written: Source) -> Compiled {
    let parse = syntax::parse(&written);
    match spoken::understand(&written, &parse) {
        None => {
            let read = Read::of(&written, parse, Vec::new());
            read.of_source(written)
        }
        Some((source, said)) => {
            let read = Read::of(&source, syntax::parse(&source), said);
            read.of_source(source)
        }
    }
}

/// What was read off a source, before it is put together with it.
struct Read {
    job: Job,
    derived: Derivation,
    diagnostics: Vec<Diagnostic>,
}

impl Read {
    fn of(source: &Source, parse: Parse<'_>, said: Vec<Diagnostic>) -> Self {
        let (job, mut diagnostics) = model::build(source, &parse);
        diagnostics.extend(parse.diagnostics);
        // A line of which is asked what was meant is not called meaningless beside that.
        let question = |d: &&Diagnostic| d.code.id == code::HEARD_TWO_WAYS.id;
        for asked in said.iter().filter(question) {
            let line = source.line_at(asked.span().start);
            diagnostics.retain(|d| {
                d.code.id != code::UNKNOWN_STATEMENT.id || source.line_at(d.span().start) != line
            });
        }
        diagnostics.extend(said);
        diagnostics.sort_by_key(|d| (d.span().start, d.code.id));
        let bench = Bench::new(&job);
        let derived = derive(&job, &bench);
        Self {
            job,
            derived,
            diagnostics,
        }
    }

    fn of_source(self, source: Source) -> Compiled {
        Compiled {
            source,
            job: self.job,
            derived: self.derived,
            diagnostics: self.diagnostics,
            findings: OnceLock::new(),
            energy: OnceLock::new(),
            causes: OnceLock::new(),
        }
    }
}
