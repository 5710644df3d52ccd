//! The index of a folder's reports by site and unit, and the page of a unit.

use super::state::{State, Summary};
use crate::records::UnitKey;
use crate::view::history::History;
use crate::view::{Heading, Issuer};
use crate::words::Words;
use serde::Serialize;
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
pub fn page_name(key: &UnitKey) -> String {
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
    let digest = super::digest_of([site.as_bytes(), tag.as_bytes()]);
    format!("units/{}-{}.html", stem.trim_matches('-'), &digest[..8])
}

fn job(summary: &Summary, report: String, others: Vec<(String, String)>, words: &Words) -> JobRow {
    let date = summary.date.as_ref().and_then(|d| d.parse().ok());
    JobRow {
        date: date.map_or_else(|| words.say("date-not-recorded"), |d| words.day(d)),
        job: summary.job.clone(),
        cause: summary.cause.clone(),
        state: summary.state.clone(),
        open: summary.open,
        has_errors: summary.has_errors,
        report,
        others,
    }
}

/// The jobs of some notes, the last first; `up` leads from the page to the folder of reports.
fn jobs(state: &State, others: &[State], notes: &[String], up: &str, words: &Words) -> Vec<JobRow> {
    let known = |path| Some((path, state.notes.get(path)?));
    let mut found: Vec<(&String, &super::Kept)> = notes.iter().filter_map(known).collect();
    found.sort_by(|a, b| {
        let of = |kept: &super::Kept| (kept.summary.date.clone(), kept.report.clone());
        of(b.1).cmp(&of(a.1))
    });
    found
        .into_iter()
        .map(|(path, kept)| {
            let address = |report: &str| format!("{up}{}", crate::address::in_address(report));
            let others = others.iter().filter_map(|other| other.notes.get(path));
            let others = others
                .map(|kept| (kind(&kept.report, words), address(&kept.report)))
                .collect();
            job(&kept.summary, address(&kept.report), others, words)
        })
        .collect()
}

/// What a report is, from its file name: `Office sheet, html`.
fn kind(report: &str, words: &Words) -> String {
    let stem_and_ending = report.rsplit_once('.').unwrap_or((report, ""));
    let (stem, ending) = stem_and_ending;
    let audience = stem.rsplit_once('-').map_or("", |(_, audience)| audience);
    let name = words.say(&format!("report-{audience}"));
    match ending {
        "html" => name,
        ending => format!("{name}, {ending}"),
    }
}

fn named(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

/// The index of all reports.
pub fn index(
    state: &State,
    others: &[State],
    remarks: Vec<String>,
    issuer: &Issuer,
    words: &Words,
) -> IndexView {
    let mut sites: BTreeMap<String, SiteRow> = BTreeMap::new();
    for ((site, _), (key, notes)) in state.units() {
        let row = sites.entry(site).or_insert_with(|| SiteRow {
            name: named(&key.site),
            units: Vec::new(),
        });
        row.units.push(UnitRow {
            tag: named(&key.tag),
            page: page_name(&key),
            jobs: jobs(state, others, &notes, "", words),
        });
    }
    IndexView {
        heading: Heading::bare(issuer.clone()),
        sites: sites.into_values().collect(),
        notes: state.notes.len(),
        remarks,
    }
}

/// The page of a unit.
pub fn unit_page(
    state: &State,
    others: &[State],
    key: &UnitKey,
    notes: &[String],
    history: History,
    issuer: &Issuer,
    words: &Words,
) -> UnitView {
    let mut heading = Heading::bare(issuer.clone());
    heading.unit = named(&key.tag);
    heading.site = named(&key.site);
    UnitView {
        heading,
        jobs: jobs(state, others, notes, "../", words),
        history,
    }
}
