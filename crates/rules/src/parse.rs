//! Reading statements: one a line, each on its own, so that a broken one costs nothing but itself.

use crate::codes;
use crate::cursor::{Broken, Cursor, Mark, RESERVED};
use crate::expression::{any, sum};
use crate::lex::{self, Kind, Line, Strange, Token};
use crate::parse_machine::{event, machine_statement, unknown_statement};
use crate::syntax::{
    Cause, ClaimTree, ClaimedTree, ConstantTree, Ex, LeadsTree, MachineTree, Name, SettingTree, Span, Tree,
};
use finding::Fault;
use source::{Place, Text};
use std::collections::BTreeSet;

/// First words of statements.
pub(crate) const STATEMENTS: [&str; 18] = [
    "sides",
    "tick",
    "seed",
    "constant",
    "setting",
    "condition",
    "claim",
    "prompt",
    "bout",
    "machine",
    "number",
    "timer",
    "bag",
    "remember",
    "ties",
    "state",
    "enter",
    "leave",
];

/// Words behind the states of a way.
pub(crate) const CAUSES: [&str; 3] = ["on", "after", "when"];

/// The tree of a text, without the statements that could not be read.
pub(crate) fn tree(text: &Text, faults: &mut Vec<Fault>) -> Tree {
    marked(text, faults).0
}

/// The tree, and the marks of the statements that could be read, in the order of the text.
pub(crate) fn marked(text: &Text, faults: &mut Vec<Fault>) -> (Tree, Vec<(usize, Mark)>) {
    let mut reader = Reader {
        file: text.name(),
        tree: Tree::default(),
        machine: None,
        nameless: false,
        marks: Vec::new(),
        faults,
    };
    let mut from = 0;
    for line in text.content().split_inclusive('\n') {
        reader.line(&lex::line(line, from));
        from += line.len();
    }
    reader.finish_machine();
    (reader.tree, reader.marks)
}

struct Reader<'a> {
    file: &'a str,
    tree: Tree,
    /// The machine whose statements are being read.
    machine: Option<MachineTree>,
    /// Whether that machine's line was so broken that its statements are read only for their own faults.
    nameless: bool,
    marks: Vec<(usize, Mark)>,
    faults: &'a mut Vec<Fault>,
}

impl Reader<'_> {
    fn line(&mut self, line: &Line) {
        let mut cursor = Cursor::new(self.file, &line.tokens);
        if !line.strange.is_empty() {
            // Whatever else stands in it, a line that begins a machine parts the lines below it from those above.
            if self.begins_machine(&line.tokens) {
                cursor.advance();
                drop(self.start_machine(&mut cursor));
            }
            self.strange(&line.strange);
            self.left_out(&line.tokens);
        } else if cursor.peek().is_some() {
            match self.statement(&mut cursor) {
                Ok(()) => self.marks.append(&mut cursor.marks),
                Err(fault) => {
                    if !self.follows(&cursor) {
                        self.faults.push(*fault);
                    }
                    self.left_out(&line.tokens);
                }
            }
        }
    }

    /// Says what means nothing; where the same helps several times in a line, once.
    fn strange(&mut self, strange: &[Strange]) {
        let mut helped = BTreeSet::new();
        for Strange { span, instead } in strange {
            if instead.is_some_and(|instead| !helped.insert(instead)) {
                continue;
            }
            let place = Place::new(self.file, span.start, span.end);
            let message = if instead.is_some() {
                "this means nothing in rules"
            } else {
                "this character means nothing in rules"
            };
            let fault = codes::CHARACTER.fault(Some(place), message);
            let fault = fault.expected("expected a word, a number or a sign such as `=`");
            self.faults.push(fault.maybe_hint(instead.map(str::to_owned)));
        }
    }

    /// Notes what is missing elsewhere because a statement was left out.
    fn left_out(&mut self, tokens: &[Token]) {
        if let Some(machine) = &mut self.machine {
            machine.broken = true;
        }
        self.lost_name(tokens);
        let words = || tokens.iter().map(|token| &token.kind);
        let sent = words().zip(words().skip(1)).filter_map(|pair| match pair {
            (Kind::Word(send), Kind::Word(name)) if send == "send" => Some(name.clone()),
            _ => None,
        });
        self.tree.lost.messages.extend(sent);
    }

    /// What a statement that was left out would have named.
    fn lost_name(&mut self, tokens: &[Token]) {
        let mut words = tokens.iter().map(|token| &token.kind);
        let (Some(Kind::Word(first)), Some(Kind::Word(name))) = (words.next(), words.next()) else { return };
        if CAUSES.contains(&name.as_str()) {
            return;
        }
        // `numbr x` names a number, too.
        match (finding::nearest(first, STATEMENTS).unwrap_or_default(), &mut self.machine) {
            ("sides", _) => self.tree.lost.sides = true,
            ("constant" | "setting" | "condition", _) => {
                self.tree.lost.values.insert(name.clone());
            }
            ("number" | "timer" | "bag" | "state", Some(machine)) => {
                machine.lost.insert(name.clone());
            }
            _ => {}
        }
    }

    /// Whether a line cannot be read only because it uses a word of the language that was refused as a name.
    fn follows(&self, cursor: &Cursor) -> bool {
        let refused = |word: &str| {
            let own = self.machine.as_ref().is_some_and(|machine| machine.lost.contains(word));
            RESERVED.contains(&word) && (own || self.tree.lost.values.contains(word))
        };
        // As the first word of a way, a refused name is read like any other.
        cursor.is_at(refused, |word| refused(word) && STATEMENTS.contains(&word))
    }

    /// Whether a line is one that begins a machine, if only nearly: `machin fox`, but no way out of a state `machin`.
    fn begins_machine(&self, tokens: &[Token]) -> bool {
        let Some(Kind::Word(first)) = tokens.first().map(|token| &token.kind) else { return false };
        let way = match tokens.get(1).map(|token| &token.kind) {
            Some(Kind::Word(next)) => CAUSES.contains(&next.as_str()),
            next => next == Some(&Kind::Sign(",")),
        };
        first == "machine" || !way && finding::nearest(first, STATEMENTS) == Some("machine")
    }

    fn finish_machine(&mut self) {
        let machine = self.machine.take();
        if self.nameless {
            self.tree.lost.machine |= machine.is_some();
            machine.iter().for_each(|machine| self.tree.lost.sent_by(machine));
        } else {
            self.tree.machines.extend(machine);
        }
    }

    fn statement(&mut self, cursor: &mut Cursor) -> Result<(), Broken> {
        let Some(Kind::Word(first)) = cursor.peek() else { return Err(cursor.wanted("a statement")) };
        let from = cursor.here();
        match first.as_str() {
            "sides" | "tick" | "seed" | "bout" => {
                cursor.advance();
                self.once(cursor, first)
            }
            "constant" | "setting" | "condition" | "claim" | "prompt" => {
                cursor.advance();
                self.named(cursor, first)
            }
            "machine" => {
                cursor.advance();
                self.start_machine(cursor)
            }
            _ if self.begins_machine(cursor.tokens()) => {
                cursor.advance();
                drop(self.start_machine(cursor));
                Err(unknown_statement(cursor, from, first))
            }
            _ => {
                let Some(machine) = &mut self.machine else {
                    // Said once: whatever follows lacks the same line.
                    self.nameless = true;
                    self.machine = Some(MachineTree::new(Name { text: String::new(), span: from }, None));
                    return Err(outside(cursor, from, first));
                };
                cursor.mark(Mark::Inner);
                machine_statement(cursor, first, machine)
            }
        }
    }

    /// A statement about the whole text that can stand only once.
    fn once(&mut self, cursor: &mut Cursor, first: &str) -> Result<(), Broken> {
        let here = cursor.last();
        let again = match first {
            "tick" => self.tree.tick.is_some(),
            "seed" => self.tree.seed.is_some(),
            "sides" => !self.tree.sides.is_empty(),
            "bout" => self.tree.bout.is_some(),
            _ => false,
        };
        if again {
            let message = format!("`{first}` is written a second time");
            return Err(Box::new(
                cursor.fault(codes::DUPLICATE, here, message).expected("expected it only once"),
            ));
        }
        match first {
            "tick" => self.tree.tick = Some(written(cursor, "a time")?),
            "seed" => self.tree.seed = Some(written(cursor, "a whole number")?),
            "bout" => {
                cursor.need_word("while")?;
                let ex = any(cursor)?;
                cursor.end("`and`, `or` or the end of the line")?;
                self.tree.bout = Some(ex);
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

    /// A statement that gives a name to something of the whole text.
    fn named(&mut self, cursor: &mut Cursor, first: &str) -> Result<(), Broken> {
        let name = cursor.new_name(&format!("a name for the {first}"))?;
        cursor.mark(Mark::Part(1));
        match first {
            "constant" => self.tree.constants.push(constant(cursor, name)?),
            "setting" => {
                let (min, max, start) = range(cursor)?;
                cursor.end("`= START` or the end of the line")?;
                self.tree.settings.push(SettingTree { name, min, max, start });
            }
            "condition" => {
                cursor.need_sign("=")?;
                let ex = any(cursor)?;
                cursor.end("`and`, `or` or the end of the line")?;
                self.tree.conditions.push((name, ex));
            }
            "prompt" => self.tree.prompts.push(crate::prompts::prompt(cursor, name)?),
            _ => self.tree.claims.push(ClaimTree { name, claim: claim(cursor)? }),
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
        let mut per_side = sided.then(|| from.to(cursor.last()));
        // `each side` is no way to say it, but what stands below means that.
        if !self.tree.sides.is_empty() && cursor.word_ahead("side") {
            per_side = per_side.or(Some(from));
        }
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
    let fault = cursor.fault(codes::OUTSIDE_MACHINE, from, format!("`{first}` stands before any machine"));
    let near = finding::nearest(first, STATEMENTS).filter(|near| *near != first);
    let hint = near.map(|near| format!("did you mean `{near}`?"));
    Box::new(fault.expected("expected `machine NAME` on a line above").maybe_hint(hint))
}

/// A number or a duration as it stands there, and nothing worked out.
fn written(cursor: &mut Cursor, what: &str) -> Result<Ex, Broken> {
    let Some(Kind::Int(_)) = cursor.peek() else { return Err(cursor.wanted(what)) };
    let ex = sum(cursor)?;
    cursor.end("the end of the line")?;
    Ok(ex)
}

fn constant(cursor: &mut Cursor, name: Name) -> Result<ConstantTree, Broken> {
    cursor.need_sign("=")?;
    let value = sum(cursor)?;
    let limits = if cursor.word("from") {
        let min = sum(cursor)?;
        cursor.need_word("to")?;
        Some((min, sum(cursor)?))
    } else {
        None
    };
    cursor.end("`from LEAST to GREATEST` or the end of the line")?;
    Ok(ConstantTree { name, value, limits })
}

/// `MIN..MAX`.
pub(crate) fn bounds(cursor: &mut Cursor) -> Result<(Ex, Ex), Broken> {
    let min = sum(cursor)?;
    cursor.need_sign("..")?;
    Ok((min, sum(cursor)?))
}

/// `MIN..MAX`, and `= START` where it is written.
pub(crate) fn range(cursor: &mut Cursor) -> Result<(Ex, Ex, Option<Ex>), Broken> {
    let (min, max) = bounds(cursor)?;
    let start = if cursor.sign("=") { Some(sum(cursor)?) } else { None };
    Ok((min, max, start))
}

fn claim(cursor: &mut Cursor) -> Result<ClaimedTree, Broken> {
    let claim = if cursor.word("never") {
        ClaimedTree::Never(any(cursor)?)
    } else if cursor.word("always") {
        ClaimedTree::Always(any(cursor)?)
    } else {
        leads(cursor)?
    };
    cursor.end("the end of the line")?;
    Ok(claim)
}

fn leads(cursor: &mut Cursor) -> Result<ClaimedTree, Broken> {
    let cause = if cursor.word("on") {
        event(cursor)?
    } else if cursor.word("when") {
        Cause::When
    } else {
        return Err(cursor.wanted("`never`, `always`, `on` or `when`"));
    };
    let condition = if cause == Cause::When || cursor.word("if") { Some(any(cursor)?) } else { None };
    cursor.need_word("leads")?;
    cursor.need_word("to")?;
    let to = any(cursor)?;
    cursor.need_word("within")?;
    Ok(ClaimedTree::Leads(Box::new(LeadsTree { cause, condition, to, within: sum(cursor)? })))
}
