//! A resolved value as a page shows it: finished strings with unit, tolerance, second unit, state and source.

use std::borrow::Cow;
use std::sync::Arc;

use super::keys;
use super::links::{field_href, oil_href, spring_href};
use super::view::{Accepted, Figure, Link, Pair, Row, SourceRow};
use crate::catalogue::{Attribute, Field, Per, Role, STATE_PARTS, attribute, key};
use crate::quantity::{Kind, Quantity, Saying, Section, Shape, Unit, Value};
use crate::record::{Accept, AlsoSaid, Entry, Named, STILL_MADE, SourceKind, SourceNote};
use crate::resolve::{Origin, Resolved, ResolvedFork, Shop, Side, decimals_in};
use crate::words::{lower, lower_first};

/// A quantity as it is shown: in the shop's first unit; beside it what was written in others, or one conversion. The
/// flag says that one of the two was worked out here.
pub fn two_units(shop: &Shop, field: Option<&Field>, quantity: &Quantity) -> (String, String, bool) {
    let main = main_said(shop, field, quantity);
    // Nothing is nothing in every unit, but on a scale of temperature.
    if main.is_nothing() {
        return (grouped(&main.shown()), String::new(), matches!(main, Cow::Owned(_)));
    }
    let written = quantity.sayings.iter().filter(|said| said.unit != main.unit);
    let others: Vec<String> = written.map(Saying::shown).collect();
    if !others.is_empty() {
        let worked_out = matches!(main, Cow::Owned(_));
        return (grouped(&main.shown()), grouped(&others.join(", ")), worked_out);
    }
    let second = usual_units(shop, field, main.dimension())
        .iter()
        .copied()
        .take(2)
        .find(|unit| unit.symbol != main.unit.symbol && unit.dimension == main.unit.dimension);
    match second {
        Some(unit) => {
            let mut second = main.in_unit(unit, decimals_in(field, &main, unit));
            if field.is_some_and(|field| field.kind == Kind::Interval) {
                second = rough(&second);
            }
            (grouped(&main.shown()), grouped(&second), true)
        }
        None => (grouped(&main.shown()), String::new(), false),
    }
}

/// Stands between groups of three digits: narrow, and no line breaks at it (ISO 80000-1, 7.3.1).
const THIN: char = '\u{202f}';

/// A number as it is shown, its digits in threes where there are more than four before the point. Only what a page
/// or a card shows goes through here: records, codes and data keep their digits together.
pub fn grouped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 4);
    let mut rest = text;
    let mut after_point = false;
    while let Some(letter) = rest.chars().next() {
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        if digits == 0 {
            after_point = letter == '.' && out.ends_with(|before: char| before.is_ascii_digit());
            out.push(letter);
            rest = &rest[letter.len_utf8()..];
            continue;
        }
        let (number, after) = rest.split_at(digits);
        for (n, digit) in number.char_indices() {
            if n > 0 && digits > 4 && !after_point && (digits - n) % 3 == 0 {
                out.push(THIN);
            }
            out.push(digit);
        }
        after_point = false;
        rest = after;
    }
    out
}

/// A converted interval, rounded as its sheet is: nobody counts 20 000 km to the mile. Three figures stay.
fn rough(text: &str) -> String {
    let rounded = |number: &str| match (number.contains('.'), number.parse::<u64>()) {
        (false, Ok(whole)) if number.len() > 3 => {
            let last = 10u64.pow(u32::try_from(number.len() - 3).unwrap_or(0));
            ((whole + last / 2) / last * last).to_string()
        }
        _ => number.to_owned(),
    };
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while !rest.is_empty() {
        let number = rest.bytes().take_while(|byte| byte.is_ascii_digit() || *byte == b'.').count();
        let end = if number > 0 { number } else { rest.chars().next().map_or(rest.len(), char::len_utf8) };
        let (piece, after) = rest.split_at(end);
        out.push_str(&if number > 0 { rounded(piece) } else { piece.to_owned() });
        rest = after;
    }
    out
}

/// The reading that leads: see [`Shop::main_said`].
pub fn main_said<'q>(shop: &Shop, field: Option<&Field>, quantity: &'q Quantity) -> Cow<'q, Saying> {
    shop.main_said(field, quantity)
}

/// The shop's units for a dimension, else those of the field.
pub fn usual_units<'u>(
    shop: &'u Shop,
    field: Option<&'u Field>,
    dimension: crate::quantity::Dimension,
) -> Cow<'u, [&'static Unit]> {
    shop.usual_units(field, dimension)
}

/// A reading with its tolerance apart: `96 mm`, `± 2 mm`.
pub fn apart(reading: &Saying) -> (String, String) {
    let unit = reading.unit.symbol;
    match &reading.shape {
        Shape::PlusMinus { middle, tolerance } => (
            grouped(&format!("{}\u{a0}{unit}", middle.shown())),
            format!("±\u{a0}{}\u{a0}{unit}", tolerance.shown()),
        ),
        Shape::Limits { middle, upper, lower } => {
            let sign = |number: &crate::quantity::Decimal| {
                if number.is_negative() { number.shown() } else { format!("+{}", number.shown()) }
            };
            (
                grouped(&format!("{}\u{a0}{unit}", middle.shown())),
                format!("{}/{}\u{a0}{unit}", sign(upper), sign(lower)),
            )
        }
        _ => (grouped(&reading.shown()), String::new()),
    }
}

/// The state a value belongs to, as words.
pub fn state(entry: &Entry) -> String {
    state_but(entry, "")
}

/// The state without its part of this key: what is read at intake is read at the temperature of the day.
pub fn state_but(entry: &Entry, left_out: &str) -> String {
    let parts = STATE_PARTS.iter().filter(|part| part.key != left_out).filter_map(|part| {
        let named = entry.state.get(part.key)?;
        let text = named_text(named, part);
        Some(match part.key {
            _ if named.value == Some(Value::Unknown) => text,
            "rest" => format!("after {text} of rest"),
            "temperature" => format!("at {text}"),
            _ => text,
        })
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// A part of a state or an attribute as words; `thread state unknown` where the source does not say it.
fn named_text(named: &Named, part: &Attribute) -> String {
    let kind = &part.kind;
    match &named.value {
        Some(Value::Unknown) => format!("{} unknown", lower(part.title)),
        Some(Value::Choice(id)) => option_title(kind, id),
        Some(value) => value.shown(),
        None => named.text.text.clone(),
    }
}

fn option_title(kind: &Kind, id: &str) -> String {
    match kind {
        Kind::Choice(options) => options
            .iter()
            .find(|(option, _)| option == id)
            .map_or_else(|| id.to_owned(), |(_, title)| title.clone()),
        _ => id.to_owned(),
    }
}

/// An attribute as words; empty where it is not given.
pub fn attribute_text(entry: &Entry, key: &str) -> String {
    match (entry.attributes.get(key), attribute(key)) {
        (Some(named), Some(attribute_kind)) => named_text(named, attribute_kind),
        _ => String::new(),
    }
}

/// How a figure is counted, and what is on the thread of a torque: what a step has to say beside its number.
fn how(shop: &Shop, entry: &Entry) -> String {
    let thread = attribute_text(entry, "thread_state");
    let words = counting(shop, entry).into_iter().chain([thread]).filter(|text| !text.is_empty());
    words.chain(by_the_shop(shop, entry)).collect::<Vec<_>>().join("; ")
}

/// How a setting is counted, and what its first click is called: by the shop's own count where the record does not say.
pub fn counting(shop: &Shop, entry: &Entry) -> [String; 2] {
    let [counted, first] = ["counted", "first_click"].map(|key| attribute_text(entry, key));
    let clicks = entry
        .value
        .as_ref()
        .and_then(Value::quantity)
        .is_some_and(|said| said.main().unit.symbol == "clicks");
    let from_closed = entry.attributes.get("counted").is_some_and(|named| named.text.text == "from-closed");
    if !first.is_empty() || !clicks || !from_closed {
        return [counted, first];
    }
    let word = if shop.settings.first_click_is_zero() { "zero" } else { "one" };
    [counted, format!("first click {word}, shop’s count")]
}

/// Clicks by the shop's own count, where the record's sheet calls the first click otherwise.
fn by_the_shop(shop: &Shop, entry: &Entry) -> Option<String> {
    let zero = entry.attributes.get("first_click")?.text.text == "zero";
    let Some(Value::Quantity(quantity)) = &entry.value else { return None };
    let clicks =
        quantity.middle_si() + f64::from(i8::from(zero) - i8::from(shop.settings.first_click_is_zero()));
    let is_count = clicks >= 0.0 && libm::trunc(clicks) == clicks;
    let word = if clicks == 1.0 { "click" } else { "clicks" };
    (zero != shop.settings.first_click_is_zero() && is_count)
        .then(|| format!("by this shop's count {clicks} {word}"))
}

/// A value in one line, without its source: for steps and lists.
pub fn value_text(shop: &Shop, field: &Field, value: &Value) -> (String, String, bool) {
    match value {
        Value::Quantity(quantity) => two_units(shop, Some(field), quantity),
        Value::Choice(id) => (option_title(&field.kind, id), String::new(), false),
        Value::Reference(id) => {
            let title = match &field.kind {
                Kind::Reference(to) if to == "tool" => shop.tool(id).map(|tool| tool.title.clone()),
                _ => shop.oil(id).map(crate::record::SpecRecord::title),
            };
            (title.unwrap_or_else(|| id.clone()), String::new(), false)
        }
        // A part that takes no room is none: "0 mm" reads like a figure to be measured.
        Value::Sections(sections) if field.role == Role::Fitted && sections.iter().all(is_nothing) => {
            ("nothing".to_owned(), String::new(), false)
        }
        Value::Sections(sections) => sections_text(shop, field, sections),
        // Into which side the axle is screwed: a sheet's bare word for a side is a leg. Any other text stays as written.
        Value::Text(side)
            if field.key == key::SETUP_AXLE_HELD.name()
                && matches!(side.to_lowercase().as_str(), "left" | "right") =>
        {
            (format!("{} leg", side.to_lowercase()), String::new(), false)
        }
        other => (other.shown(), String::new(), false),
    }
}

/// A value by stretches, as [`two_units`] shows each: `4.4 N/mm to 70 mm; 6.1 N/mm`.
fn sections_text(shop: &Shop, field: &Field, sections: &[Section]) -> (String, String, bool) {
    let shown = |quantity: &Quantity| two_units(shop, Some(field), quantity);
    let (mut main, mut second, mut any_worked_out) = (Vec::new(), Vec::new(), false);
    for section in sections {
        let (first, other, worked_out) = shown(&section.value);
        let until = section.until.as_ref().map(shown);
        let (to, other_to) = until.map_or_else(Default::default, |(to, other, _)| {
            let other = if other.is_empty() { to.clone() } else { other };
            (format!(" to {to}"), format!(" to {other}"))
        });
        main.push(format!("{first}{to}"));
        second.push(if other.is_empty() { other } else { format!("{other}{other_to}") });
        any_worked_out |= worked_out;
    }
    // A stretch without a second unit would leave a list with a gap.
    let second = if second.iter().any(String::is_empty) { String::new() } else { second.join("; ") };
    (main.join("; "), second, any_worked_out)
}

fn is_nothing(section: &Section) -> bool {
    section.value.middle_si() == 0.0
}

/// A resolved value with all that belongs to it.
pub fn figure(shop: &Shop, field: &Field, resolved: &Resolved, side: &str) -> Figure {
    let entry = &resolved.entry;
    let (main, second, worked_out) = match resolved.value() {
        Some(Value::Unknown) => (without_figure(resolved), String::new(), false),
        Some(value) => value_text(shop, field, value),
        None => (entry.text.clone(), String::new(), false),
    };
    let link = match resolved.value() {
        Some(Value::Reference(id)) => match &field.kind {
            Kind::Reference(to) if to == "tool" => Some(Link::new(format!("tools.html#{id}"), main.clone())),
            _ => Some(Link::new(oil_href(id), main.clone())),
        },
        _ => None,
    };
    Figure {
        side: side.to_owned(),
        main,
        second,
        worked_out,
        written: grouped(&resolved.quantity().map_or_else(|| entry.text.clone(), Quantity::shown)),
        state: state(entry),
        how: how(shop, entry),
        unknown: unknown(resolved),
        silent: resolved.is_unknown() && entry.instead.is_none(),
        also_said: entry.also_said.iter().map(|said| also_said(shop, field, resolved, said)).collect(),
        details: details(field, entry),
        sources: resolved.sources.iter().map(|source| source_row(source)).collect(),
        inherited: match &resolved.origin {
            Origin::Own | Origin::Fork(_) => None,
            Origin::Spring(id) => Some(Link::new(
                spring_href(id),
                shop.spring(id).map_or_else(
                    || id.clone(),
                    |spring| format!("{}, a spring of the stock", spring.title()),
                ),
            )),
            Origin::Family(id) => Some(Link::new(
                String::new(),
                shop.family(id).map_or_else(|| id.clone(), |family| family.model.clone()),
            )),
        },
        estimate: resolved.is_estimate(),
        doubt: false,
        taken_over: false,
        not_fitted: resolved.not_fitted(),
        link,
        note: entry.note.clone().unwrap_or_default(),
        accepted: entry.accept.iter().map(accepted).collect(),
    }
}

/// Who is silent: the kinds of source that a value rests on.
pub fn silent(resolved: &Resolved) -> String {
    let kind = resolved.sources.first().map_or(SourceKind::MakerSheet, |source| source.kind);
    match kind {
        SourceKind::MakerSheet => "the sheet does not say",
        SourceKind::Measured => "not measured",
        SourceKind::CommonPractice => "no common practice",
        SourceKind::Estimate => "nobody has estimated it",
        SourceKind::Bench => "no job has read it",
    }
    .to_owned()
}

/// What stands in the place of a figure that nobody knows: what an approver says is done, else that the source is
/// silent. No other figure fills in.
pub fn without_figure(resolved: &Resolved) -> String {
    let instead = resolved.entry.instead.as_ref();
    instead
        .map_or_else(|| silent(resolved), |instead| instead.what.text.trim().trim_end_matches('.').to_owned())
}

/// The same for the middle of a sentence, so that the sentence around it still reads: `instead: tighten until …`.
pub fn instead_of_figure(resolved: &Resolved) -> String {
    aside(&without_figure(resolved), resolved.entry.instead.is_some())
}

/// What stands without a figure as an aside in a sentence.
pub fn aside(words: &str, instead: bool) -> String {
    if instead { format!("instead: {}", lower_first(words)) } else { words.to_owned() }
}

/// What is to be said beside an unknown value: which source is silent, and who answers for what is done; else empty.
fn unknown(resolved: &Resolved) -> String {
    if !resolved.is_unknown() {
        return String::new();
    }
    match &resolved.entry.instead {
        Some(instead) => format!("unknown: {}; {} answers for this", silent(resolved), instead.by.text),
        None => "unknown".to_owned(),
    }
}

/// What another source says, with its name: `Measured on two legs: 66 N·m`.
fn also_said(shop: &Shop, field: &Field, resolved: &Resolved, said: &AlsoSaid) -> Pair {
    let text = said.value.as_ref().map_or_else(
        || said.text.text.clone(),
        |value| if value.is_unknown() { "does not say".to_owned() } else { value_text(shop, field, value).0 },
    );
    let id = &said.source.text;
    let source = resolved.others.iter().find(|source| source.id.text == *id);
    Pair { name: source.map_or_else(|| id.clone(), |source| source.title.clone()), value: text }
}

/// The attributes that are given, by their titles.
fn details(field: &Field, entry: &Entry) -> Vec<Pair> {
    let given = field.attributes.iter().map(|key| (key, attribute_text(entry, key)));
    let title = |key: &String| attribute(key).map_or_else(|| key.clone(), |part| part.title.to_owned());
    given.filter(|(_, text)| !text.is_empty()).map(|(key, value)| Pair { name: title(key), value }).collect()
}

fn source_row(source: &SourceNote) -> SourceRow {
    SourceRow {
        kind: source.kind.title().to_owned(),
        title: source.title.clone(),
        by: source.by.clone().unwrap_or_default(),
        date: source.date.clone().unwrap_or_default(),
        estimate: source.kind == SourceKind::Estimate,
    }
}

/// A finding that an approver let stand.
fn accepted(accept: &Accept) -> Accepted {
    Accepted {
        finding: keys::rule(&accept.finding.text),
        reason: accept.reason.clone(),
        by: match &accept.until {
            Some(until) => format!("{}, until {}", accept.by.text, until.text),
            None => accept.by.text.clone(),
        },
    }
}

/// The figures of a field: one where both legs say the same, else left and right.
pub fn figures(shop: &Shop, fork: &ResolvedFork, id: crate::catalogue::FieldId) -> Vec<Figure> {
    let field = shop.catalogue.field(id);
    match (fork.on(Side::Left, id), fork.on(Side::Right, id)) {
        (None, None) => Vec::new(),
        (Some(left), Some(right)) if !fork.alike(id) => {
            vec![figure(shop, field, left, "left"), figure(shop, field, right, "right")]
        }
        (Some(both), Some(_)) => vec![figure(shop, field, both, "")],
        (Some(left), None) => vec![figure(shop, field, left, "left")],
        (None, Some(right)) => vec![figure(shop, field, right, "right")],
    }
}

/// A line from its figures.
pub fn row_of(field: &Field, figures: Arc<[Figure]>) -> Row {
    Row {
        key: field.key.clone(),
        title: field.title.clone(),
        field_href: field_href(&field.key),
        per: match field.per {
            Per::Leg if figures.iter().all(|figure| figure.side.is_empty()) => "each leg".to_owned(),
            Per::Pair => "left and right together".to_owned(),
            _ => String::new(),
        },
        role: match field.role {
            Role::Set => "set",
            Role::Inspected => "inspected",
            Role::Fitted => "fitted",
        }
        .to_owned(),
        safety: field.safety,
        estimate: figures.iter().any(|figure| figure.estimate),
        mark: String::new(),
        review: String::new(),
        figures,
    }
}

/// The machines in one line: `Ulm Motors Kestrel 600 2016–2019, …`.
pub fn machines_line(record: &crate::record::SpecRecord) -> String {
    if let Some(build) = record.build() {
        return build_line(build);
    }
    let machine_years = |machine: &crate::record::Machine| {
        let seen = if machine.seen.is_empty() { String::new() } else { format!(" ({})", machine.seen) };
        format!("{} {} {}{seen}", machine.maker, machine.model, years(machine.years))
    };
    record.machines.iter().map(machine_years).collect::<Vec<_>>().join(", ")
}

/// What a build was made for, and what is fitted: machine, use, rider, spring, shims.
pub fn build_line(build: &crate::record::Build) -> String {
    let machine = format!("{} {}", build.machine.maker, build.machine.model).trim().to_owned();
    let rider = build.rider.as_ref().map(|mass| format!("rider {} with gear", mass.main().shown()));
    let said =
        [Some(machine), build.use_for.clone(), rider].into_iter().flatten().chain(build.fitted.clone());
    said.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ")
}

/// `2016–2019`, `2018`, or `since 2018`.
pub fn years((first, last): (u16, u16)) -> String {
    if last == STILL_MADE {
        return format!("since {first}");
    }
    if first == last { first.to_string() } else { format!("{first}–{last}") }
}

/// How long a procedure takes, hands-on time and waiting apart; empty where neither is said.
pub fn time(procedure: &crate::record::Procedure) -> String {
    let shown = |quantity: &Quantity| quantity.main().shown();
    let waiting = procedure.waiting.as_ref().map(|quantity| format!("{} waiting", shown(quantity)));
    procedure.time.as_ref().map(shown).into_iter().chain(waiting).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::book::short::card_figure;
    use crate::pipeline::check_shop;
    use crate::quantity::every_reading;
    use crate::text::{Changed, Folder};

    #[test]
    fn long_numbers_stand_in_threes_and_nothing_else_changes() {
        let shown = |text: &str| grouped(text).replace(THIN, "_");
        assert_eq!(shown("20000 km"), "20_000 km");
        assert_eq!(shown("16000–20000 km"), "16_000–20_000 km");
        assert_eq!(shown("1234567.12345 N"), "1_234_567.12345 N");
        for short in ["3000 N", "0.0123456 mm", "M12 × 1.25", "2016–2019", "−40 °C", ""] {
            assert_eq!(shown(short), short);
        }
        // What is taken away again is what was there: no digit is touched.
        for text in ["20000 km", "1234567.12345 N", "100000 ± 10000 N"] {
            assert_eq!(grouped(text).replace(THIN, ""), text);
        }
    }

    #[test]
    fn a_converted_interval_is_as_rough_as_its_sheet() {
        assert_eq!(rough("12427 mi"), "12400 mi");
        assert_eq!(rough("9942–12427 mi"), "9940–12400 mi");
        assert_eq!(rough("621 mi"), "621 mi");
        assert_eq!(rough("18.64 mi"), "18.64 mi");
    }

    /// A shop of the tests whose fork's record reads otherwise: what the page shows of a field, first and second.
    fn told(edit: (&str, &str), key: &str) -> (String, String) {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain");
        let path = "specs/forks/tarn-41.yaml";
        let record = std::fs::read_to_string(root.join(path)).expect("the record");
        assert!(record.contains(edit.0), "{}", edit.0);
        let text = record.replacen(edit.0, edit.1, 1);
        let checked = check_shop(&Changed { source: &Folder { root }, path, text: &text });
        let fork = checked.fork("tarn-41").expect("the fork");
        let id = checked.shop.catalogue.find(key).expect("a field");
        let shown = figures(&checked.shop, fork, id);
        let [figure] = shown.as_slice() else { panic!("{shown:?}") };
        let on_card =
            card_figure(&checked.shop, checked.shop.catalogue.field(id), "", fork.any(id).expect("it"));
        assert_eq!(
            (on_card.tolerance.as_str(), &on_card.main, &on_card.second),
            ("", &figure.main, &figure.second),
            "page and card say the same"
        );
        (figure.main.replace('\u{a0}', " "), figure.second.replace('\u{a0}', " "))
    }

    fn pair(main: &str, second: &str) -> (String, String) {
        (main.to_owned(), second.to_owned())
    }

    /// Springs are sold in N/mm. 1 kgf/mm is 9.80665 N/mm exactly (NIST SP 811, appendix B).
    #[test]
    fn a_spring_rate_has_newtons_per_millimeter_beside_it() {
        let rate = |written: &str| told(("rate: 8.8 N/mm", &format!("rate: {written}")), "spring.rate");
        assert_eq!(rate("0.90 kgf/mm"), pair("0.90 kgf/mm", "8.83 N/mm"));
        assert_eq!(rate("0.90 kgf/mm (8.83 N/mm)"), pair("8.83 N/mm", "0.90 kgf/mm"));
        assert_eq!(rate("8.8 N/mm (50.2 lbf/in)"), pair("8.8 N/mm", "50.2 lbf/in"));
        let in_stretches = rate("0.45 kgf/mm to 70 mm; 0.62 kgf/mm");
        assert_eq!(
            in_stretches,
            pair("0.45 kgf/mm to 70 mm; 0.62 kgf/mm", "4.41 N/mm to 2.76 in; 6.08 N/mm")
        );
    }

    /// The apprentice: nothing is nothing in every unit, but 0 °C is not 0 °F.
    #[test]
    fn nothing_is_told_in_one_unit_and_a_temperature_in_both() {
        let preload =
            |written: &str| told(("preload: 15 mm", &format!("preload: {written}")), "spring.preload");
        assert_eq!(preload("0 mm"), pair("0 mm", ""));
        assert_eq!(preload("0.0 mm (0.00 in)"), pair("0.0 mm", ""));
        assert_eq!(preload("2 mm"), pair("2 mm", "0.08 in"));
        let saying = |text: &str| every_reading(text).expect("a value").remove(0).main().clone();
        assert!(!saying("0 °C").is_nothing() && !saying("0 ± 1 mm").is_nothing());
        assert!(saying("0 N·m").is_nothing());
    }

    /// The apprentice: a side alone, as some sheet has it, is said of a leg.
    #[test]
    fn a_side_alone_is_said_of_a_leg() {
        let held = |written: &str| {
            told(("seals:\n", &format!("setup:\n  axle_held: {written}\n\nseals:\n")), "setup.axle_held")
        };
        assert_eq!(held("left"), pair("left leg", ""));
        assert_eq!(held("Right"), pair("right leg", ""));
        assert_eq!(held("screwed into the left leg"), pair("screwed into the left leg", ""));
    }

    /// The apprentice: one year is one.
    #[test]
    fn a_year_is_told_as_one_and_in_months() {
        let oil = |written: &str| {
            told(("seals:\n", &format!("intervals:\n  oil: {written}\n\nseals:\n")), "intervals.oil")
        };
        assert_eq!(oil("1 year"), pair("1 year", "12 months"));
        assert_eq!(oil("2 years"), pair("2 years", "24 months"));
    }
}
