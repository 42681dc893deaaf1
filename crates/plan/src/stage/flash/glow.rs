//! Whether a spot is lit in what is known of a slice.

use super::outcome::mark;
use super::slice::{Now, Seen, Slice};
use super::value::{decided, each_node, interval};
use rules::form::{Lights, Node};

/// Whether a spot's channel is on: its level is above the middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Glow {
    On,
    Off,
    /// Between its two ends, by time alone.
    Fading,
}

/// From here on a channel is on.
const MIDDLE: i64 = 127;

/// Whether a light may be on a spot.
pub(super) fn can_light(light: &Lights, spot: usize) -> bool {
    let count = usize::try_from(light.count).unwrap_or(usize::MAX);
    (light.first..light.first.saturating_add(count)).contains(&spot)
}

/// Whether a light goes up or down by itself.
fn by_time(light: &Lights) -> bool {
    let mut any = false;
    each_node(&light.level, &mut |node| any |= matches!(node, Node::Left { .. }));
    any
}

/// The marks of entering a state in any machine whose light on a spot fades.
pub(super) fn lighting(slice: &Slice<'_>, spot: usize) -> u64 {
    let may = |slot: &usize| {
        let lights = slice.machine(*slot).states.iter().flat_map(|state| &state.lights);
        lights.filter(|light| can_light(light, spot)).any(by_time)
    };
    (0..slice.machines.len()).filter(may).map(mark::enters).fold(0, |all, one| all | one)
}

/// The light that these machines give a spot; none where it depends on what is not told apart.
pub(super) fn glow(slice: &Slice<'_>, now: Now, seen: &[usize], spot: usize) -> Option<Glow> {
    let mut all = Glow::Off;
    for slot in (0..slice.machines.len()).filter(|slot| seen.contains(&slice.machines[*slot])) {
        let state = &slice.machine(slot).states[slice.state(slot, now)];
        for light in state.lights.iter().filter(|light| can_light(light, spot)) {
            match of_light(slice, now, light, spot)? {
                Glow::On => return Some(Glow::On),
                Glow::Fading => all = Glow::Fading,
                Glow::Off => {}
            }
        }
    }
    Some(all)
}

fn of_light(slice: &Slice<'_>, now: Now, light: &Lights, spot: usize) -> Option<Glow> {
    let after = Seen { slice, own: usize::MAX, frozen: now, written: now, pressed: None };
    let place = i64::try_from(spot - light.first).unwrap_or(0) + 1;
    if !light.each {
        let index = light.index.as_ref().map_or((1, 1), |index| interval(&after, index, 1));
        let count = i64::from(light.count);
        let (low, high) = (index.0.clamp(1, count), index.1.clamp(1, count));
        if high < place || place < low {
            return Some(Glow::Off);
        }
        if low != high {
            return None;
        }
    }
    match light.when.as_ref().map_or(Some(true), |when| decided(interval(&after, when, place))) {
        Some(false) => return Some(Glow::Off),
        Some(true) => {}
        None => return None,
    }
    let (low, high) = interval(&after, &light.level, place);
    if low > MIDDLE {
        return Some(Glow::On);
    }
    if high <= MIDDLE {
        return Some(Glow::Off);
    }
    by_time(light).then_some(Glow::Fading)
}
