//! Reading the statements of a machine: what it keeps, its states with their clauses, its ways and deeds.

use crate::codes;
use crate::cursor::{Broken, Cursor, Mark};
use crate::expression::{any, stored, sum};
use crate::lex::Kind;
use crate::parse::{STATEMENTS, bounds, range};
use crate::slips;
use crate::syntax::{
    BagTree, Behaviour, Cause, Deed, Fading, Hook, Light, MachineTree, NumberTree, RememberTree, Sources,
    Span, StateTree, TiesTree, Way, Write,
};

/// A statement about the machine above it.
pub(crate) fn machine_statement(
    cursor: &mut Cursor,
    first: &str,
    machine: &mut MachineTree,
) -> Result<(), Broken> {
    match first {
        "number" => {
            cursor.advance();
            machine.numbers.push(number(cursor)?);
        }
        "timer" => {
            cursor.advance();
            let name = cursor.new_name("a name for the timer")?;
            cursor.end("the end of the line")?;
            machine.timers.push(name);
        }
        "bag" => {
            cursor.advance();
            let name = cursor.new_name("a name for the bag")?;
            cursor.need_word("of")?;
            let (lo, hi) = bounds(cursor)?;
            cursor.end("the end of the line")?;
            machine.bags.push(BagTree { name, lo, hi });
        }
        "remember" => {
            cursor.advance();
            let button = cursor.path("a button")?;
            cursor.need_word("for")?;
            let ticks = sum(cursor)?;
            cursor.end("the end of the line")?;
            machine.remembers.push(RememberTree { button, ticks });
        }
        "ties" => {
            let from = cursor.here();
            cursor.advance();
            ties(cursor, from, machine)?;
        }
        "state" => {
            cursor.advance();
            let name = cursor.new_name("a name for the state")?;
            machine.states.push(StateTree {
                name,
                shows: Vec::new(),
                lights: Vec::new(),
                writes: Vec::new(),
            });
            if let Some(state) = machine.states.last_mut() {
                clauses(cursor, state)?;
            }
        }
        "enter" | "leave" => {
            cursor.advance();
            let sources = sources(cursor)?;
            cursor.mark(Mark::Part(2));
            cursor.need_word("do")?;
            let deeds = deeds(cursor)?;
            cursor.end("`,` or the end of the line")?;
            machine.behaviour.push(Behaviour::Hook(Hook { sources, entry: first == "enter", deeds }));
        }
        _ => {
            let known = machine.states.iter().any(|state| state.name.text == first);
            machine.behaviour.push(Behaviour::Way(Box::new(way(cursor, first, known)?)));
        }
    }
    Ok(())
}

fn ties(cursor: &mut Cursor, from: Span, machine: &mut MachineTree) -> Result<(), Broken> {
    let how = if cursor.word("alternately") {
        TiesTree::Alternately
    } else if cursor.word("at") {
        cursor.need_word("random")?;
        TiesTree::Random
    } else {
        TiesTree::Side(cursor.name("a side, `alternately` or `at random`")?)
    };
    cursor.end("the end of the line")?;
    if machine.ties.is_some() {
        let fault = cursor.fault(codes::DUPLICATE, from, "`ties` is written a second time");
        return Err(Box::new(fault.expected("expected it once in a machine")));
    }
    machine.ties = Some((how, from.to(cursor.last())));
    Ok(())
}

fn number(cursor: &mut Cursor) -> Result<NumberTree, Broken> {
    let name = cursor.new_name("a name for the number")?;
    let (min, max, start) = range(cursor)?;
    let mut number = NumberTree { name, min, max, start, shown_on: None, kept: false };
    while cursor.peek().is_some() {
        if number.shown_on.is_none() && cursor.word("shown") {
            cursor.need_word("on")?;
            number.shown_on = Some(cursor.path("the name of digits")?);
        } else if !number.kept && cursor.word("kept") {
            number.kept = true;
        } else {
            return Err(cursor.wanted(&behind_number(&number)));
        }
    }
    Ok(number)
}

/// What may still follow in the line of a number.
fn behind_number(number: &NumberTree) -> String {
    let bare = number.start.is_none() && number.shown_on.is_none() && !number.kept;
    let mut may = vec!["the end of the line"];
    for (open, words) in
        [(!number.kept, "`kept`"), (number.shown_on.is_none(), "`shown on DIGITS`"), (bare, "`= START`")]
    {
        if open {
            may.insert(0, words);
        }
    }
    match may.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => may.concat(),
    }
}

/// First words of the clauses of a state.
const CLAUSES: [&str; 3] = ["shows", "lights", "writes"];

fn clauses(cursor: &mut Cursor, state: &mut StateTree) -> Result<(), Broken> {
    while let Some(next) = cursor.peek() {
        let clause = CLAUSES.iter().position(|clause| matches!(next, Kind::Word(word) if word == clause));
        cursor.mark(Mark::Part(clause.map_or(0, |clause| clause + 1)));
        if cursor.word("shows") {
            let first = cursor.path("a pose")?;
            let pose_follows =
                matches!(cursor.peek(), Some(Kind::Word(word)) if !CLAUSES.contains(&word.as_str()));
            if pose_follows {
                let pose = cursor.name("a pose")?;
                state.shows.push((Some(first), pose));
            } else if let Some(pose) = first.rest.last().cloned() {
                // `shows west.ready` means the same as `shows west ready`.
                let rest = first.rest[..first.rest.len() - 1].to_vec();
                state.shows.push((Some(crate::syntax::Path { first: first.first, rest }), pose));
            } else {
                state.shows.push((None, first.first));
            }
        } else if cursor.word("lights") {
            state.lights.push(light(cursor)?);
        } else if cursor.word("writes") {
            state.writes.push(write(cursor)?);
        } else {
            return Err(cursor
                .wanted("`shows POSE`, `lights SPOT`, `writes NUMBER on DIGITS` or the end of the line"));
        }
    }
    Ok(())
}

fn light(cursor: &mut Cursor) -> Result<Light, Broken> {
    let from = cursor.here();
    let named = |word: &str| !CLAUSES.contains(&word) && !["at", "when", "fading"].contains(&word);
    let row_follows = matches!(cursor.peek_second(), Some(Kind::Word(word)) if named(word));
    let each = (row_follows && cursor.word("each")).then_some(from);
    let spot = cursor.path("a spot")?;
    let index = if each.is_none() && cursor.sign("[") {
        let index = any(cursor)?;
        cursor.need_sign("]")?;
        Some(index)
    } else {
        None
    };
    let level = if cursor.word("at") { Some(any(cursor)?) } else { None };
    let fading = if level.is_none() && cursor.word("fading") { Some(fading(cursor)?) } else { None };
    let when = if cursor.word("when") { Some(any(cursor)?) } else { None };
    Ok(Light { spot, each, index, level, fading, when })
}

fn fading(cursor: &mut Cursor) -> Result<Fading, Broken> {
    let from = sum(cursor)?;
    cursor.need_word("to")?;
    let to = sum(cursor)?;
    cursor.need_word("over")?;
    Ok(Fading { from, to, over: sum(cursor)? })
}

fn write(cursor: &mut Cursor) -> Result<Write, Broken> {
    let value = any(cursor)?;
    cursor.need_word("on")?;
    let digits = cursor.path("the name of digits")?;
    let zeros = cursor.word("with");
    if zeros {
        cursor.need_word("zeros")?;
    }
    Ok(Write { value, digits, zeros, flashing: cursor.word("flashing") })
}

fn sources(cursor: &mut Cursor) -> Result<Sources, Broken> {
    if cursor.word("any") {
        return Ok(Sources::Any);
    }
    let mut names = vec![cursor.name("a state")?];
    while cursor.sign(",") {
        names.push(cursor.name("a state")?);
    }
    Ok(Sources::These(names))
}

/// `known` says that the first word is a state of the machine.
fn way(cursor: &mut Cursor, first: &str, known: bool) -> Result<Way, Broken> {
    let from = cursor.here();
    let sources = sources(cursor)?;
    cursor.mark(Mark::Part(1));
    let cause = if cursor.word("on") {
        event(cursor)?
    } else if cursor.word("after") {
        Cause::After(sum(cursor)?)
    } else if cursor.word("when") {
        Cause::When
    } else {
        if cursor.last() == from && first != "any" && !known {
            return Err(unknown_statement(cursor, from, first));
        }
        return Err(cursor.wanted("`on`, `after` or `when`"));
    };
    let condition = if cause == Cause::When || cursor.word("if") { Some(any(cursor)?) } else { None };
    if cursor.is_word("do") {
        cursor.mark(Mark::Part(2));
    }
    let deeds = if cursor.word("do") { deeds(cursor)? } else { Vec::new() };
    cursor.mark(Mark::Part(3));
    let go = if cursor.word("go") {
        Some(cursor.name("the state to go to")?)
    } else if cursor.word("stay") {
        None
    } else {
        return Err(cursor.wanted(match (deeds.is_empty(), &condition) {
            (false, _) => "`,`, `go STATE` or `stay`",
            (true, Some(_)) => "`and`, `or`, `do ACTION`, `go STATE` or `stay`",
            (true, None) => "`if CONDITION`, `do ACTION`, `go STATE` or `stay`",
        }));
    };
    cursor.end("the end of the line")?;
    Ok(Way { span: from.to(cursor.last()), sources, cause, condition, deeds, go })
}

pub(crate) fn unknown_statement(cursor: &Cursor, from: Span, first: &str) -> Broken {
    let fault = cursor.fault(codes::STATEMENT, from, format!("no statement begins with `{first}`"));
    let near = || finding::nearest(first, STATEMENTS).map(|near| format!("did you mean `{near}`?"));
    let hint = slips::first(first, cursor.peek()).or_else(near);
    Box::new(
        fault
            .expected("expected a statement, or a state with `on`, `after` or `when` behind it")
            .maybe_hint(hint),
    )
}

/// What a way waits for, behind `on`.
pub(crate) fn event(cursor: &mut Cursor) -> Result<Cause, Broken> {
    if cursor.word("press") {
        return Ok(Cause::Press(cursor.path("a button")?));
    }
    if cursor.word("timer") {
        return Ok(Cause::Timer(cursor.name("a timer of this machine")?));
    }
    if !cursor.word("message") {
        return Err(cursor.wanted("`press BUTTON`, `message NAME` or `timer NAME`"));
    }
    let message = cursor.name("a message")?;
    let sender = if cursor.word("from") { Some(cursor.path("a machine")?) } else { None };
    Ok(Cause::Message(message, sender))
}

fn deeds(cursor: &mut Cursor) -> Result<Vec<Deed>, Broken> {
    let mut deeds = vec![deed(cursor)?];
    while cursor.sign(",") {
        deeds.push(deed(cursor)?);
    }
    Ok(deeds)
}

fn deed(cursor: &mut Cursor) -> Result<Deed, Broken> {
    let verb = match (cursor.peek(), cursor.peek_second()) {
        (Some(Kind::Word(_)), Some(Kind::Sign("=" | "." | "==" | "+" | "-" | "*" | "/"))) => "",
        (Some(Kind::Word(verb)), _) => verb.as_str(),
        _ => return Err(cursor.wanted("an action")),
    };
    match verb {
        "start" => {
            cursor.advance();
            let timer = cursor.name("a timer of this machine")?;
            cursor.need_word("for")?;
            Ok(Deed::Start(timer, stored(cursor)?))
        }
        "stop" => {
            cursor.advance();
            Ok(Deed::Stop(cursor.name("a timer of this machine")?))
        }
        "send" => {
            cursor.advance();
            Ok(Deed::Send(cursor.name("a message")?))
        }
        "press" => {
            cursor.advance();
            Ok(Deed::Press(cursor.path("a button")?))
        }
        "play" => {
            cursor.advance();
            Ok(Deed::Play(cursor.path("a sound")?))
        }
        "" => {
            let number = cursor.path("a number of this machine")?;
            cursor.need_sign("=")?;
            Ok(Deed::Set(number, stored(cursor)?))
        }
        _ => Err(cursor.wanted("an action: `NAME = ...`, `start`, `stop`, `send`, `press` or `play`")),
    }
}
