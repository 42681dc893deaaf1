//! The records everything reports with.
//!
//! A [`Fault`] says that something the builder wrote cannot be taken as it stands; it has a place in a text. A
//! [`Finding`] is one result of a check of the plan; it concerns the builder's own names and carries its [`Working`].
//! Both are plain data. Printing is [`render()`] at the top of the program, and nowhere else.

mod explained;
mod fault;
mod finding_record;
mod known;
mod nearest;
mod render;
mod working;

pub use explained::{CodeGroup, Example, Explained};
pub use fault::{Fault, Faults, Severity};
pub use finding_record::{Cure, Finding, Sheet};
pub use known::{Known, Origin};
pub use nearest::{nearest, suggestion};
pub use render::{Style, one_line, render};
pub use working::{Value, Working};
