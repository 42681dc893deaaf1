//! What a tick counts for, in what is known of a slice.

use super::counts::Counted;
use super::glow::{Glow, glow, lighting};
use super::joint::{Edge, Graph};
use super::outcome::mark;
use super::slice::{Now, Slice};
use rules::form::Trigger;

/// The marks that something counted looks at.
pub(super) fn marks(slice: &Slice<'_>, counted: Counted) -> u64 {
    match counted {
        Counted::Figure(_) => 0,
        Counted::Spot(spot) => lighting(slice, spot),
        Counted::Digits(digits) => mark::digits(digits),
        Counted::Sends(message) => mark::sends(message),
    }
}

/// The clock that always ends a state of a machine, by its position among those of the machines that are seen, and after how
/// many ticks: a way out on it has no condition, and nothing else starts or stops it.
pub(super) fn lasts(slice: &Slice<'_>, seen: &[usize], slot: usize, state: usize) -> Option<(usize, u16)> {
    let (m, machine) = (slice.machines[slot], slice.machine(slot));
    if machine.ties.is_some() {
        return None;
    }
    let state = &machine.states[state];
    let ends = |timer: usize| {
        let mut ways = state.transitions.iter();
        ways.any(|way| way.trigger == Trigger::Timer { timer } && way.condition.is_none() && way.go.is_some())
    };
    let dwell = state.dwells.iter().find(|dwell| ends(dwell.timer))?;
    let visible = slice.clocks.iter().filter(|clock| seen.contains(&clock.machine));
    let at = visible.clone().position(|clock| (clock.machine, clock.timer) == (m, dwell.timer))?;
    Some((at, u16::try_from(dwell.ticks).ok()?))
}

/// What a tick counts for.
pub(super) type Worth = Box<dyn Fn(usize, Edge) -> u32>;

pub(super) fn worth(slice: &Slice<'_>, graph: &Graph, seen: &[usize], counted: Counted) -> Option<Worth> {
    let marked: Vec<bool> = graph.effects.iter().map(|effect| effect.marks != 0).collect();
    match counted {
        Counted::Sends(_) | Counted::Digits(_) => {
            Some(Box::new(move |_, edge| u32::from(marked[edge.effect as usize])))
        }
        Counted::Figure(figure) => {
            let poses: Vec<Option<usize>> =
                graph.nodes.iter().map(|node| pose(slice, *node, seen, figure)).collect();
            Some(Box::new(move |from, edge| u32::from(poses[from] != poses[edge.to as usize])))
        }
        Counted::Spot(spot) => {
            let lit: Option<Vec<Glow>> =
                graph.nodes.iter().map(|node| glow(slice, *node, seen, spot)).collect();
            let lit = lit?;
            Some(Box::new(move |from, edge| match (lit[from], lit[edge.to as usize]) {
                // A fade that begins may jump at first, and passes the middle once.
                (_, Glow::Fading) if marked[edge.effect as usize] => 2,
                (Glow::Fading, Glow::Fading) => 0,
                (one, other) => u32::from(one != other),
            }))
        }
    }
}

/// The pose that some machines show of a figure; none where it is dark.
fn pose(slice: &Slice<'_>, now: Now, seen: &[usize], figure: usize) -> Option<usize> {
    let slots = (0..slice.machines.len()).filter(|slot| seen.contains(&slice.machines[*slot]));
    let mut shown = slots.filter_map(|slot| {
        let pose = slice.machine(slot).states[slice.state(slot, now)].pose.as_ref()?;
        (pose.figure == figure).then_some(pose.pose)
    });
    shown.next_back()
}
