//! How a command ends.

use std::fmt::Display;
use std::io;
use std::process::ExitCode;

/// How a command ended; the number is the program's exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ending {
    /// Nothing stops.
    Nothing = 0,
    /// A file, the network or the system failed, or the command was used wrongly.
    System = 1,
    /// What was written has faults.
    Faults = 2,
    /// A danger withholds part of the recipe.
    Withheld = 3,
    /// No claim is refuted, but some could not be decided.
    Undecided = 4,
}

impl Ending {
    /// The program's exit code.
    pub(crate) fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Nothing => 0,
            Self::System => 1,
            Self::Faults => 2,
            Self::Withheld => 3,
            Self::Undecided => 4,
        })
    }

    /// The word for it in `--json`.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Nothing => "nothing-stops",
            Self::System => "system",
            Self::Faults => "faults",
            Self::Withheld => "withheld",
            Self::Undecided => "undecided",
        }
    }
}

/// Why a command could not go on.
#[derive(Debug)]
pub(crate) enum Stop {
    /// The reader of our output has gone.
    BrokenPipe,
    /// What was written asks for what cannot be made, in words.
    Faults(String),
    /// Anything else of the system, in words.
    System(String),
}

impl Stop {
    /// A failure with what was being done.
    pub(crate) fn doing(what: impl Display) -> impl FnOnce(io::Error) -> Self {
        move |why| Self::System(format!("{what}: {why}"))
    }
}

impl From<io::Error> for Stop {
    fn from(why: io::Error) -> Self {
        if why.kind() == io::ErrorKind::BrokenPipe { Self::BrokenPipe } else { Self::System(why.to_string()) }
    }
}
