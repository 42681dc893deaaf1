//! One change of one value, asked for by the page.

use axum::Json;
use axum::body::Bytes;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use serde_json::json;
use source::KeyPath;
use std::sync::Arc;

/// A change asked for: spelled as in the file, quotes included.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// The file, by its path in the display's folder.
    pub file: String,
    /// The value to change.
    pub path: KeyPath,
    /// What is taken to stand there now.
    pub expected: String,
    /// What is to stand there.
    pub new: String,
}

/// Why a change was not made; the words are for the builder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refused {
    /// There is no such place in the description.
    NoSuchPlace(String),
    /// Something else stands there by now.
    Changed(String),
    /// The change is none that could be made.
    Unfit(String),
    /// The system refused.
    System(String),
}

impl Refused {
    pub(crate) fn answer(self) -> Response {
        let (status, words) = match self {
            Self::NoSuchPlace(words) => (StatusCode::NOT_FOUND, words),
            Self::Changed(words) => (StatusCode::CONFLICT, words),
            Self::Unfit(words) => (StatusCode::UNPROCESSABLE_ENTITY, words),
            Self::System(words) => (StatusCode::INTERNAL_SERVER_ERROR, words),
        };
        (status, Json(json!({ "why": words }))).into_response()
    }
}

/// Makes changes; what was written is in the file when it returns.
pub type Editor = Arc<dyn Fn(&Change) -> Result<(), Refused> + Send + Sync>;

/// A change is a few words; more than this is none.
pub(crate) const MOST_BYTES: usize = 16 * 1024;

/// Refuses what is not sent as JSON: a form of another page can send plain text without asking first, but not this kind.
pub(crate) fn not_json(headers: &HeaderMap) -> Option<Response> {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    if kind.split(';').next().map(str::trim) == Some("application/json") {
        return None;
    }
    let why = Json(json!({ "why": "a change is sent as JSON" }));
    Some((StatusCode::UNSUPPORTED_MEDIA_TYPE, why).into_response())
}

/// Answers `POST /edit`.
pub(crate) async fn edit(editor: Editor, headers: HeaderMap, body: Bytes) -> Response {
    if let Some(refused) = not_json(&headers) {
        return refused;
    }
    let change: Change = match serde_json::from_slice(&body) {
        Ok(change) => change,
        Err(why) => return Refused::Unfit(format!("this is no change: {why}")).answer(),
    };
    // Writing waits for the disk; the yard must go on meanwhile.
    let work = tokio::task::spawn_blocking(move || editor(&change).map(|()| change));
    match work.await {
        Ok(Ok(change)) => Json(change).into_response(),
        Ok(Err(refused)) => refused.answer(),
        Err(why) => Refused::System(format!("the change was not finished: {why}")).answer(),
    }
}
