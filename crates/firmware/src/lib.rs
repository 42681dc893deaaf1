//! Plan and machine form to a C project for the controller.

mod core_c;
mod expr;
mod fit;
mod limits_c;
mod machine_c;
mod names;
mod pins;
mod project;
mod service_c;
mod start_c;
mod step_c;
mod store_c;
mod trial_c;
mod wiring_c;
mod writer;

pub use core_c::rules_c;
pub use fit::{Unfit, memory};
pub use project::{buttons_c, project};
