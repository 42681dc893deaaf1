//! The routes.

use crate::edit::{Editor, MOST_BYTES, edit};
use crate::guard::{Guard, guard};
use crate::page::FILES;
use crate::rehearse::{Rehearser, begin};
use crate::tune::{Trier, tried};
use axum::extract::{DefaultBodyLimit, State};
use axum::http::{StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router, middleware};
use futures_util::stream::{self, Stream};
use serde_json::Value;
use std::convert::Infallible;
use std::io;
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::sync::watch;

/// What the page shows at one moment; swapped whole.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shown {
    /// The plan as JSON; none while there is none. When a description breaks, the last good plan may stay here.
    pub plan: Option<Value>,
    /// The machine form as JSON; none while there is none.
    pub form: Option<Value>,
    /// What is wrong with the texts, as [`fault_json`](crate::fault_json) gives it; empty when nothing is.
    pub faults: Vec<Value>,
    /// What the rules stop shows beside the form: where the constants stand, traces and answers of proof.
    pub beside: Value,
}

/// What the routes share.
#[derive(Clone)]
struct Served {
    shown: watch::Receiver<Arc<Shown>>,
    generation: watch::Receiver<u64>,
}

/// Serves the page until the future is dropped.
///
/// The page is at `/?token=TOKEN` of the listener's address. `token` must be of letters and digits. `editor` makes the
/// changes that the page asks for; `trier` reads the rules with other constants; `rehearser` lets simulated people play.
///
/// # Errors
/// When the listener is not on a loopback address, the token is unfit, or the listener fails.
pub async fn serve(
    listener: TcpListener,
    token: String,
    shown: watch::Receiver<Arc<Shown>>,
    editor: Editor,
    trier: Trier,
    rehearser: Arc<dyn Rehearser>,
) -> io::Result<()> {
    let address = listener.local_addr()?;
    if !address.ip().is_loopback() {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "the workbench listens on a loopback address only",
        ));
    }
    if token.is_empty() || !token.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "the token must be of letters and digits"));
    }
    let (tell, generation) = watch::channel(0);
    let count = count_swaps(shown.clone(), tell);
    let served = Served { shown, generation };
    let router = router(served, (editor, trier, rehearser), Arc::new(Guard::new(token, address.port())));
    tokio::select! {
        result = axum::serve(listener, router) => result,
        never = count => match never {},
    }
}

/// Counts how often the state was swapped, for whoever listens to `/changes`.
async fn count_swaps(mut shown: watch::Receiver<Arc<Shown>>, tell: watch::Sender<u64>) -> Infallible {
    while shown.changed().await.is_ok() {
        tell.send_modify(|generation| *generation += 1);
    }
    // Nobody can swap any more; what is shown stays.
    std::future::pending().await
}

fn router(
    served: Served,
    (editor, trier, rehearser): (Editor, Trier, Arc<dyn Rehearser>),
    guarding: Arc<Guard>,
) -> Router {
    let looked = Arc::clone(&rehearser);
    let rehearsal = get(|| async move { Json(looked.state()) })
        .post(move |headers, body| begin(rehearser, headers, body));
    let mut router = Router::new()
        .route("/plan.json", get(plan))
        .route("/form.json", get(form))
        .route("/faults.json", get(faults))
        .route("/beside.json", get(beside))
        .route("/rehearsal.json", rehearsal)
        .route("/changes", get(changes))
        .route("/tried", post(move |headers, body| tried(trier, headers, body)))
        .route("/edit", post(move |headers, body| edit(editor, headers, body)))
        .layer(DefaultBodyLimit::max(MOST_BYTES));
    for file in FILES {
        router = router.route(file.path, get(|| async { ([(header::CONTENT_TYPE, file.kind)], file.bytes) }));
    }
    router.fallback(missing).layer(middleware::from_fn_with_state(guarding, guard)).with_state(served)
}

async fn plan(State(served): State<Served>) -> Json<Option<Value>> {
    let shown = served.shown.borrow().clone();
    Json(shown.plan.clone())
}

async fn form(State(served): State<Served>) -> Json<Option<Value>> {
    let shown = served.shown.borrow().clone();
    Json(shown.form.clone())
}

async fn faults(State(served): State<Served>) -> Json<Vec<Value>> {
    let shown = served.shown.borrow().clone();
    Json(shown.faults.clone())
}

async fn beside(State(served): State<Served>) -> Json<Value> {
    let shown = served.shown.borrow().clone();
    Json(shown.beside.clone())
}

/// The generation on connecting, so that a page that was away learns what it missed, and again after every swap.
async fn changes(State(served): State<Served>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let mut generation = served.generation;
    generation.mark_changed();
    let events = stream::unfold(generation, |mut generation| async move {
        generation.changed().await.ok()?;
        let event = Event::default().data(generation.borrow_and_update().to_string());
        Some((Ok(event), generation))
    });
    Sse::new(events).keep_alive(KeepAlive::default())
}

async fn missing() -> Response {
    let words = "There is nothing here.";
    (StatusCode::NOT_FOUND, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], words).into_response()
}
