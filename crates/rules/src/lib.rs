//! The rules language: reading, checking, the machine form, one tick, vectors.
//!
//! Text becomes the [machine form](form::Form) or faults through [`read()`]; [`step`] gives the form its meaning.

pub mod arithmetic;
mod checks;
mod claims;
pub mod codes;
pub mod conditioner;
mod cursor;
mod declare;
mod declare_values;
mod expand;
mod expression;
pub mod form;
pub mod hash;
mod hearing;
pub mod interface;
mod lex;
mod names;
mod parse;
mod parse_machine;
mod prompts;
pub mod random;
mod ranges;
mod read;
mod show;
mod slips;
pub mod step;
mod syntax;
pub mod tidy;
mod ties;
pub mod vectors;

pub use read::{claim_place, constant_place, read};
