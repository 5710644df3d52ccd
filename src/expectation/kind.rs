//! What kind of unit it is: by the words of its line, its metering, its set point.

use crate::model::{Expansion, Unit};
use crate::vocabulary::fold;

/// What a unit is for; decides its usual temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Application {
    /// Freezers, ice cream.
    LowTemperature,
    /// Coolers, cases.
    MediumTemperature,
    /// Air conditioning.
    AirConditioning,
}

/// How liquid is fed and stored, which decides what a fault looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feed {
    /// Expansion valve with a receiver, which hides charge.
    ValveReceiver,
    /// Expansion valve without one: charge shows in subcooling.
    Valve,
    /// Fixed orifice or capillary: nothing holds superheat.
    Fixed,
}

/// What feeds the evaporator, as far as the note says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Device {
    Valve,
    Fixed,
    NotStated,
}

/// The kind of unit a usual value is looked up by.
pub(super) struct Kind {
    pub application: Option<Application>,
    pub device: Device,
    pub receiver: Option<bool>,
    pub cabinet: Cabinet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cabinet {
    /// Reach-ins, merchandisers: small coils, large TD.
    SelfContained,
    /// Display cases on a rack.
    Case,
    /// Rooms and all else.
    Room,
}

impl Kind {
    /// Of a unit.
    pub fn of(unit: &Unit) -> Self {
        Self {
            application: application(unit),
            device: match unit.metering.expansion {
                Some(Expansion::Orifice | Expansion::Capillary) => Device::Fixed,
                Some(Expansion::Txv | Expansion::Eev) => Device::Valve,
                None => Device::NotStated,
            },
            receiver: unit.metering.receiver,
            cabinet: cabinet(unit),
        }
    }
}

/// How the unit is fed, as far as the note says; a valve without receiver where it does not.
pub fn feed(unit: &Unit) -> Feed {
    match (unit.metering.expansion, unit.metering.receiver) {
        (Some(Expansion::Orifice | Expansion::Capillary), _) => Feed::Fixed,
        (_, Some(true)) => Feed::ValveReceiver,
        _ => Feed::Valve,
    }
}

/// What the unit is for: by the words of its line, else by its set point.
pub fn application(unit: &Unit) -> Option<Application> {
    const LOW: &[&str] = &[
        "freezer",
        "freezers",
        "frozen",
        "ice cream",
        "low temp",
        "low",
        "wif",
    ];
    const MEDIUM: &[&str] = &[
        "cooler",
        "coolers",
        "case",
        "cases",
        "refrigerator",
        "medium temp",
        "medium",
        "reach in",
        "walk in",
        "wic",
        "prep",
        "bottle",
        "merchandiser",
        "dairy",
    ];
    const AIR: &[&str] = &[
        "rooftop",
        "roof top",
        "rtu",
        "air conditioner",
        "air conditioning",
        "split",
        "heat pump",
        "chiller",
        "a c",
        "ac",
    ];
    let words = Words::of(unit);
    let has = |wanted: &[&str]| wanted.iter().any(|w| words.has(w));
    if has(LOW) {
        return Some(Application::LowTemperature);
    }
    if has(MEDIUM) {
        return Some(Application::MediumTemperature);
    }
    if has(AIR) {
        return Some(Application::AirConditioning);
    }
    Some(match unit.set_point.as_ref()?.node.fahrenheit() {
        t if t < 20.0 => Application::LowTemperature,
        t if t < 55.0 => Application::MediumTemperature,
        _ => Application::AirConditioning,
    })
}

fn cabinet(unit: &Unit) -> Cabinet {
    let words = Words::of(unit);
    let has = |wanted: &[&str]| wanted.iter().any(|w| words.has(w));
    if has(&["reach", "merchandiser", "cabinet", "self"]) {
        Cabinet::SelfContained
    } else if has(&["case", "cases"]) {
        Cabinet::Case
    } else {
        Cabinet::Room
    }
}

/// The unit's line, folded.
struct Words(String);

impl Words {
    fn of(unit: &Unit) -> Self {
        Self(fold(unit.tag.as_ref().map_or("", |tag| tag.node.as_str())))
    }

    /// True when a word or phrase stands in it, whole.
    fn has(&self, phrase: &str) -> bool {
        let text = self.0.as_bytes();
        let is_edge = |at: usize| text.get(at).is_none_or(|&byte| byte == b' ');
        self.0
            .match_indices(phrase)
            .any(|(at, _)| (at == 0 || is_edge(at - 1)) && is_edge(at + phrase.len()))
    }
}
