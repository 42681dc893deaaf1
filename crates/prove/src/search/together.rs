//! Which machines are looked up together: neighbours, as long as they are few in number.

use super::mirror::Mirror;

/// Machines of a group at most: their numbers stand side by side in 128 bits.
const MOST_MACHINES: usize = 5;
/// Locals of a group at most, by those its machines have had when it is made.
const MOST_LOCALS: usize = 1 << 12;

/// Every machine alone.
pub(super) fn alone(machines: usize) -> Vec<Vec<usize>> {
    (0..machines).map(|m| vec![m]).collect()
}

/// Neighbours together as long as they are few in number, and the mirror sends groups to groups. `counts`: locals of each
/// machine.
pub(super) fn neighbours(counts: &[usize], mirror: Option<&Mirror>) -> Vec<Vec<usize>> {
    let groups = small(counts);
    let Some(mirror) = mirror else { return groups };
    let whole = |group: &Vec<usize>| groups.contains(&image(mirror, group));
    groups
        .iter()
        .flat_map(
            |group| if whole(group) { vec![group.clone()] } else { group.iter().map(|m| vec![*m]).collect() },
        )
        .collect()
}

/// The group that the mirror sends a group to.
pub(super) fn image(mirror: &Mirror, group: &[usize]) -> Vec<usize> {
    let mut image: Vec<usize> = group.iter().map(|m| mirror.machines[*m]).collect();
    image.sort_unstable();
    image
}

fn small(counts: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut product = MOST_LOCALS;
    for (m, count) in counts.iter().enumerate() {
        product = product.saturating_mul(*count);
        match groups.last_mut() {
            Some(group) if product <= MOST_LOCALS && group.len() < MOST_MACHINES => group.push(m),
            _ => {
                groups.push(vec![m]);
                product = *count;
            }
        }
    }
    groups
}
