//! Faults a technician may name in a `cause` line, and what would show each of them.

use super::phrases::Phrases;
use super::{Point, fold};
use serde::Serialize;
use std::sync::LazyLock;

/// A fault of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "each variant is documented by its row's name")]
pub enum Fault {
    LiquidLineRestriction,
    Undercharge,
    Overcharge,
    CondenserAirflow,
    EvaporatorAirflow,
    IcedCoil,
    MeteringUnderfeed,
    MeteringOverfeed,
    CompressorWeak,
    NonCondensables,
    ContactsClosed,
    ContactsOpen,
    OpenHeater,
    SinglePhasing,
    VoltageUnbalance,
    WeakCapacitor,
    OpenWinding,
    FanFailed,
    ControlFault,
    DoorOrLoad,
    LowLoad,
    Floodback,
    OtherRefrigerant,
    DefrostNotStarting,
    DefrostNotEnding,
    StalledMotor,
}

/// One row of the table.
#[derive(Debug)]
pub struct FaultInfo {
    /// Which fault.
    pub fault: Fault,
    /// Its name in the trade.
    pub name: &'static str,
    /// Each inner list is a phrase all of whose words must be in the cause line.
    pub phrases: &'static [&'static [&'static str]],
    /// Readings any of which would speak for or against it.
    pub shown_by: &'static [Point],
}

macro_rules! faults {
    ($($fault:ident $name:literal [$([$($word:literal),*]),* $(,)?] [$($point:ident),*];)*) => {
        /// Every fault recognised in a cause line, the more specific first.
        pub static FAULTS: &[FaultInfo] = &[$(FaultInfo {
            fault: Fault::$fault,
            name: $name,
            phrases: &[$(&[$($word),*]),*],
            shown_by: &[$(Point::$point),*],
        }),*];
    };
}

faults! {
    LiquidLineRestriction "liquid-line restriction" [["drier", "restricted"], ["drier", "blocked"], ["drier", "plugged"], ["liquid", "restriction"], ["restricted", "liquid"], ["solenoid", "closed"]] [AfterDrier, LiquidLine, SightGlass, Suction];
    Undercharge "undercharge" [["undercharge"], ["undercharged"], ["low", "charge"], ["leak"], ["low", "refrigerant"], ["short", "refrigerant"], ["out", "gas"]] [Suction, LiquidLine, SuctionLine, SightGlass, Discharge];
    Overcharge "overcharge" [["overcharge"], ["overcharged"], ["too", "much", "refrigerant"]] [Discharge, LiquidLine];
    CondenserAirflow "condenser airflow" [["condenser", "dirty"], ["dirty", "condenser"], ["condenser", "blocked"], ["condenser", "plugged"], ["condenser", "fan"], ["condenser", "airflow"]] [Discharge, CondenserAirOut, Ambient, CondenserFan, CondenserFanCurrent, CondenserCoil];
    DefrostNotEnding "defrost not ending" [["defrost", "not", "ending"], ["defrost", "not", "terminating"], ["stuck", "defrost"], ["defrost", "termination"], ["heaters", "stay", "on"], ["heaters", "stuck", "on"]] [Defrost, HeaterCurrent, HeaterVoltage, Box];
    DefrostNotStarting "defrost not starting" [["defrost", "not", "starting"], ["no", "defrost"], ["defrost", "never"], ["missed", "defrost"], ["defrost", "timer"], ["defrost", "clock"]] [Defrost, HeaterCurrent, HeaterVoltage, Coil];
    OtherRefrigerant "another refrigerant" [["wrong", "refrigerant"], ["mixed", "refrigerant"], ["mixed", "refrigerants"], ["other", "refrigerant"]] [Suction, Discharge, LiquidLine, SuctionLine];
    StalledMotor "compressor motor stalled" [["locked", "rotor"], ["compressor", "seized"], ["compressor", "stalled"], ["compressor", "locked"]] [Compressor, CompressorCurrent, CompressorVoltage];
    IcedCoil "iced coil" [["defrost"], ["iced"], ["ice", "coil"]] [Coil, Defrost, HeaterCurrent, HeaterVoltage, ReturnAir, SupplyAir, Suction];
    EvaporatorAirflow "evaporator airflow" [["evaporator", "fan"], ["evap", "fan"], ["dirty", "filter"], ["filter", "plugged"], ["airflow"], ["blower"]] [EvapFan, EvapFanCurrent, EvapFanVoltage, ReturnAir, SupplyAir, StaticPressure, Suction];
    MeteringUnderfeed "metering underfeed" [["txv", "starving"], ["valve", "underfeeding"], ["txv", "stuck"], ["expansion", "valve"], ["cap", "tube"], ["txv"]] [Suction, SuctionLine, LiquidLine];
    Floodback "liquid returning to the compressor" [["floodback"], ["flood", "back"], ["liquid", "compressor"], ["slugging"]] [SuctionLine, CompressorInlet, Sump, DischargeLine];
    MeteringOverfeed "metering overfeed" [["overfeeding"], ["flooding"]] [Suction, SuctionLine, CompressorInlet];
    CompressorWeak "compressor not pumping" [["compressor", "valves"], ["weak", "compressor"], ["not", "pumping"], ["compressor", "failed"]] [Suction, Discharge, CompressorCurrent];
    NonCondensables "non-condensables" [["non", "condensables"], ["air", "in", "system"], ["noncondensables"]] [Discharge, Ambient, LiquidLine];
    SinglePhasing "single phasing" [["single", "phasing"], ["lost", "phase"], ["phase", "loss"], ["lost", "leg"], ["blown", "fuse"]] [L1L2, L2L3, L1L3, T1T2, T2T3, T1T3, CompressorCurrent];
    VoltageUnbalance "voltage unbalance" [["unbalance"], ["imbalance"], ["unbalanced"]] [L1L2, L2L3, L1L3];
    WeakCapacitor "weak capacitor" [["capacitor"]] [RunCapacitor, StartCapacitor];
    ContactsClosed "contacts held closed" [["welded"], ["contacts", "stuck"], ["contactor", "stuck"], ["stuck", "closed"]] [CoilVoltage, CompressorCurrent, HeaterCurrent, Contactor];
    ContactsOpen "contact open" [["contactor"], ["contact", "burnt"], ["burnt", "contact"], ["pitted"]] [CoilVoltage, CoilResistance, T1T2, T2T3, T1T3, ContactDrop, CompressorCurrent, Contactor];
    OpenHeater "open heater" [["heater"], ["heaters"], ["element"]] [HeaterCurrent, HeaterVoltage, HeaterResistance];
    OpenWinding "motor winding" [["winding"], ["windings"], ["shorted"], ["grounded"], ["burned", "out"], ["burnt", "out"]] [WindingCR, WindingCS, WindingRS, Insulation, CompressorCurrent];
    FanFailed "fan motor" [["fan"], ["fan", "motor"]] [EvapFan, EvapFanCurrent, EvapFanVoltage, CondenserFan, CondenserFanCurrent, CondenserFanVoltage];
    ControlFault "control or sensor" [["thermostat"], ["sensor"], ["control", "board"], ["controller"], ["probe"]] [SetPoint, Box, ControlVoltage, CoilVoltage, SwitchVoltage];
    LowLoad "low load" [["low", "load"], ["no", "load"], ["satisfied"]] [Box, ReturnAir, SupplyAir, Suction];
    DoorOrLoad "door or load" [["door"], ["gasket"], ["warm", "product"], ["load"]] [Box, Product, Door, ReturnAir];
}

static PHRASES: LazyLock<Phrases<usize>> =
    LazyLock::new(|| Phrases::new(FAULTS.iter().enumerate().map(|(i, row)| (i, row.phrases))));

/// The fault that a cause line names, the first row that fits.
///
/// A clause that denies (`not a leak`, `low charge ruled out`) names none.
pub fn recognise(text: &str) -> Option<&'static FaultInfo> {
    let denies = |clause: &str| {
        let folded = fold(clause);
        let first = folded.split(' ').next().unwrap_or("");
        matches!(first, "not" | "no" | "never") || folded.contains("ruled out")
    };
    let stated: Vec<&str> = text
        .split([',', ';', '.'])
        .flat_map(|c| c.split(" but "))
        .filter(|clause| !denies(clause))
        .collect();
    PHRASES
        .found_in(&stated.join(" "))
        .next()
        .map(|row| &FAULTS[row])
}
