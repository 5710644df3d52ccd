//! `rimebook history`: one unit over the years.

use super::Failure;
use super::folder::{Folder, Notes};
use crate::records::Purpose;
use crate::records::history::history;
use clap::Args;

#[derive(Args)]
pub(super) struct History {
    /// Tag of the unit, or tag and site: `WIF-2`, `WIF-2, 12 Pier Road`
    unit: String,
    #[command(flatten)]
    folder: Folder,
}

impl History {
    pub fn run(&self) -> Result<u8, Failure> {
        let Notes {
            records,
            settings,
            beside,
        } = self.folder.read(Purpose::History)?;
        let answer = history(records, &settings, &self.unit).map_err(Failure)?;
        self.folder.show(beside, answer)
    }
}
