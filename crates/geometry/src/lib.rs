//! Curves, shared lines, spacing and hop-limited threading.
//!
//! Nothing here knows what the lines mean. Units are whatever the caller uses, the same throughout one call. Everything
//! is a pure function whose answer depends on its arguments alone: no clock, no random source but a fixed one.

pub mod overlay;
mod polyline;
pub mod spacing;
pub mod thread;

pub use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};
pub use overlay::{Group, shared_lines};
pub use polyline::{Polyline, distance};
pub use spacing::{Band, Keep, Placed, place_points};
pub use thread::{Threading, extra_stops, thread};
