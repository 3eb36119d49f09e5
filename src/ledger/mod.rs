//! The pages of jobs: as-left sheets, the machines, what is due, what the bench says of the records. They go to a folder
//! of their own that the user names, and never into the published site.

mod desk;
mod evidence;
mod html;
mod lacks;
mod list;
mod machine;
mod sheet;

use std::collections::BTreeMap;
use std::path::Path;

use self::desk::{Ledger, sheet_path};
use crate::output::{Digest, Planned, PublishError, Published, Target, publish};
use crate::pipeline::Checked;

/// A file that says what the folder is, so that a site is never taken for it.
const MARK: &str = "not-for-publishing.txt";
const MARK_TEXT: &str =
    "These pages tell of machines and their riders' jobs. They are the shop's own: publish none of them.\n";

/// Writes the pages of jobs into a folder.
///
/// # Errors
/// A sentence; nothing was changed then.
pub fn publish_jobs(checked: &Checked, out: &Path, site: &Path, shop: &Path) -> Result<Published, String> {
    apart(out, site)?;
    let pages = pages(&Ledger::new(checked));
    let list: Vec<(&String, &String)> = pages.iter().collect();
    let planned: Vec<Planned> = list
        .iter()
        .map(|(path, text)| Planned { path: (*path).clone(), inputs: Some(Digest::of(text.as_bytes())) })
        .collect();
    let target = Target { shop: Some(shop), ..Target::new(out) };
    let render = |at: usize| Ok::<_, std::convert::Infallible>(list[at].1.as_bytes().to_vec());
    publish(&target, &planned, render).map_err(|error| match error {
        PublishError::Obstacle(obstacle) => obstacle.to_string(),
        PublishError::Pages(_) => "a page could not be made".to_owned(),
    })
}

/// Every page, by path.
fn pages(ledger: &Ledger<'_>) -> BTreeMap<String, String> {
    let mut pages = BTreeMap::from([
        (MARK.to_owned(), MARK_TEXT.to_owned()),
        ("index.html".to_owned(), list::page(ledger)),
        ("evidence.html".to_owned(), evidence::page(ledger)),
    ]);
    for machine in &ledger.machines {
        pages.insert(machine.path.clone(), machine::page(ledger, machine));
        pages.extend(machine.jobs.iter().map(|job| (sheet_path(job), sheet::page(ledger, machine, job))));
    }
    pages
}

/// Why a site cannot be published into a folder: it holds the pages of jobs, which the site would take the place of.
pub fn holds_jobs(site: &Path) -> Option<String> {
    let standing = site.join(MARK).symlink_metadata().is_ok();
    standing.then(|| {
        format!(
            "`{}` holds the pages of jobs, and a site published there would take their place: name another folder with `--out`. Nothing was written",
            site.display()
        )
    })
}

/// Whether the folder is one of jobs, or new, and lies neither in the site nor around it.
///
/// # Errors
/// A sentence.
pub fn apart(out: &Path, site: &Path) -> Result<(), String> {
    let place =
        |path: &Path| std::path::absolute(path).map(|path| path.components().collect::<std::path::PathBuf>());
    let (Ok(jobs), Ok(public)) = (place(out), place(site)) else {
        return Err(format!("the folder `{}` cannot be reached", out.display()));
    };
    let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    for (jobs, public) in [(&jobs, &public), (&real(&jobs), &real(&public))] {
        if jobs.starts_with(public) || public.starts_with(jobs) {
            return Err(format!(
                "pages of jobs are never published: `{}` and the site in `{}` must lie apart",
                out.display(),
                site.display()
            ));
        }
    }
    if out.join(crate::output::OWN_FOLDER).exists() && !out.join(MARK).exists() {
        return Err(format!(
            "`{}` holds a published site: name another folder for the pages of jobs",
            out.display()
        ));
    }
    Ok(())
}
