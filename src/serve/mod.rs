//! A shop seen while it is written: watched, checked and made in memory, and served to this computer or, where it is
//! asked for, to the shop's network. Nothing is written.

mod edition;
mod gate;
mod http;
mod marks;
mod seen;
mod watch;

use std::net::{Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use crate::diagnostic::Finding;
use crate::output::Digest;
use crate::pipeline::{Checked, Memory, check_again, read_shop};
use crate::text::{Files, Folder, last_commit};
use edition::Edition;
use http::Limits;
use seen::Seen;
use watch::Watching;

/// How often is looked whether a folder that was watched is still there.
const LOOK: Duration = Duration::from_secs(1);

/// How long is waited for more: an editor writes in several turns; and how long at most.
const TURN: Duration = Duration::from_millis(30);
const TURNS: Duration = Duration::from_millis(300);

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
    let mut last = (None, Memory::default());
    renew(&asked.shop, &mut last, &seen, &mut tell);
    http::begin(listener, receiver, asked.network, Limits::default())?;
    tell(Event::Serving {
        here: format!("http://localhost:{}/", at.port()),
        network: asked.network.then(|| format!("http://{}:{}/", own_address(), at.port())),
    });
    loop {
        match changes.recv_timeout(LOOK) {
            Ok(()) => settle(&changes),
            Err(RecvTimeoutError::Timeout) if !watching.look() => continue,
            Err(_) => {}
        }
        renew(&asked.shop, &mut last, &seen, &mut tell);
    }
}

/// Waits until nothing more changes.
fn settle(changes: &Receiver<()>) {
    let begun = Instant::now();
    while begun.elapsed() < TURNS && changes.recv_timeout(TURN).is_ok() {}
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

/// Reads and checks the shop anew, where anything in it has changed, and lets the pages follow.
fn renew(
    shop: &Path,
    (last, memory): &mut (Option<Digest>, Memory),
    seen: &tokio::sync::watch::Sender<Arc<Seen>>,
    tell: &mut impl FnMut(Event<'_>),
) {
    let before = Arc::clone(&seen.borrow());
    if !shop.is_dir() {
        if !before.gone {
            *last = None;
            seen.send_replace(Arc::new(before.without_folder()));
            tell(Event::Gone);
        }
        return;
    }
    let sources = read_shop(&Folder { root: shop.to_path_buf() }, last_commit(shop));
    let texts = sources
        .files()
        .iter()
        .flat_map(|(_, file)| [file.path.as_bytes(), file.text.as_bytes(), file.seal.as_bytes()]);
    let digest = Digest::of_parts(texts);
    if last.replace(digest) == Some(digest) && sources.whole() {
        return;
    }
    let mut checked = check_again(sources, memory);
    let edition = if checked.has_errors() { None } else { edition_of(&mut checked) };
    let shown = edition.is_some();
    let checked = Arc::new(checked);
    let after = match edition {
        Some(edition) => before.good(&checked, edition),
        None => before.bad(&checked),
    };
    seen.send_replace(Arc::new(after));
    tell(Event::Checked { findings: &checked.findings, files: &checked.files, shown });
}

/// The pages of a shop without an error; `None`, and the findings told, where its own templates are wrong.
fn edition_of(checked: &mut Checked) -> Option<Arc<Edition>> {
    match crate::site::shop_templates(&checked.files) {
        Ok(templates) => Some(Arc::new(Edition::new(templates))),
        Err(found) => {
            checked.findings.extend(found);
            checked.findings =
                crate::diagnostic::order(std::mem::take(&mut checked.findings), &checked.files);
            None
        }
    }
}
