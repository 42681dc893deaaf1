//! Rehearsal over the machine form: games played by simulated people, and what comes of them.
//!
//! [`quick`] plays the rules, [`people`] says who comes, [`rehearse`](rehearse()) lets them loose, [`rehearsal`] is what comes of it.

pub mod chance;
pub mod people;
mod person;
pub mod quick;
pub mod rehearsal;
mod rehearse;
mod run;
mod summary;
mod unattended;
mod verdict;
mod visit;

pub use rehearse::{Order, Variant, rehearse};
pub use run::{Cast, Ready};
pub use unattended::{Unattended, unattended};
pub use verdict::{ENOUGH, is_hard};
pub use visit::Script;
