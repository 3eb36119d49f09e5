//! A shop as it is in a revision of its git repository, read through the `git` command. The working tree,
//! the index and the references are not touched, and no shell takes part.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use crate::date::{AsOf, Date};

use super::files::{LARGEST, ROOTS, ReadProblem, Source, wanted};

/// A shop in a git revision: all its sources, read when it was opened.
#[derive(Debug, Clone)]
pub struct Revision {
    /// The commit's full name.
    pub commit: String,
    /// The commit's day; what is in a commit is settled.
    pub day: Option<AsOf>,
    files: BTreeMap<String, Result<Vec<u8>, String>>,
    problems: Vec<ReadProblem>,
}

/// A file of the listing: its blob's name and its size in bytes.
struct Blob {
    path: String,
    name: String,
}

impl Revision {
    /// Opens the shop kept in `folder` of a work tree as it was in `revision`: a commit, a branch, a tag or
    /// anything else git takes for a single commit.
    ///
    /// # Errors
    /// One sentence: git is not installed, the folder is in no repository, the revision is unknown.
    pub fn open(folder: &Path, revision: &str) -> Result<Revision, String> {
        let prefix = git(folder, ["rev-parse", "--show-prefix"])
            .map_err(|problem| problem.told("the folder is in no git repository"))?;
        let prefix =
            String::from_utf8(prefix).map_err(|_| "the shop's folder has a name that is not UTF-8 text")?;
        let prefix = prefix.strip_suffix('\n').unwrap_or(&prefix).to_owned();
        let commit = resolve(folder, revision)?;
        let day = commit_date(folder, &commit).map(|date| AsOf { date, settled: true });
        let mut out = Revision { commit, day, files: BTreeMap::new(), problems: Vec::new() };
        let blobs = out.list_blobs(folder, &prefix)?;
        out.read_blobs(folder, &blobs)?;
        out.problems.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(out)
    }

    fn list_blobs(&mut self, folder: &Path, prefix: &str) -> Result<Vec<Blob>, String> {
        let mut arguments: Vec<String> =
            ["ls-tree", "-r", "-z", "-l", "--full-tree"].map(str::to_owned).to_vec();
        arguments.extend([self.commit.clone(), "--".to_owned()]);
        arguments.extend(ROOTS.iter().map(|root| format!("{prefix}{root}")));
        let listing =
            git(folder, &arguments).map_err(|problem| problem.told("git cannot list the revision"))?;
        let mut blobs = Vec::new();
        for line in listing.split(|byte| *byte == 0).filter(|line| !line.is_empty()) {
            let Some(tab) = line.iter().position(|byte| *byte == b'\t') else { continue };
            let head = String::from_utf8_lossy(&line[..tab]).into_owned();
            let mut head = head.split_ascii_whitespace();
            let (Some(mode), Some(_), Some(name), size) =
                (head.next(), head.next(), head.next(), head.next())
            else {
                continue;
            };
            let full = String::from_utf8_lossy(&line[tab + 1..]).into_owned();
            let path = full.strip_prefix(prefix).unwrap_or(&full).to_owned();
            let mut refuse = |message: String| self.problems.push(ReadProblem { path: tame(&path), message });
            if std::str::from_utf8(&line[tab + 1..]).is_err() {
                refuse("its name is not readable text (UTF-8)".to_owned());
            } else if path != tame(&path) || path.split('/').any(|part| matches!(part, "" | "." | "..")) {
                refuse("its name is not one a file of a shop can have".to_owned());
            } else if !wanted(&path) {
            } else if mode == "120000" {
                refuse("it is a link, which is not followed in a revision".to_owned());
            } else if mode == "160000" {
                refuse("it is another repository, which is not read".to_owned());
            } else if size.and_then(|size| size.parse::<u64>().ok()).is_some_and(|size| size > LARGEST) {
                let message = format!("it is longer than {LARGEST} bytes, and no more are read");
                self.files.insert(path, Err(message));
            } else {
                blobs.push(Blob { path, name: name.to_owned() });
            }
        }
        Ok(blobs)
    }

    /// Reads every blob through one process.
    fn read_blobs(&mut self, folder: &Path, blobs: &[Blob]) -> Result<(), String> {
        let failed = |error: std::io::Error| format!("git stopped while it was read from: {error}");
        let mut command = command(folder);
        command
            .args(["cat-file", "--batch"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        let mut child = command.spawn().map_err(|error| Problem::Start(error).told(""))?;
        let (input, output) = (child.stdin.take(), child.stdout.take());
        let (Some(mut input), Some(output)) = (input, output) else {
            return Err("git cannot be talked to".to_owned());
        };
        let read = std::thread::scope(|scope| {
            // Asking and reading go on side by side, or both pipes fill and neither side moves.
            scope.spawn(move || {
                for blob in blobs {
                    if writeln!(input, "{}", blob.name).is_err() {
                        break;
                    }
                }
            });
            let mut output = BufReader::new(output);
            for blob in blobs {
                let content = one_blob(&mut output).map_err(failed)?;
                self.files.insert(blob.path.clone(), content);
            }
            Ok(())
        });
        if read.is_err() {
            // It may wait for us for ever.
            let _ = child.kill();
        }
        child.wait().map_err(failed)?;
        read
    }
}

/// One answer of `cat-file --batch`: a head line, so many bytes, a line feed.
fn one_blob(output: &mut impl BufRead) -> std::io::Result<Result<Vec<u8>, String>> {
    let mut head = Vec::new();
    output.read_until(b'\n', &mut head)?;
    let head = String::from_utf8_lossy(&head).into_owned();
    let mut words = head.split_ascii_whitespace().skip(1);
    match (words.next(), words.next().and_then(|size| size.parse::<u64>().ok())) {
        (Some("blob"), Some(size)) => {
            let mut bytes = Vec::new();
            output.take(size).read_to_end(&mut bytes)?;
            let mut end = [0];
            output.read_exact(&mut end)?;
            Ok(Ok(bytes))
        }
        (Some("missing"), _) => Ok(Err("this clone does not hold its content".to_owned())),
        _ => Err(std::io::Error::other("an answer that is not understood")),
    }
}

impl Source for Revision {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        (self.files.keys().cloned().collect(), self.problems.clone())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        let problem = |message: String| ReadProblem { path: path.to_owned(), message };
        match self.files.get(path) {
            Some(Ok(bytes)) => Ok(bytes.clone()),
            Some(Err(message)) => Err(problem(message.clone())),
            None => Err(problem("it is not there".to_owned())),
        }
    }
}

/// The day that the shop in a folder is judged on: that of the last commit, where the folder's sources are kept
/// in git. Settled where nothing of them is changed or new since.
pub fn last_commit(folder: &Path) -> Option<AsOf> {
    let kept = git(folder, ["ls-tree", "HEAD", "--", "specs"]).ok()?;
    let date = commit_date(folder, "HEAD").filter(|_| !kept.is_empty())?;
    let changed =
        git(folder, ["status", "--porcelain", "-z", "--untracked-files=all", "--", "specs", "procedures"]);
    Some(AsOf { date, settled: changed.is_ok_and(|changed| changed.is_empty()) })
}

/// The day of a commit, in the zone of whoever committed: the same for every reader.
fn commit_date(folder: &Path, commit: &str) -> Option<Date> {
    let said =
        git(folder, ["show", "--no-patch", "--no-show-signature", "--format=%cs", commit, "--"]).ok()?;
    Date::read(String::from_utf8(said).ok()?.trim())
}

/// The full name of a revision's commit.
fn resolve(folder: &Path, revision: &str) -> Result<String, String> {
    let odd = revision.is_empty() || revision.starts_with('-') || revision.chars().any(char::is_control);
    if odd {
        return Err(format!("`{}` is not the name of a revision", tame(revision)));
    }
    let wanted = format!("{revision}^{{commit}}");
    let name = git(folder, ["rev-parse", "--verify", "--quiet", "--end-of-options", &wanted]).map_err(
        |problem| {
            let shallow = git(folder, ["rev-parse", "--is-shallow-repository"])
                .is_ok_and(|said| said.starts_with(b"true"));
            let why = if shallow {
                "; this clone does not hold the whole history, so fetch more of it"
            } else {
                ""
            };
            problem.told(&format!("there is no revision `{revision}` here{why}"))
        },
    )?;
    let name = String::from_utf8_lossy(&name).trim().to_owned();
    let plain = name.len() >= 40 && name.bytes().all(|byte| byte.is_ascii_hexdigit());
    if plain { Ok(name) } else { Err(format!("`{revision}` is not a single revision")) }
}

/// A name without characters that would act on a terminal.
fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}

/// Why a git command gave nothing.
enum Problem {
    /// It could not be started.
    Start(std::io::Error),
    /// It said no.
    Refused(String),
}

impl Problem {
    /// As one sentence; `refused` is what it means that git said no.
    fn told(&self, refused: &str) -> String {
        match self {
            Problem::Start(error) if error.kind() == std::io::ErrorKind::NotFound => {
                "git is not installed, and without it no revision can be read".to_owned()
            }
            Problem::Start(error) => format!("git cannot be started: {error}"),
            Problem::Refused(said) if said.contains("dubious ownership") => {
                "git does not trust this repository, which belongs to someone else".to_owned()
            }
            Problem::Refused(_) => refused.to_owned(),
        }
    }
}

/// The git command, to be run in a folder: no prompt, no lock, no fetching, no quoted names, and nothing of
/// the repository that a hook we may run in works on.
fn command(folder: &Path) -> Command {
    let mut command = Command::new("git");
    command.arg("-C").arg(folder).args(["--no-pager", "--literal-pathspecs", "-c", "core.quotePath=false"]);
    command.env("LC_ALL", "C").env("GIT_TERMINAL_PROMPT", "0").env("GIT_OPTIONAL_LOCKS", "0");
    command.env("GIT_NO_LAZY_FETCH", "1").env("GIT_NO_REPLACE_OBJECTS", "1");
    for name in ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_OBJECT_DIRECTORY"] {
        command.env_remove(name);
    }
    command.stdin(Stdio::null());
    command
}

fn git<A: AsRef<OsStr>>(folder: &Path, arguments: impl IntoIterator<Item = A>) -> Result<Vec<u8>, Problem> {
    let output = command(folder).args(arguments).output().map_err(Problem::Start)?;
    if output.status.success() {
        Ok(output.stdout)
    } else {
        Err(Problem::Refused(String::from_utf8_lossy(&output.stderr).into_owned()))
    }
}
