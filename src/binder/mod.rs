//! Reports with what lies around a note: one of them, or those of a whole folder with an index by site and
//! unit and a page a unit.
//!
//! What a report was made from is kept as digests of content, so that a copied folder or a touched file
//! changes nothing, and a changed template or setting everything it should.

mod folder;
mod names;
mod pages;
mod report;
mod shelf;
mod state;

pub use folder::{Bound, Order, Progress, bind};
pub use pages::{IndexView, JobRow, SiteRow, UnitRow, UnitView};
pub use report::{Around, Beside, Kind, report, text};
pub use state::{Kept, PageKept, State, Summary};
