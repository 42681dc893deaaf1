//! Four players of the same rules, compared tick by tick; tests only.
//!
//! The referee (`rules::step`) records what every other player has to give: the page's player under Node, the generated C
//! on this machine, and the same C on an emulated controller.

pub mod chip;
pub mod host;
pub mod page;
pub mod recording;
pub mod tools;
