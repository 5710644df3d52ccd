//! The words of reports: every message is there, in every language, with the same values in it.

use rimebook::view::declared;
use rimebook::words::{LANGUAGES, Wanted, Words, names};
use rimebook::world::MemoryWorld;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Names in braces of each message of a file, by the message's name.
fn values(text: &str) -> BTreeMap<String, BTreeSet<String>> {
    let mut out: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut current = String::new();
    for line in text.lines().filter(|l| !l.starts_with('#')) {
        if let Some((id, _)) = line.split_once(" =")
            && !line.starts_with([' ', '*', '['])
        {
            current = id.to_owned();
        }
        let used = line.split('$').skip(1).map(|rest| {
            let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '-'));
            rest[..end.unwrap_or(rest.len())].to_owned()
        });
        out.entry(current.clone()).or_default().extend(used);
    }
    out
}

fn file(language: &str) -> &'static str {
    let found = LANGUAGES.iter().find(|(known, _)| *known == language);
    found.expect("an embedded language").1
}

#[test]
fn every_language_has_every_message_with_the_same_values() {
    let english = values(file("en"));
    for (language, text) in LANGUAGES.iter().filter(|(language, _)| *language != "en") {
        let translated = values(text);
        let mut wanted: Vec<String> = names("en").into_iter().map(str::to_owned).collect();
        wanted.extend(declared().into_iter().map(|(id, _)| id));
        let missing: Vec<&String> = wanted
            .iter()
            .filter(|id| !translated.contains_key(*id))
            .collect();
        assert!(missing.is_empty(), "{language} lacks {missing:?}");
        for (id, used) in &translated {
            let known = english.get(id).cloned().unwrap_or_default();
            assert!(
                used == &known || !english.contains_key(id),
                "{language}, {id}: {used:?} for {known:?}"
            );
            assert!(
                wanted.contains(id) || id.is_empty(),
                "{language}: {id} is no message"
            );
        }
    }
}

#[test]
fn the_message_files_read_without_a_fault() {
    for (language, text) in LANGUAGES {
        let read = fluent_bundle::FluentResource::try_new((*text).to_owned());
        assert!(read.is_ok(), "{language}: {:?}", read.err().map(|(_, e)| e));
    }
}

/// `say!(words, "id"` in the source and `t("id"` in the templates.
#[test]
fn every_message_that_is_used_is_there_and_every_one_that_is_there_is_used() {
    let known: BTreeSet<&str> = names("en").into_iter().collect();
    let mut text = String::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    gather(&root.join("src"), "rs", &mut text);
    let source = text.clone();
    gather(&root.join("templates"), "html", &mut text);
    gather(&root.join("templates"), "md", &mut text);
    gather(&root.join("templates"), "typ", &mut text);
    let templates = &text[source.len()..];
    for id in quoted_after(&source, "say!(").chain(quoted_after(templates, "t(")) {
        let is_stem = id.ends_with('-');
        assert!(is_stem || known.contains(id), "there is no message `{id}`");
    }
    // Some names are put together: `month-1`, `side-before`, `against-above`.
    let stems = ["month-", "side-", "against-", "date-", "state-"];
    for id in known {
        let used = text.contains(&format!("\"{id}\"")) || stems.iter().any(|s| id.starts_with(s));
        assert!(used, "the message `{id}` is used nowhere");
    }
}

/// The first quoted text after each opening.
fn quoted_after<'t>(text: &'t str, opening: &'t str) -> impl Iterator<Item = &'t str> {
    text.match_indices(opening).filter_map(move |(at, _)| {
        let before = text[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
            return None;
        }
        let rest = &text[at + opening.len()..];
        let rest = match opening {
            "say!(" => rest.split_once(',')?.1.trim_start(),
            _ => rest,
        };
        let rest = rest.strip_prefix('"')?;
        Some(&rest[..rest.find('"')?])
    })
}

fn gather(folder: &Path, ending: &str, text: &mut String) {
    for entry in std::fs::read_dir(folder).expect("a folder of the project") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            gather(&path, ending, text);
        } else if path.extension().is_some_and(|e| e == ending) && !path.ends_with("GUIDE.md") {
            text.push_str(&std::fs::read_to_string(&path).expect("a text file"));
        }
    }
}

#[test]
fn a_company_puts_its_words_over_the_embedded_ones() {
    let mut world = MemoryWorld::default();
    world.templates.insert(
        "messages/en.ftl".to_owned(),
        "ask-decide = Over to you\n".to_owned(),
    );
    let mut wanted = Wanted::default();
    wanted
        .wording
        .insert("ask-next".to_owned(), "Our next visit".to_owned());
    let words = Words::load(&wanted, &world).expect("words");
    assert_eq!(words.say("ask-decide"), "Over to you");
    assert_eq!(words.say("ask-next"), "Our next visit");
    assert_eq!(words.say("ask-wrong"), Words::english().say("ask-wrong"));
}

#[test]
fn wrong_words_are_named() {
    let said = |wanted: Wanted, file: Option<&str>| {
        let mut world = MemoryWorld::default();
        if let Some(text) = file {
            world
                .templates
                .insert("messages/en.ftl".to_owned(), text.to_owned());
        }
        Words::load(&wanted, &world).expect_err("is wrong")
    };
    let language = Wanted {
        language: Some("xx".to_owned()),
        ..Wanted::default()
    };
    let said_of_language = said(language, None);
    assert!(
        said_of_language.contains("`xx`") && said_of_language.contains("es"),
        "{said_of_language}"
    );
    let said_of_file = said(Wanted::default(), Some("ask-decide = a\nask next = { $x\n"));
    assert!(
        said_of_file.contains("messages/en.ftl, line 2"),
        "{said_of_file}"
    );
    let said_of_value = said(Wanted::default(), Some("watch-for = Look at { $tekst }\n"));
    assert!(
        said_of_value.contains("its values are: text"),
        "{said_of_value}"
    );
    let said_of_circle = said(Wanted::default(), Some("a = { b }\nb = { a }\n"));
    assert!(said_of_circle.contains("message `a`"), "{said_of_circle}");
}

/// The tables of a history have their English names in two places: beside their columns, and for translators.
#[test]
fn the_names_of_a_historys_tables_are_those_that_are_translated() {
    use rimebook::records::{Record, history};
    use rimebook::settings::Settings;
    let note = "site: 3 Quay\nunit: WIC-1, cooler\nrefrigerant: R-134a, 12 lb\nvisit 2026-01-02 Ana\n\
        0905 suction 20 psig, suction line 40 F\n0910 fitted 1 fan motor\n0920 added 1 lb R-134a\n";
    let compiled = super::support::note(note);
    let settings = Settings::default();
    let record = Record::of(&compiled, &settings);
    let answer = history::of_unit(&record.unit.clone(), &[&record], &settings);
    let declared: BTreeMap<String, &str> = declared().into_iter().collect();
    for table in &answer.tables {
        assert_eq!(declared[&format!("history-{}", table.name)], table.title);
        for (key, label) in table.columns.iter().filter(|(_, label)| !label.is_empty()) {
            let own = declared.get(&format!("history-{}-{key}", table.name));
            if let Some(known) = own.or_else(|| declared.get(&format!("history-{key}"))) {
                assert_eq!(known, label, "{}: {key}", table.name);
            }
        }
    }
}
