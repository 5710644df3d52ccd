//! Every code that reading a note can give, with the text that `rimebook explain` prints.
//!
//! Bands: RB0xx the file, RB1xx the shape of a line, RB2xx what a line means beside the others.
//! Findings about the unit (RB3xx and up) are declared with their rules.

use super::Severity;

/// A kind of problem.
#[derive(Debug, PartialEq, Eq)]
pub struct Code {
    /// `RB` and a number; never reused.
    pub id: &'static str,
    /// What is at fault, in kebab case.
    pub name: &'static str,
    /// How much it usually matters.
    pub severity: Severity,
    /// One paragraph: what it means and what to do.
    pub explanation: &'static str,
}

macro_rules! codes {
    ($($ident:ident $id:literal $name:literal $severity:ident $explanation:literal;)*) => {
        $(#[doc = $explanation]
        pub static $ident: Code = Code {
            id: $id,
            name: $name,
            severity: Severity::$severity,
            explanation: $explanation,
        };)*

        /// All codes declared here, in order.
        pub static CODES: &[&Code] = &[$(&$ident),*];
    };
}

codes! {
    UNREADABLE "RB001" "unreadable-file" Error "The file is not text that can be read as a note: it is not UTF-8, or it is far longer than any job note. Nothing was compiled and the file was not touched. Save it as UTF-8 from the editor, or check that it is the file you meant.";
    EMPTY_NOTE "RB002" "empty-note" Error "The file holds no statement. Start with the head (`unit: …`, `refrigerant: …`), then a line `visit 2026-03-14 Name` and the entries under it.";
    CONTROL_CHARACTER "RB003" "control-character" Error "The line holds a NUL or another control character, which no editor types: the file may be damaged or not be a note. The line is kept as it is and not used.";
    LINE_TOO_LONG "RB004" "line-too-long" Error "The line is longer than 4096 bytes. It is kept as it is and not used. Split it: one statement a line.";

    UNKNOWN_STATEMENT "RB101" "unknown-statement" Error "The line starts with no known line kind and names no known measuring point, so it reaches no report. If it is something you noticed, start it with `saw`; if it is work, with `did`; if it is for nobody else, with `private`.";
    BAD_CLOCK "RB102" "bad-clock-time" Error "The time at the start of the line does not exist. Write 24-hour time (`0912`, `21:05`) or say `9:12 pm`. The rest of the line is still used, at the time of the line above.";
    BAD_DATE "RB103" "bad-date" Error "A visit needs a date that exists. Write it as year-month-day: `visit 2026-03-14 Dana R.`.";
    UNKNOWN_POINT "RB104" "unknown-point" Error "The words before the value are no measuring point that rimebook knows. The value is kept in the note but not used. If the nearest known name is meant, use that; otherwise write it as an observation with `saw`.";
    UNKNOWN_UNIT "RB105" "unknown-unit" Error "The word after the value is no unit. The value is kept in the note but not used.";
    MISSING_VALUE "RB106" "missing-value" Error "A measuring point is named without a value or a state. A missing reading counts as not measured: give the value, or delete the words.";
    STRAY_VALUE "RB107" "stray-value" Error "A value stands without the name of what was measured.";
    UNKNOWN_KEY "RB108" "unknown-head-key" Warning "The word before the colon is no key of the head. The line is kept and shown on the diagnosis note as written, but nothing is computed from it.";
    WRONG_COUNT "RB109" "wrong-value-count" Error "Several values separated by `/` stand for the legs of a three-phase part: two or three values, at a point that has legs.";
    DECIMAL_COMMA "RB110" "decimal-comma" Advice "A comma between digits was read as a decimal point. Commas also separate readings, so a point is safer.";
    DATE_ORDER "RB111" "ambiguous-date-order" Warning "A date like 3/4/2026 was read month first. Write 2026-03-04 or 2026-04-03 to leave no doubt.";
    LONE_CONTINUATION "RB112" "continuation-of-nothing" Error "An indented line continues the free text above it, and here there is nothing above to continue. Move it to the start of the line.";
    LOOSE_MINUS "RB114" "loose-minus" Error "A stroke with a blank behind it stands before a number: it may be a minus sign or only a stroke. The reading is not used until that is clear.";
    TRAILING_WORDS "RB113" "words-after-value" Advice "Words after a value were kept as a remark on that reading. If they are a reading of their own, separate them with a comma.";

    UNDERSTOOD_AS "RB115" "understood-as" Advice "The line was spoken rather than written in the notation, and what it was understood as is shown. Check it: `rimebook fix` or `rimebook fmt` writes it so. Words that are not in what was understood stay in the note as a comment.";
    HEARD_TWO_WAYS "RB116" "heard-two-ways" Error "What was said can be heard in several ways, and which is meant is not for luck to say: `fifteen` and `fifty` sound alike, `compressor one ten amps` may be ten amps of compressor 1. Each way is given as a fix, the likeliest first. As an error, nothing of the line is used until one is chosen; as a warning, it was used as said.";
    NUMBER_IN_TALK "RB117" "number-in-talk" Warning "A sentence was kept as an observation, and a number in it belongs to no measuring point that is known, so it is no reading.";

    WRONG_DIMENSION "RB201" "wrong-dimension" Error "The unit cannot measure the point: a pressure in degrees, a temperature in psi. The reading is not used. Often the neighbouring point is meant: `suction` is a pressure, `suction line` a temperature.";
    UNIT_ASSUMED "RB202" "unit-assumed" Advice "No unit was written, and only one is usual for this point, so that one was taken. Writing it removes the doubt.";
    IMPLAUSIBLE_VALUE "RB203" "implausible-value" Warning "The value is far outside what this point can read. A slipped digit, a missing sign or the wrong unit is likely. It is used as written.";
    UNKNOWN_REFRIGERANT "RB204" "unknown-refrigerant" Error "The refrigerant is not one that rimebook carries data for, so no saturation temperature, superheat or subcooling is computed. It is never replaced by a similar one.";
    NO_VISIT "RB205" "entry-before-visit" Error "An entry stands before the first `visit` line, so it has no date. Put `visit 2026-03-14 Name` above it.";
    TIME_BACKWARDS "RB206" "time-runs-backwards" Warning "The time is earlier than the one above it. Entries are written in the order they happened; past midnight is understood only late in the evening.";
    NO_TIME "RB207" "no-clock-time" Advice "The visit's first entries have no time. Readings without a time cannot be paired by how close they were taken; they are taken as one moment.";
    DUPLICATE_KEY "RB208" "duplicate-head-key" Warning "The head gives this key twice. The first one is used.";
    SAME_MOMENT "RB209" "conflicting-readings" Warning "One point has two different values at the same time. Both are kept; the later line is used.";
    AMOUNT_MISSING "RB212" "amount-missing" Error "Refrigerant was added or recovered without an amount, so the books cannot be kept. Write for example `added 1 lb 10 oz R-448A from C-120`.";
    NAMEPLATE_WORDS "RB213" "nameplate-not-understood" Advice "Part of the nameplate line was not understood. It is shown as written; nothing is computed from that part.";
    VISIT_ORDER "RB214" "visits-out-of-order" Warning "A visit is dated before the one above it. Visits are written in the order they happened.";
    HEAD_INCOMPLETE "RB215" "head-incomplete" Advice "The head does not say which unit this is, or which refrigerant it holds. Without them the unit's history and its saturation temperatures cannot be given.";
    DEPART_WITHOUT_ARRIVE "RB217" "arrival-unpaired" Warning "Time on site needs an `arrive` and a `depart` in the visit. With only one of them the time is shown as not recorded, never guessed.";
    COMMENT_AFTER_NUMBER "RB218" "comment-after-number" Warning "After a blank, `#` starts a comment, so what follows is not read. For pounds of pressure put it against the number: `228#`.";
    BAD_HEAD_VALUE "RB219" "head-value-not-understood" Error "The value of this head key was not understood, so nothing is computed from it.";
    UNIT_NEEDED "RB221" "unit-needed" Error "This point can be measured in several ways, or the note mixes two scales, so a value without a unit could mean several things. The reading is not used until its unit is written.";
    AMOUNT_DOUBTFUL "RB222" "amount-doubtful" Error "The amount of refrigerant is zero or negative, as a range (`3-4 lb`) reads, or the words around it make it a guess, a bound, a share or a correction (`about 3 lb`, `under 3 lb`, `2 lb, no, 3 lb`), or a second weight stands on the line. The books need one weight, off the scale; the line is not counted.";
    TIME_DOUBTFUL "RB223" "time-doubtful" Error "A trip or a wait took less than nothing, or longer than three days, as written. It is not counted: write the time it took.";
    AMOUNT_UNBOOKED "RB224" "amount-not-booked" Warning "A weight of refrigerant stands in a line that books none, so the refrigerant records lack it. Refrigerant is booked by `added 2 lb R-448A from C-118` and `recovered 2 lb into R-40`; a loss that nobody weighed belongs in `saw`, without a weight that looks measured.";
    NOT_ON_VISIT "RB225" "nobody-of-that-name" Warning "An `arrive` or `depart` line names somebody who is not on the visit line, so whose time it is cannot be told and the line is not used for the hours. Write the name as the visit line has it.";
    PERHAPS_SWAPPED "RB226" "perhaps-swapped" Warning "Two temperatures of one line stand the wrong way round: a suction line warmer than the liquid line, or air warmer off the coil than on it with the compressor running. Often the two were noted or heard in the wrong order. They are used as written.";
    TEST_INCOMPLETE "RB220" "test-value-missing" Error "A `hold` needs a pressure and a `vacuum` a reading: `hold nitrogen 150 psig at 72 F`, `vacuum 380 micron`.";
}
