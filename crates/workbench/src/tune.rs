//! Constants of the rules tried with other values, asked for by the page; nothing is written.

use crate::edit::Refused;
use axum::Json;
use axum::body::Bytes;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Reads the rules with these constants in place of the written ones, spelled as in the file: the machine form and the
/// faults, as JSON.
pub type Trier = Arc<dyn Fn(&BTreeMap<String, String>) -> Result<Value, Refused> + Send + Sync>;

/// Answers `POST /tried`.
pub(crate) async fn tried(trier: Trier, headers: HeaderMap, body: Bytes) -> Response {
    if let Some(refused) = crate::edit::not_json(&headers) {
        return refused;
    }
    let constants: BTreeMap<String, String> = match serde_json::from_slice(&body) {
        Ok(constants) => constants,
        Err(why) => return Refused::Unfit(format!("these are no constants: {why}")).answer(),
    };
    // Reading a whole folder takes longer than other requests should wait.
    match tokio::task::spawn_blocking(move || trier(&constants)).await {
        Ok(Ok(read)) => Json(read).into_response(),
        Ok(Err(refused)) => refused.answer(),
        Err(why) => Refused::System(why.to_string()).answer(),
    }
}
