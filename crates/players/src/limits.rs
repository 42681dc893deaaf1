//! The limits beneath the rules, once more and slowly: the whole past is kept and looked through in every tick.

use plan::{Flashes, LitBy, Plan};
use rules::form::Form;

/// Changes of one picture in any second: three flashes (WCAG 2.3.1), each a pair of opposing changes.
pub const MOST_CHANGES: usize = 6;

/// Changes in any second, all together, that fill what counts as flashing in a field of view; a seventh makes it too many.
pub const TOGETHER: f64 = 7.0;

/// Channels that change together.
#[derive(Clone, Debug)]
pub struct Group {
    /// What they are.
    pub of: Flashes,
    /// Its channels.
    pub channels: Vec<usize>,
    /// Ticks between two changes.
    pub rest: usize,
    changes: Vec<usize>,
    lit: usize,
    spent: bool,
}

/// What is fed by one source, and its most amperes.
#[derive(Clone, Debug)]
pub struct Fed {
    /// Its channels.
    pub channels: Vec<usize>,
    /// Amperes.
    pub most_a: f64,
}

/// The slow limits.
#[derive(Clone, Debug)]
pub struct Reference {
    /// In the order figures, spots, digits.
    pub groups: Vec<Group>,
    /// The supply, then the circuits.
    pub fed: Vec<Fed>,
    /// For every field of view how much each group can change of what counts, in the order of the groups.
    pub fields: Vec<Vec<f64>>,
    /// Ticks of a second.
    pub second: usize,
    /// Ticks after which what is lit goes dark; never where it is not given.
    pub longest: usize,
    amperes: Vec<f64>,
    shown: Vec<bool>,
    now: usize,
}

impl Reference {
    /// At the start, all dark.
    pub fn new(plan: &Plan, form: &Form) -> Self {
        let owners = (0..form.figures.len())
            .map(|figure| Flashes::Figure { figure })
            .chain((0..form.spots.len()).map(|spot| Flashes::Spot { spot }))
            .chain((0..form.digits.len()).map(|digits| Flashes::Digits { digits }));
        let groups = owners.map(|owner| group(plan, form, owner));
        let groups: Vec<Group> = groups.filter(|group| !group.channels.is_empty()).collect();
        let share = |field: &plan::FlashField, of: Flashes| {
            field.shares.iter().find(|share| share.of == of).map_or(0.0, |share| share.share)
        };
        let fields = plan.flashing.iter();
        let fields =
            fields.map(|field| groups.iter().map(|group| share(field, group.of)).collect()).collect();
        let low = |k: &usize| plan.channels[*k].outlet.is_none();
        let all = || 0..plan.channels.len();
        let lights: f64 = all().filter(low).map(|k| plan.channels[k].current_a).sum();
        // The program counts whole milliamperes.
        let whole = |amperes: f64| (amperes * 1000.0).round() / 1000.0;
        let amperes: Vec<f64> = plan.channels.iter().map(|channel| whole(channel.current_a)).collect();
        let beside = (plan.supply.needed_a - lights).max(0.0);
        let mut fed =
            vec![Fed { channels: all().filter(low).collect(), most_a: whole(plan.supply.rated_a - beside) }];
        for circuit in &plan.circuits {
            let on = |k: &usize| {
                let outlet = plan.channels[*k].outlet.as_ref();
                outlet.is_some_and(|outlet| plan.switch_boxes[outlet.switch_box].circuit == circuit.name)
            };
            fed.push(Fed { channels: all().filter(on).collect(), most_a: whole(circuit.allowed_a) });
        }
        let second = 1000_usize.div_ceil(form.tick_ms as usize);
        let shown = vec![false; amperes.len()];
        Self { groups, fed, fields, second, longest: usize::MAX, amperes, shown, now: 0 }
    }

    /// Amperes of a source.
    pub fn taken(&self, fed: &Fed, lit: &[bool]) -> f64 {
        fed.channels.iter().filter(|&&k| lit[k]).map(|&k| self.amperes[k]).sum()
    }

    fn is_within(&self, lit: &[bool]) -> bool {
        self.fed.iter().all(|fed| self.taken(fed, lit) <= fed.most_a + 1e-4)
    }

    fn is_no_more(&self, lit: &[bool], than: &[bool]) -> bool {
        self.fed.iter().all(|fed| self.taken(fed, lit) <= self.taken(fed, than) + 1e-9)
    }

    /// One tick: from the channels as wanted to the channels as they may be.
    pub fn tick(&mut self, wanted: &[bool]) -> Vec<bool> {
        self.now += 1;
        let mut chosen = self.shown.clone();
        let mut recent: Vec<usize> =
            self.groups.iter().map(|group| group.recent(self.now, self.second)).collect();
        for group in &mut self.groups {
            let any = group.channels.iter().any(|&k| wanted[k]);
            group.spent = any && (group.spent || group.lit >= self.longest);
        }
        // What has been lit for too long comes first.
        let all = 0..self.groups.len();
        let (first, then): (Vec<usize>, Vec<usize>) = all.partition(|&g| self.groups[g].spent);
        for g in first.into_iter().chain(then) {
            let group = &self.groups[g];
            let to = |k: usize| wanted[k] && !group.spent;
            let rested = group.changes.last().is_none_or(|&at| at + group.rest <= self.now);
            // No field of view in which it is seen would have a seventh change.
            let full = |field: &Vec<f64>| {
                let weighed: f64 =
                    field.iter().zip(&recent).map(|(share, times)| share * *times as f64).sum();
                field[g] > 0.0 && weighed + field[g] > TOGETHER - 1e-9
            };
            let differs = group.channels.iter().any(|&k| to(k) != self.shown[k]);
            if differs && recent[g] < MOST_CHANGES && rested && !self.fields.iter().any(full) {
                for &k in &group.channels {
                    chosen[k] = to(k);
                }
                recent[g] += 1;
            }
        }
        let next = if self.is_within(&chosen) { chosen } else { self.one_by_one(&chosen) };
        for group in &mut self.groups {
            if group.channels.iter().any(|&k| next[k] != self.shown[k]) {
                group.changes.push(self.now);
            }
            group.lit = if group.channels.iter().any(|&k| next[k]) { group.lit + 1 } else { 0 };
        }
        self.shown.clone_from(&next);
        next
    }

    /// First what takes no more than before, then what still fits.
    fn one_by_one(&self, chosen: &[bool]) -> Vec<bool> {
        let mut next = self.shown.clone();
        for second_round in [false, true] {
            for group in &self.groups {
                let mut tried = next.clone();
                for &k in &group.channels {
                    tried[k] = chosen[k];
                }
                if self.is_no_more(&tried, &next) || second_round && self.is_within(&tried) {
                    next = tried;
                }
            }
        }
        next
    }
}

impl Group {
    /// Changes in the last second.
    fn recent(&self, now: usize, second: usize) -> usize {
        self.changes.iter().filter(|&&at| at + second > now).count()
    }
}

fn group(plan: &Plan, form: &Form, owner: Flashes) -> Group {
    let is = |lit_by: &LitBy| match lit_by {
        LitBy::Poses { figure, .. } => owner == Flashes::Figure { figure: *figure },
        LitBy::Spot { spot } => owner == Flashes::Spot { spot: *spot },
        LitBy::Segment { digits, .. } => owner == Flashes::Digits { digits: *digits },
    };
    let channels: Vec<usize> = (0..plan.channels.len()).filter(|&k| is(&plan.channels[k].lit_by)).collect();
    let rest_ms = channels.iter().filter_map(|&k| plan.channels[k].outlet.as_ref());
    let rest_ms = rest_ms.map(|outlet| plan.switch_boxes[outlet.switch_box].shortest_ms).max().unwrap_or(0);
    let rest = rest_ms.div_ceil(form.tick_ms) as usize;
    Group { of: owner, channels, rest, changes: Vec::new(), lit: 0, spent: false }
}
