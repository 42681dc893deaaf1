//! The rules language: reading, checking, the machine form, one tick, vectors.
//!
//! Text becomes the [machine form](form::Form) or faults; [`step`] gives the form its meaning.

pub mod conditioner;
pub mod form;
pub mod hash;
pub mod interface;
pub mod random;
pub mod step;
