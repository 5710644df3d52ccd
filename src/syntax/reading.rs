//! Readings of a line: which words are the point, which number is its value, which word its unit.
//!
//! `suction 4.2 psig, suction line 31 F` is plain. The rest is told apart by the vocabulary: in
//! `evap 2 coil 12 F` the 2 says which evaporator; in `box 17 ambient 74` the 17 is a value, because
//! a box is not numbered; in `evap fan 2 off` there is no value at all but a state.

use super::line::{Item, ValueItem};
use super::token::{Token, TokenKind};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::{Number, lookup_unit, unit_spellings};
use crate::source::Spanned;
use crate::vocabulary::{
    POINTS, Point, PointName, candidates, fold, is_numbered, nearest, nearest_state, resolve,
    starts_remark, state, verb_spellings,
};

/// Most words a unit is spelt with (`inches of water column`).
const LONGEST_UNIT: usize = 4;
/// Most words a state is spelt with.
const LONGEST_STATE: usize = 3;

/// The readings of a statement, or `None` when it does not look like readings at all.
pub(super) fn items<'s>(
    text: Spanned<&'s str>,
    tokens: &[Token<'s>],
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<Vec<Item<'s>>> {
    let mut scan = Scan {
        text,
        items: Vec::new(),
        found: Vec::new(),
        recognised: false,
    };
    for chunk in tokens
        .split(|t| {
            t.kind == TokenKind::Separator
                || (t.kind == TokenKind::Word && t.text.eq_ignore_ascii_case("and"))
        })
        .filter(|chunk| !chunk.is_empty())
    {
        scan.chunk(chunk);
    }
    if !scan.recognised {
        return None;
    }
    diagnostics.append(&mut scan.found);
    Some(scan.items)
}

struct Scan<'s> {
    text: Spanned<&'s str>,
    items: Vec<Item<'s>>,
    found: Vec<Diagnostic>,
    /// True once something says this is a line of readings.
    recognised: bool,
}

impl<'s> Scan<'s> {
    /// The text from the first to the last of some neighbouring tokens.
    fn slice(&self, tokens: &[Token<'s>]) -> Spanned<&'s str> {
        let (Some(first), Some(last)) = (tokens.first(), tokens.last()) else {
            return Spanned::new("", self.text.span);
        };
        let span = first.span.to(last.span);
        let base = self.text.span.start as usize;
        let inside = span.start as usize - base..span.end as usize - base;
        Spanned::new(&self.text.node[inside], span)
    }

    fn chunk(&mut self, mut tokens: &[Token<'s>]) {
        while !tokens.is_empty() {
            match value_at(tokens) {
                Some(at) => tokens = self.value(tokens, at),
                None => {
                    self.words(tokens);
                    return;
                }
            }
        }
    }

    /// Words without a value: a state, a point that lacks its value, or talk.
    fn words(&mut self, tokens: &[Token<'s>]) {
        if self.state(tokens) {
            return;
        }
        if self.misspelt_state(tokens) {
            return;
        }
        let text = self.slice(tokens);
        if let Some(point) = resolve(text.node) {
            self.recognised = true;
            let name = text.node;
            let example = match point.measured().next() {
                Some(p) => format!("`{name} … {}`", p.info().unit.map_or("", |u| u.symbol())),
                None => states_of(name, &point),
            };
            self.found.push(
                Diagnostic::new(
                    &code::MISSING_VALUE,
                    text.span,
                    format!("`{name}` has no value"),
                )
                .help(format!("write {example}, or leave it out")),
            );
        } else if let Some(Item::Value(last)) = self.items.last_mut()
            && last.remark.is_none()
        {
            last.remark = Some(text);
            self.found.push(
                Diagnostic::new(
                    &code::TRAILING_WORDS,
                    text.span,
                    format!("`{}` was kept as a remark", text.node),
                )
                .help("if it is a reading of its own, give it a value; if it is an observation, start a line with `saw`"),
            );
        } else {
            // Talk in a line of readings: say so, whatever else the line holds.
            let near = nearest(&fold(text.node), POINTS.iter().map(|p| p.name));
            self.found.push(unknown_point(text, near));
        }
    }

    /// `compressor of`: a part, and a word one slip away from a state.
    fn misspelt_state(&mut self, tokens: &[Token<'s>]) -> bool {
        let [name @ .., word] = tokens else {
            return false;
        };
        let part = self.slice(name);
        let seen = resolve(part.node).is_some_and(|point| point.seen().is_some());
        // `evap fan 2 …` and `condenser fan` are names, not slips.
        let whole = candidates(&fold(self.slice(tokens).node));
        let Some(near) = nearest_state(word.text).filter(|_| seen && whole.is_empty()) else {
            return false;
        };
        self.recognised = true;
        self.found.push(
            Diagnostic::new(
                &code::MISSING_VALUE,
                word.span,
                format!("`{}` is no state of `{}`", word.text, part.node),
            )
            .here(format!("is `{near}` meant?"))
            .likely_fix(format!("write `{near}`"), word.span, near),
        );
        true
    }

    /// `evap fan 2 off`; returns false when the words end in no state.
    fn state(&mut self, tokens: &[Token<'s>]) -> bool {
        for count in (1..=LONGEST_STATE.min(tokens.len().saturating_sub(1))).rev() {
            let (name, words) = tokens.split_at(tokens.len() - count);
            let words = self.slice(words);
            let Some(found) = state(words.node) else {
                continue;
            };
            let name = self.slice(name);
            match resolve(name.node).filter(|point| point.seen().is_some()) {
                Some(point) => {
                    self.recognised = true;
                    self.items.push(Item::State {
                        name,
                        point,
                        state: Spanned::new(found, words.span),
                    });
                    return true;
                }
                None => {
                    let known = POINTS
                        .iter()
                        .filter(|p| p.dimension.is_none())
                        .map(|p| p.name);
                    if let Some(near) = nearest(&fold(name.node), known) {
                        self.recognised = true;
                        self.found.push(unknown_point(name, Some(near)));
                        return true;
                    }
                }
            }
        }
        false
    }

    /// A value at token `at`; returns the tokens after it and its unit.
    fn value<'t>(&mut self, tokens: &'t [Token<'s>], at: usize) -> &'t [Token<'s>] {
        let mut name_tokens = &tokens[..at];
        if let (Some(stroke), Some(value)) = (name_tokens.last(), tokens.get(at))
            && matches!(stroke.text, "-" | "−" | "–")
            && stroke.span.end < value.span.start
        {
            // `box - 4 C`: a sign or a stroke? Not for luck to say.
            self.recognised = true;
            self.found.push(
                Diagnostic::new(
                    &code::LOOSE_MINUS,
                    stroke.span.to(value.span),
                    format!(
                        "`{} {}` may mean {} or -{}",
                        stroke.text, value.text, value.text, value.text
                    ),
                )
                .help("join the sign to the number (`-4`), or leave the stroke out"),
            );
            return &tokens[tokens.len()..];
        }
        while let [head @ .., last] = name_tokens
            && last.kind == TokenKind::Mark
            && last.text != "#"
        {
            name_tokens = head; // `suction: 4`, `suction = 4`
        }
        while let [first, tail @ ..] = name_tokens
            && first.kind == TokenKind::Mark
            && first.text != "#"
        {
            name_tokens = tail; // `- box 17`, `“box” 17`
        }
        let mut next = at;
        let mut values = Vec::new();
        while let Some(token) = tokens.get(next).filter(|t| t.is_value()) {
            match &token.kind {
                TokenKind::Series(series) => values.extend(series.iter().copied()),
                TokenKind::Number(number) | TokenKind::CommaNumber(number) => {
                    self.number(token, *number, &mut values);
                }
                _ => {}
            }
            next += 1;
        }
        // `4..2`: a slip at the point, and which digit is where is not for luck to say.
        let last = &tokens[next - 1];
        if let Some(stuck) = tokens.get(next)
            && matches!(stuck.text, "." | "..")
            && stuck.span.start == last.span.end
            && tokens
                .get(next + 1)
                .is_some_and(|t| t.is_value() && t.span.start == stuck.span.end)
        {
            let whole = self.slice(&tokens[at..next + 2]);
            self.recognised |= resolve(self.slice(name_tokens).node).is_some();
            self.found.push(
                Diagnostic::new(
                    &code::STRAY_VALUE,
                    whole.span,
                    format!("`{}` is not a number that can be read", whole.node),
                )
                .help("write one decimal point"),
            );
            return &tokens[next + 2..];
        }
        let unit = (1..=LONGEST_UNIT.min(tokens.len() - next))
            .rev()
            .map(|count| (count, self.slice(&tokens[next..next + count])))
            .find(|(_, text)| !lookup_unit(text.node).is_empty());
        let whole = self.slice(&tokens[..next]);
        let unit = unit.map(|(count, text)| {
            next += count;
            text
        });
        // `31°`: degrees of which scale is for the model to decide.
        let degree = tokens
            .get(next)
            .filter(|t| unit.is_none() && is_bare_degree(t));
        let degree = degree.map(|token| token.span);
        next += usize::from(degree.is_some());
        let rest = &tokens[next..];
        if values.is_empty() {
            // The number was refused and reported; its point still makes this a line of readings.
            self.recognised |= resolve(self.slice(name_tokens).node).is_some();
            return rest;
        }
        if name_tokens.is_empty() {
            if let Some(again) = unit.and_then(|unit| self.same_part(unit, &values)) {
                self.items.push(again);
                return rest;
            }
            if unit.is_some() {
                self.recognised |= !self.items.is_empty();
            }
            self.found.push(
                Diagnostic::new(
                    &code::STRAY_VALUE,
                    whole.span,
                    format!(
                        "`{}` stands without the name of what was measured",
                        whole.node
                    ),
                )
                .help("write the point before the value, as `box 17 F`"),
            );
            return rest;
        }
        let name = self.slice(name_tokens);
        let mut name = name;
        let point = resolve(name.node).or_else(|| {
            // `compressor running 9.1 A`: the state and the value are two readings.
            (1..=LONGEST_STATE.min(name_tokens.len() - 1))
                .rev()
                .find_map(|count| {
                    let part = &name_tokens[..name_tokens.len() - count];
                    let words = self.slice(&name_tokens[name_tokens.len() - count..]);
                    let found = state(words.node)?;
                    let part = self.slice(part);
                    let point = resolve(part.node)?;
                    if point.seen().is_some() {
                        self.items.push(Item::State {
                            name: part,
                            point: point.clone(),
                            state: Spanned::new(found, words.span),
                        });
                    }
                    name = part;
                    Some(point)
                })
        });
        let unknown_unit = unit.is_none().then(|| self.unknown_unit(rest)).flatten();
        match point {
            Some(point) => {
                self.recognised = true;
                if let Some((diagnostic, used)) = unknown_unit {
                    self.found.push(diagnostic);
                    return &rest[used..];
                }
                self.items.push(Item::Value(ValueItem {
                    name,
                    point,
                    values,
                    unit,
                    degree,
                    remark: None,
                }));
            }
            None => {
                let folded = fold(name.node);
                let first = folded.split(' ').next().unwrap_or("");
                let near_point = nearest(
                    &folded,
                    POINTS
                        .iter()
                        .flat_map(|p| std::iter::once(p.name).chain(p.aliases.iter().copied())),
                );
                let near_verb = self
                    .items
                    .is_empty()
                    .then(|| nearest(first, verb_spellings()))
                    .flatten();
                if near_point.is_none() && near_verb.is_some() {
                    return &[]; // a misspelt line kind: the whole line is reported as that
                }
                self.recognised |=
                    near_point.is_some() || (unit.is_some() && name_tokens.len() <= 4);
                self.found.push(unknown_point(name, near_point));
            }
        }
        rest
    }

    /// `heater 208 V, 15.9 A`: a value without a name belongs to the part before it when its unit
    /// measures something else there.
    fn same_part(&self, unit: Spanned<&'s str>, values: &[Spanned<Number>]) -> Option<Item<'s>> {
        let Some(Item::Value(last)) = self.items.last() else {
            return None;
        };
        let (before, _) = last.point.measured_by(lookup_unit(last.unit?.node))?;
        let (now, _) = last.point.measured_by(lookup_unit(unit.node))?;
        (now != before).then(|| {
            Item::Value(ValueItem {
                name: last.name,
                point: last.point.clone(),
                values: values.to_vec(),
                unit: Some(unit),
                degree: None,
                remark: None,
            })
        })
    }

    fn number(
        &mut self,
        token: &Token<'s>,
        number: Option<Number>,
        values: &mut Vec<Spanned<Number>>,
    ) {
        let Some(number) = number else {
            self.found.push(
                Diagnostic::new(
                    &code::STRAY_VALUE,
                    token.span,
                    format!("`{}` is not a number that can be read", token.text),
                )
                .help(format!(
                    "write at most {} digits, and no division by zero",
                    Number::MAX_DIGITS
                )),
            );
            return;
        };
        if let TokenKind::CommaNumber(_) = token.kind {
            let point = token.text.replace(',', ".");
            self.found.push(
                Diagnostic::new(
                    &code::DECIMAL_COMMA,
                    token.span,
                    format!("`{}` was read as {point}", token.text),
                )
                .safe_fix("write a decimal point", token.span, point),
            );
        }
        values.push(Spanned::new(number, token.span));
    }

    /// A lone word after the value that is nearly a unit, and how many tokens it takes.
    fn unknown_unit(&self, rest: &[Token<'s>]) -> Option<(Diagnostic, usize)> {
        let [word, others @ ..] = rest else {
            return None;
        };
        if word.kind != TokenKind::Word
            || others.iter().any(Token::is_value)
            || resolve(word.text).is_some()
        {
            return None;
        }
        let folded = crate::quantity::fold_unit(word.text);
        let near = unit_spellings()
            .filter(|s| s.len() >= 3)
            .map(|s| (strsim::osa_distance(&folded, s), s))
            .filter(|&(distance, _)| distance == 1)
            .map(|(_, s)| s)
            .next();
        let Some(near) = near else {
            // Not nearly a unit, and no word of place or time either: refuse rather than assume.
            let talk = starts_remark(&folded) || !others.is_empty() || state(word.text).is_some();
            return (!talk).then(|| {
                (
                    Diagnostic::new(
                        &code::UNKNOWN_UNIT,
                        word.span,
                        format!(
                            "`{}` is no unit known here, and the value is not used",
                            word.text
                        ),
                    )
                    .help("write a known unit, or put the remark after a comma"),
                    1,
                )
            });
        };
        Some((
            Diagnostic::new(
                &code::UNKNOWN_UNIT,
                word.span,
                format!("`{}` is no unit", word.text),
            )
            .here(format!("is `{near}` meant?"))
            .likely_fix(format!("write `{near}`"), word.span, near),
            1,
        ))
    }
}

/// The first token that is a value rather than a number telling which one.
fn value_at(tokens: &[Token<'_>]) -> Option<usize> {
    (0..tokens.len()).find(|&i| tokens[i].is_value() && !tells_which(tokens, i))
}

/// A number above this is no part's own number: a unit has seldom twenty of anything.
const MOST_PARTS: f64 = 20.0;

fn tells_which(tokens: &[Token<'_>], i: usize) -> bool {
    let Some(number) = tokens[i].number() else {
        return false;
    };
    if !number.is_integer() || !(0.0..=MOST_PARTS).contains(&number.value()) {
        return false;
    }
    let mut before = i;
    while before > 0 && tokens[before - 1].kind == TokenKind::Mark {
        before -= 1; // `fan #2`
    }
    let Some(previous) = before.checked_sub(1).map(|p| &tokens[p]) else {
        return false;
    };
    let word = fold(previous.text);
    if previous.kind != TokenKind::Word || !is_numbered(&word) {
        return false;
    }
    match tokens.get(i + 1) {
        None => false,
        // `12-14 F`, `45+5 uF`: a range or a sum, not the twelfth of something.
        Some(next) if next.is_value() => next.span.start > tokens[i].span.end,
        // `box 17 ambient 74`: what is measured in a box is far likelier than a count of boxes.
        Some(_) if matches!(word.as_str(), "box" | "product" | "food") => false,
        Some(next) => {
            next.kind == TokenKind::Word
                && !is_bare_degree(next)
                && !starts_with_unit(&tokens[i + 1..])
        }
    }
}

/// True when the first tokens, up to [`LONGEST_UNIT`], spell a unit: `deg F`, `in. w.c.`.
fn starts_with_unit(tokens: &[Token<'_>]) -> bool {
    let mut spelt = String::new();
    tokens.iter().take(LONGEST_UNIT).any(|token| {
        spelt.push_str(token.text);
        !lookup_unit(&spelt).is_empty()
    })
}

fn is_bare_degree(token: &Token<'_>) -> bool {
    matches!(
        token.text.to_lowercase().as_str(),
        "°" | "º" | "˚" | "deg" | "degs" | "degree" | "degrees"
    )
}

/// `sight glass clear` or `sight glass bubbles`: what may be written of a part.
fn states_of(name: &str, point: &PointName) -> String {
    let [a, b] = point.seen().map_or(["on", "off"], Point::usual_states);
    format!("`{name} {a}` or `{name} {b}`")
}

fn unknown_point(name: Spanned<&str>, near: Option<&str>) -> Diagnostic {
    let diagnostic = Diagnostic::new(
        &code::UNKNOWN_POINT,
        name.span,
        format!("`{}` is no measuring point", name.node),
    );
    match near {
        Some(near) => diagnostic
            .here(format!("is `{near}` meant?"))
            .likely_fix(format!("write `{near}`"), name.span, near),
        None => diagnostic
            .help("name a point such as suction, suction line, liquid line, box, ambient; or start the line with `saw`"),
    }
}
