//! A shop seen while it is written: watched, checked and made in memory, and served to this computer or, where it is
//! asked for, to the shop's network. Nothing is written.

mod edition;
mod gate;
mod http;
mod looks;
mod marks;
mod seen;
mod watch;

use std::net::{Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use crate::diagnostic::Finding;
use crate::text::Files;
use http::Limits;
use looks::{Found, Looks};
use seen::Seen;
use watch::Watching;

/// How often is looked whether a folder that was watched is still there.
const LOOK: Duration = Duration::from_secs(1);

/// How long nothing may have changed before anything is shown, since an editor writes in several turns; and how long is
/// waited for that at most, or how many looks are taken, whichever is more.
const TURN: Duration = Duration::from_millis(30);
const TURNS: Duration = Duration::from_millis(300);
const LOOKS: u32 = 3;

/// How long is waited before the first look: a file that is written over is empty for a moment.
const BREATH: Duration = Duration::from_millis(5);

/// What is asked for.
#[derive(Debug, Clone)]
pub struct Asked {
    /// The shop's folder.
    pub shop: PathBuf,
    /// The port; 0: one that is free.
    pub port: u16,
    /// Whether other computers of the network may look.
    pub network: bool,
}

/// What a person at the terminal is told.
#[derive(Debug)]
pub enum Event<'e> {
    /// It is served at these addresses; the second is for other computers of the network.
    Serving {
        /// For this computer.
        here: String,
        /// For a tablet at the bench.
        network: Option<String>,
    },
    /// The shop was read and checked.
    Checked {
        /// What was found.
        findings: &'e [Finding],
        /// The sources.
        files: &'e Files,
        /// Whether the pages are those of these sources; else the last good ones stay.
        shown: bool,
    },
    /// The shop's folder is not there.
    Gone,
    /// The system does not tell of changes; it is looked for them instead.
    Unwatched(String),
}

/// Serves a shop until the program is ended. `tell` hears what a person should know.
///
/// # Errors
/// Why it could not begin: one sentence.
pub fn serve(asked: &Asked, mut tell: impl FnMut(Event<'_>)) -> Result<(), String> {
    let listener = listen(asked)?;
    let at = listener.local_addr().map_err(|error| format!("cannot tell the port: {error}"))?;
    let (seen, receiver) = tokio::sync::watch::channel(Arc::new(Seen::default()));
    let (sender, changes) = channel();
    let mut watching = Watching::begin(&asked.shop, sender);
    if let Some(why) = watching.trouble() {
        tell(Event::Unwatched(why));
    }
    let mut looks = Looks::new(asked.shop.clone());
    let found = looks.at_shop();
    show(found, &mut looks, &seen, &mut tell);
    http::begin(listener, receiver, asked.network, Limits::default())?;
    tell(Event::Serving {
        here: format!("http://localhost:{}/", at.port()),
        network: asked.network.then(|| format!("http://{}:{}/", own_address(), at.port())),
    });
    loop {
        match changes.recv_timeout(LOOK) {
            Err(RecvTimeoutError::Timeout) if !watching.look() => continue,
            _ => follow(&mut looks, &changes, &seen, &mut tell),
        }
    }
}

/// Looks at the shop after a change. An editor writes in several turns: what changed again while it was looked at is not
/// shown, but looked at once more, a few times at most.
fn follow(
    looks: &mut Looks,
    changes: &Receiver<()>,
    seen: &tokio::sync::watch::Sender<Arc<Seen>>,
    tell: &mut impl FnMut(Event<'_>),
) {
    let begun = Instant::now();
    for look in 1.. {
        std::thread::sleep(BREATH);
        changes.try_iter().for_each(drop);
        let changed = Instant::now();
        let found = looks.at_shop();
        let again = look < LOOKS || begun.elapsed() < TURNS;
        if again && changes.recv_timeout(TURN.saturating_sub(changed.elapsed())).is_ok() {
            continue;
        }
        return show(found, looks, seen, tell);
    }
}

fn listen(asked: &Asked) -> Result<TcpListener, String> {
    let to = if asked.network { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
    TcpListener::bind(SocketAddr::from((to, asked.port))).map_err(|error| match error.kind() {
        std::io::ErrorKind::AddrInUse => format!(
            "port {} is in use, perhaps by another `benchleaf serve`: end that, or name another with `--port`; 0 takes one that is free",
            asked.port
        ),
        _ => format!("cannot serve at port {}: {error}", asked.port),
    })
}

/// This computer's address in the network. Nothing is sent: the system only says from where it would be.
/// The address asked about is one that RFC 5737 keeps for documents.
fn own_address() -> std::net::IpAddr {
    let ask = || {
        let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
        socket.local_addr().ok().map(|address| address.ip())
    };
    ask().unwrap_or(Ipv4Addr::LOCALHOST.into())
}

/// Lets the pages follow what was found.
fn show(
    found: Found,
    looks: &mut Looks,
    seen: &tokio::sync::watch::Sender<Arc<Seen>>,
    tell: &mut impl FnMut(Event<'_>),
) {
    let before = Arc::clone(&seen.borrow());
    let (digest, checked, edition) = match found {
        Found::Same => return,
        Found::Gone if before.gone => return,
        Found::Gone => {
            looks.show(None);
            seen.send_replace(Arc::new(before.without_folder()));
            return tell(Event::Gone);
        }
        Found::Checked(digest, checked, edition) => (digest, Arc::new(*checked), edition),
    };
    looks.show(Some(digest));
    let shown = edition.is_some();
    let after = match edition {
        Some(edition) => before.good(&checked, edition),
        None => before.bad(&checked),
    };
    seen.send_replace(Arc::new(after));
    tell(Event::Checked { findings: &checked.findings, files: &checked.files, shown });
}
