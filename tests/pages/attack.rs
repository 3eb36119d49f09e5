//! The pages of a shop in which every text is hostile, read by an independent parser and opened in a real browser from
//! files and from a server.

use std::io::{Read, Write};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::Command;

use benchleaf::text::Memory;

use crate::hostile_words::{WORDS, attack};
use crate::{KINDS, ask, open_in, open_url, render, size, with_tab};

/// A server of files for as long as the test runs; its address.
fn serve(site: PathBuf) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", listener.local_addr().expect("an address"));
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let Ok(mut stream) = stream else { continue };
            let mut head = [0; 8192];
            let length = stream.read(&mut head).unwrap_or(0);
            let head = String::from_utf8_lossy(&head[..length]).into_owned();
            let path = head.split_whitespace().nth(1).unwrap_or("/").split(['?', '#']).next().unwrap_or("/");
            let file = site.join(path.trim_start_matches('/'));
            let kind = match file.extension().and_then(|ending| ending.to_str()) {
                Some("css") => "text/css",
                Some("js") => "text/javascript",
                Some("svg") => "image/svg+xml",
                Some("json") => "application/json",
                _ => "text/html; charset=utf-8",
            };
            let (status, body) =
                std::fs::read(file).map_or(("404 Not Found", Vec::new()), |body| ("200 OK", body));
            let head = format!(
                "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
                body.len()
            );
            let _ = stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(&body));
        }
    });
    address
}

/// An independent parser finds nothing on the pages but what a page may hold.
fn is_valid(pages: &[PathBuf]) {
    let node = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/node");
    let done = Command::new("node")
        .arg("html.mjs")
        .args(pages)
        .current_dir(node)
        .output()
        .expect("node is installed");
    assert!(
        done.status.success(),
        "{}{}",
        String::from_utf8_lossy(&done.stdout),
        String::from_utf8_lossy(&done.stderr)
    );
}

/// Puts a script into the page that its policy must not let run; tells whether it ran and what the policy said.
const BLOCKED: &str = "new Promise(done => {
    let said = 'nothing';
    document.addEventListener('securitypolicyviolation', event => { said = event.effectiveDirective; });
    const script = document.createElement('script');
    script.textContent = 'window.hacked = 1';
    document.body.append(script);
    setTimeout(() => done(String(window.hacked) + ' ' + said), 200);
})";

/// Elements and attributes that no page has.
const FOREIGN: &str = "String([...document.querySelectorAll('script:not([src]), img:not([src*=\"/pictures/\"]), iframe, object, [onerror], [onload], \
    [onclick], a[href^=\"javascript:\"], a[href^=\"data:\"]')].length)";

#[test]
fn no_hostile_text_is_more_than_text_in_a_browser() {
    // Markup is what a browser would act on; marks and lines are held to their parsers in the tests of outputs.
    for (name, words) in WORDS.into_iter().filter(|(name, _)| *name == "markup") {
        let attack = attack(words);
        assert!(attack.places.len() > 50, "{name}: {:?}", attack.places);
        let (site, _) = render(&Memory { files: attack.files }, &format!("pages-attack-{name}"));
        // The shop's own maker names are among the hostile texts, and a page is named after them.
        let pages: Vec<PathBuf> =
            KINDS.iter().map(|kind| site.join(kind)).filter(|page| page.exists()).collect();
        assert!(pages.len() + 2 >= KINDS.len(), "{pages:?}");
        is_valid(&pages);
        let address = serve(site.clone());
        with_tab(|tab| {
            size(tab, 390, 844);
            for page in &pages {
                let inner = page.strip_prefix(&site).expect("inside").to_str().expect("text");
                for by_server in [false, true] {
                    if by_server {
                        open_url(tab, &format!("{address}/{inner}"));
                    } else {
                        open_in(tab, &site, inner);
                    }
                    assert_eq!(ask(tab, "String(window.hacked)"), "undefined", "{name}: {inner}");
                    assert_eq!(ask(tab, FOREIGN), "0", "{name}: {inner}");
                    let blocked = ask(tab, BLOCKED);
                    assert!(blocked.starts_with("undefined script-src"), "{name}: {inner}: {blocked}");
                }
            }
        });
    }
}
