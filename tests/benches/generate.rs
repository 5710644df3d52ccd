//! Job notes by the thousand, always the same ones: what a folder of some years looks like.
//!
//! A note is chosen by a seed and its index alone. Pressures follow from the temperatures by the
//! embedded saturation data, so that superheat, subcooling, TD and split come out as the fault
//! would have them. About one note in ten has a line with an error, about three in ten have advice;
//! most have warnings, since a call without a fault is rare.

use rimebook::quantity::{AbsolutePressure, Temperature};
use rimebook::refrigerant::{Refrigerant, lookup};
use std::fmt::Write as _;

/// A small generator of numbers (split-mix): good enough to choose words, and ours to keep.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    fn between(&mut self, low: i32, high: i32) -> i32 {
        low + self.below((high - low + 1) as usize) as i32
    }

    fn around(&mut self, middle: f64, spread: f64) -> f64 {
        middle + spread * (self.below(2001) as f64 / 1000.0 - 1.0)
    }

    fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// A kind of equipment, with the temperatures at which it runs when nothing is wrong.
struct Kind {
    tag: &'static str,
    name: &'static str,
    contents: &'static str,
    refrigerants: &'static [&'static str],
    metering: &'static str,
    receiver: bool,
    /// Set point and evaporating temperature, F.
    set: i32,
    evaporating: f64,
    superheat: f64,
    /// Line voltage, three-phase, rated current, heater watts (0: none).
    volts: i32,
    three_phase: bool,
    rla: f64,
    heater: i32,
    /// Charge, oz.
    charge: i32,
    /// The air reading of this kind.
    air: &'static str,
}

const KINDS: &[Kind] = &[
    Kind {
        tag: "WIC",
        name: "walk-in cooler",
        contents: "vegetables and dairy",
        refrigerants: &["R-134a", "R-449A", "R-513A", "R-404A"],
        metering: "txv, receiver",
        receiver: true,
        set: 36,
        evaporating: 25.0,
        superheat: 8.0,
        volts: 208,
        three_phase: false,
        rla: 12.4,
        heater: 0,
        charge: 176,
        air: "box",
    },
    Kind {
        tag: "WIF",
        name: "walk-in freezer",
        contents: "frozen meals",
        refrigerants: &["R-448A", "R-449A", "R-404A", "R-407A"],
        metering: "txv, receiver",
        receiver: true,
        set: -5,
        evaporating: -16.0,
        superheat: 6.0,
        volts: 208,
        three_phase: true,
        rla: 14.8,
        heater: 3600,
        charge: 304,
        air: "box",
    },
    Kind {
        tag: "ICC",
        name: "ice cream case, low temp",
        contents: "ice cream",
        refrigerants: &["R-448A", "R-404A"],
        metering: "eev, receiver",
        receiver: true,
        set: -12,
        evaporating: -25.0,
        superheat: 6.0,
        volts: 460,
        three_phase: true,
        rla: 9.6,
        heater: 2400,
        charge: 448,
        air: "case",
    },
    Kind {
        tag: "PREP",
        name: "prep table refrigerator",
        contents: "sliced food",
        refrigerants: &["R-134a", "R-290", "R-513A"],
        metering: "cap tube",
        receiver: false,
        set: 37,
        evaporating: 22.0,
        superheat: 12.0,
        volts: 115,
        three_phase: false,
        rla: 6.2,
        heater: 0,
        charge: 5,
        air: "box",
    },
    Kind {
        tag: "RTU",
        name: "rooftop air conditioner",
        contents: "nothing, comfort cooling",
        refrigerants: &["R-410A", "R-32", "R-454B", "R-407C"],
        metering: "txv, no receiver",
        receiver: false,
        set: 72,
        evaporating: 41.0,
        superheat: 10.0,
        volts: 460,
        three_phase: true,
        rla: 13.7,
        heater: 0,
        charge: 208,
        air: "return air",
    },
    Kind {
        tag: "SPL",
        name: "split air conditioner, server room",
        contents: "servers",
        refrigerants: &["R-410A", "R-22", "R-407C"],
        metering: "fixed orifice",
        receiver: false,
        set: 70,
        evaporating: 40.0,
        superheat: 12.0,
        volts: 230,
        three_phase: false,
        rla: 16.3,
        heater: 0,
        charge: 128,
        air: "return air",
    },
];

/// What is wrong, and how the readings move by it, F.
struct Fault {
    complaint: &'static str,
    seen: &'static str,
    cause: &'static str,
    evaporating: f64,
    superheat: f64,
    split: f64,
    subcooling: f64,
    air: f64,
    repairs: &'static [&'static str],
    /// The refrigerant circuit was opened.
    opened: bool,
    electrical: Electrical,
}

#[derive(Clone, Copy, PartialEq)]
enum Electrical {
    Nothing,
    ContactsClosed,
    HeaterOpen,
    Capacitor,
}

const FAULTS: &[Fault] = &[
    Fault {
        complaint: "warm since the morning, unit on the roof is loud",
        seen: "condenser dirty, fins matted with lint on the whole face",
        cause: "condenser dirty, air cannot pass",
        evaporating: 3.0,
        superheat: 0.0,
        split: 27.0,
        subcooling: -2.0,
        air: 8.0,
        repairs: &[
            "cleaned condenser with brush and coil cleaner from the inside out",
            "straightened bent fins on the lower third",
        ],
        opened: false,
        electrical: Electrical::Nothing,
    },
    Fault {
        complaint: "does not come down to its setting, runs day and night",
        seen: "oil spot under the flare at the liquid line, coil frosted on the first third only",
        cause: "leak at a flare nut, unit undercharged",
        evaporating: -11.0,
        superheat: 22.0,
        split: -6.0,
        subcooling: -6.5,
        air: 10.0,
        repairs: &["fitted 1 flare nut and a new flare, 3/8"],
        opened: true,
        electrical: Electrical::Nothing,
    },
    Fault {
        complaint: "warm and bubbles in the glass, was topped up last year",
        seen: "frost on the drier outlet, rest of the liquid line warm",
        cause: "liquid line filter drier restricted",
        evaporating: -12.0,
        superheat: 20.0,
        split: -4.0,
        subcooling: 5.0,
        air: 9.0,
        repairs: &["fitted 1 filter-drier, 3/8 flare"],
        opened: true,
        electrical: Electrical::Nothing,
    },
    Fault {
        complaint: "ice on the fan guard and hardly any air",
        seen: "heavy ice on the coil from top to bottom, fan blade touching it",
        cause: "defrost heater open, coil iced solid",
        evaporating: -10.0,
        superheat: -3.0,
        split: -5.0,
        subcooling: 0.0,
        air: 11.0,
        repairs: &[
            "thawed coil with warm air and a hose, drain is open",
            "fitted 1 defrost heater element with its clips",
        ],
        opened: false,
        electrical: Electrical::HeaterOpen,
    },
    Fault {
        complaint: "never stops, colder than its setting, electricity bill doubled",
        seen: "burnt contact on the middle pole of the contactor, wire discoloured",
        cause: "contactor contacts welded",
        evaporating: -4.0,
        superheat: 0.0,
        split: 0.0,
        subcooling: 0.0,
        air: -3.0,
        repairs: &[
            "fitted 1 contactor 3 pole 40 A, 24 V coil",
            "tightened all power terminals",
        ],
        opened: false,
        electrical: Electrical::ContactsClosed,
    },
    Fault {
        complaint: "trips on hot afternoons, restarts after half an hour",
        seen: "condenser fan turning slowly, blade warm at the hub",
        cause: "run capacitor of the condenser fan weak",
        evaporating: 2.0,
        superheat: 1.0,
        split: 20.0,
        subcooling: -2.0,
        air: 5.0,
        repairs: &["fitted 1 run capacitor 7.5 uF"],
        opened: false,
        electrical: Electrical::Capacitor,
    },
];

const CUSTOMERS: &[&str] = &[
    "Kettle Lane Bakery",
    "Ostrich & Plum Grocers",
    "Heron Bank School Kitchen",
    "Thistledown Dairy Bar",
    "Saltmarsh Fish Store",
    "Copperfield Hall",
    "Larkmere Print Works",
    "Millgate Community Fridge",
];
const SITES: &[&str] = &[
    "7 Sluice Road, Wexholm, back yard",
    "31 Tannery Steps, Saltreach",
    "1 Plateau Way, Coldwater Flats",
    "Unit 5, Old Ropewalk, Larkmere",
    "12 Gander Street, Ashmoor, roof by the hatch",
];
const NAMES: &[&str] = &[
    "Ines K.", "Tomas B.", "Wen L.", "Olu M.", "Priya D.", "Marek S.",
];
const REMARKS: &[&str] = &[
    "saw door gasket good all round, hinges tight",
    "saw drain line clear and its trap full",
    "saw a tidy panel, wiring diagram still inside the door",
    "heard nothing unusual at the compressor",
    "felt even cold over the face of the coil",
    "told the lead on shift what was done and what was measured before and after",
    "told the manager to keep the door shut until evening",
    "advise soon: door heater cable is split at the lower hinge",
    "advise later: clear the shelf in front of the coil, boxes stand in the air",
    "advise later: have the condenser looked at before the summer",
    "private access code has changed, ask at the desk",
    "private the lead would like a price for a second unit",
    "photo rating plate",
    "photo panel after the work",
    "approved by the lead on shift",
    "# asked about last winter: nobody remembers a repair",
    "# gauges zeroed, clamp checked on the van's own lead",
    "saw the coil face clean, no lint on the entering side",
    "saw pipe insulation complete up to the wall",
    "saw no rub marks where the lines cross",
    "saw the fan guards in place, all screws there",
    "saw the condensing unit level on its feet",
    "saw strip curtain with two strips missing",
    "heard the solenoid valve click when the control calls",
    "heard the fans start one after the other, no squeal",
    "felt the compressor body warm, not hot",
    "felt no draught at the door frame",
    "smelled nothing at the panel",
    "noted display and hand thermometer agree",
    "noted spare fuses are kept in the panel door",
    "told the cook that the alarm may sound once during pull-down",
    "told the desk that the roof hatch is closed again",
    "told the caretaker where the disconnect is",
    "advise soon: replace two missing strips of the curtain",
    "advise later: label the disconnect, it carries no name",
    "advise later: a second hasp on the gate, it stands open",
    "photo condensing unit from the side",
    "photo coil after the work",
    "private bring the long ladder next time",
    "private parking is only for twenty minutes",
    "private the last filter in the van was used here",
    "# asked for the log book, none is kept",
    "# clock of the controller is an hour slow",
    "# rain started while packing up",
    "noted the roof ladder stands in the paper store",
];

/// Temperatures and pressures as one technician writes them.
#[derive(Clone, Copy)]
struct Scale {
    metric: bool,
}

impl Scale {
    fn temperature(self, fahrenheit: f64) -> String {
        if self.metric {
            format!("{:.1} C", (fahrenheit - 32.0) / 1.8)
        } else {
            format!("{fahrenheit:.0} F")
        }
    }

    fn pressure(self, pressure: AbsolutePressure) -> String {
        let gauge = pressure.psi() - 14.696;
        if self.metric {
            format!("{:.2} bar", gauge * 0.068_947_57)
        } else if gauge < 0.0 {
            format!("{:.1} inHg", -gauge * 2.036)
        } else if gauge < 100.0 {
            format!("{gauge:.1} psig")
        } else {
            format!("{gauge:.0} psig")
        }
    }

    fn mass(self, ounces: i32) -> String {
        let grams = f64::from(ounces) * 28.349_523;
        match (self.metric, ounces) {
            (true, ..16) => format!("{grams:.0} g"),
            (true, _) => format!("{:.2} kg", grams / 1000.0),
            (false, ..16) => format!("{ounces} oz"),
            (false, _) => format!("{} lb {} oz", ounces / 16, ounces % 16),
        }
    }
}

struct Writer<'a> {
    text: String,
    numbers: Numbers,
    kind: &'a Kind,
    fault: &'a Fault,
    refrigerant: &'static Refrigerant,
    scale: Scale,
    minutes: i32,
    ambient: f64,
    /// Lines to slip in, one at each chance: the mistakes of this note.
    mistakes: Vec<&'static str>,
    /// Remarks not made yet: none is made twice.
    remarks: Vec<&'static str>,
}

impl Writer<'_> {
    fn line(&mut self, text: &str) {
        self.minutes += self.numbers.between(1, 4);
        let (hour, minute) = (self.minutes / 60, self.minutes % 60);
        let _ = writeln!(self.text, "{hour:02}{minute:02} {text}");
    }

    fn head(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.text, "{key}: {value}");
    }

    fn pressure(&self, fahrenheit: f64, liquid: bool) -> String {
        let temperature = Temperature::from_fahrenheit(fahrenheit);
        let pressure = if liquid {
            self.refrigerant.bubble_pressure(temperature)
        } else {
            self.refrigerant.dew_pressure(temperature)
        };
        self.scale
            .pressure(pressure.unwrap_or_else(|_| AbsolutePressure::from_psi(60.0)))
    }

    /// The cycle readings, with the whole fault (1), part of it, or none (0).
    fn cycle(&mut self, share: f64) {
        let f = |value: f64| value * share;
        let kind = self.kind;
        let fault = self.fault;
        let evaporating = kind.evaporating + f(fault.evaporating);
        let superheat = (kind.superheat + f(fault.superheat)).max(0.6);
        let condensing = self.ambient + 20.0 + f(fault.split);
        let subcooling = if kind.receiver { 6.0 } else { 10.0 } + f(fault.subcooling);
        let air = f64::from(kind.set) + 1.0 + f(fault.air);
        let suction = self.pressure(evaporating, false);
        let high = self.pressure(condensing, true);
        let scale = self.scale;
        let line = scale.temperature(evaporating + superheat);
        let liquid = condensing - subcooling;
        self.line(&format!(
            "suction {suction}, suction line {line}, {} {}",
            kind.air,
            scale.temperature(air)
        ));
        let ambient = scale.temperature(self.ambient);
        self.line(&format!(
            "discharge {high}, liquid line {}, ambient {ambient}",
            scale.temperature(liquid)
        ));
        if fault.cause.contains("drier") {
            let drop = f(9.0) + 0.6;
            self.line(&format!(
                "liquid line {}, after drier {}",
                scale.temperature(liquid),
                scale.temperature(liquid - drop)
            ));
        }
        let comfort = kind.set > 60;
        if comfort {
            self.line(&format!(
                "supply air {}, return air {}",
                scale.temperature(air - 19.0 + f(4.0)),
                scale.temperature(air)
            ));
        } else {
            let glass = if f(fault.subcooling.abs()) > 4.0 {
                "bubbles"
            } else {
                "clear"
            };
            self.line(&format!("sight glass {glass}, evap fan running"));
        }
    }

    fn supply(&mut self, share: f64) {
        let volts = self.kind.volts;
        let amps = self.kind.rla
            * self.numbers.around(
                0.72 + 0.2 * share * f64::from(self.fault.split > 10.0),
                0.03,
            );
        if self.kind.three_phase {
            let (a, b, c) = (
                self.numbers.between(-2, 2),
                self.numbers.between(-2, 2),
                self.numbers.between(-1, 1),
            );
            self.line(&format!(
                "L1-L2 {} V, L2-L3 {} V, L1-L3 {} V, compressor {:.1} / {:.1} / {:.1} A",
                volts + a,
                volts + b,
                volts + c,
                amps,
                amps + 0.2,
                amps - 0.1
            ));
        } else {
            let sag = self.numbers.between(-3, 2);
            self.line(&format!("supply {} V, compressor {amps:.1} A", volts + sag));
        }
    }

    fn electrical(&mut self, share: f64) {
        let broken = share > 0.5;
        let volts = self.kind.volts;
        match self.fault.electrical {
            Electrical::Nothing => {}
            Electrical::ContactsClosed if broken => {
                let amps = self.kind.rla * 0.7;
                self.line(&format!(
                    "contactor coil 0 V, compressor {amps:.1} A, cooling not called"
                ));
            }
            Electrical::ContactsClosed => {
                self.line("contactor coil 24.8 V, contactor pulled in, control voltage 25.6 V")
            }
            Electrical::HeaterOpen if self.kind.heater == 0 => {}
            Electrical::HeaterOpen => {
                let amps = if broken {
                    0.0
                } else {
                    f64::from(self.kind.heater) / f64::from(volts)
                };
                self.line(&format!(
                    "defrost called, heater {volts} V, heater {amps:.1} A"
                ));
            }
            Electrical::Capacitor => {
                let measured = if broken { 6.4 } else { 7.5 };
                self.line(&format!("run capacitor {measured:.1} uF"));
            }
        }
    }

    fn remark(&mut self) {
        let drawn = self.numbers.below(self.remarks.len());
        let remark = self.remarks.swap_remove(drawn);
        match remark.strip_prefix('#') {
            Some(_) => {
                self.text.push_str(remark);
                self.text.push('\n');
            }
            None => self.line(remark),
        }
        if self.numbers.chance(40)
            && let Some(mistake) = self.mistakes.pop()
        {
            self.line(mistake);
        }
    }

    fn look(&mut self) {
        let seen = self.fault.seen;
        self.line(&format!("saw {seen}"));
        if self.numbers.chance(30) {
            self.text
                .push_str("  the rest of the unit looks as it should\n");
        }
    }

    fn repair(&mut self) {
        self.line("locked out main disconnect, tested dead");
        let scale = self.scale;
        let charge = self.kind.charge;
        let own = self.refrigerant.name;
        let cylinder = self.numbers.between(100, 180);
        let rest = charge * self.numbers.between(45, 75) / 100;
        if self.fault.opened {
            let out = scale.mass(rest);
            self.minutes += 25;
            self.line(&format!("recovered {out} {own} into R-{cylinder}"));
        }
        for repair in self.fault.repairs {
            self.minutes += 10;
            self.line(repair);
        }
        if self.fault.opened {
            let (first, later) = (scale.temperature(70.0), scale.temperature(72.0));
            let (high, after) = if scale.metric {
                ("10.00 bar", "10.04 bar")
            } else {
                ("150.0 psig", "150.6 psig")
            };
            self.line(&format!("hold nitrogen {high} at {first}"));
            self.minutes += 30;
            self.line(&format!("hold nitrogen {after} at {later}"));
            let deep = self.numbers.between(220, 320);
            self.minutes += 25;
            self.line(&format!("vacuum {deep} micron"));
            self.minutes += 10;
            self.line(&format!("vacuum {} micron, isolated", deep + 40));
            self.minutes += 10;
            self.line(&format!("vacuum {} micron, isolated", deep + 60));
            let (back, fresh) = (scale.mass(rest), scale.mass(charge - rest));
            self.line(&format!("added {back} {own} from R-{cylinder}"));
            self.line(&format!("added {fresh} {own} from B-{}", cylinder - 60));
        }
        self.line("lock off main disconnect");
    }
}

const ERRORS: &[&str] = &[
    "suctoin 24.1 psig",
    "suction 31 F",
    "arrivd back from the van",
    "compresor 7.2 A",
    "heater 3.9",
    "liquid line 84 pisg",
    "added some from the small bottle",
    "31 box",
    "vaccum pump on",
];
const ADVICE: &[&str] = &[
    "condenser air out 98",
    "product 38 was the warmest",
    "condenser air out 97,5 F",
    "compressor shell 142",
    "sump 118 still warm",
    "compressor inlet 58",
];

/// The note number `index` of the folder `seed`.
pub fn generate(seed: u64, index: u64) -> String {
    let mut numbers = Numbers(seed ^ index.wrapping_mul(0xD1B5_4A32_D192_ED03));
    numbers.next();
    let kind = &KINDS[numbers.below(KINDS.len())];
    let fault = &FAULTS[numbers.below(FAULTS.len())];
    let refrigerant = lookup(numbers.pick(kind.refrigerants)).expect("carried");
    let scale = Scale {
        metric: numbers.chance(20),
    };
    let visits = match numbers.below(10) {
        0 => 3,
        1..=3 => 2,
        _ => 1,
    };
    let target = 1900 + numbers.below(300);
    let mut mistakes = Vec::new();
    if numbers.chance(10) {
        mistakes.push(numbers.pick(ERRORS));
    }
    if numbers.chance(30) {
        mistakes.push(numbers.pick(ADVICE));
    }
    let ambient = numbers.around(80.0, 10.0).round();
    let minutes = 60 * numbers.between(7, 11) + numbers.between(0, 59);
    let (month, day) = (numbers.between(1, 12), numbers.between(1, 24));
    let year = 2024 + numbers.below(3);
    let number = 1000 + index;
    let mut note = Writer {
        text: String::with_capacity(target + 128),
        numbers,
        kind,
        fault,
        refrigerant,
        scale,
        minutes,
        ambient,
        mistakes,
        remarks: REMARKS.to_vec(),
    };
    head(&mut note, number);
    for visit in 0..visits {
        let name = note.numbers.pick(NAMES);
        note.minutes = note.minutes.min(15 * 60) - 20 * visit;
        let _ = writeln!(
            note.text,
            "\nvisit {year}-{month:02}-{:02} {name}",
            day + visit
        );
        // The last visit repairs and proves; those before it find the fault and leave something open.
        let repairs = visit + 1 == visits;
        if visit == 0 {
            let travel = note.numbers.between(15, 50);
            note.line(&format!("travel {travel} min"));
        }
        note.line("arrive");
        if visit == 0 {
            note.look();
            note.cycle(1.0);
            note.supply(1.0);
            note.electrical(1.0);
            let cause = note.fault.cause;
            note.line(&format!("cause {cause}"));
        }
        if repairs {
            note.repair();
            note.minutes += 30;
            note.cycle(0.0);
            note.supply(0.0);
            note.electrical(0.0);
            if visits > 1 {
                note.line("restored high temperature alarm");
            }
            // What is left to say fills the note up to its length.
            while note.text.len() + 60 < target && !note.remarks.is_empty() {
                note.remark();
            }
            while let Some(mistake) = note.mistakes.pop() {
                note.line(mistake);
            }
        } else if visit == 0 {
            note.line("left high temperature alarm silenced until the part is here");
            note.line("told the lead on shift that this holds only for some days");
        } else {
            note.cycle(0.7);
            note.line("told the lead on shift that the part comes tomorrow");
        }
        note.line("depart");
    }
    note.text
}

fn head(note: &mut Writer<'_>, number: u64) {
    let customer = note.numbers.pick(CUSTOMERS);
    let site = note.numbers.pick(SITES);
    let unit = note.numbers.between(1, 9);
    let kind = note.kind;
    note.head("job", &number.to_string());
    note.head("customer", customer);
    note.head("site", site);
    note.head("unit", &format!("{}-{unit}, {}", kind.tag, kind.name));
    let charge = note.scale.mass(kind.charge);
    note.head(
        "refrigerant",
        &format!("{}, {charge}", note.refrigerant.name),
    );
    note.head("metering", kind.metering);
    let phases = if kind.three_phase { 3 } else { 1 };
    let mut plate = format!(
        "{} V {phases} ph, rla {:.1} A, control 24 V, capacitor 7.5 uF",
        kind.volts, kind.rla
    );
    if kind.heater > 0 {
        let _ = write!(plate, ", heaters {} W", kind.heater);
    }
    note.head("nameplate", &plate);
    let set = note.scale.temperature(f64::from(kind.set));
    note.head("setpoint", &set);
    note.head("contents", kind.contents);
    let complaint = note.fault.complaint;
    note.head("complaint", complaint);
}
