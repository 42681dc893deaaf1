//! The games that `new` begins from, carried inside the program.

use clap::ValueEnum;

/// A game to begin from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Game {
    /// One figure, two poses, one button; 12 V from a listed supply.
    WavingFox,
}

/// The files of the waving fox, by their path in the display's folder.
const WAVING_FOX: &[(&str, &[u8])] = &[
    ("display.toml", include_bytes!("../../../displays/waving-fox/display.toml")),
    ("waving-fox.rules", include_bytes!("../../../displays/waving-fox/waving-fox.rules")),
    ("parts.toml", include_bytes!("../../../displays/waving-fox/parts.toml")),
    ("art/fox.svg", include_bytes!("../../../displays/waving-fox/art/fox.svg")),
];

impl Game {
    /// Its files, by their path in the display's folder.
    pub(crate) fn files(self) -> &'static [(&'static str, &'static [u8])] {
        match self {
            Self::WavingFox => WAVING_FOX,
        }
    }
}
