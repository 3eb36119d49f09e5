//! A git command at work, under a watch: one that says nothing for too long is ended. A pipe or a device in place of
//! one of git's files, or behind a path that its settings include, would be waited for, for ever.

use std::io::Read;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use super::problem::GitProblem;

/// How long git may say nothing: a thousand times what it takes for an answer on a busy computer.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);

/// How often a command that has said all is looked at.
const LOOK: Duration = Duration::from_millis(1);

/// How long a complaint may take once the command has ended.
const COMPLAINT: Duration = Duration::from_secs(5);

/// What the watch is told.
enum News {
    /// It has said something.
    Progress,
    /// All of it was read.
    ReadAll,
    /// Nobody wants more of it.
    Enough,
}

/// How a command ended.
pub(super) struct Ended {
    /// Whether it did what it was asked for.
    pub(super) success: bool,
    /// Whether it was ended because it said nothing for too long.
    pub(super) gave_up: bool,
    /// The beginning of what it complained of.
    pub(super) complaint: String,
}

/// A command at work.
pub(super) struct Running {
    watch: JoinHandle<std::io::Result<(bool, bool)>>,
    complaint: Receiver<String>,
    news: Sender<News>,
}

impl Running {
    /// Starts a command. What it is asked goes into the first, what it says comes out of the second.
    pub(super) fn start(
        command: &mut Command,
        patience: Duration,
    ) -> Result<(Running, Option<ChildStdin>, ChildStdout), GitProblem> {
        let mut child =
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().map_err(GitProblem::start)?;
        let (input, output, errors) = (child.stdin.take(), child.stdout.take(), child.stderr.take());
        let (news, heard) = channel();
        let watch = thread::spawn(move || watch(child, &heard, patience));
        let (complain, complaint) = channel();
        thread::spawn(move || {
            // Who asked may have ended by then.
            let _ = complain.send(errors.map_or_else(String::new, beginning));
        });
        let running = Running { watch, complaint, news };
        match output {
            Some(output) => Ok((running, input, output)),
            None => Err(GitProblem::Stopped(std::io::Error::other("it cannot be talked to"))),
        }
    }

    /// It has said something.
    pub(super) fn progress(&self) {
        self.tell(News::Progress);
    }

    /// Nobody wants what it has still to say: it is ended.
    pub(super) fn enough(&self) {
        self.tell(News::Enough);
    }

    /// Waits for its end: all that it says was read, or it was told that it is enough.
    pub(super) fn end(self) -> Result<Ended, GitProblem> {
        self.tell(News::ReadAll);
        let broken = || GitProblem::Stopped(std::io::Error::other("it cannot be watched"));
        let (success, gave_up) = self.watch.join().map_err(|_| broken())?.map_err(GitProblem::Stopped)?;
        // What was ended may have left somebody behind who could still complain.
        let complaint = match success || gave_up {
            true => String::new(),
            false => self.complaint.recv_timeout(COMPLAINT).unwrap_or_default(),
        };
        Ok(Ended { success, gave_up, complaint })
    }

    fn tell(&self, news: News) {
        // A watch that has ended needs no news.
        let _ = self.news.send(news);
    }
}

/// Watches a command to its end: whether it did what it was asked for, and whether it was given up.
fn watch(mut child: Child, heard: &Receiver<News>, patience: Duration) -> std::io::Result<(bool, bool)> {
    let mut gave_up = false;
    loop {
        match heard.recv_timeout(patience) {
            Ok(News::Progress) => continue,
            Ok(News::ReadAll) => {
                let begun = Instant::now();
                while child.try_wait()?.is_none() && begun.elapsed() < patience {
                    thread::sleep(LOOK);
                }
                gave_up = child.try_wait()?.is_none();
            }
            Err(RecvTimeoutError::Timeout) => gave_up = true,
            Ok(News::Enough) | Err(RecvTimeoutError::Disconnected) => {}
        }
        break;
    }
    if child.try_wait()?.is_none() {
        child.kill()?;
    }
    Ok((child.wait()?.success(), gave_up))
}

/// The beginning of what a command says; the rest is read as well, so that it need not wait.
fn beginning(mut from: impl Read) -> String {
    let mut bytes = Vec::new();
    // What cannot be read is no complaint.
    let _ = from.by_ref().take(1 << 16).read_to_end(&mut bytes);
    let _ = std::io::copy(&mut from, &mut std::io::sink());
    String::from_utf8_lossy(&bytes).into_owned()
}
