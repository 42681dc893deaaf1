//! The commands, one file each.

pub(crate) mod build;
pub(crate) mod check;
pub(crate) mod explain;
pub(crate) mod new;
pub(crate) mod prove;
pub(crate) mod reckon;
pub(crate) mod rehearse;
pub(crate) mod tidy;
pub(crate) mod workbench;
