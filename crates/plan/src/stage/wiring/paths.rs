//! The way from a light back to its pin, as labels to look for, one after the other.

use super::watch::LABEL as W;
use super::{Input, Lit};
use crate::{Cable, Conductor, SignalPath};

/// The labels on the way of one light; none for a light whose channel is not there.
pub(super) fn path(input: &Input<'_>, cables: &[Cable], lit: &Lit) -> Option<SignalPath> {
    let channel = input.channels.get(lit.channel)?;
    let board = input.boards.get(channel.board)?;
    let mut by = vec![lit.light.clone()];
    if let Some(outlet) = &channel.outlet {
        let label = input.boxes.get(outlet.switch_box).map_or("", |part| part.label.as_str());
        by.push(format!("{label} outlet {}", outlet.outlet));
    }
    by.extend(conductor(cables, &channel.label));
    by.push(format!("board {} output {} ({})", board.label, board.beside(channel.output), channel.label));
    // Data passes every board that stands before it in the chain.
    for before in input.boards.iter().take(channel.board).rev() {
        by.push(format!("board {}", before.label));
    }
    by.push("C2 conductor 1, register data".into());
    by.push(format!("watch {W}"));
    by.push("C1 conductor 1, register data".into());
    by.push("pin D11".into());
    Some(SignalPath { light: lit.light.clone(), channel: lit.channel, by })
}

/// Whether a conductor starts at a channel's output. A pin of the controller may bear the same letter and number.
pub(super) fn starts_at(conductor: &Conductor, channel: &str) -> bool {
    let own = |carries: &str| carries.strip_prefix(channel).is_some_and(|rest| rest.starts_with(' '));
    conductor.from == channel && own(&conductor.carries)
}

/// The conductor that starts at a channel's output.
fn conductor(cables: &[Cable], channel: &str) -> Option<String> {
    cables.iter().find_map(|cable| {
        let conductor = cable.conductors.iter().find(|conductor| starts_at(conductor, channel))?;
        Some(format!("{} conductor {}", cable.label, conductor.number))
    })
}
