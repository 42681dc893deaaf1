//! One result of a check.

use crate::{Severity, Working};
use serde::Serialize;
use source::KeyPath;

/// A part of the recipe that a danger withholds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sheet {
    /// Panel and drilling sheets.
    Panel,
    /// Threading sheets.
    Threading,
    /// 1:1 templates.
    Templates,
    /// The hanging sheet: rope, hangers, cut lengths.
    Hanging,
    /// The put-up card.
    PutUp,
    /// Cable cards, channel map, drive and supply pages.
    Wiring,
    /// The generated program.
    Firmware,
}

impl Sheet {
    /// The name printed for the builder.
    pub fn title(self) -> &'static str {
        match self {
            Self::Panel => "panel sheets",
            Self::Threading => "threading sheets",
            Self::Templates => "templates",
            Self::Hanging => "hanging sheet",
            Self::PutUp => "put-up card",
            Self::Wiring => "wiring sheets",
            Self::Firmware => "program",
        }
    }
}

/// Something the builder can do about a finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cure {
    /// The cure as a builder would say it.
    pub words: String,
    /// The value to change and what to write there, when one edit does it (shown as a button).
    pub edit: Option<(KeyPath, String)>,
}

/// One result of a check, about the builder's own names.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// A stable name such as `drive/over-current`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The stop of the path it belongs to, e.g. `switch`.
    pub stage: &'static str,
    /// What it concerns, in the builder's names, e.g. `["fox", "body"]`.
    pub concerns: Vec<String>,
    /// Tells two findings of one code about the same names apart.
    pub discriminator: Option<String>,
    /// The verdict in one sentence.
    pub verdict: String,
    /// The calculation behind it.
    pub working: Option<Working>,
    /// What would put it right.
    pub cures: Vec<Cure>,
    /// What a danger withholds; empty for everything milder.
    pub withholds: Vec<Sheet>,
}

impl Finding {
    /// What makes a finding the same finding after an edit: never its text, number or order.
    pub fn identity(&self) -> (&'static str, &[String], Option<&str>) {
        (self.code, &self.concerns, self.discriminator.as_deref())
    }
}
