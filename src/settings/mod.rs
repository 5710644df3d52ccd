//! A folder's settings: `rimebook.toml` at its root.

mod colour;

pub use colour::Colour;

use crate::duties::{Appliance, Jurisdiction, Method};
use crate::format::Style;
use crate::model;
use crate::quantity::{Display, Mass};
use crate::words::{self, DateOrder};
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
    /// The company that reports.
    pub company: Company,
    /// What reports look like and hold.
    pub report: ReportSettings,
    /// Whose rules on refrigerant the records are held against; off without one.
    pub jurisdiction: Option<Jurisdiction>,
    /// What a unit is to those rules, where its note does not say.
    pub appliance: Option<Appliance>,
    /// How the company counts leak rates, where it has chosen.
    pub method: Option<Method>,
    /// Units that sums are shown in.
    pub units: Display,
    /// True when the settings name them: reports then use them in place of each note's own.
    pub units_named: bool,
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

/// The company that reports, as its readers may reach it.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Company {
    /// Its name.
    pub name: Option<String>,
    /// Telephone.
    pub phone: Option<String>,
    /// E-mail address.
    pub email: Option<String>,
    /// Web address.
    pub web: Option<String>,
    /// Postal address.
    pub address: Option<String>,
    /// Number of its licence.
    pub licence: Option<String>,
    /// Picture file of its logo, beside the settings.
    pub logo: Option<PathBuf>,
}

/// What reports look like and hold.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportSettings {
    /// The words.
    pub words: words::Wanted,
    /// Colour of the company, dark enough for text on white.
    pub accent: Option<Colour>,
    /// Paper of print and PDF.
    pub paper: Paper,
    /// Whether the customer sees the time on site.
    pub time: bool,
    /// Whether the customer sees parts and materials.
    pub parts: bool,
    /// Address of a line of a note: `{file}` and `{line}` are put in.
    pub line_links: Option<String>,
}

impl Default for ReportSettings {
    fn default() -> Self {
        Self {
            words: words::Wanted::default(),
            accent: None,
            paper: Paper::default(),
            time: true,
            parts: true,
            line_links: None,
        }
    }
}

/// Paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 8.5 by 11 inch.
    #[default]
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// As CSS and the settings name it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
        }
    }
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
            company: Company::default(),
            report: ReportSettings::default(),
            jurisdiction: None,
            appliance: None,
            method: None,
            units: Display::Us,
            units_named: false,
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
    company: WrittenCompany,
    language: Option<String>,
    dates: Option<String>,
    report: WrittenReport,
    wording: BTreeMap<String, String>,
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

/// A name alone, or a table.
#[derive(Deserialize)]
#[serde(untagged)]
enum WrittenCompany {
    Name(String),
    Table(toml::Table),
}

impl Default for WrittenCompany {
    fn default() -> Self {
        Self::Table(toml::Table::new())
    }
}

impl WrittenCompany {
    fn read(self, folder: &Path) -> Result<Company, String> {
        match self {
            Self::Name(name) => Ok(Company {
                name: Some(name),
                ..Company::default()
            }),
            Self::Table(table) => {
                let company: Result<Company, _> = table.try_into();
                let mut company =
                    company.map_err(|e| format!("`company`: {}", e.to_string().trim()))?;
                company.logo = company.logo.map(|logo| folder.join(logo));
                Ok(company)
            }
        }
    }
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct WrittenReport {
    accent: Option<String>,
    paper: Option<String>,
    time: Option<bool>,
    parts: Option<bool>,
    line_links: Option<String>,
}

impl WrittenReport {
    fn read(self, words: words::Wanted) -> Result<ReportSettings, String> {
        let paper = |text: &str| match text.to_ascii_lowercase().as_str() {
            "letter" => Some(Paper::Letter),
            "a4" => Some(Paper::A4),
            _ => None,
        };
        Ok(ReportSettings {
            words,
            accent: match self.accent {
                None => None,
                Some(text) => Some(Colour::accent(&text)?),
            },
            paper: known("paper", self.paper, paper, ["letter", "a4"].into_iter())?
                .unwrap_or_default(),
            time: self.time.unwrap_or(true),
            parts: self.parts.unwrap_or(true),
            line_links: match self.line_links {
                Some(link) if !is_address(&link) => {
                    return Err(format!(
                        "`line_links` is `{link}`; write an address that starts with https:// or http://, or a path without a scheme"
                    ));
                }
                link => link,
            },
        })
    }
}

/// True for a web address, a file's, or a path: nothing that a browser would run.
fn is_address(link: &str) -> bool {
    match link.split_once(':') {
        Some((scheme, rest)) if !scheme.contains(['/', '?', '#', '{']) => {
            let known = ["http", "https", "file"];
            known.iter().any(|k| scheme.eq_ignore_ascii_case(k)) && rest.starts_with("//")
        }
        _ => true,
    }
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
        let display = |text: &str| match text.to_ascii_lowercase().as_str() {
            "us" => Some(Display::Us),
            "si" => Some(Display::Si),
            _ => None,
        };
        let units = known("units", written.units, display, ["us", "si"].into_iter())?;
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
        let dates = known(
            "dates",
            written.dates,
            DateOrder::recognise,
            DateOrder::SPELLINGS.into_iter(),
        )?;
        let words = words::Wanted {
            language: written.language,
            dates: dates.unwrap_or_default(),
            wording: written.wording,
        };
        Ok(Self {
            company: written.company.read(folder)?,
            report: written.report.read(words)?,
            jurisdiction,
            appliance,
            method,
            units: units.unwrap_or(Display::Us),
            units_named: units.is_some(),
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

    /// Units of reports in place of each note's own, where the settings name them.
    pub fn units_of_reports(&self) -> Option<Display> {
        self.units_named.then_some(self.units)
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
