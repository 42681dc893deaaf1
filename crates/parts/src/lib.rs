//! The generic parts catalogue and the builder's shelf.
