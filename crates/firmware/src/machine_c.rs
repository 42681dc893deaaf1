//! One machine as C: entering and leaving its states, what it does, what it shows.

use crate::expr::{Printer, Reading};
use crate::names::Names;
use crate::writer::Writer;
use rules::form::{Action, Expr, Form, Lights, Machine, Node, Writes};

/// Whether a machine lights anything.
pub(crate) fn shows(machine: &Machine) -> bool {
    machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty())
}

/// Whether a state of a machine writes on digits.
pub(crate) fn writes(machine: &Machine) -> bool {
    machine.states.iter().any(|state| !state.writes.is_empty())
}

/// Writes everything of one machine.
pub(crate) fn write_machine(form: &Form, names: &Names, machine: usize, out: &mut Writer) {
    MachineWriter { form, names, machine, out }.all();
}

pub(crate) struct MachineWriter<'a> {
    pub(crate) form: &'a Form,
    pub(crate) names: &'a Names,
    pub(crate) machine: usize,
    pub(crate) out: &'a mut Writer,
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
        if crate::step_c::steps(machine) {
            self.step();
        }
        if shows(machine) {
            self.show();
        }
        if writes(machine) {
            self.write();
        }
    }

    pub(crate) fn the_machine(&self) -> &'a Machine {
        &self.form.machines[self.machine]
    }

    pub(crate) fn printer(&self, reading: Reading) -> Printer<'a> {
        Printer { form: self.form, names: self.names, machine: self.machine, reading }
    }

    /// A field of this machine.
    pub(crate) fn own(&self, field: &str) -> String {
        format!("now.{}.{field}", self.names.machines[self.machine].name)
    }

    pub(crate) fn timer(&self, timer: usize) -> String {
        self.own(&self.names.machines[self.machine].timers[timer])
    }

    pub(crate) fn state(&self, state: usize) -> &'a str {
        &self.names.machines[self.machine].states[state]
    }

    /// Whether leaving a state does anything at all.
    pub(crate) fn has_leave(&self, state: usize) -> bool {
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

    pub(crate) fn perform(&mut self, actions: &[Action]) {
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
            Action::Play { sound } => format!("now.playing[{}] = true;", self.names.sounds[*sound]),
            Action::Press { button } => format!("now.simulated |= {};", self.names.buttons[*button]),
        }
    }

    /// A value to be stored: the only place where a pick may stand.
    fn stored(&self, expr: &Expr, least: i32, most: i32) -> String {
        let constant = crate::expr::constant;
        let stream = self.own("stream");
        let (drawn, lo, hi) = match expr.node {
            Node::Pick { site, lo, hi } => {
                let hi = hi.max(lo);
                (format!("pick(&{stream}, {site}, {}, {})", constant(lo), constant(hi)), lo, hi)
            }
            Node::Draw { site, bag, lo, hi } => {
                let bag = self.own(&self.names.machines[self.machine].numbers[bag]);
                let ends = format!("{}, {}", constant(lo), constant(hi));
                (format!("draw(&{stream}, &{bag}, {site}, {ends})"), lo, hi)
            }
            _ => return self.printer(Reading::Tick).held_to(expr, least, most),
        };
        if lo >= least && hi <= most {
            drawn
        } else {
            format!("hold_wide({drawn}, {}, {})", constant(least), constant(most))
        }
    }

    fn show(&mut self) {
        let name = &self.names.machines[self.machine].name;
        self.out.function(&format!("static void show_{name}(struct rules_frame *frame)"));
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
        self.end_switch();
    }

    pub(crate) fn end_switch(&mut self) {
        self.out.line("default:");
        self.out.line("    break;");
        self.out.line("}");
        self.out.end();
    }

    fn write(&mut self) {
        let name = &self.names.machines[self.machine].name;
        self.out.function(&format!("static void write_{name}(struct rules_frame *frame)"));
        self.out.line(&format!("switch ({}) {{", self.own("state")));
        for (s, state) in self.the_machine().states.iter().enumerate() {
            if state.writes.is_empty() {
                continue;
            }
            self.out.open(&format!("case {}:", self.state(s)));
            for writes in &state.writes {
                let line = self.written(writes);
                self.out.line(&line);
            }
            self.out.line("break;");
            self.out.close("");
        }
        self.end_switch();
    }

    fn written(&self, writes: &Writes) -> String {
        let digits = &self.names.digits[writes.digits];
        let value = self.printer(Reading::Frame).whole(&writes.value);
        let lit = match &writes.flash {
            Some(flash) => format!("ticks_left({}) > {}", self.timer(flash.timer), ticks(flash.dark)),
            None => "true".to_owned(),
        };
        format!(
            "write_digits(&frame->number[{digits}], &frame->zeros[{digits}], {value}, {}, {lit});",
            writes.zeros
        )
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
        let spot = if lights.each { format!("{} + spot - 1", self.names.spots[lights.first]) } else { spot };
        if lights.each {
            let kind = if count > 32_766 { "int32_t" } else { "int16_t" };
            self.out
                .open(&format!("for ({kind} spot = 1; spot <= {}; spot++) {{", crate::expr::constant(count)));
        }
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
        if lights.each {
            self.out.close("}");
        }
    }
}

/// Ticks as a constant.
pub(crate) fn ticks(ticks: u32) -> String {
    crate::expr::constant(i32::try_from(ticks).unwrap_or(i32::MAX))
}

/// A test without the brackets around the whole of it, where they are one pair.
pub(crate) fn bare(text: &str) -> String {
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
