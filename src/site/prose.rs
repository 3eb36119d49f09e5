//! Running text as HTML, with a fork's numbers in it or in its general form.

use std::sync::Arc;

use super::glossary::Linked;
use super::view::{CautionBox, Item, Reading, ReadingBox, Step};
use super::wrenches::wrenches;
use crate::book::doubt::IN_DOUBT;
use crate::book::facts::tables_for;
use crate::book::figure::{aside, state_but};
use crate::book::gaps::{GAP, Gapped};
use crate::book::links::{field_href, oil_href, procedure_href, value_href};
use crate::book::memo::{ProseKey, RecordKey, Written, WrittenKey};
use crate::book::pictures::shown;
use crate::book::reading::{boxed, holds, is_read_apart};
use crate::book::short::UNKNOWN;
use crate::book::sign::{SIGN, signed_sentence};
use crate::book::texts::ForkTexts;
use crate::book::view::Figure;
use crate::catalogue::{Field, FieldId, Form, Role};
use crate::date::Date;
use crate::drawing::{of_work, where_read};
use crate::quantity::{Dimension, Kind, Quantity};
use crate::record::{Caution, Phase, Procedure, RecordKind, Tool};
use crate::resolve::{Shop, Shown, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::{self, Body, Part, Piece, Prose, Reference};
use crate::words::{escape, lower};
use pulldown_cmark::{Event, Tag, TagEnd};

/// Whether what a reference becomes hangs on the fork: a number, and a link that may stay on the page.
fn is_own(reference: &Reference) -> bool {
    matches!(reference.scheme, Scheme::Spec | Scheme::Procedure)
}

/// What stands in a sentence for a box to write in.
const BOX: &str = "in the box below";

/// The same where there are two, one after the other.
const BOXES: &str = "in the boxes below";

/// Where text is written: for whom, and from how deep in the site.
#[derive(Clone, Copy)]
pub struct Setting<'s> {
    /// The shop.
    pub shop: &'s Shop,
    /// The fork whose numbers go in; none for the general form.
    pub fork: Option<&'s ForkTexts<'s>>,
    /// How links name the fork.
    pub fork_id: &'s str,
    /// What was written before on pages of this depth; none where a text is written once.
    pub written: Option<&'s Written>,
    /// The way to the site's top folder.
    pub root: &'s str,
    /// The procedures on the same page, to which a link stays on the page.
    pub here: &'s [&'s str],
    /// The terms linked so far on this page; none where terms are not linked.
    pub terms: Option<&'s Linked>,
    /// What was worked out for a caution of this fork: id and sentences.
    pub facts: &'s [(String, Vec<String>)],
    /// Whether the work is done on the left and on the right leg.
    pub legs: [bool; 2],
    /// The day of the last release, by which calibrations are judged.
    pub day: Option<Date>,
}

/// A figure inside a sentence, with what has to be said beside it.
fn shown_figure(figure: &Figure) -> String {
    let mut out = String::new();
    if !figure.side.is_empty() {
        out.push_str(&format!("{} ", figure.side));
    }
    if figure.unknown.is_empty() {
        out.push_str(&format!("<b>{}</b>", escape(&figure.main)));
    } else {
        // The sentence around it goes on: what is done instead is an aside.
        let aside = aside(&figure.main, !figure.silent);
        out.push_str(&format!("<strong class=\"tag un\">{UNKNOWN}</strong> <b>[{}]</b>", escape(&aside)));
    }
    if !figure.second.is_empty() {
        out.push_str(&format!(" <span class=\"second\">({})</span>", escape(&figure.second)));
    }
    if figure.taken_over {
        out.push_str(&format!("<span class=\"fam\">{SIGN}</span>"));
    }
    if figure.estimate {
        out.push_str(" <strong class=\"tag est\">ESTIMATE</strong>");
    }
    if figure.doubt {
        out.push_str(&format!(" <strong class=\"tag un\">{IN_DOUBT}</strong>"));
    }
    for beside in [&figure.state, &figure.how, &figure.note].into_iter().filter(|text| !text.is_empty()) {
        out.push_str(&format!(" <span class=\"state\">[{}]</span>", escape(beside)));
    }
    out
}

impl<'s> Setting<'s> {
    /// For no fork, alone on its page, terms not linked.
    pub fn general(shop: &'s Shop, root: &'s str) -> Setting<'s> {
        Setting {
            shop,
            fork: None,
            fork_id: "",
            written: None,
            root,
            here: &[],
            terms: None,
            facts: &[],
            legs: [true; 2],
            day: None,
        }
    }
}

impl Setting<'_> {
    /// Text as HTML, the trade's terms linked to the glossary where they first appear on the page.
    fn html(&self, prose: &Prose, key: ProseKey) -> Arc<str> {
        let Some(written) = self.written else {
            return self.made(prose, |reference| self.reference(reference)).into();
        };
        let linked = || self.terms.map(Linked::bits);
        let depth = self.root.matches('/').count();
        let (text, after) = written.or_make(WrittenKey { prose: key, linked: linked(), depth }, || {
            let open = |reference: &Reference| {
                if is_own(reference) { GAP.to_owned() } else { self.reference(reference) }
            };
            let html = self.made(prose, open);
            (Gapped::new(&html), linked())
        });
        if let (Some(terms), Some(after)) = (self.terms, after) {
            terms.set(after);
        }
        text.filled(prose.pieces.iter().filter_map(|piece| match piece {
            Piece::Reference(reference) => is_own(reference).then(|| self.reference(reference)),
            Piece::Event(_) => None,
        }))
    }

    fn made(&self, prose: &Prose, show: impl FnMut(&Reference) -> String) -> String {
        let Some(linked) = self.terms else {
            return boxed(&prose.html(show), BOX, BOXES);
        };
        let mut pieces = Vec::with_capacity(prose.pieces.len());
        let mut inside = 0usize;
        for piece in &prose.pieces {
            match piece {
                Piece::Event(Event::Start(Tag::Link { .. })) => inside += 1,
                Piece::Event(Event::End(TagEnd::Link)) => inside = inside.saturating_sub(1),
                Piece::Event(Event::Text(text)) if inside == 0 => {
                    pieces.extend(linked.split(text).into_iter().map(|(part, term)| {
                        Piece::Event(match term {
                            None => Event::Text(part.to_owned().into()),
                            Some(id) => Event::InlineHtml(
                                format!(
                                    "<a class=\"term\" href=\"{}glossary.html#{id}\">{}</a>",
                                    self.root,
                                    escape(part)
                                )
                                .into(),
                            ),
                        })
                    }));
                    continue;
                }
                _ => {}
            }
            pieces.push(piece.clone());
        }
        boxed(&Prose { pieces }.html(show), BOX, BOXES)
    }

    fn title(&self, reference: &Reference) -> String {
        let automatic = reference.text == format!("{}:{}", reference.scheme, reference.target);
        if !automatic {
            return reference.text.clone();
        }
        let field = self.shop.catalogue.find(&reference.target).map(|id| self.shop.catalogue.field(id));
        match (reference.scheme, field) {
            // The box itself stands under the step, with its name.
            (Scheme::Reading, Some(_)) => BOX.to_owned(),
            (Scheme::Spec, Some(field)) => lower(&field.title),
            _ => reference.target.clone(),
        }
    }

    fn reference(&self, reference: &Reference) -> String {
        let root = self.root;
        let text = escape(&self.title(reference));
        let target = &reference.target;
        let link = |href: String| format!("<a href=\"{root}{}\">{text}</a>", escape(&href));
        match reference.scheme {
            Scheme::Spec => self.spec(reference, &text),
            Scheme::Reading => text,
            Scheme::Procedure if self.here.contains(&target.as_str()) => {
                format!("<a href=\"#proc-{}\">{text}</a>", escape(target))
            }
            Scheme::Procedure => link(procedure_href(target)),
            Scheme::Caution => link(format!("cautions.html#{target}")),
            Scheme::Tool => link(format!("tools.html#{target}")),
            Scheme::Oil => link(oil_href(target)),
            Scheme::Picture => self.picture(reference),
        }
    }

    /// A picture of the shop's own; nothing where there is none, which has been said.
    fn picture(&self, reference: &Reference) -> String {
        let place = Shown::of_link(reference, RecordKind::Procedure);
        let Some(view) = place.and_then(|place| shown(self.shop, &place)) else { return String::new() };
        format!(
            "<img class=\"picture\" src=\"{}{}\" alt=\"{}\" width=\"{}\" height=\"{}\" loading=\"lazy\">",
            self.root,
            view.src,
            escape(&view.words),
            view.width,
            view.height
        )
    }

    fn spec(&self, reference: &Reference, text: &str) -> String {
        let (root, key) = (self.root, reference.target.as_str());
        let Some(id) = self.shop.catalogue.find(key) else { return text.to_owned() };
        let Some(texts) = self.fork else {
            return format!("<a href=\"{root}{}\">{text}</a>", escape(&field_href(key)));
        };
        let mut figures: Vec<&Figure> = texts.figures(id).iter().collect();
        // Work on one leg goes to that leg's own figure.
        let away = |figure: &Figure| match figure.side.as_str() {
            "left" => !self.legs[0],
            "right" => !self.legs[1],
            _ => false,
        };
        if !figures.iter().all(|figure| away(figure)) {
            figures.retain(|figure| !away(figure));
        }
        let nobody_knows = |figure: &&Figure| figure.silent;
        if let Some(words) = reference.otherwise.as_ref().filter(|_| figures.iter().all(nobody_knows)) {
            return format!("{text} <b>({})</b>", escape(words));
        }
        if figures.is_empty() {
            let field = self.shop.catalogue.field(id);
            // A text for every fork names what some do not have.
            if !field.applies.holds(&texts.fork.choices) {
                return format!("{text} <span class=\"state\">(not on this fork)</span>");
            }
            // A step that sets what the record does not give must not be done from memory.
            return if field.role == Role::Set || field.safety {
                let what = if field.group == "torque" { "torque" } else { "value" };
                let text = escape(&lower(&field.title));
                format!(
                    "<strong class=\"stop\">STOP: no {what} on record for {text}. Look it up in the maker’s manual</strong>"
                )
            } else {
                format!("{text} <strong class=\"tag est\">no value on record</strong>")
            };
        }
        let shown: Vec<String> = figures.into_iter().map(shown_figure).collect();
        let href = escape(&value_href(self.fork_id, key));
        format!("<span class=\"v\"><a href=\"{root}{href}\">{text}</a> {}</span>", shown.join(", "))
    }

    /// A caution as a box.
    pub fn caution(&self, caution: &Caution) -> CautionBox {
        // A warning is read through, not clicked through.
        let plain = Setting { terms: None, ..*self };
        let key = |part: usize| ProseKey { record: caution.into(), part, reason: false };
        let html = caution.body.parts.iter().enumerate().map(|(n, part)| match part {
            Part::Heading(prose) => format!("<p><b>{}</b></p>", plain.html(prose, key(n))),
            Part::Prose(prose) => plain.html(prose, key(n)).to_string(),
            Part::Step(step) => plain.html(&step.action, key(n)).to_string(),
        });
        let html: String = html.collect();
        let facts = self.facts.iter().find(|(id, _)| *id == caution.id.text);
        CautionBox {
            id: caution.id.text.clone(),
            signal: caution.signal.word().to_lowercase(),
            word: caution.signal.word().to_owned(),
            title: caution.title.clone(),
            html: html.into(),
            facts: facts.map(|(_, facts)| facts.clone()).unwrap_or_default(),
            brief: false,
        }
    }

    /// A procedure's parts, its steps numbered from `first`.
    pub fn items(&self, procedure: &Procedure, first: usize) -> Vec<Item> {
        self.parts(procedure.into(), &procedure.body, first, procedure.phase)
    }

    /// The parts of a body, its steps numbered from `first`.
    pub fn parts(&self, record: RecordKey, body: &Body, first: usize, phase: Option<Phase>) -> Vec<Item> {
        self.parts_with(record, body, (first, phase), |_| true)
    }

    /// The same, with those steps alone that are wanted.
    pub(super) fn parts_with(
        &self,
        record: RecordKey,
        body: &Body,
        (first, phase): (usize, Option<Phase>),
        wanted: impl Fn(&markdown::Step) -> bool,
    ) -> Vec<Item> {
        let mut number = first;
        let mut items = Vec::with_capacity(body.parts.len());
        let mut drawn = Vec::new();
        for (part, content) in body.parts.iter().enumerate() {
            let key = ProseKey { record, part, reason: false };
            items.push(match content {
                Part::Heading(prose) => {
                    let plain = Setting { terms: None, ..*self };
                    Item { heading_html: plain.html(prose, key), ..Item::default() }
                }
                Part::Prose(prose) => Item { prose_html: self.html(prose, key), ..Item::default() },
                Part::Step(step) if !wanted(step) => continue,
                Part::Step(step) => {
                    let mut step_view = self.step(step, key, number, phase);
                    step_view.drawings = self.drawings(step, &mut drawn);
                    let step = step_view;
                    number += 1;
                    Item { step: Some(step), ..Item::default() }
                }
            });
        }
        items
    }

    fn step(&self, step: &markdown::Step, key: ProseKey, number: usize, phase: Option<Phase>) -> Step {
        let readings = step.action.pieces.iter().filter_map(|piece| match piece {
            Piece::Reference(reference) if reference.scheme == Scheme::Reading => Some(reference),
            _ => None,
        });
        // The order in which terms are linked: what to do before the reason.
        let html = self.html(&step.action, key);
        let reason = step.reason.as_ref().map(|reason| self.html(reason, ProseKey { reason: true, ..key }));
        Step {
            number,
            anchor: format!("step-{number}"),
            html,
            reason_html: reason.unwrap_or_default(),
            cautions: cautions_of(self.shop, self.fork, step).map(|caution| self.caution(caution)).collect(),
            readings: readings
                .filter_map(|reference| self.reading(&reference.target, phase))
                .map(|reading| self.with_wrenches(reading, step))
                .collect(),
            drawings: Vec::new(),
        }
    }

    /// What is drawn of the work of a step, each once in a procedure: finished SVG, or a sentence on what is missing.
    fn drawings<'r>(&self, step: &'r markdown::Step, drawn: &mut Vec<(Scheme, &'r str)>) -> Vec<String> {
        let Some(texts) = self.fork else { return Vec::new() };
        let named = step.action.pieces.iter().filter_map(|piece| match piece {
            Piece::Reference(reference) => Some(reference),
            Piece::Event(_) => None,
        });
        let side = if self.legs[0] { Side::Left } else { Side::Right };
        let mut out = Vec::new();
        for reference in step.cautions.iter().chain(named) {
            let named = (reference.scheme, reference.target.as_str());
            // What is read is drawn beside its box.
            if named.0 == Scheme::Reading || drawn.contains(&named) {
                continue;
            }
            match of_work(self.shop, texts.fork, side, named) {
                Some(Ok(drawing)) => out.push(drawing.svg),
                Some(Err(missing)) => out.push(format!("<p class=\"per\">{}</p>", escape(&missing))),
                None => continue,
            }
            drawn.push(named);
        }
        out
    }

    /// A reading of a torque with the wrenches for it.
    fn with_wrenches(&self, mut reading: Reading, step: &markdown::Step) -> Reading {
        let (Some(texts), Some(id)) = (self.fork, self.shop.catalogue.find(&reading.key)) else {
            return reading;
        };
        if self.shop.catalogue.field(id).kind != Kind::Quantity(Dimension::Torque) {
            return reading;
        }
        // Of the legs that are worked on here: the other one's foot may ask for another wrench.
        let done = Side::BOTH.into_iter().zip(self.legs).filter(|(_, done)| *done);
        let torques: Vec<&Quantity> =
            done.filter_map(|(side, _)| texts.fork.on(side, id)?.quantity()).collect();
        let named = step.action.pieces.iter().filter_map(|piece| match piece {
            Piece::Reference(reference) if reference.scheme == Scheme::Tool => {
                self.shop.tool(&reference.target)
            }
            _ => None,
        });
        let crowfoots: Vec<&Tool> = named.filter(|tool| tool.extends.is_some()).collect();
        let (wrenches, notes) = wrenches(self.shop, self.day, &crowfoots, &torques);
        let sign =
            |note: String| signed_sentence(note, !crowfoots.is_empty() && texts.fork.is_uncompared(id));
        reading.wrenches = wrenches;
        reading.wrench_notes = notes.into_iter().map(sign).collect();
        reading
    }

    /// The boxes for a reading that a step asks for; `None` where the catalogue does not have it.
    fn reading(&self, key: &str, phase: Option<Phase>) -> Option<Reading> {
        let id = self.shop.catalogue.find(key)?;
        let field = self.shop.catalogue.field(id);
        let unit = self.reading_unit(id, field);
        let figures = self.fork.map_or(&[][..], |texts| texts.figures(id));
        let title = field.read_as();
        let reading_box = |side: &str| {
            let mut label = title.to_owned();
            if !side.is_empty() {
                label.push_str(&format!(", {} leg", side.to_lowercase()));
            }
            if !unit.is_empty() {
                label.push_str(&format!(", {unit}"));
            }
            let tail = if side.is_empty() { String::new() } else { format!("-{}", side.to_lowercase()) };
            ReadingBox { name: format!("{key}{tail}"), side: side.to_owned(), label }
        };
        let boxes = if is_read_apart(field) {
            let holds = |side: Side| self.fork.is_none_or(|texts| holds(texts.fork, side, id, field));
            let legs = [(Side::Left, "Left", self.legs[0]), (Side::Right, "Right", self.legs[1])];
            let read = legs.into_iter().filter(|(side, _, done)| *done && holds(*side));
            read.map(|(_, word, _)| reading_box(word)).collect()
        } else {
            vec![reading_box("")]
        };
        Some(Reading {
            key: key.to_owned(),
            title: title.to_owned(),
            unit: unit.to_owned(),
            target: reading_target(self.done_here(figures), field.form, phase),
            state: self.state_of_reading(id, phase),
            found: phase.is_some_and(Phase::is_as_found),
            boxes,
            tables: match (self.fork, phase.is_some_and(Phase::is_before_work)) {
                (Some(texts), false) => tables_for(self.shop, texts.fork, field),
                _ => Vec::new(),
            },
            drawing_html: self.drawing(id),
            settled: field.settled,
            wrenches: Vec::new(),
            wrench_notes: Vec::new(),
        })
    }

    /// The figures of the legs that are worked on here.
    fn done_here<'f>(&self, figures: &'f [Figure]) -> Vec<&'f Figure> {
        let done = |figure: &&Figure| match figure.side.as_str() {
            "left" => self.legs[0],
            "right" => self.legs[1],
            _ => true,
        };
        figures.iter().filter(done).collect()
    }

    /// The state in which a reading is taken: what is read as found, at the temperature of the day, whatever the record
    /// says its figure is for.
    fn state_of_reading(&self, id: FieldId, phase: Option<Phase>) -> String {
        let as_found = phase.is_some_and(Phase::is_before_work);
        let value = self.fork.and_then(|texts| Side::BOTH.iter().find_map(|side| texts.fork.on(*side, id)));
        let left_out = if as_found { "temperature" } else { "" };
        value.map(|value| state_but(&value.entry, left_out)).unwrap_or_default()
    }

    /// Where a value is read, drawn on the leg that is worked on; empty where nothing is.
    fn drawing(&self, id: FieldId) -> String {
        let side = if self.legs[0] { Side::Left } else { Side::Right };
        let Some(texts) = self.fork else { return String::new() };
        let key = self.shop.catalogue.field(id).key.as_str();
        let of_work = || of_work(self.shop, texts.fork, side, (Scheme::Reading, key))?.ok();
        let drawn = where_read(self.shop, texts.fork, side, id).or_else(of_work);
        drawn.map(|drawing| drawing.svg).unwrap_or_default()
    }

    /// The unit of a reading: as the record has it, else the shop's; empty where there is none.
    fn reading_unit(&self, id: FieldId, field: &Field) -> &'static str {
        let resolved =
            self.fork.and_then(|texts| Side::BOTH.iter().find_map(|side| texts.fork.on(*side, id)));
        let written = resolved.and_then(|resolved| resolved.quantity());
        self.shop.read_in(field, written).map(|unit| unit.symbol).unwrap_or_default()
    }
}

/// The cautions before a step that are for this fork, in their order, each once.
pub(super) fn cautions_of<'s>(
    shop: &'s Shop,
    fork: Option<&ForkTexts<'_>>,
    step: &markdown::Step,
) -> impl Iterator<Item = &'s Caution> {
    let mut ids: Vec<&str> = Vec::new();
    for reference in &step.cautions {
        if !ids.contains(&reference.target.as_str()) {
            ids.push(&reference.target);
        }
    }
    let known = ids.into_iter().filter_map(|id| shop.caution(id));
    known.filter(move |caution| fork.is_none_or(|texts| caution.applies.holds(&texts.fork.choices)))
}

/// What a reading should be.
fn reading_target(figures: Vec<&Figure>, form: Form, phase: Option<Phase>) -> String {
    let fitted = figures.into_iter().filter(|figure| !figure.not_fitted);
    let marked = |figure: &Figure| {
        let estimate = if figure.estimate { " ESTIMATE" } else { "" };
        let doubt = if figure.doubt { format!(" {IN_DOUBT}") } else { String::new() };
        format!("{} {}{estimate}{doubt}", figure.side, figure.main).trim_start().to_owned()
    };
    let targets: Vec<String> = fitted.map(marked).collect();
    let targets = targets.join(", ");
    match form {
        // Beside a number that it should be, a person reads that number.
        _ if phase.is_some_and(Phase::is_before_work) => "as found".to_owned(),
        _ if targets.is_empty() => String::new(),
        Form::Limit | Form::Difference => format!("limit {targets}"),
        Form::Target | Form::Range => format!("to be {targets}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_stands_in_its_sentence() {
        let sentence = |text: &str| boxed(text, BOX, BOXES);
        assert_eq!(
            sentence("<p>Tighten it. Write it: in the box below</p>"),
            "<p>Tighten it. Write it in the box below.</p>"
        );
        assert_eq!(
            sentence("<p>Write what went in: in the box below</p>"),
            "<p>Write what went in: in the box below.</p>"
        );
        assert_eq!(
            sentence("<p>Measure both walls: in the box below in the box below</p>"),
            "<p>Measure both walls: write them in the boxes below.</p>"
        );
        assert_eq!(
            sentence("<p>Write the count as found: in the box below. Turn it back.</p>"),
            "<p>Write the count as found: in the box below. Turn it back.</p>"
        );
        assert_eq!(sentence("<p>Nothing is written here.</p>"), "<p>Nothing is written here.</p>");
    }
}
