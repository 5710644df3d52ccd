//! The text of one note, its line table, and byte spans into it.

use serde::Serialize;

/// A byte range of a [`Source`]; offsets are `u32` because a note may not exceed [`Source::MAX_BYTES`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The span `start..end`.
    pub fn new(start: usize, end: usize) -> Self {
        debug_assert!(start <= end);
        Self {
            start: start as u32,
            end: end as u32,
        }
    }

    /// Number of bytes covered.
    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    /// True when nothing is covered.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// The same span moved `offset` bytes to the right.
    pub fn shift(self, offset: usize) -> Span {
        Span {
            start: self.start + offset as u32,
            end: self.end + offset as u32,
        }
    }
}

/// A value and the place in the note it came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Spanned<T> {
    /// The value.
    pub node: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// Pairs a value with its place.
    pub fn new(node: T, span: Span) -> Self {
        Self { node, span }
    }
}

impl<T> std::ops::Deref for Spanned<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.node
    }
}

/// A note's text with its name and line table.
#[derive(Debug, Clone)]
pub struct Source {
    name: String,
    text: String,
    line_starts: Vec<u32>,
}

impl Source {
    /// Longest note accepted. A job note is a few kilobytes; anything near this is not a note.
    pub const MAX_BYTES: usize = 4 << 20;
    /// Longest line parsed. Longer ones are kept and reported, not read.
    pub const MAX_LINE_BYTES: usize = 4096;

    /// Wraps text that is already known to be UTF-8 and within [`Self::MAX_BYTES`].
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let mut line_starts = vec![0];
        line_starts.extend(
            text.bytes()
                .enumerate()
                .filter(|&(_, b)| b == b'\n')
                .map(|(i, _)| i as u32 + 1),
        );
        Self {
            name: name.into(),
            text,
            line_starts,
        }
    }

    /// Reads raw bytes.
    ///
    /// # Errors
    /// A sentence saying why the bytes are not a note: too long, UTF-16, or not UTF-8 (with line
    /// and column of the first bad byte).
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Self, Unreadable> {
        if bytes.len() > Self::MAX_BYTES {
            return Err(Unreadable::TooLong { bytes: bytes.len() });
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            return Err(Unreadable::Utf16);
        }
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self::new(name, text)),
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let bytes = error.as_bytes();
                let line_start = bytes[..at]
                    .iter()
                    .rposition(|&b| b == b'\n')
                    .map_or(0, |i| i + 1);
                Err(Unreadable::NotUtf8 {
                    line: bytes[..at].iter().filter(|&&b| b == b'\n').count() + 1,
                    column: String::from_utf8_lossy(&bytes[line_start..at])
                        .chars()
                        .count()
                        + 1,
                    byte: bytes[at],
                })
            }
        }
    }

    /// The name shown in diagnostics, usually the path as given.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text, exactly as read.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text under a span.
    pub fn slice(&self, span: Span) -> &str {
        &self.text[span.start as usize..span.end as usize]
    }

    /// Line number, from 1, of a byte offset.
    pub fn line(&self, offset: u32) -> u32 {
        self.line_starts.partition_point(|&start| start <= offset) as u32
    }

    /// Line and column, both from 1, of a byte offset; columns count characters.
    pub fn position(&self, offset: u32) -> (u32, u32) {
        let line = self.line(offset);
        let start = self.line_starts[line as usize - 1] as usize;
        let column = self.text[start..offset as usize].chars().count() as u32 + 1;
        (line, column)
    }

    /// Every line as its span, without the line ending; a byte-order mark is not part of line 1.
    pub fn lines(&self) -> impl Iterator<Item = Span> + '_ {
        let end = self.text.len();
        (0..self.line_starts.len()).filter_map(move |i| {
            let mut start = self.line_starts[i] as usize;
            if i == 0 && self.text.starts_with('\u{FEFF}') {
                start = '\u{FEFF}'.len_utf8();
            }
            let stop = self
                .line_starts
                .get(i + 1)
                .map_or(end, |&next| next as usize);
            if start >= stop && i + 1 == self.line_starts.len() {
                return None; // the empty tail after a final line ending is not a line
            }
            let line = &self.text[start..stop];
            let line = line.strip_suffix('\n').unwrap_or(line);
            let line = line.strip_suffix('\r').unwrap_or(line);
            Some(Span::new(start, start + line.len()))
        })
    }
}

/// Why bytes could not be taken as a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unreadable {
    /// Longer than [`Source::MAX_BYTES`].
    TooLong {
        /// Its length.
        bytes: usize,
    },
    /// Starts with a UTF-16 byte-order mark.
    Utf16,
    /// Holds a byte sequence that is not UTF-8.
    NotUtf8 {
        /// Line of the first bad byte, from 1.
        line: usize,
        /// Column of the first bad byte, from 1, in characters.
        column: usize,
        /// The byte.
        byte: u8,
    },
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TooLong { bytes } => write!(
                f,
                "{:.1} MB is too long for a job note (the limit is {} MB)",
                *bytes as f64 / 1e6,
                Source::MAX_BYTES >> 20
            ),
            Self::Utf16 => f.write_str("the file is UTF-16; save it as UTF-8"),
            Self::NotUtf8 { line, column, byte } => write!(
                f,
                "line {line}, column {column}: byte 0x{byte:02X} is not UTF-8; save the note as UTF-8"
            ),
        }
    }
}

impl std::error::Error for Unreadable {}
