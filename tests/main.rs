//! One integration binary; a module a concern.

mod reference;
