//! Values of head lines in the notation.

use super::compose::{Composer, Written};
use super::names::letters;
use super::number::{Atom, atom, number};
use crate::source::Span;
use crate::vocabulary::HeadKey;
use std::ops::Range;

impl Composer<'_, '_, '_> {
    /// The value of a head line.
    pub fn head_value(&self, line: &mut Written, key: HeadKey, value: Range<usize>) {
        use HeadKey as K;
        let free = matches!(
            key,
            K::Customer | K::Site | K::Contact | K::Complaint | K::Contents | K::Access
        );
        let first = match key {
            // The charge stands behind it, with or without a comma.
            K::Refrigerant => self
                .refrigerant(value.start, true)
                .map(|found| (found, ", ")),
            K::Unit => self.tag(value.start, value.end).map(|found| (found, " ")),
            _ => None,
        };
        if let Some(((count, text), gap)) = first {
            let rest = value.start + count..value.end;
            line.put(&text, self.said(&(value.start..rest.start)));
            line.used.extend(value.start..rest.start);
            if !rest.is_empty() {
                line.text.push_str(gap);
                self.measured(line, rest);
            }
        } else if free {
            self.free(line, value);
        } else if key == K::Cylinder {
            self.cylinder(line, value);
        } else if matches!(
            key,
            K::SetPoint
                | K::DesignTd
                | K::DesignSplit
                | K::DesignAmbient
                | K::TargetSuperheat
                | K::TargetSubcooling
                | K::FoodLimit
                | K::Barometer
                | K::HeadPressureHold
        ) {
            self.setting(line, key, value);
        } else if key == K::Nameplate {
            let mut written = Written::default();
            self.measured(&mut written, value);
            line.used.append(&mut written.used);
            let said = written.parts.iter().map(|(_, said)| *said).reduce(Span::to);
            line.put(&ratings(&written.text), said.unwrap_or_default());
        } else {
            self.measured(line, value);
        }
    }

    /// A value of the head: `ten below`, `eight degrees`, `twenty nine point four inches`.
    pub fn setting(&self, line: &mut Written, key: HeadKey, value: Range<usize>) {
        let Some(figures) = self
            .phrases
            .number(value.start)
            .filter(|f| f.range.end <= value.end)
        else {
            return self.measured(line, value);
        };
        let rest: Vec<&str> = (figures.range.end..value.end)
            .map(|i| self.phrases.folded(i))
            .collect();
        let (sign, unit) = match rest.as_slice() {
            ["degrees" | "degree"] => ("", ""),
            ["below"] | ["below", "zero"] | ["degrees", "below"] | ["degrees", "below", "zero"] => {
                ("-", "")
            }
            ["inches" | "inch"] if key == HeadKey::Barometer => ("", " inHg"),
            _ => return self.measured(line, value),
        };
        line.put(&format!("{sign}{}{unit}", figures.text), self.said(&value));
        line.used.extend(value);
    }

    /// A cylinder's line: label, refrigerant and weights, with the commas that tell them apart.
    pub fn cylinder(&self, line: &mut Written, value: Range<usize>) {
        let mut at = value.start;
        let run = self.phrases.run(at, 8);
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        if let Some((letters, count)) = letters(&run)
            && let Some(said) = atoms.get(count..).and_then(number)
        {
            let end = at + count + said.words;
            line.put(
                &format!("{letters}-{}", said.figures),
                self.said(&(at..end)),
            );
            line.used.extend(at..end);
            at = end;
        }
        if let Some((count, name)) = self
            .refrigerant(at, true)
            .filter(|(count, _)| at > value.start && at + count <= value.end)
        {
            line.text.push_str(", ");
            line.put(&name, self.said(&(at..at + count)));
            line.used.extend(at..at + count);
            at += count;
        }
        while at < value.end {
            let starts = |i: &usize| {
                matches!(
                    self.phrases.folded(*i),
                    "water" | "tare" | "holds" | "contents" | "capacity"
                )
            };
            let next = (at + 2..value.end).find(starts).unwrap_or(value.end);
            if !line.text.ends_with(": ") {
                line.text.push_str(", ");
            }
            self.measured(line, at..next);
            at = next;
        }
    }

    /// A unit's tag at the start of its head line: `W I F four` is `WIF-4`.
    pub fn tag(&self, at: usize, end: usize) -> Option<(usize, String)> {
        if at >= end {
            return None;
        }
        let run = self.phrases.run(at, 8);
        let (letters, count) = match letters(&run) {
            Some((letters, count)) if count > 1 => (letters, count),
            _ => {
                let word = &self.word(at).text;
                let capitals = word.len() <= 4 && word.chars().all(|c| c.is_ascii_uppercase());
                (capitals.then(|| word.to_string())?, 1)
            }
        };
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let said = atoms.get(count..).and_then(number);
        match said.filter(|said| {
            said.figures.bytes().all(|b| b.is_ascii_digit()) && at + count + said.words <= end
        }) {
            Some(said) => Some((count + said.words, format!("{letters}-{}", said.figures))),
            None => (count > 1).then_some((count, letters)),
        }
    }
}

/// Ratings with commas between them, where they were said in one breath.
fn ratings(text: &str) -> String {
    const NAMES: &[&str] = &[
        "rla",
        "fla",
        "heaters",
        "heater",
        "capacitor",
        "run capacitor",
        "control",
        "defrost",
    ];
    let mut out = text
        .replace("single phase", "1 phase")
        .replace("rated load amps", "rla");
    // `208 230 volts`: a dual rating
    if let Some((volt, rest)) = out.split_once(' ')
        && volt.bytes().all(|b| b.is_ascii_digit())
        && (rest.starts_with("3 phase") || rest.starts_with("1 phase"))
    {
        out = format!("{volt} volts {rest}");
    }
    let words: Vec<&str> = out.split(' ').collect();
    let volts = |word: &str| word.parse::<u32>().is_ok_and(|v| (100..700).contains(&v));
    if let Some(at) = words
        .windows(2)
        .position(|pair| volts(pair[0]) && volts(pair[1]))
    {
        out = format!("{}/{}", words[..=at].join(" "), words[at + 1..].join(" "));
    }
    for name in NAMES {
        let found = format!(" {name} ");
        if let Some(at) = out.find(&found)
            && !out[..at].ends_with(',')
            && !(*name == "capacitor" && out[..at].ends_with("run"))
        {
            out.insert(at, ',');
        }
    }
    out
}
