//! What some machines can be in, put beside what others can be in.

use crate::far::Near;
use crate::leap::{Whose, clocks};
use crate::live::Own;
use crate::model::Model;
use crate::pack::Whole;
use crate::reduce::Place;
use crate::zone::Zone;
use rules::form::{Form, Number};
use rules::step::{Being, Clock, Situation};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

/// Some situations of some machines: one of them, and a set of timer values for it.
#[derive(Clone)]
pub(super) struct Part {
    pub(super) whole: Whole,
    pub(super) clocks: Vec<Whose>,
    pub(super) zone: Zone,
}

/// What a part keeps when others are put beside it.
pub(super) struct Keeps<'k> {
    /// The machines it is of.
    pub(super) group: &'k Near,
    /// By machine and state what may still be read.
    pub(super) live: &'k [Vec<BTreeSet<Own>>],
    /// Numbers that are stretches in the part, and values afterwards: the least value of each stretch.
    pub(super) stretches: &'k BTreeMap<Place, Vec<i32>>,
    /// The form with the values.
    pub(super) base: &'k Form,
    /// Where nothing is known.
    pub(super) template: Whole,
}

/// Nothing known of any machine.
pub(super) fn blank(model: &Model) -> Part {
    let form = &model.form;
    let machines = form.machines.iter().map(|machine| Being {
        state: 0,
        numbers: machine.numbers.iter().map(|number| number.start).collect(),
        timers: vec![Clock::Off; machine.timers.len()],
        stream: 0,
    });
    let situation = Situation {
        machines: machines.collect(),
        sent: vec![false; form.messages.len()],
        simulated: vec![false; form.buttons.len()],
        playing: vec![false; form.sounds.len()],
        settings: form.settings.iter().map(|setting| setting.start).collect(),
    };
    let held = vec![false; form.buttons.len()];
    let whole = Whole { situation, held, mode: 0, clock: Clock::Off };
    Part { whole, clocks: Vec::new(), zone: Zone::stretches(&[]) }
}

impl Part {
    /// A set as it was found; each long timer that runs without a clock gets one that can stand anywhere.
    pub(super) fn of(model: &Model, whole: Whole, zone: Zone) -> Self {
        let mut part = Self { clocks: clocks(&whole, &model.free), zone, whole };
        part.bound(model);
        part
    }

    fn bound(&mut self, model: &Model) {
        for (m, i) in &model.free {
            if matches!(self.whole.situation.machines[*m].timers[*i], Clock::Running(_)) {
                let longest = model.form.machines[*m].timers[*i].max;
                self.zone = self.zone.beside(&Zone::stretches(&[(1, longest)]));
                self.clocks.push(Whose::Timer(*m, *i));
            }
        }
    }

    /// Puts back numbers and timers that nothing reads, and everything of other machines; a stretch becomes its values.
    pub(super) fn forgetting(mut self, keeps: &Keeps) -> Vec<Self> {
        let mut wholes = vec![keeps.template.clone()];
        for m in keeps.group {
            let from = &self.whole.situation.machines[*m];
            let live = &keeps.live[*m][from.state];
            for whole in &mut wholes {
                let to = &mut whole.situation.machines[*m];
                to.state = from.state;
                for (i, timer) in to.timers.iter_mut().enumerate().filter(|(i, _)| live.contains(&(true, *i)))
                {
                    *timer = from.timers[i];
                }
            }
            for i in (0..from.numbers.len()).filter(|i| live.contains(&(false, *i))) {
                let number = keeps.base.machines[*m].numbers.get(i);
                let values = values(from.numbers[i], keeps.stretches.get(&(*m, i)), number);
                let with = |whole: &Whole, value: i32| {
                    let mut whole = whole.clone();
                    whole.situation.machines[*m].numbers[i] = value;
                    whole
                };
                wholes =
                    wholes.iter().flat_map(|whole| values.clone().map(|value| with(whole, value))).collect();
            }
        }
        let runs = |at: &usize| match self.clocks[*at] {
            Whose::Timer(m, i) => matches!(wholes[0].situation.machines[m].timers[i], Clock::Running(_)),
            Whose::Observer => false,
        };
        let mut kept: Vec<usize> = (0..self.clocks.len()).filter(runs).collect();
        kept.sort_by_key(|at| self.clocks[*at]);
        self.zone = self.zone.only(&kept);
        self.clocks = kept.iter().map(|at| self.clocks[*at]).collect();
        let flags = &self.whole.situation;
        let with = |mut whole: Whole| {
            whole.situation.sent.clone_from(&flags.sent);
            whole.situation.settings.clone_from(&flags.settings);
            let simulated = whole.situation.simulated.iter_mut().zip(&flags.simulated);
            simulated.for_each(|(to, from)| *to = *from);
            Self { whole, clocks: self.clocks.clone(), zone: self.zone.clone() }
        };
        wholes.into_iter().map(with).collect()
    }

    /// These machines, and those of a group as another part has them; none where the two do not have the shared machines alike.
    pub(super) fn beside(
        &self,
        other: &Self,
        (group, shared): (&Near, &Near),
        senders: &[usize],
    ) -> Option<Self> {
        let (own, from) = (&self.whole.situation, &other.whole.situation);
        let alike = own.settings == from.settings
            && shared.iter().all(|m| own.machines[*m] == from.machines[*m])
            && senders
                .iter()
                .enumerate()
                .all(|(at, sender)| !shared.contains(sender) || own.sent[at] == from.sent[at]);
        if !alike {
            return None;
        }
        let mut part = self.clone();
        let situation = &mut part.whole.situation;
        for m in group {
            situation.machines[*m] = from.machines[*m].clone();
        }
        situation.sent.iter_mut().zip(&from.sent).for_each(|(to, from)| *to |= from);
        situation.simulated.iter_mut().zip(&from.simulated).for_each(|(to, from)| *to |= from);
        let behind = self.clocks.len();
        let same = other.clocks.iter().enumerate().filter_map(|(at, whose)| {
            self.clocks.iter().position(|own| own == whose).map(|own| (own, behind + at))
        });
        part.zone = self.zone.beside(&other.zone).alike(&same.collect::<Vec<_>>())?;
        part.clocks.extend(&other.clocks);
        Some(part)
    }

    pub(super) fn in_order(self, model: &Model) -> (Whole, Zone) {
        let order = clocks(&self.whole, &model.free);
        let place = |whose: &Whose| self.clocks.iter().position(|of| of == whose).unwrap_or(0);
        let places: Vec<usize> = order.iter().map(place).collect();
        (self.whole, self.zone.only(&places))
    }
}

/// The values that a number which stands for a stretch can have.
fn values(value: i32, stretch: Option<&Vec<i32>>, number: Option<&Number>) -> RangeInclusive<i32> {
    let (Some(least), Some(number), Ok(at)) = (stretch, number, usize::try_from(value)) else {
        return value..=value;
    };
    let most = least.get(at + 1).map_or(number.max, |next| next - 1);
    least.get(at).copied().unwrap_or(number.min)..=most
}
