//! The server over a real loopback connection, spoken to in plain HTTP/1.1 (RFC 9112).

#![allow(clippy::unwrap_used, reason = "test code: helpers outside of tests stop a test the same way")]

use serde_json::{Value, json};
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use workbench::{Change, Editor, Refused, Rehearser, Shown, Trier, serve};

const TOKEN: &str = "c0ffee0123456789";

/// A running server and the hand that swaps what it shows.
async fn start() -> (SocketAddr, watch::Sender<Arc<Shown>>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let shown = Shown {
        plan: Some(json!({"title": "Waving fox"})),
        form: None,
        faults: Vec::new(),
        ..Shown::default()
    };
    let (swap, receiver) = watch::channel(Arc::new(shown));
    tokio::spawn(serve(listener, TOKEN.to_owned(), receiver, fox_editor(), fox_trier(), nobody()));
    (address, swap)
}

/// Knows one value, the height of the fox, which is 4 ft.
fn fox_editor() -> Editor {
    Arc::new(|change: &Change| {
        if change.file != "display.toml" || change.path.to_string() != "figure.fox.height" {
            return Err(Refused::NoSuchPlace("nothing stands there in the text".into()));
        }
        if change.expected == "\"4 ft\"" { Ok(()) } else { Err(Refused::Changed("it now says 4 ft".into())) }
    })
}

/// Knows one constant.
fn fox_trier() -> Trier {
    Arc::new(|constants| match constants.get("patient") {
        Some(value) => Ok(json!({ "form": { "patient": value }, "faults": [] })),
        None => Err(Refused::NoSuchPlace("there is no such constant".into())),
    })
}

/// Has one party to wait for, and refuses any constant.
struct OneParty(std::sync::atomic::AtomicBool);

impl Rehearser for OneParty {
    fn begin(&self, constants: &std::collections::BTreeMap<String, String>) -> Result<(), Refused> {
        if !constants.is_empty() {
            return Err(Refused::Unfit("there is no such constant".into()));
        }
        self.0.store(true, std::sync::atomic::Ordering::Relaxed);
        Ok(())
    }

    fn state(&self) -> Value {
        match self.0.load(std::sync::atomic::Ordering::Relaxed) {
            true => json!({ "is": "running", "over": 0, "all": 1 }),
            false => json!({ "is": "none" }),
        }
    }
}

fn nobody() -> Arc<dyn Rehearser> {
    Arc::new(OneParty(false.into()))
}

/// Asks with exactly these header lines and gives the status, the header lines in small letters and the body.
async fn ask(address: SocketAddr, path: &str, headers: &[&str]) -> (u16, String, String) {
    send(address, &format!("GET {path}"), headers, "").await
}

/// The same with any method and a body.
async fn send(address: SocketAddr, what: &str, headers: &[&str], body: &str) -> (u16, String, String) {
    let mut stream = TcpStream::connect(address).await.unwrap();
    let lines = headers.iter().map(|line| format!("{line}\r\n")).collect::<String>();
    let length = if body.is_empty() { String::new() } else { format!("Content-Length: {}\r\n", body.len()) };
    stream
        .write_all(format!("{what} HTTP/1.1\r\n{lines}{length}Connection: close\r\n\r\n{body}").as_bytes())
        .await
        .unwrap();
    let mut answer = Vec::new();
    let reading = stream.read_to_end(&mut answer);
    // A refused body may still be on its way when the server hangs up; the answer counts.
    let _ = tokio::time::timeout(Duration::from_secs(20), reading).await.expect("an answer");
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let (head, body) = answer.split_once("\r\n\r\n").unwrap();
    let status = head.split(' ').nth(1).unwrap().parse().unwrap();
    (status, head.to_lowercase(), body.to_owned())
}

fn host(address: SocketAddr) -> String {
    format!("Host: 127.0.0.1:{}", address.port())
}

fn cookie(address: SocketAddr) -> String {
    format!("Cookie: lampwright-{}={TOKEN}", address.port())
}

#[tokio::test]
async fn the_token_is_asked_for_once_and_then_kept_in_a_cookie() {
    let (address, _swap) = start().await;
    let host = host(address);
    assert_eq!(ask(address, "/", &[&host]).await.0, 403);
    assert_eq!(ask(address, "/?token=wrong", &[&host]).await.0, 403);
    assert_eq!(ask(address, "/?token=", &[&host]).await.0, 403);
    // Only the page itself takes the token, so that no other address ever carries it.
    assert_eq!(ask(address, &format!("/plan.json?token={TOKEN}"), &[&host]).await.0, 403);
    let (status, head, _) = ask(address, &format!("/?token={TOKEN}"), &[&host]).await;
    assert_eq!(status, 303);
    assert!(head.contains("\r\nlocation: /\r\n"), "{head}");
    let set = format!("set-cookie: lampwright-{}={TOKEN}; path=/; httponly; samesite=strict", address.port());
    assert!(head.contains(&set), "{head}");
    let (status, head, body) = ask(address, "/", &[&host, &cookie(address)]).await;
    assert_eq!(status, 200);
    assert!(head.contains("content-type: text/html; charset=utf-8"), "{head}");
    assert!(body.starts_with("<!doctype html>"));
    let wrong = format!("Cookie: lampwright-{}=c0ffee0123456780", address.port());
    assert_eq!(ask(address, "/plan.json", &[&host, &wrong]).await.0, 403);
}

#[tokio::test]
async fn foreign_hosts_and_origins_are_refused() {
    let (address, _swap) = start().await;
    let (host, cookie, port) = (host(address), cookie(address), address.port());
    let named = format!("Host: localhost:{port}");
    assert_eq!(ask(address, "/plan.json", &[&named, &cookie]).await.0, 200);
    for foreign in [
        format!("Host: example.org:{port}"),
        format!("Host: 127.0.0.1.example.org:{port}"),
        format!("Host: 127.0.0.1:{}", port ^ 1),
        "Host: 127.0.0.1".to_owned(),
    ] {
        assert_eq!(ask(address, "/plan.json", &[&foreign, &cookie]).await.0, 403, "{foreign}");
    }
    let own = format!("Origin: http://127.0.0.1:{port}");
    assert_eq!(ask(address, "/plan.json", &[&host, &cookie, &own]).await.0, 200);
    for foreign in ["http://example.org".to_owned(), "null".to_owned(), format!("https://127.0.0.1:{port}")] {
        let origin = format!("Origin: {foreign}");
        assert_eq!(ask(address, "/plan.json", &[&host, &cookie, &origin]).await.0, 403, "{foreign}");
    }
}

#[tokio::test]
async fn every_answer_carries_the_policy_and_is_not_kept() {
    let (address, _swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    for (path, headers, expected) in [
        ("/", vec![host.as_str(), cookie.as_str()], 200),
        ("/plan.json", vec![host.as_str(), cookie.as_str()], 200),
        ("/nothing-here", vec![host.as_str(), cookie.as_str()], 404),
        ("/../Cargo.toml", vec![host.as_str(), cookie.as_str()], 404),
        ("/", vec![host.as_str()], 403),
    ] {
        let (status, head, _) = ask(address, path, &headers).await;
        assert_eq!(status, expected, "{path}");
        assert!(
            head.contains("content-security-policy: default-src 'none'; script-src 'self';"),
            "{path}: {head}"
        );
        assert!(!head.contains("unsafe-"), "{path}: {head}");
        assert!(head.contains("cache-control: no-store"), "{path}: {head}");
        assert!(head.contains("x-content-type-options: nosniff"), "{path}: {head}");
    }
}

/// A page that names a file which is not compiled in would show half of itself, or nothing.
#[tokio::test]
async fn every_file_that_the_page_names_is_served() {
    let (address, _swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    // `/changes` never ends, `/edit` and `/tried` are not for reading; they have tests of their own.
    let (mut wanted, mut seen) =
        (vec!["/".to_owned()], ["/changes", "/edit", "/tried"].map(str::to_owned).to_vec());
    while let Some(path) = wanted.pop() {
        if seen.contains(&path) {
            continue;
        }
        let (status, _, body) = ask(address, &path, &[&host, &cookie]).await;
        assert_eq!(status, 200, "{path}");
        if !path.ends_with(".ttf") && !path.starts_with("/vendor/") {
            let named =
                body.split(['"', '(', ')']).filter(|word| word.starts_with("./") && word.contains('.'));
            wanted.extend(named.map(|word| word.trim_start_matches('.').to_owned()));
        }
        seen.push(path);
    }
    for path in
        ["/player.js", "/style.css", "/vendor/lit-html.js", "/fonts/AtkinsonHyperlegibleNext_700Bold.ttf"]
    {
        assert!(seen.iter().any(|at| at == path), "{path} is not named by the page: {seen:?}");
    }
}

#[tokio::test]
async fn what_is_shown_is_swapped_whole_and_told() {
    let (address, swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    let read = async |path| {
        let (status, head, body) = ask(address, path, &[&host, &cookie]).await;
        assert_eq!(status, 200);
        assert!(head.contains("content-type: application/json"));
        serde_json::from_str::<Value>(&body).unwrap()
    };
    assert_eq!(read("/plan.json").await["title"], "Waving fox");
    assert_eq!(read("/form.json").await, Value::Null);
    assert_eq!(read("/faults.json").await, json!([]));

    let mut stream = TcpStream::connect(address).await.unwrap();
    stream
        .write_all(format!("GET /changes HTTP/1.1\r\n{host}\r\n{cookie}\r\n\r\n").as_bytes())
        .await
        .unwrap();
    let mut heard = String::new();
    listen(&mut stream, &mut heard, "data: 0\n").await;
    assert!(heard.to_lowercase().contains("content-type: text/event-stream"));
    swap.send(Arc::new(Shown {
        plan: None,
        form: Some(json!({"tick_ms": 10})),
        faults: vec![json!("x")],
        ..Shown::default()
    }))
    .unwrap();
    listen(&mut stream, &mut heard, "data: 1\n").await;
    assert_eq!(read("/plan.json").await, Value::Null);
    assert_eq!(read("/form.json").await["tick_ms"], 10);
    assert_eq!(read("/faults.json").await, json!(["x"]));
}

/// Reads on until the words have come.
async fn listen(stream: &mut TcpStream, heard: &mut String, words: &str) {
    let wait = async {
        let mut bytes = [0; 1024];
        while !heard.contains(words) {
            let count = stream.read(&mut bytes).await.unwrap();
            assert!(count > 0, "the stream ended after {heard}");
            heard.push_str(&String::from_utf8_lossy(&bytes[..count]));
        }
    };
    tokio::time::timeout(Duration::from_secs(10), wait).await.expect(words);
}

#[tokio::test]
async fn a_listener_for_everybody_and_an_unfit_token_are_refused() {
    let (_swap, receiver) = watch::channel(Arc::new(Shown::default()));
    let open = TcpListener::bind("0.0.0.0:0").await.unwrap();
    let refused = tokio::time::timeout(
        Duration::from_secs(5),
        serve(open, TOKEN.to_owned(), receiver.clone(), fox_editor(), fox_trier(), nobody()),
    )
    .await;
    assert_eq!(refused.unwrap().unwrap_err().kind(), std::io::ErrorKind::InvalidInput);
    for token in ["", "a b", "a;b"] {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let refused = tokio::time::timeout(
            Duration::from_secs(5),
            serve(listener, token.to_owned(), receiver.clone(), fox_editor(), fox_trier(), nobody()),
        )
        .await;
        assert_eq!(refused.unwrap().unwrap_err().kind(), std::io::ErrorKind::InvalidInput, "{token:?}");
    }
}

const JSON: &str = "Content-Type: application/json";

fn change(path: &[&str], expected: &str) -> String {
    json!({ "file": "display.toml", "path": path, "expected": expected, "new": "\"5 ft\"" }).to_string()
}

#[tokio::test]
async fn an_edit_is_made_and_answered_with_what_was_changed() {
    let (address, _swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    let origin = format!("Origin: http://127.0.0.1:{}", address.port());
    let headers = [host.as_str(), &cookie, &origin, JSON];
    let right = change(&["figure", "fox", "height"], "\"4 ft\"");
    let (status, _, body) = send(address, "POST /edit", &headers, &right).await;
    assert_eq!(status, 200, "{body}");
    assert_eq!(serde_json::from_str::<Value>(&body).unwrap(), serde_json::from_str::<Value>(&right).unwrap());
    let old = change(&["figure", "fox", "height"], "\"3 ft\"");
    let (status, _, body) = send(address, "POST /edit", &headers, &old).await;
    assert_eq!((status, body.contains("it now says 4 ft")), (409, true), "{body}");
    let unknown = change(&["figure", "cat", "height"], "\"4 ft\"");
    assert_eq!(send(address, "POST /edit", &headers, &unknown).await.0, 404);
    for broken in ["{", "[]", "{\"file\":\"display.toml\"}"] {
        assert_eq!(send(address, "POST /edit", &headers, broken).await.0, 422, "{broken}");
    }
    // Reading is no way to change something.
    assert_eq!(ask(address, "/edit", &[&host, &cookie]).await.0, 405);
}

#[tokio::test]
async fn an_edit_from_elsewhere_without_the_token_or_in_another_dress_is_refused() {
    let (address, _swap) = start().await;
    let (host, cookie, port) = (host(address), cookie(address), address.port());
    let own = format!("Origin: http://127.0.0.1:{port}");
    let right = change(&["figure", "fox", "height"], "\"4 ft\"");
    let status = async |headers: &[&str]| send(address, "POST /edit", headers, &right).await.0;
    assert_eq!(status(&[&host, &cookie, &own, JSON]).await, 200);
    let wrong = format!("Cookie: lampwright-{port}=c0ffee0123456780");
    assert_eq!(status(&[&host, &wrong, &own, JSON]).await, 403);
    assert_eq!(status(&[&host, &own, JSON]).await, 403);
    // The token in the address opens the page and nothing else.
    let (status_with_token, _, _) =
        send(address, &format!("POST /edit?token={TOKEN}"), &[&host, &own, JSON], &right).await;
    assert_eq!(status_with_token, 403);
    // A browser always says where a POST comes from; who does not is none.
    assert_eq!(status(&[&host, &cookie, JSON]).await, 403);
    for foreign in
        ["http://example.org".to_owned(), "null".to_owned(), format!("http://127.0.0.1:{}", port ^ 1)]
    {
        assert_eq!(status(&[&host, &cookie, &format!("Origin: {foreign}"), JSON]).await, 403, "{foreign}");
    }
    let elsewhere = format!("Host: example.org:{port}");
    assert_eq!(status(&[&elsewhere, &cookie, &own, JSON]).await, 403);
    // What a form of a foreign page could send without being asked.
    for kind in ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"] {
        assert_eq!(status(&[&host, &cookie, &own, &format!("Content-Type: {kind}")]).await, 415, "{kind}");
    }
}

#[tokio::test]
async fn a_huge_edit_is_refused_before_it_is_read() {
    let (address, _swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    let own = format!("Origin: http://127.0.0.1:{}", address.port());
    let huge = change(&["figure", "fox", "height"], &"4".repeat(20_000));
    assert_eq!(send(address, "POST /edit", &[&host, &cookie, &own, JSON], &huge).await.0, 413);
    // Even one that is only announced.
    let announced = "Content-Length: 99999999999";
    assert_eq!(send(address, "POST /edit", &[&host, &cookie, &own, JSON, announced], "").await.0, 413);
}

/// Begun by the page alone, and looked at while it goes on.
#[tokio::test]
async fn a_rehearsal_is_begun_by_the_page_and_looked_at_afterwards() {
    let (address, _swap) = start().await;
    let (host, cookie) = (host(address), cookie(address));
    let origin = format!("Origin: http://127.0.0.1:{}", address.port());
    let own = [host.as_str(), origin.as_str(), cookie.as_str(), JSON];
    let look = async || ask(address, "/rehearsal.json", &[host.as_str(), cookie.as_str()]).await.2;
    assert_eq!(look().await, r#"{"is":"none"}"#);
    assert_eq!(send(address, "POST /rehearsal.json", &own, r#"{"patient":"1 ms"}"#).await.0, 422);
    assert_eq!(send(address, "POST /rehearsal.json", &own[..3], "{}").await.0, 415);
    let foreign = [host.as_str(), "Origin: http://elsewhere.test", cookie.as_str(), JSON];
    assert_eq!(send(address, "POST /rehearsal.json", &foreign, "{}").await.0, 403);
    assert_eq!(
        send(address, "POST /rehearsal.json", &[host.as_str(), origin.as_str(), JSON], "{}").await.0,
        403
    );
    assert_eq!(look().await, r#"{"is":"none"}"#, "what was refused begins nothing");
    let (status, _, body) = send(address, "POST /rehearsal.json", &own, "{}").await;
    assert_eq!((status, body.as_str()), (202, r#"{"is":"running","over":0,"all":1}"#));
    assert_eq!(look().await, body);
}

#[tokio::test]
async fn constants_are_tried_by_the_page_alone() {
    let (address, _swap) = start().await;
    let own = |more: &'static str| {
        let headers = [
            format!("Host: {address}"),
            format!("Origin: http://{address}"),
            format!("Cookie: lampwright-{}={TOKEN}", address.port()),
            more.to_owned(),
        ];
        headers.to_vec()
    };
    let post = async |headers: Vec<String>, body: &str| {
        let lines: Vec<&str> = headers.iter().map(String::as_str).collect();
        send(address, "POST /tried", &lines, body).await
    };
    let (status, _, body) = post(own(JSON), r#"{"patient":"600 ms"}"#).await;
    assert_eq!(status, 200);
    assert_eq!(
        serde_json::from_str::<Value>(&body).unwrap(),
        json!({ "form": { "patient": "600 ms" }, "faults": [] })
    );
    assert_eq!(post(own(JSON), r#"{"hasty":"600 ms"}"#).await.0, 404);
    assert_eq!(post(own(JSON), r#"["patient"]"#).await.0, 422);
    assert_eq!(post(own("Content-Type: text/plain"), r#"{"patient":"600 ms"}"#).await.0, 415);
    let foreign = vec![format!("Host: {address}"), "Origin: http://elsewhere.test".into(), JSON.into()];
    assert_eq!(post(foreign, r#"{"patient":"600 ms"}"#).await.0, 403);
}
