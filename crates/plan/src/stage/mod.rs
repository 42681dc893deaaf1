//! The stages, in the order in which they build on each other.

pub(crate) mod bunches;
pub(crate) mod buy;
pub(crate) mod drive;
pub(crate) mod flash;
pub(crate) mod power;
pub(crate) mod span;
pub(crate) mod strands;
pub(crate) mod wiring;
