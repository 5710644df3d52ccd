//! The words of reports: messages in a language, dates, and what a company puts in their place.
//!
//! A message is looked up by name in the settings' own wording, then in the message file beside the
//! company's templates, then in the embedded file of the language, then in English. The files are
//! Fluent, a published format for translations: plural forms and the order of words are theirs to say.

mod dates;

pub use dates::DateOrder;

use crate::model::{Job, Minutes};
use crate::vocabulary::nearest;
use crate::world::World;
use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};
use unic_langid::LanguageIdentifier;

/// Embedded message files, by language.
pub static LANGUAGES: &[(&str, &str)] = &[
    ("en", include_str!("../../templates/messages/en.ftl")),
    ("es", include_str!("../../templates/messages/es.ftl")),
];

/// Those files, parsed once.
static EMBEDDED: LazyLock<Vec<(&str, Arc<FluentResource>)>> = LazyLock::new(|| {
    let parse = |&(language, text): &(&'static str, &str)| {
        let resource = FluentResource::try_new(text.to_owned()).unwrap_or_else(|(kept, _)| kept);
        (language, Arc::new(resource))
    };
    LANGUAGES.iter().map(parse).collect()
});

static ENGLISH: LazyLock<Words> = LazyLock::new(|| Words {
    language: "en".to_owned(),
    bundle: bundle("en"),
    dates: DateOrder::DayMonth,
});

/// The values of each embedded message, as the English file names them.
static VALUES: LazyLock<BTreeMap<&str, Vec<&str>>> = LazyLock::new(|| {
    let mut values: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut id = "";
    for line in LANGUAGES[0].1.lines().filter(|line| !line.starts_with('#')) {
        if let Some((name, _)) = line.split_once(" =")
            && name.starts_with(|c: char| c.is_ascii_alphabetic())
        {
            id = name;
        }
        let own = values.entry(id).or_default();
        for rest in line.split('$').skip(1) {
            let end = rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '-'));
            let name = &rest[..end.unwrap_or(rest.len())];
            if !own.contains(&name) {
                own.push(name);
            }
        }
    }
    values
});

/// Messages of one language.
pub struct Words {
    language: String,
    bundle: FluentBundle<Arc<FluentResource>>,
    dates: DateOrder,
}

/// Which words a company wants.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wanted {
    /// Language, as its code: `en`, `es`.
    pub language: Option<String>,
    /// How dates are written.
    pub dates: DateOrder,
    /// Messages in place of others, by name.
    pub wording: BTreeMap<String, String>,
}

/// Values put into a message, by name.
pub type Parts<'a> = [(&'a str, FluentValue<'a>)];

/// A message with its values: `say!(words, "count-visits", count = 3)`.
#[macro_export]
macro_rules! say {
    ($words:expr, $id:literal) => {
        $words.say($id)
    };
    ($words:expr, $id:literal, $($name:ident = $value:expr),+ $(,)?) => {
        $words.say_with($id, &[$((stringify!($name), $value.into())),+])
    };
}

impl Words {
    /// English, as embedded.
    pub fn english() -> &'static Self {
        &ENGLISH
    }

    /// The words that a company wants; a message file `messages/LANGUAGE.ftl` beside its templates is
    /// put over the embedded one, and alone makes a language that is not embedded.
    ///
    /// # Errors
    /// A sentence that names the language, or the file and the line that does not read.
    pub fn load(wanted: &Wanted, world: &dyn World) -> Result<Self, String> {
        let language = wanted.language.as_deref().unwrap_or("en");
        let name = format!("messages/{language}.ftl");
        let mut own = world.templates().map_err(|e| format!("templates: {e}"))?;
        let own = own.remove(&name);
        if own.is_none() && !LANGUAGES.iter().any(|(known, _)| *known == language) {
            let known: Vec<&str> = LANGUAGES.iter().map(|(known, _)| *known).collect();
            return Err(format!(
                "`language` is `{language}`, and there are no messages for it; embedded are: {}; another is a file {name} in the folder of templates",
                known.join(", ")
            ));
        }
        let mut words = Self {
            language: language.to_owned(),
            bundle: bundle(language),
            dates: wanted.dates,
        };
        if let Some(text) = own {
            words.put_over(&name, text)?;
        }
        // That each is a message is for the caller to see: some are declared beside what they name.
        for (id, text) in &wanted.wording {
            // A value of the settings is one line of text, whatever it looks like.
            let text = text.replace('\n', " ");
            words.put_over(&format!("wording `{id}`"), format!("{id} = {text}\n"))?;
        }
        Ok(words)
    }

    fn put_over(&mut self, name: &str, text: String) -> Result<(), String> {
        let resource = FluentResource::try_new(text).map_err(|(kept, errors)| {
            let error = &errors[0];
            let at = error.pos.start.min(kept.source().len());
            let line = kept.source().as_bytes()[..at]
                .iter()
                .filter(|b| **b == b'\n')
                .count();
            format!("{name}, line {}: {error}", line + 1)
        })?;
        let resource = Arc::new(resource);
        self.bundle.add_resource_overriding(Arc::clone(&resource));
        let ids = resource.entries().filter_map(message_name);
        for id in ids {
            self.try_out(name, id)?;
        }
        Ok(())
    }

    /// Says a company's message once, with the values it will get.
    fn try_out(&self, file: &str, id: &str) -> Result<(), String> {
        let Some(pattern) = self.bundle.get_message(id).and_then(|m| m.value()) else {
            return Ok(());
        };
        let mut values = FluentArgs::new();
        for name in VALUES.get(id).into_iter().flatten() {
            values.set(*name, "1");
        }
        let mut errors = Vec::new();
        let _ = self
            .bundle
            .format_pattern(pattern, Some(&values), &mut errors);
        match errors.first() {
            None => Ok(()),
            Some(error) => {
                let known = VALUES.get(id).filter(|known| !known.is_empty());
                let known = known.map_or_else(
                    || "it has no values".to_owned(),
                    |known| format!("its values are: {}", known.join(", ")),
                );
                Err(format!("{file}, message `{id}`: {error}; {known}"))
            }
        }
    }

    /// The language's code, for `lang`.
    pub fn language(&self) -> &str {
        &self.language
    }

    /// True when there is a message of that name.
    pub fn has(&self, id: &str) -> bool {
        self.bundle.has_message(id)
    }

    /// The message that a misspelt name may mean.
    pub fn nearest(&self, id: &str) -> Option<String> {
        nearest(id, names("en")).map(str::to_owned)
    }

    /// A message without values.
    pub fn say(&self, id: &str) -> String {
        self.say_with(id, &[])
    }

    /// A message with its values; a message that is not there gives its name.
    pub fn say_with(&self, id: &str, parts: &Parts<'_>) -> String {
        self.find(id, parts).unwrap_or_else(|| id.to_owned())
    }

    /// A message, where there is one: for words that are declared elsewhere and only translated here.
    pub fn find(&self, id: &str, parts: &Parts<'_>) -> Option<String> {
        let pattern = self.bundle.get_message(id)?.value()?;
        let mut arguments = FluentArgs::with_capacity(parts.len());
        for (name, value) in parts {
            arguments.set(*name, value.clone());
        }
        let mut errors = Vec::new();
        let text = self
            .bundle
            .format_pattern(pattern, Some(&arguments), &mut errors);
        Some(text.into_owned())
    }

    /// Words declared in English beside what they name, in this language where it has them.
    pub fn declared(&self, id: &str, english: &str) -> String {
        self.find(id, &[]).unwrap_or_else(|| english.to_owned())
    }

    /// A day: `14 March 2026`, so that no reader can take month for day.
    pub fn day(&self, date: Date) -> String {
        dates::day(self, date)
    }

    /// `14 March 2026, 09:12`, as far as it is known.
    pub fn moment(&self, job: &Job, visit: usize, at: Option<Minutes>) -> String {
        let date = job.visits.get(visit).and_then(|v| v.date);
        match (date.map(|d| self.day(d)), at) {
            (Some(date), Some(at)) => format!("{date}, {at}"),
            (Some(date), None) => date,
            (None, Some(at)) => at.to_string(),
            (None, None) => self.say("not-recorded"),
        }
    }
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Words({})", self.language)
    }
}

/// English, with a language put over it.
fn bundle(language: &str) -> FluentBundle<Arc<FluentResource>> {
    let locale: LanguageIdentifier = language.parse().unwrap_or_default();
    let mut bundle = FluentBundle::new_concurrent(vec![locale]);
    // No marks of writing direction around values: they would be copied out of every report.
    bundle.set_use_isolating(false);
    for (known, resource) in EMBEDDED.iter() {
        if *known == "en" || *known == language {
            bundle.add_resource_overriding(Arc::clone(resource));
        }
    }
    bundle
}

/// The names of all embedded messages.
pub fn names(language: &str) -> Vec<&'static str> {
    let found = EMBEDDED.iter().find(|(known, _)| *known == language);
    found.map_or_else(Vec::new, |(_, resource)| {
        resource.entries().filter_map(message_name).collect()
    })
}

fn message_name<'a>(entry: &fluent_syntax::ast::Entry<&'a str>) -> Option<&'a str> {
    match entry {
        fluent_syntax::ast::Entry::Message(message) => Some(message.id.name),
        _ => None,
    }
}
