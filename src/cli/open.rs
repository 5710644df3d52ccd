//! `rimebook open`: what is still open, by risk and age.

use super::Failure;
use super::folder::{Folder, Notes, day};
use crate::records::Purpose;
use crate::records::open::open;
use crate::world::{DiskWorld, World};
use clap::Args;
use jiff::civil::Date;

#[derive(Args)]
pub(super) struct Open {
    #[command(flatten)]
    folder: Folder,
    /// Day that ages and due days are counted to; today without it
    #[arg(long, value_name = "DAY", value_parser = day)]
    on: Option<Date>,
}

impl Open {
    pub fn run(&self) -> Result<u8, Failure> {
        let on = self.on.unwrap_or_else(|| DiskWorld::default().today());
        let Notes {
            records,
            settings,
            beside,
        } = self.folder.read(Purpose::Open)?;
        self.folder.show(beside, open(records, &settings, on))
    }
}
