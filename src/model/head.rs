//! The head: what each key's value means.

use super::cylinder::{self, same_label};
use super::draft::Draft;
use super::transfer::{refrigerant_in, unknown_refrigerant};
use super::written::{find, find_mass};
use super::{Cylinder, Expansion, Rated, RatingPolynomial, healthy, nameplate};
use crate::diagnostic::{Diagnostic, code};
use crate::duties::{Appliance, Jurisdiction};
use crate::quantity::{
    AbsolutePressure, Atmosphere, Dimension, Quantity, Temperature, TemperatureDifference, Unit,
};
use crate::refrigerant;
use crate::source::{Source, Span, Spanned};
use crate::syntax::{Entry, Head, Item, Line, Parse, Statement, Token, tokens};
use crate::vocabulary::privacy::{is_private, public_part, public_value, reaches_back};
use crate::vocabulary::{HeadKey, Point, fold};

/// A head line with its continuation lines.
pub(super) struct Raw<'a> {
    key: Spanned<&'a str>,
    known: Option<HeadKey>,
    /// The value; owned because continuation lines are added.
    value: String,
    /// The value on the key's own line, for spans.
    first: Spanned<&'a str>,
}

impl<'a> Raw<'a> {
    pub fn new(head: &Head<'a>) -> Self {
        Self {
            key: head.key,
            known: head.known,
            // What is private in it is in `Job::unused`, for the diagnosis note alone.
            value: public(head).to_owned(),
            first: head.value,
        }
    }

    /// `set point -5 F` above the first visit is a head line without its colon.
    pub fn from_entry(entry: &Entry<'a>, source: &'a Source) -> Option<Self> {
        let Statement::Readings(items) = &entry.statement else {
            return None;
        };
        let ([Item::Value(item)], None) = (items.as_slice(), entry.clock) else {
            return None;
        };
        if item.point.measured().next() != Some(Point::SetPoint) {
            return None;
        }
        let last = item.values[item.values.len() - 1].span;
        let span = item.values[0].span.to(item.unit.map_or(last, |u| u.span));
        let value = source.slice(span);
        Some(Self {
            key: item.name,
            known: Some(HeadKey::SetPoint),
            value: value.to_owned(),
            first: Spanned::new(value, span),
        })
    }

    pub fn extend(&mut self, text: Spanned<&str>) {
        self.value.push('\n');
        self.value.push_str(text.node);
    }
}

/// What of a head line's value everybody may read: of a sentence nothing, where it is private; of what
/// names or rates something, all but the private words behind it.
fn public<'a>(head: &Head<'a>) -> &'a str {
    match head.known {
        Some(HeadKey::Complaint | HeadKey::Contents | HeadKey::Access | HeadKey::Contact)
        | None => public_part(head.value.node),
        Some(_) => public_value(head.value.node),
    }
}

/// Every head line of a note with the indented lines that continue it.
pub(super) fn collect<'a>(source: &'a Source, parse: &Parse<'a>) -> Vec<Raw<'a>> {
    let mut heads: Vec<Raw<'a>> = Vec::new();
    let mut open = false;
    let mut visited = false;
    for line in &parse.lines {
        match &line.line {
            Line::Blank | Line::Comment => {}
            Line::Head(head) => {
                let raw = Raw::new(head);
                // What goes on below private words is of them, and a value that is private whole is no
                // empty one.
                open = !is_private(head.value.node);
                if open || !raw.value.trim().is_empty() {
                    heads.push(raw);
                }
            }
            // What is private under a head line is in `Job::unused`, for the diagnosis note alone.
            Line::Continuation(text) if open && is_private(text.node) => {
                if reaches_back(text.node) {
                    heads.pop();
                }
                open = false;
            }
            Line::Continuation(text) if open => {
                if let Some(head) = heads.last_mut() {
                    head.extend(*text);
                }
            }
            Line::Entry(entry) if matches!(entry.statement, Statement::Unknown(_)) => open = false,
            Line::Entry(entry) if !visited => match Raw::from_entry(entry, source) {
                Some(head) => {
                    heads.push(head);
                    open = true;
                }
                None => (open, visited) = (false, true),
            },
            Line::Visit(_) => (open, visited) = (false, true),
            _ => open = false,
        }
    }
    heads
}

/// Reads every head line into the job.
pub(super) fn read(draft: &mut Draft<'_>, heads: &[Raw<'_>]) {
    let mut seen: Vec<(HeadKey, Span)> = Vec::new();
    for raw in heads {
        let Some(key) = raw.known else {
            draft.job.other.push((
                Spanned::new(raw.key.node.to_owned(), raw.key.span),
                Spanned::new(raw.value.clone(), raw.first.span),
            ));
            continue;
        };
        let twice = seen.iter().find(|(k, _)| *k == key && !key.repeats());
        if let Some((_, first)) = twice {
            draft.diagnostics.push(
                Diagnostic::new(
                    &code::DUPLICATE_KEY,
                    raw.key.span,
                    format!("`{}` is given twice", key.name()),
                )
                .also(*first, "this one is used")
                .help("delete one of the two lines"),
            );
            continue;
        }
        seen.push((key, raw.key.span));
        value(draft, key, raw);
    }
}

fn value(draft: &mut Draft<'_>, key: HeadKey, raw: &Raw<'_>) {
    if raw.value.trim().is_empty() {
        draft.diagnostics.push(bad(
            raw,
            "is empty",
            "write its value after the colon, or delete the line",
        ));
        return;
    }
    let text = Some(Spanned::new(raw.value.clone(), raw.first.span));
    let job = &mut draft.job;
    match key {
        HeadKey::Job => job.number = text,
        HeadKey::Customer => job.customer = text,
        HeadKey::Site => job.site = text,
        HeadKey::Contact => job.contact = text,
        HeadKey::Order => job.order = text,
        HeadKey::Unit => job.unit.tag = text,
        HeadKey::Model => job.unit.model = text,
        HeadKey::Serial => job.unit.serial = text,
        HeadKey::Complaint => job.complaint = text,
        HeadKey::Contents => job.contents = text,
        HeadKey::Access => job.access = text,
        HeadKey::Refrigerant => refrigerant(draft, raw),
        HeadKey::Charge => charge(draft, raw),
        HeadKey::Instruments => job.instruments.extend(text),
        HeadKey::Cylinder => cylinder(draft, raw),
        HeadKey::Metering => metering(draft, raw),
        HeadKey::Nameplate => {
            job.unit.nameplate = nameplate::read(raw.first, &mut draft.diagnostics);
        }
        HeadKey::Displacement => match measured(raw, Dimension::VolumeFlow) {
            Some(Quantity::VolumeFlow(swept)) if swept.cubic_metre_per_second() > 0.0 => {
                job.unit.displacement = Some(swept);
            }
            _ => draft.diagnostics.push(bad(
                raw,
                "is no swept volume in a time",
                "write for example `displacement: 1050 cfh` or `displacement: 29.7 m3/h`",
            )),
        },
        HeadKey::MassFlowCoefficients => {
            draft.job.unit.mass_flow_rating = rating(draft, raw, Rated::MassFlow);
        }
        HeadKey::PowerCoefficients => {
            draft.job.unit.power_rating = rating(draft, raw, Rated::Power);
        }
        HeadKey::SetPoint => {
            if let Some((temperature, written)) = temperature(draft, raw) {
                draft.job.unit.set_point = Some(Spanned::new(temperature, raw.first.span));
                draft.job.unit.set_point_written = Some(written);
            }
        }
        HeadKey::Altitude => match measured(raw, Dimension::Length) {
            Some(Quantity::Length(altitude)) if altitude.metre() < 9000.0 => {
                // A stated barometer is the better knowledge, whichever line comes first.
                if !matches!(job.unit.atmosphere, Some(a) if a.basis == crate::quantity::AtmosphereBasis::Barometer) {
                    job.unit.atmosphere = Some(Atmosphere::at_altitude(altitude));
                }
            }
            _ => draft.diagnostics.push(bad(raw, "is no altitude", "write for example `altitude: 650 ft`")),
        },
        HeadKey::Barometer => match barometer(raw) {
            Some(pressure) => job.unit.atmosphere = Some(Atmosphere::from_barometer(pressure)),
            None => draft.diagnostics.push(bad(
                raw,
                "is no atmospheric pressure",
                "write the station pressure, for example `barometer: 29.4 inHg` or `barometer: 99.6 kPa`",
            )),
        },
        HeadKey::DesignTd => job_difference(draft, raw, |job, d| job.unit.design_td = Some(d)),
        HeadKey::DesignSplit => job_difference(draft, raw, |job, d| job.unit.design_split = Some(d)),
        HeadKey::DesignAmbient => {
            draft.job.unit.design_ambient = temperature(draft, raw).map(|(t, _)| t);
        }
        HeadKey::HeadPressureHold => {
            draft.job.unit.head_pressure_hold = temperature(draft, raw).map(|(t, _)| t);
        }
        HeadKey::FoodLimit => {
            if let Some((temperature, written)) = temperature(draft, raw) {
                draft.job.food.limit = Some(Spanned::new(temperature, raw.first.span));
                draft.job.food.limit_written = Some(written);
            }
        }
        HeadKey::TimeControl => match measured(raw, Dimension::Duration) {
            Some(Quantity::Duration(time)) if time.second() == 4.0 * 3600.0 => job.food.hours = Some(4),
            Some(Quantity::Duration(time)) if time.second() == 6.0 * 3600.0 => job.food.hours = Some(6),
            _ => draft.diagnostics.push(bad(
                raw,
                "is neither 4 h nor 6 h",
                "write `time control: 4 h`, or `time control: 6 h` for the plan that keeps food at 70 F (21 C) or below",
            )),
        },
        HeadKey::TargetSuperheat => job_difference(draft, raw, |job, d| job.unit.target_superheat = Some(d)),
        HeadKey::TargetSubcooling => job_difference(draft, raw, |job, d| job.unit.target_subcooling = Some(d)),
        HeadKey::Jurisdiction => match Jurisdiction::recognise(raw.value.trim()) {
            Some(found) => job.unit.jurisdiction = Some(found),
            None => not_among(draft, raw, "is no jurisdiction whose rules are carried", Jurisdiction::spellings()),
        },
        HeadKey::Appliance => match Appliance::recognise(raw.value.trim()) {
            Some(found) => job.unit.appliance = Some(found),
            None => not_among(draft, raw, "is no kind of appliance", Appliance::spellings()),
        },
        HeadKey::LeakDetection => draft.job.unit.leak_detection = yes_or_no(draft, raw),
        HeadKey::Sealed => draft.job.unit.sealed = yes_or_no(draft, raw),
        HeadKey::Healthy => {
            let (values, unread) = healthy::read(&raw.value);
            draft.job.unit.healthy = values;
            for part in unread {
                draft.diagnostics.push(bad(
                    raw,
                    &format!("has a part that is no healthy value: `{part}`"),
                    "write for example `healthy: td 11 F, superheat 8 F, subcooling 9 F, condenser split 20 F, amps 9.4 A`",
                ));
            }
        }
    }
}

fn rating(draft: &mut Draft<'_>, raw: &Raw<'_>, rated: Rated) -> Option<RatingPolynomial> {
    RatingPolynomial::read(&raw.value, rated)
        .map_err(|what| {
            let unit = match rated {
                Rated::MassFlow => "lb/h",
                Rated::Power => "W",
            };
            let help = format!(
                "write the ten coefficients in the order published, then the unit of the result \
                 and of the temperatures: `… C10, {unit}, F, 20 F superheat`"
            );
            draft.diagnostics.push(bad(raw, &what, &help));
        })
        .ok()
}

fn bad(raw: &Raw<'_>, what: &str, help: &str) -> Diagnostic {
    let span = if raw.first.node.is_empty() {
        raw.key.span
    } else {
        raw.first.span
    };
    Diagnostic::new(
        &code::BAD_HEAD_VALUE,
        span,
        format!("the value of `{}` {what}", raw.key.node),
    )
    .also(raw.key.span, "of this key")
    .help(help)
}

fn not_among<'s>(
    draft: &mut Draft<'_>,
    raw: &Raw<'_>,
    what: &str,
    spellings: impl Iterator<Item = &'s str>,
) {
    let spellings: Vec<&str> = spellings.collect();
    let help = format!("write one of: {}", spellings.join(", "));
    draft.diagnostics.push(bad(raw, what, &help));
}

fn yes_or_no(draft: &mut Draft<'_>, raw: &Raw<'_>) -> Option<bool> {
    match fold(&raw.value).as_str() {
        "yes" | "y" | "true" => Some(true),
        "no" | "n" | "none" | "false" => Some(false),
        _ => {
            draft
                .diagnostics
                .push(bad(raw, "is neither yes nor no", "write `yes` or `no`"));
            None
        }
    }
}

fn raw_tokens<'s>(raw: &Raw<'s>) -> Vec<Token<'s>> {
    tokens(raw.first.node, raw.first.span.start as usize)
}

fn measured(raw: &Raw<'_>, dimension: Dimension) -> Option<Quantity> {
    let found = find(
        raw.first.node,
        raw.first.span.start,
        &raw_tokens(raw),
        dimension,
    )?;
    // `8 +/- 2 F`: which of the two is meant is not for luck to say.
    found.loose.is_none().then_some(found.written.quantity)
}

fn temperature(draft: &mut Draft<'_>, raw: &Raw<'_>) -> Option<(Temperature, String)> {
    let tokens = tokens(&raw.value, 0);
    let found = find(&raw.value, 0, &tokens, Dimension::Temperature);
    if let Some(found) = found
        && found.loose.is_none()
        && let Quantity::Temperature(t) = found.written.quantity
    {
        return Some((t, found.written.text));
    }
    // `setpoint: -5`, in the scale that the note's readings are in
    let numbers: Vec<_> = tokens.iter().filter_map(Token::number).collect();
    if let [number] = numbers[..]
        && let Some(unit) = draft.habits.assume(Point::SetPoint)
        && let Quantity::Temperature(temperature) = unit.quantity(number)
    {
        let written = raw.value.trim();
        assumed(draft, raw, unit, "write `F` or `C` after it");
        return Some((temperature, format!("{written} {}", unit.symbol())));
    }
    draft.diagnostics.push(bad(
        raw,
        "is no temperature",
        &format!("write for example `{}: 36 F`", raw.key.node),
    ));
    None
}

fn assumed(draft: &mut Draft<'_>, raw: &Raw<'_>, unit: Unit, help: &str) {
    let (written, unit) = (raw.value.trim(), unit.symbol());
    draft.diagnostics.push(
        Diagnostic::new(
            &code::UNIT_ASSUMED,
            raw.first.span,
            format!("`{written}` has no unit; {unit} was taken"),
        )
        .help(help),
    );
}

fn barometer(raw: &Raw<'_>) -> Option<AbsolutePressure> {
    let pressure = match measured(raw, Dimension::Pressure)? {
        Quantity::Absolute(pressure) => pressure,
        // A barometer reads absolute, whatever the unit would mean on a gauge.
        Quantity::Gauge(pressure) => AbsolutePressure::from_pascal(pressure.pascal().abs()),
        _ => return None,
    };
    (50e3..=110e3)
        .contains(&pressure.pascal())
        .then_some(pressure)
}

fn job_difference(
    draft: &mut Draft<'_>,
    raw: &Raw<'_>,
    set: impl FnOnce(&mut super::Job, TemperatureDifference),
) {
    if let Some(Quantity::TemperatureDifference(difference)) =
        measured(raw, Dimension::TemperatureDifference)
    {
        set(&mut draft.job, difference);
        return;
    }
    // `target superheat: 8`, in the scale that the note's readings are in
    let scale = match draft.habits.assume(Point::SetPoint) {
        Some(Unit::Celsius) => Some(Unit::KelvinDifference),
        Some(_) => Some(Unit::FahrenheitDifference),
        None => None,
    };
    if let [only] = raw_tokens(raw).as_slice()
        && let Some(number) = only.number()
        && let Some(unit) = scale
        && let Quantity::TemperatureDifference(difference) = unit.quantity(number)
    {
        assumed(draft, raw, unit, "write `F` or `K` after it");
        set(&mut draft.job, difference);
        return;
    }
    let key = raw.key.node;
    draft.diagnostics.push(bad(
        raw,
        "is no temperature difference",
        &format!("write for example `{key}: 10 F`"),
    ));
}

fn refrigerant(draft: &mut Draft<'_>, raw: &Raw<'_>) {
    draft.job.unit.refrigerant_written = Some(Spanned::new(raw.value.clone(), raw.first.span));
    let tokens = raw_tokens(raw);
    let first = raw.first.node.split([',', ';']).next().unwrap_or("").trim();
    let span = Span::new(0, first.len()).shift(raw.first.span.start as usize);
    // `448a 22 lb`: no comma between designation and charge
    let word = first.split_whitespace().next().unwrap_or("");
    let lettered = word.ends_with(|c: char| c.is_ascii_alphabetic());
    let found = refrigerant::lookup(first)
        .or_else(|| refrigerant::lookup(word).filter(|_| lettered && word != first));
    if let Some(found) = found {
        draft.job.unit.refrigerant = Some(Spanned::new(found, span));
    } else {
        match refrigerant_in(raw.first, &tokens) {
            Some((Ok(found), span)) => draft.job.unit.refrigerant = Some(Spanned::new(found, span)),
            Some((Err(words), span)) => draft
                .diagnostics
                .push(unknown_refrigerant(words, span, None)),
            None => draft
                .diagnostics
                .push(unknown_refrigerant(first, span, None)),
        }
    }
    if draft.job.unit.charge.is_none()
        && let Some((mass, _, _)) = find_mass(raw.first.node, raw.first.span.start, &tokens)
    {
        draft.job.unit.charge = Some(Spanned::new(mass, raw.first.span));
    }
}

fn charge(draft: &mut Draft<'_>, raw: &Raw<'_>) {
    match find_mass(raw.first.node, raw.first.span.start, &raw_tokens(raw)) {
        Some((mass, _, _)) => draft.job.unit.charge = Some(Spanned::new(mass, raw.first.span)),
        None => draft
            .diagnostics
            .push(bad(raw, "is no mass", "write for example `charge: 22 lb`")),
    }
}

fn cylinder(draft: &mut Draft<'_>, raw: &Raw<'_>) {
    let read = match cylinder::read(&raw.value, raw.first.span) {
        Ok(read) => read,
        Err(what) => {
            draft.diagnostics.push(bad(
                raw,
                &what,
                "write for example `cylinder: C-118, R-448A, water capacity 47.7 lb, tare 28.5 lb, holds 12 lb`",
            ));
            return;
        }
    };
    let same = |other: &&Cylinder| same_label(&other.label.node, &read.label.node);
    if let Some(first) = draft.job.cylinders.iter().find(same) {
        draft.diagnostics.push(
            Diagnostic::new(
                &code::DUPLICATE_KEY,
                raw.key.span,
                format!("cylinder `{}` is given twice", read.label.node),
            )
            .also(first.label.span, "this one is used")
            .help("delete one of the two lines"),
        );
        return;
    }
    draft.job.cylinders.push(read);
}

fn metering(draft: &mut Draft<'_>, raw: &Raw<'_>) {
    let folded = fold(&raw.value);
    let words: Vec<&str> = folded.split(' ').collect();
    let has = |word: &str| words.contains(&word);
    let metering = &mut draft.job.unit.metering;
    metering.written = Some(Spanned::new(raw.value.clone(), raw.first.span));
    metering.expansion = if has("eev") || has("electronic") || has("exv") {
        Some(Expansion::Eev)
    } else if has("txv") || has("tev") || has("tx") || has("thermostatic") {
        Some(Expansion::Txv)
    } else if has("cap") || has("capillary") {
        Some(Expansion::Capillary)
    } else if has("orifice") || has("piston") || has("fixed") {
        Some(Expansion::Orifice)
    } else {
        None
    };
    metering.receiver = if [
        "no receiver",
        "without receiver",
        "w o receiver",
        "receiver none",
        "receiver no",
    ]
    .iter()
    .any(|words| folded.contains(words))
    {
        Some(false)
    } else if has("receiver") {
        Some(true)
    } else {
        None
    };
    if metering.expansion.is_none() && metering.receiver.is_none() {
        draft.diagnostics.push(bad(
            raw,
            "names no expansion device",
            "write txv, eev, fixed orifice or cap tube, and `receiver` if there is one",
        ));
    }
}
