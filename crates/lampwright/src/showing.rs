//! From a folder to everything worked out from it: the one way all commands take.

use crate::beside::{self, Beside};
use crate::ending::{Ending, Stop};
use crate::folder_files::{FolderFiles, Seen};
use crate::report;
use display::Display;
use finding::{Explained, Fault, Severity};
use plan::{Plan, Planner};
use serde_json::{Value, json};
use source::Text;
use std::path::Path;

/// So many faults are told; nobody mends more in one go, and a file of nonsense must not drown the screen.
const MOST_FAULTS: usize = 200;

/// Codes that belong to the report and not to what was read.
pub(crate) const CODES: &[&Explained] = &[&Explained::new(
    "limit/faults",
    "There are more faults than are told.",
    "After 200 the rest is only counted. They show when some of the others are mended; often one slip causes many.",
)];

/// A folder as read.
pub(crate) struct Reading {
    /// The display as far as it could be read.
    pub(crate) display: Option<Display>,
    /// Every fault found.
    pub(crate) faults: Vec<Fault>,
    /// The texts that the faults' places are in.
    pub(crate) texts: Vec<Text>,
    /// Plays and answers that lie beside the description.
    pub(crate) beside: Beside,
    /// What was read from the disk.
    pub(crate) seen: Seen,
}

/// Reads a display's folder.
pub(crate) fn read(folder: &Path) -> Result<Reading, Stop> {
    let files = FolderFiles::open(folder)
        .map_err(Stop::doing(format!("cannot open the folder {}", folder.display())))?;
    let (display, mut faults, texts) = display::read(&files);
    if faults.len() > MOST_FAULTS {
        let more = faults.len() - MOST_FAULTS;
        faults.truncate(MOST_FAULTS);
        let last = faults.last().and_then(|fault| fault.place.clone());
        let words = format!("there are {more} more faults; they show when some of these are mended");
        faults.push(Fault::new("limit/faults", last, words));
    }
    let beside = beside::found(&files, display.as_ref().map(|display| &display.form));
    Ok(Reading { display, faults, texts, beside, seen: files.into_seen() })
}

impl Reading {
    /// The display, unless a fault stops it.
    pub(crate) fn sound(&self) -> Option<&Display> {
        self.display.as_ref().filter(|_| !self.faults.iter().any(Fault::stops))
    }

    /// Tells the faults that stop a command which needs a sound display.
    pub(crate) fn refuse(&self, as_json: bool) -> Result<Ending, Stop> {
        if as_json {
            report::json(&self.to_json(None, Ending::Faults))?;
        } else {
            report::faults(&self.faults, &self.texts);
        }
        Ok(Ending::Faults)
    }

    /// The plan, unless a fault stops it.
    pub(crate) fn plan(&self, planner: &mut Planner) -> Option<(&Display, Plan)> {
        let display = self.sound()?;
        Some((display, planner.plan(display)))
    }

    /// The plan as far as it goes, whatever has faults: to be looked at, never to be built from.
    pub(crate) fn plan_so_far(&self, planner: &mut Planner) -> Option<(&Display, Plan)> {
        let display = self.display.as_ref()?;
        Some((display, planner.plan(display)))
    }

    /// The faults with the lines they stand on, as the page and scripts read them.
    pub(crate) fn faults_json(&self) -> Vec<Value> {
        self.faults.iter().map(|fault| workbench::fault_json(fault, &self.texts)).collect()
    }

    /// Everything found, for scripts.
    pub(crate) fn to_json(&self, plan: Option<&Plan>, ending: Ending) -> Value {
        json!({
            "format": "lampwright-report",
            "version": 1,
            "ending": ending.word(),
            "faults": self.faults_json(),
            "findings": plan.map(|plan| &plan.findings),
            "withheld": plan.map(|plan| &plan.withheld),
        })
    }
}

/// How a command ends with this plan, or without one.
pub(crate) fn ending(plan: Option<&Plan>) -> Ending {
    match plan {
        None => Ending::Faults,
        Some(plan) if plan.findings.iter().any(|finding| finding.severity == Severity::Fault) => {
            Ending::Faults
        }
        Some(plan) if !plan.withheld.is_empty() => Ending::Withheld,
        Some(plan) if plan.findings.iter().any(|finding| finding.severity == Severity::Danger) => {
            Ending::Withheld
        }
        Some(_) => Ending::Nothing,
    }
}

/// The plan as JSON, as far as it may be followed.
pub(crate) fn followable(plan: &Plan) -> Result<Value, Stop> {
    crate::followable::followable(plan).map_err(|why| Stop::System(format!("cannot write JSON: {why}")))
}
