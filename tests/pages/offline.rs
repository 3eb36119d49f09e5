//! The apprentice's phone in a shed without a network: what was opened before is there, marked with its day, and never
//! a mixture of two builds. The site stands under a sub-path of a small server on this computer, which browsers trust as
//! they trust https.

use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use benchleaf::book::Book;
use benchleaf::check_shop_on;
use benchleaf::date::{AsOf, Date};
use benchleaf::site::{Press, Templates};
use benchleaf::text::{Folder, Memory, Source};
use headless_chrome::Tab;

use crate::{ask, open_url, with_tab};

/// Where the site stands on its server.
const BELOW: &str = "/shops/wren/";

/// What the server does now.
#[derive(Clone)]
struct Serves {
    site: PathBuf,
    /// No answer at all, as without a network.
    gone: bool,
    /// No answer for this page.
    without: Option<&'static str>,
    header: &'static str,
}

/// A server of files.
struct Server {
    port: u16,
    serves: Arc<Mutex<Serves>>,
}

impl Server {
    fn begin(site: &Path) -> Server {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = listener.local_addr().expect("its number").port();
        let serves = Arc::new(Mutex::new(Serves {
            site: site.to_owned(),
            gone: false,
            without: None,
            header: "Cache-Control: max-age=600\r\n",
        }));
        let now = Arc::clone(&serves);
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let now = Arc::clone(&now);
                std::thread::spawn(move || answer(stream, &now));
            }
        });
        Server { port, serves }
    }

    fn set(&self, change: impl FnOnce(&mut Serves)) {
        change(&mut self.serves.lock().expect("the server"));
    }

    fn page(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{BELOW}{path}", self.port)
    }
}

fn answer(stream: TcpStream, serves: &Mutex<Serves>) -> Option<()> {
    let mut reader = BufReader::new(stream.try_clone().ok()?);
    let mut first = String::new();
    reader.read_line(&mut first).ok()?;
    let mut line = String::new();
    while reader.read_line(&mut line).ok()? > 2 {
        line.clear();
    }
    let now = serves.lock().ok()?.clone();
    let path = first.split_whitespace().nth(1)?.split('?').next()?.strip_prefix(BELOW)?.to_owned();
    let path = if path.is_empty() || path.ends_with('/') { path + "index.html" } else { path };
    if now.gone || now.without == Some(path.as_str()) {
        return None;
    }
    let kind = match path.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("svg") => "image/svg+xml",
        _ => "application/json",
    };
    let (status, bytes) = match std::fs::read(now.site.join(&path)) {
        Ok(bytes) => ("200 OK", bytes),
        // As a server of pages does, at any depth.
        Err(_) if kind.starts_with("text/html") => {
            ("404 Not Found", std::fs::read(now.site.join("404.html")).unwrap_or_else(|_| b"none".to_vec()))
        }
        Err(_) => ("404 Not Found", b"none".to_vec()),
    };
    let mut stream = stream;
    let (header, long) = (now.header, bytes.len());
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\n{header}Content-Length: {long}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(&bytes).ok()
}

/// The small shop's site as of a day, one text replaced.
fn site(name: &str, day: &str, old: &str, new: &str) -> PathBuf {
    let shop = Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain") };
    let (paths, _) = shop.list();
    let files = paths.into_iter().map(|path| {
        let text = String::from_utf8(shop.read(&path).expect("a source")).expect("text");
        (path, text.replace(old, new).into_bytes())
    });
    let source = Memory { files: files.collect() };
    let day = Date::read(day).expect("a day");
    let checked = check_shop_on(&source, Some(AsOf { date: day, settled: true }));
    assert!(!checked.has_errors(), "{:?}", checked.findings);
    let book = Book::new(&checked);
    let press = Press::new(&book, Templates::new(&Default::default()).expect("the templates"));
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&out);
    for page in press.list() {
        let to = out.join(&page.path);
        std::fs::create_dir_all(to.parent().expect("inside")).expect("a folder");
        std::fs::write(to, press.render(page).expect("a page")).expect("written");
    }
    out
}

/// Waits until the device keeps the build of a site, with these pages and no other build.
fn until_kept(tab: &Tab, site: &Path, pages: &[&str]) {
    let edition: serde_json::Value =
        serde_json::from_slice(&std::fs::read(site.join("edition.json")).expect("there")).expect("JSON");
    let edition = edition["edition"].as_str().expect("a text");
    let pages = serde_json::to_string(pages).expect("texts");
    let script = format!(
        "caches.keys().then(async names => {{
           const stores = names.filter(name => / [0-9a-f]{{64}}$/.test(name));
           if (stores.length !== 1 || !stores[0].endsWith('{edition}') || names.length !== 2) return 'stores: ' + names;
           const kept = (await (await caches.open(stores[0])).keys()).map(request => request.url);
           const lack = {pages}.filter(page => !kept.some(url => url.endsWith(page)));
           return lack.length ? 'lacks ' + lack + ' has ' + kept : 'kept';
         }})"
    );
    let begun = Instant::now();
    loop {
        let said = ask(tab, &script);
        if said == "kept" {
            return;
        }
        assert!(begun.elapsed() < Duration::from_secs(60), "{said}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// What a typed code is answered.
fn typed(tab: &Tab, server: &Server, code: &str) -> String {
    open_url(tab, &server.page("codes.html"));
    ask(
        tab,
        &format!(
            "(field => {{ field.value = '{code}'; field.dispatchEvent(new Event('input')); return document.getElementById('code-said').textContent }})(document.getElementById('code'))"
        ),
    )
}

fn text(tab: &Tab) -> String {
    ask(tab, "document.body.textContent.replace(/\\s+/g, ' ')")
}

const FORK: &str = "forks/tarn-41.html";
const WORK: &str = "forks/tarn-41/full-service.html";
const CARD: &str = "cards/tarn-41--full-service.html";

#[test]
fn what_was_opened_is_there_without_a_network_and_says_its_day() {
    let first = site("offline-first", "2026-03-02", "no such text", "");
    let server = Server::begin(&first);
    with_tab(|tab| {
        open_url(tab, &server.page("index.html"));
        until_kept(tab, &first, &["/index.html", "/codes.html", "/assets/card-codes.js"]);
        open_url(tab, &server.page(FORK));
        until_kept(tab, &first, &[FORK, WORK, CARD]);
        let code = released_code(&first);
        assert!(typed(tab, &server, &code).starts_with("Current. "), "{}", text(tab));
        assert!(!text(tab).contains("Kept on this device"));

        server.set(|now| now.gone = true);
        for page in [FORK, WORK, CARD, "index.html", ""] {
            open_url(tab, &server.page(page));
            assert!(text(tab).contains("Kept on this device, as of 2026-03-02."), "{page}: {}", text(tab));
        }
        let said = typed(tab, &server, &code);
        assert!(said.starts_with("As of 2026-03-02. "), "{said}");
        assert!(!said.contains("urrent"), "{said}");
        let heads = ask(tab, "[...document.querySelectorAll('h2')].map(h => h.textContent).join('|')");
        assert!(heads.starts_with("As of 2026-03-02|"), "{heads}");
        assert!(typed(tab, &server, "0000-0000").starts_with("Unknown. As of 2026-03-02, "), "{}", text(tab));
        // On paper as well, on both sides, and still on one sheet.
        open_url(tab, &server.page(CARD));
        let marks = ask(
            tab,
            "[...document.querySelectorAll('.card b')].filter(b => b.textContent.startsWith('Kept, as of 2026-03-02')).length",
        );
        assert_eq!(marks, "2");
        for (_, paper) in crate::cards::PAPERS {
            assert_eq!(crate::print(tab, paper).get_pages().len(), 2);
        }
        // What was never opened says so, and leads on.
        open_url(tab, &server.page("oils/index.html"));
        assert!(text(tab).contains("This page is not kept on this device"), "{}", text(tab));
        ask(tab, "document.querySelector('a.go').click()");
        tab.wait_for_element("#q").expect("the search");
        // The network goes first again as soon as it is there.
        server.set(|now| now.gone = false);
        assert!(typed(tab, &server, &code).starts_with("Current. "));
    });
}

/// The code of the small shop's card, as its page says it.
fn released_code(site: &Path) -> String {
    let page = std::fs::read_to_string(site.join(CARD)).expect("the card");
    let code = page.split("<span>card</span> ").nth(1).and_then(|rest| rest.split('<').next());
    code.expect("a code").to_owned()
}

#[test]
fn a_new_build_replaces_all_that_is_kept_or_nothing() {
    let first = site("offline-old", "2026-03-02", "no such text", "");
    let second = site("offline-new", "2026-04-05", "65 N·m (48 lbf·ft)", "66 N·m (49 lbf·ft)");
    let server = Server::begin(&first);
    let axle = |tab: &Tab, page: &str| {
        open_url(tab, &server.page(page));
        let text = text(tab);
        (text.contains("65 N·m"), text.contains("66 N·m"), text.contains("as of 2026-04-05"))
    };
    with_tab(|tab| {
        open_url(tab, &server.page("index.html"));
        open_url(tab, &server.page(FORK));
        until_kept(tab, &first, &[FORK, WORK]);

        // A page of the old build cannot be had while the new one is taken: what was kept stays, all of it.
        server.set(|now| (now.site, now.without) = (second.clone(), Some(WORK)));
        open_url(tab, &server.page("index.html"));
        std::thread::sleep(Duration::from_millis(500));
        until_kept_or_old(tab, &first);
        server.set(|now| now.gone = true);
        assert_eq!(axle(tab, FORK), (true, false, false));

        // With all pages there, opening any page replaces all.
        server.set(|now| (now.gone, now.without) = (false, None));
        open_url(tab, &server.page("index.html"));
        until_kept(tab, &second, &[FORK, WORK, CARD]);
        server.set(|now| now.gone = true);
        assert_eq!(axle(tab, FORK), (false, true, true));
        assert_eq!(axle(tab, WORK), (false, true, true));

        // What is served as a working copy is not kept, and takes nothing along.
        server.set(|now| (now.gone, now.header) = (false, "Cache-Control: no-store\r\n"));
        open_url(tab, &server.page("index.html"));
        let begun = Instant::now();
        while ask(tab, "caches.keys().then(names => names.length)") != "0" {
            assert!(begun.elapsed() < Duration::from_secs(60));
            std::thread::sleep(Duration::from_millis(50));
        }
    });
}

/// The kept build is still that of the site.
fn until_kept_or_old(tab: &Tab, site: &Path) {
    let edition = std::fs::read_to_string(site.join("edition.json")).expect("there");
    let kept = ask(
        tab,
        "caches.keys().then(names => caches.open(names.find(name => !/[0-9a-f]{64}$/.test(name)))).then(desk => desk.keys().then(keys => desk.match(keys[0]))).then(answer => answer.json()).then(held => held.edition)",
    );
    assert!(edition.contains(&kept) && kept.len() == 64, "{kept}");
}

/// A kept link leads nowhere any more, at any depth of a site under a sub-path whose shop says no address.
#[test]
fn the_page_for_a_lost_address_leads_back_to_the_site() {
    let site = site("lost", "2026-04-02", "\u{1}", "");
    let page = std::fs::read_to_string(site.join("404.html")).expect("the page");
    assert!(page.contains("assets/lost.js"), "this shop says an address: {page}");
    let server = Server::begin(&site);
    with_tab(|tab| {
        for lost in ["gone.html", "forks/gone.html", "forks/gone/deep/full-service.html"] {
            open_url(tab, &server.page(lost));
            let link = "[...document.querySelectorAll('main a')].pop()";
            let wait = format!(
                "new Promise(done => {{ const look = n => document.documentElement.hasAttribute('data-root') || !n ? done({link}.href) : setTimeout(look, 25, n - 1); look(200); }})"
            );
            assert_eq!(ask(tab, &wait), server.page("index.html"), "{lost}");
            assert_eq!(
                ask(
                    tab,
                    "[...document.styleSheets].some(s => s.href && s.href.endsWith('shops/wren/assets/style.css'))"
                ),
                "true",
                "{lost}"
            );
        }
    });
}
