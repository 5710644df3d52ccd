//! `rimebook refrigerant`: refrigerant by unit, refrigerant and cylinder; leak rates and duties.

use super::Failure;
use super::folder::{Days, Folder, Notes};
use crate::records::Purpose;
use crate::records::refrigerant::refrigerant;
use clap::Args;

#[derive(Args)]
pub(super) struct Refrigerant {
    #[command(flatten)]
    folder: Folder,
    #[command(flatten)]
    days: Days,
}

impl Refrigerant {
    pub fn run(&self) -> Result<u8, Failure> {
        let Notes {
            records,
            settings,
            beside,
        } = self.folder.read(Purpose::Refrigerant)?;
        self.folder
            .show(beside, refrigerant(records, &settings, self.days.period()))
    }
}
