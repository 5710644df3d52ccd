//! Bounds of a company's own templates: whatever stands in one, it ends in a report or a sentence.

use super::RenderError;
use minijinja::{Environment, Error, Value};
use std::collections::BTreeMap;

/// Bytes of one template. The largest embedded one has a tenth of it; an expression nests no deeper than
/// its template is long.
const LONGEST: usize = 100_000;

/// Steps a template may take whatever its view holds.
const FUEL: u64 = 1_000_000;

/// Further steps for each byte of its view: a page of many lines takes more of them. The embedded
/// templates take fewer than two.
const FUEL_A_BYTE: u64 = 20;

/// Bytes of stack, taken from the system only as they are used: what nests as deep as length and steps
/// allow is compiled, printed and dropped one call within the other.
const STACK: usize = 1 << 30;

/// Calls within calls: a block that includes itself ends here, not the program.
pub(super) const CALLS: usize = 60;

/// Checks a company's templates before anything is made of them.
///
/// # Errors
/// When one is longer than any page needs.
pub(super) fn check(own: &BTreeMap<String, String>) -> Result<(), RenderError> {
    match own.iter().find(|(_, text)| text.len() > LONGEST) {
        Some((name, text)) => Err(RenderError(format!(
            "template {name} has {} bytes; {LONGEST} are the most",
            text.len()
        ))),
        None => Ok(()),
    }
}

/// Renders a template that may be a company's own, with steps in proportion to the `bytes` of its view
/// and a stack for all that it may nest. An error holds values of the template, so that `failed` makes
/// its sentence on that stack too.
///
/// # Errors
/// As the template engine says, or when it takes more steps than that.
pub(super) fn render(
    environment: &Environment<'static>,
    name: &str,
    values: Value,
    bytes: usize,
    failed: impl FnOnce(Error) -> RenderError + Send,
) -> Result<String, RenderError> {
    let mut environment = environment.clone();
    environment.set_fuel(Some(FUEL + FUEL_A_BYTE * bytes as u64));
    std::thread::scope(|scope| {
        let run = move || {
            let template = environment.get_template(name);
            template.and_then(|t| t.render(values)).map_err(failed)
        };
        let thread = std::thread::Builder::new().stack_size(STACK);
        match thread.spawn_scoped(scope, run) {
            Ok(thread) => thread
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            Err(error) => Err(RenderError(format!(
                "there is no room to run the company's templates: {error}"
            ))),
        }
    })
}
