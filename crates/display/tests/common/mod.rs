//! The waving fox as files in memory, to be broken by tests.
#![allow(dead_code, reason = "each test file uses some of these")]

use source::MemoryFiles;

pub(crate) const DESCRIPTION: &str = include_str!("../../../../displays/waving-fox/display.toml");
pub(crate) const RULES: &str = include_str!("../../../../displays/waving-fox/waving-fox.rules");
pub(crate) const SHELF: &str = include_str!("../../../../displays/waving-fox/parts.toml");
pub(crate) const DRAWING: &str = include_str!("../../../../displays/waving-fox/art/fox.svg");

/// All files of the fox, with this description.
pub(crate) fn fox(description: &str) -> MemoryFiles {
    MemoryFiles::default()
        .with("display.toml", description)
        .with("waving-fox.rules", RULES)
        .with("parts.toml", SHELF)
        .with("art/fox.svg", DRAWING)
}
