//! The local server and its page.
//!
//! The server shows what others worked out: it computes nothing and opens no file. The page is compiled in; plan, machine
//! form and faults come as JSON through a watch channel and are swapped whole; a change that the page asks for is made by
//! whoever started the server. It listens on the loopback interface only,
//! and answers nobody who does not know the token of this run.

mod edit;
mod faults;
mod guard;
mod page;
mod rehearse;
mod serve;
mod tune;

pub use edit::{Change, Editor, Refused};
pub use faults::fault_json;
pub use rehearse::Rehearser;
pub use serve::{Shown, serve};
pub use tune::Trier;
