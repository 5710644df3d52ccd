//! The days that an answer counts.

use jiff::civil::Date;

/// Days to count, both ends included.
#[derive(Debug, Clone, Copy, Default)]
pub struct Period {
    /// First day; from the beginning without one.
    pub from: Option<Date>,
    /// Last day; to the end without one.
    pub to: Option<Date>,
}

impl Period {
    /// Whether a day lies in it. A movement without a date is in no period but the whole time.
    pub fn has(&self, date: Option<Date>) -> bool {
        match date {
            Some(date) => {
                self.from.is_none_or(|from| from <= date) && self.to.is_none_or(|to| date <= to)
            }
            None => self.from.is_none() && self.to.is_none(),
        }
    }

    /// Whether a day lies before it.
    pub fn is_before(&self, date: Option<Date>) -> bool {
        date.is_some_and(|date| self.from.is_some_and(|from| date < from))
    }

    /// `2026-01-01 to 2026-12-31`, `all notes`.
    pub fn name(&self) -> String {
        match (self.from, self.to) {
            (None, None) => "all notes".to_owned(),
            (Some(from), None) => format!("from {from}"),
            (None, Some(to)) => format!("to {to}"),
            (Some(from), Some(to)) => format!("{from} to {to}"),
        }
    }
}
