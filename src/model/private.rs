//! What a private sentence does all the same: an amount, a lock, a part, an hour is booked whoever may
//! read the sentence, in words made from the fact alone.

use super::action::{
    JUMPERS, NO_DEBT, NO_PARTS, duration, is_still_to_do, other_substance, place_of,
    starts_with_word,
};
use super::draft::Draft;
use super::transfer::{self, refrigerant_in};
use super::written::{find_mass, tokens_of};
use super::{EntryKind, Flow, Transfer, same_label};
use crate::quantity::lookup_unit;
use crate::source::{Span, Spanned};
use crate::syntax::clock_alone;
use crate::vocabulary::privacy::{public_part, without_markers};
use crate::vocabulary::{
    Verb, fold, names_a_part, names_a_thing, spells_number, state, verb as verb_of,
};

/// What is booked of the private text at `span`.
pub(super) fn facts(draft: &mut Draft<'_>, span: Span) -> Vec<EntryKind> {
    let whole = draft.source.slice(span);
    let is_line_kind = verb_of(whole).is_some_and(|(verb, _)| verb != Verb::Private);
    let open = without_markers(whole);
    let starts = starts(&open);
    let ends = starts.iter().skip(1).copied().chain([open.len()]);
    let mut facts = Vec::new();
    for (&start, end) in starts.iter().zip(ends) {
        let statement = Statement {
            text: public_part(&open[start..end]).trim_end(),
            span,
            is_line_kind: is_line_kind && start == 0,
        };
        facts.extend(statement.fact(draft));
    }
    facts
}

/// Where statements of the books start in a private text: at its beginning or behind a comma and the like,
/// perhaps behind `I` and `we`; behind `and` only where the clause is of the writer's own deeds. `the last
/// guy added …` is no such start.
fn starts(text: &str) -> Vec<usize> {
    const LEADS: &[&str] = &[
        "i", "we", "ive", "weve", "just", "also", "already", "then", "and", "so", "but", "had",
        "have", "note",
    ];
    const BREAKS: &[char] = &[',', ';', '.', ':', '/', '-', '–', '—', '(', '[', '"', '\n'];
    let mut starts = Vec::new();
    let (mut is_fresh, mut is_own) = (true, false);
    let mut skipped = 0;
    for word in text.split_whitespace() {
        let at = word.as_ptr() as usize - text.as_ptr() as usize;
        let open = at + (word.len() - word.trim_start_matches(['(', '[', '"']).len());
        let folded = fold(word);
        if at < skipped {
            continue;
        }
        is_fresh |= open > at;
        if is_fresh && !folded.is_empty() {
            match verb_of(&text[open..]) {
                Some((Verb::Private, words)) => {
                    skipped = open + words.end;
                    continue;
                }
                Some((verb, _)) if verb.books() => {
                    starts.push(open);
                    (is_fresh, is_own) = (false, true);
                }
                _ if LEADS.contains(&folded.as_str()) => is_own |= folded != "and",
                _ => (is_fresh, is_own) = (false, false),
            }
        } else if is_own && matches!(folded.as_str(), "and" | "then") {
            is_fresh = true;
        }
        if word.ends_with(BREAKS) {
            is_fresh = true;
        }
    }
    starts
}

/// One statement of a private text.
struct Statement<'a> {
    text: &'a str,
    /// Where the whole text stands.
    span: Span,
    /// True where it is the line's own: `fitted …, between us`. Behind `private` the same words are talk
    /// more often, and count only where they plainly name what was done.
    is_line_kind: bool,
}

impl Statement<'_> {
    fn fact(&self, draft: &mut Draft<'_>) -> Option<EntryKind> {
        let (verb, words) = verb_of(self.text)?;
        if !self.is_line_kind && is_bare(self.text) {
            return None;
        }
        let said = draft.diagnostics.len();
        let rest = self.text[words.end..].trim_start_matches([' ', ':', ',', '-']);
        let text = Spanned::new(rest, self.span);
        let found = self.read(draft, verb, text);
        let tokens = tokens_of(text);
        let is_amount = find_mass(rest, self.span.start, &tokens).is_some()
            || matches!(verb, Verb::Added | Verb::Recovered)
                && refrigerant_in(text, &tokens).is_some();
        if found.is_none() && !is_amount {
            draft.diagnostics.truncate(said);
        }
        found
    }

    fn read(&self, draft: &mut Draft<'_>, verb: Verb, at: Spanned<&str>) -> Option<EntryKind> {
        let text = at.node;
        Some(match verb {
            Verb::Recovered | Verb::Added if other_substance(text) => return None,
            Verb::Recovered => moved(draft, Flow::Recovered, at)?,
            Verb::Added => moved(draft, Flow::Added, at)?,
            Verb::Travel => EntryKind::Travel {
                duration: Some(duration(draft, at)?),
                text: String::new(),
            },
            Verb::Waited => EntryKind::Waited {
                duration: Some(duration(draft, at)?),
                text: String::new(),
            },
            Verb::LockedOut => EntryKind::LockedOut(self.locked(text)?),
            Verb::LockOff if is_still_to_do(text) => return None,
            Verb::LockOff => EntryKind::LockOff(self.locked(text)?),
            Verb::Fitted if starts_with_word(text, JUMPERS) => {
                EntryKind::Left(self.named(text, "jumper")?)
            }
            Verb::Fitted | Verb::Removed if starts_with_word(text, NO_PARTS) => return None,
            Verb::Removed if starts_with_word(text, JUMPERS) => {
                EntryKind::Restored(self.named(text, "jumper")?)
            }
            Verb::Fitted => EntryKind::Fitted(self.counted(text, "part")?),
            Verb::Removed => EntryKind::Removed(self.counted(text, "part")?),
            Verb::Material => EntryKind::Material(self.counted(text, "material")?),
            Verb::Left if starts_with_word(text, NO_DEBT) => return None,
            Verb::Left => EntryKind::Left(self.named(text, "temporary condition")?),
            Verb::Restored if is_still_to_do(text) => return None,
            Verb::Restored => EntryKind::Restored(self.named(text, "temporary condition")?),
            Verb::Arrive => EntryKind::Arrive(self.who(draft, at)?),
            Verb::Depart => EntryKind::Depart(self.who(draft, at)?),
            _ => return None,
        })
    }

    /// What a text names first; for a line's own statement at least of what kind it is.
    fn named(&self, text: &str, kind: &str) -> Option<String> {
        neutral(text).or_else(|| self.is_line_kind.then(|| kind.to_owned()))
    }

    /// Likewise of a lock, which is never to be lost: any part that its clause names.
    fn locked(&self, text: &str) -> Option<String> {
        let part = || {
            let mut words = text.split([',', ';']).next()?.split_whitespace();
            words.find(|word| names_a_part(&fold(word)))
        };
        neutral(&place_of(text))
            .or_else(|| part().map(str::to_owned))
            .or_else(|| self.named(text, "equipment"))
    }

    /// Likewise, where a count alone says that a thing was meant.
    fn counted(&self, text: &str, kind: &str) -> Option<String> {
        let first = text.split_whitespace().next().unwrap_or("");
        let count = is_number(first) || spells_number(&fold(first));
        match self.named(text, kind) {
            Some(named) if count && named == kind => Some(format!("{first} {kind}")),
            None if count => Some(format!("{first} {kind}")),
            named => named,
        }
    }

    /// Who came or went, by a name of the visit line; nothing for everybody.
    fn who(&self, draft: &Draft<'_>, text: Spanned<&str>) -> Option<String> {
        let first = text.node.split([',', ';']).next().unwrap_or("").trim();
        let visit = draft.job.visits.last();
        let named = visit.into_iter().flat_map(|visit| &visit.technicians);
        let of_name = |name: &&Spanned<String>| {
            let name = fold(&name.node);
            let given = name.split(' ').next().unwrap_or("");
            !given.is_empty() && fold(first).split(' ').any(|word| word == given)
        };
        let names: Vec<&str> = named
            .filter(of_name)
            .map(|name| name.node.as_str())
            .collect();
        let plain = first.is_empty() || clock_alone(Spanned::new(first, text.span)).is_some();
        (self.is_line_kind || plain || !names.is_empty()).then(|| names.join(" and "))
    }
}

/// `add …`, `leave …`: what is to be done, and was not.
fn is_bare(text: &str) -> bool {
    const BARE: &[&str] = &[
        "add", "fit", "leave", "leaving", "recover", "restore", "lock",
    ];
    starts_with_word(text, BARE)
}

/// A movement told in private.
fn moved(draft: &mut Draft<'_>, flow: Flow, text: Spanned<&str>) -> Option<EntryKind> {
    let mut transfer = transfer::read(draft, flow, text.span, text)?;
    transfer.cylinder = transfer
        .cylinder
        .take()
        .and_then(|label| label_of(draft, &label));
    if transfer.refrigerant.is_some() {
        transfer.named = None;
    }
    Some(EntryKind::Refrigerant(transfer))
}

/// The label that words start with, as it is known from elsewhere in the note, or where it looks like one:
/// what stands behind it may say anything.
fn label_of(draft: &Draft<'_>, words: &str) -> Option<String> {
    let of_entries = draft
        .job
        .entries()
        .filter_map(|(_, entry)| match &entry.kind {
            EntryKind::Refrigerant(Transfer { cylinder, .. }) => cylinder.clone(),
            _ => None,
        });
    let known = draft.job.cylinders.iter().map(|c| c.label.node.clone());
    let mut known = known
        .chain(of_entries)
        .chain(["recovery cylinder".to_owned()]);
    let starts: Vec<&str> = words.split_whitespace().collect();
    let heads = (1..=starts.len().min(3))
        .rev()
        .map(|count| starts[..count].join(" "));
    if let Some(label) = heads
        .clone()
        .find_map(|head| known.find(|label| same_label(label, &head)))
    {
        return Some(label);
    }
    let looks_like_label = |head: &String| {
        let letters = head.chars().filter(|c| c.is_alphabetic()).count();
        let marks = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '#' | ' ');
        letters <= 3 && head.ends_with(|c: char| c.is_ascii_digit()) && head.chars().all(marks)
    };
    heads
        .filter(|head| head.split(' ').count() < 3)
        .find(looks_like_label)
}

/// The first words of a text as far as they are numbers and words of the trade, where one of them names
/// something; what follows may say anything.
fn neutral(text: &str) -> Option<String> {
    let of_trade = |word: &str| {
        let folded = fold(word);
        // `bypassed`, `silenced`: what was done to it
        let done =
            matches!(verb_of(word), Some((Verb::Left | Verb::Restored, words)) if words.is_empty());
        names_a_thing(&folded) || state(&folded).is_some() || done
    };
    let is_neutral = |word: &&str| {
        let word = word.trim_matches([',', '.']);
        let letter = word.len() == 1 && word.starts_with(|c: char| c.is_ascii_alphabetic());
        is_number(word)
            || letter
            || is_article(word)
            || spells_number(&fold(word))
            || of_trade(word)
    };
    let mut words: Vec<&str> = text.split_whitespace().take_while(is_neutral).collect();
    while let Some((last, before)) = words.split_last() {
        let number = last.trim_matches([',', '.']);
        let label = before.last().is_some_and(|before| {
            let part = fold(before) == "part" && number.len() > 1;
            part || number.len() <= 2 && of_trade(before)
        });
        if is_article(number) || is_number(number) && lookup_unit_of(number).is_none() && !label {
            words.pop();
        } else {
            break;
        }
    }
    let names = words.iter().any(|word| of_trade(word));
    let text = words.join(" ");
    names.then(|| text.trim_end_matches([',', '.']).to_owned())
}

fn is_article(word: &str) -> bool {
    const ARTICLES: &[&str] = &[
        "a", "an", "the", "new", "main", "on", "to", "from", "of", "part", "and",
    ];
    ARTICLES.contains(&fold(word).as_str())
}

/// `2`, `2x`, `3/8`, `1234-56`, `24V`.
fn is_number(word: &str) -> bool {
    let marks = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | '-');
    let rest = word.trim_start_matches(marks);
    word.starts_with(|c: char| c.is_ascii_digit())
        && (matches!(rest, "" | "x") || lookup_unit_of(word).is_some())
}

/// The unit that a word of a number and its unit ends with.
fn lookup_unit_of(word: &str) -> Option<&str> {
    let rest =
        word.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | '-'));
    (!rest.is_empty() && !lookup_unit(rest).is_empty()).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_words_of_the_trade_are_neutral() {
        for (text, shown) in [
            ("1 contactor the owner is rude", "1 contactor"),
            ("1 contactor 500 for him", "1 contactor"),
            (
                "2 contactors part 1234-56, he owes us",
                "2 contactors part 1234-56",
            ),
            ("1 contactor 2cheap", "1 contactor"),
            ("evap fan 2 off", "evap fan 2 off"),
            ("the main disconnect of the crook", "the main disconnect"),
            ("1 filter-drier, 3/8 flare", "1 filter-drier"),
        ] {
            assert_eq!(neutral(text).as_deref(), Some(shown), "{text}");
        }
        for text in [
            "the owner a note",
            "of the office again",
            "for the dump",
            "2 of them",
            "",
        ] {
            assert_eq!(neutral(text), None, "{text}");
        }
    }

    #[test]
    fn a_deed_of_somebody_else_starts_nothing() {
        for (text, expected) in [
            ("added 3 lb", &[0][..]),
            ("I added 3 lb", &[2]),
            ("private added 3 lb and fitted 1 fan", &[8, 23]),
            ("he is rude, added 3 lb", &[12]),
            ("the other tech added 3 lb", &[]),
            ("the last guy was rude and added 3 lb", &[]),
            ("almost added 3 lb", &[]),
            ("dirt (private: added 3 lb)", &[15]),
        ] {
            assert_eq!(starts(text), expected, "{text}");
        }
    }
}
