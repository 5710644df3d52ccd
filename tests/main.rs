//! One integration binary; a module a concern.

mod reference;

mod support;

mod books;
mod canary;
mod causes;
mod charts;
mod command;
mod company;
mod cycle;
mod debts;
mod derived;
mod dictated;
mod documents;
mod doubts;
mod duties;
mod error_cases;
mod expectation;
mod facts;
mod fix;
mod fix_command;
mod folder;
mod food;
mod foreign_names;
mod format;
mod hear;
mod interrupted;
mod office;
#[cfg(feature = "pdf")]
mod pdf;
mod properties;
mod psychrometrics;
mod quantities;
mod report_folder;
mod reports;
mod rule_cases;
mod saturation_command;
mod schema;
mod spoken;
mod strange_files;
mod syntax_cases;
mod templates;
mod words;
