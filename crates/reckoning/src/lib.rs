//! The trade's formulas as pure functions, registered under plain names.
//!
//! Every formula stands here once: the plan, the book and whoever wants one alone call the same function. The
//! [register](formulas) carries what it needs, where it was read and a worked example from outside that a test runs.

mod register;
mod shorthand;

pub mod cable;
pub mod energy;
pub mod flash;
pub mod flight;
pub mod hang;
pub mod legible;
pub mod load;
pub mod panel;
pub mod people;
pub mod rope;
pub mod sight;
pub mod strand;
pub mod sun;
pub mod wind;
pub mod wire;

pub use register::{Example, Formula, Input, formula, formulas};
