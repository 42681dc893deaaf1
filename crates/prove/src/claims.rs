//! Every claim in turn: those that the rules make, and those that are made without being asked.

use crate::answer::{Answer, Covered, Limits, Progress, Trace, Verdict};
use crate::home::{self, Ending};
use crate::known::{self, Known};
use crate::model::{Model, Who};
use crate::reduce::reads_held;
use crate::sets::Sets;
use crate::watch::{Watch, shows};
use crate::work::{Enough, Work};
use crate::{calm, concrete, plain, ranges, refine, replay, search, telling, words};
use rules::form::{Form, Transition, Trigger};

/// Which search answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Whole situations, one by one.
    Plain,
    /// Whole situations by tabulated moves where the claim allows it, else as [`Engine::Plain`].
    Quick,
    /// The same, and situations that are each other's mirror image counted once where form and claim are their own.
    Mirrored,
    /// Sets of timer values only.
    Sets,
    /// Sets, and where they do not decide, whole situations.
    Both,
}

/// What is asked.
pub(crate) enum Question {
    /// Something that an observer sees at once or in bounded time.
    Watch(Watch),
    /// See [`home::comes_home`].
    Home(Who),
    /// See [`home::turn_comes`].
    Alone(usize),
    /// See [`home::never_stuck`].
    NeverStuck,
    /// No rule reads whether the button is held.
    HoldingUnread,
}

/// Answers every claim of the form, and after them the claims that are made without being asked. Their names begin with a
/// dot:
///
/// - `.in-range`: no value is stored that its number cannot hold, no timer is started for less than a tick, no light is
///   indexed outside its row;
/// - `.digits`: digits never have to show a number below 0 or wider than they are (time left is proved by the reader);
/// - `.answered`: a press that counts is followed by a change of the picture within 100 ms (up to about a tenth of a second a
///   system seems to react at once: R. B. Miller, Response time in man-computer conversational transactions, 1968, from
///   memory). It counts when it brings some machine that shows something into another state, or changes its numbers while it
///   stands still; a press that only prolongs a movement is answered by it;
/// - `.flash FIGURE` and `.flash`: at most three pairs of changes of pose in any second, of a figure and of all together.
///   Any two changes after each other are taken as a pair of opposing ones; eight changes no more than a second from first
///   to last are too many. (WCAG 2.2, success criterion 2.3.1, written for screens: at most three flashes in any second.)
///   Wherever they stand and however little of a field of view they fill: who knows that, and of lights and digits too, need
///   not ask;
/// - `.home`: with nobody pressing from any situation on, play comes home for good, within the bound that is reported: the
///   machines are in states in which they can also be, together, where nobody has ever pressed, and stay in such states;
/// - `.held BUTTON`: the same while that button is down for ever. All other claims hold with stuck buttons as it is, since
///   every way of holding is among the plays that are looked at;
/// - `.alone BUTTON`: somebody who is there alone, at this button, gets a turn by waiting, from every situation they can bring
///   about, within the bound that is reported. It is their turn when a press would count, and the button's lamp, if it has
///   one, is lit. Not asked of a button that no way out waits for;
/// - `.stuck`: from every situation something seen can still change, by waiting or by pressing.
///
/// Sets prove the last four where silence alone brings about what is asked, and never refute them.
pub fn prove(form: &Form, limits: &Limits, progress: &mut dyn FnMut(Progress)) -> Vec<Answer> {
    prove_with(form, limits, Engine::Both, progress)
}

/// The names of all claims, in the order in which [`prove`] answers them.
pub fn names(form: &Form) -> Vec<String> {
    questions(form).into_iter().map(|(name, _)| name).collect()
}

/// The names of those about what comes when nobody touches anything any more: they share what is looked through for them.
pub fn names_in_silence(form: &Form) -> Vec<String> {
    let of_plays = |question: &Question| matches!(question, Question::Watch(_));
    questions(form).into_iter().filter(|(_, question)| !of_plays(question)).map(|(name, _)| name).collect()
}

/// The same with one engine alone.
pub fn prove_with(
    form: &Form,
    limits: &Limits,
    engine: Engine,
    progress: &mut dyn FnMut(Progress),
) -> Vec<Answer> {
    prove_some(form, limits, engine, &|_| true, progress)
}

/// The same for the claims whose names are wanted.
pub fn prove_some(
    form: &Form,
    limits: &Limits,
    engine: Engine,
    wanted: &dyn Fn(&str) -> bool,
    progress: &mut dyn FnMut(Progress),
) -> Vec<Answer> {
    prove_knowing(form, (limits, engine), wanted, &mut Known::default(), progress)
}

/// The same with what was found for other claims of the same rules.
pub fn prove_knowing(
    form: &Form,
    (limits, engine): (&Limits, Engine),
    wanted: &dyn Fn(&str) -> bool,
    known: &mut Known,
    progress: &mut dyn FnMut(Progress),
) -> Vec<Answer> {
    let mut questions = questions(form);
    questions.retain(|(name, _)| wanted(name));
    let of = questions.len();
    let mut answers = Vec::with_capacity(of);
    for (at, (claim, question)) in questions.iter().enumerate() {
        answers.push(answer(form, (claim, question), (limits, engine, known), &mut |covered| {
            progress(Progress { claim: claim.clone(), at, of, covered });
        }));
    }
    answers
}

fn answer(
    form: &Form,
    (claim, question): (&str, &Question),
    (limits, engine, known): (&Limits, Engine, &mut Known),
    report: &mut dyn FnMut(u64),
) -> Answer {
    report(0);
    let mut work = Work::new(*limits, report);
    std::mem::swap(&mut work.known, known);
    let (verdict, bound_ticks) = verdict(form, question, engine, &mut work);
    std::mem::swap(&mut work.known, known);
    let words = words::words(form, claim, question, &verdict, bound_ticks);
    let told = match &verdict {
        Verdict::Refuted { trace } => telling::told(form, question, trace),
        _ => Vec::new(),
    };
    Answer { claim: claim.into(), verdict, bound_ticks, words, told }
}

fn questions(form: &Form) -> Vec<(String, Question)> {
    let ticks = |ms: u32| (ms / form.tick_ms.max(1)).max(1);
    let mut all: Vec<(String, Question)> = form
        .claims
        .iter()
        .map(|claim| (claim.name.clone(), Question::Watch(Watch::of_claim(claim))))
        .collect();
    let mut watch = |name: String, watch| all.push((name, Question::Watch(watch)));
    watch(".in-range".into(), Watch::InRange);
    if !form.digits.is_empty() {
        watch(".digits".into(), Watch::DigitsFit);
    }
    let anything = form.machines.iter().any(shows);
    if anything {
        watch(".answered".into(), Watch::Answered { ticks: ticks(100), by: None });
    }
    let posed = |figure: usize| {
        let mut states = form.machines.iter().flat_map(|machine| &machine.states);
        states.any(|state| state.pose.as_ref().is_some_and(|pose| pose.figure == figure))
    };
    let figures: Vec<usize> = (0..form.figures.len()).filter(|figure| posed(*figure)).collect();
    for figure in &figures {
        let name = format!(".flash {}", form.figures[*figure].name);
        watch(name, Watch::Flash { figure: Some(*figure), ticks: ticks(1000) });
    }
    if figures.len() > 1 {
        watch(".flash".into(), Watch::Flash { figure: None, ticks: ticks(1000) });
    }
    all.push((".home".into(), Question::Home(Who::Nobody)));
    for (b, button) in form.buttons.iter().enumerate() {
        let question =
            if reads_held(form, b) { Question::Home(Who::Holding(b)) } else { Question::HoldingUnread };
        all.push((format!(".held {button}"), question));
    }
    if anything {
        let alone = |(b, button): (usize, &String)| (format!(".alone {button}"), Question::Alone(b));
        let waited = |b: usize| {
            let mut states = form.machines.iter().flat_map(|machine| &machine.states);
            let waits = |way: &Transition| matches!(way.trigger, Trigger::Press { button } if button == b);
            states.any(|state| state.transitions.iter().any(waits))
        };
        all.extend(form.buttons.iter().enumerate().filter(|(b, _)| waited(*b)).map(alone));
        all.push((".stuck".into(), Question::NeverStuck));
    }
    all
}

fn verdict(form: &Form, question: &Question, engine: Engine, work: &mut Work) -> (Verdict, Option<u64>) {
    if matches!(question, Question::HoldingUnread) {
        return (Verdict::Proved { covered: Covered::default() }, None);
    }
    let whole = matches!(engine, Engine::Plain | Engine::Quick | Engine::Mirrored);
    let by_sets = (!whole).then(|| by_sets(form, question, work));
    match by_sets {
        Some(decided) if engine == Engine::Sets || !matches!(decided.0, Verdict::Undecided { .. }) => decided,
        Some(_) => {
            // What the sets took is given back; what they looked at stays counted.
            let sets = std::mem::take(&mut work.covered).sets;
            work.bytes = 0;
            let (verdict, bound) = by_plain(form, question, Engine::Mirrored, work);
            (counting(verdict, sets), bound)
        }
        None => by_plain(form, question, engine, work),
    }
}

fn by_sets(form: &Form, question: &Question, work: &mut Work) -> (Verdict, Option<u64>) {
    let Question::Watch(watch) = question else {
        return by_silence(form, question, work);
    };
    if ranges::settle(form, watch) {
        return (Verdict::Proved { covered: Covered::default() }, None);
    }
    let mut looked = 0;
    if let Some(decided) = refine::by_the_near(form, question, watch, work, &mut looked) {
        return (decided, None);
    }
    if let Ok(Some(model)) = Model::loosened(form, watch) {
        let loose = search_sets(form, question, watch, &model, work);
        if !matches!(loose, Verdict::Undecided { .. }) {
            return (loose, None);
        }
        looked += std::mem::take(&mut work.covered).sets;
        work.bytes = 0;
    }
    let verdict = match Model::reduced(form, watch) {
        Ok(model) => search_sets(form, question, watch, &model, work),
        Err(enough) => undecided(work, enough),
    };
    (counting(verdict, looked), None)
}

/// What can still happen, by sets; see [`calm`].
fn by_silence(form: &Form, question: &Question, work: &mut Work) -> (Verdict, Option<u64>) {
    match calm::bound(form, question, work) {
        Ok(Some(ticks)) => {
            let bound = matches!(question, Question::Home(_) | Question::Alone(_)).then_some(ticks);
            (Verdict::Proved { covered: work.covered }, bound)
        }
        Ok(None) => {
            let why = "sets do not show that it must come".into();
            (Verdict::Undecided { covered: work.covered, why }, None)
        }
        Err(enough) => (undecided(work, enough), None),
    }
}

/// The verdict with what was looked at before counted, too.
fn counting(mut verdict: Verdict, sets: u64) -> Verdict {
    if let Verdict::Proved { covered } | Verdict::Undecided { covered, .. } = &mut verdict {
        covered.sets += sets;
    }
    verdict
}

/// Nothing, or a play of the model against the claim where one can be written down.
pub(crate) fn search_model(
    model: &Model,
    watch: &Watch,
    work: &mut Work,
) -> Result<Option<Option<Trace>>, Enough> {
    let starts = model.starts()?;
    let of_situations = known::of_situations(watch);
    if of_situations
        && let Some((hulls, cost)) = work.known.of(model, &starts, false)
        && Known::holds(hulls, watch, model)
        && work.charge(cost)
    {
        return Ok(None);
    }
    let before = work.so_far();
    let mut sets = Sets::new(model, watch, Who::Anybody)?;
    let mut fail = sets.begin(&starts, work)?;
    if fail.is_none() {
        fail = sets.run(work)?;
    }
    if of_situations && fail.is_none() {
        let cost = work.since(before);
        work.known.keep(&sets, &starts, cost);
    }
    Ok(fail.map(|fail| concrete::trace(&sets, &starts, &fail)))
}

/// The play without picks and presses that only the loosened form makes: they mean nothing to the referee.
pub(crate) fn within(form: &Form, mut trace: Trace) -> Trace {
    for tick in &mut trace.ticks {
        tick.picks.retain(|(site, _)| *site < form.pick_sites);
        tick.pressed.retain(|b| *b < form.buttons.len());
        tick.held.retain(|b| *b < form.buttons.len());
        // Where holding was left free, a finger lets go at once.
        tick.held.extend(tick.pressed.iter().filter(|b| reads_held(form, **b)));
        tick.held.sort_unstable();
        tick.held.dedup();
    }
    trace
}

fn search_sets(form: &Form, question: &Question, watch: &Watch, model: &Model, work: &mut Work) -> Verdict {
    match search_model(model, watch, work) {
        Err(enough) => undecided(work, enough),
        Ok(None) => Verdict::Proved { covered: work.covered },
        Ok(Some(trace)) => refuted(form, question, trace.map(|trace| within(form, trace)), work),
    }
}

fn by_plain(form: &Form, question: &Question, engine: Engine, work: &mut Work) -> (Verdict, Option<u64>) {
    let watch = match question {
        Question::Watch(watch) => watch,
        _ => &Watch::Nothing,
    };
    let model = match Model::whole(form, watch) {
        Ok(model) => model,
        Err(enough) => return (undecided(work, enough), None),
    };
    let ended = match question {
        Question::Watch(watch) => whole_situations(&model, watch, engine, work).map(|found| match found {
            plain::Found::Nothing => Ending::Proved(0),
            plain::Found::Fail(trace) => Ending::Refuted(trace),
        }),
        Question::Home(quiet) => home::comes_home(&model, *quiet, work),
        Question::Alone(button) => home::turn_comes(&model, *button, work),
        Question::NeverStuck => home::never_stuck(&model, work),
        Question::HoldingUnread => Ok(Ending::Proved(0)),
    };
    match ended {
        Err(enough) => (undecided(work, enough), None),
        Ok(Ending::Proved(ticks)) => {
            let bound = matches!(question, Question::Home(_) | Question::Alone(_)).then_some(ticks);
            (Verdict::Proved { covered: work.covered }, bound)
        }
        Ok(Ending::Refuted(trace)) => (refuted(form, question, trace, work), None),
    }
}

fn whole_situations(
    model: &Model,
    watch: &Watch,
    engine: Engine,
    work: &mut Work,
) -> Result<plain::Found, Enough> {
    if engine != Engine::Plain {
        if let Some(found) = search::search(model, watch, engine == Engine::Mirrored, work)? {
            return Ok(found);
        }
        (work.covered, work.bytes) = (Covered::default(), 0);
    }
    plain::search(model, watch, work)
}

fn undecided(work: &Work, enough: Enough) -> Verdict {
    Verdict::Undecided { covered: work.covered, why: enough.why().into() }
}

/// A refutation counts only when the referee plays it, too.
pub(crate) fn refuted(form: &Form, question: &Question, trace: Option<Trace>, work: &Work) -> Verdict {
    let shown = trace.filter(|trace| match question {
        Question::Watch(watch) => replay::fails(form, watch, trace),
        Question::Home(_) | Question::Alone(_) => replay::comes_again(form, trace),
        _ => replay::plays(form, trace),
    });
    match shown {
        Some(trace) => Verdict::Refuted { trace: replay::with_picks(form, trace) },
        None => Verdict::Undecided {
            covered: work.covered,
            why: "a play against it was found, but the referee does not play it that way".into(),
        },
    }
}
