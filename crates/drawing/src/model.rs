//! What a drawing is once it has been read.

use geometry::BezPath;

/// The lines of one named group.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PoseDrawing {
    /// The group's id.
    pub name: String,
    /// Its lines in the drawing's own units, y down, all transforms applied.
    pub lines: Vec<BezPath>,
}

/// A drawing: one named group of lines for every pose, in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The poses.
    pub poses: Vec<PoseDrawing>,
}
