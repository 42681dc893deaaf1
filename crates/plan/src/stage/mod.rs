//! The stages, in the order in which they build on each other.

pub(crate) mod bunches;
pub(crate) mod buy;
pub(crate) mod drive;
pub(crate) mod flash;
pub(crate) mod power;
pub(crate) mod season;
pub(crate) mod sight;
pub(crate) mod span;
pub(crate) mod stand;
pub(crate) mod strands;
pub(crate) mod wiring;
