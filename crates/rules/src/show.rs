//! What states show: poses, spots, digits.

use crate::codes;
use crate::expand::{Expansion, dwell, hidden};
use crate::form::{Flash, Lights, Machine, Node, Number, Shows, Two, Writes};
use crate::names::{Outside, Range, Within};
use crate::ranges::Typed;
use crate::syntax::{Ex, Fading, Light, Name, Path, Span, StateTree, Write};

/// Flashing digits are shown so long and dark so long: one flash a second. Common practice, and far below what
/// photosensitive people are warned of.
const FLASH_HALF_MS: u32 = 500;

impl Expansion<'_> {
    pub(crate) fn number(&mut self, tree: usize, i: usize) -> Number {
        let world = self.lookup.world;
        let written = &world.trees[tree].numbers[i];
        let range = world.ranges[tree][i];
        let digits = written.shown_on.as_ref().and_then(|path| self.shown_on(path, &written.name, range));
        let (min, max, start) = range.map_or((0, 0, 0), |range| (range.min, range.max, range.start));
        Number { name: written.name.text.clone(), min, max, start, shown_on: digits, kept: written.kept }
    }

    fn shown_on(&mut self, path: &Path, name: &Name, range: Option<Range>) -> Option<usize> {
        let at = self.lookup.outside(path, Outside::Digits)?;
        let digits = &self.lookup.world.interface.digits[at];
        if let Some(other) = self.digits.get(&at) {
            let message = format!("`{}` already shows `{other}`", digits.name);
            let fault = self.lookup.fault(codes::DIGITS_TAKEN, path.span(), message);
            return self.lookup.refuse(fault.expected("expected digits that show nothing yet"));
        }
        self.digits.insert(at, name.text.clone());
        let range = range?;
        let most = widest(digits.count);
        if range.min < 0 || i64::from(range.max) > most {
            let message = format!("`{}` goes from {} to {}", name.text, range.min, range.max);
            let fault = self.lookup.fault(codes::DIGITS_NARROW, name.span, message);
            return self
                .lookup
                .refuse(fault.expected(format!("expected 0 to {most}, which `{}` can show", digits.name)));
        }
        Some(at)
    }

    /// What the states of a machine show.
    pub(crate) fn show(&mut self, m: usize, machine: &mut Machine) {
        let world = self.lookup.world;
        self.lookup.own = Some(m);
        for (at, state) in world.trees[world.instances[m].tree].states.iter().enumerate() {
            machine.states[at].pose = self.pose(m, state);
            for light in &state.lights {
                let lights = self.light(light, machine, at);
                machine.states[at].lights.extend(lights);
            }
            for write in &state.writes {
                let writes = self.write(write, machine, at);
                machine.states[at].writes.extend(writes);
            }
            self.lookup.within = Within::Rule;
        }
    }

    fn pose(&mut self, m: usize, state: &StateTree) -> Option<Shows> {
        let mut pose = None;
        for (figure, name) in &state.shows {
            let span = figure.as_ref().map_or(name.span, |figure| figure.span().to(name.span));
            let Some((figure, number)) = self.lookup.pose(figure.as_ref(), name) else { continue };
            if pose.is_some() {
                let message = format!("state `{}` already shows a pose", state.name.text);
                let fault = self.lookup.fault(codes::TWO_POSES, span, message);
                self.lookup.faults.push(
                    fault
                        .expected("expected one pose a state")
                        .hint("give the other figure a machine of its own"),
                );
                continue;
            }
            let owner = *self.figures.entry(figure).or_insert(m);
            if owner != m {
                let world = self.lookup.world;
                let figure = &world.interface.figures[figure].name;
                let message = format!(
                    "figure `{figure}` is already shown by machine `{}`",
                    world.instances[owner].name
                );
                let fault = self.lookup.fault(codes::FIGURE_TAKEN, span, message);
                self.lookup.faults.push(fault.expected("expected a figure that no other machine shows"));
                continue;
            }
            pose = Some(Shows { figure, pose: number });
        }
        pose
    }

    fn write(&mut self, write: &Write, machine: &mut Machine, state: usize) -> Option<Writes> {
        self.lookup.within = Within::Writes;
        let at = self.lookup.outside(&write.digits, Outside::Digits);
        let value = self.lookup.number(&write.value);
        let (at, value) = (at?, value?);
        let digits = &self.lookup.world.interface.digits[at];
        if machine.states[state].writes.iter().any(|earlier| earlier.digits == at) {
            let message = format!("this state already writes on `{}`", digits.name);
            let fault = self.lookup.fault(codes::DIGITS_TAKEN, write.digits.span(), message);
            return self.lookup.refuse(fault.expected("expected digits that it does not write on yet"));
        }
        let most = widest(digits.count);
        if value.lo < 0 || value.hi > most {
            let message = format!("this can be {}", bounds(value.lo, value.hi));
            let fault = self.lookup.fault(codes::DIGITS_NARROW, write.value.span, message);
            let fault = fault.expected(format!("expected 0 to {most}, which `{}` can show", digits.name));
            return self.lookup.refuse(fault.hint(format!("`min(..., {most})` keeps it within them")));
        }
        let flash = write.flashing.then(|| self.flash(machine, state));
        Some(Writes { digits: at, value: value.expr, zeros: write.zeros, flash })
    }

    /// Half a second shown and half a second dark, each rounded up to whole ticks.
    fn flash(&mut self, machine: &mut Machine, state: usize) -> Flash {
        let half = FLASH_HALF_MS.div_ceil(u32::try_from(self.lookup.world.tick_ms).unwrap_or(10).max(1));
        let cyclic = |dwell: &&crate::form::Dwell| machine.timers[dwell.timer].cycle;
        let known = machine.states[state].dwells.iter().find(cyclic).map(|dwell| dwell.timer);
        let timer = known.unwrap_or_else(|| {
            let name = format!("{}+flash", machine.states[state].name);
            hidden(machine, state, 2 * half, name, true)
        });
        Flash { timer, dark: half }
    }

    fn light(&mut self, light: &Light, machine: &mut Machine, state: usize) -> Option<Lights> {
        self.lookup.within = Within::Light;
        let at = self.lookup.outside(&light.spot, Outside::Spot)?;
        let spots = &self.lookup.world.interface.spots;
        let first = spots[..at].iter().map(|spot| spot.count as usize).sum();
        let spot = &spots[at];
        let index = self.numbered(light.index.as_ref());
        self.lookup.row = light.each.map(|_| spot.count);
        let level = match &light.fading {
            Some(fading) => self.fade(fading, machine, state).map(Some),
            None => self.numbered(light.level.as_ref()),
        };
        let when = light.when.as_ref().map(|when| self.lookup.condition(when));
        self.lookup.row = None;
        let (index, level) = (index?, level?);
        let when = match when {
            Some(when) => Some(when?.expr),
            None => None,
        };
        if light.each.is_none() {
            self.index(light.spot.span(), index.as_ref(), &spot.name, spot.count)?;
        }
        self.level(level.as_ref(), &spot.name, spot.dims)?;
        let full = crate::form::Expr { w: 16, node: Node::Const { v: 255 } };
        let level = level.map_or(full, |level| level.expr);
        let index = index.map(|index| index.expr);
        Some(Lights { first, count: spot.count, index, each: light.each.is_some(), level, when })
    }

    /// A level that goes evenly from one to another: `from + (to - from) * (ticks - left) / ticks`, where a hidden timer
    /// that entering the state starts has `left` ticks.
    fn fade(&mut self, fading: &Fading, machine: &mut Machine, state: usize) -> Option<Typed> {
        let from = self.lookup.number(&fading.from);
        let to = self.lookup.number(&fading.to);
        let ticks = self.lookup.duration(&fading.over);
        let (from, to, ticks) = (from?, to?, ticks?);
        let span = from.span.to(fading.over.span);
        for end in [&from, &to] {
            self.level(Some(end), "", true)?;
        }
        let bounds = (from.lo.min(to.lo), from.hi.max(to.hi));
        let timer = dwell(machine, state, ticks);
        let lookup = &mut self.lookup;
        let left = lookup.ticks_left(span, lookup.own?, timer, ticks)?;
        let all = lookup.plain(span, ticks.into(), true)?;
        let gone = lookup.joined(span, Two::Sub, all.clone(), left)?;
        let way = lookup.joined(span, Two::Sub, to, from.clone())?;
        let part = lookup.joined(span, Two::Mul, way, gone)?;
        let part = lookup.joined(span, Two::Div, part, all)?;
        let level = lookup.joined(span, Two::Add, from, part)?;
        // Between its two ends, whatever the intervals of its parts say.
        Some(Typed { lo: bounds.0, hi: bounds.1, ..level })
    }

    /// A number that may be left out; the outer option is none after a fault.
    fn numbered(&mut self, ex: Option<&Ex>) -> Option<Option<Typed>> {
        match ex {
            Some(ex) => self.lookup.number(ex).map(Some),
            None => Some(None),
        }
    }

    fn index(&mut self, span: Span, index: Option<&Typed>, name: &str, count: u32) -> Option<()> {
        let Some(index) = index else {
            if count == 1 {
                return Some(());
            }
            let fault =
                self.lookup.fault(codes::INDEX_MISSING, span, format!("`{name}` is a row of {count}"));
            return self.lookup.refuse(fault.expected(format!("expected which one, as in `{name}[1]`")));
        };
        let last = i64::from(count);
        let expected = format!("expected 1 to {count}");
        if index.hi < 1 || index.lo > last {
            let message = format!("`{name}` has no place {}", bounds(index.lo, index.hi));
            let fault = self.lookup.fault(codes::INDEX_OUTSIDE, index.span, message);
            return self.lookup.refuse(fault.expected(expected));
        }
        if index.lo < 1 || index.hi > last {
            let message = format!(
                "this can be {}; below 1 the first is lit, above {count} the last",
                bounds(index.lo, index.hi)
            );
            let fault = self.lookup.fault(codes::INDEX_MAY_LEAVE, index.span, message);
            self.lookup.faults.push(fault.expected(expected).caution());
        }
        Some(())
    }

    fn level(&mut self, level: Option<&Typed>, name: &str, dims: bool) -> Option<()> {
        let Some(level) = level else { return Some(()) };
        if level.lo == level.hi && (level.lo < 0 || level.hi > 255) {
            let fault = self.lookup.fault(
                codes::LEVEL_OUTSIDE,
                level.span,
                format!("there is no level {}", level.lo),
            );
            return self.lookup.refuse(fault.expected("expected 0 to 255"));
        }
        if !dims && !(level.lo == level.hi && (level.lo == 0 || level.lo == 255)) {
            let fault =
                self.lookup.fault(codes::CANNOT_DIM, level.span, format!("`{name}` can only be on or off"));
            return self
                .lookup
                .refuse(fault.expected("expected 0 or 255").hint("`when CONDITION` switches it"));
        }
        if level.lo < 0 || level.hi > 255 {
            let message = format!(
                "this can be {}; less than 0 counts as 0, more than 255 as 255",
                bounds(level.lo, level.hi)
            );
            let fault = self.lookup.fault(codes::LEVEL_MAY_LEAVE, level.span, message);
            self.lookup.faults.push(fault.expected("expected 0 to 255").caution());
        }
        Some(())
    }
}

/// The greatest number that so many digits can show.
fn widest(digits: u32) -> i64 {
    10_i64.checked_pow(digits).map_or(i64::MAX, |most| most - 1)
}

fn bounds(lo: i64, hi: i64) -> String {
    if lo == hi { lo.to_string() } else { format!("{lo} to {hi}") }
}
