//! From a checked shop to a published site: templates, the list of pages, their rendering, the writer.

use std::collections::BTreeMap;
use std::path::Path;

use rayon::prelude::*;

use super::inputs::{Rests, run_digest};
use super::list::Press;
use super::sheets::card_findings;
use super::templates::{TemplateProblem, Templates};
use crate::book::Book;
use crate::book::held::Lent;
use crate::card::content::{kept_codes, take_codes};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules, summary};
use crate::output::{Kept, Planned, PublishError, Published, Target, kept, publish, remembered, up_to_date};
use crate::pipeline::{Checked, Memory, Sources};
use crate::text::{Files, Span};

/// The folder of a shop that holds its own templates.
const TEMPLATES: &str = "templates/";

/// Why a site was not published. What was there stays.
#[derive(Debug)]
pub enum SiteError {
    /// A template or a card that does not fit, at its place.
    Findings(Vec<Finding>),
    /// The output folder or the disk stands in the way; one sentence.
    Refused(String),
}

/// What a person waiting is told.
pub trait Progress: Sync {
    /// There are so many pages. `own`: the shop's own templates, from which some are made.
    fn pages(&self, count: usize, own: &[String]);
    /// One of them is begun.
    fn page_begun(&self, path: &str);
    /// One of them is done.
    fn page_done(&self, path: &str);
}

/// Whether the site in `out` is the one that these sources make, untouched since: then there is nothing to check and
/// nothing to publish. What the run that published it found is told again, in short.
pub fn already_published(sources: &Sources, out: &Path) -> Option<(Published, String)> {
    up_to_date(out, run_digest(sources.files(), sources.day()))
}

/// What the check of the shop whose site is in `out` worked out, for the next check; nothing where that cannot be
/// believed.
pub fn remember_check(out: &Path) -> Memory {
    remembered(out).map(Memory::from_bytes).unwrap_or_default()
}

/// Why a page was not made.
enum Fault {
    Template(TemplateProblem),
    /// A card does not fit; which, the sheets know.
    Card,
}

/// Publishes the site of a shop that has no errors into `out`. `folder` is the shop's own folder, so that
/// its sources are never written over. `fresh`: nothing that an earlier run wrote down is believed. `memory`: what the
/// check worked out, for the next one.
///
/// # Errors
/// See [`SiteError`]; nothing is changed then.
pub fn publish_site(
    checked: &Checked,
    out: &Path,
    folder: Option<&Path>,
    (fresh, memory): (bool, &Memory),
    progress: &dyn Progress,
) -> Result<Published, SiteError> {
    let run = run_digest(&checked.files, checked.day);
    if !fresh && let Some((published, _)) = up_to_date(out, run) {
        return Ok(published);
    }
    let book = Book::new(checked);
    let press = Press::new(&book, templates(&checked.files).map_err(SiteError::Findings)?);
    let rests = Rests::of(&book);
    if !fresh {
        remember_codes(&book, &rests, &kept(out));
    }
    let list = press.list();
    let own: Vec<String> = own_templates(&checked.files).into_keys().collect();
    progress.pages(list.len(), &own);
    let inputs = rests.of_pages(&press);
    let planned: Vec<Planned> =
        list.iter().zip(inputs).map(|(page, inputs)| Planned { path: page.path.clone(), inputs }).collect();
    let summary_text = summary(&checked.findings, checked.files.iter().count());
    let codes = codes_to_keep(&book, &rests);
    let run = Some((run, summary_text.as_str()));
    let pack = || memory.to_bytes();
    let target = Target { out, shop: folder, run, fresh, kept: Some(&codes), memory: Some(&pack) };
    let sheets = &press.desk().sheets;
    let done = publish(&target, &planned, |at| {
        progress.page_begun(&list[at].path);
        let rendered = press.render(&list[at]).map_err(Fault::Template);
        progress.page_done(&list[at].path);
        // Every card is made all the same, so that all that do not fit are told at once.
        rendered.and_then(|bytes| if sheets.all_fit() { Ok(Lent::new(bytes)) } else { Err(Fault::Card) })
    });
    done.map_err(|error| match error {
        PublishError::Obstacle(obstacle) => SiteError::Refused(obstacle.to_string()),
        PublishError::Pages(problems) => {
            let mut findings = sheets.over();
            // One fault in a template fails every page made from it.
            for (_, problem) in problems {
                let Fault::Template(problem) = problem else { continue };
                let finding = template_finding(&problem, &checked.files);
                if !findings.contains(&finding) {
                    findings.push(finding);
                }
            }
            SiteError::Findings(findings)
        }
    })
}

/// The codes of all cards, each fork's under what they rest on: the next build need not work them out again.
fn codes_to_keep<'s>(book: &Book<'s>, rests: &Rests<'_>) -> Kept {
    let printed = book.forks.par_iter().filter(|fork| !fork.record.draft);
    let of_fork =
        |fork: &'s CheckedFork| Some((fork.id.clone(), (rests.of_cards(fork)?, kept_codes(book, fork))));
    printed.filter_map(of_fork).collect()
}

/// Takes the codes that the last build worked out for the forks that rest on the same.
fn remember_codes(book: &Book<'_>, rests: &Rests<'_>, kept: &Kept) {
    for fork in book.forks {
        match kept.get(&fork.id) {
            Some((rest, codes)) if rests.of_cards(fork) == Some(*rest) => take_codes(book, fork, codes),
            _ => {}
        }
    }
}

/// What only printing can find: templates that cannot be used, cards that do not fit. All are errors. `built`: where the
/// shop's site may have been published. Its cards fit, or it would not have been: those of a fork that rests on the same
/// are not made again.
pub fn print_findings(checked: &Checked, built: Option<&Path>) -> Vec<Finding> {
    let mut findings = templates(&checked.files).err().unwrap_or_default();
    // A card can be judged once every value on it can be read.
    if !checked.has_errors() {
        let book = Book::new(checked);
        let known = built.map(kept).unwrap_or_default();
        let rests = (!known.is_empty()).then(|| Rests::of(&book));
        let fits = |fork: &CheckedFork| {
            let now = rests.as_ref().and_then(|rests| rests.of_cards(fork));
            now.is_some_and(|now| known.get(&fork.id).is_some_and(|(then, _)| *then == now))
        };
        findings.extend(card_findings(&book, fits));
    }
    findings
}

/// The templates of a shop: the built-in ones, its own laid over them.
///
/// # Errors
/// What is wrong with its own, at its place.
pub fn templates(files: &Files) -> Result<Templates, Vec<Finding>> {
    Templates::new(&own_templates(files))
        .map_err(|problems| problems.iter().map(|problem| template_finding(problem, files)).collect())
}

/// The shop's own templates: their texts by path inside `templates/`.
pub fn own_templates(files: &Files) -> BTreeMap<String, String> {
    files
        .iter()
        .filter_map(|(_, file)| Some((file.path.strip_prefix(TEMPLATES)?.to_owned(), file.text.clone())))
        .collect()
}

fn template_finding(problem: &TemplateProblem, files: &Files) -> Finding {
    let path = format!("{TEMPLATES}{}", problem.name);
    let place = files.iter().find(|(_, file)| file.path == path).map(|(id, file)| {
        let before: usize =
            file.text.split_inclusive('\n').take(problem.line.saturating_sub(1)).map(str::len).sum();
        let line = file.text[before.min(file.text.len())..].lines().next().unwrap_or("");
        let inside: usize = line.chars().take(problem.column.saturating_sub(1)).map(char::len_utf8).sum();
        let width =
            line[inside..].chars().take_while(|c| !c.is_whitespace()).map(char::len_utf8).sum::<usize>();
        Span::new(id, before + inside, before + inside + width)
    });
    // A built-in template has no file of the shop's; the message names it.
    let span = place.or_else(|| files.iter().next().map(|(id, _)| Span::new(id, 0, 0)));
    let message = match place {
        Some(_) => format!("this template cannot be used: {}", problem.message),
        None => format!("the template `{}` cannot be used: {}", problem.name, problem.message),
    };
    let span = span.unwrap_or(Span::new(crate::text::FileId(0), 0, 0));
    rules::TEMPLATE
        .at(span, message)
        .bench("pages made from it would be missing or wrong")
        .instead("mend the place that is underlined, or remove the file so that the built-in one is used")
}
