//! What is lit, written and heard after a tick.

use super::{Clock, Frame, Input, Situation, Tick};
use crate::form::{Expr, Form};

/// Frame n: a function of the situation after tick n.
pub fn frame(form: &Form, situation: &Situation) -> Frame {
    let mut frame = Frame {
        poses: vec![None; form.figures.len()],
        spots: vec![0; form.spots.len()],
        digits: vec![None; form.digits.len()],
        zeros: vec![false; form.digits.len()],
        sounds: situation.playing.clone(),
    };
    let nothing = Input::default();
    let lit = Tick::new(form, situation, &situation.simulated, &nothing);
    for (machine, being) in form.machines.iter().zip(&situation.machines) {
        for (number, value) in machine.numbers.iter().zip(&being.numbers) {
            if let Some(digits) = number.shown_on {
                frame.digits[digits] = Some(*value);
            }
        }
    }
    let mut written = vec![false; form.digits.len()];
    for m in 0..form.machines.len() {
        lit.show(m, &mut frame);
        lit.write(m, &mut written, &mut frame);
    }
    frame
}

impl Tick<'_> {
    /// The pose and the spots of a machine's state.
    fn show(&self, m: usize, frame: &mut Frame) {
        let state = &self.form.machines[m].states[self.snapshot.machines[m].state];
        if let Some(shows) = &state.pose {
            frame.poses[shows.figure] = Some(shows.pose);
        }
        for light in &state.lights {
            let count = i32::try_from(light.count).unwrap_or(i32::MAX);
            let index = light.index.as_ref().map_or(1, |index| self.value(m, index)).clamp(1, count);
            let spots = if light.each { 1..=count } else { index..=index };
            for spot in spots {
                let of = |expr: &Expr| self.value_at(m, expr, spot);
                if light.when.as_ref().is_some_and(|when| of(when) == 0) {
                    continue;
                }
                let level = u8::try_from(of(&light.level).clamp(0, 255)).unwrap_or(u8::MAX);
                let lit = &mut frame.spots[light.first + usize::try_from(spot - 1).unwrap_or(0)];
                *lit = (*lit).max(level);
            }
        }
    }

    /// What a machine's state writes on digits that no machine before it writes on.
    fn write(&self, m: usize, written: &mut [bool], frame: &mut Frame) {
        let being = &self.snapshot.machines[m];
        for writes in &self.form.machines[m].states[being.state].writes {
            if std::mem::replace(&mut written[writes.digits], true) {
                continue;
            }
            let dark = writes.flash.as_ref().is_some_and(|flash| match being.timers[flash.timer] {
                Clock::Running(left) => left <= flash.dark,
                Clock::Off | Clock::Due => true,
            });
            frame.digits[writes.digits] = (!dark).then(|| self.value(m, &writes.value));
            frame.zeros[writes.digits] = writes.zeros && !dark;
        }
    }
}
