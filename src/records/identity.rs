//! Which notes are of one unit: the same tag at the same site. Spellings that differ are counted
//! apart, and said.

use crate::settings::Settings;
use rustc_hash::FxHashMap;

/// A unit: where it stands and its tag.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitKey {
    /// Site, as first written.
    pub site: String,
    /// Tag, as first written: `WIF-2` of `WIF-2, walk-in freezer`.
    pub tag: String,
}

impl UnitKey {
    /// Of a note's `site` and `unit` lines, under the settings' other spellings.
    pub fn new(site: Option<&str>, unit: Option<&str>, settings: &Settings) -> Self {
        let tag = unit.map_or("", |unit| unit.split([',', ';']).next().unwrap_or(""));
        let meant = |written: &str, same: &std::collections::BTreeMap<String, String>| {
            let plain = plain(written);
            let other = same.iter().find(|(from, _)| folded(from) == folded(&plain));
            other.map_or(plain, |(_, to)| to.clone())
        };
        Self {
            site: meant(site.unwrap_or(""), &settings.same_sites),
            tag: meant(tag, &settings.same_units),
        }
    }

    /// What two spellings must share to be one: letters whatever their case, digits, strokes.
    pub fn folded(&self) -> (String, String) {
        (folded(&self.site), folded(&self.tag))
    }

    /// `WIF-2, 18 Sluice Road`.
    pub fn name(&self) -> String {
        match (self.tag.is_empty(), self.site.is_empty()) {
            (true, true) => "unit not named".to_owned(),
            (true, false) => format!("unit not named, {}", self.site),
            (false, true) => self.tag.clone(),
            (false, false) => format!("{}, {}", self.tag, self.site),
        }
    }
}

/// One blank between words, on one line.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn folded(text: &str) -> String {
    plain(text).to_lowercase()
}

/// Letters and digits alone.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

/// Spellings that may mean one unit or one site, a sentence each. They are never merged: which is
/// meant is for the notes or the settings to say.
pub fn doubts(keys: &[UnitKey]) -> Vec<String> {
    let mut said = Vec::new();
    let mut sites: Vec<&str> = keys.iter().map(|k| k.site.as_str()).collect();
    sites.sort_unstable();
    sites.dedup();
    for (a, b) in near(&sites) {
        said.push(doubt("site", a, b, "same_sites"));
    }
    let mut by_site: FxHashMap<String, Vec<&str>> = FxHashMap::default();
    for key in keys {
        by_site.entry(bare(&key.site)).or_default().push(&key.tag);
    }
    let mut groups: Vec<(String, Vec<&str>)> = by_site.into_iter().collect();
    groups.sort();
    for (_, mut tags) in groups {
        tags.sort_unstable();
        tags.dedup();
        for (a, b) in near(&tags) {
            said.push(doubt("unit", a, b, "same_units"));
        }
    }
    said
}

fn doubt(what: &str, a: &str, b: &str, table: &str) -> String {
    format!(
        "{what} `{a}` may be `{b}`; they are counted apart. Write one spelling, or put \"{a}\" = \"{b}\" under [{table}] in rimebook.toml"
    )
}

/// Names beyond which comparing each with each takes too long.
const MANY: usize = 400;

/// Pairs that differ in strokes and blanks alone, or in one letter (two in a long name), never in a
/// digit: WIF-1 and WIF-2 are two units.
fn near<'a>(names: &[&'a str]) -> Vec<(&'a str, &'a str)> {
    let mut groups: FxHashMap<String, Vec<&str>> = FxHashMap::default();
    for name in names.iter().filter(|name| !name.is_empty()) {
        groups.entry(digits(name)).or_default().push(name);
    }
    let mut pairs = Vec::new();
    for group in groups.values() {
        let bare: Vec<String> = group.iter().map(|name| bare(name)).collect();
        for (i, a) in group.iter().enumerate() {
            // Among very many names only strokes and blanks are compared, not letters.
            let few = group.len() <= MANY;
            for j in i + 1..group.len() {
                let is_near = match few {
                    true => is_near(&bare[i], &bare[j]),
                    false => bare[i] == bare[j],
                };
                if is_near && folded(a) != folded(group[j]) {
                    pairs.push((*a, group[j]));
                }
            }
        }
    }
    pairs.sort_unstable();
    pairs
}

fn is_near(a: &str, b: &str) -> bool {
    let shorter = a.chars().count().min(b.chars().count());
    let allowed = match shorter {
        0..4 => 0,
        4..12 => 1,
        _ => 2,
    };
    a == b
        || a.chars().count().abs_diff(b.chars().count()) <= allowed
            && strsim::osa_distance(a, b) <= allowed
}
