//! Four players of the same rules, compared tick by tick; tests only.
