//! The description of a display: reading, located faults, patches, schema.
//!
//! [`read()`] takes all files of a display and gives the [`Display`] as far as it can be read, and everything that is wrong
//! in any of them.
//! [`apply`] changes one value and leaves every other byte as it was.

mod build;
pub mod codes;
mod fetch;
mod keys;
mod model;
mod patch;
mod read;
mod schema;
mod trouble;

pub use keys::DISPLAY;
pub use model::{
    Button, Circuit, Clock, Cord, Digits, Display, Figure, GroundFault, Hangs, HangsAlong, Mains, Object,
    Panel, Post, Season, Site, Span, Spot, Stands, Tie, Trouble,
};
pub use parts::reader::Date;
pub use parts::reader::place_of;
pub use patch::{Edit, EditFault, apply};
pub use read::{DESCRIPTION, SHELF, read};
pub use schema::{display_schema, parts_schema};
