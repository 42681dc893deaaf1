//! Project automation.
fn main() {}
