//! Proof over the machine form: what holds in every play that any hands and any picks can make.
//!
//! Two engines answer the same questions. *Plain search* walks through whole situations tick by tick: simple enough to
//! be believed, and the referee of the other. *Search over sets* takes all values that the running timers can have at once.
//! A refutation of either is played through [`rules::step`] before it is reported.
//!
//! Presses are free: at any tick any set of buttons. That is more than hands and contacts can do, so that what is proved
//! holds for all hands, while a refutation may need quick fingers; its trace says how quick.

mod answer;
mod calm;
mod claims;
pub mod codes;
mod concrete;
mod far;
mod hide;
mod home;
mod known;
mod leap;
mod live;
mod loosen;
mod made_ready;
mod model;
mod pack;
mod plain;
pub mod promela;
mod ranges;
mod reduce;
mod refine;
mod replay;
mod search;
mod sets;
mod silence;
mod telling;
mod ticks;
mod value;
mod watch;
mod words;
mod work;
mod zone;

pub use answer::{Answer, Covered, Limits, Progress, Trace, Verdict};
pub use claims::{Engine, names, names_in_silence, prove, prove_knowing, prove_some, prove_with};
pub use known::Known;
pub use words::in_words;
