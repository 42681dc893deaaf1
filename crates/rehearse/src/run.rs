//! Many visits, on all processors, with the same result however many there are.

use crate::people::{EVERYBODY, People};
use crate::quick::{Rules, Unfit};
use crate::visit::{BOUTS, Score, Script, Stage, Visit, moments, scripted, visit};
use rayon::prelude::*;
use rules::form::Form;
use rules::step::Start;

/// Who comes together: one, or two of the same or of different age.
#[derive(Clone, Debug, PartialEq)]
pub struct Cast {
    /// As on the command line: `five`, `five+adult`.
    pub key: String,
    /// They, from the first seat on.
    pub members: Vec<&'static People>,
}

impl Cast {
    /// Reads `five`, or `five+adult`.
    ///
    /// # Errors
    /// Where a word is nobody's, or there are more than `most`.
    pub fn read(words: &str, most: usize) -> Result<Self, Unfit> {
        let mut members = Vec::new();
        for word in words.split('+').map(str::trim) {
            let Some(people) = EVERYBODY.into_iter().find(|people| people.key == word) else {
                let known: Vec<&str> = EVERYBODY.iter().map(|people| people.key).collect();
                return Err(Unfit(format!(
                    "there are no people called `{word}`; expected {}",
                    known.join(", ")
                )));
            };
            members.push(people);
        }
        if members.len() > most {
            let (many, places) = (members.len(), if most == 1 { "one person" } else { "two people" });
            return Err(Unfit(format!("`{words}` are {many} people; these rules have prompts for {places}")));
        }
        let keys: Vec<&str> = members.iter().map(|people| people.key).collect();
        Ok(Self { key: keys.join("+"), members })
    }

    /// Everybody alone, and where two can play, two together of the same and of different age.
    pub fn usual(places: usize) -> Vec<Self> {
        let pairs = ["five+five", "five+adult", "adult+adult"];
        let alone = EVERYBODY.iter().map(|people| people.key);
        let keys = alone.chain(pairs.into_iter().filter(|_| places > 1));
        keys.filter_map(|key| Self::read(key, places).ok()).collect()
    }

    /// In words: `five-year-olds`, `two adults`, `a five-year-old and an adult`.
    pub fn words(&self) -> String {
        match self.members.as_slice() {
            [one] => one.many.to_owned(),
            [one, two] if one == two => format!("two {}", one.many),
            all => all.iter().map(|people| people.one).collect::<Vec<_>>().join(" and "),
        }
    }
}

/// Rules on which people can be let loose.
pub struct Ready {
    pub(crate) rules: Rules,
    pub(crate) scores: Vec<Score>,
    pub(crate) sides: Vec<usize>,
    start: Start,
    pub(crate) tick_ms: f64,
}

impl Ready {
    /// Makes rules ready.
    ///
    /// # Errors
    /// Where there are no prompts, or more buttons than can be rehearsed.
    pub fn new(form: &Form) -> Result<Self, Unfit> {
        if form.prompts.is_empty() {
            return Err(Unfit(
                "these rules do not say what a person waits for: add a line such as `prompt catch press button \
                 when hand is open`"
                    .to_owned(),
            ));
        }
        let mut sides: Vec<usize> = form.prompts.iter().filter_map(|prompt| prompt.side).collect();
        sides.sort_unstable();
        sides.dedup();
        Ok(Self {
            rules: Rules::new(form)?,
            scores: scores(form),
            sides,
            start: Start::default(),
            tick_ms: f64::from(form.tick_ms.max(1)),
        })
    }

    /// How many people can play together.
    pub fn places(&self) -> usize {
        self.sides.len().clamp(1, 2)
    }

    fn stage(&self, seed: u64, bouts: usize) -> Stage<'_> {
        Stage {
            rules: &self.rules,
            start: &self.start,
            scores: &self.scores,
            sides: &self.sides,
            seed,
            bouts,
            most_moments: u64::MAX,
        }
    }

    /// How many moments at which something happens a visit has, a measure of what playing it costs; none if there are more
    /// than `most`.
    pub fn moments(&self, cast: &Cast, seed: u64, number: u64, most: u64) -> Option<u64> {
        moments(&Stage { most_moments: most, ..self.stage(seed, BOUTS) }, &cast.members, number)
    }

    /// One visit written down, on a display just switched on.
    pub fn script(&self, cast: &Cast, seed: u64, number: u64) -> Script {
        scripted(&self.stage(seed, BOUTS), &cast.members, number)
    }

    /// Visits by number, in order; `done` hears of each.
    pub(crate) fn visits(
        &self,
        cast: &Cast,
        (seed, count, bouts): (u64, u64, usize),
        done: &(dyn Fn() + Sync),
    ) -> Vec<Visit> {
        let stage = self.stage(seed, bouts);
        let one = |number| {
            let visit = visit(&stage, &cast.members, number);
            done();
            visit
        };
        (0..count).into_par_iter().map(one).collect()
    }
}

/// What counts as score: what is shown on digits, else what is kept.
fn scores(form: &Form) -> Vec<Score> {
    let mut scores: Vec<Score> = Vec::new();
    let any_shown =
        form.machines.iter().any(|machine| machine.numbers.iter().any(|number| number.shown_on.is_some()));
    for (m, machine) in form.machines.iter().enumerate() {
        let side =
            machine.name.rsplit_once('.').and_then(|(_, side)| form.sides.iter().position(|own| own == side));
        for (i, number) in machine.numbers.iter().enumerate() {
            if !(if any_shown { number.shown_on.is_some() } else { number.kept }) {
                continue;
            }
            let place = ((m, i), side);
            match scores.iter_mut().find(|score| score.name == number.name) {
                Some(score) => score.numbers.push(place),
                None => {
                    let (name, most) = (number.name.clone(), number.max);
                    scores.push(Score { name, most, numbers: vec![place] });
                }
            }
        }
    }
    scores
}
