//! The description of a display: reading, located faults, patches, schema.
//!
//! [`read()`] takes all files of a display and gives either the [`Display`] or everything that is wrong in any of them.
//! [`apply`] changes one value and leaves every other byte as it was.

mod build;
mod fetch;
mod keys;
mod model;
mod patch;
mod read;
mod schema;

pub use keys::DISPLAY;
pub use model::{
    Button, Circuit, Clock, Cord, Digits, Display, Figure, GroundFault, Hangs, HangsAlong, Mains, Object,
    Panel, Post, Season, Site, Span, Spot, Stands, Tie,
};
pub use parts::reader::Date;
pub use parts::reader::place_of;
pub use patch::{Edit, EditFault, apply};
pub use read::{DESCRIPTION, SHELF, read};
pub use schema::{display_schema, parts_schema};
