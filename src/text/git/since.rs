//! Since when a file that is only ever added to says something.

use std::path::Path;

use super::command::git;
use super::problem::GitProblem;

/// The oldest revision in which a file of the folder holds a text; `None` where no revision does, or where there is no
/// repository. The file is taken to be added to and never shortened, so that half of the rest is left out at each look.
pub fn first_with(folder: &Path, path: &str, text: &str) -> Option<String> {
    let no = || GitProblem::NoRepository;
    let listed = git(folder, ["rev-list", "--first-parent", "--reverse", "HEAD", "--", path], no).ok()?;
    let commits: Vec<String> = String::from_utf8(listed).ok()?.lines().map(str::to_owned).collect();
    let holds = |commit: &String| {
        let blob = format!("{commit}:./{path}");
        let content = git(folder, ["cat-file", "blob", &blob], || GitProblem::NoRepository);
        content.is_ok_and(|content| String::from_utf8_lossy(&content).contains(text))
    };
    let at = commits.partition_point(|commit| !holds(commit));
    commits.into_iter().nth(at)
}
