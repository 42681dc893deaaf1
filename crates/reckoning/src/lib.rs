//! The trade's formulas as pure functions, registered under plain names.
