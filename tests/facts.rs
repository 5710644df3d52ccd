//! Facts that a report must state, one a line, held against every form the report has.
//!
//! - `customer says: last measured at 40 °F, 10:32`: the page and the Markdown hold these words, one
//!   after the other.
//! - `diagnosis says: superheat | 08:18 before repair | 8.5 F ± 1.0 F`: a row of a table holds these
//!   cells, in any order.
//! - `diagnosis html says: suction | 28.4 psig | 21.6 psig`: the page alone has it; `md` is the
//!   Markdown.
//! - `office never says: torn chute sock`: no form does, be it in markup or in JSON.
//! - `json customer /answers/outcome/state = "repaired"`: the JSON form holds this value there; `*`
//!   in the pointer is every item of a list, and the value the list of what they hold.
//! - `json diagnosis /findings has 3`: a list is of that length.
//!
//! Capitals, and punctuation between words, are each form's own and not compared. A line that
//! starts with `#` is a comment.

use super::support::cases;
use rimebook::render::Format;
use rimebook::view::Audience;
use serde_json::Value;

/// Facts that a file states at least.
const LEAST_FACTS: usize = 15;

/// What each reader gets of a note.
pub struct Reports(Vec<Report>);

/// What one reader gets.
struct Report {
    audience: Audience,
    /// The page and the Markdown.
    texts: Vec<Text>,
    /// Every form as it is written, to look for what must not be there.
    written: Vec<String>,
    json: Value,
}

impl Reports {
    /// The reports of a note, rendered for each reader in each form.
    pub fn of(rendered: impl Fn(Audience, Format) -> String) -> Self {
        let to = |audience| {
            let [html, markdown, json] = [Format::Html, Format::Markdown, Format::Json]
                .map(|format| rendered(audience, format));
            Report::new(audience, &html, &markdown, &json)
        };
        Self(Audience::ALL.into_iter().map(to).collect())
    }

    /// Asserts the facts in `cases/reports/NAME.facts`.
    #[track_caller]
    pub fn hold(&self, name: &str) {
        let failures = self.failures(name);
        assert!(failures.is_empty(), "\n{}", failures.join("\n"));
    }

    /// What does not hold of the facts in `cases/reports/NAME.facts`, a line each.
    pub fn failures(&self, name: &str) -> Vec<String> {
        let path = cases().join(format!("reports/{name}.facts"));
        let facts =
            std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let stated: Vec<(usize, &str)> = (1..)
            .zip(facts.lines())
            .filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'))
            .collect();
        let mut failures: Vec<String> = stated
            .iter()
            .filter_map(|&(at, line)| {
                let why = self.holds(line).err()?;
                Some(format!("{name}.facts:{at}: {line}\n    {why}"))
            })
            .collect();
        if stated.len() < LEAST_FACTS {
            failures.push(format!("{name}.facts has only {} facts", stated.len()));
        }
        failures
    }

    fn to(&self, name: &str) -> Result<&Report, String> {
        let found = self.0.iter().find(|r| r.audience.name() == name);
        found.ok_or_else(|| format!("`{name}` is no reader"))
    }

    fn holds(&self, line: &str) -> Result<(), String> {
        if let Some(rest) = line.strip_prefix("json ") {
            let (reader, rest) = rest.split_once(' ').ok_or("no pointer")?;
            return self.to(reader)?.holds_value(rest);
        }
        let (start, text) = line.split_once(": ").ok_or("no fact")?;
        match *start.split(' ').collect::<Vec<_>>() {
            [reader, "says"] => self.to(reader)?.says(text, &["html", "md"]),
            [reader, "never", "says"] => self.to(reader)?.lacks(text),
            [reader, form, "says"] => self.to(reader)?.says(text, &[form]),
            _ => Err("no fact".to_owned()),
        }
    }
}

impl Report {
    fn new(audience: Audience, html: &str, markdown: &str, json: &str) -> Self {
        Self {
            audience,
            texts: vec![
                Text::of_html("html", html),
                Text::of_html("md", &html_of_markdown(markdown)),
            ],
            written: [html, markdown, json].map(str::to_lowercase).to_vec(),
            json: serde_json::from_str(json).expect("JSON"),
        }
    }

    fn says(&self, text: &str, forms: &[&str]) -> Result<(), String> {
        for &name in forms {
            let form = self.texts.iter().find(|form| form.name == name);
            let form = form.ok_or_else(|| format!("`{name}` is no form"))?;
            let found = if text.contains(" | ") {
                form.has_row(text)
            } else {
                form.has_words(text)
            };
            if !found {
                return Err(format!("not in {name}"));
            }
        }
        Ok(())
    }

    fn lacks(&self, text: &str) -> Result<(), String> {
        let said = self.texts.iter().any(|form| form.has_words(text));
        let sought = text.to_lowercase();
        let is_written = self.written.iter().any(|form| form.contains(&sought));
        if said || is_written {
            return Err("it is there".to_owned());
        }
        Ok(())
    }

    fn holds_value(&self, fact: &str) -> Result<(), String> {
        let (found, is_so) = if let Some((pointer, value)) = fact.split_once(" = ") {
            let wanted: Value = serde_json::from_str(value).map_err(|e| e.to_string())?;
            let found = at(&self.json, pointer)?;
            (found.to_string(), found == wanted)
        } else {
            let (pointer, length) = fact.split_once(" has ").ok_or("no fact")?;
            let list = at(&self.json, pointer)?;
            let found = list.as_array().ok_or("no list")?.len().to_string();
            let is_so = found == length;
            (found, is_so)
        };
        if is_so {
            return Ok(());
        }
        Err(format!("it is {found}"))
    }
}

/// The value at a JSON pointer; `*` is every item of a list.
fn at(value: &Value, pointer: &str) -> Result<Value, String> {
    let Some((before, after)) = pointer.split_once("/*") else {
        let found = value.pointer(pointer).cloned();
        return found.ok_or_else(|| format!("nothing at {pointer}"));
    };
    let list = at(value, before)?;
    let items = list.as_array().ok_or("no list")?;
    items.iter().map(|item| at(item, after)).collect()
}

/// The text of a form, without its markup.
struct Text {
    name: &'static str,
    words: Vec<String>,
    /// Rows of tables, each cell as its words.
    rows: Vec<Vec<Vec<String>>>,
}

impl Text {
    fn of_html(name: &'static str, html: &str) -> Self {
        let mut all = String::new();
        let mut rows: Vec<Vec<String>> = Vec::new();
        let mut is_in_cell = false;
        // What stands in a style sheet, or pops up beside a value, is not the text of the report.
        let mut skipped: Option<(&str, usize)> = None;
        for piece in html.split('<') {
            let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
            let tag_name = tag.split([' ', '\n']).next().unwrap_or_default();
            if let Some((element, depth)) = &mut skipped {
                if tag_name == *element {
                    *depth += 1;
                } else if tag_name.strip_prefix('/') == Some(element) {
                    *depth -= 1;
                }
                if *depth > 0 {
                    continue;
                }
                skipped = None;
            } else if tag_name == "style" || tag == "span class=\"why\"" {
                skipped = Some((tag_name, 1));
                continue;
            }
            match tag_name {
                "tr" => rows.push(Vec::new()),
                "td" | "th" => {
                    is_in_cell = true;
                    rows.last_mut().expect("a row").push(String::new());
                }
                "/td" | "/th" => is_in_cell = false,
                _ => {}
            }
            let inline = tag_name.strip_prefix('/').unwrap_or(tag_name);
            let is_inline = ["span", "strong", "em", "a", "code"].contains(&inline);
            let parted = if is_inline { "" } else { " " };
            let text = format!("{parted}{}", unescaped(text));
            all.push_str(&text);
            if is_in_cell && let Some(cell) = rows.last_mut().and_then(|row| row.last_mut()) {
                cell.push_str(&text);
            }
        }
        Self {
            name,
            words: words(&all),
            rows: rows
                .iter()
                .map(|row| row.iter().map(|cell| words(cell)).collect())
                .collect(),
        }
    }

    fn has_words(&self, text: &str) -> bool {
        let sought = words(text);
        self.words.windows(sought.len()).any(|here| here == sought)
    }

    fn has_row(&self, text: &str) -> bool {
        self.rows.iter().any(|row| {
            let mut left: Vec<&Vec<String>> = row.iter().collect();
            text.split(" | ").all(|cell| {
                let sought = words(cell);
                let found = left.iter().position(|cell| **cell == sought);
                found.map(|at| left.swap_remove(at)).is_some()
            })
        })
    }
}

/// Words in lower case, without what stands between words.
fn words(text: &str) -> Vec<String> {
    text.split_whitespace()
        .map(|word| word.trim_matches([',', ';', ':', '.', '(', ')', '`', '–', '·']))
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

fn unescaped(text: &str) -> String {
    let escapes = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&apos;", "'"),
        ("&amp;", "&"),
    ];
    escapes
        .iter()
        .fold(text.to_owned(), |text, (escape, sign)| {
            text.replace(escape, sign)
        })
}

fn html_of_markdown(markdown: &str) -> String {
    let options = pulldown_cmark::Options::ENABLE_TABLES;
    let mut html = String::new();
    pulldown_cmark::html::push_html(
        &mut html,
        pulldown_cmark::Parser::new_ext(markdown, options),
    );
    html
}
