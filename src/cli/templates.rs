//! `rimebook templates`: the embedded templates, to be changed.

use super::output::write_new;
use super::{Failure, aside};
use crate::render;
use crate::world::DiskWorld;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Args)]
pub(super) struct Templates {
    #[command(subcommand)]
    action: Action,
}

#[derive(Subcommand)]
enum Action {
    /// Write the embedded set to a folder: templates, messages, schemas, and a guide to all of it
    Export {
        /// Folder, made if it is not there; no file in it is written over
        folder: PathBuf,
    },
}

impl Templates {
    pub fn run(&self) -> Result<u8, Failure> {
        let Action::Export { folder } = &self.action;
        let files = render::exported();
        // All or nothing: half a set beside a company's own would be hard to tell apart.
        let there = files.iter().find(|(name, _)| folder.join(name).exists());
        if let Some((name, _)) = there {
            return Err(Failure(format!(
                "{} is there already; nothing is written over it",
                folder.join(name).display()
            )));
        }
        for (name, text) in &files {
            let path = folder.join(name);
            write_new(&DiskWorld::default(), &path, text.as_bytes())?;
        }
        aside!("wrote {} files to {}", files.len(), folder.display());
        aside!("keep those you change, and name the folder in rimebook.toml: see GUIDE.md there");
        Ok(0)
    }
}
