//! States a part can be seen in; a state is a reading too.

use super::fold;
use serde::Serialize;

/// What state a part was in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Running, on, turning, energised.
    On,
    /// Off, stopped, not running.
    Off,
    /// Called for by the control.
    Called,
    /// Not called for.
    NotCalled,
    /// Pulled in, closed, made.
    Closed,
    /// Dropped out, open.
    Open,
    /// Tripped on a safety.
    Tripped,
    /// Starting and stopping often.
    ShortCycling,
    /// Chattering.
    Chattering,
    /// Fed but not turning: a motor that hums.
    Humming,
    /// Clear (sight glass, drain, coil).
    Clear,
    /// Bubbles, flashing.
    Bubbles,
    /// Iced over.
    Iced,
    /// Dirty.
    Dirty,
    /// Silenced or muted (alarm).
    Silenced,
    /// In alarm.
    Alarm,
}

static STATES: &[(State, &str, &[&str])] = &[
    (
        State::On,
        "running",
        &[
            "running",
            "on",
            "runs",
            "turning",
            "energized",
            "energised",
            "working",
            "ran",
        ],
    ),
    (
        State::Off,
        "off",
        &[
            "off",
            "stopped",
            "not running",
            "dead",
            "idle",
            "not turning",
            "stalled",
            "deenergized",
        ],
    ),
    (
        State::Called,
        "called",
        &["called", "calling", "called for", "active"],
    ),
    (
        State::NotCalled,
        "not called",
        &["not called", "satisfied", "not calling"],
    ),
    (
        State::Closed,
        "closed",
        &["closed", "pulled in", "made", "shut"],
    ),
    (
        State::Open,
        "open",
        &[
            "open",
            "dropped out",
            "not made",
            "ajar",
            "ol",
            "over range",
            "overrange",
            "infinite",
        ],
    ),
    (
        State::Tripped,
        "tripped",
        &["tripped", "locked out on safety", "trips"],
    ),
    (
        State::ShortCycling,
        "short cycling",
        &["short cycling", "cycling", "short cycles"],
    ),
    (
        State::Chattering,
        "chattering",
        &["chattering", "chatter", "buzzing"],
    ),
    (
        State::Humming,
        "humming",
        &[
            "humming",
            "hums",
            "not starting",
            "will not start",
            "locked up",
            "locked rotor",
        ],
    ),
    (
        State::Clear,
        "clear",
        &["clear", "clean", "full", "cleared", "cleared up", "clr"],
    ),
    (
        State::Bubbles,
        "bubbles",
        &["bubbles", "bubbling", "flashing", "bubbly", "foaming"],
    ),
    (
        State::Iced,
        "iced",
        &["iced", "iced over", "iced up", "frozen", "frosted"],
    ),
    (
        State::Dirty,
        "dirty",
        &["dirty", "plugged", "fouled", "blocked"],
    ),
    (State::Silenced, "silenced", &["silenced", "muted"]),
    (
        State::Alarm,
        "in alarm",
        &[
            "in alarm",
            "alarming",
            "alarm",
            "going off",
            "sounding",
            "beeping",
        ],
    ),
];

impl State {
    /// Canonical spelling.
    pub fn name(self) -> &'static str {
        STATES
            .iter()
            .find(|row| row.0 == self)
            .map_or("", |row| row.1)
    }
}

/// The state that a word or short phrase names.
pub fn state(text: &str) -> Option<State> {
    let folded = fold(text);
    STATES
        .iter()
        .find(|row| row.2.contains(&folded.as_str()))
        .map(|row| row.0)
}

/// Every spelling of a state.
pub fn state_spellings() -> impl Iterator<Item = &'static str> {
    STATES.iter().flat_map(|row| row.2.iter().copied())
}

/// The state spelling that a word is one slip away from; `of` is `off`.
pub fn nearest_state(word: &str) -> Option<&'static str> {
    let folded = fold(word);
    STATES
        .iter()
        .flat_map(|row| row.2.iter().copied())
        .filter(|spelling| spelling.len() >= 3)
        .find(|spelling| strsim::osa_distance(&folded, spelling) == 1)
}
