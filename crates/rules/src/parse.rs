//! Reading statements: one a line, each on its own, so that a broken one costs nothing but itself.

use crate::cursor::{Broken, Cursor};
use crate::expression::{any, stored, sum};
use crate::lex::{self, Kind, Token};
use crate::syntax::{
    Behaviour, Cue, Deed, Hook, Light, MachineTree, Name, NumberTree, Sources, Span, StateTree, Tree, Way,
};
use finding::Fault;
use source::{Place, Text};

/// First words of statements.
const STATEMENTS: [&str; 10] =
    ["sides", "tick", "seed", "constant", "machine", "number", "timer", "state", "enter", "leave"];

/// The tree of a text, without the statements that could not be read.
pub(crate) fn tree(text: &Text, faults: &mut Vec<Fault>) -> Tree {
    let mut reader =
        Reader { file: text.name(), tree: Tree::default(), machine: None, nameless: false, faults };
    let mut from = 0;
    for line in text.content().split_inclusive('\n') {
        match lex::line(line, from) {
            Ok(tokens) => reader.line(&tokens),
            Err(strange) => {
                reader.faults.extend(strange.into_iter().map(|span| {
                    let place = Place::new(reader.file, span.start, span.end);
                    Fault::new("rules/character", Some(place), "this character means nothing in rules")
                        .expected("expected a word, a number or a sign such as `=`")
                }));
            }
        }
        from += line.len();
    }
    reader.finish_machine();
    reader.tree
}

struct Reader<'a> {
    file: &'a str,
    tree: Tree,
    /// The machine whose statements are being read.
    machine: Option<MachineTree>,
    /// Whether that machine's line was so broken that its statements are read only for their own faults.
    nameless: bool,
    faults: &'a mut Vec<Fault>,
}

impl Reader<'_> {
    fn line(&mut self, tokens: &[Token]) {
        let mut cursor = Cursor::new(self.file, tokens);
        if cursor.peek().is_none() {
            return;
        }
        if let Err(fault) = self.statement(&mut cursor) {
            self.faults.push(*fault);
        }
    }

    fn finish_machine(&mut self) {
        let machine = self.machine.take();
        if !self.nameless {
            self.tree.machines.extend(machine);
        }
    }

    fn statement(&mut self, cursor: &mut Cursor) -> Result<(), Broken> {
        let Some(Kind::Word(first)) = cursor.peek() else { return Err(cursor.wanted("a statement")) };
        let from = cursor.here();
        match first.as_str() {
            "sides" | "tick" | "seed" | "constant" => {
                cursor.advance();
                self.file_statement(cursor, first)
            }
            "machine" => {
                cursor.advance();
                self.start_machine(cursor)
            }
            _ => {
                let Some(machine) = &mut self.machine else { return Err(outside(cursor, from, first)) };
                machine_statement(cursor, first, machine)
            }
        }
    }

    fn file_statement(&mut self, cursor: &mut Cursor, first: &str) -> Result<(), Broken> {
        let here = cursor.here();
        let again = match first {
            "tick" => self.tree.tick.is_some(),
            "seed" => self.tree.seed.is_some(),
            "sides" => !self.tree.sides.is_empty(),
            _ => false,
        };
        if again {
            let message = format!("`{first}` is written a second time");
            return Err(Box::new(
                cursor.fault("rules/duplicate", here, message).expected("expected it only once"),
            ));
        }
        match first {
            "tick" => {
                let ex = sum(cursor)?;
                cursor.end("the end of the line")?;
                self.tree.tick = Some(ex);
            }
            "seed" => {
                let ex = sum(cursor)?;
                cursor.end("the end of the line")?;
                self.tree.seed = Some(ex);
            }
            "constant" => {
                let name = cursor.new_name("a name for the constant")?;
                cursor.need_sign("=")?;
                let ex = sum(cursor)?;
                cursor.end("the end of the line")?;
                self.tree.constants.push((name, ex));
            }
            _ => {
                let mut sides = vec![cursor.new_name("the name of a side")?];
                while cursor.sign(",") {
                    sides.push(cursor.new_name("the name of a side")?);
                }
                cursor.end("`,` or the end of the line")?;
                self.tree.sides = sides;
            }
        }
        Ok(())
    }

    fn start_machine(&mut self, cursor: &mut Cursor) -> Result<(), Broken> {
        self.finish_machine();
        let name = cursor.new_name("a name for the machine");
        self.nameless = name.is_err();
        let from = cursor.here();
        let sided = cursor.word("per");
        let ending = if sided { cursor.need_word("side") } else { Ok(()) };
        let per_side = sided.then(|| from.to(cursor.last()));
        let nobody = Name { text: String::new(), span: from };
        let (name, broken) = match name {
            Ok(name) => (name, None),
            Err(broken) => (nobody, Some(broken)),
        };
        self.machine = Some(MachineTree::new(name, per_side));
        if let Some(broken) = broken {
            return Err(broken);
        }
        ending?;
        cursor.end("`per side` or the end of the line")
    }
}

fn outside(cursor: &Cursor, from: Span, first: &str) -> Broken {
    let fault = cursor.fault("rules/outside-machine", from, format!("`{first}` stands before any machine"));
    let hint = finding::nearest(first, STATEMENTS).map(|near| format!("did you mean `{near}`?"));
    Box::new(fault.expected("expected `machine NAME` on a line above").maybe_hint(hint))
}

fn machine_statement(cursor: &mut Cursor, first: &str, machine: &mut MachineTree) -> Result<(), Broken> {
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
        "state" => {
            cursor.advance();
            let name = cursor.new_name("a name for the state")?;
            machine.states.push(StateTree { name, shows: Vec::new(), lights: Vec::new() });
            if let Some(state) = machine.states.last_mut() {
                clauses(cursor, state)?;
            }
        }
        "enter" | "leave" => {
            cursor.advance();
            let sources = sources(cursor)?;
            cursor.need_word("do")?;
            let deeds = deeds(cursor)?;
            cursor.end("`,` or the end of the line")?;
            machine.behaviour.push(Behaviour::Hook(Hook { sources, entry: first == "enter", deeds }));
        }
        _ => machine.behaviour.push(Behaviour::Way(Box::new(way(cursor, first)?))),
    }
    Ok(())
}

fn number(cursor: &mut Cursor) -> Result<NumberTree, Broken> {
    let name = cursor.new_name("a name for the number")?;
    let min = sum(cursor)?;
    cursor.need_sign("..")?;
    let max = sum(cursor)?;
    let start = if cursor.sign("=") { Some(sum(cursor)?) } else { None };
    let shown_on = if cursor.word("shown") {
        cursor.need_word("on")?;
        Some(cursor.path("the name of digits")?)
    } else {
        None
    };
    cursor.end("`= START`, `shown on DIGITS` or the end of the line")?;
    Ok(NumberTree { name, min, max, start, shown_on })
}

fn clauses(cursor: &mut Cursor, state: &mut StateTree) -> Result<(), Broken> {
    while cursor.peek().is_some() {
        if cursor.word("shows") {
            let first = cursor.path("a pose")?;
            let pose_follows =
                matches!(cursor.peek(), Some(Kind::Word(word)) if word != "shows" && word != "lights");
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
        } else {
            return Err(cursor.wanted("`shows POSE`, `lights SPOT` or the end of the line"));
        }
    }
    Ok(())
}

fn light(cursor: &mut Cursor) -> Result<Light, Broken> {
    let spot = cursor.path("a spot")?;
    let index = if cursor.sign("[") {
        let index = any(cursor)?;
        cursor.need_sign("]")?;
        Some(index)
    } else {
        None
    };
    let level = if cursor.word("at") { Some(any(cursor)?) } else { None };
    let when = if cursor.word("when") { Some(any(cursor)?) } else { None };
    Ok(Light { spot, index, level, when })
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

fn way(cursor: &mut Cursor, first: &str) -> Result<Way, Broken> {
    let from = cursor.here();
    let sources = sources(cursor)?;
    let cue = if cursor.word("on") {
        event(cursor)?
    } else if cursor.word("after") {
        Cue::After(sum(cursor)?)
    } else if cursor.word("when") {
        Cue::When
    } else {
        if cursor.last() == from && first != "any" {
            return Err(unknown_statement(cursor, from, first));
        }
        return Err(cursor.wanted("`on`, `after` or `when`"));
    };
    let condition = if cue == Cue::When || cursor.word("if") { Some(any(cursor)?) } else { None };
    let deeds = if cursor.word("do") { deeds(cursor)? } else { Vec::new() };
    let go = if cursor.word("go") {
        Some(cursor.name("the state to go to")?)
    } else if cursor.word("stay") {
        None
    } else {
        return Err(cursor.wanted("`if CONDITION`, `do ACTION`, `go STATE` or `stay`"));
    };
    cursor.end("the end of the line")?;
    Ok(Way { span: from.to(cursor.last()), sources, cue, condition, deeds, go })
}

fn unknown_statement(cursor: &Cursor, from: Span, first: &str) -> Broken {
    let fault = cursor.fault("rules/statement", from, format!("no statement begins with `{first}`"));
    let hint = finding::nearest(first, STATEMENTS).map(|near| format!("did you mean `{near}`?"));
    Box::new(
        fault
            .expected("expected a statement, or a state with `on`, `after` or `when` behind it")
            .maybe_hint(hint),
    )
}

fn event(cursor: &mut Cursor) -> Result<Cue, Broken> {
    if cursor.word("press") {
        return Ok(Cue::Press(cursor.path("a button")?));
    }
    if cursor.word("timer") {
        return Ok(Cue::Timer(cursor.name("a timer of this machine")?));
    }
    if !cursor.word("message") {
        return Err(cursor.wanted("`press BUTTON`, `message NAME` or `timer NAME`"));
    }
    let message = cursor.name("a message")?;
    let sender = if cursor.word("from") { Some(cursor.path("a machine")?) } else { None };
    Ok(Cue::Message(message, sender))
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
        (Some(Kind::Word(_)), Some(Kind::Sign("=" | "."))) => "",
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
        "" => {
            let number = cursor.path("a number of this machine")?;
            cursor.need_sign("=")?;
            Ok(Deed::Set(number, stored(cursor)?))
        }
        _ => Err(cursor.wanted("an action: `NAME = ...`, `start`, `stop`, `send` or `press`")),
    }
}
