//! What a fork takes over from its family is of this very fork only where somebody compared it.

use crate::check::CheckedFork;
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::resolve::Shop;
use crate::review::{Comparison, compared_with, counted};

/// inherited-not-compared: what is taken over and was compared with no source of this fork, once a fork.
pub(super) fn compared(shop: &Shop, fork: &CheckedFork, findings: &mut Vec<Finding>) {
    let Some(family) = fork.record.family.as_ref() else { return };
    let open = || fork.inherited.values.iter().filter(|(_, comparison)| **comparison != Comparison::Done);
    let (all, choices) = (open().count(), fork.inherited.open_choices().count());
    if all + choices == 0 {
        return;
    }
    let safety = open().filter(|(field, _)| shop.catalogue.field(**field).safety).count();
    let inherited = open().map(|(_, comparison)| comparison).chain(fork.inherited.choices.values());
    let since = inherited.filter(|comparison| matches!(comparison, Comparison::Overtaken(_))).count();
    let mut parts = Vec::new();
    if safety > 0 {
        parts.push(format!("{safety} can hurt somebody"));
    }
    if since > 0 {
        parts.push(format!("{since} changed since somebody did"));
    }
    let parts = if parts.is_empty() { String::new() } else { format!(": {}", parts.join(", ")) };
    let values = counted(all, choices);
    let what =
        format!("nobody compared {values} of the family `{}` with this fork's own sheet{parts}", family.text);
    let mut sources = fork.record.sources.iter().filter(|note| !note.id.text.is_empty());
    let source = sources.find(|note| compared_with(&fork.record, &note.id.text).is_some());
    let source = source.map_or("SOURCE", |note| note.id.text.as_str());
    let severity = if fork.record.draft { Severity::Note } else { Severity::Warning };
    findings.push(
        rules::INHERITED_NOT_COMPARED
            .graded(severity, family.span, what)
            .bench("what is right for another model is printed for this one; a sign marks each such number")
            .instead(format!(
                "see them with `benchleaf approve {} --compared {source}`, write in this record what its sheet says otherwise, and record the rest with `--by` and `--date`",
                fork.id
            )),
    );
}

/// family-of-another-maker: a fork that another maker built than those of its family.
pub(super) fn maker(shop: &Shop, fork: &CheckedFork, findings: &mut Vec<Finding>) {
    let (record, Some(family)) = (&fork.record, &fork.family) else { return };
    let Some(named) = record.family.as_ref() else { return };
    let is_blank = record.placeholders.iter().any(|words| words.text == record.maker.trim());
    if record.maker.trim().is_empty() || is_blank {
        return;
    }
    let theirs = match family.maker.trim() {
        "" => of_the_others(shop, fork),
        maker => Some(maker),
    };
    let Some(theirs) = theirs.filter(|theirs| !same(theirs, &record.maker)) else { return };
    // Compared with its own sheet, each figure was said of this very fork.
    let open =
        fork.inherited.values.iter().any(|(field, comparison)| {
            *comparison != Comparison::Done && shop.catalogue.field(*field).safety
        });
    findings.push(
        rules::FAMILY_OF_ANOTHER_MAKER
            .graded(
                if open { weight(fork) } else { Severity::Warning },
                named.span,
                format!(
                    "{} made this fork, and {theirs} the forks of its family `{}`",
                    record.maker.trim(),
                    named.text
                ),
            )
            .bench("another maker's torques, oil and baselines would be set on this fork")
            .instead("take `family:` out and write down what this fork's own sheet says"),
    );
}

/// The maker of all other finished forks of the family; `None` where there is none, or several.
fn of_the_others<'s>(shop: &'s Shop, fork: &CheckedFork) -> Option<&'s str> {
    let family = fork.record.family.as_ref()?;
    let others = shop.forks.iter().filter(|other| {
        !other.draft
            && other.id.text != fork.id
            && other.family.as_ref().is_some_and(|id| id.text == family.text)
            && !other.maker.trim().is_empty()
    });
    let mut makers = others.map(|other| other.maker.trim());
    let first = makers.next()?;
    makers.all(|maker| same(maker, first)).then_some(first)
}

fn same(a: &str, b: &str) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(a) == plain(b)
}
