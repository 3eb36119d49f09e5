//! Findings that a shop lets stand, with a reason and a name.

use std::collections::HashSet;

use super::dates::unreadable;
use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, Rule, Severity, did_you_mean, rules};
use crate::record::{Accept, BLANK, acceptance};
use crate::resolve::Shop;
use crate::review::is_approver;
use crate::text::{FileId, Span};
use crate::words::one_of;

/// accept-without-finding, accept-refused: drops what is accepted at its value, and says which acceptance meets nothing.
/// accept-not-by-approver, accept-expired, date-unreadable, accept-until-not-judged, rule-renamed: an acceptance by someone who may not, or past
/// its day, lets nothing stand.
pub(crate) fn apply(shop: &Shop, day: Option<AsOf>, mut findings: Vec<Finding>) -> Vec<Finding> {
    let mut idle = Vec::new();
    let records: HashSet<FileId> = shop.records().map(|record| record.file).collect();
    for record in shop.records() {
        for accept in &record.accept {
            if let Some(family) = record.family.as_ref().filter(|_| holds(shop, day, accept, &mut idle)) {
                let_stand(&records, accept, family.span, true, &mut findings, &mut idle);
            }
        }
        for line in &record.values {
            let mut accepts: Vec<&Accept> = line.sides.entries().flat_map(|entry| &entry.accept).collect();
            accepts.sort_by_key(|accept| accept.finding.span);
            accepts.dedup_by_key(|accept| accept.finding.span);
            for accept in accepts {
                if !holds(shop, day, accept, &mut idle) {
                    continue;
                }
                let_stand(
                    &records,
                    accept,
                    line.span,
                    line.sides.entries().all(|entry| entry.value.is_some()),
                    &mut findings,
                    &mut idle,
                );
            }
        }
    }
    let families: HashSet<Span> =
        shop.forks.iter().filter_map(|fork| fork.family.as_ref()).map(|family| family.span).collect();
    for finding in &mut findings {
        let place = match families.contains(&finding.span) {
            true => "on a line of its own below `family:`",
            false => "beside its `value:`",
        };
        offer(finding, place);
    }
    findings.extend(idle);
    findings
}

/// How a finding says by itself that it may be let stand.
const IN_SHORT: &str = "with `accept:`, a reason and a name";

/// Adds to a finding that may be let stand how that is written.
fn offer(finding: &mut Finding, place: &str) {
    if !finding.rule.acceptable || finding.severity == Severity::Note {
        return;
    }
    let form = format!("`{}` {place}", acceptance(finding.code(), BLANK));
    finding.instead = match finding.instead.contains(IN_SHORT) {
        true => finding.instead.replace(IN_SHORT, &format!("with {form}")),
        false => format!("{}; or, if it is right all the same, an approver adds {form}", finding.instead),
    };
}

/// Whether an acceptance lets anything stand.
fn holds(shop: &Shop, day: Option<AsOf>, accept: &Accept, findings: &mut Vec<Finding>) -> bool {
    if !is_approver(shop, &accept.by.text) {
        let approvers = shop.settings.approvers.iter().map(|name| name.text.as_str());
        let all: Vec<&str> = approvers.clone().collect();
        findings.push(
            rules::ACCEPT_NOT_BY_APPROVER
                .at(
                    accept.by.span,
                    format!(
                        "`{}` is not among the shop's approvers, so `{}` does not stand",
                        accept.by.text, accept.finding.text
                    ),
                )
                .bench("a finding waved through by someone who may not is a finding nobody answers for")
                .instead(did_you_mean(&accept.by.text, approvers, || {
                    format!("let {} decide, or add the name to `approvers:` in specs/shop.yaml", one_of(&all))
                })),
        );
        return false;
    }
    let Some(until) = &accept.until else { return true };
    let Some(last) = Date::read(&until.text) else {
        findings.push(unreadable(until));
        return false;
    };
    match day {
        Some(day) if day.date > last => {
            findings.push(
                rules::ACCEPT_EXPIRED
                    .at(
                        until.span,
                        format!(
                            "`{}` was let stand until {last}, and the last commit is of {}",
                            accept.finding.text, day.date
                        ),
                    )
                    .bench("what was good enough for a while has become the rule without anyone deciding so")
                    .instead("mend the value, or let an approver set a new day"),
            );
            false
        }
        Some(_) => true,
        None => {
            findings.push(
                rules::ACCEPT_UNTIL_NOT_JUDGED.at(until.span,
                    format!("whether `{}` still stands is not judged: the shop is not in git, so there is no day to judge by", accept.finding.text),
                )
                .bench("an acceptance may have run out without a word")
                .instead("keep the shop in git; the day of its last commit decides"),
            );
            true
        }
    }
}

/// `records`: the files of records that hold values.
fn let_stand(
    records: &HashSet<FileId>,
    accept: &Accept,
    line: Span,
    readable: bool,
    findings: &mut Vec<Finding>,
    idle: &mut Vec<Finding>,
) {
    let code = accept.finding.text.as_str();
    let Some(rule) = Rule::named(code).filter(|rule| rule.acceptable) else {
        let acceptable = rules::ALL.iter().filter(|rule| rule.acceptable).map(|rule| rule.code);
        idle.push(
            rules::ACCEPT_REFUSED
                .at(accept.finding.span, format!("`{code}` is not a finding that can be let stand"))
                .bench("a value that cannot be read or does not belong must be mended, not waved through")
                .instead(did_you_mean(code, acceptable, || {
                    "mend the value: only a judgement on a sound one can be let stand, such as `outside-band`"
                        .to_owned()
                })),
        );
        return;
    };
    if rule.code != code {
        idle.push(
            rules::RULE_RENAMED
                .at(accept.finding.span, format!("`{code}` is now called `{}`", rule.code))
                .bench("nothing changes; whoever looks the finding up meets it under its new name")
                .instead(format!("write `finding: {}`", rule.code)),
        );
    }
    let before = findings.len();
    let inside = |span: Span| {
        span.file == line.file && span.start >= line.start && span.end <= line.end.max(span.start)
    };
    // What a service does with the value is said at the service, and names the value.
    let names = |finding: &Finding| {
        !records.contains(&finding.span.file) && finding.also.iter().any(|label| inside(label.span))
    };
    findings.retain(|finding| !(finding.rule == rule && (inside(finding.span) || names(finding))));
    if findings.len() == before && readable {
        idle.push(
            rules::ACCEPT_WITHOUT_FINDING
                .at(accept.finding.span, format!("there is no finding `{code}` here to let stand"))
                .bench("an acceptance that meets nothing hides the next mistake")
                .instead("remove it"),
        );
    }
}
