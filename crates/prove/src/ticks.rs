//! One tick of a model: every outcome that presses and picks can give it, each worked out by the referee, [`rules::step`].

use crate::model::{Model, Who};
use crate::value::Sight;
use crate::work::{Enough, Work};
use rules::step::{Being, Clock, Input, Outcome, Pick, Situation, Start, begin_from, step};

impl Model {
    /// What is not part of a situation's identity is put to nothing: random streams (picks are varied freely instead),
    /// sounds, flags. Says whether a store did not fit.
    pub(crate) fn settle(&self, situation: &mut Situation) -> bool {
        situation.playing.fill(false);
        let mut flagged = false;
        for (m, (being, flag)) in situation.machines.iter_mut().zip(&self.flags).enumerate() {
            being.stream = 0;
            let not_fit = std::mem::take(&mut being.numbers[*flag]) != 0;
            flagged |= not_fit && self.judged.is_none_or(|judged| judged == m);
        }
        flagged
    }

    /// The situation as the transitions of the next tick see it: running timers have lost one.
    pub(crate) fn counted(&self, before: &Situation) -> Situation {
        let mut snapshot = before.clone();
        for (m, being) in snapshot.machines.iter_mut().enumerate() {
            self.count(m, being);
        }
        snapshot
    }

    /// One machine's running timers lose one.
    pub(crate) fn count(&self, m: usize, being: &mut Being) {
        for (clock, timer) in being.timers.iter_mut().zip(&self.form.machines[m].timers) {
            *clock = match *clock {
                Clock::Running(left) if left <= 1 && timer.cycle => Clock::Running(timer.max),
                Clock::Running(left) if left <= 1 => Clock::Due,
                Clock::Running(left) => Clock::Running(left - 1),
                still => still,
            };
        }
    }

    /// The edges of a tick: real ones and those the rules pressed in the tick before.
    pub(crate) fn pressed(&self, before: &Situation, input: &Input) -> Vec<bool> {
        let real = |b: usize| input.pressed.get(b).copied().unwrap_or(false);
        (0..self.form.buttons.len()).map(|b| before.simulated[b] || real(b)).collect()
    }

    /// Every outcome of tick 0 from one start.
    pub(crate) fn begin(
        &self,
        start: &Start,
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        let mut blank = Input::default();
        self.pick_all(&|input| begin_from(&self.form, start, &input.picks), &mut blank, lengths_free, work, f)
    }

    /// Every outcome of the next tick: each set of presses that somebody listens to, each way of holding and letting go of
    /// the buttons whose holding is read, each pick. The first one is that nothing is pressed and nothing let go (or, when
    /// nobody presses, that everything is let go).
    ///
    /// A press that no machine's present state listens to and no claim waits for vanishes in its tick, so that leaving it
    /// out leaves out no situation. A press makes a button held; held again it must first be let go. Shorter gaps than a
    /// contact's lockout are allowed, so that more plays are looked at than hands can make.
    ///
    /// `lengths_free`: picked lengths of timers are not varied; the caller takes them as a stretch.
    pub(crate) fn moves(
        &self,
        (before, held, who): (&Situation, &[bool], Who),
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        let buttons = self.form.buttons.len();
        if matches!(who, Who::Nobody | Who::Holding(_)) {
            let held = (0..buttons).map(|b| who == Who::Holding(b)).collect();
            let mut input = Input { pressed: vec![false; buttons], held, picks: Vec::new() };
            return self.pick_all(
                &|input| step(&self.form, before, input),
                &mut input,
                lengths_free,
                work,
                f,
            );
        }
        // Each button has one or two ways: as it is; pressed; or let go.
        let free: Vec<usize> = (0..buttons)
            .filter(|b| match who {
                Who::Only(only) => only == *b,
                Who::Free(mask) => mask >> b & 1 == 1,
                _ => true,
            })
            .filter(
                |b| if self.tracked[*b] { true } else { self.listens(before, *b) && !before.simulated[*b] },
            )
            .collect();
        let ways = 1_u64.checked_shl(u32::try_from(free.len()).unwrap_or(64)).unwrap_or(u64::MAX);
        for way in 0..ways {
            let mut input = Input { pressed: vec![false; buttons], held: held.to_vec(), picks: Vec::new() };
            for (nth, b) in free.iter().enumerate() {
                if way >> nth & 1 == 1 {
                    input.pressed[*b] = !held[*b];
                    input.held[*b] = self.tracked[*b] && !held[*b];
                }
            }
            self.pick_all(&|input| step(&self.form, before, input), &mut input, lengths_free, work, f)?;
        }
        Ok(())
    }

    fn listens(&self, situation: &Situation, b: usize) -> bool {
        let states = situation.machines.iter().zip(&self.listening);
        let all = states.fold(self.watched, |all, (being, states)| all | states[being.state]);
        all >> b & 1 == 1
    }

    fn pick_all(
        &self,
        tick: &dyn Fn(&Input) -> Outcome,
        input: &mut Input,
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        work.step()?;
        let outcome = tick(input);
        let given = |input: &Input, site| input.picks.iter().any(|pick| pick.site == site);
        let open = outcome.picked.iter().find(|pick| {
            let as_stretch = lengths_free && self.lengths.contains_key(&pick.site);
            !as_stretch && !given(input, pick.site)
        });
        if let Some(Pick { site, .. }) = open.copied() {
            let (lo, hi) = self.sites.get(&site).copied().unwrap_or_default();
            for value in lo..=hi {
                input.picks.push(Pick { site, value });
                self.pick_all(tick, input, lengths_free, work, f)?;
                input.picks.pop();
            }
            return Ok(());
        }
        // A value that is no longer in its bag counts as another one, which is tried in its own turn.
        let as_given = |given: &Pick| {
            outcome.picked.iter().all(|pick| pick.site != given.site || pick.value == given.value)
        };
        if input.picks.iter().all(as_given) { f(work, input, outcome) } else { Ok(()) }
    }

    /// What is seen, as far as it does not change by time alone.
    pub(crate) fn picture(&self, situation: &Situation) -> rules::step::Frame {
        rules::step::frame(&self.still, situation)
    }

    /// Whether some light of the present states is indexed outside its row.
    pub(crate) fn index_out(&self, situation: &Situation) -> bool {
        let sight = Sight { situation, pressed: &[], held: &[] };
        self.form.machines.iter().zip(&situation.machines).enumerate().any(|(m, (machine, being))| {
            self.judged.is_none_or(|judged| judged == m)
                && machine.states[being.state].lights.iter().any(|light| {
                    let wanted = light.when.as_ref().is_none_or(|when| light.each || sight.holds(when));
                    wanted
                        && light.index.as_ref().is_some_and(|index| {
                            let at = i64::from(sight.value(index));
                            at < 1 || at > i64::from(light.count)
                        })
                })
        })
    }
}
