//! The pest parser over `grammar/line.pest`. Nothing outside `syntax` sees it.
#![allow(
    missing_docs,
    reason = "the derive declares one undocumented rule enum"
)]

use pest_derive::Parser;

/// Parser generated from the grammar; each entry rule takes one line or one statement.
#[derive(Parser)]
#[grammar = "../grammar/line.pest"]
pub(super) struct Grammar;
