//! What of a unit's behavior is compared with what it should do.

use super::fold;
use serde::Serialize;

macro_rules! symptoms {
    ($($(#[$doc:meta])* $symptom:ident $name:literal [$($spelling:literal),* $(,)?];)*) => {
        /// A graded deviation. Differences are in Fahrenheit degrees; the rest are shares of one.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Symptom {
            $($(#[$doc])* $symptom),*
        }

        impl Symptom {
            /// All, in the order of the tables.
            pub const ALL: [Symptom; [$($name),*].len()] = [$(Symptom::$symptom),*];

            /// Name in the trade.
            pub fn name(self) -> &'static str {
                match self { $(Self::$symptom => $name),* }
            }

            fn spellings(self) -> &'static [&'static str] {
                match self { $(Self::$symptom => &[$($spelling),*]),* }
            }
        }
    };
}

symptoms! {
    /// Air onto the evaporator less evaporating temperature.
    EvaporatorTd "evaporator TD" ["td", "coil td"];
    /// Superheat at the evaporator.
    Superheat "superheat" ["sh"];
    /// Subcooling.
    Subcooling "subcooling" ["sc"];
    /// Condensing temperature less ambient.
    CondenserSplit "condenser split" ["split"];
    /// Air onto less air off the evaporator, as a share of what is expected.
    AirSplit "air split" ["evaporator air split", "air drop"];
    /// Temperature drop across the drier.
    DrierDrop "drop across the drier" ["drier drop"];
    /// Box, room or return air above the set point.
    AboveSetPoint "box against set point" [];
    /// Rise of the air through the condenser, as a share of the condenser split.
    CondenserRise "condenser air rise" ["condenser rise", "air rise"];
    /// Work of an ideal compression over the work the discharge temperature shows, as a share of one.
    Efficiency "compression efficiency" [];
    /// Highest leg of the compressor, as a share of its rated load current.
    RunningCurrent "compressor current" ["compressor", "compressor amps", "amps", "current"];
}

impl Symptom {
    /// True for a share of one, false for Fahrenheit degrees of difference.
    pub fn is_share(self) -> bool {
        matches!(
            self,
            Self::AirSplit | Self::CondenserRise | Self::Efficiency | Self::RunningCurrent
        )
    }

    /// The symptom that a text names.
    pub fn recognise(text: &str) -> Option<Self> {
        let folded = fold(text);
        Self::ALL
            .into_iter()
            .find(|s| fold(s.name()) == folded || s.spellings().contains(&folded.as_str()))
    }
}
