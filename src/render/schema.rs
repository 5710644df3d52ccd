//! The JSON form of each report as a JSON Schema, from the view types themselves.

use crate::view::{Audience, VIEW_VERSION, customer, diagnosis, office};
use schemars::{Schema, generate::SchemaSettings};

/// The schema of a report's JSON form; descriptions are those of the fields.
pub fn schema(audience: Audience) -> Schema {
    // What is written is described, not what would be read.
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let generator = settings.into_generator();
    let mut schema = match audience {
        Audience::Customer => generator.into_root_schema_for::<customer::CustomerView>(),
        Audience::Diagnosis => generator.into_root_schema_for::<diagnosis::DiagnosisView>(),
        Audience::Office => generator.into_root_schema_for::<office::OfficeView>(),
    };
    let id = format!("rimebook/{}/{VIEW_VERSION}", audience.name());
    schema.insert("$id".to_owned(), id.into());
    schema
}

/// The schema as the text of a file.
pub fn schema_text(audience: Audience) -> String {
    // Pretty printing of a plain JSON value does not fail.
    let text = serde_json::to_string_pretty(&schema(audience)).unwrap_or_default();
    text + "\n"
}
