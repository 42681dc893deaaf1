//! Bytes of an SVG drawing to named groups of curves, with limits on hostile input.
