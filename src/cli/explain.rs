//! `rimebook explain`: what a code means, from its declaration.

use super::Failure;
use super::output::print;
use crate::diagnostic::{Code, code::CODES};
use crate::findings::{Rule, registry};
use crate::vocabulary::nearest;
use clap::Args;

#[derive(Args)]
pub(super) struct Explain {
    /// A code such as RB201, or its name; leave out to list all
    code: Option<String>,
}

impl Explain {
    pub fn run(&self) -> Result<u8, Failure> {
        let Some(wanted) = &self.code else {
            return print(&catalogue()).map(|()| 0);
        };
        if let Some(rule) = registry().find(|r| is(&r.code, wanted)) {
            return print(&of_rule(rule)).map(|()| 0);
        }
        if let Some(code) = CODES.iter().find(|c| is(c, wanted)) {
            return print(&of_code(code)).map(|()| 0);
        }
        let known = all().flat_map(|c| [c.id, c.name]);
        let upper = wanted.to_uppercase();
        let near = nearest(&upper, all().map(|c| c.id)).or_else(|| nearest(wanted, known));
        let hint = near.map_or_else(
            || "run `rimebook explain` for the list".to_owned(),
            |near| format!("is {near} meant?"),
        );
        Err(Failure(format!("there is no code `{wanted}`; {hint}")))
    }
}

fn all() -> impl Iterator<Item = &'static Code> {
    CODES.iter().copied().chain(registry().map(|r| &r.code))
}

fn is(code: &Code, wanted: &str) -> bool {
    code.id.eq_ignore_ascii_case(wanted) || code.name.eq_ignore_ascii_case(wanted)
}

fn catalogue() -> String {
    let mut codes: Vec<&Code> = all().collect();
    codes.sort_by_key(|c| c.id);
    codes
        .iter()
        .map(|c| format!("{}  {:7}  {}\n", c.id, c.severity.name(), c.name))
        .collect()
}

fn of_code(code: &Code) -> String {
    format!(
        "{} {} ({})\n\n{}\n",
        code.id,
        code.name,
        code.severity.name(),
        wrap(code.explanation)
    )
}

fn of_rule(rule: &Rule) -> String {
    let mut text = of_code(&rule.code);
    text.push_str(&format!("\nneeds:   {}\n", rule.needs));
    text.push_str(&format!("source:  {}\n", rule.source));
    if let Some(caution) = rule.caution {
        text.push_str(&format!("\ncaution: {}\n", wrap(caution)));
    }
    text
}

/// Breaks a paragraph at 80 columns.
fn wrap(text: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in text.split(' ') {
        if column > 0 && column + 1 + word.chars().count() > 80 {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += word.chars().count();
    }
    out
}
