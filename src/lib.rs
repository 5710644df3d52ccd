//! rimebook
#![allow(missing_docs)]
pub mod cli;
pub mod compile;
pub mod render;
pub mod view;
pub mod derive;
pub mod diagnostic;
pub mod findings;
pub mod model;
pub mod quantity;
pub mod refrigerant;
pub mod source;
pub mod syntax;
pub mod vocabulary;
pub mod world;
