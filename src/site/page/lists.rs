//! Oils, tools, cautions, the field reference, units and the review list.

use crate::bench::grade::{Curve, blend_share, reported};
use crate::bench::units::celsius;
use crate::book::figure::{figure, row_of};
use crate::book::links::{fork_href, oil_href, procedure_href};
use crate::book::view::Link;
use crate::book::{Book, vouch};
use crate::catalogue::{Field, Form, Legs, Owner, Per, Required, Role, STATE_PARTS, Works};
use crate::check::CheckedOil;
use crate::derive::{DerivedOil, stand_ins};
use crate::quantity::{Dimension, Kind};
use crate::record::{Sides, SpecRecord, Tool};
use crate::resolve::{Origin, Resolved};
use crate::site::figure::{Drawing, viscosity};
use crate::site::page::service::phase_title;
use crate::site::prose::Setting;
use crate::site::view::{
    CautionsView, FieldRow, FieldsView, GroupView, OilRow, OilView, OilsView, StandInRow, ToolRow, ToolsView,
    UnitGroup, UnitRow, UnitsView,
};
use crate::words::{capital, count, lower};

/// Every value of an oil's record, in catalogue order.
fn values(book: &Book, record: &SpecRecord) -> Vec<(crate::catalogue::FieldId, Resolved)> {
    let mut out: Vec<_> = record
        .values
        .iter()
        .map(|line| {
            let (Sides::Each(entry) | Sides::Legs(entry, _)) = &line.sides;
            let named: Vec<&str> = if entry.sources.is_empty() {
                record.source.iter().map(|text| text.text.as_str()).collect()
            } else {
                entry.sources.iter().map(|text| text.text.as_str()).collect()
            };
            let resolved = Resolved {
                field: line.field,
                entry: std::sync::Arc::clone(entry),
                origin: Origin::Own,
                key_span: line.key_span,
                sources: named.into_iter().filter_map(|id| record.source_note(id).cloned()).collect(),
            };
            (line.field, resolved)
        })
        .collect();
    out.sort_by_key(|(id, _)| *id);
    let _ = book;
    out
}

/// The list of oils.
pub fn oils(book: &Book) -> OilsView {
    let shop = book.shop;
    let oils = shop.oils.iter().map(|record| {
        let values = values(book, record);
        let shown = |key: &str| {
            let id = shop.catalogue.find(key);
            let found = values.iter().find(|(field, _)| Some(*field) == id);
            found
                .map(|(id, value)| figure(shop, shop.catalogue.field(*id), value, "").main)
                .unwrap_or_default()
        };
        let used = book.oil_forks.get(&record.id.text).map_or(0, std::collections::BTreeSet::len);
        OilRow {
            href: oil_href(&record.id.text),
            title: record.title(),
            label: record.label.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
            viscosity: shown("grade.viscosity_40"),
            index: shown("grade.viscosity_index"),
            used: if used == 0 { "no fork on record".to_owned() } else { count(used, "fork", "forks") },
            draft: record.draft,
        }
    });
    OilsView { oils: oils.collect(), chart: oil_chart(book) }
}

/// An oil.
pub fn oil(book: &Book, oil: &CheckedOil) -> OilView {
    let (shop, record, review) = (book.shop, &oil.record, &oil.review);
    let values = values(book, record);
    let groups = shop.catalogue.groups.iter().filter(|group| group.of == Owner::Oil).filter_map(|group| {
        let mut rows: Vec<_> = values
            .iter()
            .map(|(id, value)| (shop.catalogue.field(*id), value))
            .filter(|(field, _)| field.group == group.key && field.of == Owner::Oil)
            .map(|(field, value)| row_of(field, [figure(shop, field, value, "")].into()))
            .collect();
        vouch::mark(book, review, &mut rows);
        (!rows.is_empty()).then(|| GroupView { key: group.key.clone(), title: group.title.clone(), rows })
    });
    let forks = book.oil_forks.get(&record.id.text).into_iter().flatten().map(|at| &book.forks[*at]);
    OilView {
        title: record.title(),
        label: record.label.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        draft: record.draft,
        notes: record.notes.clone().unwrap_or_default(),
        groups: groups.collect(),
        worked_out: worked_out(book, &oil.derived),
        stand_ins: stand_in_rows(book, record),
        blend: blend(book, record),
        working: format!("{:.0}\u{a0}°C", shop.settings.working_celsius()),
        review: vouch::view(book, review, &oil_href(&record.id.text)),
        used_by: forks.map(|fork| Link::new(fork_href(&fork.id), fork.record.title())).collect(),
    }
}

/// The arithmetic of every oil.
fn derived_oils<'b>(book: &Book<'b>) -> impl Iterator<Item = &'b DerivedOil> + Clone {
    book.oils.iter().map(|oil| &oil.derived)
}

fn oil_chart(book: &Book) -> Option<Drawing> {
    let curve = |oil: &CheckedOil| Some((oil.record.model.clone(), *oil.derived.curve.value()?));
    let curves: Vec<(String, Curve)> = book.oils.iter().filter_map(curve).collect();
    viscosity("oils", &curves)
}

/// What follows from an oil's own figures.
fn worked_out(book: &Book, oil: &DerivedOil) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(working) = oil.working.value() {
        let at = book.shop.settings.working_celsius();
        out.push(format!(
            "{:.1}\u{a0}mm²/s at {at:.0}\u{a0}°C, the working temperature.",
            working.value * 1e6
        ));
    }
    if let Some(index) = oil.index.value() {
        out.push(format!("Viscosity index {} from its two viscosities (ASTM D2270).", reported(*index)));
    }
    match oil.class.value() {
        Some(Some(class)) => out.push(format!("ISO VG {class} by its viscosity at 40\u{a0}°C (ISO 3448).")),
        Some(None) => {
            out.push("No ISO VG class: its viscosity at 40\u{a0}°C lies between two (ISO 3448).".to_owned())
        }
        None => {}
    }
    out
}

fn stand_in_rows(book: &Book, record: &SpecRecord) -> Vec<StandInRow> {
    let settings = &book.shop.settings;
    let (at, bench) = (settings.working_celsius(), settings.bench_celsius());
    let found = stand_ins(derived_oils(book), &record.id.text, (at, bench));
    let rows = found.value().into_iter().flatten().filter_map(|other| {
        let title = book.shop.oil(&other.id)?.title();
        let compared = |ratio: f64| match (ratio - 1.0) * 100.0 {
            p if p.abs() < 0.5 => "the same".to_owned(),
            p if p > 0.0 => format!("{p:.0}\u{a0}% thicker"),
            p => format!("{:.0}\u{a0}% thinner", -p),
        };
        let words =
            format!("{}; at {bench:.0}\u{a0}°C {}", compared(other.ratio), compared(other.cold_ratio));
        Some(StandInRow {
            oil: Link::new(oil_href(&other.id), title),
            ratio: format!("{:.2}", other.ratio),
            words,
        })
    });
    rows.collect()
}

/// The blend of the nearest thicker and the nearest thinner oil that comes to this one's viscosity.
fn blend(book: &Book, record: &SpecRecord) -> String {
    let at = book.shop.settings.working_celsius();
    let find = |id: &str| derived_oils(book).find(|oil| oil.id == id);
    let ranked = stand_ins(derived_oils(book), &record.id.text, (at, book.shop.settings.bench_celsius()));
    let ranked: Vec<_> = ranked.value().into_iter().flatten().collect();
    let nearest =
        |thicker: bool| ranked.iter().find(|other| (other.ratio > 1.0) == thicker && other.ratio != 1.0);
    let (Some(thick), Some(thin)) = (nearest(true), nearest(false)) else { return String::new() };
    let curve = |id: &str| find(id).and_then(|oil| oil.curve.value());
    let wanted = find(&record.id.text).and_then(|oil| oil.working.value());
    let (Some(first), Some(second), Some(wanted)) = (curve(&thick.id), curve(&thin.id), wanted) else {
        return String::new();
    };
    let Ok(share) = blend_share(first, second, *wanted, celsius(at)) else { return String::new() };
    let title = |id: &str| book.shop.oil(id).map(SpecRecord::title).unwrap_or_default();
    let parts = (share * 20.0).round() * 5.0;
    format!(
        "{parts:.0} parts of {} to {:.0} parts of {}, by volume.",
        title(&thick.id),
        100.0 - parts,
        title(&thin.id)
    )
}

/// Tools and consumables.
pub fn tools(book: &Book) -> ToolsView {
    let row = |tool: &Tool| {
        let needed = book.shop.procedures.iter().filter(|procedure| {
            procedure.tools.iter().chain(&procedure.consumables).any(|id| id.text == tool.id.text)
        });
        ToolRow {
            id: tool.id.text.clone(),
            title: tool.title.clone(),
            use_for: tool.use_for.clone(),
            size: tool.size.clone().unwrap_or_default(),
            unit: tool.unit.clone().unwrap_or_default(),
            notes: tool.notes.clone().unwrap_or_default(),
            used_by: needed
                .map(|procedure| Link::new(procedure_href(&procedure.id.text), procedure.title.clone()))
                .collect(),
        }
    };
    let sorted = |consumable: bool| {
        let mut rows: Vec<ToolRow> =
            book.shop.tools.iter().filter(|tool| tool.consumable == consumable).map(row).collect();
        rows.sort_by(|a, b| (&a.title, &a.id).cmp(&(&b.title, &b.id)));
        rows
    };
    ToolsView { tools: sorted(false), consumables: sorted(true) }
}

/// Cautions, worst first.
pub fn cautions(book: &Book, root: &str) -> CautionsView {
    let setting = Setting::general(book.shop, root);
    let mut all: Vec<_> = book.shop.cautions.iter().collect();
    all.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    let cautions = all.into_iter().map(|caution| {
        let procedures = book.shop.procedures.iter().filter(|procedure| {
            procedure.body.references.iter().any(|r| r.scheme == "caution" && r.target == caution.id.text)
        });
        let links = procedures.map(|procedure| {
            let text = format!("{}: {}", phase_title(&procedure.phase), procedure.title);
            Link::new(procedure_href(&procedure.id.text), text)
        });
        (setting.caution(caution), links.collect())
    });
    CautionsView { cautions: cautions.collect() }
}

/// The field reference.
pub fn fields(book: &Book) -> FieldsView {
    let catalogue = &book.shop.catalogue;
    let groups = catalogue.groups.iter().filter_map(|group| {
        let rows: Vec<FieldRow> = catalogue
            .of(group.of)
            .filter(|(_, field)| field.group == group.key)
            .map(|(_, field)| field_row(book, field))
            .collect();
        let owner = if group.of == Owner::Oil { "of an oil" } else { "of a fork or family" };
        (!rows.is_empty()).then(|| (group.key.clone(), group.title.clone(), owner.to_owned(), rows))
    });
    let choices = catalogue.choices.iter().map(|choice| {
        (choice.key.clone(), choice.title.clone(), choice.help.clone(), choice.options.clone())
    });
    FieldsView { groups: groups.collect(), choices: choices.collect() }
}

fn field_row(book: &Book, field: &Field) -> FieldRow {
    let units: Vec<&str> = field.units.iter().map(|unit| unit.symbol).collect();
    let what = match &field.kind {
        Kind::Quantity(dimension) => dimension.title().to_owned(),
        Kind::Setting => "an adjuster’s setting: clicks, turns, rings or a length".to_owned(),
        Kind::Interval => "an interval: a time or a distance".to_owned(),
        Kind::Sections(dimension) => format!("{}, in stretches from the reference edge", dimension.title()),
        Kind::Thread => "a metric thread".to_owned(),
        Kind::Size(n) => format!("a size of {n} dimensions"),
        Kind::Count => "a whole number".to_owned(),
        Kind::Fit => "a fit code".to_owned(),
        Kind::PropertyClass => "a property class".to_owned(),
        Kind::Choice(options) => {
            let titles: Vec<String> = options.iter().map(|(_, title)| lower(title)).collect();
            format!("one of: {}", titles.join("; "))
        }
        Kind::Text => "words".to_owned(),
        Kind::Reference(to) => format!("the id of a record of kind {to}"),
    };
    let form = match field.form {
        Form::Target => "a target",
        Form::Range => "a range to choose from",
        Form::Limit => "a service limit",
        Form::Difference => "the difference allowed between the legs",
    };
    let role = match field.role {
        Role::Set => "set at the bench",
        Role::Inspected => "measured against",
        Role::Fitted => "what the part is",
    };
    let per = match (field.per, field.legs, field.works) {
        (Per::Fork, _, _) => "for the fork as a whole",
        (Per::Pair, _, _) => "for both legs together",
        (Per::Leg, _, Works::Spring) => "for the leg with the spring",
        (Per::Leg, _, Works::Damper) => "for the leg with the damper",
        (Per::Leg, Legs::Common, _) => "for each leg, both to the same figure",
        (Per::Leg, Legs::Own, _) => "for each leg, each to its own figure",
    };
    let bands = field.bands.iter().map(|band| {
        let one = |(choice, options): (&String, &Vec<String>)| {
            let titles: Vec<String> = options
                .iter()
                .map(|option| lower(book.shop.catalogue.option_title(choice, option)))
                .collect();
            titles.join(" or ")
        };
        let when: Vec<String> = band.when.iter().map(one).collect();
        let when = if when.is_empty() { String::new() } else { format!(" for {}", when.join("; ")) };
        let basis = if band.basis.is_empty() { String::new() } else { format!(" ({})", band.basis) };
        format!("{} to {}{when}{basis}", band.text.0, band.text.1)
    });
    FieldRow {
        key: field.key.clone(),
        title: field.title.clone(),
        holds: if units.is_empty() {
            capital(&what)
        } else {
            format!("{}: {}", capital(&what), units.join(", "))
        },
        role: capital(&format!("{form}, {role}, {per}")),
        safety: field.safety,
        by_shop: field.by_shop,
        measured: field.measured.clone(),
        wrong: field.wrong.clone(),
        applies: book.when(&field.applies),
        required: match &field.required {
            Required::Never => String::new(),
            Required::Always => "wherever it is for".to_owned(),
            Required::When(when) => book.when(when).join(". Or: "),
        },
        bands: bands.collect(),
        state: field
            .state
            .iter()
            .map(|key| {
                STATE_PARTS.iter().find(|part| part.key == key).map_or(key.as_str(), |part| part.title)
            })
            .map(lower)
            .collect(),
        examples: field.examples.clone(),
    }
}

/// The units.
pub fn units() -> UnitsView {
    let groups = Dimension::ALL.iter().filter_map(|dimension| {
        let all: Vec<_> = dimension.units().collect();
        let first = all.first().copied()?;
        let units = all.iter().map(|unit| UnitRow {
            symbol: unit.symbol.to_owned(),
            name: unit.name.to_owned(),
            is: if unit.symbol == first.symbol { String::new() } else { exact(unit, first) },
            spellings: unit.aliases.join(", "),
        });
        Some(UnitGroup {
            id: dimension.id().to_owned(),
            title: capital(dimension.title()),
            units: units.collect(),
        })
    });
    UnitsView { groups: groups.collect() }
}

/// What one of a unit is in another: all digits where they end, else ten that are rounded.
fn exact(unit: &crate::quantity::Unit, first: &crate::quantity::Unit) -> String {
    use num_rational::BigRational;
    use num_traits::{One, Zero};
    let one = unit.factor() / first.factor();
    let ten = BigRational::from_integer(10.into());
    let shift = unit.offset_numerator != 0;
    let mut scaled = one;
    let mut places = 0usize;
    // A factor that ends does so within 25 digits for every unit in the table.
    while !scaled.is_integer() && places < 25 {
        scaled *= &ten;
        places += 1;
    }
    let ends = scaled.is_integer();
    let mut whole = scaled.round().to_integer();
    if !ends {
        while whole >= num_bigint::BigInt::from(10u64.pow(10)) {
            whole = (BigRational::new(whole, num_bigint::BigInt::one()) / &ten).round().to_integer();
            places = places.saturating_sub(1);
            if places.is_zero() {
                break;
            }
        }
    }
    let mut digits = whole.to_string();
    while digits.len() <= places {
        digits.insert(0, '0');
    }
    let text = if places == 0 {
        digits
    } else {
        let (before, after) = digits.split_at(digits.len() - places);
        format!("{before}.{}", after.trim_end_matches('0')).trim_end_matches('.').to_owned()
    };
    let about = if ends { "" } else { "about " };
    let point = if shift { " (as a difference)" } else { "" };
    format!("{about}{text} {}{point}", first.symbol)
}
