//! Bytes of an SVG drawing to named groups of curves, with limits on hostile input.

pub mod codes;
mod guard;
mod model;
mod read;
mod shape;

pub use model::{Drawing, PoseDrawing};
pub use read::read_svg;
