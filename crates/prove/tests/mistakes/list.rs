//! The mistakes: where, what stands there, and what would be wrong. None of them ends a search that would go on for ever.

/// A deliberate mistake: an expression of the engines' source, and another in its place.
pub(crate) struct Mistake {
    pub(crate) name: &'static str,
    /// Below the crate's `src`.
    pub(crate) file: &'static str,
    /// An expression that stands in the file once.
    pub(crate) from: &'static str,
    pub(crate) to: &'static str,
}

const fn of(name: &'static str, file: &'static str, from: &'static str, to: &'static str) -> Mistake {
    Mistake { name, file, from, to }
}

/// The search over whole situations, one by one.
const PLAIN: [Mistake; 5] = [
    of("a claim's time is never up", "plain.rs", "(Clock::Off, true)", "(Clock::Off, false)"),
    of("a claim waits a tick longer", "plain.rs", "Clock::Running(ticks)", "Clock::Running(ticks + 1)"),
    of("what is held is forgotten", "plain.rs", "*held && *tracked", "false && *tracked"),
    of(
        "who holds a button never presses",
        "ticks.rs",
        "input.pressed[*b] = !held[*b]",
        "input.pressed[*b] = false",
    ),
    of("only the least value is picked", "ticks.rs", "lo..=hi", "lo..=lo"),
];

/// The same by tabulated moves.
const TABLES: [Mistake; 6] = [
    of("messages are lost", "search/moves.rs", "messages[*at].sender == m && situation.sent[*at]", "false"),
    of(
        "a pick that does not fit is not seen",
        "search/moves.rs",
        "self.model.settle(&mut situation) || picked.iter().any(wide)",
        "self.model.settle(&mut situation)",
    ),
    of("a machine picks its least value", "search/moves.rs", "lo..=hi", "lo..=lo"),
    of("presses by rules are lost in a group", "search/groups.rs", "simulated | one.simulated", "*simulated"),
    of("what does not fit is lost in a group", "search/groups.rs", "*misfit || one.misfit", "*misfit"),
    of("a move that presses counts as plain", "search/groups.rs", "one.simulated == 0", "true"),
];

/// Sets of timer values.
const SETS: [Mistake; 15] = [
    of(
        "a timer starts at its longest only",
        "zone.rs",
        "zone.put(0, i + 1, -whole(*least))",
        "zone.put(0, i + 1, -whole(*most))",
    ),
    of("waiting ends a tick early", "zone.rs", "self.put(0, j, -1)", "self.put(0, j, -2)"),
    of("two ticks left run out", "zone.rs", "(clock + 1, 0, 1)", "(clock + 1, 0, 2)"),
    of("one tick left does not run out", "zone.rs", "(0, clock + 1, -2)", "(0, clock + 1, -1)"),
    of("the most left stays", "zone.rs", "self.at(old + 1, 0) - 1", "self.at(old + 1, 0)"),
    of("the least left stays", "zone.rs", "self.at(0, old + 1) + 1", "self.at(0, old + 1)"),
    of("timers that go on are alike", "zone.rs", "self.at(a + 1, b + 1)", "0"),
    of(
        "every set lies in every other",
        "zone.rs",
        "self.bounds.iter().zip(&other.bounds).all(|(a, b)| a <= b)",
        "true",
    ),
    of("nobody waits", "sets.rs", "if urgent { zone } else { zone.past() }", "zone"),
    of(
        "fewer changes cover more",
        "sets.rs",
        "node.counted >= counted && zone.within(&node.zone)",
        "zone.within(&node.zone)",
    ),
    of(
        "letting go is waiting",
        "sets.rs",
        "!urgent && nothing_runs_out && !input.pressed.contains(&true) && held == leap.whole.held",
        "!urgent && nothing_runs_out && !input.pressed.contains(&true)",
    ),
    of(
        "nothing changes without a press",
        "sets.rs",
        "situation == whole.situation",
        "situation.sent == whole.situation.sent",
    ),
    of(
        "a picked length is the shortest",
        "sets.rs",
        "self.model.sites[&pick.site].1",
        "self.model.sites[&pick.site].0",
    ),
    of("free timers never run out", "sets.rs", "1_u64 << free.len().min(20)", "1"),
    of("what runs out goes on", "leap.rs", "if *out { 1 } else { FAR }", "FAR"),
];

/// What is taken out, loosened or left free before sets are searched.
const LESS: [Mistake; 13] = [
    of("what a length reads is taken out", "reduce.rs", "self.read(ticks)", "()"),
    of("what a stored value reads is taken out", "reduce.rs", "self.read(to)", "()"),
    of(
        "too much always fits",
        "reduce.rs",
        "least < i64::from(range.min) || most > i64::from(range.max)",
        "least < i64::from(range.min)",
    ),
    of("a loosened length is the shortest", "loosen.rs", "most.min(i64::from(longest[*timer]))", "least"),
    of("less counts as no more", "loosen.rs", "*value < v", "*value <= v"),
    of(
        "a coarse value is the least",
        "loosen.rs",
        "(stretch(least), stretch(most))",
        "(stretch(least), stretch(least))",
    ),
    of(
        "light does not need values",
        "loosen.rs",
        "lit && light_exprs(state).any(|expr| reads(expr, place))",
        "false",
    ),
    of("entering stores nothing", "loosen.rs", "left || entered[to]", "false"),
    of("what later states read is dead", "live.rs", "now.extend(live[to].difference(&set).copied())", "()"),
    of("a hidden number is read as it began", "hide.rs", "*node = Node::Number { m: at, i: 0 }", "()"),
    of(
        "numbers that a press changes are hidden",
        "hide.rs",
        "place.0 != of && !shown.contains(place)",
        "!shown.contains(place)",
    ),
    of(
        "the greatest value is not tried",
        "ranges.rs",
        "u64::from(least.abs_diff(most)) + 1",
        "u64::from(least.abs_diff(most)).max(1)",
    ),
    of("only the first state is tried", "ranges.rs", "form.machines[m].states.len() as u64", "1"),
];

/// What is looked for: shared by all searches, so that only rules worked out by hand can show it.
const LOOKED_FOR: [Mistake; 5] = [
    of("nine changes are too many", "watch.rs", "mode + 1 >= CHANGES", "mode + 1 > CHANGES"),
    of(
        "an index may lie outside its row",
        "watch.rs",
        "flagged || picked.iter().any(misfit) || model.index_out(after)",
        "flagged || picked.iter().any(misfit)",
    ),
    of(
        "another stage of a movement counts",
        "watch.rs",
        "with.state != without.state && with.state != before.state",
        "with.state != without.state",
    ),
    of("another way stores the same", "watch.rs", "marks(seen.picked) != marks(&picked)", "false"),
    of(
        "a press of a moving machine counts",
        "watch.rs",
        "!on_the_move(&model.form, machine, before.state)",
        "true",
    ),
];

/// All of them.
pub(crate) fn all() -> Vec<&'static Mistake> {
    PLAIN.iter().chain(&TABLES).chain(&SETS).chain(&LESS).chain(&LOOKED_FOR).collect()
}
