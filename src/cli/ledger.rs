//! `rimebook ledger`: refrigerant by unit, refrigerant and cylinder; leak rates and duties.

use super::Failure;
use super::folder::{Days, Folder, Notes};
use crate::records::Purpose;
use crate::records::ledger::ledger;
use clap::Args;

#[derive(Args)]
pub(super) struct Ledger {
    #[command(flatten)]
    folder: Folder,
    #[command(flatten)]
    days: Days,
}

impl Ledger {
    pub fn run(&self) -> Result<u8, Failure> {
        let Notes {
            records,
            settings,
            beside,
        } = self.folder.read(Purpose::Ledger)?;
        self.folder
            .show(beside, ledger(records, &settings, self.days.period()))
    }
}
