//! What a display does with nobody there, by the referee.

use rules::form::Form;
use rules::step::{Input, begin, frame, step_on};

/// What is seen of a display that was just switched on while nobody presses.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unattended {
    /// For so long.
    pub seconds: u64,
    /// For each figure its poses, in the order in which they were seen.
    pub poses: Vec<Vec<usize>>,
    /// The spots that were lit at any time, by position.
    pub lit: Vec<usize>,
    /// For each digits the least and the greatest number shown; none stayed blank.
    pub digits: Vec<Option<(i32, i32)>>,
}

/// Plays this many seconds without a press, from switching on with nothing kept.
pub fn unattended(form: &Form, seconds: u64) -> Unattended {
    let mut seen = Unattended {
        seconds,
        poses: vec![Vec::new(); form.figures.len()],
        lit: Vec::new(),
        digits: vec![None; form.digits.len()],
    };
    let ticks = seconds * 1000 / u64::from(form.tick_ms.max(1));
    let (mut situation, idle) = (begin(form, &[]).situation, Input::default());
    for _ in 0..ticks {
        situation = step_on(form, situation, &idle).situation;
        let now = frame(form, &situation);
        for (poses, pose) in seen.poses.iter_mut().zip(&now.poses) {
            if let Some(pose) = pose.filter(|pose| !poses.contains(pose)) {
                poses.push(pose);
            }
        }
        let lit = now.spots.iter().enumerate().filter(|(_, level)| **level > 0).map(|(spot, _)| spot);
        for spot in lit {
            if !seen.lit.contains(&spot) {
                seen.lit.push(spot);
            }
        }
        for (range, shown) in seen.digits.iter_mut().zip(&now.digits) {
            if let Some(shown) = shown {
                let (least, most) = range.unwrap_or((*shown, *shown));
                *range = Some((least.min(*shown), most.max(*shown)));
            }
        }
    }
    seen.lit.sort_unstable();
    seen
}
