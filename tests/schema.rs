//! The JSON form of the reports: its schema is committed, and every example keeps to it.

use super::support::case;
use rimebook::binder::{Beside, text as report};
use rimebook::render::{Format, schema, schema_text};
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;
use std::path::Path;

#[test]
fn the_committed_schemas_are_those_of_the_views() {
    for audience in Audience::ALL {
        let name = format!("templates/schema/{}.schema.json", audience.name());
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(&name);
        let text = schema_text(audience);
        if std::env::var_os("RIMEBOOK_WRITE_SCHEMAS").is_some() {
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            std::fs::write(&path, &text).expect("a schema is written");
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            committed == text,
            "{name} is not that of the views; raise VIEW_VERSION if a field changed meaning or went, and run RIMEBOOK_WRITE_SCHEMAS=1 cargo test schema"
        );
    }
}

#[test]
fn every_report_of_every_example_keeps_to_its_schema() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let notes = std::fs::read_dir(examples).expect("the examples");
    let notes = notes.map(|entry| entry.expect("an example").path());
    let mut seen = 0;
    for note in notes.filter(|path| path.extension().is_some_and(|e| e == "job")) {
        let compiled = case(&note);
        for audience in Audience::ALL {
            let schema = schema(audience).to_value();
            let validator = jsonschema::validator_for(&schema).expect("a schema");
            let text = report(
                &compiled,
                audience,
                Format::Json,
                &MemoryWorld::default(),
                &Beside::default(),
            );
            let value = serde_json::from_str(&text.expect("renders")).expect("JSON");
            let errors: Vec<String> = validator
                .iter_errors(&value)
                .map(|e| format!("{e} at {}", e.instance_path()))
                .collect();
            assert!(errors.is_empty(), "{}: {errors:?}", note.display());
            seen += 1;
        }
    }
    assert!(seen >= 24, "only {seen} reports were looked at");
}

/// A schema that anything keeps to would say nothing.
#[test]
fn what_is_no_report_does_not_keep_to_the_schema() {
    let schema = schema(Audience::Office).to_value();
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    assert!(!validator.is_valid(&serde_json::json!({ "schema": 3 })));
}
