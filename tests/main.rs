//! One integration binary; a module a concern.

mod reference;

mod support;

mod command;
mod derived;
mod documents;
mod doubts;
mod error_cases;
mod properties;
mod quantities;
mod reports;
mod rule_cases;
mod syntax_cases;
