//! Actions: the line kind's own word and the text as written, units behind numbers by their symbols.

use super::{Note, kept};
use crate::model::{EntryKind, unit_at};
use crate::quantity::{Dimension, Unit, lookup_unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Token, is_blank, tokens};
use crate::vocabulary::{Verb, verb};

/// Writes an action; `kind` is what the model took it for.
pub(super) fn write(
    note: &Note<'_>,
    kind: &EntryKind,
    said: Verb,
    words: Span,
    text: Spanned<&str>,
    out: &mut String,
) {
    if words.is_empty() {
        out.push_str(text.node); // `cleaned condenser`
        return;
    }
    let whole = note.source.slice(words.to(text.span));
    // `did not fix`, `fitted jumper …`: the words are part of what is told.
    if kind.text().is_some_and(|told| told.starts_with(whole)) && !text.node.is_empty() {
        out.push_str(whole);
        return;
    }
    let written = note.source.slice(words);
    let name = said.name();
    // `put the alarm back on`: the words go on behind what was restored.
    let around = |words: &str| verb(words).is_none();
    out.push_str(
        if written == name || kept::line_kind(written) || around(written) {
            written
        } else {
            name
        },
    );
    if text.node.is_empty() {
        return;
    }
    out.push(' ');
    match kind {
        EntryKind::Refrigerant(_) => {
            units(note, text, &[Dimension::Mass, Dimension::Pressure], out);
        }
        EntryKind::Hold { .. } => {
            let dimensions = [Dimension::Pressure, Dimension::Temperature];
            units(note, text, &dimensions, out);
        }
        EntryKind::Vacuum { .. } => vacuum(note, text, out),
        _ => out.push_str(text.node),
    }
}

fn vacuum(note: &Note<'_>, text: Spanned<&str>, out: &mut String) {
    let start = out.len();
    if units(note, text, &[Dimension::Vacuum], out) {
        return;
    }
    let tokens = tokens(text.node, 0);
    if let Some(number) = tokens.iter().find(|t| t.number().is_some()) {
        // The reading without a unit that was taken as micron.
        let (before, after) = text.node.split_at(number.span.end as usize);
        out.truncate(start);
        out.push_str(before);
        put(note.symbol(Unit::Micron), after, out);
        out.push_str(after);
    }
}

/// Writes a text with the symbols of the units that stand behind its numbers; false without any.
fn units(note: &Note<'_>, text: Spanned<&str>, of: &[Dimension], out: &mut String) -> bool {
    let tokens: Vec<Token<'_>> = tokens(text.node, 0);
    let mut at = 0;
    let mut next = 0;
    while let Some(token) = tokens.get(next) {
        next += 1;
        if token.number().is_none() {
            continue;
        }
        let found = of
            .iter()
            .find_map(|dimension| unit_at(&tokens, next, *dimension));
        let Some((unit, mut end)) = found else {
            continue;
        };
        // A stroke or a mark of degrees behind a unit counts for nothing when it is looked up.
        while end > next + 1 && matches!(tokens[end - 1].text, "-" | "." | "°" | "º" | "˚") {
            end -= 1;
        }
        // `71 "Hg vacuum`: the symbol would take in a word that the spelling did not.
        if goes_on(note.symbol(unit), &tokens[end..]) {
            next = end;
            continue;
        }
        out.push_str(&text.node[at..token.span.end as usize]);
        at = tokens[end - 1].span.end as usize;
        put(note.symbol(unit), &text.node[at..], out);
        next = end;
    }
    out.push_str(&text.node[at..]);
    at > 0
}

/// True when a symbol and the words behind it spell a unit together.
fn goes_on(symbol: &str, behind: &[Token<'_>]) -> bool {
    let mut spelt = symbol.to_owned();
    behind.iter().take(3).any(|token| {
        spelt.push_str(token.text);
        !matches!(token.text, "-" | "." | "°" | "º" | "˚") && !lookup_unit(&spelt).is_empty()
    })
}

/// Writes a unit behind its number, apart from what follows it.
fn put(symbol: &str, rest: &str, out: &mut String) {
    out.push(' ');
    out.push_str(symbol);
    let joined = !rest.starts_with(|c: char| is_blank(c) || matches!(c, ',' | ';' | ':' | ')'));
    if joined && !matches!(rest, "" | ".") {
        out.push(' '); // `3lb4oz`
    }
}
