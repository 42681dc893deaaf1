//! The games that `new` begins from, carried inside the program: the displays of this project.

use crate::ending::Stop;
use finding::suggestion;

/// A game to begin from.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Game {
    /// Its name, as `--game` takes it.
    pub(crate) name: &'static str,
    /// One line about it: the first of its description.
    pub(crate) about: &'static str,
    /// Its files, by their path in the display's folder.
    pub(crate) files: &'static [(&'static str, &'static [u8])],
}

/// All of them, by name; `build.rs` gathers them.
pub(crate) const GAMES: &[Game] = include!(concat!(env!("OUT_DIR"), "/games.rs"));

/// What `new` gives when no game is named: a first evening.
pub(crate) const FIRST: &str = "waving-fox";

/// The game of a name.
pub(crate) fn game(name: &str) -> Result<&'static Game, Stop> {
    GAMES.iter().find(|game| game.name == name).ok_or_else(|| {
        let near = suggestion(name, GAMES.iter().map(|game| game.name)).unwrap_or_default();
        Stop::Faults(format!("there is no game `{name}`; {near}"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_game_has_its_description_and_the_first_is_there() {
        assert!(game(FIRST).is_ok());
        for game in GAMES {
            assert!(game.files.iter().any(|(path, _)| *path == "display.toml"), "{}", game.name);
            assert!(!game.about.is_empty(), "{}", game.name);
        }
    }

    #[test]
    fn a_slip_is_told_the_nearest_name() {
        match game("waving-fxo") {
            Err(Stop::Faults(words)) => assert!(words.contains("did you mean `waving-fox`"), "{words}"),
            other => panic!("{other:?}"),
        }
    }
}
