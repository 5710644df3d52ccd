//! `rimebook report`
use super::Failure;
use clap::Args;
#[derive(Args)]
pub(super) struct Report {}
impl Report {
    pub fn run(&self) -> Result<u8, Failure> {
        Err(Failure("not yet".into()))
    }
}
