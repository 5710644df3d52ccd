//! What one line of a note is, borrowed from the source and spanned; nothing is converted yet.

use crate::quantity::Number;
use crate::source::{Span, Spanned};
use crate::vocabulary::{HeadKey, PointName, State, Verb};
use jiff::civil::Date;

/// A line with its place and its comment.
#[derive(Debug, Clone, PartialEq)]
pub struct ParsedLine<'s> {
    /// The whole line without its ending.
    pub span: Span,
    /// A comment at its end, from `#` on.
    pub comment: Option<Span>,
    /// What it is.
    pub line: Line<'s>,
}

/// The kinds of line.
#[derive(Debug, Clone, PartialEq)]
pub enum Line<'s> {
    /// Nothing but blanks.
    Blank,
    /// Only a comment.
    Comment,
    /// `key: value`.
    Head(Head<'s>),
    /// Opens a visit.
    Visit(VisitLine<'s>),
    /// A statement, stamped with a time or not.
    Entry(Entry<'s>),
    /// Indented: continues the free text above.
    Continuation(Spanned<&'s str>),
    /// Kept, reported, not used.
    Broken,
}

/// A line of the head.
#[derive(Debug, Clone, PartialEq)]
pub struct Head<'s> {
    /// The key as written.
    pub key: Spanned<&'s str>,
    /// The key it names, if known.
    pub known: Option<HeadKey>,
    /// Everything after the colon; may be empty.
    pub value: Spanned<&'s str>,
}

/// A line that opens a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitLine<'s> {
    /// The date, if one could be read.
    pub date: Option<Spanned<VisitDate>>,
    /// Technicians, as written.
    pub technicians: Vec<Spanned<&'s str>>,
}

/// A date as read off a visit line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitDate {
    /// Year, month and day given.
    Full(Date),
    /// No year written: month and day.
    NoYear {
        /// 1 to 12.
        month: i8,
        /// 1 to 31.
        day: i8,
    },
}

/// A time of day in minutes after midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Clock {
    /// 0 to 1440.
    pub minutes: u16,
    /// True when `am` or `pm` was written, or the hour has two digits, so that it can only mean this.
    pub certain: bool,
}

/// A statement with its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry<'s> {
    /// Time written at the start of the line.
    pub clock: Option<Spanned<Clock>>,
    /// The statement.
    pub statement: Statement<'s>,
}

/// What an entry states.
#[derive(Debug, Clone, PartialEq)]
pub enum Statement<'s> {
    /// Values and states measured or seen.
    Readings(Vec<Item<'s>>),
    /// A line kind and its text.
    Action {
        /// Which kind.
        verb: Verb,
        /// The words that said so (empty when they belong to the text).
        words: Span,
        /// The text after them.
        text: Spanned<&'s str>,
    },
    /// Not understood; reported.
    Unknown(Spanned<&'s str>),
    /// A time and nothing else.
    Nothing,
}

/// One reading of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Item<'s> {
    /// A point and its value or values.
    Value(ValueItem<'s>),
    /// A part and its state.
    State {
        /// The part as written.
        name: Spanned<&'s str>,
        /// What it resolves to.
        point: PointName,
        /// The state.
        state: Spanned<State>,
    },
}

/// A point with values.
#[derive(Debug, Clone, PartialEq)]
pub struct ValueItem<'s> {
    /// The point as written.
    pub name: Spanned<&'s str>,
    /// What it resolves to.
    pub point: PointName,
    /// The values: one, or one a leg.
    pub values: Vec<Spanned<Number>>,
    /// The unit as written.
    pub unit: Option<Spanned<&'s str>>,
    /// In its place, a mark of degrees that names no scale: `31°`.
    pub degree: Option<Span>,
    /// Words after the value that are not a reading.
    pub remark: Option<Spanned<&'s str>>,
}
