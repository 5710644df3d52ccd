//! `rimebook hours`: time and parts for the office.

use super::Failure;
use super::folder::{Folder, day};
use crate::records::Purpose;
use crate::records::hours::{By, hours};
use crate::records::ledger::Period;
use clap::{Args, ValueEnum};
use jiff::civil::Date;

#[derive(Args)]
pub(super) struct Hours {
    #[command(flatten)]
    folder: Folder,
    /// What the hours are summed by
    #[arg(long, value_enum, default_value_t = Sum::Job)]
    by: Sum,
    /// First day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    from: Option<Date>,
    /// Last day to count
    #[arg(long, value_name = "DAY", value_parser = day)]
    to: Option<Date>,
}

#[derive(Clone, Copy, ValueEnum)]
enum Sum {
    Job,
    Technician,
    Month,
}

impl Hours {
    pub fn run(&self) -> Result<u8, Failure> {
        let period = Period {
            from: self.from,
            to: self.to,
        };
        let by = match self.by {
            Sum::Job => By::Job,
            Sum::Technician => By::Technician,
            Sum::Month => By::Month,
        };
        let (records, _, unread) = self.folder.read(Purpose::Hours)?.split();
        self.folder.show(&unread, hours(records, period, by))
    }
}
