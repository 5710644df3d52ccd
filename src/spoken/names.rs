//! Designations, labels and amounts that are said in words: `four forty eight a`, `c one eighteen`, `an
//! hour`.

use super::compose::Composer;
use super::number::{Atom, Said, atom, number};
use crate::quantity::{Dimension, lookup_unit};
use crate::refrigerant;
use std::ops::Range;

impl Composer<'_, '_, '_> {
    /// `four oh four a`, `r four ten a`, `r two ninety`: the words, and the designation.
    pub fn refrigerant(&self, at: usize, alone: bool) -> Option<(usize, String)> {
        let run = self.phrases.run(at, 8);
        let lettered = matches!(*run.first()?, "r" | "are" | "our");
        let from = usize::from(lettered);
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let longest = number(atoms.get(from..)?)?.words;
        // `r two ninety one hundred fifteen grams`: the designation ends where one is known.
        (1..=longest).rev().find_map(|words| {
            let said = number(&atoms[from..from + words]).filter(|said| said.words == words)?;
            self.designation(at, &run, lettered, &said, alone)
        })
    }

    /// A number said as a refrigerant's designation, perhaps with its letter.
    pub fn designation(
        &self,
        at: usize,
        run: &[&str],
        lettered: bool,
        said: &Said,
        alone: bool,
    ) -> Option<(usize, String)> {
        let plain = said.figures.bytes().all(|b| b.is_ascii_digit());
        let spoken = said.words > 1 || lettered;
        if !plain || !spoken {
            return None;
        }
        let count = usize::from(lettered) + said.words;
        let letter = run.get(count).and_then(|word| match *word {
            "a" | "hey" | "eh" | "ay" => Some('A'),
            "b" | "bee" => Some('B'),
            "c" | "see" | "sea" => Some('C'),
            "d" | "dee" => Some('D'),
            "e" => Some('E'),
            "f" => Some('F'),
            _ => None,
        });
        let designation = |letter: Option<char>| {
            let name = format!(
                "R-{}{}",
                said.figures,
                letter.map_or(String::new(), String::from)
            );
            refrigerant::lookup(&name).map(|found| found.name.to_owned())
        };
        if let Some(letter) = letter
            && let Some(name) = designation(Some(letter))
        {
            // `four oh four a little high`: only where a refrigerant is spoken of.
            let before = at.checked_sub(1).map_or("", |i| self.phrases.folded(i));
            let spoken_of = !lookup_unit(before).is_empty()
                || matches!(
                    before,
                    "" | "refrigerant"
                        | "of"
                        | "gas"
                        | "with"
                        | "the"
                        | "fresh"
                        | "virgin"
                        | "new"
                        | "recovered"
                        | "added"
                        | "charged"
                        | "on"
                        | "into"
                        | "some"
                        | "in"
                        | "is"
                        | "an"
                        | "a"
                        | "for"
                );
            return (alone || lettered || spoken_of).then_some((count + 1, name));
        }
        let least = if lettered { 2 } else { 3 };
        if (lettered || alone) && said.figures.len() >= least {
            return designation(None).map(|name| (count, name));
        }
        None
    }

    /// `c one eighteen` behind `into` or `from`: a cylinder's label, `C-118`.
    pub fn label(&self, at: usize) -> Option<(usize, String)> {
        let before = at.checked_sub(1).map(|i| self.phrases.folded(i))?;
        if self.phrases.folded(at) == "a" && matches!(before, "to" | "in") {
            return None; // `to a hundred and fifty`
        }
        let out_of = before == "of" && at > 1 && self.phrases.folded(at - 2) == "out";
        if !out_of
            && !matches!(
                before,
                "into"
                    | "from"
                    | "in"
                    | "to"
                    | "cylinder"
                    | "bottle"
                    | "tank"
                    | "drum"
                    | "recovery"
            )
        {
            return None;
        }
        let run = self.phrases.run(at, 8);
        let (letters, count) = letters(&run)?;
        let dash = usize::from(matches!(
            run.get(count),
            Some(&"dash" | &"hyphen" | &"minus" | &"-")
        ));
        let from = count + dash;
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let said = number(atoms.get(from..)?)?;
        let plain = said.figures.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| (from + said.words, format!("{letters}-{}", said.figures)))
    }

    /// `an hour`, `a pound and a half`: the words before the unit's name, and the amount.
    pub fn article(&self, at: usize) -> Option<(usize, String)> {
        if !matches!(self.phrases.folded(at), "a" | "an") {
            return None;
        }
        let unit = self.phrases.unit(at + 1)?;
        let words = self.words_of(&unit);
        let amount = |unit: &crate::quantity::Unit| {
            matches!(unit.dimension(), Dimension::Mass | Dimension::Duration)
        };
        if !lookup_unit(&words).iter().any(amount) {
            return None;
        }
        let half = match self.phrases.run(unit.end, 3).as_slice() {
            ["and", "a", "half"] => " 1/2",
            ["and", "a", "quarter"] => " 1/4",
            _ => return Some((1, "1".to_owned())),
        };
        Some((unit.end + 3 - at, format!("1{half} {words}")))
    }

    pub fn words_of(&self, range: &Range<usize>) -> String {
        let words: Vec<&str> = range.clone().map(|i| &*self.word(i).text).collect();
        words.join(" ")
    }
}

/// Letters said one by one, in capitals, and the words they take: `w i f`, `see`.
pub(super) fn letters(run: &[&str]) -> Option<(String, usize)> {
    let letter = |word: &str| match word {
        "see" | "sea" => Some('C'),
        "bee" => Some('B'),
        "are" => Some('R'),
        one if one.len() == 1 && one.is_ascii() => {
            one.chars().next().map(|c| c.to_ascii_uppercase())
        }
        _ => None,
    };
    let letters: String = run
        .iter()
        .map_while(|word| letter(word))
        .filter(char::is_ascii_alphabetic)
        .take(4)
        .collect();
    let count = letters.len();
    (count > 0).then_some((letters, count))
}
