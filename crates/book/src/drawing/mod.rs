//! Drawings of the book: everything scaled to paper, millimetres, y down.

mod digits;
mod object;
mod panel;
mod person;
mod span;
mod thread;
mod window;
mod yard;

pub(crate) use digits::{one_digit, row_of_digits};
pub(crate) use object::{Upright, letter, object, square_mm};
pub(crate) use panel::{Side, panel_parts};
pub(crate) use span::{hangers, span};
pub(crate) use thread::{map, thread_parts};
pub(crate) use yard::{from_above, yard};

/// Type on anything read in yard or garage, in points.
pub(crate) const YARD_PT: f64 = 14.0;

/// A point in millimetres (DTP point, 1/72 in).
pub(crate) const POINT_MM: f64 = 25.4 / 72.0;
