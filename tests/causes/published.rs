//! The rules of Rossi and Braun (1997) for a packaged unit, as tabulated in a Purdue thesis (table
//! 1-1), against the ranking of a fixed orifice.
//!
//! Of its seven columns five are symptoms here. Evaporating temperature at given air is the TD with
//! its sign turned, condensing temperature the condenser split, the evaporator's air difference the
//! air split. The condenser's air rise and the hot-gas temperature are not used.

use super::field::{PLAIN, SLIGHT, Way, deviations};
use super::{observed, place, ranked, shown};
use rimebook::causes::hypothesis::Feed;
use rimebook::vocabulary::faults::Fault;

use Way::{Down, Up};

/// Evaporating temperature, superheat, condensing temperature, subcooling, evaporator air
/// difference.
const ROWS: [(Fault, [Way; 5]); 5] = [
    (Fault::Undercharge, [Down, Up, Down, Down, Down]),
    (Fault::CompressorWeak, [Up, Down, Down, Down, Down]),
    (Fault::LiquidLineRestriction, [Down, Up, Down, Up, Down]),
    (Fault::CondenserAirflow, [Up, Down, Up, Down, Down]),
    (Fault::EvaporatorAirflow, [Down, Down, Down, Down, Up]),
];

#[test]
fn published_rows_are_pairwise_distinct() {
    for (i, (fault, row)) in ROWS.iter().enumerate() {
        for (other, against) in &ROWS[i + 1..] {
            assert_ne!(row, against, "{fault:?} and {other:?}");
        }
    }
}

/// First where plain, among the first three where slight.
#[test]
fn published_rows_rank_their_own_fault() {
    use rimebook::causes::symptom::Symptom::{
        AirSplit, CondenserSplit, EvaporatorTd, Subcooling, Superheat,
    };
    let mut wrong = Vec::new();
    for (fault, [evaporating, superheat, condensing, subcooling, air]) in ROWS {
        let row = [
            (EvaporatorTd, evaporating.turned()),
            (Superheat, superheat),
            (CondenserSplit, condensing),
            (Subcooling, subcooling),
            (AirSplit, air),
        ];
        for scatters in [SLIGHT, PLAIN] {
            let mut ranking = ranked(&observed(deviations(&row, scatters), &[]), Feed::Fixed);
            let all = shown(&ranking);
            println!("{fault:?}, {scatters}: {all}");
            // An orifice that feeds too little is a restriction too, further on, and none of the
            // published five: only the drop across the drier, not in these rows, tells where it is.
            if fault == Fault::LiquidLineRestriction {
                ranking.retain(|(other, _)| other.fault != Some(Fault::MeteringUnderfeed));
            }
            let found = place(&ranking, Some(fault));
            if found > if scatters == PLAIN { 1 } else { 3 } {
                wrong.push(format!("{fault:?}, {scatters}: {all}"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
