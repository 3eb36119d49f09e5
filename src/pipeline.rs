//! Source to findings: the stages in order, each a function from values to values plus findings.

use std::sync::Arc;

use rayon::prelude::*;

use crate::catalogue::{Catalogue, builtin};
use crate::check::{CheckedFamily, CheckedFork, CheckedOil, check, waiting};
use crate::date::AsOf;
use crate::derive::{derive, derive_oil};
use crate::diagnostic::{Finding, Severity, rules};
use crate::library::LEDGER;
use crate::record::{self, Home, RecordKind, SpecRecord};
use crate::resolve::{Shop, resolve};
use crate::review::{self, RecordReview, TextReviews};
use crate::schema::Validators;
use crate::syntax::{none_unseen, yaml, yaml::Node};
use crate::text::{FileId, Files, ReadProblem, Source, Span};

/// A shop, read and checked.
#[derive(Debug, Default)]
pub struct Checked {
    /// The day it is judged on.
    pub day: Option<AsOf>,
    /// Every source that was read.
    pub files: Files,
    /// What there is to say, sorted, each once.
    pub findings: Vec<Finding>,
    /// The records.
    pub shop: Shop,
    /// The forks, complete, in order of id.
    pub forks: Vec<CheckedFork>,
    /// The families, in order of id.
    pub families: Vec<CheckedFamily>,
    /// The oils, in order of id.
    pub oils: Vec<CheckedOil>,
    /// How each procedure, caution, condition and service stands.
    pub texts: TextReviews,
}

impl Checked {
    /// The fork of an id.
    pub fn fork(&self, id: &str) -> Option<&CheckedFork> {
        let at = self.forks.binary_search_by(|fork| fork.id.as_str().cmp(id)).ok()?;
        self.forks.get(at)
    }

    /// Whether anything stands in the way of publishing.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Error)
    }
}

/// A shop's sources, read and not yet checked.
#[derive(Debug)]
pub struct Sources {
    read: Checked,
    records: Vec<(FileId, RecordKind)>,
}

impl Sources {
    /// What was read.
    pub fn files(&self) -> &Files {
        &self.read.files
    }

    /// The day the shop is judged on.
    pub fn day(&self) -> Option<AsOf> {
        self.read.day
    }

    /// Whether all that is there could be read.
    pub fn whole(&self) -> bool {
        self.read.findings.is_empty()
    }
}

/// Reads a whole shop as it stands on a day, which is that of the commit it is read at.
pub fn read_shop(source: &dyn Source, day: Option<AsOf>) -> Sources {
    let mut read = Checked { day, ..Checked::default() };
    let records = read_files(source, &mut read);
    Sources { read, records }
}

/// Reads and checks a whole shop, on no day: what hangs on one is not judged.
pub fn check_shop(source: &dyn Source) -> Checked {
    check_shop_on(source, None)
}

/// Reads and checks a whole shop as it stands on a day, which is that of the commit it is read at.
pub fn check_shop_on(source: &dyn Source, day: Option<AsOf>) -> Checked {
    check_sources(read_shop(source, day))
}

/// Checks what was read.
pub fn check_sources(sources: Sources) -> Checked {
    let Sources { read: mut out, records: paths } = sources;
    let catalogue = match builtin() {
        Ok(catalogue) => catalogue,
        Err(why) => {
            // Only a build of the tool with broken data gets here; say so rather than check against nothing.
            let file = out.files.add("specs", "");
            out.findings.push(rules::FIELD_DECLARATION.at(Span::new(file, 0, 0), why));
            return out;
        }
    };
    load(&paths, catalogue, &mut out);
    let shop = &out.shop;
    let reviewed = shop.is_reviewed();
    out.forks = shop.forks.par_iter().map(|record| checked_fork(shop, record, reviewed)).collect();
    out.families = shop.families.par_iter().map(|record| checked_family(shop, record, reviewed)).collect();
    out.oils = shop.oils.par_iter().map(|record| checked_oil(shop, record, reviewed)).collect();
    out.texts = review::of_texts(shop);
    out.findings.extend(check(shop, (&out.forks, &out.families, &out.oils), &out.texts, out.day));
    waiting::without_waiting(&mut out.findings, &out.files);
    let ordered = crate::diagnostic::order(std::mem::take(&mut out.findings), &out.files);
    out.findings = crate::diagnostic::limit(ordered);
    out
}

/// In a shop that nobody has reviewed yet, working out how each value stands would only cost time.
fn standings(reviewed: bool, review: impl FnOnce() -> RecordReview) -> RecordReview {
    if reviewed { review() } else { RecordReview::default() }
}

fn checked_fork(shop: &Shop, record: &Arc<SpecRecord>, reviewed: bool) -> CheckedFork {
    let resolved = resolve(shop, record);
    let derived = derive(shop, &resolved);
    let inherited = review::inherited(shop, &resolved);
    let review = standings(reviewed, || review::of_fork(shop, &resolved, &inherited));
    CheckedFork { resolved, derived, review, inherited }
}

fn checked_family(shop: &Shop, record: &Arc<SpecRecord>, reviewed: bool) -> CheckedFamily {
    let review = standings(reviewed, || review::of_record(shop, record));
    CheckedFamily { record: Arc::clone(record), review }
}

fn checked_oil(shop: &Shop, record: &Arc<SpecRecord>, reviewed: bool) -> CheckedOil {
    let review = standings(reviewed, || review::of_record(shop, record));
    CheckedOil { record: Arc::clone(record), derived: derive_oil(shop, record), review }
}

fn unreadable(problem: ReadProblem, out: &mut Checked) {
    // There is such a record, so what refers to it is right.
    if let Some(kind) = RecordKind::of(&problem.path) {
        let id = kind.id_at(&problem.path).to_owned();
        out.shop.known.entry(kind).or_default().insert(id);
    }
    let file = out.files.add(problem.path.clone(), "");
    out.findings.push(
        rules::FILE_UNREADABLE
            .at(Span::new(file, 0, 0), format!("this cannot be read: {}", problem.message))
            .bench("whatever it holds was not checked")
            .instead("mend the file or its permissions, or remove it"),
    );
}

fn read_files(source: &dyn Source, out: &mut Checked) -> Vec<(FileId, RecordKind)> {
    let (paths, problems) = source.list();
    for problem in problems {
        let below = format!("{}/", problem.path);
        let lost =
            RecordKind::ALL.into_iter().filter(|kind| format!("{}/", kind.folder()).starts_with(&below));
        out.shop.unlisted.extend(lost);
        unreadable(problem, out);
    }
    let mut records = Vec::new();
    let kinds: Vec<(&String, Option<RecordKind>)> =
        paths.iter().map(|path| (path, RecordKind::of(path))).collect();
    let texts: Vec<_> = kinds
        .par_iter()
        .map(|(path, kind)| {
            (kind.is_some() || path.starts_with("templates/") || *path == LEDGER).then(|| source.read(path))
        })
        .collect();
    for ((path, kind), read) in kinds.into_iter().zip(texts) {
        match (read, kind) {
            (None, _) => stray_file(path, out),
            (Some(Err(problem)), _) => unreadable(problem, out),
            (Some(Ok(bytes)), kind) => match String::from_utf8(bytes) {
                Ok(text) => {
                    let id = out.files.add(path.clone(), text);
                    records.extend(kind.map(|kind| (id, kind)));
                }
                Err(error) => {
                    let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
                    let line = good.split(|byte| *byte == b'\n').count();
                    let message = format!("line {line} holds a letter that is not UTF-8 text");
                    unreadable(ReadProblem { path: path.clone(), message }, out);
                    if let Some(finding) = out.findings.last_mut() {
                        finding.instead = "save the file as UTF-8, or remove it".to_owned();
                    }
                }
            },
        }
    }
    if !records.iter().any(|(_, kind)| *kind == RecordKind::Fork) {
        out.findings.push(no_forks(&records, &mut out.files));
    }
    records
}

/// A shop that has just begun has no fork yet; one whose cards were released, or a folder that is no shop, has lost
/// them or was named by mistake.
fn no_forks(records: &[(FileId, RecordKind)], files: &mut Files) -> Finding {
    let has = |kind: RecordKind| records.iter().any(|(_, known)| *known == kind);
    let begun = waiting::ledger(files).is_some() && has(RecordKind::Shop) && !has(RecordKind::Released);
    let place = Span::new(files.add("specs/forks", ""), 0, 0);
    if begun {
        return rules::NO_FORKS
            .graded(Severity::Note, place, "there is no fork record here yet")
            .bench("there is no card to work from")
            .instead("add the first fork: `benchleaf new fork ID`");
    }
    rules::NO_FORKS
        .graded(Severity::Error, place, "there is no fork record here")
        .bench("there is nothing to check or to publish")
        .instead("run it in the shop's folder, or add the first fork under specs/forks")
}

/// The folders in which records are kept, in words.
fn folders() -> String {
    let of_files = |kind: &RecordKind| matches!(kind.home(), Home::Folder(..));
    let folders: Vec<&str> = RecordKind::ALL.into_iter().filter(of_files).map(RecordKind::folder).collect();
    match folders.as_slice() {
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
        [] => String::new(),
    }
}

/// A file under specs or procedures that is in no place a record can be in.
fn stray_file(path: &str, out: &mut Checked) {
    let record_like =
        [".yaml", ".yml", ".md", ".YAML", ".YML", ".MD"].iter().any(|ending| path.ends_with(ending));
    let name = path.rsplit('/').next().unwrap_or(path);
    if !record_like || name.eq_ignore_ascii_case("readme.md") {
        return;
    }
    let file = out.files.add(path.to_owned(), "");
    let (bare, ending) = path.rsplit_once('.').unwrap_or((path, ""));
    let right = if ending.eq_ignore_ascii_case("md") { "md" } else { "yaml" };
    let renamed = format!("{bare}.{right}");
    let instead = if ending != right && RecordKind::of(&renamed).is_some() {
        format!("rename it to `{renamed}`")
    } else {
        format!("move it into {}", folders())
    };
    out.findings.push(
        rules::FILE_OUT_OF_PLACE
            .at(Span::new(file, 0, 0), "no record is kept here, so this file is not read")
            .bench("what it says would be missing without a word")
            .instead(instead),
    );
}

/// How a record that was read is added to the shop.
type Add = Box<dyn FnOnce(&mut Shop) + Send>;

fn load(paths: &[(FileId, RecordKind)], mut catalogue: Catalogue, out: &mut Checked) {
    for (file, kind) in paths {
        let id = kind.id_at(&out.files.get(*file).path).to_owned();
        out.shop.known.entry(*kind).or_default().insert(id);
    }
    let mut shop_root: Option<(FileId, Node)> = None;
    if let Some((file, _)) = paths.iter().find(|(_, kind)| *kind == RecordKind::Shop)
        && none_unseen(*file, &out.files.get(*file).text, &mut out.findings)
        && let Some(root) = yaml::read(*file, &out.files.get(*file).text, &mut out.findings)
    {
        record::read_fields(&root, &mut catalogue, &mut out.findings);
        shop_root = Some((*file, root));
    }
    let has_shop = paths.iter().any(|(_, kind)| *kind == RecordKind::Shop);
    catalogue.incomplete = has_shop && shop_root.is_none()
        || out.findings.iter().any(|finding| finding.rule == &rules::FIELD_DECLARATION);
    let validators = match Validators::of(&catalogue) {
        Ok(validators) => validators,
        Err(fault) => {
            let file =
                shop_root.as_ref().map_or_else(|| out.files.add("specs/shop.yaml", ""), |(file, _)| *file);
            out.findings.push(rules::FIELD_DECLARATION.at(Span::new(file, 0, 0), fault.to_string()));
            return;
        }
    };
    if let Some((file, root)) = &shop_root {
        validators.check(RecordKind::Shop, root, &catalogue, &mut out.findings);
        out.shop.settings = record::read_settings(root, *file, &out.files, &mut out.findings);
    }
    let files = &out.files;
    let loaded: Vec<(RecordKind, Option<Add>, Vec<Finding>)> = paths
        .par_iter()
        .map(|(file, kind)| {
            let mut findings = Vec::new();
            let add = load_one(*file, *kind, files, &catalogue, &validators, &mut findings);
            (*kind, add, findings)
        })
        .collect();
    for (kind, add, findings) in loaded {
        out.findings.extend(findings);
        if let Some(add) = add {
            add(&mut out.shop);
            *out.shop.read.entry(kind).or_default() += 1;
        }
    }
    out.shop.catalogue = catalogue;
    out.shop.follow_renames();
}

/// Reads one file, says what is wrong with its shape, and gives how the record is added to the shop. The shop's own
/// settings are read before.
fn load_one(
    file: FileId,
    kind: RecordKind,
    files: &Files,
    catalogue: &Catalogue,
    validators: &Validators,
    findings: &mut Vec<Finding>,
) -> Option<Add> {
    if kind == RecordKind::Shop || !none_unseen(file, &files.get(file).text, findings) {
        return None;
    }
    let (root, add) = match kind.home() {
        Home::Folder(_, "md") => read_markdown(file, kind, files, findings)?,
        _ => {
            let root = yaml::read(file, &files.get(file).text, findings)?;
            // What is no mapping holds no record: that is the one mistake, and nothing in it is missing besides.
            if !matches!(root.value, yaml::Tree::Map(_)) {
                validators.check(kind, &root, catalogue, findings);
                return None;
            }
            let add = read_yaml(&root, file, kind, files, catalogue, findings);
            (root, add)
        }
    };
    validators.check(kind, &root, catalogue, findings);
    let named = record::singled(kind, &root);
    if named.is_empty() {
        return Some(add);
    }
    Some(Box::new(move |shop: &mut Shop| {
        add(shop);
        shop.singled.extend(named);
    }))
}

fn read_markdown(
    file: FileId,
    kind: RecordKind,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Add)> {
    Some(match kind {
        RecordKind::Caution => {
            let (root, caution) = record::read_caution(file, files, findings)?;
            (root, Box::new(|shop: &mut Shop| shop.cautions.insert(caution)))
        }
        RecordKind::Complaint => {
            let (root, complaint) = record::read_complaint(file, files, findings)?;
            (root, Box::new(|shop: &mut Shop| shop.complaints.insert(complaint)))
        }
        _ => {
            let (root, procedure) = record::read_procedure(file, files, findings)?;
            (root, Box::new(|shop: &mut Shop| shop.procedures.insert(procedure)))
        }
    })
}

fn read_yaml(
    root: &Node,
    file: FileId,
    kind: RecordKind,
    files: &Files,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> Add {
    match kind {
        RecordKind::Tool => {
            let tool = record::read_tool(root, file, files, findings);
            Box::new(|shop| shop.tools.insert(tool))
        }
        RecordKind::Service => {
            let service = record::read_service(root, file, files, findings);
            Box::new(|shop| shop.services.insert(service))
        }
        RecordKind::Job => {
            let job = record::read_job(root, file, files, catalogue, findings);
            Box::new(|shop| shop.jobs.insert(job))
        }
        RecordKind::Conditions => {
            let conditions = record::read_conditions(root, file);
            Box::new(|shop| shop.conditions = conditions)
        }
        RecordKind::Released => {
            let released = record::read_released(root, file);
            Box::new(|shop| shop.released = released)
        }
        RecordKind::Reviews => {
            let reviews = record::read_reviews(root, file);
            Box::new(|shop| shop.reviews = reviews)
        }
        _ => {
            let record = Arc::new(record::read_spec(kind, root, file, files, catalogue, findings));
            Box::new(move |shop| match kind {
                RecordKind::Family => shop.families.insert(record),
                RecordKind::Oil => shop.oils.insert(record),
                _ => shop.forks.insert(record),
            })
        }
    }
}
