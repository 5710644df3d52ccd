//! `rimebook ledger`: refrigerant by unit, refrigerant and cylinder; leak rates and duties.

use super::Failure;
use super::folder::{Folder, day};
use crate::records::Purpose;
use crate::records::ledger::{Period, ledger};
use clap::Args;
use jiff::civil::Date;

#[derive(Args)]
pub(super) struct Ledger {
    #[command(flatten)]
    folder: Folder,
    /// First day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    from: Option<Date>,
    /// Last day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    to: Option<Date>,
}

impl Ledger {
    pub fn run(&self) -> Result<u8, Failure> {
        let period = Period {
            from: self.from,
            to: self.to,
        };
        let (records, settings, unread) = self.folder.read(Purpose::Ledger)?.split();
        self.folder
            .show(&unread, ledger(records, &settings, period))
    }
}
