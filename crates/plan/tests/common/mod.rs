//! The displays that come with the program, read whole.
#![allow(dead_code, reason = "each test file uses some of these")]

use display::Display;
use source::{MemoryFiles, Text};

fn whole(files: &MemoryFiles) -> (Display, Text) {
    let (display, faults, texts) = display::read(files);
    assert!(faults.iter().all(|fault| !fault.stops()), "{faults:?}");
    let text = texts.into_iter().find(|text| text.name() == "display.toml").expect("a description");
    (display.expect("a display"), text)
}

/// The waving fox.
pub(crate) fn fox() -> (Display, Text) {
    whole(
        &MemoryFiles::default()
            .with("display.toml", include_str!("../../../../displays/waving-fox/display.toml"))
            .with("waving-fox.rules", include_str!("../../../../displays/waving-fox/waving-fox.rules"))
            .with("art/fox.svg", include_str!("../../../../displays/waving-fox/art/fox.svg")),
    )
}

/// A yard with everything in it, to be changed by tests: two jugglers, a span of clubs, digits, lit buttons, mains, a season.
pub(crate) const YARD: &str = include_str!("yard.toml");

/// The files of that yard, with this description.
pub(crate) fn yard(description: &str) -> MemoryFiles {
    MemoryFiles::default()
        .with("display.toml", description)
        .with("parts.toml", include_str!("../../../../displays/club-passing/parts.toml"))
        .with("club-passing.rules", include_str!("../../../../displays/club-passing/club-passing.rules"))
        .with("art/juggler.svg", include_str!("../../../../displays/club-passing/art/juggler.svg"))
        .with("art/club.svg", include_str!("../../../../displays/club-passing/art/club.svg"))
}

/// The club passing, as it comes with the program.
pub(crate) fn flagship() -> (Display, Text) {
    whole(&yard(include_str!("../../../../displays/club-passing/display.toml")))
}
