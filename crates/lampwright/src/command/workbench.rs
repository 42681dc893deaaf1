//! `lampwright workbench`: the page, following the builder's edits.

use crate::ending::{Ending, Stop};
use crate::folder_files::Seen;
use crate::rehearsals::Rehearsals;
use crate::{beside, editing, rehearsing, report, showing, tuning};
use ::workbench::{Editor, Rehearser, Shown, Trier};
use clap::Args;
use notify::{RecursiveMode, Watcher};
use plan::Planner;
use serde_json::{Value, json};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;
use tokio::sync::watch;

const AFTER_HELP: &str = "\
Examples:
  lampwright workbench my-fox
  lampwright workbench my-fox --port 8080

The page is served to this machine only, under an address that carries a secret. Ctrl-C ends it.";

/// An editor writes a file in several steps; what comes this close together is one change.
const QUIET: Duration = Duration::from_millis(60);
/// Where the system cannot tell of changes, the folder is looked at this often.
const LOOK_AGAIN: Duration = Duration::from_secs(1);

/// Serves the page to this machine: see the display, play it, and watch it follow your edits.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
    /// The port to serve on; any free one unless said otherwise.
    #[arg(long, default_value_t = 0)]
    port: u16,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    // Watching begins before the first reading, so that no edit falls between the two.
    let (changed, changes) = channel();
    let watcher = watch_folder(&arguments.folder, move || {
        // Whoever no longer listens is on the way out.
        let _ = changed.send(());
    });
    let mut follower = Follower::of(&arguments.folder);
    let first = showing::read(&follower.folder).map(|reading| follower.show(reading))?;
    let (sender, receiver) = watch::channel(Arc::new(first));
    let watching = watcher.is_ok();
    std::thread::Builder::new()
        .name("follow".into())
        .spawn(move || follower.follow(&changes, watching, &sender))
        .map_err(Stop::doing("cannot start a thread"))?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(Stop::doing("cannot start the server"))?;
    let editor = editing::editor(&arguments.folder);
    let trier = tuning::trier(&arguments.folder);
    let rehearser: Arc<dyn Rehearser> = Arc::new(Rehearsals::of(&arguments.folder, rehearsing::GAMES));
    runtime.block_on(serve(arguments.port, receiver, (editor, trier, rehearser), as_json))?;
    drop(watcher);
    Ok(Ending::Nothing)
}

async fn serve(
    port: u16,
    shown: watch::Receiver<Arc<Shown>>,
    (editor, trier, rehearser): (Editor, Trier, Arc<dyn Rehearser>),
    as_json: bool,
) -> Result<(), Stop> {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let listener = tokio::net::TcpListener::bind(address)
        .await
        .map_err(Stop::doing(format!("cannot serve on {address}")))?;
    let address = listener.local_addr().map_err(Stop::doing("cannot serve"))?;
    let token = token()?;
    let address = format!("http://{address}/?token={token}");
    if as_json {
        report::json(&json!({ "format": "lampwright-workbench", "version": 1, "address": address }))?;
    } else {
        report::print(&format!("{address}\n"))?;
        report::line("Open this address in a browser on this machine. Ctrl-C ends.");
    }
    ::workbench::serve(listener, token, shown, editor, trier, rehearser)
        .await
        .map_err(Stop::doing("the server stopped"))
}

/// A secret of 128 bits from the system, in hexadecimal.
fn token() -> Result<String, Stop> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)
        .map_err(|why| Stop::System(format!("the system gives no random numbers: {why}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn watch_folder(
    folder: &Path,
    told: impl Fn() + Send + 'static,
) -> notify::Result<notify::RecommendedWatcher> {
    let mut watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        // Reading a file is reported too, and our own reading must not wake us.
        if !event.is_ok_and(|event| event.kind.is_access()) {
            told();
        }
    })?;
    watcher.watch(folder, RecursiveMode::Recursive)?;
    Ok(watcher)
}

/// Reads the folder again when it changes, and plans again when what was read differs.
struct Follower {
    folder: PathBuf,
    planner: Planner,
    seen: Seen,
    plan: Option<Value>,
    form: Option<Value>,
}

impl Follower {
    fn of(folder: &Path) -> Self {
        Self { folder: folder.to_owned(), planner: Planner::new(), seen: Seen::new(), plan: None, form: None }
    }

    fn follow(mut self, changes: &Receiver<()>, watching: bool, sender: &watch::Sender<Arc<Shown>>) {
        while wait(changes, watching) {
            // A folder that is gone for a moment may come back; until then the page keeps what it has.
            let Ok(reading) = showing::read(&self.folder) else { continue };
            if reading.seen == self.seen {
                continue;
            }
            let shown = Arc::new(self.show(reading));
            if sender.send(shown).is_err() {
                return;
            }
        }
    }

    /// What the page shows now: what can be read is planned and drawn beside the faults. While the description has slips in
    /// its spelling, the last plan stays.
    fn show(&mut self, mut reading: showing::Reading) -> Shown {
        self.seen = std::mem::take(&mut reading.seen);
        let planned = reading.plan_so_far(&mut self.planner);
        if let Some((display, plan)) = &planned {
            self.plan = showing::followable(plan).ok();
            if let Some(plan) = &mut self.plan {
                editing::say_what_stands(plan, &reading.texts);
            }
            self.form = serde_json::to_value(&display.form).ok();
        }
        Shown {
            plan: self.plan.clone(),
            form: self.form.clone(),
            faults: reading.faults_json(),
            beside: beside::shown(&reading, planned.as_ref().map(|(_, plan)| plan), &self.folder),
        }
    }
}

/// Waits for a change and for the quiet after it; false when there is nobody left to tell of changes.
fn wait(changes: &Receiver<()>, watching: bool) -> bool {
    if !watching {
        std::thread::sleep(LOOK_AGAIN);
        return true;
    }
    if changes.recv().is_err() {
        return false;
    }
    // A folder that never rests must not keep the page waiting for ever.
    for _ in 0..20 {
        match changes.recv_timeout(QUIET) {
            Ok(()) => {}
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return false,
        }
    }
    true
}
