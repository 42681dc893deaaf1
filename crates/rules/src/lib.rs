//! The rules language: reading, checking, the machine form, one tick, vectors.
//!
//! Text becomes the [machine form](form::Form) or faults through [`read()`]; [`step`] gives the form its meaning.

mod checks;
pub mod conditioner;
mod cursor;
mod declare;
mod expand;
mod expression;
pub mod form;
pub mod hash;
pub mod interface;
mod lex;
mod names;
mod parse;
pub mod random;
mod ranges;
mod read;
pub mod step;
mod syntax;
pub mod vectors;

pub use read::read;
