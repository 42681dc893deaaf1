//! The trade's formulas as pure functions, registered under plain names.
//!
//! Every formula stands here once: the plan, the book and whoever wants one alone call the same function. The
//! [register](formulas) carries what it needs, where it was read and a worked example from outside that a test runs.

mod register;
mod shorthand;

pub mod beat;
pub mod button;
pub mod cable;
pub mod chain;
pub mod cord;
pub mod energy;
pub mod flash;
pub mod flight;
pub mod hang;
pub mod heat;
pub mod led;
pub mod legible;
pub mod load;
pub mod mains;
pub mod of;
pub mod panel;
pub mod people;
pub mod rope;
pub mod segments;
pub mod sight;
pub mod strand;
pub mod sun;
pub mod supply;
pub mod switching;
pub mod wind;
pub mod wire;

pub use register::{Example, Formula, Input, formula, formulas};
pub use shorthand::GRAVITY;
