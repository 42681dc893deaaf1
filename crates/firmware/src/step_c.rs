//! One machine's step as C: remembered presses, ties, and the first way that can go.

use crate::expr::Reading;
use crate::machine_c::{MachineWriter, bare, ticks};
use rules::form::{Machine, Node, Remember, Ties, Transition, Trigger};
use std::collections::BTreeSet;

/// Whether a machine does anything in a step.
pub(crate) fn steps(machine: &Machine) -> bool {
    !machine.remembers.is_empty() || machine.states.iter().any(|state| !state.transitions.is_empty())
}

impl MachineWriter<'_> {
    pub(crate) fn step(&mut self) {
        let machine = self.the_machine();
        let name = &self.names.machines[self.machine].name;
        self.out.function(&format!("static void step_{name}(void)"));
        for one in &machine.remembers {
            self.remember(one);
        }
        if machine.states.iter().all(|state| state.transitions.is_empty()) {
            self.out.end();
            return;
        }
        self.out.line(&format!("switch (then.{name}.state) {{"));
        for (s, state) in machine.states.iter().enumerate() {
            if state.transitions.is_empty() {
                continue;
            }
            let sides: BTreeSet<usize> = state.transitions.iter().filter_map(|way| way.side).collect();
            let tied = machine.ties.as_ref().filter(|_| sides.len() > 1);
            self.out.open(&format!("case {}: {{", self.state(s)));
            if let Some(ties) = tied {
                self.tie(ties, &state.transitions);
            }
            for (k, way) in state.transitions.iter().enumerate() {
                let test = match way.side {
                    Some(side) if tied.is_some() => format!("way_{k} && may_go(favoured, {side})"),
                    _ => self.test(way),
                };
                self.transition(s, way, &test);
            }
            self.out.line("break;");
            self.out.close("}");
        }
        self.end_switch();
    }

    /// A press not used in this tick is remembered from now on; an old one fades.
    fn remember(&mut self, one: &Remember) {
        let timer = self.timer(one.timer);
        let pressed = format!("is_in(pressed, {})", self.names.buttons[one.button]);
        self.out.line(&format!("REMEMBER({timer}, {pressed}, {});", ticks(one.ticks)));
    }

    /// The hidden timer that remembers a button.
    fn memory(&self, button: usize) -> Option<usize> {
        self.the_machine().remembers.iter().find(|one| one.button == button).map(|one| one.timer)
    }

    /// Which ways for a side could go, and the side that is favoured where there are several.
    fn tie(&mut self, ties: &Ties, ways: &[Transition]) {
        let mut tied = Vec::new();
        let mut gone = Vec::new();
        for (k, way) in ways.iter().enumerate() {
            let Some(side) = way.side else { continue };
            let test = self.test(way);
            self.out.line(&format!("const bool way_{k} = {test};"));
            tied.push(format!("(way_{k} ? {}U : 0U)", 1_u32 << side));
            if let Trigger::Press { button } = way.trigger
                && let Some(timer) = self.memory(button)
            {
                gone.push((k, side, self.timer(timer)));
            }
        }
        self.out.line(&format!("const uint8_t tied = (uint8_t)({});", tied.join(" | ")));
        self.out.line("uint8_t favoured = NO_TIE;");
        self.out.open("if (is_tie(tied)) {");
        let count = self.form.sides.len();
        let from = match ties {
            Ties::First { side } => side.to_string(),
            Ties::Alternately { turn } => {
                format!("(uint8_t){}", self.own(&self.names.machines[self.machine].numbers[*turn]))
            }
            Ties::Random { site } => {
                format!("(uint8_t)(pick(&{}, {site}, 1, {count}) - 1)", self.own("stream"))
            }
        };
        self.out.line(&format!("favoured = first_tied(tied, {from}, {count});"));
        if let Ties::Alternately { turn } = ties {
            let turn = self.own(&self.names.machines[self.machine].numbers[*turn]);
            self.out.line(&format!("{turn} = (uint8_t)((favoured + 1U) % {count}U);"));
        }
        for (k, side, timer) in gone {
            self.out.open(&format!("if (way_{k} && !may_go(favoured, {side})) {{"));
            self.out.line(&format!("{timer} = TIMER_OFF;"));
            self.out.close("}");
        }
        self.out.close("}");
    }

    /// Whether a way's cause is there and its condition holds.
    fn test(&self, way: &Transition) -> String {
        let mut tests: Vec<String> = self.trigger(&way.trigger).into_iter().collect();
        if let Some(condition) = &way.condition {
            let printer = self.printer(Reading::Tick);
            let text = printer.whole(condition);
            let alone = tests.is_empty() || !matches!(condition.node, Node::Two { .. });
            tests.push(if alone { text } else { format!("({text})") });
        }
        if tests.is_empty() { "true".to_owned() } else { bare(&tests.join(" && ")) }
    }

    fn transition(&mut self, from: usize, way: &Transition, test: &str) {
        let words = self.words(way);
        self.out.comment(&words);
        self.out.open(&format!("if ({test}) {{"));
        if let Trigger::Press { button } = way.trigger
            && let Some(timer) = self.memory(button)
        {
            let timer = self.timer(timer);
            self.out.line(&format!("{timer} = TIMER_OFF;"));
        }
        if let Trigger::Timer { timer } = way.trigger {
            let timer = self.timer(timer);
            self.out.line(&format!("{timer} = TIMER_OFF;"));
        }
        if way.go.is_some() && self.has_leave(from) {
            self.out.line(&format!("leave_{}();", self.state(from).to_lowercase()));
        }
        self.perform(&way.actions);
        if let Some(next) = way.go {
            self.out.line(&format!("enter_{}();", self.state(next).to_lowercase()));
        }
        self.out.line("return;");
        self.out.close("}");
    }

    fn trigger(&self, trigger: &Trigger) -> Option<String> {
        let own = &self.names.machines[self.machine];
        match trigger {
            Trigger::Always => None,
            Trigger::Press { button } => {
                let now = format!("is_in(pressed, {})", self.names.buttons[*button]);
                Some(match self.memory(*button) {
                    Some(timer) => format!("({now} || is_on(then.{}.{}))", own.name, own.timers[timer]),
                    None => now,
                })
            }
            Trigger::Timer { timer } => Some(format!("is_due(then.{}.{})", own.name, own.timers[*timer])),
            Trigger::Message { any } => {
                let heard: Vec<String> = any
                    .iter()
                    .map(|&message| format!("then.sent.{}", self.names.messages[message]))
                    .collect();
                Some(match heard.len() {
                    0 => "false".to_owned(),
                    1 => heard.concat(),
                    _ => format!("({})", heard.join(" || ")),
                })
            }
        }
    }

    /// A transition in the builder's words.
    fn words(&self, way: &Transition) -> String {
        let machine = self.the_machine();
        let on = match &way.trigger {
            Trigger::Always => "Always".to_owned(),
            Trigger::Press { button } => format!("On press {}", self.form.buttons[*button]),
            Trigger::Timer { timer } => format!("When {} is due", machine.timers[*timer].name),
            Trigger::Message { any } => {
                let names: Vec<&str> =
                    any.iter().map(|&message| self.form.messages[message].name.as_str()).collect();
                format!("On message {}", names.first().copied().unwrap_or("of nobody"))
            }
        };
        let condition = if way.condition.is_some() { ", if so" } else { "" };
        let go = way.go.map_or("stay".to_owned(), |next| format!("go {}", machine.states[next].name));
        format!("{on}{condition}: {go}.")
    }
}
