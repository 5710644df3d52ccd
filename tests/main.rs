//! One integration binary; a module a concern.

mod reference;

mod support;

mod books;
mod causes;
mod command;
mod cycle;
mod debts;
mod derived;
mod documents;
mod doubts;
mod error_cases;
mod food;
mod office;
mod properties;
mod psychrometrics;
mod quantities;
mod reports;
mod rule_cases;
mod saturation_command;
mod syntax_cases;
