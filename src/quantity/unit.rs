//! The units of the trade as one table: spellings, dimension, conversion to SI.

use super::pressure::{
    PASCAL_PER_INCH_MERCURY, PASCAL_PER_INCH_WATER, PASCAL_PER_MICRON, PASCAL_PER_PSI,
};
use super::{
    AbsolutePressure, Capacitance, Current, Dimension, Duration, GaugePressure, Length, Mass,
    Number, Percent, Power, Quantity, Resistance, Temperature, TemperatureDifference, VacuumDepth,
    Voltage, VolumeFlow,
};
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// A unit of measure; one variant per row of [`UNITS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Pound-force per square inch, gauge.
    Psig,
    /// Pound-force per square inch, absolute.
    Psia,
    /// Inches of mercury below the atmosphere, as a compound gauge shows vacuum.
    InchMercuryVacuum,
    /// Inches of mercury, absolute: a barometer.
    InchMercuryAbsolute,
    /// Bar, gauge.
    Bar,
    /// Bar, absolute.
    BarAbsolute,
    /// Kilopascal, gauge.
    Kilopascal,
    /// Kilopascal, absolute.
    KilopascalAbsolute,
    /// Megapascal, gauge.
    Megapascal,
    /// Micron of mercury.
    Micron,
    /// Pascal on a vacuum gauge.
    PascalVacuum,
    /// Millibar on a vacuum gauge.
    MillibarVacuum,
    /// Torr, or millimetre of mercury, on a vacuum gauge.
    Torr,
    /// Hectopascal, absolute: a barometer.
    Hectopascal,
    /// Inch of water.
    InchWater,
    /// Pascal of air pressure.
    PascalAir,
    /// Degree Fahrenheit.
    Fahrenheit,
    /// Degree Celsius.
    Celsius,
    /// Fahrenheit degrees of difference.
    FahrenheitDifference,
    /// Kelvin of difference.
    KelvinDifference,
    /// Volt.
    Volt,
    /// Millivolt.
    Millivolt,
    /// Ampere.
    Ampere,
    /// Milliampere.
    Milliampere,
    /// Watt.
    Watt,
    /// Kilowatt.
    Kilowatt,
    /// Ohm.
    Ohm,
    /// Kiloohm.
    Kiloohm,
    /// Megohm.
    Megohm,
    /// Microfarad.
    Microfarad,
    /// Pound.
    Pound,
    /// Ounce.
    Ounce,
    /// Kilogram.
    Kilogram,
    /// Gram.
    Gram,
    /// Second.
    Second,
    /// Minute.
    Minute,
    /// Hour.
    Hour,
    /// Foot.
    Foot,
    /// Inch.
    Inch,
    /// Metre.
    Metre,
    /// Percent.
    Percent,
    /// Cubic foot a minute.
    CubicFootPerMinute,
    /// Cubic foot an hour.
    CubicFootPerHour,
    /// Cubic metre an hour.
    CubicMetrePerHour,
    /// Cubic metre a second.
    CubicMetrePerSecond,
    /// Litre a second.
    LitrePerSecond,
}

/// One row of the unit table.
#[derive(Debug)]
pub struct UnitInfo {
    /// Which unit.
    pub unit: Unit,
    /// Canonical symbol, as shown and as formatted.
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// SI units per unit; temperature scales add an offset in [`Unit::quantity`].
    pub factor: f64,
    /// Other spellings, already folded (see [`fold`]): lower case, no blanks, dots or degree signs.
    pub spellings: &'static [&'static str],
}

macro_rules! units {
    ($($unit:ident $symbol:literal $dimension:ident $factor:expr, [$($spelling:literal),* $(,)?];)*) => {
        /// Every unit understood.
        pub static UNITS: &[UnitInfo] = &[$(UnitInfo {
            unit: Unit::$unit,
            symbol: $symbol,
            dimension: Dimension::$dimension,
            factor: $factor,
            spellings: &[$($spelling),*],
        }),*];
    };
}

units! {
    Psig "psig" Pressure PASCAL_PER_PSI, ["psig", "psi", "#", "psigauge", "lb", "lbs", "pound", "pounds", "poundsgauge"];
    Psia "psia" Pressure PASCAL_PER_PSI, ["psia", "psiabs", "psiabsolute"];
    InchMercuryVacuum "inHg" Pressure PASCAL_PER_INCH_MERCURY, ["inhg", "\"hg", "inhgvac", "inhgvacuum", "\"hgvac", "inchesofmercury", "inchesmercury", "incheshg", "\"vac", "invac", "invacuum", "inchesvacuum", "inchesofvacuum", "inchesvac"];
    InchMercuryAbsolute "inHga" Pressure PASCAL_PER_INCH_MERCURY, ["inhga", "inhgabs", "inhgabsolute", "\"hgabs"];
    Bar "bar" Pressure 1e5, ["bar", "barg", "bars"];
    BarAbsolute "bara" Pressure 1e5, ["bara", "barabs"];
    Kilopascal "kPa" Pressure 1e3, ["kpa", "kpag", "kilopascal", "kilopascals"];
    KilopascalAbsolute "kPaa" Pressure 1e3, ["kpaa", "kpaabs"];
    Megapascal "MPa" Pressure 1e6, ["mpa", "mpag", "megapascal", "megapascals"];
    Micron "micron" Vacuum PASCAL_PER_MICRON, ["micron", "microns", "µ", "μ", "um", "µm", "μm", "mtorr", "micronhg", "micronshg"];
    PascalVacuum "Pa" Vacuum 1.0, ["pa", "pascal", "pascals"];
    MillibarVacuum "mbar" Vacuum 100.0, ["mbar", "millibar", "millibars"];
    Torr "Torr" Vacuum 1000.0 * PASCAL_PER_MICRON, ["torr", "mmhg", "mmhgabs"];
    Hectopascal "hPa" Pressure 100.0, ["hpa", "hectopascal", "hectopascals"];
    InchWater "inWC" AirPressure PASCAL_PER_INCH_WATER, ["inwc", "\"wc", "iwc", "inchesofwater", "incheswater", "incheswc", "inh2o", "\"h2o", "inwg", "\"wg", "inwatercolumn", "incheswatercolumn", "inchesofwatercolumn"];
    PascalAir "Pa" AirPressure 1.0, ["pa", "pascal", "pascals"];
    Fahrenheit "F" Temperature 5.0 / 9.0, ["f", "degf", "degreesf", "degreef", "fahrenheit", "degreesfahrenheit", "℉"];
    Celsius "C" Temperature 1.0, ["c", "degc", "degreesc", "degreec", "celsius", "degreescelsius", "centigrade", "℃"];
    FahrenheitDifference "F difference" TemperatureDifference 5.0 / 9.0, ["fdifference", "fdiff", "f", "degf", "degreesf", "dtf", "fdegrees", "rankine"];
    KelvinDifference "K" TemperatureDifference 1.0, ["k", "kelvin", "c", "degc", "cdifference", "cdiff", "degreesc"];
    Volt "V" Voltage 1.0, ["v", "volt", "volts", "vac", "vdc", "voltsac"];
    Millivolt "mV" Voltage 1e-3, ["mv", "millivolt", "millivolts"];
    Ampere "A" Current 1.0, ["a", "amp", "amps", "ampere", "amperes"];
    Milliampere "mA" Current 1e-3, ["ma", "milliamp", "milliamps"];
    Watt "W" Power 1.0, ["w", "watt", "watts"];
    Kilowatt "kW" Power 1e3, ["kw", "kilowatt", "kilowatts"];
    Ohm "ohm" Resistance 1.0, ["ohm", "ohms", "ω"];
    Kiloohm "kohm" Resistance 1e3, ["kohm", "kohms", "kω", "kiloohm", "kiloohms"];
    Megohm "megohm" Resistance 1e6, ["megohm", "megohms", "mohm", "mohms", "mω", "meg", "megs", "megaohm", "megaohms"];
    Microfarad "uF" Capacitance 1e-6, ["uf", "µf", "μf", "mfd", "microfarad", "microfarads", "mf"];
    Pound "lb" Mass 0.453_592_37, ["lb", "lbs", "pound", "pounds", "#"];
    Ounce "oz" Mass 0.028_349_523_125, ["oz", "ozs", "ounce", "ounces"];
    Kilogram "kg" Mass 1.0, ["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"];
    Gram "g" Mass 1e-3, ["g", "gram", "grams", "gr"];
    Second "s" Duration 1.0, ["s", "sec", "secs", "second", "seconds"];
    Minute "min" Duration 60.0, ["min", "mins", "minute", "minutes", "m"];
    Hour "h" Duration 3600.0, ["h", "hr", "hrs", "hour", "hours"];
    Foot "ft" Length 0.3048, ["ft", "foot", "feet", "'"];
    Inch "in" Length 0.0254, ["in", "inch", "inches", "\""];
    Metre "m" Length 1.0, ["m", "metre", "metres", "meter", "meters"];
    Percent "%" Percent 1.0, ["%", "percent", "pct", "%rh", "percentrh", "%relativehumidity"];
    CubicFootPerMinute "cfm" VolumeFlow 0.028_316_846_592 / 60.0, ["cfm", "cuft/min", "ft3/min", "ft³/min", "cubicfeetperminute", "cubicfeetaminute"];
    CubicFootPerHour "cfh" VolumeFlow 0.028_316_846_592 / 3600.0, ["cfh", "cuft/h", "cuft/hr", "ft3/h", "ft3/hr", "ft³/h", "cubicfeetperhour", "cubicfeetanhour"];
    CubicMetrePerHour "m3/h" VolumeFlow 1.0 / 3600.0, ["m3/h", "m³/h", "m3/hr", "m³/hr", "m3h", "m³h", "cmh", "cubicmetresperhour", "cubicmetersperhour", "cubicmetresanhour", "cubicmetersanhour"];
    CubicMetrePerSecond "m3/s" VolumeFlow 1.0, ["m3/s", "m³/s", "cubicmetrespersecond", "cubicmeterspersecond", "cubicmetresasecond", "cubicmetersasecond"];
    LitrePerSecond "L/s" VolumeFlow 1e-3, ["l/s", "lps", "litrespersecond", "literspersecond", "litresasecond", "litersasecond"];
}

static BY_SPELLING: LazyLock<FxHashMap<&'static str, Vec<Unit>>> = LazyLock::new(|| {
    let mut map: FxHashMap<&'static str, Vec<Unit>> = FxHashMap::default();
    for info in UNITS {
        for spelling in info.spellings {
            map.entry(spelling).or_default().push(info.unit);
        }
    }
    map
});

/// Folds a typed unit to the form of the table: lower case, without blanks, dots, degree signs.
pub fn fold(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '°' | 'º' | '˚' | '-'))
        .flat_map(|c| match c {
            '”' | '“' | '″' => '"'.to_lowercase(),
            '’' | '′' => '\''.to_lowercase(),
            other => other.to_lowercase(),
        })
        .collect()
}

/// All units a spelling may stand for; empty when none.
pub fn lookup(text: &str) -> &'static [Unit] {
    // Most units are one short ASCII word; fold those without an allocation.
    let mut buffer = [0u8; 8];
    if text.len() <= buffer.len() && text.bytes().all(|b| b.is_ascii_alphanumeric()) {
        for (to, from) in buffer.iter_mut().zip(text.bytes()) {
            *to = from.to_ascii_lowercase();
        }
        let folded = std::str::from_utf8(&buffer[..text.len()]).unwrap_or("");
        return BY_SPELLING.get(folded).map_or(&[], Vec::as_slice);
    }
    BY_SPELLING
        .get(fold(text).as_str())
        .map_or(&[], Vec::as_slice)
}

/// Every spelling in the table, for suggestions.
pub fn spellings() -> impl Iterator<Item = &'static str> {
    UNITS.iter().flat_map(|u| u.spellings.iter().copied())
}

impl Unit {
    /// Its row of the table.
    pub fn info(self) -> &'static UnitInfo {
        // The table is in the order of the enum; a test holds the two together.
        &UNITS[self as usize]
    }

    /// Canonical symbol.
    pub fn symbol(self) -> &'static str {
        self.info().symbol
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.info().dimension
    }

    /// The quantity of `number` of this unit.
    pub fn quantity(self, number: Number) -> Quantity {
        let value = number.value();
        let si = value * self.info().factor;
        match self {
            Unit::Psig | Unit::Bar | Unit::Kilopascal | Unit::Megapascal => {
                Quantity::Gauge(GaugePressure::from_pascal(si))
            }
            // "5 inHg" and "-5 inHg" both mean five inches of vacuum on a compound gauge.
            Unit::InchMercuryVacuum => Quantity::Gauge(GaugePressure::from_pascal(-si.abs())),
            Unit::Psia
            | Unit::InchMercuryAbsolute
            | Unit::BarAbsolute
            | Unit::Hectopascal
            | Unit::KilopascalAbsolute => Quantity::Absolute(AbsolutePressure::from_pascal(si)),
            Unit::Micron | Unit::Torr | Unit::PascalVacuum | Unit::MillibarVacuum => {
                Quantity::Vacuum(VacuumDepth::from_pascal(si))
            }
            Unit::InchWater | Unit::PascalAir => {
                Quantity::AirPressure(GaugePressure::from_pascal(si))
            }
            Unit::Fahrenheit => Quantity::Temperature(Temperature::from_fahrenheit(value)),
            Unit::Celsius => Quantity::Temperature(Temperature::from_celsius(value)),
            Unit::FahrenheitDifference | Unit::KelvinDifference => {
                Quantity::TemperatureDifference(TemperatureDifference::from_kelvin(si))
            }
            Unit::Volt | Unit::Millivolt => Quantity::Voltage(Voltage::from_volt(si)),
            Unit::Ampere | Unit::Milliampere => Quantity::Current(Current::from_ampere(si)),
            Unit::Watt | Unit::Kilowatt => Quantity::Power(Power::from_watt(si)),
            Unit::Ohm | Unit::Kiloohm | Unit::Megohm => {
                Quantity::Resistance(Resistance::from_ohm(si))
            }
            Unit::Microfarad => Quantity::Capacitance(Capacitance::from_farad(si)),
            Unit::Pound => Quantity::Mass(Mass::from_number(number, Mass::PICOGRAM_PER_POUND)),
            Unit::Ounce => Quantity::Mass(Mass::from_number(number, Mass::PICOGRAM_PER_OUNCE)),
            Unit::Kilogram => {
                Quantity::Mass(Mass::from_number(number, 1000 * Mass::PICOGRAM_PER_GRAM))
            }
            Unit::Gram => Quantity::Mass(Mass::from_number(number, Mass::PICOGRAM_PER_GRAM)),
            Unit::Second | Unit::Minute | Unit::Hour => {
                Quantity::Duration(Duration::from_second(si))
            }
            Unit::Foot | Unit::Inch | Unit::Metre => Quantity::Length(Length::from_metre(si)),
            Unit::Percent => Quantity::Percent(Percent::from_percent(si)),
            Unit::CubicFootPerMinute
            | Unit::CubicFootPerHour
            | Unit::CubicMetrePerHour
            | Unit::CubicMetrePerSecond
            | Unit::LitrePerSecond => {
                Quantity::VolumeFlow(VolumeFlow::from_cubic_metre_per_second(si))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_follows_the_enum_and_spellings_are_folded() {
        for (row, info) in UNITS.iter().enumerate() {
            assert_eq!(row, info.unit as usize, "{}", info.symbol);
            for spelling in info.spellings {
                assert_eq!(*spelling, fold(spelling), "{}", info.symbol);
            }
        }
    }
}
