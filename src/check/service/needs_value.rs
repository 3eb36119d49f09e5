//! The procedures of a service are for its forks, and name only values that these have.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use crate::catalogue::{Field, FieldId};
use crate::check::look::{head, weight};
use crate::check::value::missing::lacked;
use crate::check::{CheckedFork, sample};
use crate::diagnostic::{Finding, Label, Severity, rules};
use crate::plan::{Plan, Planned, Plans, is_for, legs_word};
use crate::record::Procedure;
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::Reference;
use crate::text::Span;
use crate::words::lower_first;

/// A procedure on one leg that names what only the other one has.
fn wrong_leg(procedure: &Procedure, reference: &Reference, field: &Field, legs: [bool; 2]) -> Finding {
    rules::PROCEDURE_NEEDS_VALUE
        .graded(
            Severity::Error,
            reference.span,
            format!(
                "`{}` is done on the {} alone, which has no {} (`{}`)",
                procedure.id.text,
                legs_word(legs),
                lower_first(&field.title),
                field.key
            ),
        )
        .bench("the leg in hand would be set to the other leg’s figure")
        .instead("name this leg’s own value, or do the step on the leg that has it with `legs:`")
        .also(procedure.id.span, "this procedure")
}

/// A value that a procedure names and a fork could give, and does not.
pub(crate) struct Lack<'s> {
    fork: &'s ResolvedFork,
    procedure: &'s Procedure,
    reference: &'s Reference,
    field: FieldId,
}

/// procedure-needs-value: what the procedures done on a fork need of it is one list at the fork's file. Where most of
/// the forks a procedure is done on lack a value, the mistake is the procedure's, and it is told there.
pub(crate) fn lacking(
    shop: &Shop,
    forks: &[CheckedFork],
    plans: &Plans<'_>,
    lacks: Vec<Lack<'_>>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut by_place: BTreeMap<(Span, FieldId), Vec<Lack<'_>>> = BTreeMap::new();
    for lack in lacks {
        by_place.entry((lack.reference.span, lack.field)).or_default().push(lack);
    }
    let mut done_on: BTreeMap<&str, usize> = BTreeMap::new();
    let named: BTreeSet<&str> =
        by_place.values().flatten().map(|lack| lack.procedure.id.text.as_str()).collect();
    for fork in forks.iter().filter(|_| !named.is_empty()) {
        let items = plans.of(fork).iter().flat_map(|plan| &plan.items);
        let of_fork: BTreeSet<&str> = items
            .map(|item| item.procedure.id.text.as_str())
            .filter(|procedure| named.contains(procedure))
            .collect();
        of_fork.into_iter().for_each(|procedure| *done_on.entry(procedure).or_default() += 1);
    }
    let mut by_fork: BTreeMap<&str, (&ResolvedFork, BTreeMap<FieldId, Vec<Lack<'_>>>)> = BTreeMap::new();
    for ((_, field), lacks) in by_place {
        let procedure = lacks[0].procedure;
        let all = done_on.get(procedure.id.text.as_str()).copied().unwrap_or_default();
        if lacks.len() > 1 && 2 * lacks.len() > all {
            for lack in lacks {
                let mut finding = at_procedure(shop, lack.fork, &lack, "missing");
                finding.reaches = vec![lack.fork.id.clone()];
                findings.push(finding);
            }
            continue;
        }
        for lack in lacks {
            let (_, fields) = by_fork.entry(&lack.fork.id).or_insert_with(|| (lack.fork, BTreeMap::new()));
            fields.entry(field).or_default().push(lack);
        }
    }
    let of_forks: Vec<_> = by_fork.into_values().collect();
    findings.par_extend(of_forks.par_iter().map(|(fork, fields)| at_fork(shop, fork, fields)));
    findings
}

/// The choices of the fork's own record that bring these procedures.
fn chosen_for<'f>(
    fork: &'f ResolvedFork,
    fields: &BTreeMap<FieldId, Vec<Lack<'_>>>,
) -> Vec<(&'f str, &'f crate::record::Text)> {
    let asks = |choice: &str| {
        let mut procedures = fields.values().flatten().map(|lack| lack.procedure);
        procedures.any(|one| one.applies.0.iter().any(|all| all.iter().any(|(asked, _)| *asked == *choice)))
    };
    let own = fork.record.choices.iter().map(|(choice, made)| (choice.as_str(), made));
    own.filter(|(choice, _)| asks(choice)).take(3).collect()
}

/// The lines to add to a record: what the fork's choices call for, and what procedures need.
pub(crate) fn block(
    shop: &Shop,
    fork: &ResolvedFork,
    fields: &BTreeMap<FieldId, Vec<Lack<'_>>>,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut group = "";
    // What its choices call for stands in the same lines: two lists with one group cannot both be pasted.
    let called_for = lacked(shop, fork).into_iter().map(|id| (id, &[][..]));
    let needed = fields.iter().map(|(id, lacks)| (*id, lacks.as_slice()));
    let all: BTreeMap<FieldId, &[Lack<'_>]> = called_for.chain(needed).collect();
    for (id, lacks) in &all {
        let field = shop.catalogue.field(*id);
        if field.group != group {
            group = &field.group;
            let of_group = all.keys().map(|id| shop.catalogue.field(*id)).filter(|one| one.group == *group);
            lines.extend(sample::group(group, of_group));
        }
        let mut by: Vec<&str> = lacks.iter().map(|lack| lack.procedure.id.text.as_str()).collect();
        by.sort_unstable();
        by.dedup();
        let by = if by.is_empty() { String::new() } else { format!("({})", by.join(", ")) };
        lines.extend(sample::lines(field, &by));
    }
    lines
}

/// What the procedures done on a fork need of it, as the lines to add to its record.
fn at_fork(shop: &Shop, fork: &ResolvedFork, fields: &BTreeMap<FieldId, Vec<Lack<'_>>>) -> Finding {
    let lines = block(shop, fork, fields);
    let chosen = chosen_for(fork, fields);
    let keys: Vec<String> = fields.keys().map(|id| format!("`{}`", shop.catalogue.field(*id).key)).collect();
    let values = if keys.len() == 1 { "a value" } else { "values" };
    let mut finding = rules::PROCEDURE_NEEDS_VALUE.graded(weight(fork),
        head(fork),
        format!("procedures done on `{}` need {values} that it does not give: {}", fork.id, keys.join(", ")),
    )
    .bench("these steps would stand on its card without their numbers")
    .instead("fill in these lines from the maker's sheet, `unknown` where it does not say, and of what can hurt somebody what is done `instead:`; or keep the procedures to other forks with `for:` or `fitted:`")
    .lines(lines);
    for (choice, made) in chosen {
        finding = finding.also(
            made.span,
            format!("`{choice}: {}` brings them; correct it where the fork is made otherwise", made.text),
        );
    }
    finding
}

fn at_procedure(shop: &Shop, fork: &ResolvedFork, lack: &Lack<'_>, how: &str) -> Finding {
    let field = shop.catalogue.field(lack.field);
    rules::PROCEDURE_NEEDS_VALUE
        .graded(
            weight(fork),
            lack.reference.span,
            format!(
                "`{}` needs {} (`{}`), which not every fork it is done on has",
                lack.procedure.id.text,
                lower_first(&field.title),
                field.key
            ),
        )
        .bench("the step would stand on the card without its number")
        .instead(
            "give the fork this value, keep the procedure to forks that have it with `for:` or `fitted:`, or say in the link's title what is done without it",
        )
        .also(head(fork), format!("`{}` is {how} here", field.key))
}

/// procedure-not-for-fork, procedure-needs-value: a service brings a fork only procedures that are for
/// it, and these name only values it has. Gives what it lacks.
pub(crate) fn needs<'s>(
    shop: &Shop,
    fork: &'s ResolvedFork,
    plans: &[Plan<'s>],
    findings: &mut Vec<Finding>,
) -> Vec<Lack<'s>> {
    let mut needs = Needs { shop, fork, lacks: Vec::new(), seen: BTreeSet::new(), on_wrong_leg: Vec::new() };
    for plan in plans {
        findings.extend(plan.items.iter().filter_map(|item| not_for_fork(shop, fork, item)));
        // On no leg at all: that has been told.
        let done =
            |item: &&Planned<'_>| item.legs != [false; 2] && item.procedure.applies.holds(&fork.choices);
        for item in plan.items.iter().filter(done) {
            for reference in &item.procedure.body.references {
                needs.value(item, reference, findings);
            }
        }
    }
    findings.extend(needs.on_wrong_leg.into_iter().map(|(_, finding)| finding));
    needs.lacks
}

/// procedure-not-for-fork: a procedure that its own head keeps from this fork.
fn not_for_fork(shop: &Shop, fork: &ResolvedFork, item: &Planned<'_>) -> Option<Finding> {
    let (id, procedure) = (item.named, item.procedure);
    if is_for(shop, procedure, fork)
        || procedure.applies.undecided(&fork.choices, &fork.open)
        || fork.family_lost
        || procedure.applies.unsound(&shop.catalogue.choices)
    {
        return None;
    }
    let why = match procedure.applies.holds(&fork.choices) {
        true => "it is about a part that this fork’s record says is not fitted",
        false => "its `for:` leaves this fork out",
    };
    Some(
        rules::PROCEDURE_NOT_FOR_FORK
            .at(id.span, format!("`{}` is not for every fork of this service", id.text))
            .bench("the apprentice would be led through work this fork does not have")
            .instead(format!(
                "where a fork may be without it, name it so: `where_fitted: [{}]`; else narrow the service's `for:`, widen the procedure's, or choose another procedure",
                id.text
            ))
            .also(procedure.id.span, why),
    )
}

/// What the procedures done on one fork need of it.
struct Needs<'n, 's> {
    shop: &'n Shop,
    fork: &'s ResolvedFork,
    lacks: Vec<Lack<'s>>,
    /// A procedure and the value it names, so that each is told once.
    seen: BTreeSet<(&'s str, &'s str)>,
    /// The wrong leg is one mistake of a procedure, however many of its values are named.
    on_wrong_leg: Vec<(&'s str, Finding)>,
}

impl<'s> Needs<'_, 's> {
    /// A value that a procedure names. Work on one leg needs that leg's own figure.
    fn value(&mut self, item: &Planned<'s>, reference: &'s Reference, findings: &mut Vec<Finding>) {
        let (shop, fork, procedure) = (self.shop, self.fork, item.procedure);
        if !matches!(reference.scheme, Scheme::Spec | Scheme::Reading) || reference.otherwise.is_some() {
            return;
        }
        let Some(id) = shop.catalogue.find(&reference.target) else { return };
        let field = shop.catalogue.field(id);
        let here = || Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on).map(|(side, _)| side);
        let has = |side: Side| fork.on(side, id).is_some_and(|value| !value.not_fitted());
        let held = here().any(has);
        let name = (procedure.id.text.as_str(), reference.target.as_str());
        if !held && Side::BOTH.into_iter().any(has) && self.seen.insert(name) {
            self.other_leg(item, reference, field);
            return;
        }
        let (applies, required) = (field.applies.holds(&fork.choices), field.required.holds(&fork.choices));
        // A box to write in needs no figure where the value is one that is found, not set.
        if reference.scheme == Scheme::Reading && applies && !required {
            return;
        }
        let open = fork.family_lost || field.applies.undecided(&fork.choices, &fork.open);
        if held || open || !self.seen.insert(name) {
            return;
        }
        let cancelled = here().any(|side| fork.on(side, id).is_some());
        // A record that says an optional part is not fitted has decided: the step prints just that. A required
        // value that is missing has been said once already. A part that a fork may be without and says it is
        // without is printed as not fitted, and the step passed over.
        let applied = field.safety && reference.scheme == Scheme::Spec;
        if cancelled && !required && !applied || !cancelled && applies && required {
            return;
        }
        let lack = Lack { fork, procedure, reference, field: id };
        if applies && !cancelled {
            self.lacks.push(lack);
        } else {
            let how = if cancelled { "not fitted" } else { "missing" };
            findings.push(at_procedure(shop, fork, &lack, how));
        }
    }

    /// A value that only the other leg has.
    fn other_leg(&mut self, item: &Planned<'s>, reference: &Reference, field: &Field) {
        let id = item.procedure.id.text.as_str();
        match self.on_wrong_leg.iter_mut().find(|(procedure, _)| *procedure == id) {
            Some((_, first)) if first.also.len() < 4 => {
                first.also.push(Label { span: reference.span, text: "nor this".to_owned() });
            }
            Some(_) => {}
            None => self.on_wrong_leg.push((id, wrong_leg(item.procedure, reference, field, item.legs))),
        }
    }
}
