//! How long it takes from a save until the open page is new: a served shop, asked as a browser asks.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Instant;

use super::{Figures, Outcome, micros};

/// A running `benchleaf serve`; it ends with this value.
struct Serving {
    child: Child,
    port: u16,
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Serving {
    fn begin(shop: &Path) -> Outcome<Serving> {
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["serve", "--port", "0"])
            .current_dir(shop)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        let out = child.stdout.take().ok_or("no words")?;
        let mut serving = Serving { child, port: 0 };
        let mut lines = BufReader::new(out).lines();
        for line in lines.by_ref() {
            let line = line?;
            if let Some((_, rest)) = line.split_once("localhost:") {
                let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
                serving.port = digits.parse()?;
                break;
            }
        }
        // What it says from now on is read and let go, so that it never waits.
        std::thread::spawn(move || lines.for_each(drop));
        Ok(serving)
    }

    fn ask(&self, path: &str) -> Outcome<TcpStream> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(std::time::Duration::from_secs(60)))?;
        write!(stream, "GET {path} HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n", self.port)?;
        Ok(stream)
    }

    fn page(&self, path: &str) -> Outcome<String> {
        let mut answer = Vec::new();
        self.ask(path)?.read_to_end(&mut answer)?;
        Ok(String::from_utf8_lossy(&answer).into_owned())
    }

    /// Saves a text and waits, as the program in the page does: until it hears of a change, then until it has the
    /// page, which must hold `part`. In microseconds.
    fn until_new(&self, file: &Path, text: &str, page: &str, part: &str) -> Outcome<u64> {
        let mut events = BufReader::new(self.ask("/.live/events")?).lines();
        // It begins by telling what is seen now.
        events.by_ref().map_while(Result::ok).find(|line| line.starts_with("data:")).ok_or("no event")?;
        let begun = Instant::now();
        fs::write(file, text)?;
        for line in events {
            if line?.starts_with("data:") && self.page(page)?.contains(part) {
                return Ok(micros(begun, Instant::now()));
            }
        }
        Err("the page never came".into())
    }
}

/// Saves one record, then one procedure that most services use, several times each.
pub fn serve(shop: &Path) -> Outcome<Figures> {
    let serving = Serving::begin(shop)?;
    let mut forks: Vec<PathBuf> = fs::read_dir(shop.join("specs/forks"))?
        .map(|item| Ok(item?.path()))
        .collect::<std::io::Result<_>>()?;
    forks.sort();
    let fork = forks.iter().find(|path| path.to_string_lossy().contains("tarnholm-u41")).ok_or("no fork")?;
    let id = fork.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let page = format!("/forks/{id}.html");
    let begun = Instant::now();
    serving.page(&page)?;
    let mut figures = Figures::from([("0 first page".to_owned(), micros(begun, Instant::now()))]);
    let record = fs::read_to_string(fork)?;
    let procedure_path = shop.join("procedures/set-air-gap.md");
    let procedure = fs::read_to_string(&procedure_path)?;
    let (mut of_record, mut of_procedure) = (Vec::new(), Vec::new());
    for turn in 0..5 {
        let name = format!("Saved {turn}");
        let text = record.replacen("\nmodel: ", &format!("\nmodel: {name} "), 1);
        of_record.push(serving.until_new(fork, &text, &page, &name)?);
    }
    let page = format!("/forks/{id}/full-service.html");
    for turn in 0..3 {
        let name = format!("Saved {turn}");
        let text = procedure.replacen("\ntitle: ", &format!("\ntitle: {name} "), 1);
        of_procedure.push(serving.until_new(&procedure_path, &text, &page, &name)?);
    }
    fs::write(fork, record)?;
    fs::write(&procedure_path, procedure)?;
    for (name, mut times) in [("1 record saved", of_record), ("2 procedure saved", of_procedure)] {
        times.sort_unstable();
        figures.insert(name.to_owned(), times[times.len() / 2]);
        figures.insert(format!("{name}, least"), times[0]);
    }
    Ok(figures)
}
