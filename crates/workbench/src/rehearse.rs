//! A rehearsal asked for by the page. It lasts longer than a request should: one request begins it, others look how far it is.

use crate::edit::{Refused, not_json};
use axum::Json;
use axum::body::Bytes;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Lets simulated people play, off the path of requests.
pub trait Rehearser: Send + Sync {
    /// Begins, with these constants in place of the written ones, spelled as in the file.
    ///
    /// # Errors
    /// Where a value is none, or the last rehearsal is still under way.
    fn begin(&self, constants: &BTreeMap<String, String>) -> Result<(), Refused>;

    /// How it stands: `{"is": "none"}`; `running` with parties `over` and `all`; `done` with the `rehearsal`, the
    /// `constants` and the `form` that were played; `unfit` with `why`.
    fn state(&self) -> Value;
}

/// Answers `POST /rehearsal.json`: accepted, and begun.
pub(crate) async fn begin(rehearser: Arc<dyn Rehearser>, headers: HeaderMap, body: Bytes) -> Response {
    if let Some(refused) = not_json(&headers) {
        return refused;
    }
    let constants: BTreeMap<String, String> = match serde_json::from_slice(&body) {
        Ok(constants) => constants,
        Err(why) => return Refused::Unfit(format!("these are no constants: {why}")).answer(),
    };
    // Reading a whole folder takes longer than other requests should wait.
    match tokio::task::spawn_blocking(move || rehearser.begin(&constants).map(|()| rehearser.state())).await {
        Ok(Ok(state)) => (StatusCode::ACCEPTED, Json(state)).into_response(),
        Ok(Err(refused)) => refused.answer(),
        Err(why) => Refused::System(why.to_string()).answer(),
    }
}
