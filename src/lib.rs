//! Compiles plain-text job notes of refrigeration service into checked reports.
//!
//! The pipeline, one way and in this order:
//!
//! 1. [`source`]: the text of one note, its line table, byte spans.
//! 2. [`diagnostic`]: the one struct for everything there is to say about it.
//! 3. [`quantity`], [`refrigerant`], [`vocabulary`]: units, saturation, words of the trade as data.
//! 4. [`syntax`]: text to lines; parsing never fails. Lines that were spoken go through [`spoken`] first.
//! 5. [`model`]: lines to job, visits, entries, readings.
//! 6. [`derive`](mod@derive): readings to superheat, unbalance, balance …, each with its inputs.
//! 7. [`expectation`], [`findings`]: what the unit should do, and rules over readings and derived values.
//! 8. [`causes`]: what may be wrong, ranked on everything measured at one moment.
//! 9. [`view`]: what each reader may see; private things end here.
//! 10. [`render`]: views to HTML, Markdown, PDF, JSON, CSV, in the [`words`] of a language.
//! 11. [`binder`]: the reports of a whole folder, made anew where what they rest on changed.
//!
//! [`mod@format`] stands beside [`compile`](mod@compile): it asks syntax and model what a note says, and gives
//! the same note back in its canonical form.
//!
//! [`duties`] stands after [`derive`](mod@derive), beside the rules: leak rates and what the law asks after them, from
//! dated events that its caller gives it.
//!
//! [`fixes`] puts replacements into a note and compiles it again.
//!
//! [`compile`](mod@compile) runs 1 to 7, and 8 when asked, and is the file to read first. The library does no input or
//! output except through [`world`]; [`cli`] is the thin command line.
//!
//! ```
//! use rimebook::{compile::compile, source::Source};
//!
//! let note = "unit: RC-1, reach-in cooler\nrefrigerant: R-134a\n\
//!             visit 2026-03-14 Dana\n0912 suction 18.4 psig, suction line 32 F\n";
//! let compiled = compile(Source::new("note.job", note));
//! let superheat = compiled.derived.of("superheat").next().unwrap();
//! assert_eq!(superheat.text(compiled.job.display), "12.0 F");
//! ```

// The code that pest derives without its stack guard names this crate. The guard is off because no
// rule of the grammar recurses: measured, it took a quarter of the time of a parse.
extern crate alloc;

pub mod address;
pub mod binder;
pub mod causes;
pub mod cli;
pub mod compile;
pub mod derive;
pub mod diagnostic;
pub mod duties;
pub mod expectation;
pub mod findings;
pub mod fixes;
pub mod format;
pub mod model;
pub mod picture;
pub mod psychrometrics;
pub mod quantity;
pub mod records;
pub mod refrigerant;
pub mod render;
pub mod settings;
pub mod source;
pub mod spoken;
pub mod syntax;
pub mod view;
pub mod vocabulary;
pub mod words;
pub mod world;
