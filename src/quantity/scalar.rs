//! One newtype per dimension over its SI unit.

/// Declares a newtype over an SI `f64` with a named constructor and accessor.
macro_rules! scalar {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From the SI unit.
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            /// In the SI unit.
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}
pub(super) use scalar;

scalar!(
    /// A temperature, in kelvin.
    Temperature, from_kelvin, kelvin
);
scalar!(
    /// A temperature difference, in kelvin.
    TemperatureDifference, from_kelvin, kelvin
);
scalar!(
    /// A voltage, in volt.
    Voltage, from_volt, volt
);
scalar!(
    /// A current, in ampere.
    Current, from_ampere, ampere
);
scalar!(
    /// A power, in watt.
    Power, from_watt, watt
);
scalar!(
    /// A resistance, in ohm.
    Resistance, from_ohm, ohm
);
scalar!(
    /// A capacitance, in farad.
    Capacitance, from_farad, farad
);
scalar!(
    /// A span of time, in second.
    Duration, from_second, second
);
scalar!(
    /// A length, in metre.
    Length, from_metre, metre
);
scalar!(
    /// A share in parts per hundred.
    Percent, from_percent, percent
);
scalar!(
    /// Mass in a volume, in kilogram per cubic metre.
    Density, from_kilogram_per_cubic_metre, kilogram_per_cubic_metre
);
scalar!(
    /// Enthalpy of a kilogram, in joule per kilogram; from a zero of convention, so only
    /// differences mean anything.
    SpecificEnthalpy, from_joule_per_kilogram, joule_per_kilogram
);
scalar!(
    /// Entropy of a kilogram, in joule per kilogram and kelvin; only differences mean anything.
    SpecificEntropy, from_joule_per_kilogram_kelvin, joule_per_kilogram_kelvin
);
scalar!(
    /// Mass passing in a second, in kilogram per second.
    MassFlow, from_kilogram_per_second, kilogram_per_second
);
scalar!(
    /// Volume passing in a second, in cubic metre per second.
    VolumeFlow, from_cubic_metre_per_second, cubic_metre_per_second
);

const KELVIN_PER_FAHRENHEIT: f64 = 5.0 / 9.0;
const FAHRENHEIT_ZERO: f64 = 459.67;
const CELSIUS_ZERO: f64 = 273.15;

impl Temperature {
    /// From degrees Fahrenheit.
    pub fn from_fahrenheit(value: f64) -> Self {
        Self((value + FAHRENHEIT_ZERO) * KELVIN_PER_FAHRENHEIT)
    }

    /// From degrees Celsius.
    pub const fn from_celsius(value: f64) -> Self {
        Self(value + CELSIUS_ZERO)
    }

    /// In degrees Fahrenheit.
    pub fn fahrenheit(self) -> f64 {
        self.0 / KELVIN_PER_FAHRENHEIT - FAHRENHEIT_ZERO
    }

    /// In degrees Celsius.
    pub fn celsius(self) -> f64 {
        self.0 - CELSIUS_ZERO
    }
}

impl std::ops::Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Temperature) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl std::ops::Mul<MassFlow> for SpecificEnthalpy {
    type Output = Power;
    fn mul(self, flow: MassFlow) -> Power {
        Power(self.0 * flow.0)
    }
}

impl TemperatureDifference {
    /// From Fahrenheit degrees of difference.
    pub fn from_fahrenheit(value: f64) -> Self {
        Self(value * KELVIN_PER_FAHRENHEIT)
    }

    /// In Fahrenheit degrees of difference.
    pub fn fahrenheit(self) -> f64 {
        self.0 / KELVIN_PER_FAHRENHEIT
    }
}
