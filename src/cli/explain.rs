//! `rimebook explain`: what a code means, from its declaration.

use super::Failure;
use super::output::print;
use crate::causes::hypothesis::{HYPOTHESES, Hypothesis};
use crate::diagnostic::{Code, code::CODES};
use crate::findings::{Rule, registry};
use crate::vocabulary::nearest;
use clap::Args;

#[derive(Args)]
pub(super) struct Explain {
    /// A code such as RB201, its name, or a cause such as undercharge; leave out to list all
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
        if let Some(cause) = HYPOTHESES
            .iter()
            .find(|h| h.name.eq_ignore_ascii_case(wanted))
        {
            return print(&of_cause(cause)).map(|()| 0);
        }
        let names = HYPOTHESES.iter().map(|h| h.name);
        let known = all().flat_map(|c| [c.id, c.name]).chain(names);
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
    let mut text: String = codes
        .iter()
        .map(|c| format!("{}  {:7}  {}\n", c.id, c.severity.name(), c.name))
        .collect();
    text.push_str("\ncauses ranked\n");
    for cause in HYPOTHESES {
        text.push_str(&format!("  {}\n", cause.name));
    }
    text
}

/// A cause: what a plain case of it does, by kind of metering.
fn of_cause(cause: &Hypothesis) -> String {
    let mut text = format!("{} (cause)\n", cause.name);
    if !cause.shifts.is_empty() {
        text.push_str(
            "\na plain case moves, in F      valve and    valve,       fixed\n                              receiver     no receiver  orifice\n",
        );
        for (symptom, shifts) in cause.shifts {
            let cells: String = shifts
                .iter()
                .map(|shift| match symptom.is_share() {
                    true => format!("{:<13}", format!("{:+.0} %", 100.0 * shift)),
                    false => format!("{shift:<+13}"),
                })
                .collect();
            text.push_str(&format!("  {:28}{}\n", symptom.name(), cells.trim_end()));
        }
    }
    for (seen, chance) in cause.signs {
        text.push_str(&format!(
            "  {:48}  seen in {:.0} % of cases\n",
            seen.name(),
            100.0 * chance
        ));
    }
    if !cause.told_by.is_empty() {
        let codes: Vec<&str> = cause.told_by.iter().map(|(code, _)| *code).collect();
        text.push_str(&format!("\ntold by: {}\n", codes.join(", ")));
    }
    text.push_str(&format!("\nprior:   {} (relative)\n", cause.prior));
    text.push_str(&format!("source:  {}\n", cause.source));
    text
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
