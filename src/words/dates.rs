//! Days in words.

use super::Words;
use jiff::civil::Date;

/// The order of day, month and year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DateOrder {
    /// `14 March 2026`.
    #[default]
    DayMonth,
    /// `March 14, 2026`.
    MonthDay,
    /// `2026-03-14`.
    Iso,
}

impl DateOrder {
    /// The words of the settings.
    pub const SPELLINGS: [&'static str; 3] = ["day-month", "month-day", "iso"];

    /// Reads one.
    pub fn recognise(text: &str) -> Option<Self> {
        Some(match text.to_ascii_lowercase().as_str() {
            "day-month" => Self::DayMonth,
            "month-day" => Self::MonthDay,
            "iso" => Self::Iso,
            _ => return None,
        })
    }
}

pub(super) fn day(words: &Words, date: Date) -> String {
    let id = match words.dates {
        DateOrder::Iso => return date.to_string(),
        DateOrder::DayMonth => "date-day-month",
        DateOrder::MonthDay => "date-month-day",
    };
    let month = words.say(&format!("month-{}", date.month()));
    let parts = [
        ("day", i64::from(date.day()).into()),
        ("month", month.into()),
        // As text: a year has no thousands.
        ("year", date.year().to_string().into()),
    ];
    words.say_with(id, &parts)
}
