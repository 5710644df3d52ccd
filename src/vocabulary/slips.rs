//! What speech-to-text makes of words of the trade: `sucking line`, `tea ex vee`, `fill to drier`.
//!
//! Collected by saying the words aloud and writing down what else they sound like; common practice,
//! no source.

use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// A slip of the ear.
#[derive(Debug, PartialEq, Eq)]
pub struct Slip {
    /// The words as they come out, folded.
    pub words: Vec<&'static str>,
    /// What was said.
    pub meant: &'static str,
    /// True when the words are English too (`contact her`), so that only their neighbours tell.
    pub english: bool,
}

macro_rules! slips {
    ($(sure $($sure:literal)|+ => $meant:literal;)* $(english $($english:literal)|+ => $meaning:literal;)*) => {
        static ROWS: &[(&str, &str, bool)] = &[
            $($(($sure, $meant, false),)+)*
            $($(($english, $meaning, true),)+)*
        ];
    };
}

slips! {
    sure "sucking line" | "section line" | "suction lion" | "suction lime" | "suction lying" | "sanction line" | "auction line" | "suction wine" => "suction line";
    sure "sucking pressure" | "section pressure" | "suction presser" | "sanction pressure" | "auction pressure" => "suction pressure";
    sure "sucking" => "suction";
    sure "liquid lion" | "liquid lime" | "liquid lying" | "liquid wine" => "liquid line";
    sure "this charge line" | "dis charge line" | "the charge line" => "discharge line";
    sure "this charge pressure" | "dis charge pressure" => "discharge pressure";
    sure "this charge temp" | "dis charge temp" => "discharge temp";
    sure "dis charge" => "discharge";
    sure "discharged air" | "this charge air" => "discharge air";
    sure "had pressure" | "hed pressure" | "head presser" => "head pressure";
    sure "bag pressure" | "bach pressure" | "back presser" => "back pressure";
    sure "headed pressure" | "head pleasure" => "head pressure";
    sure "suction pleasure" => "suction pressure";
    sure "boxed temp" | "bocks temp" => "box temp";
    sure "bocks" => "box";
    sure "web bulb" | "wet bolt" | "wet bold" => "wet bulb";
    sure "return heir" | "return err" => "return air";
    sure "supply heir" | "supply err" => "supply air";
    sure "sum temp" => "sump temp";
    sure "a vap" | "eve app" => "evap";
    sure "evap van" | "evap fans van" => "evap fan";
    sure "evaporator van" => "evaporator fan";
    sure "condensing fan" | "condenser van" => "condenser fan";
    sure "deep frost" | "the frosting" => "defrost";
    sure "run capacity" => "run capacitor";
    sure "start capacity" => "start capacitor";
    sure "sub coolant" | "sub cool int" | "sub pooling" | "sub school ing" => "subcooling";
    sure "psi gee" => "psig";
    sure "short sickling" | "short psych ling" => "short cycling";
    sure "nitro gin" => "nitrogen";
    sure "oxygen free nitrogen" | "ofn" | "dry nitrogen" => "nitrogen";
    sure "holed nitrogen" | "whole nitrogen" | "hole nitrogen" => "hold nitrogen";
    sure "logged out" | "lock doubt" => "locked out";
    sure "lock of" => "lock off";
    sure "this connect" => "disconnect";
    sure "shredder core" | "straighter core" => "valve core";
    sure "shredder valve" => "access valve";
    sure "filter dire" | "filter drying" | "filter fire" => "filter drier";
    sure "receive her" => "receiver";
    sure "name plate" => "nameplate";
    sure "c o two" | "see oh two" => "CO2";
    sure "t d" => "td";
    sure "soul annoyed" | "sole a noid" => "solenoid";
    sure "condense or" => "condenser";
    sure "compress or" => "compressor";
    sure "cap a sitter" | "cap asset her" => "capacitor";
    sure "re fridge a rent" | "refridge a rent" | "refrigerent" => "refrigerant";
    sure "three face" | "3 face" => "three phase";
    sure "like quid" => "liquid";
    sure "compressed her" => "compressor";
    sure "king vowel" | "king valley" => "king valve";
    sure "disco" => "disconnect";
    sure "mike" => "microfarads";
    sure "htrs" | "htr" => "heater";
    sure "bar gauge" => "bar";
    sure "soup are heat" | "super eat" => "superheat";
    sure "hot guess" => "hot gas";
    sure "such in" | "suck in" => "suction";
    sure "low sight" | "lows side" | "low sighed" => "low side";
    sure "hi side" | "high sighed" => "high side";
    sure "super heat" | "supper heat" | "super heed" | "soup or heat" | "superheed" => "superheat";
    sure "sub cooling" | "sub coaling" | "sub culling" | "subculling" | "sup cooling" => "subcooling";
    sure "site glass" | "side glass" | "sight class" | "site class" => "sight glass";
    sure "tea ex vee" | "t x v" | "tee x v" | "tx v" | "t ex v" | "tea x v" | "tee ex vee" | "t x valve" => "txv";
    sure "e e v" | "ee v" | "e ev" => "eev";
    sure "fill to drier" | "fill to dryer" | "filter dryer" | "fill the drier" | "fill the dryer" | "filler drier" | "filler dryer" | "filter dry er" | "filtered dryer" | "filtered drier" | "fill ter drier" => "filter drier";
    sure "condense her" | "condenser her" | "condensor" | "condensing her" | "con denser" | "can denser" => "condenser";
    sure "evaporate her" | "evaporator her" | "evap orator" | "evaporater" | "evap or rater" => "evaporator";
    sure "compress her" | "compresser" | "compressor her" | "come pressor" | "com pressor" => "compressor";
    sure "re cover" => "recover";
    sure "re covered" => "recovered";
    sure "the frost heater" => "defrost heater";
    sure "de frost" | "dee frost" => "defrost";
    sure "capacity or" | "capacity her" | "capacitator" => "capacitor";
    sure "thermal stat" | "thermos stat" | "thermo stat" => "thermostat";
    sure "ambience temp" | "ambiance temp" | "am be ant" | "ambi ant" => "ambient";
    sure "my crons" | "my crone" | "my crones" | "mike rons" | "mike runs" | "my cron" | "mi crons" => "microns";
    sure "micro farads" | "micro fair ads" | "micro farad" | "mike ro farads" | "micro ferrets" | "micro fared" | "mike row farads" | "mike farads" | "m f d" | "mics" | "mikes" => "microfarads";
    sure "meg ohms" | "mega ohms" | "meg homes" | "mega homes" | "meg oms" => "megohms";
    sure "p s i g" | "psi g" | "pee ess eye gee" | "p s i gauge" | "psi gauge" => "psig";
    sure "p s i a" | "p s i absolute" | "psi absolute" => "psia";
    sure "p s i" | "pee ess eye" | "p s eye" | "ps i" => "psi";
    sure "pounds per square inch" => "psi";
    sure "c f m" => "cfm";
    sure "k p a" | "kay pee ay" => "kPa";
    sure "vac you um" | "vacume" | "vaccum" | "vacum" | "vaccuum" | "back you um" => "vacuum";
    sure "nitro gen" | "nitro jen" | "night row gen" | "night rogen" | "knight rogen" => "nitrogen";
    sure "gas kit" | "gas get" | "gas ket" => "gasket";
    sure "sole annoyed" | "solon oid" | "soleniod" | "solar noid" | "solen oid" => "solenoid";
    sure "braised" => "brazed";
    sure "flair nut" => "flare nut";
    sure "flair" => "flare";
    sure "leek check" => "leak check";
    sure "leek" => "leak";
    sure "walking cooler" => "walk in cooler";
    sure "walking freezer" => "walk in freezer";
    sure "reaching cooler" => "reach in cooler";
    sure "reaching freezer" => "reach in freezer";
    sure "e vap" | "eva p" => "evap";
    sure "r l a" => "rla";
    sure "f l a" => "fla";
    sure "amp draw" | "amps draw" | "ampt draw" => "amps";
    sure "l one" | "el one" => "L1";
    sure "l two" | "el two" | "l to" | "l too" => "L2";
    sure "l three" | "el three" => "L3";
    sure "tea one" | "t one" => "T1";
    sure "tea two" | "t two" => "T2";
    sure "tea three" | "t three" => "T3";
    sure "line to line" => "supply";
    sure "inches of mercury" | "inches mercury" | "inches vacuum" | "inches of vac" | "inch vacuum" | "inches vac" => "inches of vacuum";
    sure "degrees fair and height" | "degrees farenheit" | "degrees fahrenheight" => "degrees fahrenheit";
    sure "recoverd" | "recoverred" => "recovered";
    sure "note to yourself" => "note to self";
    english "contact her" | "contact or" | "contractor" => "contactor";
    english "heat her" => "heater";
    english "this charge" => "discharge";
    english "section" => "suction";
    english "some cooling" => "subcooling";
    english "the frost" => "defrost";
    english "dryer" => "drier";
    english "homes" => "ohms";
    english "bolts" => "volts";
    english "ants" => "amps";
    english "ambience" => "ambient";
    english "votes" => "volts";
    english "lamps" => "amps";
    english "owns" => "ohms";
    english "pounce" => "pounds";
    english "announces" => "ounces";
}

static BY_FIRST: LazyLock<FxHashMap<&'static str, Vec<Slip>>> = LazyLock::new(|| {
    let mut map: FxHashMap<&'static str, Vec<Slip>> = FxHashMap::default();
    for &(said, meant, english) in ROWS {
        let words: Vec<&'static str> = said.split(' ').collect();
        map.entry(words[0]).or_default().push(Slip {
            words,
            meant,
            english,
        });
    }
    for rows in map.values_mut() {
        rows.sort_by_key(|slip| std::cmp::Reverse(slip.words.len()));
    }
    map
});

/// The slips that may start with a folded word, the longest first.
pub fn slips_from(word: &str) -> &'static [Slip] {
    BY_FIRST.get(word).map_or(&[], Vec::as_slice)
}

#[cfg(test)]
mod tests {
    use super::super::fold;
    use super::*;

    #[test]
    fn slips_are_folded_and_stand_once() {
        let mut seen = std::collections::HashSet::new();
        for (said, meant, _) in ROWS {
            assert_eq!(*said, fold(said), "{said}");
            assert_ne!(*said, fold(meant), "{said}");
            assert!(seen.insert(said), "{said} stands twice");
        }
    }
}
