//! Line kinds: the word or words an entry starts with.

use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// The kind of an entry, told by its first words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verb {
    /// Opens a visit.
    Visit,
    /// Seen.
    Saw,
    /// Heard.
    Heard,
    /// Felt.
    Felt,
    /// Smelled.
    Smelled,
    /// A remark of no particular sense.
    Noted,
    /// The technician's own conclusion.
    Cause,
    /// Work done.
    Did,
    /// Something set, moved, opened, checked: work that repairs nothing by itself.
    Handled,
    /// A part put in.
    Fitted,
    /// A part taken out.
    Removed,
    /// Refrigerant taken out.
    Recovered,
    /// Refrigerant put in.
    Added,
    /// Standing pressure test.
    Hold,
    /// Evacuation reading.
    Vacuum,
    /// Somebody was told something.
    Told,
    /// A recommendation.
    Advise,
    /// The customer agreed to something.
    Approved,
    /// The customer did not want something.
    Declined,
    /// A photograph.
    Photo,
    /// Never leaves the diagnosis note.
    Private,
    /// Travel time.
    Travel,
    /// Waiting time.
    Waited,
    /// On site from now.
    Arrive,
    /// Off site from now.
    Depart,
    /// What is to be watched from now on.
    Watch,
    /// A visit that is arranged.
    Booked,
    /// What was used up: brazing rod, cleaner, nitrogen.
    Material,
    /// What was measured with.
    Instrument,
    /// Energy locked out.
    LockedOut,
    /// Lock taken off.
    LockOff,
    /// A temporary condition opened.
    Left,
    /// A temporary condition closed.
    Restored,
}

/// One row of the table.
#[derive(Debug)]
pub struct VerbInfo {
    /// Which kind.
    pub verb: Verb,
    /// Canonical spelling.
    pub name: &'static str,
    /// Other spellings; the longest match wins.
    pub spellings: &'static [&'static str],
    /// Spellings that are themselves part of what is said: in `cleaned condenser` the text is the
    /// whole of it.
    pub speaking: &'static [&'static str],
}

macro_rules! verbs {
    ($($verb:ident $name:literal [$($spelling:literal),*] [$($speaking:literal),*];)*) => {
        /// Every line kind.
        pub static VERBS: &[VerbInfo] = &[$(VerbInfo {
            verb: Verb::$verb,
            name: $name,
            spellings: &[$($spelling),*],
            speaking: &[$($speaking),*],
        }),*];
    };
}

verbs! {
    Visit "visit" ["new visit", "visited", "second visit", "return visit"] [];
    Saw "saw" ["see", "seen", "found", "observed", "noticed", "looked", "can see", "could see", "spotted", "seeing"] [];
    Heard "heard" ["hear", "can hear", "could hear", "hearing"] [];
    Felt "felt" ["feel", "touched", "can feel", "could feel", "feeling"] [];
    Smelled "smelled" ["smelt", "smell", "can smell", "could smell", "smelling"] [];
    Noted "note" ["noted", "remark", "remarks"] [];
    Cause "cause" ["cause is", "cause was", "root cause", "root cause is", "root cause was", "diagnosis", "conclusion", "cuz", "fault is", "fault was", "problem is", "problem was", "culprit is"] [];
    Did "did" ["done", "work done"] ["cleaned", "tightened", "adjusted", "reset", "washed", "brazed", "repaired", "thawed", "defrosted", "flushed", "blew", "straightened", "sealed", "lubricated", "rewired", "purged", "soldered", "drained", "rebuilt", "rinsed", "wiped", "scraped", "chipped", "greased", "realigned", "leveled", "levelled", "patched", "spliced", "crimped", "knocked", "hooked", "snugged", "nipped", "cleared", "brushed", "vacuumed", "unblocked", "steamed", "deiced", "melted", "torqued", "oiled", "wired", "reseated", "dried", "mopped", "combed", "shimmed"];
    Handled "handled" [] ["set", "moved", "opened", "closed", "checked", "tested", "vented", "let it go", "let the charge", "let charge go", "let the rest", "dumped", "bled", "released"];
    Fitted "fitted" ["fit", "installed", "replaced", "changed", "new part", "swapped", "swapped out", "swapped in", "instld", "put on"] [];
    Removed "removed" ["took out", "pulled out", "rmvd", "pulled the old"] [];
    Recovered "recovered" ["recover", "recovery", "recovered out", "reclaimed", "recvd", "rcvd"] [];
    Added "added" ["add", "charged", "topped up", "charged with", "put in", "weighed in", "topped off", "topped off with", "gassed up", "gassed up with", "chrgd"] [];
    Hold "hold" ["held", "pressure test", "nitrogen hold", "standing test", "nitrogen test", "pressurized with", "pressurised with", "nitrogen is", "nitrogen at", "nitrogen still", "nitrogen holding", "nitrogen on", "n2"] [];
    Vacuum "vacuum" ["vac", "evacuated", "evacuated to", "pulled vacuum", "pulled a vacuum", "pulled it down", "vacuum at"] [];
    Told "told" ["tell", "informed", "explained", "explained to", "had a word"] [];
    Advise "advise" ["advised", "advice", "recommend", "recommended", "suggest", "would recommend", "rec"] [];
    Approved "approved" ["approval", "agreed", "authorised", "authorized", "okayed", "signed off"] [];
    Declined "declined" ["refused", "not approved", "not wanted", "turned down", "said no"] [];
    Photo "photo" ["picture", "pic", "photos", "foto", "took a picture", "took a photo", "took photo"] [];
    Private "private" ["privately", "note to self", "internal", "office only", "private note", "prvt", "pvt"] [];
    Travel "travel" ["travelled", "traveled", "drive", "drove", "travel time", "travelling time", "travelling", "drive time"] [];
    Waited "waited" ["wait", "waiting", "sat waiting", "hung about", "hung around"] [];
    Arrive "arrive" ["arrived", "on site", "onsite", "arrival", "got here", "got on site", "got to site", "rolled up", "pulled up"] [];
    Depart "depart" ["departed", "left site", "off site", "leave site", "departure", "left the site", "leaving site", "leaving the site", "heading out", "knocked off", "packed up", "out of here", "heading home"] [];
    Watch "watch" ["watch for", "watch out for", "keep an eye on", "keep an eye out for"] [];
    Booked "booked" ["book", "booked in", "return booked", "booked return", "booked a return", "return visit booked", "booked visit"] [];
    Material "material" ["materials", "consumables", "used"] [];
    Instrument "instrument" ["instruments", "measured with"] [];
    LockedOut "locked out" ["lock out", "lockout", "tagged out", "locked and tagged", "loto on", "loto", "locking out"] [];
    LockOff "lock off" ["locks off", "lock removed", "unlocked", "loto off", "removed lock", "removed the lock", "removed loto", "took lock off", "took off lock", "took the lock", "lockout off", "lock out off", "lock is off", "took my lock", "took the padlock", "took my padlock", "padlock off", "removed my lock", "took the lock off", "took my lock off", "took the padlock off", "took my padlock off", "removed lock from", "removed the lock from", "removed my lock from", "pulled my lock off", "pulled the lock off"] [];
    Left "left" ["leaving", "leave"] ["jumpered", "jumped", "jumped out", "bridged", "bypassed", "silenced", "muted", "disabled"];
    Restored "restored" ["restore", "put back", "undid", "undone", "returned to normal"] ["reconnected", "enabled", "re enabled", "reenabled", "unmuted", "unsilenced", "took the jumper", "jumper off", "jumper out"];
}

struct Row {
    verb: Verb,
    speaking: bool,
}

static BY_SPELLING: LazyLock<FxHashMap<&'static str, Row>> = LazyLock::new(|| {
    let mut map = FxHashMap::default();
    for info in VERBS {
        let mut put = |spelling: &'static str, speaking| {
            map.insert(
                spelling,
                Row {
                    verb: info.verb,
                    speaking,
                },
            );
        };
        put(info.name, false);
        info.spellings.iter().for_each(|s| put(s, false));
        info.speaking.iter().for_each(|s| put(s, true));
    }
    map
});

/// Most words of a spelling.
const LONGEST: usize = 4;
/// Room for the longest spelling.
const ROOM: usize = 32;

impl Verb {
    /// True for what the books, the hours and the open list keep: such a fact outlives private words.
    pub fn books(self) -> bool {
        matches!(
            self,
            Self::Added
                | Self::Recovered
                | Self::Fitted
                | Self::Removed
                | Self::Material
                | Self::LockedOut
                | Self::LockOff
                | Self::Left
                | Self::Restored
                | Self::Travel
                | Self::Waited
                | Self::Arrive
                | Self::Depart
        )
    }

    /// Canonical spelling.
    pub fn name(self) -> &'static str {
        VERBS
            .iter()
            .find(|row| row.verb == self)
            .map_or("", |row| row.name)
    }
}

/// Reads the line kind off the start of `text`.
///
/// Returns the kind and the byte range of its words, empty when the words are themselves part of
/// what is said (`cleaned condenser`).
pub fn verb(text: &str) -> Option<(Verb, std::ops::Range<usize>)> {
    // Every spelling is a few ASCII words, so the start of the line is folded in place.
    let mut folded = [0u8; ROOM];
    let mut length = 0;
    let mut ends = [(0usize, 0usize); LONGEST]; // of the words: in the text, in `folded`
    let mut count = 0;
    let mut position = 0;
    for word in text.split_inclusive([' ', '\t', '\u{A0}', '-']) {
        let start = position;
        position += word.len();
        let bare = word.trim_end_matches([' ', '\t', '\u{A0}', '-']);
        let core = bare.trim_end_matches([':', ',', ';', '.']);
        if bare.is_empty() && count > 0 {
            continue; // several blanks between two words
        }
        let gap = usize::from(count > 0);
        let is_word = !core.is_empty() && core.bytes().all(|b| b.is_ascii_alphabetic());
        if !is_word || length + gap + core.len() > ROOM {
            break;
        }
        if gap == 1 {
            folded[length] = b' ';
        }
        length += gap;
        for byte in core.bytes() {
            folded[length] = byte.to_ascii_lowercase();
            length += 1;
        }
        ends[count] = (start + core.len(), length);
        count += 1;
        if count == LONGEST || core.len() != bare.len() {
            break;
        }
    }
    let found = (0..count).rev().find_map(|last| {
        let (end, folded_end) = ends[last];
        let spelling = std::str::from_utf8(&folded[..folded_end]).unwrap_or("");
        let row = BY_SPELLING.get(spelling)?;
        let end = if row.speaking { 0 } else { end };
        Some((row.verb, 0..end))
    });
    found.or_else(|| put_back(text))
}

/// `put the alarm back on`, `turned fan 2 back on`, `plugged the heater back in`: the verb stands
/// around what was restored.
fn put_back(text: &str) -> Option<(Verb, std::ops::Range<usize>)> {
    let mut words = text.split_ascii_whitespace();
    let first = words.next()?;
    let frames = ["put", "got", "turned", "switched", "plugged", "hooked"];
    let starts = frames.iter().any(|f| first.eq_ignore_ascii_case(f)) && text.starts_with(first);
    let back = words.skip(1).any(|w| {
        w.trim_end_matches([',', '.', ';'])
            .eq_ignore_ascii_case("back")
    });
    (starts && back).then_some((Verb::Restored, 0..first.len()))
}

static FIRST_WORDS: LazyLock<rustc_hash::FxHashSet<&'static str>> = LazyLock::new(|| {
    let all = VERBS.iter().flat_map(|v| {
        std::iter::once(&v.name)
            .chain(v.spellings)
            .chain(v.speaking)
    });
    all.filter_map(|spelling| spelling.split(' ').next())
        .collect()
});

/// True for a folded word that a line kind may start with.
pub fn starts_verb(word: &str) -> bool {
    FIRST_WORDS.contains(word)
}

/// Every spelling of a line kind, for suggestions.
pub fn verb_spellings() -> impl Iterator<Item = &'static str> {
    VERBS
        .iter()
        .flat_map(|v| std::iter::once(v.name).chain(v.spellings.iter().copied()))
}
