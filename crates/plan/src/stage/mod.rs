//! The stages, in the order in which they build on each other.

pub(crate) mod bunches;
pub(crate) mod buy;
pub(crate) mod circuits;
pub(crate) mod digits;
pub(crate) mod drive;
pub(crate) mod flash;
pub(crate) mod lit;
pub(crate) mod power;
pub(crate) mod put_up;
pub(crate) mod rig;
pub(crate) mod season;
pub(crate) mod sheets;
pub(crate) mod shelter;
pub(crate) mod sight;
pub(crate) mod span;
pub(crate) mod stand;
pub(crate) mod strands;
pub(crate) mod trials;
pub(crate) mod wear;
pub(crate) mod wiring;
