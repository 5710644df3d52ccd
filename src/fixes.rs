//! Which replacements are put into a note without asking, and what is left for the writer to choose.

use crate::compile::{Compiled, compile};
use crate::diagnostic::{Diagnostic, Fix, Severity};
use crate::source::{Source, Span};
use crate::vocabulary::plural;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::fmt::Write;
use std::str::FromStr;

/// A replacement may bring another to light, never so many times; what would go round in a circle
/// ends here.
const ROUNDS: usize = 16;

/// How much of a long line is shown on each side of a replacement, in characters.
const NEAR: usize = 60;

/// A note with replacements put in, and what is left.
#[derive(Debug)]
pub struct Fixed {
    /// Its name.
    pub name: String,
    /// As it was.
    pub before: String,
    /// As it is to be; lines without a replacement are the same bytes.
    pub after: String,
    /// Number of replacements put in.
    pub applied: usize,
    /// Problems whose replacement is for the writer to choose, in order of place in `after`.
    pub left: Vec<Left>,
    /// Number of errors in `after` for which no replacement is known.
    pub errors: usize,
}

/// A problem whose replacement is for the writer to choose.
#[derive(Debug, PartialEq, Eq)]
pub struct Left {
    /// Line, from 1.
    pub line: u32,
    /// `error[RB104]`.
    pub kind: String,
    /// What the problem is.
    pub message: String,
    /// What may be chosen, the most plausible first.
    pub offers: Vec<Offer>,
}

/// One replacement that may be chosen.
#[derive(Debug, PartialEq, Eq)]
pub struct Offer {
    /// What it is chosen by.
    pub choice: Choice,
    /// What it does, in the imperative.
    pub title: String,
    /// The line as it would then be, without indentation, long ones cut.
    pub line: String,
}

/// The name of one offer: the line, and a letter for each offer on it; `12a`, `12b`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Choice {
    line: u32,
    /// From 0.
    offer: usize,
}

impl std::fmt::Display for Choice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // After `z` come `za`, `zb`: never reached by a line that a person wrote.
        let letter = char::from(b'a' + (self.offer % 26) as u8);
        write!(f, "{}{}{letter}", self.line, "z".repeat(self.offer / 26))
    }
}

impl FromStr for Choice {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let refused = || format!("`{text}` is no choice; write the line and its letter: 12a");
        let at = text.find(|c: char| !c.is_ascii_digit());
        let (line, letters) = text.split_at(at.ok_or_else(refused)?);
        let letters = letters.to_ascii_lowercase();
        let (last, before) = letters.as_bytes().split_last().ok_or_else(refused)?;
        if !last.is_ascii_lowercase() || before.iter().any(|&b| b != b'z') {
            return Err(refused());
        }
        Ok(Self {
            line: line.parse().map_err(|_| refused())?,
            offer: before.len() * 26 + usize::from(last - b'a'),
        })
    }
}

/// Puts in every replacement that is certain, then the chosen ones, and again what then is certain.
///
/// # Errors
/// A sentence when a choice is not offered, or when two choices replace the same words.
pub fn fixed(source: Source, choices: &[Choice]) -> Result<Fixed, String> {
    let before = source.text().to_owned();
    let mut compiled = compile(source);
    let mut applied = settle(&mut compiled);
    if !choices.is_empty() {
        let chosen = chosen(&compiled, choices)?;
        let put = put_in(&compiled.source, &chosen.iter().collect::<Vec<_>>());
        if put.applied < chosen.len() {
            return Err(
                "the choices cannot be put in together: two replace the same words, or a line would be too long".to_owned(),
            );
        }
        applied += put.applied;
        compiled = again(&compiled, put);
        applied += settle(&mut compiled);
    }
    let unaided = |d: &&Diagnostic| d.severity == Severity::Error && d.fixes.is_empty();
    Ok(Fixed {
        name: compiled.source.name().to_owned(),
        before,
        after: compiled.source.text().to_owned(),
        applied,
        left: left(&compiled),
        errors: compiled.report().iter().filter(unaided).count(),
    })
}

impl Fixed {
    /// True when nothing was put in, nothing is to be chosen, and no error stands.
    pub fn is_clean(&self) -> bool {
        self.applied == 0 && self.is_settled()
    }

    /// True when nothing is to be chosen, and no error stands.
    pub fn is_settled(&self) -> bool {
        self.left.is_empty() && self.errors == 0
    }

    /// What was done and what is left, a line each; `note.job: 3 fixes applied, 2 left to choose`.
    /// Without `written`, what would be done.
    pub fn summary(&self, written: bool) -> String {
        let counts = counted(self.applied, self.left.len(), self.errors, written);
        let mut text = format!("{}: {counts}\n", self.name);
        for left in &self.left {
            let _ = writeln!(text, "  line {}: {} {}", left.line, left.kind, left.message);
            for offer in &left.offers {
                let _ = writeln!(text, "    {}: {}", offer.choice, offer.title);
                let _ = writeln!(text, "      {}", offer.line);
            }
        }
        text
    }
}

/// `3 fixes applied, 2 left to choose, 1 error without a fix`; without `written`, `3 fixes to apply`.
pub fn counted(applied: usize, left: usize, errors: usize, written: bool) -> String {
    if (applied, left, errors) == (0, 0, 0) {
        return "nothing to fix".to_owned();
    }
    let fixes = if applied == 1 { "fix" } else { "fixes" };
    let done = if written { "applied" } else { "to apply" };
    let mut text = format!("{applied} {fixes} {done}");
    if left > 0 {
        let _ = write!(text, ", {left} left to choose");
    }
    if errors > 0 {
        let _ = write!(
            text,
            ", {} without a fix (see `rimebook check`)",
            plural(errors, "error")
        );
    }
    text
}

/// Puts in what is certain until nothing is; returns how many that were.
fn settle(compiled: &mut Compiled) -> usize {
    let mut applied = 0;
    let mut waiting = broken_lines(compiled);
    for _ in 0..ROUNDS {
        let certain = certain(compiled, &waiting);
        let put = put_in(&compiled.source, &certain);
        if put.applied == 0 {
            break;
        }
        let lines = read_lines(compiled, &certain);
        let (count, now) = (put.applied, again(compiled, put));
        let (said_before, said_now) = (said(compiled, &lines), said(&now, &lines));
        // A replacement that says more than it was for is not put in, whoever called it safe.
        let others = |line: &u32| said_before.get(line) != said_now.get(line);
        let others: Vec<u32> = lines.into_iter().filter(others).collect();
        if others.is_empty() {
            applied += count;
            *compiled = now;
        }
        waiting.extend(others);
    }
    applied
}

/// The lines of replacements that were read before: what they say is to stay. An error that is put
/// right is to change it.
fn read_lines(compiled: &Compiled, fixes: &[&Fix]) -> HashSet<u32> {
    let line = |fix: &Fix| compiled.source.line(fix.span.start);
    let errors = compiled.diagnostics.iter();
    let errors = errors.filter(|d| d.severity == Severity::Error);
    let mended: HashSet<u32> = errors
        .filter_map(Diagnostic::certain_fix)
        .map(line)
        .collect();
    let mut lines: HashSet<u32> = fixes.iter().map(|fix| line(fix)).collect();
    lines.retain(|line| !mended.contains(line));
    lines
}

/// What lines say apart from what is certain: their other problems, and their readings.
fn said(compiled: &Compiled, lines: &HashSet<u32>) -> HashMap<u32, Vec<String>> {
    let mut said: HashMap<u32, Vec<String>> = HashMap::new();
    for diagnostic in &compiled.diagnostics {
        let line = compiled.source.line(diagnostic.span().start);
        if lines.contains(&line) && diagnostic.certain_fix().is_none() {
            said.entry(line)
                .or_default()
                .push(diagnostic.code.id.to_owned());
        }
    }
    for reading in compiled.job.readings() {
        if lines.contains(&reading.line) {
            let value = reading.written().map(|written| written.quantity);
            said.entry(reading.line).or_default().push(format!(
                "{} {:?} {value:?}",
                reading.label(),
                reading.seen()
            ));
        }
    }
    said
}

/// The replacements that need no choice. Two kinds wait: one on a `waiting` line, such as one that could
/// not be read whole, where nothing is certain (`box 4,5, ambient 82` is no box of 4 F), and one that
/// touches words which another problem would have otherwise: put in, it would settle that doubt unasked.
fn certain<'c>(compiled: &'c Compiled, waiting: &HashSet<u32>) -> Vec<&'c Fix> {
    let diagnostics = &compiled.diagnostics;
    let mut doubtful: Vec<Span> = diagnostics
        .iter()
        .filter(|diagnostic| diagnostic.certain_fix().is_none())
        .flat_map(|diagnostic| diagnostic.fixes.iter().map(|fix| fix.span))
        .collect();
    doubtful.sort_unstable();
    // How far to the right the doubts up to each one reach.
    let mut reach = 0;
    for span in &mut doubtful {
        reach = reach.max(span.end);
        span.end = reach;
    }
    let doubted = |fix: &Fix| {
        let before = doubtful.partition_point(|span| span.start <= fix.span.end);
        before > 0 && doubtful[before - 1].end >= fix.span.start
    };
    diagnostics
        .iter()
        .filter_map(Diagnostic::certain_fix)
        .filter(|fix| !doubted(fix) && !waiting.contains(&compiled.source.line(fix.span.start)))
        .collect()
}

/// Lines with an error that is not put right unasked.
fn broken_lines(compiled: &Compiled) -> HashSet<u32> {
    compiled
        .diagnostics
        .iter()
        .filter(|d| d.severity == Severity::Error && d.certain_fix().is_none())
        .map(|d| compiled.source.line(d.span().start))
        .collect()
}

/// Compiles a note with replacements put in.
fn again(compiled: &Compiled, put: Put) -> Compiled {
    compile(Source::new(compiled.source.name(), put.text))
}

/// A text with replacements put in, and how many.
struct Put {
    text: String,
    applied: usize,
}

/// Puts replacements into the text of a note. Of two that touch, the first in the note is put in: a
/// second look at the text then says whether the other is still wanted. Left out is also what changes
/// nothing, and what would make a line or the note too long to be read.
fn put_in(source: &Source, fixes: &[&Fix]) -> Put {
    let written = source.text();
    let mut fixes = fixes.to_vec();
    fixes.sort_by_key(|fix| fix.span);
    let mut put = Put {
        text: String::with_capacity(written.len()),
        applied: 0,
    };
    let mut done = 0;
    let mut taken = None;
    for fix in fixes {
        let (start, end) = (fix.span.start as usize, fix.span.end as usize);
        if taken.is_some_and(|taken| start <= taken) || written[start..end] == fix.replacement {
            continue;
        }
        put.text.push_str(&written[done..start]);
        done = start;
        let line = put.text.rfind('\n').map_or(0, |at| at + 1);
        let after = &written[end..];
        let rest = after.find('\n').unwrap_or(after.len());
        let longer = put.text.len() + fix.replacement.len();
        if longer - line + rest > Source::MAX_LINE_BYTES || longer + after.len() > Source::MAX_BYTES
        {
            continue;
        }
        put.text.push_str(&fix.replacement);
        put.applied += 1;
        (done, taken) = (end, Some(end));
    }
    put.text.push_str(&written[done..]);
    put
}

/// What may be chosen in a note: each problem that has replacements, with their names. What is certain
/// but waits for an error on its line is no choice: it is put in when the error is gone.
fn open(compiled: &Compiled) -> Vec<(Diagnostic, Vec<Choice>)> {
    let line = |diagnostic: &Diagnostic| compiled.source.line(diagnostic.span().start);
    let broken = broken_lines(compiled);
    let mut on_line: BTreeMap<u32, usize> = BTreeMap::new();
    let mut all = compiled.report();
    all.retain(|d| match d.certain_fix() {
        Some(_) => !broken.contains(&line(d)),
        None => !d.fixes.is_empty(),
    });
    all.into_iter()
        .map(|diagnostic| {
            let line = line(&diagnostic);
            let used = on_line.entry(line).or_default();
            let offers = *used..*used + diagnostic.fixes.len();
            *used = offers.end;
            let names = offers.map(|offer| Choice { line, offer }).collect();
            (diagnostic, names)
        })
        .collect()
}

/// The replacements that were chosen.
fn chosen(compiled: &Compiled, choices: &[Choice]) -> Result<Vec<Fix>, String> {
    let wanted: BTreeSet<&Choice> = choices.iter().collect();
    let mut found = Vec::new();
    for (diagnostic, names) in open(compiled) {
        let offers = names.iter().zip(&diagnostic.fixes);
        let mut taken = offers.filter(|(name, _)| wanted.contains(name));
        let Some((name, fix)) = taken.next() else {
            continue;
        };
        if let Some((other, _)) = taken.next() {
            return Err(format!(
                "{name} and {other} are for the same problem: choose one of them"
            ));
        }
        found.push((*name, fix.clone()));
    }
    if let Some(missing) = wanted
        .iter()
        .find(|wanted| !found.iter().any(|(name, _)| name == **wanted))
    {
        return Err(format!(
            "there is no choice {missing}; without --choose, all are listed"
        ));
    }
    Ok(found.into_iter().map(|(_, fix)| fix).collect())
}

fn left(compiled: &Compiled) -> Vec<Left> {
    let source = &compiled.source;
    open(compiled)
        .into_iter()
        .map(|(diagnostic, names)| Left {
            line: source.line(diagnostic.span().start),
            kind: format!("{}[{}]", diagnostic.severity.name(), diagnostic.code.id),
            offers: names
                .into_iter()
                .zip(&diagnostic.fixes)
                .map(|(choice, fix)| Offer {
                    choice,
                    title: fix.title.clone(),
                    line: line_with(source, fix),
                })
                .collect(),
            message: diagnostic.message,
        })
        .collect()
}

/// The line as it is with a replacement put in, without indentation; of a long line what stands near.
fn line_with(source: &Source, fix: &Fix) -> String {
    let (before, after) = source.text().split_at(fix.span.start as usize);
    let after = &after[fix.span.len()..];
    let before = before.rsplit('\n').next().unwrap_or(before).trim_start();
    let after = after.split('\n').next().unwrap_or(after).trim_end();
    let from = before.char_indices().rev().nth(NEAR).map(|(at, _)| at);
    let to = after.char_indices().nth(NEAR).map(|(at, _)| at);
    format!(
        "{}{}{}{}{}",
        from.map_or("", |_| "…"),
        &before[from.unwrap_or(0)..],
        fix.replacement,
        &after[..to.unwrap_or(after.len())],
        to.map_or("", |_| "…"),
    )
}
