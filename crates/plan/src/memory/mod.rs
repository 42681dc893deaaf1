//! What the stages gave for what they took.

mod print;

pub(crate) use print::Printed;

use print::Print;
use serde::Serialize;
use std::any::Any;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One stage asked for: which, for what, and whether it had to be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// The stage.
    pub stage: &'static str,
    /// What it was worked out for.
    pub entity: String,
    /// False when the remembered result was used.
    pub worked: bool,
}

/// The latest result of every stage and entity.
#[derive(Clone, Default)]
pub struct Memory {
    kept: BTreeMap<(&'static str, String), Kept>,
    runs: Vec<Run>,
}

#[derive(Clone)]
struct Kept {
    took: Print,
    gave: Arc<dyn Any + Send + Sync>,
}

impl Memory {
    /// The result of a stage: the remembered one when `input` is what it was, else worked out anew.
    pub fn stage<I, O>(
        &mut self,
        stage: &'static str,
        entity: &str,
        input: &I,
        work: impl FnOnce(&I) -> O,
    ) -> Arc<O>
    where
        I: Serialize,
        O: Send + Sync + 'static,
    {
        let took = print::of(input);
        let key = (stage, entity.to_owned());
        if let Some(kept) = self.kept.get(&key)
            && took.is_some_and(|took| took == kept.took)
            && let Ok(gave) = Arc::clone(&kept.gave).downcast::<O>()
        {
            self.runs.push(Run { stage, entity: key.1, worked: false });
            return gave;
        }
        let gave = Arc::new(work(input));
        self.runs.push(Run { stage, entity: key.1.clone(), worked: true });
        if let Some(took) = took {
            self.kept.insert(key, Kept { took, gave: Arc::clone(&gave) as Arc<dyn Any + Send + Sync> });
        }
        gave
    }

    /// The stages asked for since this was last called, in order.
    pub fn take_runs(&mut self) -> Vec<Run> {
        std::mem::take(&mut self.runs)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_runs_again_only_for_another_input() {
        let mut memory = Memory::default();
        for (input, expected) in [(2, 4), (2, 4), (3, 9)] {
            assert_eq!(*memory.stage("square", "a", &input, |n: &i32| n * n), expected);
        }
        assert_eq!(*memory.stage("square", "b", &2, |n: &i32| n * n), 4);
        let worked: Vec<bool> = memory.take_runs().iter().map(|run| run.worked).collect();
        assert_eq!(worked, [true, false, true, true]);
    }
}
