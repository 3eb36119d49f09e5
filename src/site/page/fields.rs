//! The field reference.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::catalogue::{Band, Field, Form, Legs, Owner, Per, Required, Role, STATE_PARTS, Works};
use crate::quantity::{Kind, blank};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::{capital, lower};

/// A field in the field reference.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FieldRow {
    /// Its key, which is its fragment identifier.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// What it holds, in words: `a length; mm, in`.
    pub holds: String,
    /// What the bench does with it and what it counts for, in words.
    pub role: String,
    /// Safety-critical.
    pub safety: bool,
    /// Declared by the shop.
    pub by_shop: bool,
    /// How it is measured.
    pub measured: String,
    /// What a wrong value does.
    pub wrong: String,
    /// The forks it is for, in words; empty: every fork.
    pub applies: Vec<String>,
    /// When it must be given, in words.
    pub required: String,
    /// Plausible bands, in words.
    pub bands: Vec<String>,
    /// The parts of the state it must say.
    pub state: Vec<String>,
    /// How it may be written.
    pub examples: Vec<String>,
}

/// The field reference, `fields.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FieldsView {
    /// The groups: key, title, whose record, fields.
    pub groups: Vec<(String, String, String, Vec<FieldRow>)>,
    /// The choices that make up a fork: key, title, help, options as id and title.
    pub choices: Vec<ChoiceEntry>,
}

/// A choice of the field reference: key, title, help, options as id and title.
pub type ChoiceEntry = (String, String, String, Vec<(String, String)>);

/// The page.
pub struct FieldsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [FieldsPage; 1] {
    [FieldsPage]
}

impl<'s> Page<'s> for FieldsPage {
    type View = FieldsView;

    const TEMPLATE: &'static str = "fields";

    fn path(&self) -> String {
        "reference/fields.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<FieldsView, TemplateProblem> {
        Ok(fields(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &FieldsView) -> Heading {
        Heading::new("Field reference", "Every value a record can hold.")
    }
}

/// The field reference.
fn fields(book: &Book) -> FieldsView {
    let catalogue = &book.shop.catalogue;
    let groups = catalogue.groups.iter().filter_map(|group| {
        let rows: Vec<FieldRow> = catalogue
            .of(group.of)
            .filter(|(_, field)| field.group == group.key)
            .map(|(_, field)| field_row(book, field))
            .collect();
        let owner = match group.of {
            Owner::Oil => "of an oil",
            Owner::Spring => "of a spring",
            Owner::Fork => "of a fork or family",
        };
        (!rows.is_empty()).then(|| (group.key.clone(), group.title.clone(), owner.to_owned(), rows))
    });
    let choices = catalogue.choices.iter().map(|choice| {
        (choice.key.clone(), choice.title.clone(), choice.help.clone(), choice.options.clone())
    });
    FieldsView { groups: groups.collect(), choices: choices.collect() }
}

fn field_row(book: &Book, field: &Field) -> FieldRow {
    let units: Vec<&str> = field.units.iter().map(|unit| unit.symbol).collect();
    let what = capital(&kind_text(&field.kind));
    let state_title = |key: &String| {
        let part = STATE_PARTS.iter().find(|part| part.key == key);
        lower(part.map_or(key.as_str(), |part| part.title))
    };
    FieldRow {
        key: field.key.clone(),
        title: field.title.clone(),
        holds: if units.is_empty() { what } else { format!("{what}: {}", units.join(", ")) },
        role: capital(&role_text(field)),
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
        bands: field.bands.iter().map(|band| band_text(book, band)).collect(),
        state: field.state.iter().map(state_title).collect(),
        examples: field.examples.iter().map(|example| blank(example)).collect(),
    }
}

/// What a value is, in words.
fn kind_text(kind: &Kind) -> String {
    match kind {
        Kind::Quantity(dimension) => dimension.title().to_owned(),
        Kind::Setting => "an adjuster’s setting: clicks, turns, rings or a length".to_owned(),
        Kind::Interval => "an interval: hours, a distance or months, or two of them with `or` between, whichever is first".to_owned(),
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
    }
}

/// What a value is for, and for which legs: `a target, set at the bench, for the fork as a whole`.
fn role_text(field: &Field) -> String {
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
    format!("{form}, {role}, {per}")
}

/// Where a value usually lies, for which forks, and what that rests on.
fn band_text(book: &Book, band: &Band) -> String {
    let titles = |(choice, options): (&String, &Vec<String>)| {
        let title = |option: &String| lower(book.shop.catalogue.option_title(choice, option));
        options.iter().map(title).collect::<Vec<_>>().join(" or ")
    };
    let when: Vec<String> = band.when.iter().map(titles).collect();
    let when = if when.is_empty() { String::new() } else { format!(" for {}", when.join("; ")) };
    let basis = if band.basis.is_empty() { String::new() } else { format!(" ({})", band.basis) };
    format!("{} to {}{when}{basis}", band.text.0, band.text.1)
}
