//! Display to Plan: every number worked out once, with its working.
//!
//! Planning is a handful of pure stages. Each takes plain values, gives plain values, and is remembered by a hash of what
//! it took: a stage whose inputs are what they were is not run again, so an edit redoes only what it touches, and a change
//! that comes to the same result stops there.

pub mod cautions;
pub mod codes;
mod memory;
mod model;
mod note;
mod planner;
mod stage;
mod stops;

pub use memory::{Memory, Run};
pub use model::*;
pub use planner::{Planner, plan};
pub use stage::flash::changes_in_a_second;
