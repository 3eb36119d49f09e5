//! Answers what a browser asks. Only what is in memory is handed out: no request leads to a file.

use std::convert::Infallible;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::sync::{Semaphore, watch};
use tokio::time::timeout;
use tokio_stream::StreamExt;
use tokio_stream::wrappers::WatchStream;

use super::edition::Made;
use super::gate::{host_is_ours, origin_is_ours};
use super::marks::{EVENTS, PROGRAM, SCRIPT, STYLE, dressed, no_page, style};
use super::seen::Seen;

/// What a client may take.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Connections at a time; whoever comes after waits.
    connections: usize,
    /// Until a request has come whole.
    request: Duration,
    /// A whole connection, also of a client that never reads; a browser comes again by itself.
    connection: Duration,
    /// Making one page.
    page: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        let seconds = Duration::from_secs;
        Limits { connections: 128, request: seconds(10), connection: seconds(120), page: seconds(60) }
    }
}

/// What requests are answered from.
#[derive(Clone)]
struct Desk {
    seen: watch::Receiver<Arc<Seen>>,
    port: u16,
    network: bool,
    limits: Limits,
}

/// Begins to answer, in a thread of its own.
pub(super) fn begin(
    listener: TcpListener,
    seen: watch::Receiver<Arc<Seen>>,
    network: bool,
    limits: Limits,
) -> Result<(), String> {
    let failed = |error: std::io::Error| format!("cannot serve: {error}");
    let port = listener.local_addr().map_err(failed)?.port();
    listener.set_nonblocking(true).map_err(failed)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(failed)?;
    let desk = Desk { seen, port, network, limits };
    std::thread::spawn(move || runtime.block_on(accept(listener, desk)));
    Ok(())
}

async fn accept(listener: TcpListener, desk: Desk) {
    let Ok(listener) = tokio::net::TcpListener::from_std(listener) else { return };
    let limits = desk.limits;
    let router = Router::new().fallback(answer).with_state(desk);
    let slots = Arc::new(Semaphore::new(limits.connections));
    while let Ok(slot) = Arc::clone(&slots).acquire_owned().await {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, or a client that has gone already.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let connection = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(limits.request)
                .max_buf_size(64 << 10)
                .serve_connection(TokioIo::new(stream), service);
            // Whatever became of it, it is over.
            let _ = timeout(limits.connection, connection).await;
            drop(slot);
        });
    }
}

async fn answer(State(desk): State<Desk>, request: Request<Body>) -> Response {
    let (parts, _) = request.into_parts();
    let mut response = answer_plainly(&desk, &parts).await;
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (header::HeaderName::from_static("x-frame-options"), "SAMEORIGIN"),
    ] {
        headers.insert(name, header::HeaderValue::from_static(value));
    }
    response
}

async fn answer_plainly(desk: &Desk, request: &Parts) -> Response {
    let head = |name| text_of(&request.headers, name);
    let host = head(header::HOST);
    if !host_is_ours(host, desk.port, desk.network) {
        return refused(StatusCode::MISDIRECTED_REQUEST, "This address is not served here.");
    }
    if !origin_is_ours(head(header::ORIGIN), host.unwrap_or("")) {
        return refused(StatusCode::FORBIDDEN, "A page of another site may not read this one.");
    }
    if ![Method::GET, Method::HEAD].contains(&request.method) {
        return refused(StatusCode::METHOD_NOT_ALLOWED, "Pages can be read, and nothing else.");
    }
    let path = request.uri.path().trim_start_matches('/');
    match path {
        EVENTS => events(desk),
        SCRIPT => typed("page.js", PROGRAM.to_owned().into_bytes()),
        STYLE => {
            let query = request.uri.query().unwrap_or("");
            let of = url::form_urlencoded::parse(query.as_bytes()).find(|(key, _)| key == "of");
            let seen = Arc::clone(&desk.seen.borrow());
            typed("page.css", style(&of.map(|(_, of)| of).unwrap_or_default(), &seen).into_bytes())
        }
        _ => page(desk, path).await,
    }
}

/// A header, where it stands once and is text.
fn text_of(headers: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        // Said twice, it says nothing that could be trusted.
        (Some(one), None) => Some(one.to_str().unwrap_or("unreadable")),
        (Some(_), Some(_)) => Some("twice"),
        _ => None,
    }
}

async fn page(desk: &Desk, path: &str) -> Response {
    let seen = Arc::clone(&desk.seen.borrow());
    let path =
        if path.is_empty() || path.ends_with('/') { format!("{path}index.html") } else { path.to_owned() };
    let Some(edition) = &seen.edition else {
        return html(StatusCode::SERVICE_UNAVAILABLE, no_page(&seen));
    };
    match timeout(desk.limits.page, edition.page(path.clone())).await {
        Ok(Made::Page(bytes)) => match std::str::from_utf8(&bytes) {
            Ok(text) if path.ends_with(".html") => html(StatusCode::OK, dressed(text, &path, &seen)),
            _ => typed(&path, bytes.to_vec()),
        },
        Ok(Made::Nothing) => match edition.page("404.html".to_owned()).await {
            Made::Page(bytes) => {
                html(StatusCode::NOT_FOUND, dressed(&String::from_utf8_lossy(&bytes), "404.html", &seen))
            }
            _ => refused(StatusCode::NOT_FOUND, "There is no such page."),
        },
        Ok(Made::Fault(why)) => {
            refused(StatusCode::INTERNAL_SERVER_ERROR, &format!("This page cannot be made: {why}"))
        }
        Err(_) => {
            refused(StatusCode::SERVICE_UNAVAILABLE, "This page is not finished: a template loops or grows.")
        }
    }
}

/// Tells of each change. A client that does not read misses what came between, and nothing is kept for it.
fn events(desk: &Desk) -> Response {
    let told = WatchStream::new(desk.seen.clone())
        .map(|seen| Ok::<Event, Infallible>(Event::default().event("seen").data(seen.number.to_string())));
    Sse::new(told).keep_alive(KeepAlive::default()).into_response()
}

fn html(status: StatusCode, text: String) -> Response {
    (status, [(header::CONTENT_TYPE, "text/html; charset=utf-8")], text).into_response()
}

fn refused(status: StatusCode, why: &str) -> Response {
    (status, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], format!("{why}\n")).into_response()
}

/// A file as what its name says.
fn typed(path: &str, bytes: Vec<u8>) -> Response {
    const KINDS: [(&str, &str); 7] = [
        (".html", "text/html; charset=utf-8"),
        (".css", "text/css; charset=utf-8"),
        (".js", "text/javascript; charset=utf-8"),
        (".svg", "image/svg+xml"),
        (".json", "application/json"),
        (".png", "image/png"),
        (".jpg", "image/jpeg"),
    ];
    let kind = KINDS.iter().find(|(ending, _)| path.ends_with(ending)).map(|(_, kind)| *kind);
    ([(header::CONTENT_TYPE, kind.unwrap_or("application/octet-stream"))], bytes).into_response()
}

#[cfg(test)]
mod tests {
    use std::io::{Read, Write};
    use std::net::TcpStream;

    use super::*;

    /// A server with nothing to show, and short limits.
    fn server(connections: usize) -> (u16, watch::Sender<Arc<Seen>>) {
        let (sender, seen) = watch::channel(Arc::new(Seen::default()));
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = listener.local_addr().unwrap().port();
        let short = Duration::from_millis(300);
        let limits = Limits { connections, request: short, connection: 3 * short, page: short };
        begin(listener, seen, false, limits).unwrap();
        (port, sender)
    }

    fn client(port: u16) -> TcpStream {
        let client = TcpStream::connect(("127.0.0.1", port)).unwrap();
        client.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        client
    }

    fn ask(port: u16, request: &str) -> String {
        let mut client = client(port);
        client.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        client.read_to_string(&mut answer).unwrap();
        answer
    }

    fn get(port: u16, path: &str, more: &str) -> String {
        ask(
            port,
            &format!("GET {path} HTTP/1.1\r\nHost: localhost:{port}\r\nConnection: close\r\n{more}\r\n"),
        )
    }

    #[test]
    fn foreign_hosts_origins_methods_and_paths_are_refused() {
        let (port, _sender) = server(8);
        assert!(get(port, "/", "").contains("503 Service Unavailable"), "there is no page yet");
        let foreign = format!("GET / HTTP/1.1\r\nHost: bench.example:{port}\r\nConnection: close\r\n\r\n");
        assert!(ask(port, &foreign).starts_with("HTTP/1.1 421"));
        let twice = format!(
            "GET / HTTP/1.1\r\nHost: localhost:{port}\r\nHost: b.example\r\nConnection: close\r\n\r\n"
        );
        assert!(!ask(port, &twice).starts_with("HTTP/1.1 200"));
        assert!(get(port, "/", "Origin: http://evil.example\r\n").starts_with("HTTP/1.1 403"));
        let post = format!(
            "POST / HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
        );
        assert!(ask(port, &post).starts_with("HTTP/1.1 405"));
        for path in
            ["/../../etc/passwd", "/..%2f..%2fetc/passwd", "/.git/config", "/specs/shop.yaml", "//etc/passwd"]
        {
            let answer = get(port, path, "");
            assert!(!answer.contains("root:") && !answer.starts_with("HTTP/1.1 200"), "{path}: {answer}");
        }
        assert!(ask(port, "\u{0}\u{1}garbage\r\n\r\n").starts_with("HTTP/1.1 400"));
    }

    /// As many clients as are let in at a time do nothing, or half a request, or never read; the next is answered
    /// all the same, once they are sent away.
    #[test]
    fn slow_half_open_and_deaf_clients_are_sent_away() {
        let (port, _sender) = server(3);
        let silent = client(port);
        let mut half = client(port);
        half.write_all(b"GET / HTTP/1.1\r\nHost: loc").unwrap();
        let mut deaf = client(port);
        let events = format!("GET /.live/events HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n");
        deaf.write_all(events.as_bytes()).unwrap();
        assert!(get(port, "/.live/page.js", "").contains("EventSource"));
        for mut client in [silent, half, deaf] {
            let mut left = Vec::new();
            // Ended by the server, in order or not.
            let _ = client.read_to_end(&mut left);
            assert!(left.len() < 4096);
        }
    }

    #[test]
    fn a_change_is_told_to_whoever_listens() {
        let (port, sender) = server(8);
        let mut listener = client(port);
        let events = format!("GET /.live/events HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n");
        listener.write_all(events.as_bytes()).unwrap();
        let mut heard = String::new();
        let mut bytes = [0; 1024];
        let mut hear = |until: &str| {
            while !heard.contains(until) {
                let read = listener.read(&mut bytes).unwrap();
                assert!(read > 0, "{heard}");
                heard.push_str(&String::from_utf8_lossy(&bytes[..read]));
            }
        };
        hear("data: 0");
        sender.send_replace(Arc::new(Seen { number: 7, ..Seen::default() }));
        hear("data: 7");
    }
}
