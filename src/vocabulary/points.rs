//! Measuring points of the trade: names, aliases, dimension, plausible range, plain words.

use super::fold;
use crate::quantity::{Dimension, Unit};
use rustc_hash::FxHashMap;
use serde::Serialize;
use std::sync::LazyLock;

/// One row of the point table.
#[derive(Debug)]
pub struct PointInfo {
    /// Which point.
    pub point: Point,
    /// Canonical name, as the trade says it.
    pub name: &'static str,
    /// What a customer would call it.
    pub plain: &'static str,
    /// What is measured; `None` for a part whose state is observed.
    pub dimension: Option<Dimension>,
    /// The unit taken when none is written.
    pub unit: Option<Unit>,
    /// Values outside this range (SI; gauge pressures in Pa gauge) are questioned, not refused.
    pub plausible: (f64, f64),
    /// Other names, folded.
    pub aliases: &'static [&'static str],
}

macro_rules! points {
    ($($point:ident $name:literal, $plain:literal, $kind:tt, [$($alias:literal),* $(,)?];)*) => {
        /// A measuring place or a part whose state is seen; one variant per row of [`POINTS`].
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(rename_all = "kebab-case")]
        #[allow(missing_docs, reason = "each variant is documented by its row's name")]
        pub enum Point { $($point),* }

        /// Every point understood.
        pub static POINTS: &[PointInfo] = &[$(PointInfo {
            point: Point::$point,
            name: $name,
            plain: $plain,
            dimension: points!(@dimension $kind),
            unit: points!(@unit $kind),
            plausible: points!(@range $kind),
            aliases: &[$($alias),*],
        }),*];
    };
    (@dimension state) => { None };
    (@dimension ($dimension:ident $unit:ident $low:literal $high:literal)) => { Some(Dimension::$dimension) };
    (@unit state) => { None };
    (@unit ($dimension:ident $unit:ident $low:literal $high:literal)) => { Some(Unit::$unit) };
    (@range state) => { (f64::NEG_INFINITY, f64::INFINITY) };
    (@range ($dimension:ident $unit:ident $low:literal $high:literal)) => { ($low, $high) };
}

// Plausible ranges are wide on purpose: they catch a slipped digit, not an unusual machine.
// Common practice, no source.
points! {
    Suction "suction", "low-side pressure", (Pressure Psig -101e3 3.5e6), ["suction pressure", "suction press", "low side", "low side pressure", "back pressure", "sp", "suct", "lp"];
    Discharge "discharge", "high-side pressure", (Pressure Psig -101e3 14e6), ["discharge pressure", "discharge press", "head", "head pressure", "high side", "high side pressure", "dp", "hp", "condensing pressure", "disch", "disch pressure", "dis"];
    LiquidPressure "liquid pressure", "liquid-line pressure", (Pressure Psig -101e3 14e6), ["liquid line pressure", "liquid press", "receiver pressure"];
    OilPressure "oil pressure", "oil pressure", (Pressure Psig -101e3 3e6), ["oil press", "oil pump pressure"];
    StaticPressure "static pressure", "duct pressure", (AirPressure InchWater -2500.0 2500.0), ["static", "external static", "total static", "duct static", "esp"];
    SuctionLine "suction line", "low-side pipe temperature", (Temperature Fahrenheit 190.0 350.0), ["suction line temp", "suction line temperature", "suction temp", "suction pipe", "evap outlet", "evaporator outlet", "evap out", "coil outlet", "vapor line", "vapour line", "bulb", "suct line", "sl"];
    CompressorInlet "compressor inlet", "pipe temperature at the compressor", (Temperature Fahrenheit 190.0 350.0), ["suction at compressor", "suction line at compressor", "comp inlet", "return gas", "compressor suction temp", "compressor in"];
    DischargeLine "discharge line", "hot-gas pipe temperature", (Temperature Fahrenheit 230.0 480.0), ["discharge line temp", "discharge line temperature", "discharge temp", "discharge temperature", "hot gas", "hot gas line", "discharge pipe", "dl"];
    CondenserOutlet "condenser outlet", "pipe temperature after the condenser", (Temperature Fahrenheit 220.0 400.0), ["cond outlet", "condenser out", "drop leg", "gas cooler outlet", "gas cooler out"];
    LiquidLine "liquid line", "liquid pipe temperature", (Temperature Fahrenheit 220.0 390.0), ["liquid line temp", "liquid line temperature", "liquid temp", "liquid", "before drier", "drier in", "drier inlet", "liquid pipe", "liq line", "liq", "ll"];
    AfterDrier "after drier", "liquid pipe temperature after the filter", (Temperature Fahrenheit 190.0 390.0), ["drier out", "drier outlet", "after filter drier", "after the drier", "post drier", "liquid line after drier"];
    Box "box", "box temperature", (Temperature Fahrenheit 190.0 350.0), ["box temp", "box temperature", "case", "case temp", "cabinet", "cooler", "freezer", "walk in", "walkin", "inside", "cold room", "coldroom", "bx", "walk in cooler", "walk in freezer"];
    Display "display", "temperature on the display", (Temperature Fahrenheit 190.0 350.0), ["display temp", "display temperature", "box display", "case display", "room display", "controller display", "thermostat display", "controller temp", "controller temperature"];
    Product "product", "product temperature", (Temperature Fahrenheit 190.0 370.0), ["product temp", "product temperature", "food", "food temp", "core", "pulp", "prod"];
    ReturnAir "return air", "air entering the coil", (Temperature Fahrenheit 190.0 350.0), ["return", "return air temp", "air on", "air in", "entering air", "evap air in", "ra"];
    SupplyAir "supply air", "air leaving the coil", (Temperature Fahrenheit 190.0 350.0), ["supply", "supply air temp", "air off", "air out", "leaving air", "discharge air", "evap air out", "sa"];
    Room "room", "room temperature", (Temperature Fahrenheit 230.0 340.0), ["room temp", "space", "space temp", "indoor", "indoor temp"];
    ReturnWetBulb "return wet bulb", "humid-air temperature at the return", (Temperature Fahrenheit 230.0 330.0), ["wet bulb", "indoor wet bulb", "indoor wb", "return wb", "return air wb", "return air wet bulb", "wb", "entering wet bulb", "entering wb", "entering air wet bulb", "wet bulb return", "wb return"];
    SupplyWetBulb "supply wet bulb", "humid-air temperature at the supply", (Temperature Fahrenheit 230.0 330.0), ["supply wb", "supply air wb", "supply air wet bulb", "leaving wet bulb", "leaving wb", "leaving air wet bulb", "wet bulb supply", "wb supply"];
    AmbientWetBulb "ambient wet bulb", "humid-air temperature outdoors", (Temperature Fahrenheit 220.0 330.0), ["ambient wb", "outdoor wet bulb", "outdoor wb", "outside wet bulb", "outside wb", "outdoor air wet bulb"];
    ReturnHumidity "return humidity", "humidity of the air entering the coil", (Percent Percent 0.0 100.0), ["return rh", "return air rh", "return air humidity", "return relative humidity", "entering rh", "entering air rh", "rh return"];
    SupplyHumidity "supply humidity", "humidity of the air leaving the coil", (Percent Percent 0.0 100.0), ["supply rh", "supply air rh", "supply air humidity", "supply relative humidity", "leaving rh", "leaving air rh", "rh supply"];
    RoomHumidity "room humidity", "room humidity", (Percent Percent 0.0 100.0), ["room rh", "space rh", "space humidity", "indoor rh", "indoor humidity", "humidity", "relative humidity", "rh"];
    AmbientHumidity "ambient humidity", "outdoor humidity", (Percent Percent 0.0 100.0), ["ambient rh", "outdoor rh", "outdoor humidity", "outside rh", "outside humidity", "outdoor air rh"];
    Airflow "airflow", "air moved over the coil", (VolumeFlow CubicFootPerMinute 0.0 60.0), ["air flow", "air volume", "supply airflow", "supply air flow", "return airflow", "indoor airflow", "evap airflow"];
    Ambient "ambient", "air around the condenser", (Temperature Fahrenheit 220.0 345.0), ["ambient temp", "outdoor", "outdoor temp", "outside", "outdoor air", "condenser air in", "cond air in", "oat", "amb", "air into condenser"];
    CondenserAirOut "condenser air out", "air leaving the condenser", (Temperature Fahrenheit 220.0 370.0), ["cond air out", "condenser leaving air", "condenser air off", "air out condenser"];
    CoilTemperature "coil temperature", "coil temperature", (Temperature Fahrenheit 190.0 340.0), ["coil temp", "evap coil", "evaporator coil", "coil", "coil surface"];
    CompressorShell "compressor shell", "compressor body temperature", (Temperature Fahrenheit 220.0 480.0), ["shell", "compressor body", "compressor dome", "dome", "compressor temp"];
    Sump "sump", "compressor oil temperature", (Temperature Fahrenheit 220.0 420.0), ["oil temp", "sump temp", "crankcase", "oil sump"];
    SetPoint "set point", "set point", (Temperature Fahrenheit 190.0 320.0), ["setpoint", "thermostat", "stat", "set temp"];
    HighAlarm "alarm limit", "high-temperature alarm limit", (Temperature Fahrenheit 190.0 350.0), ["high alarm", "alarm set", "high temp alarm limit", "alarm set point", "alarm setpoint"];
    Superheat "superheat", "superheat", (TemperatureDifference FahrenheitDifference -60.0 90.0), ["super heat", "sh"];
    Subcooling "subcooling", "subcooling", (TemperatureDifference FahrenheitDifference -60.0 60.0), ["sub cooling", "subcool", "sc"];
    L1L2 "L1-L2", "supply voltage", (Voltage Volt 0.0 700.0), ["l1 l2", "l1 to l2", "l1l2", "line 1 line 2", "a b", "a to b"];
    L2L3 "L2-L3", "supply voltage", (Voltage Volt 0.0 700.0), ["l2 l3", "l2 to l3", "l2l3", "line 2 line 3", "b c", "b to c"];
    L1L3 "L1-L3", "supply voltage", (Voltage Volt 0.0 700.0), ["l1 l3", "l1 to l3", "l3 l1", "l3 to l1", "l1l3", "l3l1", "line 1 line 3", "line 3 line 1", "c a", "a c"];
    T1T2 "T1-T2", "voltage at the load", (Voltage Volt 0.0 700.0), ["t1 t2", "t1 to t2", "t1t2"];
    T2T3 "T2-T3", "voltage at the load", (Voltage Volt 0.0 700.0), ["t2 t3", "t2 to t3", "t2t3"];
    T1T3 "T1-T3", "voltage at the load", (Voltage Volt 0.0 700.0), ["t1 t3", "t1 to t3", "t3 t1", "t3 to t1", "t1t3"];
    SupplyVoltage "supply", "supply voltage", (Voltage Volt 0.0 700.0), ["supply volts", "supply voltage", "line volts", "line voltage", "line", "volts", "voltage", "incoming", "disconnect", "mains"];
    ControlVoltage "control voltage", "control voltage", (Voltage Volt 0.0 300.0), ["control", "control volts", "transformer", "transformer secondary", "control circuit"];
    CoilVoltage "contactor coil", "voltage on the contactor coil", (Voltage Volt 0.0 700.0), ["coil", "coil volts", "coil voltage", "contactor coil volts", "contactor coil voltage", "a1 a2"];
    CoilResistance "contactor coil resistance", "resistance of the contactor coil", (Resistance Ohm 0.0 1e9), ["contactor coil", "coil", "coil ohms", "coil resistance", "contactor coil ohms"];
    ContactDrop "contact drop", "voltage lost across a contact", (Voltage Volt 0.0 700.0), ["across contacts", "across contact", "across contactor", "contact", "contacts", "contactor drop", "across pole"];
    SwitchVoltage "across switch", "voltage across a switch", (Voltage Volt 0.0 700.0), ["across high pressure switch", "across low pressure switch", "across safety", "across hp switch", "across lp switch", "across pressure control", "across thermostat", "across door switch", "across overload", "across float switch"];
    SafetyIn "safety in", "control voltage before the safety", (Voltage Volt 0.0 700.0), ["safety inlet", "before safety", "line side of safety", "safety line side"];
    SafetyOut "safety out", "control voltage after the safety", (Voltage Volt 0.0 700.0), ["safety outlet", "after safety", "load side of safety", "safety load side"];
    CompressorVoltage "compressor voltage", "voltage at the compressor", (Voltage Volt 0.0 700.0), ["compressor", "compressor volts", "comp", "comp volts"];
    HeaterVoltage "heater voltage", "voltage on the heater", (Voltage Volt 0.0 700.0), ["heater", "heaters", "heater volts", "defrost heater", "defrost heaters"];
    EvapFanVoltage "evap fan voltage", "voltage at the indoor fan", (Voltage Volt 0.0 700.0), ["evap fan", "evaporator fan", "evap fan volts", "indoor fan", "blower"];
    CondenserFanVoltage "condenser fan voltage", "voltage at the condenser fan", (Voltage Volt 0.0 700.0), ["condenser fan", "cond fan", "outdoor fan", "gas cooler fan", "condenser fan volts"];
    CompressorCurrent "compressor", "compressor current", (Current Ampere 0.0 1000.0), ["compressor amps", "compressor current", "comp amps", "comp", "compressor a", "amps", "current", "running amps", "leg amps", "legs", "compressor leg", "compressor legs"];
    HeaterCurrent "heater", "heater current", (Current Ampere 0.0 500.0), ["heater amps", "heaters", "heater current", "defrost heater", "defrost heaters", "defrost amps"];
    EvapFanCurrent "evap fan", "indoor fan current", (Current Ampere 0.0 200.0), ["evap fan amps", "evaporator fan", "fan", "fans", "evap fans", "evaporator fan amps", "indoor fan", "blower", "blower amps"];
    CondenserFanCurrent "condenser fan", "condenser fan current", (Current Ampere 0.0 200.0), ["condenser fan amps", "cond fan", "cond fan amps", "condenser fans", "outdoor fan", "gas cooler fan"];
    TotalCurrent "total current", "total current", (Current Ampere 0.0 2000.0), ["total amps", "unit amps", "total"];
    HeaterPower "heater power", "heater power", (Power Watt 0.0 100e3), ["heater", "heaters", "heater watts"];
    HeaterResistance "heater resistance", "heater resistance", (Resistance Ohm 0.0 1e9), ["heater", "heaters", "heater ohms", "heater element"];
    WindingCR "C-R", "motor winding resistance", (Resistance Ohm 0.0 1e6), ["c r", "c to r", "common to run", "cr", "run winding"];
    WindingCS "C-S", "motor winding resistance", (Resistance Ohm 0.0 1e6), ["c s", "c to s", "common to start", "cs", "start winding"];
    WindingRS "R-S", "motor winding resistance", (Resistance Ohm 0.0 1e6), ["r s", "r to s", "run to start", "rs"];
    Insulation "insulation", "insulation resistance", (Resistance Megohm 0.0 1e13), ["insulation resistance", "meg", "to ground", "winding to ground", "insulation to ground", "megohms", "compressor insulation"];
    RunCapacitor "run capacitor", "motor capacitor", (Capacitance Microfarad 0.0 1e-3), ["capacitor", "run cap", "cap", "compressor capacitor", "fan capacitor"];
    StartCapacitor "start capacitor", "starting capacitor", (Capacitance Microfarad 0.0 3e-3), ["start cap"];
    Compressor "compressor", "compressor", state, ["comp", "compressor state"];
    EvapFan "evap fan", "indoor fan", state, ["evaporator fan", "evap fans", "evaporator fans", "fan", "fans", "indoor fan", "blower"];
    CondenserFan "condenser fan", "condenser fan", state, ["cond fan", "condenser fans", "cond fans", "outdoor fan", "gas cooler fan", "gas cooler fans"];
    Heater "heater", "defrost heater", state, ["heaters", "defrost heater", "defrost heaters"];
    Defrost "defrost", "defrost", state, ["defrost cycle"];
    Cooling "cooling", "cooling", state, ["refrigeration", "cooling call", "thermostat call"];
    SightGlass "sight glass", "sight glass", state, ["sightglass", "glass", "sg"];
    Contactor "contactor", "contactor", state, ["compressor contactor", "contacts"];
    Coil "coil", "evaporator coil", state, ["evap coil", "evaporator coil", "evaporator", "evap"];
    CondenserCoil "condenser", "condenser coil", state, ["condenser coil", "cond", "cond coil"];
    Door "door", "door", state, ["doors", "box door"];
    Alarm "alarm", "alarm", state, ["high temperature alarm", "high temp alarm"];
    Drain "drain", "drain", state, ["drain line", "drain pan"];
    HighPressureSwitch "high pressure switch", "high-pressure safety", state, ["hp switch", "high pressure cutout", "high pressure control"];
    LowPressureSwitch "low pressure switch", "low-pressure safety", state, ["lp switch", "low pressure cutout", "low pressure control"];
    Overload "overload", "motor overload", state, ["motor overload", "internal overload", "thermal overload"];
    CommonToRun "C-R", "motor winding", state, ["c r", "c to r", "common to run", "cr", "run winding"];
    CommonToStart "C-S", "motor winding", state, ["c s", "c to s", "common to start", "cs", "start winding"];
    RunToStart "R-S", "motor winding", state, ["r s", "r to s", "run to start", "rs"];
}

impl Point {
    /// Its row.
    pub fn info(self) -> &'static PointInfo {
        &POINTS[self as usize]
    }

    /// Canonical name.
    pub fn name(self) -> &'static str {
        self.info().name
    }

    /// Two states the part is usually seen in, for examples in messages.
    pub fn usual_states(self) -> [&'static str; 2] {
        match self {
            Point::SightGlass => ["clear", "bubbles"],
            Point::Coil => ["clear", "iced"],
            Point::CondenserCoil | Point::Drain => ["clear", "blocked"],
            Point::Contactor
            | Point::Door
            | Point::HighPressureSwitch
            | Point::LowPressureSwitch
            | Point::Overload => ["closed", "open"],
            Point::CommonToRun | Point::CommonToStart | Point::RunToStart => ["open", "closed"],
            Point::Defrost | Point::Cooling => ["called", "off"],
            Point::Alarm => ["silenced", "off"],
            _ => ["on", "off"],
        }
    }

    /// True for points that each refrigerant circuit of a unit has of its own.
    pub fn is_of_circuit(self) -> bool {
        matches!(
            self,
            Point::Suction
                | Point::Discharge
                | Point::LiquidPressure
                | Point::OilPressure
                | Point::SuctionLine
                | Point::CompressorInlet
                | Point::DischargeLine
                | Point::CondenserOutlet
                | Point::LiquidLine
                | Point::AfterDrier
                | Point::Superheat
                | Point::Subcooling
                | Point::SightGlass
                | Point::Compressor
                | Point::CompressorCurrent
        )
    }

    /// True for points that stand for three conductors, one value each.
    pub fn has_legs(self) -> bool {
        matches!(
            self,
            Point::CompressorCurrent | Point::TotalCurrent | Point::HeaterCurrent
        ) || matches!(
            self,
            Point::SupplyVoltage | Point::EvapFanCurrent | Point::CondenserFanCurrent
        )
    }
}

/// Which conductor of a three-phase part, 1 to 3.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Leg(pub u8);

static BY_ALIAS: LazyLock<FxHashMap<String, Vec<Point>>> = LazyLock::new(|| {
    let mut map: FxHashMap<String, Vec<Point>> = FxHashMap::default();
    for info in POINTS {
        for name in
            std::iter::once(fold(info.name)).chain(info.aliases.iter().map(|&a| a.to_owned()))
        {
            let points = map.entry(name).or_default();
            if !points.contains(&info.point) {
                points.push(info.point);
            }
        }
    }
    map
});

/// Every point that a folded name may stand for: `heater` is a voltage, a current, a state ….
pub fn candidates(folded: &str) -> &'static [Point] {
    BY_ALIAS.get(folded).map_or(&[], Vec::as_slice)
}

/// A resolved point name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PointName {
    /// The points it may stand for; the unit or the state decides. Never empty.
    pub points: &'static [Point],
    /// Which one of several: `evap 2`, `circuit B`.
    pub which: Option<String>,
    /// Which conductor.
    pub leg: Option<Leg>,
}

/// Parts of which a unit may have several, so that a number after them is a name, not a value.
const NUMBERED: &[&str] = &[
    "evap",
    "evaporator",
    "comp",
    "compressor",
    "fan",
    "fans",
    "heater",
    "heaters",
    "circuit",
    "ckt",
    "stage",
    "contactor",
    "capacitor",
    "cap",
    "door",
    "case",
    "condenser",
    "cond",
    "coil",
    "system",
    "leg",
    "phase",
    "box",
    "product",
    "food",
];

/// True when a bare number after this word may tell which one rather than be a value.
pub fn is_numbered(word: &str) -> bool {
    NUMBERED.contains(&word)
}

/// Resolves a point name with its qualifiers: `evap 2 fan`, `circuit B suction`, `leg 3`.
///
/// Returns `None` when no point has that name.
pub fn resolve(name: &str) -> Option<PointName> {
    let folded = fold(name);
    let plain = candidates(&folded);
    if !plain.is_empty() {
        return Some(PointName {
            points: plain,
            which: None,
            leg: None,
        });
    }
    let words: Vec<&str> = folded.split(' ').collect();
    let mut rest: Vec<&str> = Vec::with_capacity(words.len());
    let mut which: Vec<String> = Vec::new();
    let mut leg = None;
    let mut i = 0;
    while i < words.len() {
        let word = words[i];
        let label = words.get(i + 1).copied().filter(|next| is_label(next));
        match (word, label) {
            ("leg" | "phase", Some(next)) => {
                leg = next
                    .trim_start_matches('l')
                    .parse()
                    .ok()
                    .filter(|n| (1..=3).contains(n))
                    .map(Leg);
                leg?;
                i += 2;
            }
            ("l1" | "l2" | "l3", _) => {
                leg = word[1..].parse().ok().map(Leg);
                i += 1;
            }
            ("circuit" | "ckt" | "system" | "stage", Some(next)) => {
                let kind = if word == "ckt" { "circuit" } else { word };
                which.push(format!("{kind} {}", next.to_uppercase()));
                i += 2;
            }
            (_, Some(next)) if is_numbered(word) => {
                let kind = match word {
                    "evaporator" => "evap",
                    "compressor" => "comp",
                    "fans" => "fan",
                    "heaters" => "heater",
                    "cond" => "condenser",
                    "cap" => "capacitor",
                    "food" => "product",
                    other => other,
                };
                which.push(format!("{kind} {}", next.to_uppercase()));
                rest.push(word);
                i += 2;
            }
            (
                "the" | "at" | "of" | "on" | "reads" | "reading" | "is" | "was" | "now" | "still"
                | "to",
                _,
            ) if i > 0 || word == "the" => i += 1,
            _ => {
                rest.push(word);
                i += 1;
            }
        }
    }
    // `evap 2 suction line` is the suction line of evaporator 2: the part's own word may be left out.
    let whole = rest.join(" ");
    let mut points = candidates(&whole);
    if points.is_empty() && !which.is_empty() && rest.len() > 1 && is_numbered(rest[0]) {
        points = candidates(&rest[1..].join(" "));
    }
    if points.is_empty() && leg.is_some() && rest.is_empty() {
        points = candidates("amps");
    }
    (!points.is_empty()).then(|| PointName {
        points,
        which: (!which.is_empty()).then(|| which.join(" ")),
        leg,
    })
}

fn is_label(word: &str) -> bool {
    (word.len() <= 2 && word.bytes().all(|b| b.is_ascii_digit()))
        || (word.len() == 1 && matches!(word.as_bytes()[0], b'a'..=b'd'))
        || matches!(word, "l1" | "l2" | "l3")
}

impl PointName {
    /// The candidate measured in `dimension`.
    pub fn measured_in(&self, dimension: Dimension) -> Option<Point> {
        self.points
            .iter()
            .copied()
            .find(|p| p.info().dimension == Some(dimension))
    }

    /// The candidate whose state is seen.
    pub fn seen(&self) -> Option<Point> {
        self.points
            .iter()
            .copied()
            .find(|p| p.info().dimension.is_none())
    }

    /// The candidate that any of these units can measure, with that unit.
    pub fn measured_by(&self, units: &[Unit]) -> Option<(Point, Unit)> {
        self.points.iter().find_map(|&point| {
            let dimension = point.info().dimension?;
            let unit = units.iter().copied().find(|u| u.dimension() == dimension)?;
            Some((point, unit))
        })
    }

    /// The measured candidates, for messages and for deciding a missing unit.
    pub fn measured(&self) -> impl Iterator<Item = Point> + '_ {
        self.points
            .iter()
            .copied()
            .filter(|p| p.info().dimension.is_some())
    }
}

#[cfg(test)]
mod tests {
    use super::super::{State, state};
    use super::*;
    use crate::quantity::lookup_unit;

    #[test]
    fn aliases_are_folded_and_never_shadow_a_unit_or_a_state() {
        for (row, info) in POINTS.iter().enumerate() {
            assert_eq!(row, info.point as usize, "{}", info.name);
            for alias in info.aliases {
                assert_eq!(*alias, fold(alias), "{}", info.name);
                assert!(
                    state(alias).is_none_or(|s| s == State::Alarm),
                    "{alias} is a state word"
                );
                let units = lookup_unit(alias);
                assert!(
                    units.is_empty()
                        || matches!(*alias, "current" | "amps" | "volts" | "meg" | "megohms"),
                    "{alias} is a unit"
                );
            }
        }
    }

    #[test]
    fn one_alias_never_names_two_points_of_one_dimension() {
        for (alias, points) in BY_ALIAS.iter() {
            for (i, a) in points.iter().enumerate() {
                for b in &points[i + 1..] {
                    assert_ne!(
                        a.info().dimension,
                        b.info().dimension,
                        "{alias}: {a:?} and {b:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_winding_is_measured_or_found_open() {
        let winding = resolve("C-R").expect("a point");
        assert_eq!(winding.seen(), Some(Point::CommonToRun));
        assert_eq!(
            winding.measured_in(Dimension::Resistance),
            Some(Point::WindingCR)
        );
        assert_eq!(state("OL"), Some(State::Open));
        assert_eq!(state("over-range"), Some(State::Open));
    }

    #[test]
    fn a_display_is_not_the_box() {
        let points = |name: &str| resolve(name).expect("a point").points.to_vec();
        assert_eq!(points("box display"), [Point::Display]);
        assert_eq!(points("box"), [Point::Box]);
    }
}
