//! A folder's settings: `rimebook.toml` at its root.

use crate::duties::{Appliance, Jurisdiction, Method};
use crate::format::Style;
use crate::model;
use crate::quantity::{Display, Mass};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use crate::world::World;

/// Name of the file.
pub const FILE: &str = "rimebook.toml";
/// Months within which the same cause or part on one unit is a repeat, where the settings name none.
/// Common practice, no source.
const REPEAT_MONTHS: u32 = 12;

/// What holds for every note of a folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The company's name.
    pub company: Option<String>,
    /// Whose rules on refrigerant the records are held against; off without one.
    pub jurisdiction: Option<Jurisdiction>,
    /// What a unit is to those rules, where its note does not say.
    pub appliance: Option<Appliance>,
    /// How the company counts leak rates, where it has chosen.
    pub method: Option<Method>,
    /// Units that sums are shown in.
    pub units: Display,
    /// How notes are written in canonical form.
    pub style: Style,
    /// Months within which the same cause or part is a repeat.
    pub repeat_months: u32,
    /// Folder of templates that replace the embedded ones.
    pub templates: Option<PathBuf>,
    /// Other spellings of unit tags, each with the one that is meant.
    pub same_units: BTreeMap<String, String>,
    /// Other spellings of sites.
    pub same_sites: BTreeMap<String, String>,
    /// What is known of cylinders, by label.
    pub cylinders: BTreeMap<String, Cylinder>,
}

/// A cylinder of the company.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cylinder {
    /// What it held before the first note.
    pub opening: Option<Mass>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            company: None,
            jurisdiction: None,
            appliance: None,
            method: None,
            units: Display::Us,
            style: Style::default(),
            repeat_months: REPEAT_MONTHS,
            templates: None,
            same_units: BTreeMap::new(),
            same_sites: BTreeMap::new(),
            cylinders: BTreeMap::new(),
        }
    }
}

/// The file as written.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct Written {
    company: Option<String>,
    jurisdiction: Option<String>,
    appliance: Option<String>,
    leak_rate: Option<String>,
    units: Option<String>,
    unit_signs: bool,
    repeat_months: Option<u32>,
    templates: Option<PathBuf>,
    same_units: BTreeMap<String, String>,
    same_sites: BTreeMap<String, String>,
    cylinders: BTreeMap<String, WrittenCylinder>,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct WrittenCylinder {
    opening: Option<String>,
}

impl Settings {
    /// Reads the text of a settings file that lies in `folder`.
    ///
    /// # Errors
    /// A sentence that names the line or the key, and what to write.
    pub fn parse(text: &str, folder: &Path) -> Result<Self, String> {
        let written: Written = toml::from_str(text).map_err(|e| e.to_string().trim().to_owned())?;
        let jurisdiction = known(
            "jurisdiction",
            written.jurisdiction,
            Jurisdiction::recognise,
            Jurisdiction::spellings(),
        )?;
        let appliance = known(
            "appliance",
            written.appliance,
            Appliance::recognise,
            Appliance::spellings(),
        )?;
        let method = |text: &str| match text.to_ascii_lowercase().as_str() {
            "annualizing" => Some(Method::Annualizing),
            "rolling" => Some(Method::Rolling),
            _ => None,
        };
        let ways = ["annualizing", "rolling"].into_iter();
        let method = known("leak_rate", written.leak_rate, method, ways)?;
        let display = |text: &str| match text.to_ascii_uppercase().as_str() {
            "US" => Some(Display::Us),
            "SI" => Some(Display::Si),
            _ => None,
        };
        let units = known("units", written.units, display, ["US", "SI"].into_iter())?;
        let cylinders = written
            .cylinders
            .into_iter()
            .map(|(label, cylinder)| {
                let opening = match cylinder.opening {
                    None => None,
                    Some(text) => Some(model::mass(&text).ok_or_else(|| {
                        format!("`opening` of cylinder {label} is no weight: write for example \"25 lb\"")
                    })?),
                };
                Ok((label, Cylinder { opening }))
            })
            .collect::<Result<_, String>>()?;
        Ok(Self {
            company: written.company,
            jurisdiction,
            appliance,
            method,
            units: units.unwrap_or(Display::Us),
            style: Style {
                unit_signs: written.unit_signs,
            },
            repeat_months: written.repeat_months.unwrap_or(REPEAT_MONTHS),
            templates: written.templates.map(|t| folder.join(t)),
            same_units: written.same_units,
            same_sites: written.same_sites,
            cylinders,
        })
    }

    /// The settings that hold in a folder: its own file, or the nearest one above it; the usual ones
    /// without any.
    ///
    /// # Errors
    /// A sentence, with the file's name in front.
    pub fn of(world: &dyn World, folder: &Path) -> Result<Self, String> {
        for above in folder.ancestors() {
            let path = above.join(FILE);
            let said = |why: &str| format!("{}: {why}", path.display());
            match world.read(&path) {
                Ok(bytes) => {
                    let text = String::from_utf8(bytes).map_err(|_| said("is not UTF-8"))?;
                    return Self::parse(&text, above).map_err(|why| said(&why));
                }
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                // A folder on the way that may not be looked into holds no settings for this one.
                Err(error) if error.kind() == io::ErrorKind::NotADirectory => {}
                Err(error) => return Err(said(&error.to_string())),
            }
        }
        Ok(Self::default())
    }
}

/// A word that must be among those known.
fn known<'s, T>(
    key: &str,
    written: Option<String>,
    recognise: impl Fn(&str) -> Option<T>,
    spellings: impl Iterator<Item = &'s str>,
) -> Result<Option<T>, String> {
    let Some(written) = written else {
        return Ok(None);
    };
    let found = recognise(&written).ok_or_else(|| {
        let spellings: Vec<&str> = spellings.collect();
        format!(
            "`{key}` is `{written}`, which is not known; write one of: {}",
            spellings.join(", ")
        )
    })?;
    Ok(Some(found))
}
