//! Keys of the head: what is known of the job and the unit before anything is measured.

use super::fold;

macro_rules! heads {
    ($($(#[$doc:meta])* $key:ident $name:literal [$($spelling:literal),* $(,)?];)*) => {
        /// A head key.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum HeadKey {
            $($(#[$doc])* $key),*
        }

        static HEADS: &[(HeadKey, &str, &[&str])] =
            &[$((HeadKey::$key, $name, &[$($spelling),*])),*];

        impl HeadKey {
            /// True for keys that may stand several times, a line a thing.
            pub fn repeats(self) -> bool {
                matches!(self, HeadKey::Cylinder | HeadKey::Instruments)
            }

            /// Canonical spelling.
            pub fn name(self) -> &'static str {
                match self { $(HeadKey::$key => $name),* }
            }
        }
    };
}

heads! {
    /// Job number.
    Job "job" ["job no", "job number", "ticket"];
    /// Customer's name.
    Customer "customer" ["client", "cust"];
    /// Where the unit stands.
    Site "site" ["address", "location"];
    /// Who to ask for, and how.
    Contact "contact" ["called by", "caller", "phone"];
    /// The customer's own order number.
    Order "order" ["purchase order", "po", "po number"];
    /// Unit tag and what it is.
    Unit "unit" ["equipment", "system"];
    /// Maker's model designation.
    Model "model" ["model no", "model number"];
    /// Serial number.
    Serial "serial" ["serial no", "serial number"];
    /// Refrigerant and charge.
    Refrigerant "refrigerant" ["gas", "ref", "refrig"];
    /// Full charge.
    Charge "charge" ["full charge", "factory charge"];
    /// Instruments used. May stand several times.
    Instruments "instruments" ["instrument", "meters"];
    /// A cylinder: label, refrigerant, water capacity, tare, contents. May stand several times.
    Cylinder "cylinder" ["cyl", "bottle"];
    /// Expansion device, and whether there is a receiver.
    Metering "metering" ["expansion", "metering device", "expansion device"];
    /// Electrical ratings.
    Nameplate "nameplate" ["rating", "ratings", "data plate", "rated"];
    /// Volume the compressor sweeps in a time.
    Displacement "displacement" ["swept volume", "compressor displacement"];
    /// Published ratings of the compressor's mass flow.
    MassFlowCoefficients "mass flow coefficients" ["mass flow polynomial"];
    /// Published ratings of the compressor's power.
    PowerCoefficients "power coefficients" ["power polynomial"];
    /// Control set point.
    SetPoint "setpoint" ["set point", "set temperature", "thermostat", "stat"];
    /// Altitude of the site.
    Altitude "altitude" ["elevation"];
    /// Local atmospheric pressure.
    Barometer "barometer" ["atmosphere", "barometric pressure"];
    /// Design evaporator TD.
    DesignTd "design td" ["td"];
    /// Condensing temperature less ambient, by design.
    DesignSplit "design split" ["design condenser split", "condenser split"];
    /// Ambient temperature the design holds at.
    DesignAmbient "design ambient" [];
    /// Condensing temperature that head-pressure control does not let fall below.
    HeadPressureHold "head pressure hold" ["head pressure control", "condensing held at"];
    /// Superheat the unit is meant to run at.
    TargetSuperheat "target superheat" ["design superheat"];
    /// Subcooling the unit is meant to run at.
    TargetSubcooling "target subcooling" ["design subcooling"];
    /// Whose rules on refrigerant the records are held against.
    Jurisdiction "jurisdiction" ["rules of"];
    /// What kind of appliance it is to those rules.
    Appliance "appliance" ["appliance type"];
    /// Whether an automatic leak detection system watches it.
    LeakDetection "leak detection" ["leak detector", "automatic leak detection"];
    /// Whether it is hermetically sealed and labelled so.
    Sealed "sealed" ["hermetically sealed", "hermetic"];
    /// Values of the unit when it was healthy.
    Healthy "healthy" ["healthy readings", "runs normally at", "usual readings"];
    /// What the caller said.
    Complaint "complaint" ["problem", "call", "reported"];
    /// What the unit holds.
    Contents "contents" ["holds", "stock", "load"];
    /// The warmest that food may be held, by the site's plan.
    FoodLimit "food limit" ["product limit", "holding limit", "cold holding limit"];
    /// Hours of the site's written plan of time as control for food.
    TimeControl "time control" ["time as control"];
    /// How to get in.
    Access "access" ["keys"];
}

/// The key that a text names.
pub fn head_key(text: &str) -> Option<HeadKey> {
    let folded = fold(text);
    HEADS
        .iter()
        .find(|(_, name, spellings)| *name == folded || spellings.contains(&folded.as_str()))
        .map(|row| row.0)
}

/// Every spelling, for suggestions.
pub fn head_spellings() -> impl Iterator<Item = &'static str> {
    HEADS
        .iter()
        .flat_map(|(_, name, spellings)| std::iter::once(*name).chain(spellings.iter().copied()))
}
