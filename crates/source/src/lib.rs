//! Texts, places in them, key paths and exact-byte patches.
//!
//! Nothing here knows what a text means. The readers above say *where* something stands with a [`Place`] and *which
//! value* is meant with a [`KeyPath`]; only the command line turns either into lines, columns and underlines.

mod files;
mod key_path;
mod patch;
mod text;

pub use files::{FileFault, Files, MAX_FILE_BYTES, MemoryFiles};
pub use key_path::{KeyPath, Step};
pub use patch::{PatchFault, replace_exactly};
pub use text::{LineColumn, Place, Text};
