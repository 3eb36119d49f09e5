//! A draft of a service: the procedures for one kind of fork, in an order in which each finds what it needs.

use super::write::{Draft, comment, quoted, title};
use crate::catalogue::made;
use crate::plan::{Effect, Vocabulary, effect, is_for, on_legs};
use crate::record::{Phase, Procedure};
use crate::resolve::{ResolvedFork, Shop};

/// A draft of a service for forks of one kind: every procedure that is for one of them, in order as far as that can be
/// told. `forks` are those of the shop.
pub fn service(shop: &Shop, forks: &[&ResolvedFork], like: &ResolvedFork, id: &str) -> Draft {
    let mut out = "# yaml-language-server: $schema=../../specs/schema/service.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        &format!(
            "A draft: every procedure that is for forks like `{}`. Remove what this service leaves out; `check` says where the order does not hold.",
            like.id
        ),
    );
    out.push_str(&format!("id: {id}\ntitle: {}\nfor:\n", quoted(&title(id))));
    for (n, (choice, option)) in made(&like.choices).enumerate() {
        let lead = if n == 0 { "  - " } else { "    " };
        out.push_str(&format!("{lead}{choice}: [{option}]\n"));
    }
    out.push_str("time: 1 h\nprocedures:\n");
    let (taken, left_out) = in_order(shop, &with_every_part(like));
    let is_alike = |fork: &&&ResolvedFork| made(&fork.choices).eq(made(&like.choices));
    let is_done = |procedure: &Procedure| {
        is_for(shop, procedure, like)
            || forks.iter().filter(is_alike).any(|fork| is_for(shop, procedure, fork))
    };
    let (taken, without): (Vec<&Procedure>, Vec<&Procedure>) =
        taken.into_iter().partition(|procedure| procedure.fitted.is_empty() || is_done(procedure));
    // On a card that is published such a step is an error.
    let (unwritten, taken): (Vec<&Procedure>, Vec<&Procedure>) =
        taken.into_iter().partition(|procedure| !procedure.placeholders.is_empty());
    for procedure in taken {
        let id = &procedure.id.text;
        // Others of the service's forks may be without the part.
        match procedure.fitted.is_empty() {
            true => out.push_str(&format!("  - {id}\n")),
            false => out.push_str(&format!("  - where_fitted: [{id}]\n")),
        }
    }
    for (why, left_out) in [
        ("Left out, since what they need does not hold after these", left_out),
        (
            "Left out, since no such fork of the shop has the part; for one that has it, `where_fitted: [ID]`",
            without,
        ),
        ("Left out, since it is not written yet; name it here once it is", unwritten),
    ] {
        let names: Vec<&str> = left_out.iter().map(|procedure| procedure.id.text.as_str()).collect();
        if !names.is_empty() {
            comment(&mut out, "# ", &format!("{why}: {}.", names.join(", ")));
        }
    }
    (format!("procedures/services/{id}.yaml"), out)
}

/// A fork that has every part its kind can have: others of the kind may have what this one lacks.
fn with_every_part(like: &ResolvedFork) -> ResolvedFork {
    let mut fork = like.clone();
    for leg in &mut fork.legs {
        leg.values.retain(|_, value| !value.not_fitted());
    }
    fork.whole.retain(|_, value| !value.not_fitted());
    fork
}

/// The procedures for a fork in an order in which each finds what it needs, as far as there is one: of those that can
/// be done next, one that takes nothing away from what is still to be done, then by phase. Those that can never be done
/// after the others come apart: they are another way of doing the same.
fn in_order<'s>(shop: &'s Shop, like: &ResolvedFork) -> (Vec<&'s Procedure>, Vec<&'s Procedure>) {
    let vocabulary = Vocabulary::of(shop);
    let meant = vocabulary.meant(like);
    let mut rest: Vec<(Phase, &Procedure, Effect)> = Vec::new();
    for phase in Phase::ALL {
        let of_phase = shop.procedures.iter().filter(|procedure| procedure.phase == Some(phase));
        rest.extend(of_phase.filter(|procedure| is_for(shop, procedure, like)).map(|procedure| {
            let legs = on_legs(shop, procedure, None, like);
            (phase, procedure, effect(&vocabulary, procedure, legs, &meant))
        }));
    }
    let mut held = vocabulary.with_implied(&vocabulary.slots(&shop.conditions.start, [true; 2], &meant));
    let mut out = Vec::with_capacity(rest.len());
    while !rest.is_empty() {
        let cost = |at: usize| {
            let (phase, _, effect) = &rest[at];
            let lacks = effect.needs.without(&held).iter().count();
            let taken = effect.ends.and(&held);
            // What a later phase needs again, something between may bring about again.
            let spoilt = rest.iter().enumerate().filter(|(other, (later, _, effect))| {
                *other != at && later <= phase && !effect.needs.and(&taken).is_empty()
            });
            (lacks > 0, spoilt.count(), *phase, at)
        };
        let Some(next) = (0..rest.len()).min_by_key(|at| cost(*at)) else { break };
        if cost(next).0 {
            break;
        }
        let (_, procedure, effect) = rest.remove(next);
        held.drop(&effect.ends);
        held.join(&effect.brings);
        out.push(procedure);
    }
    (out, rest.into_iter().map(|(_, procedure, _)| procedure).collect())
}
