//! Rehearsal over the machine form: games played by simulated people, and what comes of them.

pub mod quick;
