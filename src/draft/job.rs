//! A draft of a job: every box of the card, to be typed in from paper.

use super::write::{Draft, comment, quoted};
use crate::date::Date;
use crate::derive::Derived;
use crate::judge::{ReadingBox, asked, boxes};
use crate::plan::Plan;
use crate::record::{BLANK, RecordKind};
use crate::resolve::{ResolvedFork, Shop, Side};

/// What the shop's papers say of a job that is begun.
pub struct JobBegun<'b> {
    /// The year's folder and the number.
    pub number: &'b str,
    /// The day; none where nobody said it.
    pub date: Option<Date>,
    /// The code of the newest card, where one was released.
    pub card: Option<&'b str>,
}

/// A draft of a job on a fork: its service's boxes, each with the target as the card prints it.
pub fn job(
    shop: &Shop,
    fork: &ResolvedFork,
    derived: &Derived,
    plan: &Plan<'_>,
    begun: &JobBegun<'_>,
) -> Draft {
    let mut out = "# yaml-language-server: $schema=../../schema/job.schema.json\n".to_owned();
    comment(
        &mut out,
        "# ",
        "Type in what the card says, with its unit, and take away the `# ` in front. No name, no telephone number: a job needs machine and reading alone. What was not read goes under `skipped:` with its reason.",
    );
    let machine = fork.record.machines.first();
    let (maker, model) = machine.map_or((BLANK, BLANK), |machine| (&machine.maker, &machine.model));
    out.push_str(&format!("fork: {}\nservice: {}\n", fork.id, plan.service.id.text));
    match begun.card {
        Some(code) => out.push_str(&format!("card: {code}\n")),
        None => out.push_str(&format!("# card: {BLANK}\n")),
    }
    out.push_str(&format!(
        "machine: {{maker: {}, model: {}, frame: \"{BLANK}\"}}\n",
        quoted(maker),
        quoted(model)
    ));
    let date = begun.date.map_or(BLANK.to_owned(), |date| date.to_string());
    out.push_str(&format!("date: \"{date}\"\n# distance: {BLANK} km\n# complaint: {BLANK}\n"));
    out.push_str(&format!("# rider: {{mass: {BLANK} kg, use: {BLANK}}}\n# oil: {{oil: {BLANK}, batch: \"{BLANK}\", temperature: {BLANK} °C}}\n"));
    if fork.oils().len() > 1 {
        out.push_str(&format!("# other_oils:\n#   - {{oil: {BLANK}, batch: \"{BLANK}\"}}\n"));
    }
    let all = boxes(&shop.catalogue, fork, plan);
    for (as_left, key) in [(false, "found"), (true, "left")] {
        out.push_str(&format!("\n# {key}:\n"));
        for reading in all.iter().filter(|reading| reading.as_left == as_left) {
            out.push_str(&line(shop, fork, derived, reading));
        }
    }
    out.push_str(&format!(
        "\n# parts:\n#   - {{part: {BLANK}, size: {BLANK}}}\n# skipped:\n#   - {{what: {BLANK}, why: {BLANK}}}\n# done_by: {BLANK}\n# read_back_by: {BLANK}\n"
    ));
    (RecordKind::Job.path(begun.number), out)
}

/// `#   oil.air_gap: {left: … mm, right: … mm, target: 110 mm ± 2 mm}`
fn line(shop: &Shop, fork: &ResolvedFork, derived: &Derived, reading: &ReadingBox) -> String {
    let field = shop.catalogue.field(reading.field);
    let asked = asked(shop, fork, derived, reading.field);
    let unit = asked.unit.map(|unit| unit.symbol).unwrap_or_default();
    let blank = format!("{BLANK} {unit}").trim().to_owned();
    let mut parts: Vec<String> = Vec::new();
    if reading.apart {
        let legs = Side::BOTH.into_iter().zip(reading.legs).filter(|(_, read)| *read);
        parts.extend(legs.map(|(side, _)| format!("{}: {blank}", side.word())));
    } else {
        parts.push(format!("value: {blank}"));
    }
    if reading.as_left {
        let said = asked.legs.clone().map(|asked| asked.map(|asked| asked.said.replace('\u{a0}', " ")));
        match said {
            [Some(left), Some(right)] if left != right && reading.apart => {
                parts.push(format!("target: {{left: {}, right: {}}}", quoted(&left), quoted(&right)));
            }
            [left, right] => parts.extend(left.or(right).map(|said| format!("target: {}", quoted(&said)))),
        }
    }
    if field.group == "torque" {
        parts.push(format!("wrench: {BLANK}"));
    }
    format!("#   {}: {{{}}}   # {}\n", field.key, parts.join(", "), asked.title)
}
