//! The text of one note, its line table, and byte spans into it.

use serde::Serialize;
use std::borrow::Cow;

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
///
/// Where a line was spoken rather than written in the notation, the text is what was understood
/// ([`Self::understood`]), and spans count in that text; [`Self::written`], [`Self::line`],
/// [`Self::position`], [`Self::written_span`] and [`Self::written_edit`] lead back to what stands in
/// the file.
#[derive(Debug, Clone)]
pub struct Source {
    name: String,
    text: String,
    line_starts: Vec<u32>,
    written: Option<Box<Written>>,
}

/// What stands in the file, where the text is what was understood of it.
#[derive(Debug, Clone)]
struct Written {
    text: String,
    line_starts: Vec<u32>,
    /// Stretches of the understood text that differ from the file, in order.
    stretches: Vec<Stretch>,
}

/// A line of the file that was rewritten.
#[derive(Debug, Clone)]
struct Stretch {
    /// In the understood text; several lines where the line held several statements.
    here: Span,
    /// In the file.
    written: Span,
    /// Parts of `here` with the words of the file that they stand for.
    parts: Vec<(Span, Span)>,
}

/// What a line of the file was understood as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Understood {
    /// The line in the file, without its ending.
    pub line: Span,
    /// What takes its place: statements in the notation, a line each.
    pub text: String,
    /// Parts of `text` (from its start) with the words of the file that they stand for, in order.
    pub parts: Vec<(Span, Span)>,
}

impl Source {
    /// Longest note accepted. A job note is a few kilobytes; anything near this is not a note.
    pub const MAX_BYTES: usize = 4 << 20;
    /// Longest line parsed. Longer ones are kept and reported, not read.
    pub const MAX_LINE_BYTES: usize = 4096;

    /// Wraps text that is already known to be UTF-8 and within [`Self::MAX_BYTES`]. A tab is understood
    /// as a blank: no statement means another thing for it.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let line_starts = line_starts(&text);
        let (text, written) = if text.contains('\t') {
            let written = Written {
                line_starts: line_starts.clone(),
                stretches: Vec::new(),
                text,
            };
            (written.text.replace('\t', " "), Some(Box::new(written)))
        } else {
            (text, None)
        };
        Self {
            name: name.into(),
            line_starts,
            text,
            written,
        }
    }

    /// The same note with some of its lines as they were understood; `lines` are in order.
    #[must_use]
    pub fn understood(&self, lines: &[Understood]) -> Self {
        let mut text = String::with_capacity(self.text.len() + 256);
        let mut stretches = Vec::with_capacity(lines.len());
        let mut end = 0;
        for line in lines {
            text.push_str(&self.text[end..line.line.start as usize]);
            let start = text.len();
            text.push_str(&line.text);
            stretches.push(Stretch {
                here: Span::new(start, text.len()),
                written: line.line,
                parts: line
                    .parts
                    .iter()
                    .map(|&(here, written)| (here.shift(start), written))
                    .collect(),
            });
            end = line.line.end as usize;
        }
        text.push_str(&self.text[end..]);
        Self {
            name: self.name.clone(),
            line_starts: line_starts(&text),
            text,
            written: Some(Box::new(Written {
                text: self.written().to_owned(),
                line_starts: self.line_starts.clone(),
                stretches,
            })),
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

    /// The text that is compiled.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text exactly as it stands in the file.
    pub fn written(&self) -> &str {
        self.written.as_ref().map_or(&self.text, |w| &w.text)
    }

    /// The place in the file of a place in the text: of the words that were understood so.
    pub fn written_span(&self, span: Span) -> Span {
        let Some(written) = &self.written else {
            return span;
        };
        let start = written.place(span.start).0;
        // An empty span stands behind what is before it.
        let end = written.place(span.end.saturating_sub(1).max(span.start)).1;
        if span.is_empty() {
            let at = match written.stretch(span.start) {
                Some(stretch) => stretch.words(span).map_or(stretch.written.end, |w| w.end),
                None => start,
            };
            return Span { start: at, end: at };
        }
        let covered = written
            .stretches
            .iter()
            .filter(|s| s.here.start < span.end && span.start < s.here.end)
            .filter_map(|s| s.words(span));
        covered.fold(
            Span {
                start: start.min(end),
                end: start.max(end),
            },
            Span::to,
        )
    }

    /// Line and column, both from 1, of a byte offset in the file; columns count characters.
    pub fn written_position(&self, offset: u32) -> (u32, u32) {
        let line = self.written_line(offset);
        let starts = self
            .written
            .as_ref()
            .map_or(&self.line_starts, |written| &written.line_starts);
        let start = starts[line as usize - 1] as usize;
        let column = self.written()[start..offset as usize].chars().count() as u32 + 1;
        (line, column)
    }

    /// Line number, from 1, of a byte offset in the file.
    pub fn written_line(&self, offset: u32) -> u32 {
        let starts = self
            .written
            .as_ref()
            .map_or(&self.line_starts, |written| &written.line_starts);
        starts.partition_point(|&start| start <= offset) as u32
    }

    /// The text in the file under a place in the file.
    pub fn slice_written(&self, span: Span) -> &str {
        &self.written()[span.start as usize..span.end as usize]
    }

    /// The place in the text of a place in the file: of what its words were understood as.
    pub fn understood_span(&self, span: Span) -> Span {
        let Some(written) = &self.written else {
            return span;
        };
        let before = written
            .stretches
            .partition_point(|s| s.written.start <= span.start);
        let Some(stretch) = written.stretches[..before].last() else {
            return span;
        };
        if span.start > stretch.written.end {
            let shift = |at: u32| at - stretch.written.end + stretch.here.end;
            return Span {
                start: shift(span.start),
                end: shift(span.end),
            };
        }
        let touched = stretch
            .parts
            .iter()
            .filter(|(_, w)| w.start < span.end && span.start < w.end)
            .map(|(here, _)| *here)
            .reduce(Span::to);
        touched
            .filter(|_| span != stretch.written)
            .unwrap_or(stretch.here)
    }

    /// The edit of the file that replaces a place of the text: a line that was understood otherwise
    /// than it is written is replaced whole.
    pub fn written_edit(&self, span: Span, replacement: &str) -> (Span, String) {
        let Some(written) = &self.written else {
            return (span, replacement.to_owned());
        };
        let touched = |s: &&Stretch| s.here.start <= span.end && span.start <= s.here.end;
        let whole = written
            .stretches
            .iter()
            .filter(touched)
            .fold(span, |whole, s| whole.to(s.here));
        let before = &self.text[whole.start as usize..span.start as usize];
        let after = &self.text[span.end as usize..whole.end as usize];
        let edge = |at: u32, end: bool| {
            let edge = |s: &&Stretch| {
                if end {
                    s.here.end == at
                } else {
                    s.here.start == at
                }
            };
            match written.stretches.iter().find(edge) {
                Some(s) if end => s.written.end,
                Some(s) => s.written.start,
                None => written.place(at).0,
            }
        };
        let place = Span {
            start: edge(whole.start, false),
            end: edge(whole.end, true),
        };
        (place, format!("{before}{replacement}{after}"))
    }

    /// The line of the text that an offset stands in, without its ending.
    pub fn line_at(&self, offset: u32) -> Span {
        let line = self.line_starts.partition_point(|&start| start <= offset);
        self.span_of_line(line - 1)
    }

    /// The text under a span.
    pub fn slice(&self, span: Span) -> &str {
        &self.text[span.start as usize..span.end as usize]
    }

    /// Line number in the file, from 1, of a byte offset.
    pub fn line(&self, offset: u32) -> u32 {
        let at = self.written.as_ref().map_or(offset, |w| w.place(offset).0);
        self.written_line(at)
    }

    /// Line and column in the file, both from 1, of a byte offset; columns count characters.
    pub fn position(&self, offset: u32) -> (u32, u32) {
        let at = self.written.as_ref().map_or(offset, |w| w.place(offset).0);
        self.written_position(at)
    }

    /// Every line as its span, without the line ending; a byte-order mark is not part of line 1.
    pub fn lines(&self) -> impl Iterator<Item = Span> + '_ {
        // the empty tail after a final line ending is not a line
        let tail = self.line_starts.last().copied() == Some(self.text.len() as u32);
        let bare = self.text == "\u{FEFF}";
        let count = self.line_starts.len() - usize::from(tail || bare);
        (0..count).map(|i| self.span_of_line(i))
    }

    fn span_of_line(&self, i: usize) -> Span {
        let mut start = self.line_starts[i] as usize;
        if i == 0 && self.text.starts_with('\u{FEFF}') {
            start = '\u{FEFF}'.len_utf8();
        }
        let next = self.line_starts.get(i + 1);
        let stop = next.map_or(self.text.len(), |&next| next as usize);
        let line = &self.text[start..stop.max(start)];
        let line = line.strip_suffix('\n').unwrap_or(line);
        let line = line.strip_suffix('\r').unwrap_or(line);
        Span::new(start, start + line.len())
    }
}

impl Written {
    /// The rewritten stretch that an offset of the understood text stands in or at the end of.
    fn stretch(&self, offset: u32) -> Option<&Stretch> {
        let before = self.stretches.partition_point(|s| s.here.start <= offset);
        self.stretches[..before]
            .last()
            .filter(|s| offset <= s.here.end)
    }

    /// Start and end in the file of what an offset of the understood text stands in.
    fn place(&self, offset: u32) -> (u32, u32) {
        let before = self.stretches.partition_point(|s| s.here.start <= offset);
        let Some(stretch) = self.stretches[..before].last() else {
            return (offset, offset + 1);
        };
        if offset > stretch.here.end {
            let at = stretch.written.end + (offset - stretch.here.end);
            return (at, at + 1);
        }
        let at = Span {
            start: offset,
            end: offset + 1,
        };
        let words = stretch.words(at).unwrap_or(stretch.written);
        (words.start, words.end)
    }
}

impl Stretch {
    /// The words of the file behind a place of the understood text, of all its parts together; those
    /// of the part before where none covers it.
    fn words(&self, span: Span) -> Option<Span> {
        let covered = self
            .parts
            .iter()
            .filter(|(here, _)| here.start < span.end && span.start < here.end)
            .map(|(_, written)| *written)
            .reduce(Span::to);
        covered.or_else(|| {
            let before = self.parts.iter().rfind(|(here, _)| here.end <= span.start);
            before.map(|(_, written)| *written)
        })
    }
}

fn line_starts(text: &str) -> Vec<u32> {
    let breaks = text.bytes().enumerate().filter(|&(_, b)| b == b'\n');
    std::iter::once(0)
        .chain(breaks.map(|(i, _)| i as u32 + 1))
        .collect()
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

/// A text for readers, on a terminal or a page: characters that would act on it are shown and not obeyed.
pub fn visible(text: &str) -> Cow<'_, str> {
    let acts = |c: char| c.is_control() && c != '\n' && c != '\t';
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let shown = |c: char| match c {
        '\n' | '\t' => c,
        '\u{7f}' => '␡',
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}'),
        '\u{80}'..='\u{9f}' => '\u{fffd}',
        _ => c,
    };
    Cow::Owned(text.chars().map(shown).collect())
}
