//! Words that sound like a word of the trade: `suck shin line`, `cap a sitter`, `night region`.

use super::words::{Pause, Word};
use crate::quantity::lookup_unit;
use crate::vocabulary::{POINTS, fold, state};
use rphonetic::{DoubleMetaphone, Encoder};
use rustc_hash::FxHashMap;
use std::borrow::Cow;
use std::sync::LazyLock;

/// Shortest sound that tells a word: shorter ones are shared by too many.
const SHORTEST: usize = 4;
/// Most words that one word of the trade is heard as.
const MOST_WORDS: usize = 4;

/// Words of the trade beside the names of points, by how often they are misheard.
const TRADE: &[&str] = &[
    "refrigerant",
    "solenoid",
    "thermostat",
    "disconnect",
    "nitrogen",
    "microns",
    "microfarads",
    "megohms",
    "transformer",
    "receiver",
    "isolated",
    "condenser",
    "evaporator",
    "compressor",
    "capacitor",
    "contactor",
    "defrost",
    "gasket",
    "accumulator",
    "crankcase",
    "locked out",
    "filter drier",
    "kilopascals",
    "recovered",
    "vacuum",
    "silenced",
    "jumpered",
    "technician",
    "superheat",
    "subcooling",
    "manifold",
];

static BY_SOUND: LazyLock<FxHashMap<String, Option<String>>> = LazyLock::new(|| {
    let mut map: FxHashMap<String, Option<String>> = FxHashMap::default();
    let names = POINTS.iter().map(|p| p.name).chain(TRADE.iter().copied());
    for name in names {
        let name = fold(name);
        let parts = name.split(' ').map(str::to_owned);
        for word in parts.chain(std::iter::once(name.clone())) {
            let sound = sound(&word);
            if sound.len() < SHORTEST {
                continue;
            }
            // Two words of one sound tell nothing.
            let known = map.entry(sound).or_insert_with(|| Some(word.clone()));
            if known.as_ref().is_some_and(|known| *known != word) {
                *known = None;
            }
        }
    }
    map
});

/// How a word sounds, its vowels left out.
fn sound(word: &str) -> String {
    let letters: String = word.chars().filter(char::is_ascii_alphabetic).collect();
    DoubleMetaphone::new(None).encode(&letters)
}

/// True for a word that is what it says.
fn is_known(word: &str) -> bool {
    super::typo::is_trade(word) || !lookup_unit(word).is_empty() || state(word).is_some()
}

/// The words with those replaced that sound like a word of the trade; `None` when none do.
pub(super) fn mend<'s>(words: &[Word<'s>]) -> Option<Vec<Word<'s>>> {
    let mut found: Vec<Word<'s>> = Vec::with_capacity(words.len());
    let mut mended = false;
    let mut at = 0;
    while at < words.len() {
        let heard = (1..=MOST_WORDS.min(words.len() - at))
            .rev()
            .find_map(|count| {
                let said = &words[at..at + count];
                let together = said[..count - 1]
                    .iter()
                    .all(|word| word.after == Pause::None);
                let plain = said
                    .iter()
                    .all(|w| w.folded.chars().all(|c| c.is_ascii_alphabetic()));
                let number = said.iter().any(|w| super::number::names_number(&w.folded));
                if !together || !plain || number || count == 1 && is_known(&said[0].folded) {
                    return None;
                }
                let joined: String = said.iter().map(|w| w.folded.as_str()).collect();
                let meant = BY_SOUND.get(&sound(&joined))?.clone()?;
                let same = meant
                    == said
                        .iter()
                        .map(|w| w.folded.as_str())
                        .collect::<Vec<_>>()
                        .join(" ");
                (!same).then_some((count, meant))
            });
        let Some((count, meant)) = heard else {
            found.push(words[at].clone());
            at += 1;
            continue;
        };
        let said = words[at].said.to(words[at + count - 1].said);
        for part in meant.split(' ') {
            found.push(Word {
                text: Cow::Owned(part.to_owned()),
                folded: part.to_owned(),
                said,
                after: Pause::None,
                corrected: true,
                thumb: None,
            });
        }
        if let Some(last) = found.last_mut() {
            last.after = words[at + count - 1].after;
        }
        mended = true;
        at += count;
    }
    mended.then_some(found)
}
