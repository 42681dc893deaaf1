//! The register of formulas.

use crate::{
    beat, button, chain, cord, energy, flash, flight, hang, heat, led, legible, load, mains, panel, people,
    rope, segments, sight, strand, sun, supply, switching, wind, wire,
};

/// One value a formula takes.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// What it is.
    pub name: &'static str,
    /// The unit it is taken in here.
    pub unit: &'static str,
}

/// A worked example from outside the project.
#[derive(Clone, Copy, Debug)]
pub struct Example {
    /// Values in the order and units of the inputs.
    pub given: &'static [f64],
    /// What the source says comes out, in the unit of the result.
    pub result: f64,
    /// How far off the source's rounding may put us, in the unit of the result.
    pub within: f64,
    /// Where it was read.
    pub source: &'static str,
}

/// A formula anybody can use by its name.
#[derive(Clone, Copy, Debug)]
pub struct Formula {
    /// Its plain name.
    pub name: &'static str,
    /// The formula in words.
    pub written: &'static str,
    /// What it takes.
    pub inputs: &'static [Input],
    /// The unit of the result.
    pub unit: &'static str,
    /// Where the formula was read.
    pub source: &'static str,
    /// Worked examples.
    pub examples: &'static [Example],
    /// The typed function behind it, in the units above.
    pub work: fn(&[f64]) -> f64,
}

/// All of them, by name.
pub fn formulas() -> impl Iterator<Item = &'static Formula> {
    [
        load::FORMULAS,
        wire::FORMULAS,
        cord::FORMULAS,
        mains::FORMULAS,
        switching::FORMULAS,
        supply::FORMULAS,
        led::FORMULAS,
        segments::FORMULAS,
        heat::FORMULAS,
        chain::FORMULAS,
        button::FORMULAS,
        beat::FORMULAS,
        strand::FORMULAS,
        legible::FORMULAS,
        flash::FORMULAS,
        rope::FORMULAS,
        hang::FORMULAS,
        wind::FORMULAS,
        panel::FORMULAS,
        people::FORMULAS,
        flight::FORMULAS,
        sight::FORMULAS,
        sun::FORMULAS,
        energy::FORMULAS,
    ]
    .into_iter()
    .flatten()
}

/// The formula of a name.
pub fn formula(name: &str) -> Option<&'static Formula> {
    formulas().find(|formula| formula.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_worked_example_comes_out() {
        let mut examples = 0;
        for formula in formulas() {
            assert!(!formula.examples.is_empty(), "{} has no worked example", formula.name);
            for example in formula.examples {
                assert_eq!(example.given.len(), formula.inputs.len(), "{}", formula.name);
                let ours = (formula.work)(example.given);
                let off = (ours - example.result).abs();
                assert!(
                    off <= example.within,
                    "{}: {ours} where {} says {}",
                    formula.name,
                    example.source,
                    example.result
                );
                examples += 1;
            }
        }
        assert!(examples >= 15, "{examples} worked examples");
    }

    #[test]
    fn names_are_given_once() {
        let mut names: Vec<&str> = formulas().map(|formula| formula.name).collect();
        names.sort_unstable();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
