//! The index of a folder's reports by site and unit, and the page of a unit.

use super::report::Kind;
use super::state::{Kept, State, Summary};
use crate::records::UnitKey;
use crate::render::Format;
use crate::view::history::History;
use crate::view::{Heading, Issuer};
use crate::words::Words;
use serde::Serialize;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The index.
#[derive(Debug, Serialize)]
pub struct IndexView {
    /// The company, and nothing of a single job.
    pub heading: Heading,
    /// Sites, in order.
    pub sites: Vec<SiteRow>,
    /// Notes in all.
    pub notes: usize,
    /// What must be said of the whole: doubts about spellings, notes that could not be read.
    pub remarks: Vec<String>,
}

/// One site.
#[derive(Debug, Serialize)]
pub struct SiteRow {
    /// Its name; nothing where the notes name none.
    pub name: Option<String>,
    /// Its units.
    pub units: Vec<UnitRow>,
}

/// One unit.
#[derive(Debug, Serialize)]
pub struct UnitRow {
    /// Its tag; nothing where the notes name none.
    pub tag: Option<String>,
    /// Its page.
    pub page: String,
    /// Its jobs, the last first.
    pub jobs: Vec<JobRow>,
}

/// One job.
#[derive(Debug, Clone, Serialize)]
pub struct JobRow {
    /// First day, in words.
    pub date: String,
    /// Job number.
    pub job: Option<String>,
    /// Cause stated.
    pub cause: Option<String>,
    /// As [`crate::view::Outcome::state`].
    pub state: String,
    /// Temporary conditions and locks still open.
    pub open: usize,
    /// True when the note has errors.
    pub has_errors: bool,
    /// Its report.
    pub report: String,
    /// Its reports of other kinds in the same folder: file ending with its kind, and address.
    pub others: Vec<(String, String)>,
}

/// The page of one unit.
#[derive(Debug, Serialize)]
pub struct UnitView {
    /// The company, the unit and where it stands.
    pub heading: Heading,
    /// Its jobs, the last first.
    pub jobs: Vec<JobRow>,
    /// Its history.
    pub history: History,
}

/// File name of a unit's page: what is plain in its tag and site, and a digest where that is not all.
pub(super) fn page_name(key: &UnitKey) -> String {
    let (site, tag) = key.folded();
    let mut stem = String::new();
    for c in format!("{tag} {site}").chars() {
        match c {
            c if c.is_ascii_alphanumeric() => stem.push(c),
            _ if !stem.ends_with('-') => stem.push('-'),
            _ => {}
        }
    }
    let stem: String = stem.trim_matches('-').chars().take(60).collect();
    // Two units whose names differ in what a file name leaves out are still two.
    let digest = super::state::digest_of([site.as_bytes(), tag.as_bytes()]);
    format!("units/{}-{}.html", stem.trim_matches('-'), &digest[..8])
}

/// What index and pages are made from.
pub(super) struct Binding<'a> {
    /// The reports of this kind.
    pub state: &'a State,
    /// Those of other kinds in the same folder.
    pub others: &'a [(Kind, State)],
    /// The company.
    pub issuer: &'a Issuer,
    /// The words.
    pub words: &'a Words,
}

impl Binding<'_> {
    /// The index of all reports.
    pub fn index(&self, remarks: Vec<String>) -> IndexView {
        let mut sites: BTreeMap<String, SiteRow> = BTreeMap::new();
        for ((site, _), (key, notes)) in self.state.units() {
            let row = sites.entry(site).or_insert_with(|| SiteRow {
                name: named(&key.site),
                units: Vec::new(),
            });
            row.units.push(UnitRow {
                tag: named(&key.tag),
                page: page_name(&key),
                jobs: self.jobs(&notes, ""),
            });
        }
        IndexView {
            heading: Heading::bare(self.issuer.clone()),
            sites: sites.into_values().collect(),
            notes: self.state.notes.len(),
            remarks,
        }
    }

    /// The page of a unit.
    pub fn unit_page(&self, key: &UnitKey, notes: &[String], history: History) -> UnitView {
        let mut heading = Heading::bare(self.issuer.clone());
        heading.unit = named(&key.tag);
        heading.site = named(&key.site);
        UnitView {
            heading,
            jobs: self.jobs(notes, "../"),
            history,
        }
    }

    /// The jobs of some notes, the last first; `up` leads from the page to the folder of reports.
    fn jobs(&self, notes: &[String], up: &str) -> Vec<JobRow> {
        let known = |note| Some((note, self.state.notes.get(note)?));
        let mut found: Vec<(&String, &Kept)> = notes.iter().filter_map(known).collect();
        found.sort_by_key(|(_, kept)| Reverse((&kept.summary.date, &kept.report)));
        found
            .into_iter()
            .map(|(note, kept)| {
                let address = |report: &str| format!("{up}{}", crate::address::in_address(report));
                let others = self.others.iter().filter_map(|(kind, other)| {
                    let kept = other.notes.get(note)?;
                    Some((self.kind(*kind), address(&kept.report)))
                });
                self.job(&kept.summary, address(&kept.report), others.collect())
            })
            .collect()
    }

    fn job(&self, summary: &Summary, report: String, others: Vec<(String, String)>) -> JobRow {
        let date = summary.date.as_ref().and_then(|d| d.parse().ok());
        JobRow {
            date: date.map_or_else(
                || self.words.say("date-not-recorded"),
                |d| self.words.day(d),
            ),
            job: summary.job.clone(),
            cause: summary.cause.clone(),
            state: summary.state.clone(),
            open: summary.open,
            has_errors: summary.has_errors,
            report,
            others,
        }
    }

    /// A kind of report in words: `Office sheet`, `Office sheet, csv`.
    fn kind(&self, kind: Kind) -> String {
        let name = self.words.say(&format!("report-{}", kind.audience.name()));
        match kind.format {
            Format::Html => name,
            format => format!("{name}, {}", format.extension()),
        }
    }
}

fn named(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}
