//! Who is answered: only a page of this server, opened with the token of this run.
//!
//! A page from elsewhere can make a browser ask a loopback port. The `Host` must therefore be this listener under a loopback
//! name (which also stops a foreign name that was pointed at the loopback address), `Origin` must be this page where it is
//! given (and given wherever something is changed), and the token must be known. It comes once in the address and then in
//! a cookie that only this server gets.

use crate::edit::MOST_BYTES;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// What the page may do: load from here and nowhere else, run no text as script, stand in no frame.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; connect-src 'self'; \
                      img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// The headers of every answer, refusals included.
const HEADERS: [(HeaderName, &str); 5] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::CACHE_CONTROL, "no-store"),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// What a request is held against.
#[derive(Debug)]
pub(crate) struct Guard {
    token: String,
    port: u16,
}

impl Guard {
    /// Guards the listener at this port with this token.
    pub(crate) fn new(token: String, port: u16) -> Self {
        Self { token, port }
    }

    /// The cookie's name carries the port: cookies are shared by all ports of a machine.
    fn cookie(&self) -> String {
        format!("lampwright-{}", self.port)
    }

    /// Whether `host` is this listener under a loopback name.
    fn is_here(&self, host: &str) -> bool {
        let Some((name, port)) = host.rsplit_once(':') else { return false };
        matches!(name, "127.0.0.1" | "localhost" | "[::1]") && port == self.port.to_string()
    }

    /// Compares without telling by time how much was right.
    fn is_token(&self, given: &str) -> bool {
        !self.token.is_empty()
            && given.len() == self.token.len()
            && given.bytes().zip(self.token.bytes()).fold(0, |differs, (a, b)| differs | (a ^ b)) == 0
    }

    fn cookie_is_right(&self, headers: &HeaderMap) -> bool {
        let name = self.cookie();
        headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .any(|(key, value)| key == name && self.is_token(value))
    }

    /// The answer before any route is asked; none lets the request pass.
    fn answer(&self, request: &Request) -> Option<Response> {
        let one = |name: HeaderName| {
            let mut values = request.headers().get_all(name).iter();
            (values.next().map(|value| value.to_str().unwrap_or_default()), values.next().is_some())
        };
        let (host, more) = one(header::HOST);
        if more || !host.is_some_and(|host| self.is_here(host)) {
            return Some(refuse("This server answers only under its own loopback address."));
        }
        let (origin, more) = one(header::ORIGIN);
        // What changes something must say where it comes from; browsers always do.
        let looks = matches!(*request.method(), Method::GET | Method::HEAD);
        let own = |origin: &str| origin.strip_prefix("http://").is_some_and(|host| self.is_here(host));
        if more || !origin.map_or(looks, own) {
            return Some(refuse("This server answers only its own page."));
        }
        let announced = request.headers().get(header::CONTENT_LENGTH).and_then(|value| value.to_str().ok());
        if announced
            .and_then(|length| length.parse::<u64>().ok())
            .is_some_and(|length| length > MOST_BYTES as u64)
        {
            // Refused before it is waited for: it may never come.
            return Some(StatusCode::PAYLOAD_TOO_LARGE.into_response());
        }
        let given = request
            .uri()
            .query()
            .and_then(|query| query.split('&').find_map(|pair| pair.strip_prefix("token=")));
        match given {
            Some(token) if self.is_token(token) && request.uri().path() == "/" => Some(self.admit()),
            None if self.cookie_is_right(request.headers()) => None,
            _ => Some(refuse(
                "Open the address that `lampwright workbench` printed; it carries the token of this run.",
            )),
        }
    }

    /// Hands out the cookie and leads on to the page without the token in its address.
    fn admit(&self) -> Response {
        let cookie = format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie(), self.token);
        match HeaderValue::from_str(&cookie) {
            Ok(cookie) => {
                let headers =
                    [(header::SET_COOKIE, cookie), (header::LOCATION, HeaderValue::from_static("/"))];
                (StatusCode::SEE_OTHER, headers).into_response()
            }
            Err(_) => refuse("The token of this run cannot be put in a cookie."),
        }
    }
}

fn refuse(why: &'static str) -> Response {
    (StatusCode::FORBIDDEN, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], why).into_response()
}

/// Lets through what may pass and puts the headers on every answer.
pub(crate) async fn guard(State(guard): State<Arc<Guard>>, request: Request, next: Next) -> Response {
    let mut response = match guard.answer(&request) {
        Some(response) => response,
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    response
}
