//! A comparison for a person: plain text for a terminal, Markdown for a comment on a change.

use std::collections::BTreeMap;

use super::change::{
    Comparison, Figure, FindingChange, GuardChange, NewPart, Outcome, RecordChange, TextChange, ValueChange,
};
use super::marked::{Run, marked};
use crate::diagnostic::Severity;
use crate::text::visible;

/// The most cards that are listed by name.
const MOST_CARDS: usize = 40;

/// The pages that the text names; the rest is counted.
const FIRST_PAGES: usize = 8;

fn counted(count: usize, singular: &str) -> String {
    if count == 1 { format!("1 {singular}") } else { format!("{count} {singular}s") }
}

/// What changed, in one line.
fn summary(comparison: &Comparison) -> String {
    if comparison.is_empty() {
        return "Nothing changed.".to_owned();
    }
    let critical = comparison.values.iter().filter(|change| change.safety).count();
    let mut parts =
        vec![format!("{} ({critical} safety-critical)", counted(comparison.values.len(), "value"))];
    let slips = comparison.values.iter().filter(|change| change.slip.is_some()).count();
    if slips > 0 {
        parts.push(counted(slips, "suspected unit slip"));
    }
    let lost = comparison.guards.iter().filter(|guard| guard.lost).count();
    if lost > 0 {
        parts.push(format!("{} TAKEN AWAY", counted(lost, "guard")));
    }
    parts.push(counted(comparison.texts.len(), "change of text"));
    parts.push(format!("{} new", counted(comparison.found.len(), "finding")));
    parts.push(format!("{} withdrawn", comparison.withdrawn.len()));
    parts.push(format!("{} out of date", counted(comparison.stale.len(), "printed card")));
    format!("{}.", parts.join(", ").replace("change of texts", "changes of text"))
}

/// Everything about one record, in the order in which it is told.
#[derive(Default)]
struct Changes<'c> {
    records: Vec<&'c RecordChange>,
    added: Vec<&'c NewPart>,
    values: Vec<&'c ValueChange>,
    outcomes: Vec<&'c Outcome>,
    guards: Vec<&'c GuardChange>,
    texts: Vec<&'c TextChange>,
}

fn by_record(comparison: &Comparison) -> BTreeMap<&str, Changes<'_>> {
    let mut all: BTreeMap<&str, Changes<'_>> = BTreeMap::new();
    comparison.records.iter().for_each(|change| all.entry(&change.record).or_default().records.push(change));
    comparison.added.iter().for_each(|fork| all.entry(&fork.record).or_default().added.extend(&fork.parts));
    comparison.values.iter().for_each(|change| all.entry(&change.record).or_default().values.push(change));
    comparison
        .outcomes
        .iter()
        .for_each(|change| all.entry(&change.record).or_default().outcomes.push(change));
    comparison.guards.iter().for_each(|change| all.entry(&change.record).or_default().guards.push(change));
    comparison.texts.iter().for_each(|change| all.entry(&change.record).or_default().texts.push(change));
    all
}

fn shown(figure: Option<&Figure>) -> String {
    figure.map_or_else(|| "not given".to_owned(), |figure| figure.shown.clone())
}

/// What belongs to a figure besides its number, where it differs or the number alone came or went.
fn behind(change: &ValueChange) -> Vec<(&'static str, String)> {
    let (old, new) = (change.old.as_ref(), change.new.as_ref());
    let mut out = Vec::new();
    let state = |figure: Option<&Figure>| figure.map(|figure| figure.state.clone()).unwrap_or_default();
    let there = |text: String| if text.is_empty() { "nothing said".to_owned() } else { text };
    if state(old) != state(new) {
        out.push(("state", format!("{}; before: {}", there(state(new)), there(state(old)))));
    }
    let source = |figure: Option<&Figure>| {
        figure.map_or_else(String::new, |figure| {
            let named = figure.sources.join("; ");
            if figure.estimate { format!("ESTIMATE, {named}") } else { named }
        })
    };
    match (source(old), source(new)) {
        (a, b) if a == b => out.push(("source", format!("{}, as before", there(b)))),
        (a, b) => out.push(("source", format!("{}; before: {}", there(b), there(a)))),
    }
    for review in &change.review {
        let models = match review.reaches.as_slice() {
            [] => String::new(),
            // With one answer for all, who is reached is said below.
            _ if change.review.len() == 1 => String::new(),
            models => format!(" ({})", models.join(", ")),
        };
        out.push(("review", format!("{} Before: {}{models}", review.new, review.old)));
    }
    out
}

fn size(change: &ValueChange) -> Option<String> {
    let parts: Vec<&str> =
        [&change.absolute, &change.relative].into_iter().flatten().map(String::as_str).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn wrapped(out: &mut String, first: &str, name: &str, text: &str, width: usize) {
    let lead = if name.is_empty() { first.to_owned() } else { format!("{first}{name:<8}") };
    let rest = " ".repeat(lead.chars().count());
    // Ids, codes and addresses are not broken at their hyphens.
    let options = textwrap::Options::new(width)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .initial_indent(&lead)
        .subsequent_indent(&rest);
    for line in textwrap::wrap(text, options) {
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

/// The comparison as plain text, wrapped to a width in columns. `old` and `new` are what the reader calls the
/// two sides.
pub fn text(comparison: &Comparison, old: &str, new: &str, width: usize) -> String {
    let width = width.clamp(40, 100);
    let mut out = format!("{old} -> {new}\n");
    for line in textwrap::wrap(&summary(comparison), width) {
        out.push_str(&format!("{line}\n"));
    }
    for (record, changes) in by_record(comparison) {
        out.push_str(&format!("\n{record}\n"));
        record_text(&mut out, &changes, width);
    }
    for (title, list) in [("New findings", &comparison.found), ("Findings withdrawn", &comparison.withdrawn)]
    {
        if !list.is_empty() {
            out.push_str(&format!("\n{title}\n"));
        }
        for finding in list {
            wrapped(&mut out, "  ", finding.severity.word(), &finding_line(finding), width);
        }
    }
    if !comparison.stale.is_empty() {
        out.push_str("\nCards printed before are out of date\n");
        for (fork, services) in cards(comparison) {
            wrapped(&mut out, "  ", "", &format!("{fork}: {services}"), width);
        }
        more(comparison).iter().for_each(|more| out.push_str(&format!("  {more}\n")));
    }
    if let Some(pages) = pages(comparison, FIRST_PAGES) {
        out.push('\n');
        let line = format!("{}: {pages}", read_differently(comparison));
        wrapped(&mut out, "", "", &line, width);
    }
    out
}

/// Everything that changed in one record.
fn record_text(out: &mut String, changes: &Changes<'_>, width: usize) {
    for change in &changes.records {
        wrapped(out, "  ", "", &change.what, width);
    }
    for part in &changes.added {
        out.push_str(&format!("  {}\n", part.title));
        part.lines.iter().for_each(|line| wrapped(out, "    ", "", line, width));
    }
    for change in &changes.values {
        value_text(out, change, width);
    }
    if !changes.outcomes.is_empty() {
        out.push_str("  worked out\n");
    }
    for outcome in &changes.outcomes {
        let line = format!("{}: {}; before: {}", outcome.title, outcome.new, outcome.old);
        wrapped(out, "    ", "", &line, width);
    }
    for guard in &changes.guards {
        let line = if guard.lost {
            format!("GUARD TAKEN AWAY: it {}", guard.what)
        } else {
            format!("it {}", guard.what)
        };
        wrapped(out, "  ", "", &line, width);
    }
    for change in &changes.texts {
        let critical = if change.safety { "  SAFETY" } else { "" };
        out.push_str(&format!("  {}{critical}\n", change.part));
        let (old, new) =
            sides(change, |run| if run.differs { format!("{{{}}}", run.text) } else { run.text.clone() });
        old.iter().for_each(|text| wrapped(out, "    ", "before", text, width));
        new.iter().for_each(|text| wrapped(out, "    ", "after", text, width));
        if change.old.is_none() {
            out.push_str("    it is new\n");
        } else if change.new.is_none() {
            out.push_str("    it is gone\n");
        }
    }
}

/// Both texts of a change; where there are both, with the words that differ marked by `show`.
fn sides(change: &TextChange, show: impl Fn(&Run) -> String) -> (Option<String>, Option<String>) {
    let whole = |text: &String| show(&Run { text: text.clone(), differs: false });
    let Some((old, new)) = change.old.as_deref().zip(change.new.as_deref()) else {
        return (change.old.as_ref().map(whole), change.new.as_ref().map(whole));
    };
    let (was, is) = marked(old, new);
    let shown = |runs: &[Run]| Some(runs.iter().map(&show).collect::<Vec<_>>().join(" "));
    (shown(&was), shown(&is))
}

/// A changed value with what the change does.
fn value_text(out: &mut String, change: &ValueChange, width: usize) {
    let side = if change.side.is_empty() { String::new() } else { format!(", {} leg", change.side) };
    let critical = if change.safety { "  SAFETY-CRITICAL" } else { "" };
    out.push_str(&format!("  {} ({}{side}){critical}\n", change.title, change.key));
    wrapped(out, "    ", "before", &shown(change.old.as_ref()), width);
    wrapped(out, "    ", "after", &shown(change.new.as_ref()), width);
    size(change).iter().for_each(|size| wrapped(out, "    ", "change", size, width));
    change.slip.iter().for_each(|slip| wrapped(out, "    ", "SLIP?", slip, width));
    change.bench.iter().for_each(|line| wrapped(out, "    ", "bench", line, width));
    for (name, text) in behind(change) {
        wrapped(out, "    ", name, &text, width);
    }
    if !change.reaches.is_empty() {
        wrapped(out, "    ", "reaches", &change.reaches.join(", "), width);
    }
}

fn finding_line(finding: &FindingChange) -> String {
    format!("{}: {} [{}]", finding.path, finding.message, finding.code)
}

/// The cards by fork, at most so many.
fn cards(comparison: &Comparison) -> Vec<(&str, String)> {
    let mut all: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for card in comparison.stale.iter().take(MOST_CARDS) {
        let now = card.now.as_ref().map_or_else(|| "gone".to_owned(), |now| format!("now {now}"));
        all.entry(&card.fork).or_default().push(format!("{} {}, {now}", card.service, card.card));
    }
    all.into_iter().map(|(fork, services)| (fork, services.join("; "))).collect()
}

/// How many pages read differently.
fn read_differently(comparison: &Comparison) -> String {
    let verb = if comparison.pages.len() == 1 { "reads" } else { "read" };
    format!("{} {verb} differently", counted(comparison.pages.len(), "page"))
}

/// The pages in one line, at most so many.
fn pages(comparison: &Comparison, most: usize) -> Option<String> {
    let first: Vec<&str> = comparison.pages.iter().take(most).map(String::as_str).collect();
    let left = comparison.pages.len().saturating_sub(most);
    let more = if left > 0 { format!(" and {left} more") } else { String::new() };
    (!first.is_empty()).then(|| format!("{}{more}", first.join(", ")))
}

fn more(comparison: &Comparison) -> Option<String> {
    let left = comparison.stale.len().checked_sub(MOST_CARDS).filter(|left| *left > 0)?;
    Some(format!("and {}", counted(left, "more card")))
}

/// Text of the shop inside Markdown: nothing in it is taken for a mark, a mention or a tag.
fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in visible(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            // A zero-width joiner keeps a name from being called.
            '@' => out.push_str("@\u{200d}"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '|' | '~' | '!' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_whitespace() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// The longest Markdown that is written, in bytes: a comment on a change holds some 65,000 letters.
const LONGEST_COMMENT: usize = 60_000;

/// The comparison as Markdown, for a comment on a change.
///
/// What a comment cannot hold is left out, and that is said.
pub fn markdown(comparison: &Comparison, old: &str, new: &str) -> String {
    let whole = whole_markdown(comparison, old, new);
    if whole.len() <= LONGEST_COMMENT {
        return whole;
    }
    let end = (0..=LONGEST_COMMENT).rev().find(|at| whole.is_char_boundary(*at)).unwrap_or(0);
    let end = whole[..end].rfind('\n').map_or(0, |at| at + 1);
    let lines = whole[end..].lines().count();
    let begin = &whole[..end];
    format!(
        "{begin}\n**Left out: {lines} more lines, which do not fit here.** `benchleaf compare` tells all of them.\n"
    )
}

fn whole_markdown(comparison: &Comparison, old: &str, new: &str) -> String {
    let mut out =
        format!("## What changed: {} to {}\n\n{}\n", safe(old), safe(new), safe(&summary(comparison)));
    let slips: Vec<&ValueChange> = comparison.values.iter().filter(|change| change.slip.is_some()).collect();
    if !slips.is_empty() {
        out.push_str("\n### Suspected unit slips\n\n");
    }
    for change in slips {
        let slip = change.slip.as_deref().unwrap_or_default();
        let (before, after) = (shown(change.old.as_ref()), shown(change.new.as_ref()));
        out.push_str(&format!(
            "- **{}, {}**: {} became {}; {}\n",
            safe(&change.record),
            safe(&change.title),
            safe(&before),
            safe(&after),
            safe(slip)
        ));
    }
    for (record, changes) in by_record(comparison) {
        out.push_str(&format!("\n### {}\n\n", safe(record)));
        record_markdown(&mut out, &changes);
    }
    for (title, list) in [("New findings", &comparison.found), ("Findings withdrawn", &comparison.withdrawn)]
    {
        if list.is_empty() {
            continue;
        }
        out.push_str(&format!("\n### {title}\n\n"));
        for finding in list {
            let word =
                if finding.severity == Severity::Error { "**error**" } else { finding.severity.word() };
            out.push_str(&format!("- {word}: {}\n", safe(&finding_line(finding))));
        }
    }
    if !comparison.stale.is_empty() {
        out.push_str("\n### Cards printed before are out of date\n\n");
        cards(comparison)
            .iter()
            .for_each(|(fork, list)| out.push_str(&format!("- {}: {}\n", safe(fork), safe(list))));
        more(comparison).iter().for_each(|more| out.push_str(&format!("- {more}\n")));
    }
    if let Some(pages) = pages(comparison, MOST_CARDS) {
        let summary = read_differently(comparison);
        out.push_str(&format!("\n<details><summary>{summary}</summary>\n\n{}\n\n</details>\n", safe(&pages)));
    }
    out
}

/// Everything that changed in one record.
fn record_markdown(out: &mut String, changes: &Changes<'_>) {
    changes.records.iter().for_each(|change| out.push_str(&format!("- {}\n", safe(&change.what))));
    for part in &changes.added {
        out.push_str(&format!("\n**{}**\n\n", safe(&part.title)));
        part.lines.iter().for_each(|line| out.push_str(&format!("- {}\n", safe(line))));
    }
    if !changes.values.is_empty() {
        let gap = if changes.records.is_empty() { "" } else { "\n" };
        out.push_str(&format!(
            "{gap}| Value | Before | After | Change | At the bench |\n|---|---|---|---|---|\n"
        ));
    }
    changes.values.iter().for_each(|change| out.push_str(&row(change)));
    if !changes.outcomes.is_empty() {
        out.push_str("\n| Calculated | Before | After |\n|---|---|---|\n");
    }
    for outcome in &changes.outcomes {
        let cells = [&outcome.title, &outcome.old, &outcome.new].map(|cell| safe(cell));
        out.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
    let of_texts = !changes.texts.is_empty() || !changes.guards.is_empty();
    if of_texts && (!changes.records.is_empty() || !changes.values.is_empty()) {
        out.push('\n');
    }
    for guard in &changes.guards {
        let mark = if guard.lost { "**GUARD TAKEN AWAY:** " } else { "" };
        out.push_str(&format!("- {mark}it {}\n", safe(&guard.what)));
    }
    for change in &changes.texts {
        let critical = if change.safety { " (safety)" } else { "" };
        out.push_str(&format!("- **{}**{critical}\n", safe(&change.part)));
        let bold = |run: &Run| if run.differs { format!("**{}**", safe(&run.text)) } else { safe(&run.text) };
        let (old, new) = sides(change, bold);
        old.iter().for_each(|text| out.push_str(&format!("  - before: {text}\n")));
        let new = new.map_or_else(|| "  - it is gone\n".to_owned(), |text| format!("  - after: {text}\n"));
        out.push_str(&new);
    }
}

fn row(change: &ValueChange) -> String {
    let side = if change.side.is_empty() { String::new() } else { format!(", {} leg", change.side) };
    let critical = if change.safety { " (safety-critical)" } else { "" };
    let mut bench: Vec<String> = change.slip.iter().map(|slip| format!("**slip?** {}", safe(slip))).collect();
    bench.extend(change.bench.iter().map(|text| safe(text)));
    bench.extend(behind(change).iter().map(|(name, text)| safe(&format!("{name}: {text}"))));
    if !change.reaches.is_empty() {
        bench.push(safe(&format!("reaches {}", change.reaches.join(", "))));
    }
    format!(
        "| {}{side}{critical} | {} | {} | {} | {} |\n",
        safe(&change.title),
        safe(&shown(change.old.as_ref())),
        safe(&shown(change.new.as_ref())),
        safe(&size(change).unwrap_or_default()),
        bench.join("<br>")
    )
}
