//! The shop lead writes a record with its page open beside it, and the apprentice has the page on a tablet.

#[allow(dead_code, reason = "shared by tests that each use a part of it")]
mod common;

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use common::ShopCopy;

const FORK: &str = "specs/forks/tarnholm-u41.yaml";
const PAGE: &str = "/forks/tarnholm-u41.html";
/// Until something that must come is given up, on a machine with much else to do.
const PATIENCE: Duration = Duration::from_secs(120);

/// A running `benchleaf serve`.
struct Serving {
    child: Child,
    lines: Receiver<String>,
    said: String,
    port: u16,
}

impl Serving {
    fn begin(shop: &Path, more: &[&str]) -> Serving {
        Serving::begin_at(shop, more)
    }

    /// Begins in a folder, which need not be the shop's.
    fn begin_at(folder: &Path, more: &[&str]) -> Serving {
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["serve", "--port", "0"])
            .args(more)
            .current_dir(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it begins");
        let out = child.stdout.take().expect("its words");
        let (sender, lines) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if sender.send(line).is_err() {
                    return;
                }
            }
        });
        let mut serving = Serving { child, lines, said: String::new(), port: 0 };
        let line = serving.until("The working copy is at ");
        let digits: String = line
            .split("localhost:")
            .nth(1)
            .expect("an address")
            .chars()
            .take_while(char::is_ascii_digit)
            .collect();
        serving.port = digits.parse().expect("a port");
        serving
    }

    /// Waits for a line of the terminal.
    fn until(&mut self, part: &str) -> String {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if let Ok(line) = self.lines.recv_timeout(Duration::from_millis(200)) {
                self.said.push_str(&line);
                self.said.push('\n');
                if line.contains(part) {
                    return line;
                }
            }
        }
        panic!("`{part}` was not said: {}", self.said);
    }

    fn ask(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("set");
        write!(stream, "GET {path} HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n", self.port)
            .expect("asked");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).expect("an answer");
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// Asks until the page holds a text.
    fn page_with(&self, path: &str, part: &str) -> String {
        let begun = Instant::now();
        loop {
            let page = self.ask(path);
            if page.contains(part) {
                return page;
            }
            assert!(begun.elapsed() < PATIENCE, "`{part}` never came: {page}");
            std::thread::sleep(Duration::from_millis(50));
        }
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// As many editors save: the new text under another name first, then renamed over the old.
fn save_by_renaming(shop: &ShopCopy, path: &str, text: &str) {
    let beside = shop.file(path).with_extension("tmp");
    std::fs::write(&beside, text).expect("written");
    std::fs::rename(beside, shop.file(path)).expect("renamed");
}

#[test]
fn a_save_is_seen_and_a_bad_one_leaves_the_last_good_page_marked() {
    let shop = ShopCopy::new();
    let before: Vec<_> = names(shop.path());
    let mut serving = Serving::begin(shop.path(), &[]);
    let good = serving.ask(PAGE);
    assert!(good.starts_with("HTTP/1.1 200") && good.contains("Working copy, not published."), "{good}");
    assert!(good.contains("id=\"oil.air_gap\"") && !good.contains("is-old"));
    let text = std::fs::read_to_string(shop.file(FORK)).expect("the record");
    let line = text.lines().find(|line| line.contains("stroke:")).expect("a line").to_owned();

    // A number without its unit: the last good page stays, and says so.
    save_by_renaming(&shop, FORK, &text.replace(&line, "  stroke: 122"));
    let bad =
        serving.page_with(PAGE, "Out of date: the record has an error. Numbers that changed are struck.");
    assert!(bad.contains("class=\"live-finding is-error\"") && bad.contains("id=\"oil.air_gap\""), "{bad}");
    serving.until("OUT OF DATE");
    let style = serving.ask("/.live/page.css?of=forks/tarnholm-u41.html");
    assert!(style.contains("tr[id=\"tubes.stroke\"] td") && style.contains("line-through"), "{style}");
    assert!(!style.contains("oil.air_gap\"] td"), "{style}");

    // Quick saves in turn end with the last one.
    for n in 0..20 {
        save_by_renaming(&shop, FORK, &text.replace(&line, &format!("  stroke: 12{n}")));
    }
    save_by_renaming(&shop, FORK, &text.replace("model: ", "model: New "));
    let new = serving.page_with(PAGE, "New ");
    assert!(!new.contains("Out of date: the record"), "{new}");

    // An editor that writes over a file leaves it cut for a moment: that is not shown.
    let told = serving.said.matches("OUT OF DATE").count();
    for n in 0..3 {
        let whole = text.replace("model: ", &format!("model: Whole{n} "));
        std::fs::write(shop.file(FORK), &whole[..whole.len() / 2]).expect("written");
        // Long enough for the first look to begin, and far shorter than it takes.
        std::thread::sleep(Duration::from_millis(15));
        std::fs::write(shop.file(FORK), &whole).expect("written");
        serving.page_with(PAGE, &format!("Whole{n} "));
        serving.until("The pages are up to date");
    }
    assert_eq!(serving.said.matches("OUT OF DATE").count(), told, "{}", serving.said);
    assert_eq!(names(shop.path()), before, "nothing is written");
}

/// Of what is worked out, only what says something else now is struck: a height without a unit takes the nut's table
/// along, and leaves that of the gap.
#[test]
fn a_bad_save_strikes_the_tables_that_changed_and_no_other() {
    let shop = ShopCopy::new();
    let serving = Serving::begin(shop.path(), &[]);
    let text = std::fs::read_to_string(shop.file(FORK)).expect("the record");
    let height = text.lines().find(|line| line.starts_with("  height:")).expect("a line").to_owned();
    save_by_renaming(&shop, FORK, &text.replace(&height, "  height: 11"));
    serving.page_with(PAGE, "<a href=\"#rod_nut.height\">");
    let style = serving.ask("/.live/page.css?of=cards/tarnholm-u41--full-service.html");
    assert!(style.contains("[data-key~=\"rod_nut.height\"] .corr td"), "{style}");
    assert!(!style.contains("[data-key~=\"oil.air_gap\"] .corr td"), "{style}");
}

/// Every file below a folder.
fn names(root: &Path) -> Vec<std::path::PathBuf> {
    walkdir::WalkDir::new(root)
        .sort_by_file_name()
        .into_iter()
        .map(|item| item.expect("listed").into_path())
        .collect()
}

#[test]
fn a_card_whose_code_is_not_released_prints_no_code() {
    let shop = ShopCopy::new();
    let card = "/cards/tarnholm-u41--full-service.html";
    let code = |page: &str| {
        page.split("<span>card</span> ").nth(1).and_then(|rest| rest.split('<').next()).map(str::to_owned)
    };
    let serving = Serving::begin(shop.path(), &[]);
    let released = serving.ask(card);
    let known = code(&released).expect("a code");
    assert!(released.contains("<b>Working copy, not published.</b>"), "{released}");
    let list = std::fs::read_to_string(shop.file("specs/released.yaml")).expect("the list");
    if list.contains(&known) {
        shop.write(
            "specs/released.yaml",
            &list
                .lines()
                .filter(|line| !line.contains(&known))
                .map(|line| format!("{line}\n"))
                .collect::<String>(),
        );
    }
    let bare = serving.page_with(card, "<span>card</span> none<");
    assert!(!bare.contains(&known) && !bare.contains("class=\"qr\""), "{bare}");
}

#[test]
fn a_folder_that_vanishes_is_told_and_one_that_comes_back_is_seen() {
    let shop = ShopCopy::new();
    let mut serving = Serving::begin(shop.path(), &[]);
    let away = shop.file("away");
    std::fs::rename(shop.file("specs"), &away).expect("moved");
    serving.page_with(PAGE, "Out of date");
    std::fs::rename(&away, shop.file("specs")).expect("moved back");
    serving.until("The pages are up to date.");
    let text = std::fs::read_to_string(shop.file(FORK)).expect("the record");
    save_by_renaming(&shop, FORK, &text.replace("model: ", "model: Late "));
    serving.page_with(PAGE, "Late ");
}

#[test]
fn what_cannot_be_served_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |arguments: &[&str]| {
        let done = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        (done.status.code(), String::from_utf8_lossy(&done.stderr).into_owned())
    };
    let (code, said) = run(&["serve"]);
    assert!(code == Some(2) && said.contains("holds no shop"), "{said}");
    assert_eq!(run(&["serve", "nowhere"]).0, Some(2));
    let shop = ShopCopy::new();
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("its number").port().to_string();
    let (code, said) = run(&["serve", shop.path().to_str().expect("a path"), "--port", &port]);
    assert!(code == Some(2) && said.contains(&format!("port {port} is in use")), "{said}");
}

/// A shop that has an error when it is first served has no page; its errors are told, and the page comes by itself.
#[test]
fn a_shop_with_an_error_from_the_beginning_says_what_to_mend() {
    let shop = ShopCopy::new();
    shop.replace("specs/forks/tarnholm-u45.yaml", "stroke: 122 mm", "stroke: 122");
    let serving = Serving::begin(shop.path(), &["--network"]);
    let none = serving.ask("/index.html");
    assert!(none.contains("There is no page yet") && none.contains("tarnholm-u45.yaml:"), "{none}");
    shop.replace("specs/forks/tarnholm-u45.yaml", "stroke: 122\n", "stroke: 122 mm\n");
    serving.page_with("/index.html", "Which fork is in this machine?");
}

/// A folder with far more files than a shop has: it is told, and the program goes on.
#[test]
fn a_folder_with_a_hundred_thousand_files_is_told() {
    let shop = ShopCopy::new();
    let many = shop.file("specs/many");
    std::fs::create_dir(&many).expect("a folder");
    for n in 0..100_001 {
        std::fs::write(many.join(format!("{n}.txt")), "").expect("written");
    }
    let serving = Serving::begin(shop.path(), &[]);
    let page = serving.ask("/index.html");
    assert!(page.contains("live-"), "{page}");
    std::fs::remove_dir_all(&many).expect("removed");
    serving.page_with("/index.html", "Which fork is in this machine?");
}

/// The whole folder of the shop goes, as when a stick is pulled out, and comes back.
#[test]
fn a_shop_that_goes_and_comes_back_is_told_and_seen_again() {
    let above = tempfile::tempdir().expect("a folder");
    let (here, away) = (above.path().join("shop"), above.path().join("away"));
    let shop = ShopCopy::of(&common::root().join("tests/shops/plain"));
    copy(shop.path(), &here);
    let mut serving = Serving::begin_at(above.path(), &["shop"]);
    assert!(serving.ask("/forks/tarn-41.html").starts_with("HTTP/1.1 200"));
    std::fs::rename(&here, &away).expect("moved");
    serving.until("is not there");
    serving.page_with("/forks/tarn-41.html", "the shop’s folder is not there");
    std::fs::rename(&away, &here).expect("moved back");
    serving.until("The pages are up to date.");
    let page = serving.ask("/forks/tarn-41.html");
    assert!(!page.contains("is not there"), "{page}");
    let path = here.join("specs/forks/tarn-41.yaml");
    let text = std::fs::read_to_string(&path).expect("the record");
    std::fs::write(&path, text.replace("model: T41", "model: T41 late")).expect("written");
    serving.page_with("/forks/tarn-41.html", "T41 late");
}

fn copy(from: &Path, to: &Path) {
    for item in walkdir::WalkDir::new(from) {
        let item = item.expect("a file");
        let there = to.join(item.path().strip_prefix(from).expect("inside"));
        match item.file_type().is_dir() {
            true => std::fs::create_dir_all(there).expect("a folder"),
            false => drop(std::fs::copy(item.path(), there).expect("a copy")),
        }
    }
}

/// Clients that ask for more and more and never read, and more that say nothing than are let in at a time: whoever
/// comes after is answered, once they are sent away.
#[test]
fn clients_that_never_read_or_never_ask_keep_nobody_out() {
    let shop = ShopCopy::of(&common::root().join("tests/shops/plain"));
    let serving = Serving::begin(shop.path(), &[]);
    let connect = || TcpStream::connect(("127.0.0.1", serving.port)).expect("it listens");
    let asked = format!("GET /assets/app.js HTTP/1.1\r\nHost: localhost:{}\r\n\r\n", serving.port);
    let deaf: Vec<TcpStream> = (0..4)
        .map(|_| {
            let mut client = connect();
            client.set_write_timeout(Some(Duration::from_secs(1))).expect("set");
            // Until the server takes no more, since nobody takes what it says.
            while client.write_all(asked.as_bytes()).is_ok() {}
            client
        })
        .collect();
    assert!(serving.ask("/index.html").starts_with("HTTP/1.1 200"), "beside those that never read");
    let silent: Vec<TcpStream> = (0..140).map(|_| connect()).collect();
    assert!(serving.ask("/index.html").starts_with("HTTP/1.1 200"), "after those that never ask");
    drop((deaf, silent));
}
