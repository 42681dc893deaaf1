//! The walk over a form, machines and what is in them.

use super::Construct;
use rules::form::{
    Action, Claim, Claimed, Digits, Dwell, Expr, Figure, Flash, Form, Lights, Machine, Message, Node, Number,
    Prompt, Remember, Setting, Shows, Slider, State, Ties, Timer, Transition, Trigger, Two, Unit, Writes,
};
use std::collections::BTreeSet;

/// Notes every construct, and alters one of them.
#[derive(Default)]
pub(super) struct Walk {
    pub(super) seen: BTreeSet<Construct>,
    pub(super) altering: Option<Construct>,
}

/// A constant.
fn constant(v: i32) -> Expr {
    Expr { w: 32, node: Node::Const { v } }
}

fn two(f: Two, a: Expr, b: Expr) -> Expr {
    Expr { w: 32, node: Node::Two { f, a: Box::new(a), b: Box::new(b) } }
}

impl Walk {
    /// Notes a construct; whether it is to be altered.
    pub(super) fn at(&mut self, construct: Construct) -> bool {
        self.seen.insert(construct);
        self.altering == Some(construct)
    }

    pub(super) fn form(&mut self, form: &mut Form) {
        let Form {
            format: _,
            version: _,
            tick_ms,
            seed,
            sides,
            sliders,
            settings,
            buttons,
            figures,
            spots: _,
            digits,
            sounds: _,
            messages,
            pick_sites: _,
            machines,
            claims,
            prompts,
            bout,
        } = form;
        if self.at(Construct::Seed) {
            *seed = seed.wrapping_add(1);
        }
        self.at(if *tick_ms == 10 { Construct::TickOfTen } else { Construct::TickOther });
        self.at(if sides.len() > 2 { Construct::ThreeSides } else { Construct::TwoSides });
        self.at(match buttons.len() {
            ..=8 => Construct::Buttons8,
            9..=16 => Construct::Buttons16,
            _ => Construct::Buttons32,
        });
        for Slider { name: _, value: _, min: _, max: _, unit } in sliders {
            self.at(match unit {
                Unit::Ms => Construct::SliderOfTime,
                Unit::Number => Construct::SliderOfNumber,
            });
        }
        for Setting { name: _, min, max, start } in settings {
            if self.at(Construct::Setting) {
                (*max, *start) = (*min, *min);
            }
        }
        // Names of what the display has: nothing to alter. What else they may come to hold gets a name here.
        for Figure { name: _, poses: _ } in figures {}
        for Digits { name: _, count: _ } in digits {}
        for Message { name: _, sender: _ } in messages {}
        machines.iter_mut().for_each(|machine| self.machine(machine));
        claims.iter().for_each(|claim| self.claim(claim));
        for Prompt { name: _, side, button: _, when: _, coming } in prompts {
            self.at(if side.is_some() { Construct::Prompt } else { Construct::PromptOfNoSide });
            if coming.is_some() {
                self.at(Construct::PromptComing);
            }
        }
        if bout.is_some() {
            self.at(Construct::Bout);
        }
    }

    fn claim(&mut self, Claim { name: _, claim }: &Claim) {
        self.at(match claim {
            Claimed::Never { what: _ } => Construct::ClaimNever,
            Claimed::Always { what: _ } => Construct::ClaimAlways,
            Claimed::Leads { cause: _, given: None, to: _, ticks: _ } => Construct::ClaimLeads,
            Claimed::Leads { cause: _, given: Some(_), to: _, ticks: _ } => Construct::ClaimGiven,
        });
    }

    fn machine(&mut self, machine: &mut Machine) {
        let Machine { name: _, numbers, timers, remembers, ties, states } = machine;
        numbers.iter_mut().for_each(|number| self.number(number));
        timers.iter_mut().for_each(|timer| self.timer(timer));
        for Remember { button: _, timer: _, ticks } in remembers.iter_mut() {
            if self.at(Construct::RememberTicks) {
                *ticks += 1;
            }
        }
        if !remembers.is_empty() && self.at(Construct::Remember) {
            remembers.clear();
        }
        let kind = ties.as_ref().map(|ties| match ties {
            Ties::First { side: _ } => Construct::TiesFirst,
            Ties::Alternately { turn: _ } => Construct::TiesAlternately,
            Ties::Random { site: _ } => Construct::TiesRandom,
        });
        if kind.is_some_and(|kind| self.at(kind)) {
            *ties = None;
        }
        for (s, state) in states.iter_mut().enumerate() {
            self.state(s, state);
        }
    }

    fn number(&mut self, number: &mut Number) {
        let Number { name: _, min, max, start, shown_on, kept } = number;
        if self.at(Construct::NumberStart) {
            *start = if *start < *max { *start + 1 } else { *min };
        }
        if self.at(Construct::NumberEnds) {
            (*min, *max) = (i32::MIN, i32::MAX);
        }
        if shown_on.is_some() && self.at(Construct::ShownOn) {
            *shown_on = None;
        }
        if *kept && self.at(Construct::Kept) {
            *kept = false;
        }
    }

    fn timer(&mut self, timer: &mut Timer) {
        let Timer { name: _, dwell, cycle, max } = timer;
        self.at(match *max {
            ..=254 => Construct::TimerOfByte,
            255..=65_534 => Construct::TimerOf16Bits,
            _ => Construct::TimerOf32Bits,
        });
        if *cycle && self.at(Construct::CyclicTimer) {
            *cycle = false;
        }
        if !*dwell && self.at(Construct::LongestOfTimer) {
            *max = 1;
        }
    }

    fn state(&mut self, s: usize, state: &mut State) {
        let State { name: _, dwells, entry, exit, pose, lights, writes, transitions } = state;
        for Dwell { timer: _, ticks } in dwells.iter_mut() {
            if self.at(Construct::Dwell) {
                *ticks += 1;
            }
        }
        if !dwells.is_empty() && self.at(Construct::DwellTimer) {
            dwells.clear();
        }
        for (actions, kind) in [(entry, Construct::Entry), (exit, Construct::Exit)] {
            self.actions(actions);
            if !actions.is_empty() && self.at(kind) {
                actions.clear();
            }
        }
        if let Some(Shows { figure: _, pose: _ }) = pose
            && self.at(Construct::Pose)
        {
            *pose = None;
        }
        lights.retain_mut(|light| self.light(light));
        writes.retain_mut(|written| self.written(written));
        for way in transitions.iter_mut() {
            self.way(s, way);
        }
        if transitions.len() > 1 && self.at(Construct::Order) {
            transitions.reverse();
        }
    }

    /// Whether it stays.
    fn light(&mut self, light: &mut Lights) -> bool {
        let Lights { first: _, count, index, each, level, when } = light;
        let mut also = Vec::new();
        if let Some(index) = index {
            self.expr(index);
            if self.at(Construct::IndexHeld) {
                let last = i32::try_from(*count).unwrap_or(i32::MAX);
                also.push(two(Two::Ge, index.clone(), constant(1)));
                also.push(two(Two::Le, index.clone(), constant(last)));
            }
        }
        self.expr(level);
        if self.at(Construct::LevelHeld) {
            also.push(two(Two::Le, level.clone(), constant(255)));
        }
        if self.at(Construct::Level) {
            *level = constant(255);
        }
        if let Some(condition) = when {
            self.expr(condition);
            if self.at(Construct::LightsWhen) {
                *when = None;
            }
        }
        for one in also {
            *when = Some(match when.take() {
                Some(when) => two(Two::And, when, one),
                None => one,
            });
        }
        !self.at(match (*each, &*index) {
            (true, _) => Construct::LightsEach,
            (false, Some(_)) => Construct::LightsIndexed,
            (false, None) => Construct::LightsOne,
        })
    }

    /// Whether it stays.
    fn written(&mut self, written: &mut Writes) -> bool {
        let Writes { digits: _, value, zeros, flash } = written;
        self.expr(value);
        if *zeros && self.at(Construct::Zeros) {
            *zeros = false;
        }
        if let Some(Flash { timer: _, dark: _ }) = flash
            && self.at(Construct::Flash)
        {
            *flash = None;
        }
        !self.at(Construct::Writes)
    }

    fn way(&mut self, from: usize, way: &mut Transition) {
        let Transition { priority: _, trigger, condition, side, actions, go } = way;
        let kind = match trigger {
            Trigger::Always => Construct::OnAlways,
            Trigger::Press { button: _ } => Construct::OnPress,
            Trigger::Message { any } if any.len() > 1 => Construct::OnMessageOfSeveral,
            Trigger::Message { any: _ } => Construct::OnMessageOfOne,
            Trigger::Timer { timer: _ } => Construct::OnTimer,
        };
        if self.at(kind) {
            *trigger = Trigger::Message { any: Vec::new() };
        }
        if let Some(expr) = condition {
            self.expr(expr);
            if self.at(Construct::Condition) {
                *condition = None;
            }
        }
        if side.is_some() && self.at(Construct::SideOfWay) {
            *side = None;
        }
        self.actions(actions);
        let kind = match *go {
            None => Construct::Stay,
            Some(to) if to == from => Construct::GoSelf,
            Some(_) => Construct::GoOther,
        };
        if self.at(kind) {
            *go = if go.is_none() { Some(from) } else { None };
        }
    }

    fn actions(&mut self, actions: &mut Vec<Action>) {
        actions.retain_mut(|action| {
            let kind = match action {
                Action::Set { number: _, to } => {
                    self.expr(to);
                    Construct::Set
                }
                Action::Start { timer: _, ticks } => {
                    self.expr(ticks);
                    Construct::Start
                }
                Action::Stop { timer: _ } => Construct::Stop,
                Action::Send { message: _ } => Construct::Send,
                Action::Press { button: _ } => Construct::Press,
                Action::Play { sound: _ } => Construct::Play,
            };
            !self.at(kind)
        });
    }
}
