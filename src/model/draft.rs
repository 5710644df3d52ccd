//! The job while it is being read: what every part of the model's reading shares.

use super::Job;
use super::habits::UnitHabits;
use crate::diagnostic::Diagnostic;
use crate::source::Source;

/// A job in the making.
pub(super) struct Draft<'a> {
    pub source: &'a Source,
    pub job: Job,
    pub diagnostics: Vec<Diagnostic>,
    pub habits: UnitHabits,
}
