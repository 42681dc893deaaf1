//! One visit: people come to a display that plays by itself, play a few bouts, and go.

use crate::chance::Chance;
use crate::people::People;
use crate::person::{Deed, Person, ticks};
use crate::quick::{Play, Rules};
use rules::step::Start;

/// Most bouts that the same people play, one after the other.
pub(crate) const BOUTS: usize = 5;
/// Where the rules do not say what a bout is: how long people play.
const WITHOUT_BOUTS_MS: f64 = 60_000.0;
/// A bout that lasts longer than this is broken off.
const LONGEST_BOUT_MS: f64 = 600_000.0;
/// How long a bout may go on after everybody has left.
const AFTERWARDS_MS: f64 = 180_000.0;
/// People come at any time between these, counted from switching on.
const ARRIVAL_MS: (f64, f64) = (2_000.0, 12_000.0);
/// Streams of one visit; the last is the display's own.
const STREAMS: u64 = 16;

/// What is counted as score: numbers of one name, one for each side or a single one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Score {
    pub(crate) name: String,
    /// The greatest it can be.
    pub(crate) most: i32,
    /// Machine, number, and whose side it is.
    pub(crate) numbers: Vec<((usize, usize), Option<usize>)>,
}

/// What came of one bout.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Bout {
    /// Which of these people's bouts it was, from 0.
    pub(crate) order: usize,
    /// The greatest value of each score.
    pub(crate) scores: Vec<i32>,
    pub(crate) ticks: u64,
    pub(crate) hits: u32,
    pub(crate) empty: u32,
    pub(crate) missed: u32,
    /// Ticks in which two people hit at once.
    pub(crate) together: u32,
    /// Whether it came to its end with people still there.
    pub(crate) ended: bool,
    /// Whether it was broken off for its length.
    pub(crate) endless: bool,
}

/// What came of a visit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Visit {
    pub(crate) bouts: Vec<Bout>,
    /// Ticks from arrival to each person's first success.
    pub(crate) first_hits: Vec<Option<u64>>,
    /// Presses before the first bout that came to nothing, of all presses before it.
    pub(crate) before: (u32, u32),
    /// Ticks from the last person's leaving in the middle of a bout until the display was free again.
    pub(crate) freed: Option<u64>,
    /// The last tick.
    pub(crate) ticks: u64,
}

/// A visit written down, for replaying it elsewhere.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Script {
    /// Tick, buttons pressed in it, buttons held from it on, as bits.
    pub presses: Vec<(u64, u64, u64)>,
    /// The last tick.
    pub ticks: u64,
    /// Of the situation after it.
    pub fingerprint: u32,
}

/// What all visits share.
pub(crate) struct Stage<'a> {
    pub(crate) rules: &'a Rules,
    pub(crate) start: &'a Start,
    pub(crate) scores: &'a [Score],
    /// The sides that have prompts; none for rules whose prompts have no side.
    pub(crate) sides: &'a [usize],
    pub(crate) seed: u64,
    /// How many bouts people play, one after the other, if they do not go before.
    pub(crate) bouts: usize,
    /// A visit is broken off after so many moments at which something happened.
    pub(crate) most_moments: u64,
}

/// Plays a visit to its end.
pub(crate) fn visit(stage: &Stage, cast: &[&People], number: u64) -> Visit {
    let mut at_play = AtPlay::new(stage, cast, number, None);
    at_play.run();
    at_play.done()
}

/// Plays a visit and counts the moments at which something happened; none if there are more than the stage allows.
pub(crate) fn moments(stage: &Stage, cast: &[&People], number: u64) -> Option<u64> {
    let mut at_play = AtPlay::new(stage, cast, number, None);
    at_play.run();
    (at_play.moments < stage.most_moments).then_some(at_play.moments)
}

/// Plays a visit to a display whose own chance is that of a controller just switched on, and writes it down.
pub(crate) fn scripted(stage: &Stage, cast: &[&People], number: u64) -> Script {
    let mut at_play = AtPlay::new(stage, cast, number, Some(stage.rules.form.seed));
    at_play.script = Some(Vec::new());
    at_play.run();
    Script {
        presses: at_play.script.take().unwrap_or_default(),
        ticks: at_play.play.tick(),
        fingerprint: rules::hash::fingerprint(&at_play.play.situation()),
    }
}

struct AtPlay<'a> {
    stage: &'a Stage<'a>,
    play: Play<'a>,
    scratch: Play<'a>,
    people: Vec<Person<'a>>,
    /// The sides that people stand at.
    stands: Vec<usize>,
    arrival: u64,
    /// The last tick, whatever happens.
    last: u64,
    /// While a bout lasts: when it began, and what has come of it so far.
    bout: Option<(u64, Bout)>,
    left: Option<u64>,
    deeds: Vec<Deed>,
    visit: Visit,
    moments: u64,
    script: Option<Vec<(u64, u64, u64)>>,
}

impl<'a> AtPlay<'a> {
    fn new(stage: &'a Stage<'a>, cast: &[&'a People], number: u64, switched_on: Option<u32>) -> Self {
        let tick_ms = f64::from(stage.rules.form.tick_ms.max(1));
        let mut own = Chance::new(stage.seed, number * STREAMS + STREAMS - 1);
        let arrival = ticks(own.between(ARRIVAL_MS.0, ARRIVAL_MS.1), tick_ms).max(1);
        let word = own.word();
        let play = Play::begin(stage.rules, stage.start, switched_on.unwrap_or(word));
        let turn = usize::try_from(number).unwrap_or(0);
        let stand = |seat: usize| {
            let count = stage.sides.len();
            (count > 0).then(|| stage.sides[(seat + turn) % count])
        };
        let person = |(seat, people): (usize, &&'a People)| {
            let mut sides = vec![stand(seat)];
            if seat == 0 {
                sides.push(None);
            }
            let chance = Chance::new(stage.seed, number * STREAMS + seat as u64);
            Person::new(people, stage.rules, &sides, arrival, chance)
        };
        Self {
            stage,
            scratch: play.clone(),
            play,
            people: cast.iter().enumerate().map(person).collect(),
            stands: (0..cast.len()).filter_map(stand).collect(),
            arrival,
            last: arrival + ticks(WITHOUT_BOUTS_MS, tick_ms),
            bout: None,
            left: None,
            deeds: Vec::new(),
            visit: Visit::default(),
            moments: 0,
            script: None,
        }
    }

    fn ms(&self, ms: f64) -> u64 {
        ticks(ms, f64::from(self.stage.rules.form.tick_ms.max(1)))
    }

    fn run(&mut self) {
        self.arrive();
        while self.goes_on() && self.moments < self.stage.most_moments {
            self.moments += 1;
            let next = self.next();
            self.tick(next);
        }
    }

    /// The display plays by itself until people come.
    fn arrive(&mut self) {
        self.play.advance(self.arrival);
        for person in &mut self.people {
            person.see(&self.play, &mut self.scratch, &mut self.deeds);
        }
        self.look(true);
    }

    fn next(&self) -> u64 {
        let people = self.people.iter().map(Person::next).min().unwrap_or(u64::MAX);
        people.max(self.play.tick() + 1).min(self.play.next_event()).min(self.last)
    }

    fn goes_on(&self) -> bool {
        let somebody = self.people.iter().any(|person| person.present);
        let tick = self.play.tick();
        if self.stage.rules.bout.is_none() {
            return tick < self.last && somebody;
        }
        tick < self.last && (self.bout.is_some() || (somebody && self.visit.bouts.len() < self.stage.bouts))
    }

    fn tick(&mut self, tick: u64) {
        let (mut pressed, mut held, mut hits) = (0, 0, 0);
        self.deeds.clear();
        for person in &mut self.people {
            let before = self.deeds.len();
            pressed |= person.act(tick, &mut self.deeds);
            held |= person.held();
            hits += u32::from(self.deeds[before..].contains(&Deed::Hit));
        }
        if let Some(script) = &mut self.script
            && (pressed != 0 || script.last().is_none_or(|(_, _, last)| *last != held))
        {
            script.push((tick, pressed, held));
        }
        self.play.step_at(tick, pressed, held);
        for person in &mut self.people {
            if pressed != 0 || person.asks() & self.play.changed() != 0 {
                person.see(&self.play, &mut self.scratch, &mut self.deeds);
            }
        }
        self.count(hits);
        self.look(false);
        self.leaving();
    }

    /// What people did counts for the bout that is on as the tick begins, else for the time before.
    fn count(&mut self, hits: u32) {
        let counted =
            |deed: Deed| u32::try_from(self.deeds.iter().filter(|did| **did == deed).count()).unwrap_or(0);
        let (hit, empty, missed) = (counted(Deed::Hit), counted(Deed::Empty), counted(Deed::Missed));
        match &mut self.bout {
            Some((_, bout)) => {
                bout.hits += hit;
                bout.empty += empty;
                bout.missed += missed;
                bout.together += u32::from(hits > 1);
            }
            None if self.visit.bouts.is_empty() => {
                self.visit.before.0 += empty;
                self.visit.before.1 += hit + empty;
            }
            None => {}
        }
    }

    /// Looks at the scores, and whether a bout begins or ends.
    fn look(&mut self, anew: bool) {
        let tick = self.play.tick();
        let on = match self.stage.rules.bout {
            Some((_, asks)) if !anew && asks & self.play.changed() == 0 => self.bout.is_some(),
            Some((bout, _)) => self.play.holds(bout),
            None => true,
        };
        if on && self.bout.is_none() {
            let scores = vec![i32::MIN; self.stage.scores.len()];
            let order = self.visit.bouts.len();
            self.bout = Some((tick, Bout { order, scores, ..Bout::default() }));
            if self.stage.rules.bout.is_some() {
                self.last = tick + self.ms(LONGEST_BOUT_MS);
            }
        }
        if !on && let Some((from, bout)) = self.bout.take() {
            let ended = self.people.iter().any(|person| person.present);
            self.visit.freed = self.left.map(|left| tick - left);
            self.visit.bouts.push(Bout { ticks: tick - from, ended, ..bout });
            self.people.iter_mut().for_each(Person::play_again);
            self.last = tick + self.ms(LONGEST_BOUT_MS);
        }
        let (play, stands) = (&self.play, &self.stands);
        if let Some((_, bout)) = &mut self.bout {
            for (best, score) in bout.scores.iter_mut().zip(self.stage.scores) {
                let theirs =
                    score.numbers.iter().filter(|(_, side)| side.is_none_or(|side| stands.contains(&side)));
                *best = theirs.map(|(number, _)| play.number(*number)).fold(*best, i32::max);
            }
        }
    }

    fn leaving(&mut self) {
        if self.left.is_some() || self.people.iter().any(|person| person.present) {
            return;
        }
        self.left = Some(self.play.tick());
        self.last = self.last.min(self.play.tick() + self.ms(AFTERWARDS_MS));
    }

    fn done(mut self) -> Visit {
        let tick = self.play.tick();
        if let Some((from, bout)) = self.bout.take() {
            let endless = self.stage.rules.bout.is_some();
            self.visit.bouts.push(Bout { ticks: tick - from, endless, ..bout });
        }
        let since = |hit: u64| hit - self.arrival;
        self.visit.first_hits = self.people.iter().map(|person| person.first_hit.map(since)).collect();
        self.visit.ticks = tick;
        self.visit
    }
}
