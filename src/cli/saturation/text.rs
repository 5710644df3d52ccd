//! The answer in words, for a phone terminal of 40 columns.

use super::answer::{Answer, Found, mean};
use super::question::{Asked, Question};
use super::scale::Scale;
use crate::quantity::{AbsolutePressure, Display, Temperature, Unit, fixed};
use crate::refrigerant::{OutOfRange, Refrigerant};

/// Which line is for what.
const WHICH: &str = "Superheat counts from dew, subcooling from bubble.";
/// Columns of a phone held upright.
const WIDTH: usize = 40;
/// Columns of the names on the left.
const LABEL: usize = 11;
/// One atmosphere, where normal boiling points are given.
/// Of carbon dioxide; below it there is no liquid. Source: CoolProp 8.0.0.
const TRIPLE_POINT: AbsolutePressure = AbsolutePressure::from_pascal(517_950.0);
const ONE_ATMOSPHERE: AbsolutePressure = AbsolutePressure::from_pascal(101_325.0);
/// Cubic metre in a thousand cubic feet, and kilogram in a pound.
const LB_PER_1000_FT3: f64 = 28.316_846_592 / 0.453_592_37;

/// Lines of a name on the left and a text on the right.
#[derive(Default)]
struct Page(String);

impl Page {
    /// A name and its text; the text goes on below itself.
    fn row(&mut self, label: &str, text: &str) {
        let mut indent = format!("{label:LABEL$}");
        for line in wrapped(text, WIDTH - LABEL) {
            self.0.push_str(&format!("{indent}{line}\n"));
            indent = " ".repeat(LABEL);
        }
    }

    /// A sentence over the whole width.
    fn sentence(&mut self, text: &str) {
        for line in wrapped(text, WIDTH) {
            self.0.push_str(&line);
            self.0.push('\n');
        }
    }

    fn blank(&mut self) {
        self.0.push('\n');
    }
}

/// What must not be torn apart at the end of a line: a number and its unit.
fn tight(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// Breaks a text at blanks; those of [`tight`] texts hold.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.last_mut().expect("never empty");
        if last.is_empty() {
            last.push_str(word);
        } else if last.chars().count() + 1 + word.chars().count() <= width {
            last.push(' ');
            last.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
        .iter()
        .map(|line| line.replace('\u{a0}', " "))
        .collect()
}

/// Everything that is printed.
pub(super) fn page(question: &Question, answers: &[Answer<'_>], scale: Scale) -> String {
    let mut page = Page::default();
    match (&question.asked, answers) {
        (Asked::Range(_), rows) => {
            table(&mut page, question, rows, scale);
            cautions(&mut page, question.refrigerant);
        }
        (_, one) => {
            if let [one] = one {
                values(&mut page, question, one, scale);
                page.blank();
            }
            card(&mut page, question.refrigerant, scale);
            cautions(&mut page, question.refrigerant);
        }
    }
    page.0
}

/// The values of one pressure or temperature.
fn values(page: &mut Page, question: &Question, answer: &Answer<'_>, scale: Scale) {
    let refrigerant = question.refrigerant;
    let atmosphere = question.atmosphere;
    let written = answer.value.written();
    let beside = match (&answer.found, answer.value.unit) {
        (Found::Temperatures { pressure, .. }, unit) if is_absolute(unit) => {
            scale.gauge(pressure.gauge(atmosphere))
        }
        (Found::Temperatures { pressure, .. }, _) => scale.absolute(*pressure),
        (Found::Pressures { temperature, .. }, Unit::Celsius) => {
            Display::Us.temperature(*temperature)
        }
        (Found::Pressures { temperature, .. }, Unit::Fahrenheit) => {
            Display::Si.temperature(*temperature)
        }
        (Found::Pressures { temperature, .. }, _) => scale.temperature(*temperature),
    };
    page.sentence(&format!("{refrigerant} at {written} ({beside})"));
    page.blank();
    let [dew, bubble, middle] = shown(
        answer,
        |t| scale.both(t),
        |p| scale.gauge_and_absolute(p, atmosphere),
    );
    let glide = answer.glide().filter(|_| refrigerant.is_blend());
    let two = has_two_lines(refrigerant, std::slice::from_ref(answer));
    if let (Some(middle), false) = (&middle, two) {
        page.row("saturation", middle);
    } else if dew.is_some() || bubble.is_some() {
        // Of a line that gives none, the refusal below says why.
        let not_given = || "not given".to_owned();
        page.row("dew", &dew.clone().unwrap_or_else(not_given));
        page.row("bubble", &bubble.clone().unwrap_or_else(not_given));
        if let Some(middle) = &middle {
            page.row("mid-point", middle);
        }
    }
    if let Some(glide) = glide {
        let (own, other) = scale.displays();
        let text = format!("{} ({})", own.difference(glide), other.difference(glide));
        page.row("glide", &text);
    }
    if dew.is_some() || bubble.is_some() {
        page.row("atmosphere", &scale.atmosphere(atmosphere));
        if two {
            page.sentence(WHICH);
        }
    }
    if let Some(why) = answer.refused() {
        refusal(page, refrigerant, why);
    }
}

/// True for a unit that reads absolute; its gauge pressure is then worth showing.
fn is_absolute(unit: Unit) -> bool {
    use crate::quantity::{Number, Quantity};
    matches!(
        unit.quantity(Number::integer(1)),
        Quantity::Absolute(_) | Quantity::Vacuum(_)
    )
}

/// A refrigerant whose critical temperature outdoor air reaches may run with a gas cooler.
const AMBIENT: Temperature = Temperature::from_celsius(45.0);

/// Why there is no value, and what goes on there instead.
fn refusal(page: &mut Page, refrigerant: &Refrigerant, why: OutOfRange) {
    page.sentence(&format!("{why}."));
    if is_above_critical(why) && refrigerant.critical_temperature < AMBIENT {
        page.sentence(
            "Nothing condenses there: a gas cooler only cools the gas, and works by its outlet \
             temperature at the pressure that is held.",
        );
    }
}

fn is_above_critical(why: OutOfRange) -> bool {
    matches!(
        why,
        OutOfRange::PressureAboveCritical { .. } | OutOfRange::TemperatureAboveCritical { .. }
    )
}

/// True where dew and bubble are not one thing on site: by the glide at one atmosphere, or at one
/// of the values asked, since that of some blends grows with pressure.
fn has_two_lines(refrigerant: &Refrigerant, answers: &[Answer<'_>]) -> bool {
    let matters = |answer: &Answer<'_>| {
        answer
            .glide()
            .is_some_and(|glide| glide.fahrenheit() >= 0.5)
    };
    refrigerant.has_glide() || answers.iter().any(matters)
}

/// Dew, bubble and mid-point of an answer in words; `None` where not given.
fn shown(
    answer: &Answer<'_>,
    temperature: impl Fn(Temperature) -> String,
    pressure: impl Fn(AbsolutePressure) -> String,
) -> [Option<String>; 3] {
    match answer.found {
        Found::Temperatures { bubble, dew, .. } => {
            let middle = bubble.ok().zip(dew.ok()).map(|(b, d)| mean(b, d));
            [dew.ok(), bubble.ok(), middle].map(|t| t.map(&temperature))
        }
        Found::Pressures {
            bubble,
            dew,
            middle,
            ..
        } => [dew.ok(), bubble.ok(), middle].map(|p| p.map(&pressure)),
    }
}

/// A range: a row a value.
fn table(page: &mut Page, question: &Question, rows: &[Answer<'_>], scale: Scale) {
    let refrigerant = question.refrigerant;
    let two = has_two_lines(refrigerant, rows);
    page.sentence(refrigerant.name);
    page.row("atmosphere", &scale.atmosphere(question.atmosphere));
    page.blank();
    let mut cells = |first: &str, rest: &[&str]| {
        let rest: String = rest.iter().map(|cell| format!("{cell:>14}")).collect();
        page.0.push_str(&format!("{first:>11}{rest}\n"));
    };
    cells(
        "",
        if two {
            &["dew", "bubble"]
        } else {
            &["saturation"]
        },
    );
    let mut vacuum = false;
    let mut refused = Vec::new();
    for row in rows {
        let [dew, bubble, middle] = shown(
            row,
            |t| scale.temperature(t),
            |p| scale.gauge(p.gauge(question.atmosphere)),
        );
        let shown = if two { vec![dew, bubble] } else { vec![middle] };
        let first = format!("{} {}", row.value.digits, row.value.unit.symbol());
        let rest: Vec<&str> = shown
            .iter()
            .map(|cell| cell.as_deref().unwrap_or("none"))
            .map(|cell| cell.trim_end_matches(" vacuum"))
            .collect();
        vacuum |= rest.iter().any(|cell| cell.ends_with("inHg"));
        cells(&first, &rest);
        refused.extend(row.refused());
    }
    if vacuum || two || !refused.is_empty() {
        page.blank();
    }
    if vacuum {
        page.sentence("inHg: vacuum, below the atmosphere.");
    }
    if two {
        page.sentence(WHICH);
    }
    // A table may leave its line at both ends; each is explained once.
    refused.dedup_by_key(|why| std::mem::discriminant(why));
    for why in refused {
        refusal(page, refrigerant, why);
    }
}

/// What is known of a refrigerant.
fn card(page: &mut Page, refrigerant: &Refrigerant, scale: Scale) {
    page.sentence(refrigerant.name);
    if !refrigerant.aliases.is_empty() {
        page.row("also", &refrigerant.aliases.join(", "));
    }
    let shares: Vec<String> = refrigerant
        .composition
        .iter()
        .map(|(component, share)| tight(&format!("{component} {share}%")))
        .collect();
    let shares = if refrigerant.is_blend() {
        shares.join(", ")
    } else {
        "one substance".to_owned()
    };
    page.row("by mass", &shares);
    page.row("safety", refrigerant.class_name());
    let ozone = refrigerant.ozone.map_or_else(
        || "neither class I nor II".to_owned(),
        |class| format!("depletes it: {}", class.name()),
    );
    page.row("ozone", &ozone);
    let gwp = refrigerant.gwp;
    for (label, basis, value) in [
        ("GWP", "AR4", gwp.ar4),
        ("", "US, 40 CFR 84", gwp.us),
        ("", "EU, 2024/573", gwp.eu),
    ] {
        let value = value.map_or_else(|| "not known".to_owned(), |v| v.to_string());
        page.row(label, &format!("{value} ({basis})"));
    }
    let (bubble, dew) = (
        refrigerant.bubble_temperature(ONE_ATMOSPHERE),
        refrigerant.dew_temperature(ONE_ATMOSPHERE),
    );
    match (bubble, dew) {
        (Ok(bubble), Ok(dew)) if refrigerant.has_glide() => {
            page.row("boils at", &format!("{} dew,", scale.temperature(dew)));
            page.row("", &format!("{} bubble,", scale.temperature(bubble)));
            page.row("", &format!("at {}", scale.absolute(ONE_ATMOSPHERE)));
        }
        (Ok(bubble), Ok(dew)) => {
            page.row("boils at", &scale.both(mean(bubble, dew)));
            page.row("", &format!("at {}", scale.absolute(ONE_ATMOSPHERE)));
        }
        // Carbon dioxide: its triple point is at 75 psia.
        _ if refrigerant.name == "R-744" => {
            page.row("boils at", "nothing: dry ice below");
            page.row("", &scale.absolute(TRIPLE_POINT));
        }
        _ => page.row(
            "boils at",
            &format!("not given at {}", scale.absolute(ONE_ATMOSPHERE)),
        ),
    }
    if refrigerant.is_blend()
        && let Ok(glide) = refrigerant.glide(ONE_ATMOSPHERE)
    {
        let glide = scale.displays().0.difference(glide);
        page.row(
            "glide",
            &format!("{glide} at {}", scale.absolute(ONE_ATMOSPHERE)),
        );
    }
    page.row(
        "critical",
        &format!(
            "{}, {}",
            scale.temperature(refrigerant.critical_temperature),
            scale.absolute(refrigerant.critical_pressure)
        ),
    );
    let (lowest, highest) = refrigerant.temperature_range();
    page.row(
        "range",
        &format!(
            "{} to {}, {}",
            tight(&scale.temperature(lowest)),
            tight(&scale.temperature(highest)),
            tight(&scale.absolute(refrigerant.highest_saturation()))
        ),
    );
    if refrigerant.is_flammable() {
        let limit = refrigerant.lower_flammability_limit.map_or_else(
            || "not known".to_owned(),
            |limit| {
                let us = format!("{} lb/1000 ft3", fixed(limit * LB_PER_1000_FT3, 1));
                let si = format!("{} kg/m3", fixed(limit, 3));
                let (own, other) = match scale {
                    Scale::Us => (us, si),
                    _ => (si, us),
                };
                tight(&own) + &tight(&format!(" ({other})")).replacen('\u{a0}', " ", 1)
            },
        );
        page.row("burns from", &limit);
    }
}

/// What must be known before working with it.
fn cautions(page: &mut Page, refrigerant: &Refrigerant) {
    let class = refrigerant.class_name();
    if refrigerant.is_flammable() {
        let burns = if refrigerant.class.is_some() {
            format!("Flammable ({class})")
        } else {
            "No safety class assigned: treat it as flammable".to_owned()
        };
        page.blank();
        page.sentence(&format!(
            "{burns}. Remove ignition sources, ventilate, and work with a leak detector rated for \
             it. Local codes come first."
        ));
    }
    if class.starts_with('B') {
        page.blank();
        page.sentence(&format!(
            "Higher toxicity ({class}). Ventilate, and keep to its exposure limit. Local codes \
             come first."
        ));
    }
    if let Some(how) = refrigerant.estimated {
        page.blank();
        page.sentence(&format!(
            "The values of {refrigerant} are estimated: {how}."
        ));
    }
}
