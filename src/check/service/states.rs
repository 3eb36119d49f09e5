//! What a procedure sets, against the state of the leg at that time: values that are right only while a condition
//! holds, and the state that a record says for a number.

use std::collections::{BTreeMap, HashMap};

use rayon::prelude::*;

use super::alike::{Alike, alike};
use super::condition_words::quoted;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Bits, Plan, Planned, Plans, Slot, Vocabulary, Walk};
use crate::record::{Condition, Text};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::Reference;
use crate::text::{FileId, Span};
use crate::words::lower_first;

/// Findings by procedure, value and condition, so that each is said once with the forks it reaches.
type Told<'s> = BTreeMap<(&'s str, &'s str, &'s str), Finding>;

/// value-at-wrong-time, state-against-work, step-not-so.
pub(crate) fn states(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let says = |condition: &Condition| {
        let Condition { only_then, not_then, not_said, state, .. } = condition;
        !only_then.is_empty() || !not_then.is_empty() || !not_said.is_empty() || !state.is_empty()
    };
    if !shop.conditions.list.iter().any(says) {
        return;
    }
    let vocabulary = Vocabulary::of(shop);
    let words = words(shop);
    let mut told: Told<'_> = BTreeMap::new();
    let groups = alike(forks, plans);
    let walked = |alike: &Alike<'_>| {
        let fork = alike.first();
        let walks = plans.of(fork).iter().map(|plan| plan.walk(shop, &vocabulary, fork));
        (vocabulary.meant(fork), walks.collect::<Vec<Walk>>())
    };
    let walked: Vec<(Bits, Vec<Walk>)> = groups.par_iter().map(walked).collect();
    let of_group = |(at, alike): (usize, &Alike<'_>)| -> Vec<(FileId, usize)> {
        alike.forks.iter().map(|fork| (fork.record.file, at)).collect()
    };
    let group: HashMap<FileId, usize> = groups.iter().enumerate().flat_map(of_group).collect();
    // In the order of the forks: the first one's words are told.
    for fork in forks {
        let (meant, walks) = &walked[group[&fork.record.file]];
        for (plan, walk) in plans.of(fork).iter().zip(walks) {
            for (at, item) in plan.items.iter().enumerate() {
                let here = Here { shop, vocabulary: &vocabulary, fork, plan, item, meant, walk, at };
                here.not_so(&words, &mut told);
                here.too_early_or_late(&mut told);
                here.another_state(&mut told);
            }
        }
    }
    findings.extend(told.into_values());
}

/// The steps of a procedure that say words which are not so while a condition holds.
struct Said<'s> {
    condition: &'s Condition,
    words: &'s Text,
    step: Span,
}

/// By procedure, what its steps say that a condition keeps off.
fn words(shop: &Shop) -> HashMap<&str, Vec<Said<'_>>> {
    let kept_off = || {
        let list = shop.conditions.list.iter();
        list.flat_map(|condition| condition.not_said.iter().map(move |words| (condition, words)))
    };
    let mut out: HashMap<&str, Vec<Said<'_>>> = HashMap::new();
    for procedure in shop.procedures.iter().filter(|_| kept_off().next().is_some()) {
        for step in procedure.body.steps() {
            let text = step.action.plain(|link| link.text.clone()).to_lowercase();
            let said = kept_off().filter(|(_, words)| text.contains(&words.text.to_lowercase()));
            let said = said.map(|(condition, words)| Said { condition, words, step: step.span });
            out.entry(&procedure.id.text).or_default().extend(said);
        }
    }
    out
}

/// A procedure at its place in the walk of a service for a fork.
struct Here<'a, 's> {
    shop: &'s Shop,
    vocabulary: &'a Vocabulary<'s>,
    fork: &'a ResolvedFork,
    plan: &'a Plan<'s>,
    item: &'a Planned<'s>,
    meant: &'a Bits,
    walk: &'a Walk,
    at: usize,
}

impl<'s> Here<'_, 's> {
    /// Whether a slot holds when the procedure begins, and when it ends.
    fn holds(&self, slot: Slot) -> (bool, bool) {
        let lives = self.walk.lives.iter().filter(|life| life.slot == slot);
        let before = lives.clone().any(|life| {
            life.from.is_none_or(|from| from < self.at) && life.to.is_none_or(|to| to >= self.at)
        });
        let after = lives.clone().any(|life| {
            life.from.is_none_or(|from| from <= self.at) && life.to.is_none_or(|to| to > self.at)
        });
        (before, after)
    }

    /// The slots of a condition on the legs of this procedure, with their legs.
    fn slots(&self, condition: &Condition) -> Vec<(Slot, Side)> {
        let slots = self.vocabulary.slots(std::slice::from_ref(&condition.id), self.item.legs, self.meant);
        slots.iter().map(|slot| (slot, self.vocabulary.side(slot).unwrap_or(Side::Left))).collect()
    }

    /// The values that the steps set.
    fn set(&self) -> impl Iterator<Item = &'s Reference> + use<'s> {
        self.item.procedure.body.references.iter().filter(|link| link.scheme == Scheme::Spec)
    }

    fn tell(
        &self,
        told: &mut Told<'s>,
        link: &'s Reference,
        condition: &'s Condition,
        finding: impl FnOnce() -> Finding,
    ) {
        let finding = told
            .entry((&self.item.procedure.id.text, &link.target, &condition.id.text))
            .or_insert_with(finding);
        if !finding.reaches.contains(&self.fork.id) {
            finding.reaches.push(self.fork.id.clone());
        }
    }

    /// value-at-wrong-time: a value that is right only while a condition holds, or wrong while it does.
    fn too_early_or_late(&self, told: &mut Told<'s>) {
        for condition in self.vocabulary.conditions {
            let named = condition.only_then.iter().map(|key| (key, true));
            for (key, then) in named.chain(condition.not_then.iter().map(|key| (key, false))) {
                // Most procedures set none of them; to look through the walk for each would cost time.
                let mut links = self.set().filter(|link| link.target == key.text).peekable();
                if links.peek().is_none() {
                    continue;
                }
                let fits = |(slot, _): &(Slot, Side)| match then {
                    true => self.holds(*slot) != (false, false),
                    false => !self.holds(*slot).0,
                };
                if self.slots(condition).iter().all(fits) {
                    continue;
                }
                for link in links {
                    self.tell(told, link, condition, || self.wrong_time(link, condition, key, then));
                }
            }
        }
    }

    /// step-not-so: a step says of leg or machine what is not so when it is done.
    fn not_so(&self, words: &HashMap<&str, Vec<Said<'s>>>, told: &mut Told<'s>) {
        let procedure = self.item.procedure;
        for said in words.get(procedure.id.text.as_str()).into_iter().flatten() {
            let Said { condition, words, step } = *said;
            let holds = |(slot, _): (Slot, Side)| self.holds(slot) == (true, true);
            if !self.slots(condition).into_iter().any(holds) {
                continue;
            }
            let finding = told.entry((&procedure.id.text, &words.text, &condition.id.text)).or_insert_with(|| {
                rules::STEP_NOT_SO
                    .at(
                        step,
                        format!(
                            "a step of `{}` says “{}”, and in `{}` {} then",
                            procedure.id.text, words.text, self.plan.service.id.text, condition.says
                        ),
                    )
                    .bench("whoever does as it says brings the machine into another state, or stops believing the page")
                    .instead("say the state as it is then, or move the work")
                    .also(words.span, "kept off here")
            });
            if !finding.reaches.contains(&self.fork.id) {
                finding.reaches.push(self.fork.id.clone());
            }
        }
    }

    fn wrong_time(&self, link: &Reference, condition: &Condition, key: &Text, then: bool) -> Finding {
        let field = self.shop.catalogue.find(&link.target).map(|id| self.shop.catalogue.field(id));
        let wrong = field.map(|field| lower_first(&field.wrong)).filter(|wrong| !wrong.is_empty());
        let (procedure, service) = (&self.item.procedure.id.text, &self.plan.service.id.text);
        let (right, holds) = if then { ("right only", "does not hold") } else { ("wrong", "holds") };
        let condition = quoted(condition);
        rules::VALUE_AT_WRONG_TIME
            .at(
                link.span,
                format!(
                    "`{procedure}` sets `{}`, which is {right} while {condition}, and in `{service}` that {holds} then",
                    link.target
                ),
            )
            .bench(wrong.unwrap_or_else(|| "the leg gets another leg's amount".to_owned()))
            .instead("link the value for the leg as it is then, or move the work")
            .also(key.span, "said here")
    }

    /// state-against-work: the state that a record says for a number is the state in which its step is done.
    fn another_state(&self, told: &mut Told<'s>) {
        let with_state = |link: &&Reference| {
            let field = self.shop.catalogue.find(&link.target).map(|id| self.shop.catalogue.field(id));
            field.is_some_and(|field| !field.state.is_empty())
        };
        if self.set().find(with_state).is_none() {
            return;
        }
        for condition in self.vocabulary.conditions.iter().filter(|condition| !condition.state.is_empty()) {
            let holding: Vec<Side> = self
                .slots(condition)
                .into_iter()
                .filter(|(slot, _)| self.holds(*slot) == (true, true))
                .map(|(_, side)| side)
                .collect();
            for link in self.set() {
                let Some(field) = self.shop.catalogue.find(&link.target) else { continue };
                for side in &holding {
                    let Some(value) = self.fork.on(*side, field) else { continue };
                    let Some((key, recorded, is)) = differs(value, condition) else { continue };
                    let procedure = &self.item.procedure.id.text;
                    self.tell(told, link, condition, || {
                        rules::STATE_AGAINST_WORK
                            .at(
                                value.entry.state.get(&key).map_or(value.entry.span, |named| named.text.span),
                                format!(
                                    "`{}` is recorded with {key} {recorded}, and `{procedure}` sets it while {} ({key} {is})",
                                    link.target,
                                    quoted(condition)
                                ),
                            )
                            .bench(lower_first(&self.shop.catalogue.field(field).wrong))
                            .instead(format!(
                                "read the state in the sheet again; where `{recorded}` is right, give this fork a procedure that sets it in that state"
                            ))
                            .also(link.span, "set here")
                            .also(condition.id.span, format!("it stands for {key} {is}"))
                    });
                }
            }
        }
    }
}

/// A part of a value's state that is not the one that a condition stands for: its key, as recorded, as it is then.
fn differs(value: &Resolved, condition: &Condition) -> Option<(String, String, String)> {
    condition.state.iter().find_map(|(key, is)| {
        let recorded = &value.entry.state.get(&key.text)?.text.text;
        (*recorded != is.text).then(|| (key.text.clone(), recorded.clone(), is.text.clone()))
    })
}
