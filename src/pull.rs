//! What to take from the shelf for one job or several: oil by bottles, parts with size and count,
//! consumables, tools, and the time allowed. Like is added only with like.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::book::parts::{held, listed, number, with_number};
use crate::book::sign::{ON_CARD, signed};
use crate::catalogue::{Catalogue, Key, Per, key};
use crate::check::CheckedFork;
use crate::diagnostic::did_you_mean;
use crate::judge::ran_out;
use crate::plan::{Plan, plan};
use crate::quantity::Value;
use crate::record::Service;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::text::visible;
use crate::words::one_of;

/// A job: a service for a fork.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Job {
    /// The fork's id.
    pub fork: String,
    /// The service's id.
    pub service: String,
    /// Hands-on minutes allowed; `None` where neither the service nor its procedures say.
    pub minutes: Option<u64>,
    /// Minutes in which it rests, drips or settles by itself.
    pub waiting: u64,
}

/// One oil, all jobs together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OilLine {
    /// The oil's id.
    pub oil: String,
    /// Its maker and what its bottle is called.
    pub title: String,
    /// What the legs take, mL, rounded up.
    pub amount_ml: u64,
    /// The same with the shop's allowance for waste, mL, rounded up.
    pub with_waste_ml: u64,
    /// Bottles to take: size in mL and count, largest first; empty where the shop names no bottles.
    pub bottles: Vec<(u64, u64)>,
    /// Oil or amount are a family's, and nobody compared them with a sheet of the very fork.
    pub taken_over: bool,
}

/// Parts or consumables of one kind and size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct PartLine {
    /// The id of its record; a new bolt has none.
    pub tool: Option<String>,
    /// What it is called.
    pub title: String,
    /// Its size, where the fork or the shelf says one.
    pub size: Option<String>,
    /// How many; `None`: as much as is needed.
    pub count: Option<u64>,
    /// What is counted.
    pub unit: Option<String>,
    /// The jobs that take it, fork and service.
    pub jobs: Vec<String>,
    /// Its size or that it is taken is a family's, and nobody compared it with a sheet of the very fork.
    pub taken_over: bool,
    /// A tool: since when its calibration has run out, by the day on which a card was released last.
    pub out_since: Option<String>,
}

impl PartLine {
    /// Its size, and that its calibration has run out; empty where there is nothing to say.
    pub fn size_and_standing(&self) -> String {
        let out = self.out_since.as_ref().map(|since| format!("OUT OF CALIBRATION since {since}"));
        self.size.iter().cloned().chain(out).collect::<Vec<_>>().join("; ")
    }
}

/// Everything to take from the shelf.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PullList {
    /// The jobs in the order asked for.
    pub jobs: Vec<Job>,
    /// Oils.
    pub oils: Vec<OilLine>,
    /// Parts that are counted, single-use ones included.
    pub parts: Vec<PartLine>,
    /// Consumables taken as needed.
    pub consumables: Vec<PartLine>,
    /// Tools.
    pub tools: Vec<PartLine>,
    /// What could not be said, one sentence each.
    pub missing: Vec<String>,
}

impl PullList {
    /// Whether anything on it rests on a family's record that nobody compared with a sheet of the very fork.
    pub fn is_signed(&self) -> bool {
        self.oils.iter().any(|oil| oil.taken_over) || self.parts.iter().any(|part| part.taken_over)
    }

    /// Minutes allowed for all jobs; `None` where one of them does not say.
    pub fn minutes(&self) -> Option<u64> {
        self.jobs.iter().map(|job| job.minutes).sum()
    }
}

/// What makes one line: title, size, unit and record.
type Line = (String, Option<String>, Option<String>, Option<String>);

/// What is added up: count and jobs, and whether one of them rests on what nobody compared.
type Lines = BTreeMap<Line, (Option<u64>, Vec<String>, bool)>;

/// What is poured by oil, m³, and whether oil or amount rest on what nobody compared.
type Poured = BTreeMap<String, (f64, bool)>;

/// A job that nobody can do: one sentence with what to name instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchJob(String);

impl std::fmt::Display for NoSuchJob {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NoSuchJob {}

fn unknown<'i>(what: &str, id: &str, ids: impl Iterator<Item = &'i str>) -> NoSuchJob {
    let hint = did_you_mean(id, ids, || "name one by its id, as its file is called".to_owned());
    NoSuchJob(format!("there is no {what} `{id}`: {hint}"))
}

/// What can be asked of a fork: its id with each of its services.
pub fn jobs_of(shop: &Shop, fork: &ResolvedFork) -> Vec<String> {
    shop.services_for(&fork.choices).map(|service| format!("{}:{}", fork.id, service.id.text)).collect()
}

/// The list for jobs, each a fork and a service by id.
///
/// # Errors
/// When a fork or a service is not there, or the service is not for the fork.
pub fn pull(shop: &Shop, forks: &[CheckedFork], jobs: &[(String, String)]) -> Result<PullList, NoSuchJob> {
    let mut plans = Vec::with_capacity(jobs.len());
    for (id, service) in jobs {
        let fork = forks.iter().find(|fork| fork.id == *id).ok_or_else(|| {
            let ids = forks.iter().map(|fork| fork.id.as_str());
            unknown("fork", id, ids)
        })?;
        let is_for_it = |service: &&Service| service.applies.holds(&fork.choices);
        let service = match shop.service(service) {
            Some(service) if is_for_it(&service) => service,
            there => {
                let what = match there {
                    Some(_) => format!("the service `{service}` is not for `{id}`"),
                    None => format!("there is no service `{service}`"),
                };
                let ids = shop.services_for(&fork.choices).map(|service| service.id.text.as_str());
                let jobs = jobs_of(shop, fork);
                let hint = did_you_mean(service, ids, || match jobs.is_empty() {
                    true => "no service of this shop is for it".to_owned(),
                    false => {
                        format!("write {}", one_of(&jobs.iter().map(String::as_str).collect::<Vec<_>>()))
                    }
                });
                return Err(NoSuchJob(format!("{what}: {hint}")));
            }
        };
        plans.push((fork, plan(shop, service, fork)));
    }
    let plans: Vec<(&CheckedFork, &Plan<'_>)> = plans.iter().map(|(fork, plan)| (*fork, plan)).collect();
    Ok(pull_plans(shop, &plans))
}

/// The list for jobs that are planned already.
pub(crate) fn pull_plans(shop: &Shop, plans: &[(&CheckedFork, &Plan<'_>)]) -> PullList {
    let mut out = PullList::default();
    let mut oils = Poured::new();
    let mut lists = Lists::default();
    for (fork, plan) in plans {
        let service = &plan.service.id.text;
        let job = format!("{} {service}", fork.id);
        let (fork_id, minutes, waiting) = (fork.id.clone(), minutes(plan), waiting(plan));
        out.jobs.push(Job { fork: fork_id, service: service.clone(), minutes, waiting });
        poured(shop, fork, plan, &job, &mut oils, &mut out.missing);
        poured_beside(fork, plan, &mut oils);
        single_use(shop, fork, plan, &job, (&mut lists.parts, &mut out.missing));
        tools_and_parts(shop, fork, plan, &job, (&mut lists, &mut out.missing));
        for part in listed(fork, service) {
            let line = (part.title, Some(format!("no. {}", part.number)), Some("pieces".to_owned()), None);
            add(&mut lists.parts, line, part.count.map(u64::from), &job, false);
        }
    }
    out.oils = oil_lines(shop, oils);
    out.parts = lines(lists.parts);
    out.consumables = lines(lists.consumables);
    out.tools = lines(lists.tools);
    let on = shop.last_release();
    for line in &mut out.tools {
        let tool = line.tool.as_deref().and_then(|id| shop.tool(id));
        line.out_since = tool.and_then(|tool| ran_out(tool, on)).map(|since| since.to_string());
    }
    out.missing.sort();
    out.missing.dedup();
    out
}

/// What is added up beside the oil.
#[derive(Default)]
struct Lists {
    parts: Lines,
    consumables: Lines,
    tools: Lines,
}

/// Adds the tools and parts that a plan's procedures name.
fn tools_and_parts(
    shop: &Shop,
    fork: &CheckedFork,
    plan: &Plan<'_>,
    job: &str,
    (lists, missing): (&mut Lists, &mut Vec<String>),
) {
    // The legs on which each is used: a part of the damper's leg is taken once where one leg has a damper.
    let mut used: BTreeMap<&str, [bool; 2]> = BTreeMap::new();
    let kits = held(fork, &plan.service.id.text);
    for item in &plan.items {
        for id in item.procedure.tools.iter().chain(&item.procedure.consumables) {
            let legs = used.entry(&id.text).or_default();
            (0..2).for_each(|n| legs[n] |= item.legs[n]);
        }
    }
    for (tool, legs) in used.into_iter().filter_map(|(id, legs)| Some((shop.tool(id)?, legs))) {
        let count_of = |each: u32| Some(u64::from(each) * legs.iter().filter(|on| **on).count() as u64);
        let key =
            |size: Option<String>| (tool.title.clone(), size, tool.unit.clone(), Some(tool.id.text.clone()));
        match (tool.each_leg, &tool.sized_by) {
            _ if !tool.consumable => add(&mut lists.tools, key(tool.size.clone()), None, job, false),
            // Oil is counted by what is poured.
            (_, Some(by)) if names_poured_oil(&shop.catalogue, &by.text) => {}
            // It comes in a kit that is listed.
            (_, Some(by)) if kits.contains(by.text.as_str()) => {}
            (Some(each), None) => add(&mut lists.parts, key(tool.size.clone()), count_of(each), job, false),
            (count, Some(sized_by)) => {
                let Some(field) = shop.catalogue.find(&sized_by.text) else { continue };
                let mut sized = false;
                for value in sides(legs).filter_map(|side| fork.on(side, field)) {
                    if value.value().is_some() && !value.not_fitted() && !value.is_unknown() {
                        let size = Some(with_number(&value.entry.text, &value.entry));
                        let over = fork.is_uncompared(field);
                        add(&mut lists.parts, key(size), count.map(u64::from), job, over);
                        sized = true;
                    }
                }
                if !sized {
                    missing.push(format!(
                        "{job}: `{}` is missing, so the size of {} is not known",
                        sized_by.text,
                        tool.title.to_lowercase()
                    ));
                }
            }
            (None, None) => add(&mut lists.consumables, key(tool.size.clone()), None, job, false),
        }
    }
}

/// The oils with their amounts and bottles.
fn oil_lines(shop: &Shop, oils: Poured) -> Vec<OilLine> {
    let waste = shop.settings.waste.as_ref().map_or(0.0, crate::quantity::Quantity::middle_si);
    let sizes: Vec<u64> = shop.settings.bottles.iter().map(|bottle| whole_ml(bottle.middle_si())).collect();
    oils.into_iter()
        .map(|(oil, (volume, taken_over))| {
            let with_waste_ml = whole_ml(volume * (1.0 + waste));
            let title = shop.oil(&oil).map_or_else(|| oil.clone(), crate::record::SpecRecord::title);
            OilLine {
                title,
                amount_ml: whole_ml(volume),
                with_waste_ml,
                bottles: bottles(with_waste_ml, &sizes),
                oil,
                taken_over,
            }
        })
        .collect()
}

/// The sides on which work is done.
fn sides(legs: [bool; 2]) -> impl Iterator<Item = Side> {
    Side::BOTH.into_iter().zip(legs).filter(|(_, on)| *on).map(|(side, _)| side)
}

/// The sides of a value that a plan's steps name: the legs they are done on, or one where it is not per leg.
fn named_sides(per: Per, legs: [bool; 2]) -> impl Iterator<Item = Side> {
    sides(if per == Per::Leg { legs } else { [true, false] })
}

/// Cubic metres to millilitres, rounded up; what is left over from the conversion itself is not.
fn whole_ml(volume: f64) -> u64 {
    // A volume that was read is finite and not negative.
    libm::ceil(volume.max(0.0) * 1e6 - 1e-6) as u64
}

fn add(lines: &mut Lines, key: Line, count: Option<u64>, job: &str, taken_over: bool) {
    let (sum, jobs, over) = lines.entry(key).or_insert((count.map(|_| 0), Vec::new(), false));
    *over |= taken_over;
    *sum = sum.zip(count).map(|(sum, count)| sum + count);
    if jobs.last().is_none_or(|last| last != job) {
        jobs.push(job.to_owned());
    }
}

fn lines(lines: Lines) -> Vec<PartLine> {
    lines
        .into_iter()
        .map(|((title, size, unit, tool), (count, jobs, taken_over))| PartLine {
            tool,
            title,
            size,
            count,
            unit,
            jobs,
            taken_over,
            out_since: None,
        })
        .collect()
}

/// The minutes a service allows, else those of its procedures together; `None` where one does not say.
pub(crate) fn minutes(plan: &Plan<'_>) -> Option<u64> {
    let seconds = match &plan.service.time {
        Some(time) => time.middle_si(),
        None => plan
            .procedures
            .iter()
            .map(|p| p.time.as_ref().map(crate::quantity::Quantity::middle_si))
            .sum::<Option<f64>>()?,
    };
    Some(libm::round(seconds / 60.0) as u64)
}

/// The minutes in which a service's procedures rest, drip or settle by themselves.
pub(crate) fn waiting(plan: &Plan<'_>) -> u64 {
    let waits = plan.procedures.iter().filter_map(|procedure| procedure.waiting.as_ref());
    libm::round(waits.map(crate::quantity::Quantity::middle_si).sum::<f64>() / 60.0) as u64
}

/// Whether the value of a key names the oil of an amount that is poured.
fn names_poured_oil(catalogue: &Catalogue, key: &str) -> bool {
    let mut poured = catalogue.relations().poured().iter().flat_map(|(_, oils)| oils);
    catalogue.find(key).is_some_and(|field| poured.any(|oil| *oil == field))
}

/// What the service pours, by oil, m³.
fn poured(
    shop: &Shop,
    fork: &CheckedFork,
    plan: &Plan<'_>,
    job: &str,
    amounts: &mut Poured,
    missing: &mut Vec<String>,
) {
    let named: BTreeSet<&str> =
        plan.references().filter(|r| r.scheme == Scheme::Spec).map(|r| r.target.as_str()).collect();
    let catalogue = &shop.catalogue;
    for (field, oils) in catalogue.relations().poured() {
        let about = catalogue.field(*field);
        let amount = about.key.as_str();
        if !named.contains(amount) {
            continue;
        }
        for side in named_sides(about.per, plan.legs_of(Scheme::Spec, amount)) {
            let Some(volume) = fork.on(side, *field).and_then(Resolved::quantity) else {
                // Too little oil on the shelf looks like enough.
                let resolved = fork.on(side, *field);
                if resolved.is_none_or(|resolved| !resolved.not_fitted()) && fork.takes(side, about) {
                    let lacks = if resolved.is_some() { "is unknown" } else { "is missing" };
                    missing.push(format!("{job}: `{amount}` {lacks}, so what it pours is not counted"));
                }
                continue;
            };
            let named = oils.iter().find_map(|oil| Some((*oil, fork.on(side, *oil)?.value()?)));
            let (by, oil) = (named.map(|(by, _)| by), named.map(|(_, oil)| oil));
            match (oil, oils.first()) {
                (Some(Value::Reference(id)), _) => {
                    let (sum, over) = amounts.entry(id.clone()).or_default();
                    *sum += volume.middle_si();
                    *over |= fork.is_uncompared(*field) || by.is_some_and(|by| fork.is_uncompared(by));
                }
                (_, Some(oil)) => {
                    let oil = &catalogue.field(*oil).key;
                    missing.push(format!("{job}: `{oil}` is missing, so `{amount}` is not counted"));
                }
                (_, None) => {}
            }
        }
    }
}

/// What its procedures pour beside the amounts of the record, such as a rinse, added to the oil of its leg. A leg
/// that names no oil has been told of already.
fn poured_beside(fork: &CheckedFork, plan: &Plan<'_>, oils: &mut Poured) {
    for item in &plan.items {
        let Some(volume) = &item.procedure.pours else { continue };
        for value in sides(item.legs).filter_map(|side| fork.on(side, key::OIL_OIL.id())) {
            if let Some(Value::Reference(id)) = value.value() {
                let (sum, over) = oils.entry(id.clone()).or_default();
                *sum += volume.middle_si();
                *over |= fork.is_uncompared(key::OIL_OIL.id());
            }
        }
    }
}

/// Bolts and clips that are used once.
fn single_use(
    shop: &Shop,
    fork: &CheckedFork,
    plan: &Plan<'_>,
    job: &str,
    (parts, missing): (&mut Lines, &mut Vec<String>),
) {
    new_clips(fork, plan, job, parts);
    let named: BTreeSet<&str> =
        plan.references().filter(|r| r.scheme == Scheme::Spec).map(|r| r.target.as_str()).collect();
    let kits = held(fork, &plan.service.id.text);
    let bought = named.iter().filter(|key| !kits.contains(**key));
    for (key, field) in bought.filter_map(|key| Some((key, shop.catalogue.find(key)?))) {
        let about = shop.catalogue.field(field);
        let sides = named_sides(about.per, plan.legs_of(Scheme::Spec, key));
        for value in sides.filter_map(|side| fork.on(side, field)) {
            let says = |key: &str| value.entry.attributes.get(key).map(|named| named.text.text.clone());
            if says("single_use").as_deref() != Some("true") {
                continue;
            }
            let title = format!("New bolt: {}", about.title.to_lowercase());
            let count = says("pieces").and_then(|text| text.parse().ok());
            if count.is_none() {
                missing.push(format!("{job}: `{key}` does not say its `pieces:`, so one bolt is counted"));
            }
            let size = match (says("thread"), number(&value.entry)) {
                (thread, None) => thread,
                (thread, Some(_)) => Some(
                    with_number(&thread.unwrap_or_default(), &value.entry)
                        .trim_start_matches(", ")
                        .to_owned(),
                ),
            };
            let line = (title, size, Some("pieces".to_owned()), None);
            add(parts, line, Some(count.unwrap_or(1)), job, fork.is_uncompared(field));
        }
    }
}

/// A clip for each leg on which the steps name it, where the record has it replaced.
fn new_clips(fork: &CheckedFork, plan: &Plan<'_>, job: &str, parts: &mut Lines) {
    let replaced = key::SEALS_CLIP_SINGLE_USE;
    let on = |side: Side, key: Key| fork.on(side, key.id());
    let kits = held(fork, &plan.service.id.text);
    if kits.contains(key::SEALS_CLIP.name()) {
        return;
    }
    for side in sides(plan.legs_of(Scheme::Spec, replaced.name())) {
        let value = on(side, replaced).and_then(Resolved::value);
        if !matches!(value, Some(Value::Choice(word)) if word == "replace") {
            continue;
        }
        let size = on(side, key::SEALS_CLIP).map(|clip| with_number(&clip.entry.text, &clip.entry));
        let line = ("New seal clip".to_owned(), size, Some("pieces".to_owned()), None);
        let over = [replaced, key::SEALS_CLIP].iter().any(|key| fork.is_uncompared(key.id()));
        add(parts, line, Some(1), job, over);
    }
}

fn greatest_divisor(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { greatest_divisor(b, a % b) }
}

/// Bottles that hold at least `need` mL with the least left over, and the fewest of these.
fn bottles(need: u64, sizes: &[u64]) -> Vec<(u64, u64)> {
    let mut sizes: Vec<u64> = sizes.iter().copied().filter(|size| *size > 0).collect();
    sizes.sort_unstable_by(|a, b| b.cmp(a));
    sizes.dedup();
    let Some(largest) = sizes.first().copied() else { return Vec::new() };
    // Counted in the greatest amount that all sizes are whole multiples of: 50 mL as a rule.
    let unit = sizes.iter().copied().fold(0, greatest_divisor);
    if unit > 1 {
        let smaller: Vec<u64> = sizes.iter().map(|size| size / unit).collect();
        let taken = bottles(need.div_ceil(unit), &smaller);
        return taken.into_iter().map(|(size, count)| (size * unit, count)).collect();
    }
    // Beyond twenty of the largest the rest is all that needs thought.
    let bulk = (need / largest).saturating_sub(20);
    let rest = usize::try_from(need - bulk * largest).unwrap_or(usize::MAX);
    let top = rest.saturating_add(usize::try_from(largest).unwrap_or(0));
    // By amount: the fewest bottles that hold exactly it, and the last of them.
    let mut fewest: Vec<Option<(u64, u64)>> = vec![None; top + 1];
    fewest[0] = Some((0, 0));
    for amount in 1..=top {
        for size in &sizes {
            let Some(before) = usize::try_from(*size).ok().and_then(|size| amount.checked_sub(size)) else {
                continue;
            };
            if let Some((count, _)) = fewest[before]
                && fewest[amount].is_none_or(|(best, _)| count + 1 < best)
            {
                fewest[amount] = Some((count + 1, *size));
            }
        }
    }
    let mut counts: BTreeMap<u64, u64> = BTreeMap::new();
    if bulk > 0 {
        counts.insert(largest, bulk);
    }
    let mut at = (rest..=top).find(|amount| fewest[*amount].is_some()).unwrap_or(0);
    while at > 0 {
        let Some((_, size)) = fewest[at] else { break };
        *counts.entry(size).or_default() += 1;
        at = at.saturating_sub(usize::try_from(size).unwrap_or(at));
    }
    counts.into_iter().rev().collect()
}

/// The list for a person.
pub fn text(list: &PullList) -> String {
    let mut out = String::new();
    let mut line = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    line("Jobs".to_owned());
    for job in &list.jobs {
        line(format!("  {}, {}: {}", job.fork, job.service, time(job.minutes, job.waiting)));
    }
    if list.jobs.len() > 1 {
        let waiting = list.jobs.iter().map(|job| job.waiting).sum();
        line(format!("  together: {}", time(list.minutes(), waiting)));
    }
    if !list.oils.is_empty() {
        line("Oil".to_owned());
    }
    for oil in &list.oils {
        let bottles: Vec<String> =
            oil.bottles.iter().map(|(size, count)| format!("{count} × {size} mL")).collect();
        let take = if bottles.is_empty() { String::new() } else { format!(": {}", bottles.join(" + ")) };
        let told =
            format!("  {}, {} mL, with waste {} mL{take}", oil.title, oil.amount_ml, oil.with_waste_ml);
        line(signed(&told, oil.taken_over));
    }
    for (title, lines) in [("Parts", &list.parts), ("Consumables", &list.consumables), ("Tools", &list.tools)]
    {
        if !lines.is_empty() {
            line(title.to_owned());
        }
        for part in lines {
            let count = part.count.map_or(String::new(), |count| format!("{count} × "));
            let size = match part.size_and_standing() {
                size if size.is_empty() => size,
                size => format!(", {size}"),
            };
            line(signed(&format!("  {count}{}{size}", part.title), part.taken_over));
        }
    }
    if !list.missing.is_empty() {
        line("Not counted".to_owned());
        list.missing.iter().for_each(|missing| line(format!("  {missing}")));
    }
    if list.is_signed() {
        line(ON_CARD.to_owned());
    }
    out
}

/// `4 h 10 min, 0 h 45 min waiting`: hands-on time, and the waiting beside it.
fn time(minutes: Option<u64>, waiting: u64) -> String {
    let value = |minutes: u64| format!("{} h {:02} min", minutes / 60, minutes % 60);
    match (minutes, waiting) {
        (Some(minutes), 0) => value(minutes),
        (Some(minutes), waiting) => format!("{}, {} waiting", value(minutes), value(waiting)),
        (None, _) => "time not said".to_owned(),
    }
}

/// The list as CSV (RFC 4180): kind, title, size, count, unit, jobs, and what is to be known of it.
pub fn csv(list: &PullList) -> String {
    let mut out = String::from("kind,title,size,count,unit,jobs,note\r\n");
    let note = |taken_over| if taken_over { "not compared with a sheet of this fork" } else { "" };
    let mut row = |cells: [&str; 7]| {
        let cells: Vec<String> = cells.iter().map(|cell| csv_cell(cell)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    };
    for oil in &list.oils {
        row(["oil", &oil.title, "", &oil.with_waste_ml.to_string(), "mL", "", note(oil.taken_over)]);
        for (size, count) in &oil.bottles {
            row([
                "bottle",
                &oil.title,
                &format!("{size} mL"),
                &count.to_string(),
                "bottles",
                "",
                note(oil.taken_over),
            ]);
        }
    }
    for (kind, lines) in [("part", &list.parts), ("consumable", &list.consumables), ("tool", &list.tools)] {
        for part in lines {
            let count = part.count.map_or(String::new(), |count| count.to_string());
            let (size, unit) = (part.size_and_standing(), part.unit.as_deref().unwrap_or(""));
            row([kind, &part.title, &size, &count, unit, &part.jobs.join("; "), note(part.taken_over)]);
        }
    }
    out
}

/// A cell, quoted where it must be. One that a spreadsheet would take for a formula is told apart by a quote mark.
fn csv_cell(text: &str) -> String {
    let text = visible(text);
    let guarded = if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.into_owned()
    };
    if guarded.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", guarded.replace('"', "\"\""))
    } else {
        guarded
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For the apprentice at the shelf: enough oil, little left over, few bottles.
    #[test]
    fn bottles_hold_enough_with_the_least_left_over() {
        for need in 0..6000 {
            for sizes in [&[1000, 500][..], &[1000], &[1000, 250], &[700, 400]] {
                let taken = bottles(need, sizes);
                let held: u64 = taken.iter().map(|(size, count)| size * count).sum();
                assert!(held >= need);
                // By trying every count of two sizes.
                let (a, b) = (sizes[0], sizes.get(1).copied().unwrap_or(sizes[0]));
                let all =
                    (0..=need / a + 1).flat_map(|x| (0..=need / b + 1).map(move |y| (x * a + y * b, x + y)));
                let best = all.filter(|(held, _)| *held >= need).min().unwrap();
                assert_eq!(
                    (held, taken.iter().map(|(_, count)| count).sum()),
                    best,
                    "{need} mL from {sizes:?}"
                );
            }
        }
        assert_eq!(bottles(30_300, &[1000, 500]), [(1000, 30), (500, 1)]);
        assert_eq!(bottles(300, &[]), []);
    }

    #[test]
    fn a_cell_cannot_become_a_formula_or_a_second_cell() {
        for begin in ["=1+1", "+1", "-1", "@sum(a1)", "\tx"] {
            assert_eq!(csv_cell(begin), format!("'{begin}"));
        }
        assert_eq!(csv_cell("\r=1"), "<U+000D>=1");
        assert_eq!(csv_cell("1-1/4 in"), "1-1/4 in");
        assert_eq!(csv_cell("a,\"b\""), "\"a,\"\"b\"\"\"");
    }
}
