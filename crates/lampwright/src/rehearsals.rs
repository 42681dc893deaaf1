//! Rehearsals for the page: one at a time, on a thread of its own that keeps nobody waiting.

use crate::rehearsing::{SEED, variants};
use crate::tuning;
use finding::Fault;
use rehearse::quick::Unfit;
use rehearse::{Cast, Order, Ready, rehearse};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use workbench::{Refused, Rehearser};

/// The last rehearsal that the page asked for.
pub(crate) struct Rehearsals {
    folder: PathBuf,
    games: u64,
    now: Arc<Now>,
}

/// How it stands.
#[derive(Default)]
struct Now {
    over: AtomicU64,
    all: AtomicU64,
    /// None before the first; null while one is under way.
    told: Mutex<Option<Value>>,
}

impl Now {
    fn tell(&self, told: Value) {
        *self.told.lock().unwrap_or_else(PoisonError::into_inner) = Some(told);
    }
}

impl Rehearsals {
    /// Of the display in this folder.
    pub(crate) fn of(folder: &Path, games: u64) -> Self {
        Self { folder: folder.to_owned(), games, now: Arc::default() }
    }
}

impl Rehearser for Rehearsals {
    fn begin(&self, constants: &BTreeMap<String, String>) -> Result<(), Refused> {
        if self.state()["is"] == "running" {
            return Err(Refused::Changed("the last rehearsal is still under way".into()));
        }
        let (display, faults, texts) = tuning::tuned(&self.folder, constants)?;
        let stops = faults.iter().find(|fault| fault.stops()).map(|fault: &Fault| fault.message.clone());
        let display = match (display, stops) {
            (Some(display), None) => display,
            (_, why) => return Err(Refused::Unfit(why.unwrap_or_else(|| "there are no rules yet".into()))),
        };
        self.now.over.store(0, Ordering::Relaxed);
        self.now.all.store(0, Ordering::Relaxed);
        self.now.tell(Value::Null);
        let (now, games, constants) = (Arc::clone(&self.now), self.games, constants.clone());
        let work = move || {
            let play = || -> Result<Value, Unfit> {
                let casts = Cast::usual(Ready::new(&display.form)?.places());
                let variants = variants(&display, &texts);
                let order =
                    Order { form: &display.form, variants: &variants, casts: &casts, games, seed: SEED };
                let rehearsal = rehearse(&order, &|over, all| {
                    now.over.fetch_max(over, Ordering::Relaxed);
                    now.all.store(all, Ordering::Relaxed);
                })?;
                Ok(json!({
                    "is": "done", "rehearsal": rehearsal, "constants": constants, "form": display.form,
                }))
            };
            // Whatever happens, nobody must wait for ever.
            let told = std::panic::catch_unwind(std::panic::AssertUnwindSafe(play));
            now.tell(match told {
                Ok(Ok(done)) => done,
                Ok(Err(why)) => json!({ "is": "unfit", "why": why.to_string() }),
                Err(_) => json!({ "is": "unfit", "why": "the rehearsal was not finished" }),
            });
        };
        let begun = std::thread::Builder::new().name("rehearse".into()).spawn(work);
        begun.map(|_| ()).map_err(|why| {
            let why = format!("cannot start a thread: {why}");
            self.now.tell(json!({ "is": "unfit", "why": why }));
            Refused::System(why)
        })
    }

    fn state(&self) -> Value {
        match self.now.told.lock().unwrap_or_else(PoisonError::into_inner).as_ref() {
            None => json!({ "is": "none" }),
            Some(Value::Null) => json!({
                "is": "running", "over": self.now.over.load(Ordering::Relaxed),
                "all": self.now.all.load(Ordering::Relaxed),
            }),
            Some(told) => told.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    fn finished(rehearsals: &Rehearsals) -> Value {
        loop {
            let state = rehearsals.state();
            if state["is"] != "running" {
                return state;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// The page and the command play the same games; another value of a constant gives other ones, and writes nothing.
    #[test]
    fn what_is_rehearsed_for_the_page_is_what_was_asked_for() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays/firefly-pond");
        let rehearsals = Rehearsals::of(&folder, 4);
        assert_eq!(rehearsals.state(), json!({ "is": "none" }));
        rehearsals.begin(&BTreeMap::new()).unwrap();
        let written = finished(&rehearsals);
        assert_eq!(written["is"], "done");
        assert_eq!((written["rehearsal"]["games"].as_u64(), &written["constants"]), (Some(4), &json!({})));
        let tried = BTreeMap::from([("hover".to_owned(), "400 ms".to_owned())]);
        rehearsals.begin(&tried).unwrap();
        let quick = finished(&rehearsals);
        assert_eq!(quick["constants"], json!(tried));
        assert_ne!(quick["rehearsal"]["parties"], written["rehearsal"]["parties"]);
        let unfit = BTreeMap::from([("hover".to_owned(), "1 min".to_owned())]);
        assert!(matches!(rehearsals.begin(&unfit), Err(Refused::Unfit(_))));
        let beyond = BTreeMap::from([("hover".to_owned(), "9000 ms".to_owned())]);
        assert!(matches!(rehearsals.begin(&beyond), Err(Refused::Unfit(_))));
        assert_eq!(rehearsals.state(), quick, "what was refused changes nothing");
    }
}
