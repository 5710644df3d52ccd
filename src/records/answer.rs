//! An answer over a folder: tables with exact values, and what must be said beside them.

use crate::quantity::{Display, Mass};
use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::Value;

/// A paragraph of lines up to a width, the first after a stroke, the others under its text. A word
/// longer than a line stays whole.
fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::from("-");
    let mut column = 1;
    for word in text.split(' ') {
        let length = word.chars().count();
        if column > 2 && column + 1 + length > width {
            out.push_str("\n ");
            column = 1;
        }
        out.push(' ');
        out.push_str(word);
        column += 1 + length;
    }
    out
}

/// One answer.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Answer {
    /// Form and version.
    pub schema: String,
    /// What it answers.
    pub title: String,
    /// Tables, the main one first.
    pub tables: Vec<Table>,
    /// What a reader must know: doubts about spellings, what is not known, cautions.
    pub remarks: Vec<String>,
    /// Notes that could not be read, or hold amounts or times that could not be used: the totals
    /// lack them.
    pub incomplete: Vec<String>,
}

/// One table.
#[derive(Debug, Clone)]
pub struct Table {
    /// Short name, to ask for it.
    pub name: &'static str,
    /// Heading.
    pub title: String,
    /// Columns: key for machines, label for people.
    pub columns: Vec<(&'static str, &'static str)>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
    /// The sum of the rows, where one makes sense.
    pub total: Option<Vec<Cell>>,
}

/// One value: as shown, and exact for machines.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// For people.
    pub shown: String,
    /// For machines; `Null` where nothing is known.
    pub exact: Value,
}

impl Cell {
    /// Words; none is nothing.
    pub fn text(text: impl Into<String>) -> Self {
        let shown = text.into();
        Self {
            exact: Value::String(shown.clone()),
            shown,
        }
    }

    /// Nothing to show, and nothing known.
    pub fn empty() -> Self {
        Self {
            shown: String::new(),
            exact: Value::Null,
        }
    }

    /// Something that is not known, in words for people.
    pub fn unknown(words: &str) -> Self {
        Self {
            shown: words.to_owned(),
            exact: Value::Null,
        }
    }

    /// Words, or nothing.
    pub fn optional(text: Option<impl Into<String>>) -> Self {
        text.map_or_else(Self::empty, Self::text)
    }

    /// A whole number.
    pub fn count(number: usize) -> Self {
        Self {
            shown: number.to_string(),
            exact: Value::from(number),
        }
    }

    /// Minutes, shown as hours and minutes; `None` is not recorded.
    pub fn minutes(minutes: Option<i32>) -> Self {
        match minutes {
            Some(minutes) => Self {
                shown: crate::derive::hours_minutes(minutes),
                exact: Value::from(minutes),
            },
            None => Self::unknown("not recorded"),
        }
    }

    /// A mass, exact in kilograms.
    pub fn mass(mass: Mass, display: Display) -> Self {
        Self {
            shown: display.mass(mass.to_nearest(display.mass_step())),
            exact: Value::String(mass.exact_kilogram()),
        }
    }

    /// The sum of masses that were shown in rows: as shown, the sum of what is shown, so that the
    /// column adds up on paper; exact, the exact sum.
    pub fn sum(masses: &[Mass], display: Display) -> Self {
        let step = display.mass_step();
        let shown: Mass = masses.iter().map(|m| m.to_nearest(step)).sum();
        let exact: Mass = masses.iter().copied().sum();
        Self {
            shown: display.mass(shown),
            exact: Value::String(exact.exact_kilogram()),
        }
    }
}

impl Serialize for Table {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(4))?;
        map.serialize_entry("name", self.name)?;
        map.serialize_entry("title", &self.title)?;
        let object = |row: &Vec<Cell>| -> serde_json::Map<String, Value> {
            let keys = self.columns.iter().map(|(key, _)| (*key).to_owned());
            keys.zip(row.iter().map(|cell| cell.exact.clone()))
                .collect()
        };
        let rows: Vec<_> = self.rows.iter().map(object).collect();
        map.serialize_entry("rows", &rows)?;
        map.serialize_entry("total", &self.total.as_ref().map(object))?;
        map.end()
    }
}

impl Answer {
    /// An answer without tables yet.
    pub fn new(name: &str, title: impl Into<String>) -> Self {
        Self {
            schema: format!("rimebook/{name}/1"),
            title: title.into(),
            tables: Vec::new(),
            remarks: Vec::new(),
            incomplete: Vec::new(),
        }
    }

    /// For a terminal, at most `width` columns wide where that is known.
    pub fn to_text(&self, width: Option<u16>) -> String {
        let mut out = format!("{}\n", self.title);
        for table in &self.tables {
            out.push_str(&format!("\n{}\n", table.title));
            out.push_str(&table.to_text(width));
        }
        for (heading, lines) in [("", &self.remarks), ("incomplete: ", &self.incomplete)] {
            if !lines.is_empty() {
                out.push('\n');
            }
            for line in lines {
                out.push_str(&format!("{heading}{line}\n"));
            }
        }
        out
    }

    /// As JSON.
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }
}

impl Table {
    fn to_text(&self, width: Option<u16>) -> String {
        use comfy_table::{CellAlignment, presets};
        if self.rows.is_empty() {
            return "  none\n".to_owned();
        }
        let mut table = comfy_table::Table::new();
        table.load_style(presets::NOTHING);
        table.set_header(self.columns.iter().map(|(_, label)| *label));
        let shown =
            |row: &Vec<Cell>| -> Vec<String> { row.iter().map(|c| c.shown.clone()).collect() };
        table.add_rows(self.rows.iter().map(shown));
        if let Some(total) = &self.total {
            table.add_row(shown(total));
        }
        for (i, column) in table.column_iter_mut().enumerate() {
            let is_amount = |row: &Vec<Cell>| {
                let cell = &row[i];
                !cell.exact.is_string()
                    || cell
                        .exact
                        .as_str()
                        .is_some_and(|s| s.parse::<f64>().is_ok())
            };
            if self.rows.iter().all(is_amount)
                && self.rows.iter().any(|row| !row[i].exact.is_null())
            {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        let lines: Vec<String> = table.lines().map(|l| l.trim_end().to_owned()).collect();
        match width {
            Some(width) if lines.iter().any(|l| l.chars().count() > usize::from(width)) => {
                self.stacked(usize::from(width))
            }
            _ => lines.into_iter().map(|line| line + "\n").collect(),
        }
    }

    /// For a terminal too narrow for the table: a paragraph a row, each value behind its label.
    fn stacked(&self, width: usize) -> String {
        let paragraph = |row: &Vec<Cell>| {
            let named = self
                .columns
                .iter()
                .zip(row)
                .filter(|(_, c)| !c.shown.is_empty());
            let parts: Vec<String> = named
                .map(|((_, label), cell)| match *label {
                    "" => cell.shown.clone(),
                    label => format!("{label}: {}", cell.shown),
                })
                .collect();
            wrapped(&parts.join("; "), width) + "\n"
        };
        self.rows.iter().chain(&self.total).map(paragraph).collect()
    }

    /// As CSV (RFC 4180), one header line of keys and no total: a program that reads it adds up
    /// itself.
    pub fn to_csv(&self) -> String {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::Any(b'\n'))
            .from_writer(Vec::new());
        let exact = |cell: &Cell| match &cell.exact {
            Value::Null => String::new(),
            // A spreadsheet runs a cell that starts so; a number is left a number.
            Value::String(text)
                if text.starts_with(['=', '+', '-', '@', '\t', '\r'])
                    && text.parse::<f64>().is_err() =>
            {
                format!("'{text}")
            }
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        // Writing to memory fails on nothing.
        let _ = writer.write_record(self.columns.iter().map(|(key, _)| *key));
        for row in &self.rows {
            let _ = writer.write_record(row.iter().map(exact));
        }
        String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
    }
}
