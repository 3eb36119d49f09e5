//! Source to findings: the stages in order, each a function from values to values plus findings.

mod keys;
mod loaded;
mod memory;

use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use self::keys::SourceKeys;
use self::loaded::{Loaded, Record};
pub use self::memory::Memory;
use crate::catalogue::{Catalogue, builtin};
use crate::check::{CheckedFamily, CheckedFork, CheckedOil, check, waiting};
use crate::date::AsOf;
use crate::derive::{derive, derive_oil};
use crate::diagnostic::{Finding, Severity, rules};
use crate::library::LEDGER;
use crate::output::Digest;
use crate::picture::{self, Picture, PictureFault, PictureFile};
use crate::record::{self, Home, RecordKind, Singled, SpecRecord};
use crate::resolve::{NamedParts, Shop, resolve};
use crate::review::{self, RecordReview, TextReviews};
use crate::schema::{SchemaFault, Validators};
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
    /// The springs, in order of id.
    pub springs: Vec<CheckedFamily>,
    /// How each procedure, caution, condition and service stands.
    pub texts: Arc<TextReviews>,
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
    keys: OnceLock<SourceKeys>,
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

    /// The digest of all that was read, and of what could not be.
    pub fn digest(&self) -> Digest {
        self.keys().all()
    }

    fn keys(&self) -> &SourceKeys {
        self.keys.get_or_init(|| SourceKeys::of(&self.read.files, &self.read.findings))
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
    Sources { read, records, keys: OnceLock::new() }
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
    checked(sources, &Memory::default(), &SourceKeys::default())
}

/// Checks what was read of a shop that was checked before.
pub fn check_again(mut sources: Sources, memory: &mut Memory) -> Checked {
    sources.keys();
    let keys = sources.keys.take().unwrap_or_default();
    let checked = checked(sources, memory, &keys);
    memory.turn();
    checked
}

fn checked(sources: Sources, memory: &Memory, keys: &SourceKeys) -> Checked {
    let Sources { read: mut out, records: paths, .. } = sources;
    let catalogue = match builtin() {
        Ok(catalogue) => catalogue,
        Err(why) => {
            // Only a build of the tool with broken data gets here; say so rather than check against nothing.
            let file = out.files.add("specs", "");
            out.findings.push(rules::FIELD_DECLARATION.at(Span::new(file, 0, 0), why));
            return out;
        }
    };
    load(&paths, catalogue, (memory, keys), &mut out);
    let shop = &out.shop;
    let reviewed = shop.is_reviewed();
    let around = keys.around(shop, reviewed);
    let parts = NamedParts::of(shop);
    let of_fork = |record: &Arc<SpecRecord>| {
        let make = || checked_fork(shop, record, &parts, reviewed);
        memory.forks.or_make(keys.fork(shop, record, around), make)
    };
    let of_texts = || memory.texts.or_make(keys.texts(), || Arc::new(review::of_texts(shop)));
    (out.texts, out.forks) = rayon::join(of_texts, || shop.forks.par_iter().map(of_fork).collect());
    out.families = shop.families.par_iter().map(|record| checked_family(shop, record, reviewed)).collect();
    out.oils = shop.oils.par_iter().map(|record| checked_oil(shop, record, reviewed)).collect();
    out.springs = shop.springs.par_iter().map(|record| checked_family(shop, record, reviewed)).collect();
    let said = keys.said(shop, around, out.day);
    let known = (&memory.said, &said);
    let alone: Vec<CheckedFamily> = out.families.iter().chain(&out.springs).cloned().collect();
    out.findings.extend(check(shop, (&out.forks, &alone, &out.oils), &out.texts, out.day, known));
    waiting::without_waiting(&mut out.findings, &out.files);
    // Of a shop that a later program wrote nothing else can be said.
    if out.findings.iter().any(|finding| finding.rule == &rules::LATER_NOTATION) {
        out.findings.retain(|finding| finding.rule == &rules::LATER_NOTATION);
    }
    let ordered = crate::diagnostic::order(std::mem::take(&mut out.findings), &out.files);
    out.findings = crate::diagnostic::limit(ordered);
    out
}

/// A shop with the figures of its forks, and no rule asked: for the tests of the arithmetic, which make many forks and
/// look at no finding.
#[cfg(test)]
pub(crate) fn figures_of_shop(source: &dyn Source) -> Checked {
    let Sources { read: mut out, records: paths, .. } = read_shop(source, None);
    let catalogue = builtin().expect("the built-in catalogue");
    let (memory, keys) = (Memory::default(), SourceKeys::default());
    load(&paths, catalogue, (&memory, &keys), &mut out);
    let shop = &out.shop;
    let (parts, reviewed) = (NamedParts::of(shop), shop.is_reviewed());
    out.forks = shop.forks.par_iter().map(|record| checked_fork(shop, record, &parts, reviewed)).collect();
    out.oils = shop.oils.par_iter().map(|record| checked_oil(shop, record, shop.is_reviewed())).collect();
    out
}

/// In a shop that nobody has reviewed yet, working out how each value stands would only cost time.
fn standings(reviewed: bool, review: impl FnOnce() -> RecordReview) -> RecordReview {
    if reviewed { review() } else { RecordReview::default() }
}

fn checked_fork(shop: &Shop, record: &Arc<SpecRecord>, parts: &NamedParts, reviewed: bool) -> CheckedFork {
    let resolved = resolve(shop, record, parts);
    let derived = derive(shop, &resolved);
    let over = shop.built_over(record).map(|fork| resolve(shop, fork, parts));
    let inherited = review::inherited(shop, over.as_ref().unwrap_or(&resolved));
    let review =
        standings(reviewed, || review::of_fork(shop, over.as_ref().unwrap_or(&resolved), &inherited));
    let (inherited, review) = match over {
        Some(_) => review::of_build(shop, &resolved, inherited, review),
        None => (inherited, review),
    };
    CheckedFork {
        resolved: Arc::new(resolved),
        derived: Arc::new(derived),
        review: Arc::new(review),
        inherited: Arc::new(inherited),
    }
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
    let mut kinds: Vec<(&String, Option<RecordKind>)> =
        paths.iter().map(|path| (path, RecordKind::of(path))).collect();
    // Jobs come last: a new one leaves the numbers of all other files as they were.
    kinds.sort_by_key(|(_, kind)| *kind == Some(RecordKind::Job));
    let texts: Vec<_> = kinds
        .par_iter()
        .map(|(path, kind)| {
            let text = kind.is_some() || path.starts_with("templates/") || *path == LEDGER;
            (text || picture::is_shown(path)).then(|| source.read(path))
        })
        .collect();
    for ((path, kind), read) in kinds.into_iter().zip(texts) {
        match (read, kind) {
            (read, None) if picture::is_picture(path) && !path.starts_with("templates/") => {
                keep_picture(path, read, out);
            }
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

/// An image file of the shop; what is wrong with it is told where it is shown.
fn keep_picture(path: &str, read: Option<Result<Vec<u8>, ReadProblem>>, out: &mut Checked) {
    let read = match read {
        Some(Ok(bytes)) => Picture::read(path, bytes).map(Arc::new),
        Some(Err(problem)) => Err(PictureFault::Unreadable(problem.message)),
        None => Err(PictureFault::NotShown),
    };
    let seal = match &read {
        Ok(picture) => picture.digest.clone(),
        Err(fault) => fault.to_string(),
    };
    let file = out.files.add_sealed(path, seal);
    out.shop.pictures.push(PictureFile { path: path.to_owned(), file, read });
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
    if records.is_empty() {
        return rules::NO_FORKS
            .graded(Severity::Error, place, "there is no shop in this folder")
            .bench("there is nothing to check or to publish")
            .instead("run it in the shop's folder, or begin a shop: `benchleaf new shop DIR`");
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

fn load(
    paths: &[(FileId, RecordKind)],
    mut catalogue: Catalogue,
    (memory, keys): (&Memory, &SourceKeys),
    out: &mut Checked,
) {
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
    let (validators, loaded) = match load_all(paths, &catalogue, (memory, keys), &out.files) {
        Ok(loaded) => loaded,
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
    for (kind, loaded) in loaded {
        let Loaded { record, singled, findings } = Arc::unwrap_or_clone(loaded);
        out.findings.extend(findings);
        if let Some(record) = record {
            record.add(&mut out.shop);
            out.shop.singled.extend(singled);
            *out.shop.read.entry(kind).or_default() += 1;
        }
    }
    out.shop.catalogue = catalogue;
    out.shop.complete_builds();
    out.shop.follow_renames();
}

/// What stands in a file, by its kind.
type OneFile = (RecordKind, Arc<Loaded>);

/// The compiled schemas, and what stands in each file. What was read before needs no schema: it is looked up while the
/// schemas are compiled.
fn load_all(
    paths: &[(FileId, RecordKind)],
    catalogue: &Catalogue,
    (memory, keys): (&Memory, &SourceKeys),
    files: &Files,
) -> Result<(Arc<Validators>, Vec<OneFile>), SchemaFault> {
    let before = || -> Vec<Option<Arc<Loaded>>> {
        paths.par_iter().map(|(file, _)| memory.loaded.before(keys.record(*file))).collect()
    };
    let compiled = || memory.validators.or_make(keys.catalogue(), || Validators::of(catalogue));
    let (validators, before) = rayon::join(compiled, before);
    let validators = validators?;
    let loaded = paths.par_iter().zip(before).map(|((file, kind), before)| {
        let read = || {
            let mut findings = Vec::new();
            let loaded = load_one(*file, *kind, files, catalogue, &validators, &mut findings);
            let (record, singled) = loaded.unzip();
            Arc::new(Loaded { record, singled: singled.unwrap_or_default(), findings })
        };
        let loaded = before.unwrap_or_else(read);
        memory.loaded.keep(keys.record(*file), Arc::clone(&loaded));
        (*kind, loaded)
    });
    let loaded = loaded.collect();
    Ok((validators, loaded))
}

/// Reads one file and says what is wrong with its shape. The shop's own settings are read before.
fn load_one(
    file: FileId,
    kind: RecordKind,
    files: &Files,
    catalogue: &Catalogue,
    validators: &Validators,
    findings: &mut Vec<Finding>,
) -> Option<(Record, Vec<Singled>)> {
    if kind == RecordKind::Shop || !none_unseen(file, &files.get(file).text, findings) {
        return None;
    }
    let (root, record) = match kind.home() {
        Home::Folder(_, "md") => read_markdown(file, kind, files, findings)?,
        _ => {
            let root = yaml::read(file, &files.get(file).text, findings)?;
            // What is no mapping holds no record: that is the one mistake, and nothing in it is missing besides.
            if !matches!(root.value, yaml::Tree::Map(_)) {
                validators.check(kind, &root, catalogue, findings);
                return None;
            }
            let record = read_yaml(&root, file, kind, files, catalogue, findings);
            (root, record)
        }
    };
    validators.check(kind, &root, catalogue, findings);
    Some((record, record::singled(kind, &root)))
}

fn read_markdown(
    file: FileId,
    kind: RecordKind,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Record)> {
    Some(match kind {
        RecordKind::Caution => {
            let (root, caution) = record::read_caution(file, files, findings)?;
            (root, Record::Caution(Box::new(caution)))
        }
        RecordKind::Complaint => {
            let (root, complaint) = record::read_complaint(file, files, findings)?;
            (root, Record::Complaint(Box::new(complaint)))
        }
        _ => {
            let (root, procedure) = record::read_procedure(file, files, findings)?;
            (root, Record::Procedure(Box::new(procedure)))
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
) -> Record {
    match kind {
        RecordKind::Tool => Record::Tool(Box::new(record::read_tool(root, file, files, findings))),
        RecordKind::Valving => Record::Valving(Box::new(record::read_valving(root, file, files, findings))),
        RecordKind::Service => Record::Service(Box::new(record::read_service(root, file, files, findings))),
        RecordKind::Job => Record::Job(Arc::new(record::read_job(root, file, files, catalogue, findings))),
        RecordKind::Conditions => Record::Conditions(Box::new(record::read_conditions(root, file))),
        RecordKind::Released => Record::Released(Box::new(record::read_released(root, file))),
        RecordKind::Reviews => Record::Reviews(Box::new(record::read_reviews(root, file))),
        _ => Record::Spec(Arc::new(record::read_spec(kind, root, file, files, catalogue, findings))),
    }
}
