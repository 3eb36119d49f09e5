//! The resolved shop with the look-ups that pages and cards need, gathered once.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::{Arc, OnceLock};

use foldhash::fast::RandomState;
use rayon::prelude::*;

use super::doubt::Doubts;
use super::figure::value_text;
use super::memo::Memo;
use super::texts::ForkTexts;
use crate::catalogue::{Field, FieldId, When};
use crate::check::{CheckedFamily, CheckedFork, CheckedOil, doubt::puts_in_doubt};
use crate::date::{AsOf, Date};
use crate::diagnostic::Finding;
use crate::judge::{Evidence, Sheets, evidence};
use crate::pipeline::Checked;
use crate::plan::{Plans, Vocabulary};
use crate::quantity::{Kind, Value};
use crate::record::{Service, SpecRecord};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::review::TextReviews;
use crate::text::Files;
use crate::text::names::name_problem;
use crate::words::{capital, lower, slug};

/// A part or an oil that forks can share: its key, and how it is called.
pub type PartKey = (String, String);

/// The resolved shop with the look-ups that pages need.
pub struct Book<'s> {
    /// The records.
    pub shop: &'s Shop,
    /// The forks, complete.
    pub forks: &'s [CheckedFork],
    /// The oils, complete.
    pub oils: &'s [CheckedOil],
    /// The springs, complete.
    pub springs: &'s [CheckedFamily],
    /// Whether this shop reviews at all.
    pub reviewed: bool,
    /// Whether what is made is looked at while it is written, and not published: no card has a code then that was
    /// not released.
    pub working: bool,
    /// How each procedure, caution, condition and service stands.
    pub text_reviews: &'s TextReviews,
    /// What was found.
    pub findings: &'s [Finding],
    /// What was found that puts a number in doubt, by file.
    pub doubts: Doubts<'s>,
    /// The day of the last commit.
    pub day: Option<AsOf>,
    /// The sources, for the places of findings.
    pub files: &'s Files,
    /// The services of each fork, planned.
    pub plans: Plans<'s>,
    /// For each service, the forks it is for.
    pub service_forks: Vec<Vec<usize>>,
    /// Makers of machines, by name, with the name of their page.
    pub makers: BTreeMap<String, String>,
    /// Forks by oil.
    pub oil_forks: BTreeMap<String, BTreeSet<usize>>,
    /// What is made once for several pages and cards.
    pub memo: Memo<'s>,
    /// The shop's conditions, linked.
    pub vocabulary: Vocabulary<'s>,
    /// Forks by shared part.
    parts: HashMap<PartKey, Vec<usize>, RandomState>,
    /// For each procedure, the services of forks that come to it, by place of fork and service.
    users: OnceLock<BTreeMap<&'s str, Vec<(usize, usize)>>>,
    /// What the shop's jobs say of each fork's values, by its id.
    evidence: OnceLock<BTreeMap<String, Vec<Evidence>>>,
    /// The day of the last release of a card.
    last_release: OnceLock<Option<Date>>,
}

impl<'s> Book<'s> {
    /// Gathers the look-ups of a shop that is looked at while it is written.
    pub fn working_copy(checked: &'s Checked) -> Self {
        Book { working: true, ..Book::new(checked) }
    }

    /// The day on which a card was released last.
    pub fn last_release(&self) -> Option<Date> {
        *self.last_release.get_or_init(|| self.shop.last_release())
    }

    /// What the shop's jobs say of a fork's values: figures alone, and nothing of any job.
    pub fn evidence(&self, fork: &CheckedFork) -> &[Evidence] {
        let all = self.evidence.get_or_init(|| {
            let (shop, forks) = (self.shop, self.forks);
            let asking = forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
            let sheets = Sheets::of(shop, asking);
            let mut by_fork: BTreeMap<String, Vec<Evidence>> = BTreeMap::new();
            for one in evidence(&shop.catalogue, &shop.jobs, &sheets) {
                by_fork.entry(one.fork.clone()).or_default().push(one);
            }
            by_fork
        });
        all.get(&fork.id).map_or(&[], Vec::as_slice)
    }

    /// Gathers the look-ups.
    pub fn new(checked: &'s Checked) -> Self {
        let (shop, forks) = (&checked.shop, &checked.forks);
        let mut book = Book {
            shop,
            forks,
            oils: &checked.oils,
            springs: &checked.springs,
            reviewed: shop.is_reviewed(),
            working: false,
            text_reviews: &checked.texts,
            findings: &checked.findings,
            doubts: doubts(&checked.findings),
            day: checked.day,
            files: &checked.files,
            plans: Plans::new(shop, forks.iter().map(|fork| fork.resolved.as_ref())),
            service_forks: Vec::new(),
            makers: makers(shop),
            oil_forks: BTreeMap::new(),
            memo: Memo::new(forks),
            vocabulary: Vocabulary::of(shop),
            parts: HashMap::default(),
            users: OnceLock::new(),
            evidence: OnceLock::new(),
            last_release: OnceLock::new(),
        };
        book.service_forks = vec![Vec::new(); shop.services.len()];
        let places: HashMap<*const Service, usize> =
            shop.services.iter().enumerate().map(|(at, service)| (std::ptr::from_ref(service), at)).collect();
        let oils = oil_fields(shop);
        for (at, fork) in forks.iter().enumerate() {
            for plan in book.plans.of(fork) {
                let service = places.get(&std::ptr::from_ref(plan.service));
                service.into_iter().for_each(|service| book.service_forks[*service].push(at));
            }
            for oil in named_oils(&oils, fork) {
                book.oil_forks.entry(oil).or_default().insert(at);
            }
        }
        // A build takes the same parts as its fork.
        let parts = |fork: &CheckedFork| match fork.record.build() {
            Some(_) => Vec::new(),
            None => book.parts_of(fork),
        };
        let parts: Vec<Vec<PartKey>> = forks.par_iter().map(parts).collect();
        for (at, keys) in parts.into_iter().enumerate() {
            keys.into_iter().for_each(|key| book.parts.entry(key).or_default().push(at));
        }
        book
    }

    /// The texts of a fork.
    pub fn texts(&self, fork: &'s CheckedFork) -> Arc<ForkTexts<'s>> {
        self.memo.texts.of(self.shop, fork, &self.doubts)
    }

    /// The services of forks that come to a procedure, by place of fork and service: a variant that a fork
    /// does not choose is not among them.
    pub fn users(&self, procedure: &str) -> &[(usize, usize)] {
        let all = || {
            let mut users: BTreeMap<&'s str, Vec<(usize, usize)>> = BTreeMap::new();
            for (n, service) in self.shop.services.iter().enumerate() {
                for at in &self.service_forks[n] {
                    let plan = self.plans.one(&self.forks[*at], service);
                    for item in plan.iter().flat_map(|(_, plan)| &plan.items) {
                        let list = users.entry(item.procedure.id.text.as_str()).or_default();
                        if list.last() != Some(&(*at, n)) {
                            list.push((*at, n));
                        }
                    }
                }
            }
            users
        };
        self.users.get_or_init(all).get(procedure).map_or(&[], Vec::as_slice)
    }

    /// The page of a maker of machines.
    pub fn maker_href(&self, maker: &str) -> String {
        self.makers.get(maker).map(|id| format!("makers/{id}.html")).unwrap_or_default()
    }

    /// The forks that share a part.
    pub fn sharing(&self, part: &PartKey) -> &[usize] {
        self.parts.get(part).map_or(&[], Vec::as_slice)
    }

    /// The parts of a fork that others may share.
    pub fn parts_of(&self, fork: &ResolvedFork) -> Vec<PartKey> {
        let mut parts: Vec<PartKey> = Vec::new();
        for &id in self.shop.catalogue.relations().shared() {
            let field = self.shop.catalogue.field(id);
            for side in Side::BOTH {
                let Some(value) = fork.on(side, id).and_then(|resolved| resolved.value()) else { continue };
                if matches!(value, Value::NotFitted | Value::Unknown) {
                    continue;
                }
                let kind = if matches!(value, Value::Reference(_)) { "oil" } else { field.key.as_str() };
                let (text, _, _) = value_text(self.shop, field, value);
                let name = if kind == "oil" { "Oil" } else { field.title.as_str() };
                let part = (kind.to_owned(), format!("{name}: {text}"));
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
        }
        parts
    }

    /// A condition on a fork's choices in words, one sentence for each way; empty: every fork.
    pub fn when(&self, when: &When) -> Vec<String> {
        let all = |map: &BTreeMap<String, Vec<String>>| {
            let titles_of = |(choice, options): (&String, &Vec<String>)| {
                let titles: Vec<String> = options.iter().map(|option| self.name(choice, option)).collect();
                titles.join(" or ")
            };
            capital(&map.iter().map(titles_of).collect::<Vec<_>>().join("; "))
        };
        when.0.iter().map(all).collect()
    }
}

/// Makers of machines, by name, each with the name of its page.
fn makers(shop: &Shop) -> BTreeMap<String, String> {
    let mut makers = BTreeMap::new();
    let names: BTreeSet<&str> =
        shop.forks.iter().flat_map(|fork| &fork.machines).map(|machine| machine.maker.as_str()).collect();
    let mut taken: BTreeSet<String> = BTreeSet::new();
    for name in names {
        let base = maker_id(name);
        let free = |taken: &BTreeSet<String>| {
            (1..)
                .map(|n| if n == 1 { base.clone() } else { format!("{base}-{n}") })
                .find(|id| !taken.contains(id))
        };
        let id = free(&taken).unwrap_or_else(|| base.clone());
        taken.insert(id.clone());
        makers.insert(name.to_owned(), id);
    }
    makers
}

/// What puts a number in doubt, by file.
fn doubts(findings: &[Finding]) -> Doubts<'_> {
    let mut out = Doubts::new();
    for finding in findings.iter().filter(|finding| puts_in_doubt(finding)) {
        out.entry(finding.span.file).or_default().push(finding);
    }
    out
}

impl Book<'_> {
    /// An option of a choice in words, or a fork, family or maker that is named in its place.
    fn name(&self, choice: &str, option: &str) -> String {
        let title = |record: Option<&SpecRecord>| record.map_or_else(|| option.to_owned(), SpecRecord::title);
        match choice {
            "fork" => title(self.shop.fork(option)),
            "family" => title(self.shop.family(option).map(AsRef::as_ref)),
            "maker" => format!("forks by {option}"),
            _ => lower(self.shop.catalogue.option_title(choice, option)),
        }
    }
}

/// A maker's part of an address, which every file system takes as a name.
fn maker_id(name: &str) -> String {
    let mut id = slug(name, "maker");
    id.truncate(80);
    if name_problem(&id).is_some() { format!("maker-{id}") } else { id }
}

/// The values that name an oil.
fn oil_fields(shop: &Shop) -> Vec<FieldId> {
    let named = |field: &Field| matches!(&field.kind, Kind::Reference(to) if to == "oil");
    shop.catalogue.iter().filter(|(_, field)| named(field)).map(|(id, _)| id).collect()
}

/// The oils that a fork's values name.
fn named_oils(fields: &[FieldId], fork: &CheckedFork) -> Vec<String> {
    let both = |id: &FieldId| Side::BOTH.map(|side| fork.on(side, *id).and_then(|found| found.value()));
    let oils = fields.iter().flat_map(both).flatten().filter_map(|value| match value {
        Value::Reference(oil) => Some(oil.clone()),
        _ => None,
    });
    oils.collect()
}
