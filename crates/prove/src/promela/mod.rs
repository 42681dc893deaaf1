//! A form with its claims as a model in Promela, so that another model checker, SPIN, answers the same questions.
//!
//! (G. J. Holzmann, "The Model Checker SPIN", IEEE Transactions on Software Engineering 23(5), 1997; the language as Spin 6
//! reads it.) One process plays everything. Its variables are what the plain search calls a situation and nothing else, so
//! that the checker stores as many states as there are situations, and two or three of its own before the first tick. Around a
//! tick stands `atomic`: first each button may be pressed, held or let go, and each place that may pick gets one of its
//! values; then the tick is one `d_step`, written out in the order of ARCHITECTURE.md, "The tick". A machine that comes later
//! reads copies of what earlier ones may have written. A claim is an assertion behind the tick; one that something leads to
//! something else has a counter of its own, of the ticks that it may still take.
//!
//! Timers are 0 when off, 1 when due, and one more than their ticks while they run, so that counting down is one subtraction.

mod expression;
mod machine;
mod process;

use crate::work::Enough;
use rules::form::Form;

/// Why a form cannot be written as a model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsaid(String);

impl std::fmt::Display for Unsaid {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Unsaid {}

impl From<Enough> for Unsaid {
    fn from(enough: Enough) -> Self {
        Self(enough.why().into())
    }
}

/// Which presses the checker tries. Both lead to the same states.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Presses {
    /// Every button in every tick.
    Any,
    /// Only buttons that some machine listens to in its present state.
    Heard,
}

/// A whole model of one claim that the rules make: `spin -a` takes it as it is.
///
/// # Errors
///
/// There is no such claim, or something in the form has no words in the model; the error says what.
pub fn model(form: &Form, claim: &str, presses: Presses) -> Result<String, Unsaid> {
    process::Process::new(form, &[claim], "play", presses)?.text("active ")
}

/// A process type of this name for several claims of one form: its only argument says which of them is asserted, by place
/// in `claims`. With one claim it has no argument. Several such processes can stand in one model; only one may be run.
///
/// # Errors
///
/// As for [`model`].
pub fn process(form: &Form, claims: &[&str], (name, presses): (&str, Presses)) -> Result<String, Unsaid> {
    process::Process::new(form, claims, name, presses)?.text("")
}
