//! `rimebook hours`: time and parts for the office.

use super::Failure;
use super::folder::{Days, Folder, Notes};
use crate::records::Purpose;
use crate::records::hours::{By, hours};
use clap::{Args, ValueEnum};

#[derive(Args)]
pub(super) struct Hours {
    #[command(flatten)]
    folder: Folder,
    /// What the hours are summed by
    #[arg(long, value_enum, default_value_t = Sum::Job)]
    by: Sum,
    #[command(flatten)]
    days: Days,
}

#[derive(Clone, Copy, ValueEnum)]
enum Sum {
    Job,
    Technician,
    Month,
}

impl Hours {
    pub fn run(&self) -> Result<u8, Failure> {
        let by = match self.by {
            Sum::Job => By::Job,
            Sum::Technician => By::Technician,
            Sum::Month => By::Month,
        };
        let Notes {
            records, beside, ..
        } = self.folder.read(Purpose::Hours)?;
        self.folder
            .show(beside, hours(records, self.days.period(), by))
    }
}
