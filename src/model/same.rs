//! Whether two jobs say the same: what a canonical form may change, and what it may not.

use super::{
    Cylinder, Entry, EntryKind, FoodPlan, Job, Metering, Nameplate, Reading, Transfer, Unit, Value,
    Visit,
};
use crate::refrigerant::Refrigerant;
use crate::source::Spanned;

impl Job {
    /// True when another job says the same: the same head, visits, entries and readings, in the same
    /// order and at the same times.
    ///
    /// Places in the text do not count, nor do the spellings of values and units: `4.20 psi` is
    /// `4.20 psig`, but not `4.2 psig`, which was read to another digit.
    pub fn says_the_same_as(&self, other: &Job) -> bool {
        let a = self;
        let b = other;
        nodes(&a.number, &b.number)
            && nodes(&a.customer, &b.customer)
            && nodes(&a.site, &b.site)
            && nodes(&a.contact, &b.contact)
            && nodes(&a.order, &b.order)
            && nodes(&a.complaint, &b.complaint)
            && nodes(&a.contents, &b.contents)
            && nodes(&a.access, &b.access)
            && unit(&a.unit, &b.unit)
            && food(&a.food, &b.food)
            && each(&a.other, &b.other, |a, b| {
                a.0.node == b.0.node && a.1.node == b.1.node
            })
            && texts(&a.instruments, &b.instruments)
            && each(&a.cylinders, &b.cylinders, cylinder)
            && each(&a.visits, &b.visits, visit)
            && texts(&a.unused, &b.unused)
            && a.display == b.display
    }
}

fn each<T>(a: &[T], b: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
}

fn nodes<T: PartialEq>(a: &Option<Spanned<T>>, b: &Option<Spanned<T>>) -> bool {
    a.as_ref().map(|a| &a.node) == b.as_ref().map(|b| &b.node)
}

fn texts(a: &[Spanned<String>], b: &[Spanned<String>]) -> bool {
    each(a, b, |a, b| a.node == b.node)
}

fn refrigerant(a: Option<&Refrigerant>, b: Option<&Refrigerant>) -> bool {
    a.map(|r| r.name) == b.map(|r| r.name)
}

fn unit(a: &Unit, b: &Unit) -> bool {
    nodes(&a.tag, &b.tag)
        && nodes(&a.model, &b.model)
        && nodes(&a.serial, &b.serial)
        && refrigerant(a.refrigerant.map(|r| r.node), b.refrigerant.map(|r| r.node))
        && nodes(&a.refrigerant_written, &b.refrigerant_written)
        && nodes(&a.charge, &b.charge)
        && metering(&a.metering, &b.metering)
        && nameplate(&a.nameplate, &b.nameplate)
        && a.displacement == b.displacement
        && a.mass_flow_rating == b.mass_flow_rating
        && a.power_rating == b.power_rating
        && nodes(&a.set_point, &b.set_point)
        && a.atmosphere == b.atmosphere
        && a.design_td == b.design_td
        && a.design_split == b.design_split
        && a.design_ambient == b.design_ambient
        && a.head_pressure_hold == b.head_pressure_hold
        && a.target_superheat == b.target_superheat
        && a.target_subcooling == b.target_subcooling
        && a.jurisdiction == b.jurisdiction
        && a.appliance == b.appliance
        && a.leak_detection == b.leak_detection
        && a.sealed == b.sealed
        && a.healthy == b.healthy
}

fn metering(a: &Metering, b: &Metering) -> bool {
    nodes(&a.written, &b.written) && a.expansion == b.expansion && a.receiver == b.receiver
}

fn nameplate(a: &Nameplate, b: &Nameplate) -> bool {
    nodes(&a.written, &b.written)
        && a.volts == b.volts
        && a.phases == b.phases
        && a.rla == b.rla
        && a.heaters == b.heaters
        && a.heater_volts == b.heater_volts
        && a.capacitor == b.capacitor
        && a.control_volts == b.control_volts
        && a.displacement == b.displacement
}

fn food(a: &FoodPlan, b: &FoodPlan) -> bool {
    nodes(&a.limit, &b.limit) && a.hours == b.hours
}

fn cylinder(a: &Cylinder, b: &Cylinder) -> bool {
    a.label.node == b.label.node
        && refrigerant(a.refrigerant, b.refrigerant)
        && a.water_capacity == b.water_capacity
        && a.tare == b.tare
        && a.holds == b.holds
}

fn visit(a: &Visit, b: &Visit) -> bool {
    a.date == b.date && texts(&a.technicians, &b.technicians) && each(&a.entries, &b.entries, entry)
}

fn entry(a: &Entry, b: &Entry) -> bool {
    a.at == b.at && a.phase == b.phase && kind(&a.kind, &b.kind)
}

fn kind(a: &EntryKind, b: &EntryKind) -> bool {
    use EntryKind as Kind;
    if std::mem::discriminant(a) != std::mem::discriminant(b) || a.text() != b.text() {
        return false;
    }
    match (a, b) {
        (Kind::Readings(a), Kind::Readings(b)) => each(a, b, reading),
        (
            Kind::Observation { sense, signs, .. },
            Kind::Observation {
                sense: other_sense,
                signs: other_signs,
                ..
            },
        ) => sense == other_sense && signs == other_signs,
        (Kind::Cause { fault, .. }, Kind::Cause { fault: other, .. }) => {
            fault.map(|f| f.fault) == other.map(|f| f.fault)
        }
        (Kind::Handled { changes, .. }, Kind::Handled { changes: other, .. }) => changes == other,
        (Kind::Refrigerant(a), Kind::Refrigerant(b)) => transfer(a, b),
        (
            Kind::Hold {
                gas,
                pressure,
                resolution,
                temperature,
                ..
            },
            Kind::Hold {
                gas: other_gas,
                pressure: other_pressure,
                resolution: other_resolution,
                temperature: other_temperature,
                ..
            },
        ) => {
            (gas, pressure, resolution, temperature)
                == (
                    other_gas,
                    other_pressure,
                    other_resolution,
                    other_temperature,
                )
        }
        (
            Kind::Vacuum {
                depth, isolated, ..
            },
            Kind::Vacuum {
                depth: other_depth,
                isolated: other_isolated,
                ..
            },
        ) => depth == other_depth && isolated == other_isolated,
        (Kind::Advise { urgency, .. }, Kind::Advise { urgency: other, .. }) => urgency == other,
        (
            Kind::Travel { duration, .. },
            Kind::Travel {
                duration: other, ..
            },
        )
        | (
            Kind::Waited { duration, .. },
            Kind::Waited {
                duration: other, ..
            },
        ) => duration == other,
        // The kinds that are their text alone.
        _ => true,
    }
}

fn transfer(a: &Transfer, b: &Transfer) -> bool {
    let weights = |t: &Transfer| t.weighing.as_ref().map(|w| (w.before, w.after, w.step));
    a.flow == b.flow
        && a.mass == b.mass
        && refrigerant(a.refrigerant, b.refrigerant)
        && a.named == b.named
        && a.cylinder == b.cylinder
        && a.circuit == b.circuit
        && weights(a) == weights(b)
        && a.first == b.first
        && a.reached.as_ref().map(|r| r.pressure) == b.reached.as_ref().map(|r| r.pressure)
}

fn reading(a: &Reading, b: &Reading) -> bool {
    let value = match (&a.value, &b.value) {
        (Value::Measured(a), Value::Measured(b)) => {
            a.quantity == b.quantity && a.resolution == b.resolution
        }
        (Value::Seen(a), Value::Seen(b)) => a == b,
        _ => false,
    };
    value
        && a.point == b.point
        && a.which == b.which
        && a.leg == b.leg
        && a.remark == b.remark
        && (a.visit, a.at, a.phase) == (b.visit, b.at, b.phase)
}
