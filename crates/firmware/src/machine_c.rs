//! One machine as C: entering and leaving its states, its step, what it shows.

use crate::expr::{Printer, Reading};
use crate::names::Names;
use crate::writer::Writer;
use rules::form::{Action, Expr, Form, Lights, Machine, Node, Transition, Trigger};

/// Whether a machine lights anything or shows a number.
pub(crate) fn shows(machine: &Machine) -> bool {
    machine.numbers.iter().any(|number| number.shown_on.is_some())
        || machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty())
}

/// Writes everything of one machine.
pub(crate) fn write_machine(form: &Form, names: &Names, machine: usize, out: &mut Writer) {
    MachineWriter { form, names, machine, out }.all();
}

struct MachineWriter<'a> {
    form: &'a Form,
    names: &'a Names,
    machine: usize,
    out: &'a mut Writer,
}

impl<'a> MachineWriter<'a> {
    fn all(&mut self) {
        let machine = self.the_machine();
        for state in 0..machine.states.len() {
            self.leave(state);
        }
        for state in 0..machine.states.len() {
            self.enter(state);
        }
        if machine.states.iter().any(|state| !state.transitions.is_empty()) {
            self.step();
        }
        if shows(machine) {
            self.show();
        }
    }

    fn the_machine(&self) -> &'a Machine {
        &self.form.machines[self.machine]
    }

    fn printer(&self, reading: Reading) -> Printer<'a> {
        Printer { form: self.form, names: self.names, machine: self.machine, reading }
    }

    /// A field of this machine.
    fn own(&self, field: &str) -> String {
        format!("now.{}.{field}", self.names.machines[self.machine].name)
    }

    fn timer(&self, timer: usize) -> String {
        self.own(&self.names.machines[self.machine].timers[timer])
    }

    fn state(&self, state: usize) -> &'a str {
        &self.names.machines[self.machine].states[state]
    }

    /// Whether leaving a state does anything at all.
    fn has_leave(&self, state: usize) -> bool {
        let state = &self.the_machine().states[state];
        let left = state.transitions.iter().any(|way| way.go.is_some());
        left && !(state.exit.is_empty() && state.dwells.is_empty())
    }

    fn leave(&mut self, state: usize) {
        if !self.has_leave(state) {
            return;
        }
        self.out.function(&format!("static void leave_{}(void)", self.state(state).to_lowercase()));
        let the = &self.the_machine().states[state];
        self.perform(&the.exit);
        for dwell in &the.dwells {
            let timer = self.timer(dwell.timer);
            self.out.line(&format!("{timer} = TIMER_OFF;"));
        }
        self.out.end();
    }

    fn enter(&mut self, state: usize) {
        let machine = self.the_machine();
        let entered =
            machine.states.iter().flat_map(|from| &from.transitions).any(|way| way.go == Some(state));
        if state != 0 && !entered {
            return;
        }
        self.out.function(&format!("static void enter_{}(void)", self.state(state).to_lowercase()));
        self.out.line(&format!("{} = {};", self.own("state"), self.state(state)));
        for dwell in &machine.states[state].dwells {
            let timer = self.timer(dwell.timer);
            self.out.line(&format!("{timer} = RUNNING({});", ticks(dwell.ticks)));
        }
        self.perform(&machine.states[state].entry);
        self.out.end();
    }

    fn perform(&mut self, actions: &[Action]) {
        for action in actions {
            let line = self.action(action);
            self.out.line(&line);
        }
    }

    fn action(&self, action: &Action) -> String {
        let machine = self.the_machine();
        match action {
            Action::Set { number, to } => {
                let range = &machine.numbers[*number];
                let field = self.own(&self.names.machines[self.machine].numbers[*number]);
                format!("{field} = {};", self.stored(to, range.min, range.max))
            }
            Action::Start { timer, ticks } => {
                let longest = i32::try_from(machine.timers[*timer].max).unwrap_or(i32::MAX);
                format!("{} = RUNNING({});", self.timer(*timer), self.stored(ticks, 1, longest))
            }
            Action::Stop { timer } => format!("{} = TIMER_OFF;", self.timer(*timer)),
            Action::Send { message } => format!("now.sent.{} = true;", self.names.messages[*message]),
            Action::Press { button } => format!("now.simulated |= {};", self.names.buttons[*button]),
        }
    }

    /// A value to be stored: the only place where a pick may stand.
    fn stored(&self, expr: &Expr, least: i32, most: i32) -> String {
        let constant = crate::expr::constant;
        let Node::Pick { site, lo, hi } = expr.node else {
            return self.printer(Reading::Tick).held_to(expr, least, most);
        };
        let pick =
            format!("pick(&{}, {site}, {}, {})", self.own("stream"), constant(lo), constant(hi.max(lo)));
        if lo >= least && hi <= most {
            pick
        } else {
            format!("hold_wide({pick}, {}, {})", constant(least), constant(most))
        }
    }

    fn step(&mut self) {
        let machine = self.the_machine();
        let name = &self.names.machines[self.machine].name;
        self.out.function(&format!("static void step_{name}(void)"));
        self.out.line(&format!("switch (then.{name}.state) {{"));
        for (s, state) in machine.states.iter().enumerate() {
            if state.transitions.is_empty() {
                continue;
            }
            self.out.open(&format!("case {}:", self.state(s)));
            for way in &state.transitions {
                self.transition(s, way);
            }
            self.out.line("break;");
            self.out.close("");
        }
        self.out.line("default:");
        self.out.line("    break;");
        self.out.line("}");
        self.out.end();
    }

    fn transition(&mut self, from: usize, way: &Transition) {
        let words = self.words(way);
        self.out.comment(&words);
        let mut tests: Vec<String> = self.trigger(&way.trigger).into_iter().collect();
        if let Some(condition) = &way.condition {
            let printer = self.printer(Reading::Tick);
            let text = printer.whole(condition);
            let alone = tests.is_empty() || !matches!(condition.node, Node::Two { .. });
            tests.push(if alone { text } else { format!("({text})") });
        }
        let test = if tests.is_empty() { "true".to_owned() } else { bare(&tests.join(" && ")) };
        self.out.open(&format!("if ({test}) {{"));
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
            Trigger::Press { button } => Some(format!("is_in(pressed, {})", self.names.buttons[*button])),
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

    fn show(&mut self) {
        let machine = self.the_machine();
        let own = &self.names.machines[self.machine];
        self.out.function(&format!("static void show_{}(struct rules_frame *frame)", own.name));
        for (number, name) in machine.numbers.iter().zip(&own.numbers) {
            if let Some(digits) = number.shown_on {
                let line = format!("frame->number[{}] = {};", self.names.digits[digits], self.own(name));
                self.out.line(&line);
            }
        }
        if machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty()) {
            self.show_states();
        }
        self.out.end();
    }

    fn show_states(&mut self) {
        self.out.line(&format!("switch ({}) {{", self.own("state")));
        for (s, state) in self.the_machine().states.iter().enumerate() {
            if state.pose.is_none() && state.lights.is_empty() {
                continue;
            }
            self.out.open(&format!("case {}:", self.state(s)));
            if let Some(shown) = &state.pose {
                let (figure, pose) =
                    (&self.names.figures[shown.figure], &self.names.poses[shown.figure][shown.pose]);
                self.out.line(&format!("frame->pose[{figure}] = {pose};"));
            }
            for lights in &state.lights {
                self.lights(lights);
            }
            self.out.line("break;");
            self.out.close("");
        }
        self.out.line("default:");
        self.out.line("    break;");
        self.out.line("}");
    }

    fn lights(&mut self, lights: &Lights) {
        let printer = self.printer(Reading::Frame);
        let count = i32::try_from(lights.count).unwrap_or(i32::MAX);
        let spot = match &lights.index {
            None => self.names.spots[lights.first].clone(),
            Some(Expr { node: Node::Const { v }, .. }) => {
                let at = usize::try_from((*v).clamp(1, count) - 1).unwrap_or(0);
                self.names.spots[lights.first + at].clone()
            }
            Some(index) => {
                format!("{} + {} - 1", self.names.spots[lights.first], printer.held_to(index, 1, count))
            }
        };
        let level = printer.held_to(&lights.level, 0, 255);
        let line = format!("light(&frame->level[{spot}], (uint8_t){level});");
        let when = lights.when.as_ref().map(|when| bare(&printer.whole(when)));
        match when {
            None => self.out.line(&line),
            Some(when) => {
                self.out.open(&format!("if ({when}) {{"));
                self.out.line(&line);
                self.out.close("}");
            }
        }
    }
}

/// Ticks as a constant.
fn ticks(ticks: u32) -> String {
    crate::expr::constant(i32::try_from(ticks).unwrap_or(i32::MAX))
}

/// A test without the brackets around the whole of it, where they are one pair.
fn bare(text: &str) -> String {
    let Some(inside) = text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) else {
        return text.to_owned();
    };
    let mut depth = 0_i32;
    for c in inside.chars() {
        depth += match c {
            '(' => 1,
            ')' => -1,
            _ => 0,
        };
        if depth < 0 {
            return text.to_owned();
        }
    }
    inside.to_owned()
}
