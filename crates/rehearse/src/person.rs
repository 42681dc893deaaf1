//! One person in front of the display: what they see, what they plan to press, and when.

use crate::chance::Chance;
use crate::people::{
    BETWEEN_PRESSES_MS, CHOOSING_MS, NOTICING_MS, PATIENCE_MS, People, RECOGNISING_MS, STOPPING_MS,
    STRAYING_MS,
};
use crate::quick::{Play, Prompt, Rules};

/// Nobody foresees further than this.
const HORIZON_MS: f64 = 30_000.0;
/// Leaning on a button (assumed).
const LEANING_MS: f64 = 1500.0;
const NEVER: u64 = u64::MAX;

/// What somebody did, or missed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Deed {
    /// Pressed when it was time.
    Hit,
    /// Pressed when it was not.
    Empty,
    /// It was time, and is over.
    Missed,
}

#[derive(Clone, Copy, Debug)]
struct Plan {
    at: u64,
    button: u64,
    aimed: bool,
}

/// The time to press something, while it lasts.
#[derive(Clone, Copy, Debug)]
struct Occasion {
    from: u64,
    hit: bool,
    /// Whether it was seen coming and aimed at, and no press came too early.
    foreseen: bool,
}

/// Something that is seen coming.
#[derive(Clone, Copy, Debug)]
struct Flight {
    prompt: usize,
    /// So long after the moment itself this press will come; negative is too early.
    behind_ms: f64,
    /// No press is planned sooner: even what is seen coming must be seen first.
    soonest: u64,
    /// For a press that will come too early: when it will be time, and how many presses there had been when that was
    /// foreseen, since after another one the future is another.
    target: Option<(u64, u64)>,
    /// Whether a press came too early.
    early: bool,
}

/// A person at play.
#[derive(Debug)]
pub(crate) struct Person<'a> {
    people: &'a People,
    rules: &'a Rules,
    tick_ms: f64,
    prompts: Vec<usize>,
    /// The machines that these ask about.
    asks: u64,
    chance: Chance,
    /// This person's times are so much longer than the mean.
    speed: f64,
    mashes: bool,
    leans: bool,
    /// Whether there has been a success: from then on, this person knows what it is about.
    known: bool,
    /// How often it has been time for this person.
    met: u32,
    /// How long behind the moment itself this person aims.
    aim_ms: f64,
    /// Prompts that are true after the last tick seen.
    open: Vec<usize>,
    occasion: Option<Occasion>,
    flight: Option<Flight>,
    plan: Option<Plan>,
    /// The button that is down, and when it is let go.
    down: Option<(u64, u64)>,
    ready: u64,
    /// Nothing is noticed before.
    notices: u64,
    probe: u64,
    leaves: u64,
    gives_up: u64,
    /// The tick of the first success.
    pub(crate) first_hit: Option<u64>,
    pub(crate) present: bool,
}

impl<'a> Person<'a> {
    /// Somebody who comes at a tick to play the prompts of a side, or those of no side.
    pub(crate) fn new(
        people: &'a People,
        rules: &'a Rules,
        sides: &[Option<usize>],
        arrival: u64,
        mut chance: Chance,
    ) -> Self {
        let own = |prompt: &Prompt| sides.contains(&prompt.side);
        let prompts: Vec<usize> = (0..rules.prompts.len()).filter(|at| own(&rules.prompts[*at])).collect();
        let asks = prompts.iter().fold(0, |all, at| all | rules.prompts[*at].asks);
        let tick_ms = f64::from(rules.form.tick_ms.max(1));
        let spread = people.between;
        let speed = libm::exp(spread * chance.normal() - spread * spread / 2.0);
        let (mashes, leans) = (chance.happens(people.mashes), chance.happens(people.leans));
        let leaves = if chance.happens(people.leaves) {
            arrival + ticks(chance.between(5_000.0, 40_000.0), tick_ms)
        } else {
            NEVER
        };
        let first_look = NOTICING_MS + people.curious_ms / 2.0 * chance.exponential();
        Self {
            people,
            rules,
            tick_ms,
            prompts,
            asks,
            speed,
            mashes,
            leans,
            known: false,
            met: 0,
            aim_ms: people.caution * people.aiming_ms,
            open: Vec::new(),
            occasion: None,
            flight: None,
            plan: None,
            down: None,
            ready: arrival,
            notices: arrival + ticks(NOTICING_MS, tick_ms),
            probe: arrival + ticks(first_look, tick_ms),
            leaves,
            gives_up: arrival + ticks(PATIENCE_MS, tick_ms),
            first_hit: None,
            present: true,
            chance,
        }
    }

    /// The next tick in which this person does something, if nothing changes until then.
    pub(crate) fn next(&self) -> u64 {
        let up = self.down.map_or(NEVER, |(until, _)| until);
        if !self.present {
            return up;
        }
        let planned = self.plan.map_or(NEVER, |plan| plan.at.max(self.ready));
        up.min(planned).min(self.probe.max(self.ready)).min(self.leaves).min(self.patience())
    }

    fn patience(&self) -> u64 {
        if self.known { NEVER } else { self.gives_up }
    }

    /// The machines that this person looks at.
    pub(crate) fn asks(&self) -> u64 {
        self.asks
    }

    /// The button held down, as a bit.
    pub(crate) fn held(&self) -> u64 {
        self.down.map_or(0, |(_, button)| button)
    }

    /// Does what is due in a tick; gives the button pressed.
    pub(crate) fn act(&mut self, tick: u64, deeds: &mut Vec<Deed>) -> u64 {
        if self.down.is_some_and(|(until, _)| until <= tick) {
            self.down = None;
        }
        if !self.present {
            return 0;
        }
        if tick >= self.leaves.min(self.patience()) {
            self.leave();
            return 0;
        }
        if self.down.is_some() || tick < self.ready {
            return 0;
        }
        if let Some(plan) = self.plan.filter(|plan| plan.at <= tick) {
            self.plan = None;
            return self.press(tick, plan.button, plan.aimed, deeds);
        }
        if self.probe <= tick {
            return self.try_out(tick, deeds);
        }
        0
    }

    fn leave(&mut self) {
        self.present = false;
        (self.down, self.plan, self.open) = (None, None, Vec::new());
    }

    /// A press out of curiosity, out of habit, or for no reason.
    fn try_out(&mut self, tick: u64, deeds: &mut Vec<Deed>) -> u64 {
        let wait = if self.mashes {
            self.people.tap_ms * self.chance.between(0.8, 1.2)
        } else if self.known {
            self.people.idle_ms * self.chance.exponential()
        } else {
            self.people.curious_ms * self.chance.exponential()
        };
        self.probe = tick + ticks(wait, self.tick_ms).max(1);
        let which = self.chance.one_of(self.prompts.len());
        let Some(prompt) = self.prompts.get(which) else { return 0 };
        // Whoever is about to press anyway does not press for nothing just before.
        if self.plan.is_some() && !self.mashes {
            return 0;
        }
        self.press(tick, self.rules.prompts[*prompt].button, false, deeds)
    }

    fn press(&mut self, tick: u64, button: u64, aimed: bool, deeds: &mut Vec<Deed>) -> u64 {
        let hold = if self.leans { LEANING_MS } else { self.people.hold_ms * self.chance.between(0.7, 1.3) };
        // Below a human's shortest tap no press goes; the conditioner hears each one as it is.
        let until = tick + ticks(hold.max(60.0), self.tick_ms);
        let hold = if self.mashes { (until - tick).min(ticks(100.0, self.tick_ms)) } else { until - tick };
        self.down = Some((tick + hold, button));
        self.ready = tick + hold + ticks(BETWEEN_PRESSES_MS, self.tick_ms);
        let hit = self.open.iter().any(|prompt| self.rules.prompts[*prompt].button == button);
        if hit {
            self.known = true;
            self.first_hit.get_or_insert(tick);
            self.met += 1;
            if let Some(occasion) = &mut self.occasion {
                occasion.hit = true;
            }
            self.plan = None;
            deeds.push(Deed::Hit);
        } else {
            if aimed {
                self.too_early();
            }
            deeds.push(Deed::Empty);
        }
        button
    }

    /// An aimed press came too early: next time later, by a part of the error and of what it takes to be sure.
    fn too_early(&mut self) {
        let Some(flight) = &mut self.flight else { return };
        flight.early = true;
        self.aim_ms += self.people.adjusts * (self.people.aiming_ms - flight.behind_ms);
    }

    /// Sees what is there after a tick, and plans.
    pub(crate) fn see(&mut self, play: &Play<'a>, scratch: &mut Play<'a>, deeds: &mut Vec<Deed>) {
        if !self.present {
            return;
        }
        let tick = play.tick();
        let prompts = &self.rules.prompts;
        self.open.clear();
        self.open.extend(self.prompts.iter().copied().filter(|at| play.holds(prompts[*at].when)));
        if self.open.is_empty() {
            self.close(tick, deeds);
            self.watch(play, scratch);
        } else if self.occasion.is_none_or(|occasion| occasion.hit) || !self.plan_fits() {
            self.begin(tick);
        }
    }

    /// Whether what is planned is still what is wanted.
    fn plan_fits(&self) -> bool {
        let wanted = |plan: Plan| self.open.iter().any(|at| self.rules.prompts[*at].button == plan.button);
        self.plan.is_none_or(wanted)
    }

    /// It is time to press.
    fn begin(&mut self, tick: u64) {
        // Who has just pressed looks again when the hand is free.
        let from = tick.max(if self.occasion.is_some() { self.ready } else { self.notices });
        let flight = self.flight.take();
        self.occasion =
            Some(Occasion { from, hit: false, foreseen: flight.is_some_and(|flight| !flight.early) });
        let mut buttons: Vec<u64> = self.open.iter().map(|at| self.rules.prompts[*at].button).collect();
        buttons.sort_unstable();
        buttons.dedup();
        let strays = if self.chance.happens(self.people.strays) { STRAYING_MS } else { 0.0 };
        let choice = CHOOSING_MS * libm::log2(buttons.len().max(1) as f64);
        let at = from + ticks(self.reaction() + choice + strays, self.tick_ms).max(1);
        let button = buttons[self.chance.one_of(buttons.len())];
        let reacts = Plan { at, button, aimed: false };
        // What was seen coming is pressed as aimed, or when the light is answered, whichever is sooner.
        let aimed =
            flight.filter(|flight| !flight.early && self.rules.prompts[flight.prompt].button == button);
        let aimed = aimed.map(|flight| {
            let at = ticks((self.ms(tick) + flight.behind_ms).max(0.0), self.tick_ms).max(tick + 1);
            Plan { at: at.max(flight.soonest), button, aimed: true }
        });
        self.plan = aimed.filter(|plan| plan.at <= at).or(Some(reacts));
    }

    /// It is not, or no longer, time to press.
    fn close(&mut self, tick: u64, deeds: &mut Vec<Deed>) {
        let Some(occasion) = self.occasion.take() else { return };
        if !occasion.hit && tick > occasion.from {
            self.met += 1;
            deeds.push(Deed::Missed);
            if occasion.foreseen {
                // Nothing was pressed in time: next time sooner.
                self.aim_ms -= self.people.adjusts * self.people.aiming_ms;
            }
        }
        let stoppable = |plan: &Plan| plan.at > tick + ticks(STOPPING_MS * self.speed, self.tick_ms);
        if self.plan.is_some_and(|plan| stoppable(&plan)) {
            self.plan = None;
        }
    }

    /// Watches something come, and aims at its arrival.
    fn watch(&mut self, play: &Play<'a>, scratch: &mut Play<'a>) {
        let tick = play.tick();
        let prompts = &self.rules.prompts;
        let coming = |at: &&usize| prompts[**at].coming.is_some_and(|coming| play.holds(coming));
        let Some(prompt) = self.prompts.iter().find(coming).copied().filter(|_| self.known) else {
            self.lose_sight(tick);
            return;
        };
        let mut flight = self.flight.filter(|flight| flight.prompt == prompt).unwrap_or_else(|| Flight {
            prompt,
            behind_ms: self.aim_ms
                + self.people.bias_ms
                + self.people.aiming_ms * self.speed * self.chance.normal(),
            soonest: tick + ticks(self.simple_reaction(), self.tick_ms),
            target: None,
            early: false,
        });
        let foreseen =
            flight.target.is_some_and(|(target, presses)| presses == play.presses() && target > tick);
        if flight.behind_ms <= 0.0 && !flight.early && !foreseen {
            let Some(target) = self.foresee(play, scratch, prompt) else {
                self.lose_sight(tick);
                return;
            };
            flight.target = Some((target, play.presses()));
            let at = ticks((self.ms(target) + flight.behind_ms).max(0.0), self.tick_ms).max(flight.soonest);
            self.plan = Some(Plan { at: at.max(tick + 1), button: prompts[prompt].button, aimed: true });
        }
        self.flight = Some(flight);
    }

    fn lose_sight(&mut self, tick: u64) {
        self.flight = None;
        let stop = tick + ticks(STOPPING_MS * self.speed, self.tick_ms);
        if self.plan.is_some_and(|plan| plan.aimed && plan.at > stop) {
            self.plan = None;
        }
    }

    /// When it will be time, if nobody presses.
    fn foresee(&self, play: &Play<'a>, scratch: &mut Play<'a>, prompt: usize) -> Option<u64> {
        let last = play.tick() + ticks(HORIZON_MS, self.tick_ms);
        let prompt = &self.rules.prompts[prompt];
        scratch.become_like(play);
        while scratch.next_event() <= last {
            scratch.advance_to_event();
            if prompt.asks & scratch.changed() != 0 && scratch.holds(prompt.when) {
                return Some(scratch.tick());
            }
        }
        None
    }

    /// The next bout begins: half of those who hammer have seen that it does not help.
    pub(crate) fn play_again(&mut self) {
        self.mashes = self.mashes && self.chance.happens(0.5);
    }

    fn ms(&self, ticks: u64) -> f64 {
        ticks as f64 * self.tick_ms
    }

    /// One simple reaction, as in a laboratory: never sooner than a guess.
    pub(crate) fn simple_reaction(&mut self) -> f64 {
        let People { sigma_ms, tau_ms, .. } = self.people;
        let own = self.people.reaction_ms() - tau_ms
            + sigma_ms * self.chance.normal()
            + tau_ms * self.chance.exponential();
        (self.speed * own).max(reckoning::people::GUESS_BELOW_MS)
    }

    /// One reaction in front of the display.
    fn reaction(&mut self) -> f64 {
        let slower = self.people.reaction_ms() / crate::people::ADULT.reaction_ms();
        let recognising = RECOGNISING_MS * slower * self.speed / libm::sqrt(f64::from(self.met) + 1.0);
        self.simple_reaction() + self.people.reach_ms + recognising
    }
}

/// A time in whole ticks: what happens between two ticks is taken by the later one.
pub(crate) fn ticks(ms: f64, tick_ms: f64) -> u64 {
    let whole = libm::ceil(ms / tick_ms - 1e-9).clamp(0.0, 1e12);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole, and from 0 to 10^12")]
    let whole = whole as u64;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::people::{EVERYBODY, FIVE};
    use rules::form::Form;

    fn person<'a>(people: &'a People, rules: &'a Rules, stream: u64) -> Person<'a> {
        Person::new(people, rules, &[None], 0, Chance::new(11, stream))
    }

    /// Adults 231 ms at 18 and 0.55 ms a year more (Woods et al. 2015); a child of five 465 ms (1984): what is drawn from many
    /// people many times has these means.
    #[test]
    fn simple_reactions_have_the_published_means() {
        let rules = Rules::new(&Form::default()).unwrap();
        for people in EVERYBODY {
            let published = match people.key {
                "five" => 465.0,
                "adult" => 231.0 + 0.55 * 12.0,
                "older" => 231.0 + 0.55 * 52.0,
                _ => continue,
            };
            let drawn = (0..4000).flat_map(|stream| {
                let mut person = person(people, &rules, stream);
                (0..25).map(move |_| person.simple_reaction()).collect::<Vec<f64>>()
            });
            let drawn: Vec<f64> = drawn.collect();
            let mean = drawn.iter().sum::<f64>() / drawn.len() as f64;
            // Four standard errors of the persons' means, which vary most.
            let error = published * people.between / libm::sqrt(4000.0);
            assert!(
                (mean - published).abs() < 4.0 * error + 0.5,
                "{}: {mean} for {published} +/- {error}",
                people.key
            );
        }
    }

    /// Normal plus exponential: F(x) = Phi(u) - exp(s^2/2 - u s) Phi(u - s) with u = (x - mu) / sigma, s = sigma / tau (Luce
    /// 1986). The greatest distance of n values stays below 1.95 / sqrt(n) in 999 of 1000 samples (Kolmogorov and Smirnov).
    #[test]
    fn reactions_of_one_person_are_normal_plus_exponential() {
        let rules = Rules::new(&Form::default()).unwrap();
        let people = People { between: 0.0, ..FIVE };
        let mut person = person(&people, &rules, 1);
        let mut drawn: Vec<f64> = (0..50_000).map(|_| person.simple_reaction()).collect();
        drawn.sort_by(f64::total_cmp);
        let phi = |x: f64| 0.5 * libm::erfc(-x / core::f64::consts::SQRT_2);
        let (mu, sigma, tau) = (465.0 - 110.0, 80.0, 110.0);
        let s = sigma / tau;
        let distance = drawn.iter().enumerate().fold(0.0_f64, |greatest, (at, value)| {
            let u = (value - mu) / sigma;
            let wanted = phi(u) - libm::exp(s * s / 2.0 - u * s) * phi(u - s);
            greatest.max((wanted - at as f64 / 50_000.0).abs())
        });
        assert!(distance < 1.95 / libm::sqrt(50_000.0), "{distance}");
    }

    #[test]
    fn what_happens_between_two_ticks_is_taken_by_the_later_one() {
        assert_eq!([0.0, 0.1, 10.0, 10.1, 19.9, 20.0].map(|ms| ticks(ms, 10.0)), [0, 1, 1, 2, 2, 2]);
        assert_eq!([ticks(f64::MAX, 10.0), ticks(-5.0, 10.0)], [1_000_000_000_000, 0]);
    }
}
