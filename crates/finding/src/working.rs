//! A calculation as it stands on paper.

use crate::Origin;
use serde::Serialize;

/// One value of a working.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Value {
    /// What the value is, e.g. `strand current`.
    pub name: String,
    /// The value with its unit, as printed.
    pub shown: String,
    /// Where it came from.
    pub origin: Origin,
}

/// A calculation as it stands on paper: formula, values, result, limit, margin, source.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// The registered name of the formula, e.g. `channel-current`.
    pub formula: &'static str,
    /// The formula in words, e.g. `channel current = strands x strand current`.
    pub written: String,
    /// The values put in.
    pub values: Vec<Value>,
    /// The result with its unit.
    pub result: String,
    /// What the result is held against, with its unit; none where nothing limits it.
    pub limit: Option<String>,
    /// What is left up to the limit, e.g. `62 % of the limit used`.
    pub margin: Option<String>,
    /// Where formula and limit were read; `from memory` or `common practice` where that is so.
    pub source: String,
}
