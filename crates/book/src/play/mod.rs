//! Pages about playing: the rule card, the tests of the rules tried by hand, the rehearsal.

mod bout;
mod by_hand;
mod card;
mod given;
mod press;
mod rehearsed;
mod tell;
#[cfg(test)]
mod tests;

use rehearse::Unattended;
use rehearse::rehearsal::Rehearsal;
use rules::form::Form;
use serde_json::{Value, json};

/// What the book shows of play beside the plan and the rules' form; worked out before, each part may be missing.
#[derive(Clone, Debug, Default)]
pub struct Beside {
    /// What the rules' text says of itself in the comment at its beginning.
    pub about: Option<String>,
    /// What is seen with nobody there.
    pub unattended: Option<Unattended>,
    /// What became of the game when simulated people played it.
    pub rehearsal: Option<Rehearsal>,
    /// Why there is no rehearsal.
    pub unrehearsed: Option<String>,
}

/// The view of these pages; none where the rules know no button.
pub(crate) fn view(form: &Form, beside: &Beside) -> Value {
    if form.buttons.is_empty() {
        return Value::Null;
    }
    json!({ "card": card::view(form, beside.about.as_deref()), "rehearsal": rehearsed::view(beside) })
}

/// The view of the tests by hand.
pub(crate) fn by_hand(form: &Form, beside: &Beside) -> Value {
    if form.machines.is_empty() {
        return json!([]);
    }
    by_hand::view(form, beside)
}
