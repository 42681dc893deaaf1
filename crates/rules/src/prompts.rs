//! Prompts: what a person waits for and then presses; and bouts: from when to when a game lasts.
//!
//! No player reads them. They tell whoever rehearses the rules what a person in front of the display goes by.

use crate::codes;
use crate::cursor::{Broken, Cursor};
use crate::declare::Declaring;
use crate::expression::any;
use crate::form::{Action, Expr, Form, Machine, Node, Prompt, Trigger, each_node};
use crate::names::{Lookup, Outside, Within, World};
use crate::syntax::{Name, PromptTree};
use finding::Fault;
use source::Place;
use std::collections::BTreeSet;

/// `per side press BUTTON when CONDITION seen coming while CONDITION`, behind the prompt's name.
pub(crate) fn prompt(cursor: &mut Cursor, name: Name) -> Result<PromptTree, Broken> {
    let from = cursor.here();
    let sided = cursor.word("per");
    if sided {
        cursor.need_word("side")?;
    }
    let per_side = sided.then(|| from.to(cursor.last()));
    if !cursor.word("press") {
        return Err(cursor.wanted(if sided { "`press BUTTON`" } else { "`per side` or `press BUTTON`" }));
    }
    let button = cursor.path("a button")?;
    cursor.need_word("when")?;
    let when = any(cursor)?;
    let coming = if cursor.word("seen") {
        cursor.need_word("coming")?;
        cursor.need_word("while")?;
        Some(any(cursor)?)
    } else {
        None
    };
    cursor.end(if coming.is_some() {
        "`and`, `or` or the end of the line"
    } else {
        "`and`, `or`, `seen coming while CONDITION` or the end of the line"
    })?;
    Ok(PromptTree { name, per_side, button, when, coming })
}

impl Declaring<'_> {
    /// Takes over what is named once and has the sides it asks for.
    pub(crate) fn prompts(&mut self, world: &mut World, trees: Vec<PromptTree>) {
        let mut seen = BTreeSet::new();
        for prompt in trees {
            if let (Some(span), true) = (prompt.per_side, world.sides.is_empty()) {
                let message = format!("`{}` is `per side`, but no sides are named", prompt.name.text);
                self.say(codes::NO_SIDES, span, message, "expected a line `sides NAME, NAME` above");
            } else if seen.insert(prompt.name.text.clone()) {
                world.prompts.push(prompt);
            } else {
                self.twice(&prompt.name, "prompt");
            }
        }
    }
}

/// Every prompt that could be read, in written order, once for each of its sides; and when a bout lasts.
pub(crate) fn prompts(lookup: &mut Lookup) -> (Vec<Prompt>, Option<Expr>) {
    let world = lookup.world;
    lookup.within = Within::Prompt;
    let mut prompts = Vec::new();
    for tree in &world.prompts {
        if tree.per_side.is_none() {
            prompts.extend(one(lookup, tree, tree.name.text.clone()));
            continue;
        }
        for (side, name) in world.sides.iter().enumerate() {
            lookup.side = Some(side);
            prompts.extend(one(lookup, tree, format!("{}.{name}", tree.name.text)));
        }
        lookup.side = None;
    }
    let bout = world.bout.as_ref().and_then(|bout| lookup.condition(bout)).map(|bout| bout.expr);
    lookup.within = Within::Rule;
    (prompts, bout)
}

fn one(lookup: &mut Lookup, tree: &PromptTree, name: String) -> Option<Prompt> {
    let button = lookup.outside(&tree.button, Outside::Button);
    let when = lookup.condition(&tree.when);
    let coming = match &tree.coming {
        Some(coming) => lookup.condition(coming).map(|coming| Some(coming.expr)),
        None => Some(None),
    };
    let (button, when, coming) = (button?, when?.expr, coming?);
    let side = lookup.side.or_else(|| lookup.world.side_of_button(button));
    Some(Prompt { name, side, button, when, coming })
}

/// Prompts for buttons that the rules never listen to.
pub(crate) fn cautions(world: &World, form: &Form) -> Vec<Fault> {
    let mut heard = BTreeSet::new();
    form.machines.iter().for_each(|machine| hear(machine, &mut heard));
    let deaf = |prompt: &&Prompt| !heard.contains(&prompt.button);
    let mut cautions = Vec::new();
    for prompt in form.prompts.iter().filter(deaf) {
        let written = prompt.name.split('.').next();
        let tree = world.prompts.iter().find(|tree| Some(tree.name.text.as_str()) == written);
        let place = tree.map(|tree| tree.button.span());
        let place = place.map(|span| Place::new(world.file, span.start, span.end));
        let message = format!("nothing in the rules listens to button `{}`", form.buttons[prompt.button]);
        let fault = codes::PROMPT_UNHEARD.fault(place, message);
        cautions.push(fault.expected("expected a line `on press` for it").caution());
    }
    cautions
}

/// The buttons that a machine asks about in any way.
fn hear(machine: &Machine, heard: &mut BTreeSet<usize>) {
    let mut exprs: Vec<&Expr> = Vec::new();
    for state in &machine.states {
        let ways = state.transitions.iter().flat_map(|way| &way.actions);
        for action in state.entry.iter().chain(&state.exit).chain(ways) {
            if let Action::Set { to: expr, .. } | Action::Start { ticks: expr, .. } = action {
                exprs.push(expr);
            }
        }
        for way in &state.transitions {
            if let Trigger::Press { button } = way.trigger {
                heard.insert(button);
            }
            exprs.extend(&way.condition);
        }
    }
    for expr in exprs {
        each_node(expr, &mut |node| {
            if let Node::Held { b } | Node::Pressed { b } = node {
                heard.insert(*b);
            }
        });
    }
}
