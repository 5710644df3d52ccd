//! The reports of a whole folder: which of them are up to date, the index by site and unit, a page a unit.
//!
//! What a report was made from is kept as digests of content, so that a copied folder or a touched file
//! changes nothing, and a changed template or setting everything it should.

mod pages;
mod state;

pub use pages::{IndexView, UnitView, index, page_name, unit_page};
pub use state::{Kept, PageKept, State, Summary, digest, digest_of};
