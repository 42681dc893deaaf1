//! What a way waits for: messages by name and sender, fixed times.

use crate::codes;
use crate::names::Lookup;
use crate::syntax::{Ex, Name, Path};
use finding::suggestion;

impl Lookup<'_> {
    /// A fixed time of at least one tick, in ticks.
    pub(crate) fn duration(&mut self, ex: &Ex) -> Option<u32> {
        let (ticks, typed) = self.constant(ex)?;
        let typed = self.with_unit(typed)?;
        if ticks < 1 {
            let fault = self.fault(codes::TOO_SHORT, typed.span, "this is less than a tick");
            let tick = self.world.tick_ms;
            return self.refuse(fault.expected(format!("expected at least {tick} ms")));
        }
        Some(ticks.unsigned_abs())
    }

    /// The positions of the messages that a way hears.
    pub(crate) fn heard(&mut self, name: &Name, sender: Option<&Path>) -> Option<Vec<usize>> {
        let world = self.world;
        let senders = match sender {
            Some(path) => Some(self.senders(path)?),
            None => None,
        };
        let by_name = |at: &usize| world.messages[*at].0 == name.text;
        let all: Vec<usize> = (0..world.messages.len()).filter(by_name).collect();
        let wanted =
            |at: &usize| senders.as_ref().is_none_or(|senders| senders.contains(&world.messages[*at].1));
        let any: Vec<usize> = all.iter().copied().filter(wanted).collect();
        if !any.is_empty() {
            return Some(any);
        }
        if world.lost.messages.contains(&name.text) {
            return None;
        }
        let fault = match sender {
            Some(path) if !all.is_empty() => self
                .fault(
                    codes::MESSAGE_SENDER,
                    path.span(),
                    format!("`{}` never sends `{}`", path.text(), name.text),
                )
                .expected("expected a machine that sends it")
                .maybe_hint(suggestion(
                    &path.text(),
                    all.iter().map(|at| world.instances[world.messages[*at].1].name.as_str()),
                )),
            _ => {
                let known: std::collections::BTreeSet<&str> =
                    world.messages.iter().map(|(name, _)| name.as_str()).collect();
                self.fault(codes::MESSAGE_UNSENT, name.span, format!("nobody sends `{}`", name.text))
                    .expected("expected a message that some machine sends")
                    .maybe_hint(suggestion(&name.text, known))
            }
        };
        self.refuse(fault)
    }
}
