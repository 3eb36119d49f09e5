//! The lines of a procedure: one to tick, or one for each number that is set or written, and what hazards are met there.

use std::collections::HashMap;

use super::frame::Frame;
use super::goes::Goes;
use super::joined::{join, joined};
use super::number::{Numbers, beside, number, sides_on, told_with};
use super::pairs::{AS_AT, on_the_tick, pair, stands_on_tick};
use super::places::{Asked, Home, asked, at_home, is_as_found};
use super::view::{CardBoxes, CardHazard, CardLine};
use crate::book::Book;
use crate::book::doubt::IN_DOUBT;
use crate::book::figure::value_text;
use crate::book::reading::{holds, is_amount, is_number, is_read_apart};
use crate::book::short::sides;
use crate::book::sign::signed;
use crate::book::texts::ForkTexts;
use crate::catalogue::{Field, FieldId, Form, Role};
use crate::drawing;
use crate::plan::Planned;
use crate::quantity::Kind;
use crate::record::{Holder, Phase, Signal};
use crate::resolve::Side;
use crate::syntax::Scheme;
use crate::words::{capital, lower};

/// What lines are made with.
pub(super) struct Bench<'b, 's> {
    /// The look-ups.
    pub book: &'b Book<'s>,
    /// What is told of the fork.
    pub texts: &'b ForkTexts<'s>,
    /// The procedure at which each number stands.
    pub homes: &'b HashMap<FieldId, Home>,
    /// The numbers of the fork beside the wrenches of the service.
    pub numbers: &'b Numbers<'b>,
    /// Where sag is read first, by the place of its procedure.
    pub first_sag: Option<usize>,
    /// What went for want of room.
    pub goes: Goes,
    /// Fields whose values stand elsewhere on the sheet already.
    pub told: &'b [FieldId],
    /// The lines are of a job card: a number carries the title of its procedure, and the drawing of the gap is tall.
    pub titled: bool,
}

/// A procedure while its lines are made.
struct Work<'w> {
    item: &'w Planned<'w>,
    at: usize,
    asked: Vec<Asked>,
    /// Fields whose values stand on one of its lines already.
    told: Vec<FieldId>,
}

impl Bench<'_, '_> {
    fn field(&self, id: FieldId) -> &Field {
        self.book.shop.catalogue.field(id)
    }

    /// The lines of the procedure at this place.
    pub fn lines(&self, item: &Planned<'_>, at: usize) -> Vec<CardLine> {
        let mut work = Work { item, at, asked: asked(self.book, item), told: self.told.to_vec() };
        let mut lines = self.value_lines(&mut work);
        let phase = item.procedure.phase;
        if lines.is_empty() || phase == Some(Phase::Strip) {
            lines.insert(0, self.tick(item, at));
        }
        self.facts(&mut work, &mut lines);
        if self.titled && stands_on_tick(&lines) && !self.goes.keeps(Goes::Titles) {
            lines = on_the_tick(lines);
        }
        if let Some(first) = lines.first_mut() {
            first.hazards = self.hazards(item);
            if self.titled
                && first.ticks.is_empty()
                && phase > Some(Phase::Inspect)
                && self.goes.keeps(Goes::Titles)
            {
                first.under = join(item.procedure.title.trim_end_matches('.'), &first.under);
            }
        }
        self.tried_again(item, &mut lines);
        if let (Some(first), Some(words)) =
            (lines.first_mut(), item.procedure.on_card.as_ref().filter(|_| self.titled))
        {
            let told = if first.ticks.is_empty() { &mut first.under } else { &mut first.state };
            *told = sentence_after(told, words);
        }
        if let Some(first) = lines.first_mut().filter(|line| !line.ticks.is_empty() && self.titled) {
            lead_on(first);
        }
        if let Some(words) = &item.procedure.sign_off {
            let (number, title) = ((at + 1).to_string(), words.trim_end_matches('.').to_owned());
            lines.push(CardLine { number, title, boxes: vec!["initials".to_owned()], ..CardLine::default() });
        }
        lines
    }

    /// The line to tick.
    fn tick(&self, item: &Planned<'_>, at: usize) -> CardLine {
        let conditions = &self.book.shop.conditions;
        let named = item.procedure.brings.iter().chain(&item.procedure.ends);
        let of_leg = |id: &crate::record::Text| {
            conditions.list.iter().any(|one| one.id.text == id.text && one.per == Holder::Leg)
        };
        let apart = named.clone().any(of_leg) || item.legs != [true; 2];
        CardLine {
            number: (at + 1).to_string(),
            title: item.procedure.title.trim_end_matches('.').to_owned(),
            ticks: if apart { letters(item.legs) } else { vec![String::new()] },
            ..CardLine::default()
        }
    }

    /// A line for each value that is written here; and for each number that is set here and nowhere written.
    fn value_lines(&self, work: &mut Work<'_>) -> Vec<CardLine> {
        let mut lines = Vec::new();
        let mut more = Vec::new();
        let found = is_as_found(work.item);
        for Asked { id, .. } in work.asked.clone().into_iter().filter(|asked| asked.read) {
            let boxes = self.boxes(work.item, id);
            if boxes.is_empty() || work.told.contains(&id) {
                continue;
            }
            let field = self.field(id);
            let shown = self.shown(work, id);
            let mut line = self.blank(work.at, id, boxes);
            let home = at_home(self.homes, id, work.at);
            let is_home = home != [false; 2];
            self.say_again(
                &mut line,
                id,
                (is_home, found && work.item.procedure.phase != Some(Phase::Intake), found),
            );
            if let Some(shown) = shown {
                number(self.book, self.texts, (shown, home), self.numbers, self.goes, &mut line);
                let told = beside(self.book, shown);
                self.add_keys(&mut line, told);
                work.told.extend(told);
                self.add_keys(&mut line, &[shown]);
                work.told.push(shown);
                self.in_frame(&mut line, (shown, id), home);
            } else {
                let (unit, new) = self.written_in(id, is_home);
                line.boxes.iter_mut().for_each(|one| *one = format!("{one} {unit}").trim().to_owned());
                // A part of an amount stands with the whole.
                line.under = if self.stands_elsewhere(id) { String::new() } else { new };
            }
            if field.settled && self.titled {
                line.row = self.readings(id, work.at);
            }
            line.sketch_html = self.sketch((id, work.at), &line.row);
            work.told.push(id);
            self.add_keys(&mut line, &[id]);
            let is_plain = line.figures.is_empty() && !found && field.role != Role::Fitted;
            if is_plain && field.short != field.reading && !is_number_of_work(field) {
                more.push(line)
            } else {
                lines.push(line)
            }
        }
        let frame = lines.iter_mut().find(|line: &&mut CardLine| line.frame);
        match frame {
            Some(frame) => frame.more.extend(more.into_iter().map(boxes_of)),
            None => with_number(&mut lines, more),
        }
        pair(lines)
    }

    /// The frame of a number that is shown, with what a new part has where the reading is held to a limit.
    fn in_frame(&self, line: &mut CardLine, (shown, id): (FieldId, FieldId), home: [bool; 2]) {
        if shown != id {
            let new = self.texts.short(id);
            line.under =
                join(&line.under, &if new.is_empty() { String::new() } else { format!("new {new}") });
        }
        let parts = self.numbers.frame(self.book.shop, self.texts.fork, (shown, home), !self.titled);
        if let Some(frame) = parts.frame(self.goes) {
            put(line, frame);
            line.low = !self.titled;
        }
    }

    /// The field whose number stands at this reading: its own, or the limit that is read alike; none where it stands
    /// at another procedure, or where the fork has none.
    fn shown(&self, work: &Work<'_>, id: FieldId) -> Option<FieldId> {
        if at_home(self.homes, id, work.at) == [false; 2] {
            return None;
        }
        let is_limit = |id: FieldId| is_limit(self.field(id));
        let field = self.field(id);
        let alike = work.asked.iter().map(|asked| asked.id).find(|other| {
            is_limit(*other)
                && *other != id
                && !field.reading.is_empty()
                && self.field(*other).reading == field.reading
        });
        let own = (field.role == Role::Set || is_limit(id)).then_some(id);
        alike.filter(|_| !is_limit(id)).or(own).filter(|id| !sides(self.texts.fork, *id).is_empty())
    }

    fn add_keys(&self, line: &mut CardLine, told: &[FieldId]) {
        for id in told {
            let key = &self.field(*id).key;
            if !line.keys.split(' ').any(|known| known == key) {
                if !line.keys.is_empty() {
                    line.keys.push(' ');
                }
                line.keys.push_str(key);
            }
        }
    }

    fn blank(&self, at: usize, id: FieldId, boxes: Vec<String>) -> CardLine {
        let field = self.field(id);
        let title = if is_limit(field) && !field.reading.is_empty() { &field.reading } else { &field.short };
        CardLine {
            number: (at + 1).to_string(),
            title: title.clone(),
            key: field.key.clone(),
            keys: field.key.clone(),
            boxes,
            ..CardLine::default()
        }
    }

    /// The boxes of a reading: one for each leg that has it and is worked on, or one.
    fn boxes(&self, item: &Planned<'_>, id: FieldId) -> Vec<String> {
        let field = self.field(id);
        if !is_read_apart(field) {
            return vec![String::new()];
        }
        let has = |side: Side, on: bool| on && holds(self.texts.fork, side, id, field);
        letters([has(Side::Left, item.legs[0]), has(Side::Right, item.legs[1])])
    }

    /// The unit in which a reading is written; and at its home what the part measures new.
    fn written_in(&self, id: FieldId, is_home: bool) -> (String, String) {
        let field = self.field(id);
        let here = sides(self.texts.fork, id);
        let quantity = here.first().and_then(|(_, value)| value.quantity());
        let unit = self.book.shop.read_in(field, quantity);
        let unit = unit.map(|unit| unit.symbol.to_owned()).unwrap_or_default();
        let new = self.texts.short(id);
        (unit, if is_home && !new.is_empty() { format!("new {new}") } else { String::new() })
    }

    /// Says of a reading that is written at another place as well, how it belongs to its number. What is read before the
    /// strip stands under a heading that says so.
    fn say_again(&self, line: &mut CardLine, id: FieldId, (is_home, as_found, before): (bool, bool, bool)) {
        // A share is read as it came out, and stands with the whole that is put in.
        if is_home && !(as_found && self.stands_elsewhere(id)) {
            return;
        }
        if as_found {
            line.title.push_str(", as found");
        } else if !before {
            // Its number stands once, at the line before.
            line.title.push_str(", again");
            line.state = self.as_at(id);
        }
    }

    /// At which procedure the number of a reading stands that is written again. A hang card has no order of work.
    fn as_at(&self, id: FieldId) -> String {
        if !self.titled {
            return String::new();
        }
        let home = self.homes.get(&id).and_then(|legs| legs.iter().flatten().next());
        home.map_or_else(String::new, |at| format!("{AS_AT}{}", at + 1))
    }

    /// Whether a value stands with the number of another field, which has a place of its own on the card.
    fn stands_elsewhere(&self, id: FieldId) -> bool {
        told_with(self.book, id)
            .iter()
            .any(|other| self.homes.contains_key(other) && !sides(self.texts.fork, *other).is_empty())
    }

    /// What else the procedure names of the fork: numbers beside its line, oils in a frame, sizes of seals.
    fn facts(&self, work: &mut Work<'_>, lines: &mut [CardLine]) {
        // What came out is no pouring.
        let pours = |line: &CardLine| !is_as_found(work.item) && self.is_poured(line);
        let Some(to) = lines.iter().position(pours).or((!lines.is_empty()).then_some(0)) else {
            return;
        };
        let (mut said, mut small, mut limits) = (Vec::new(), Vec::new(), Vec::new());
        let seals = self.seals(work);
        // What goes into which chamber is worked from; it is as large as the label.
        let poured = self.is_poured(&lines[to]);
        for id in work.asked.iter().map(|asked| asked.id).chain(seals) {
            let field = self.field(id);
            let elsewhere = at_home(self.homes, id, work.at) == [false; 2] && self.homes.contains_key(&id);
            // When it is due again stands at the foot.
            let is_due = field.kind == Kind::Interval;
            if is_due || work.told.contains(&id) || self.stands_elsewhere(id) || elsewhere && !is_oil(field) {
                continue;
            }
            work.told.push(id);
            self.add_keys(&mut lines[to], &[id]);
            let text = self.texts.short(id);
            let value = text.replace('\u{a0}', " ");
            if text.is_empty() || lines.iter().any(|line| line.state.replace('\u{a0}', " ").contains(&value))
            {
                continue;
            }
            if is_oil(field) {
                lines[to].oils.push(self.oil(id, work.item.legs));
                if !elsewhere && self.titled {
                    add_batch(&mut lines[to]);
                }
                continue;
            } else if field.role == Role::Set && is_number(&field.kind) && lines[to].figures.is_empty() {
                let line = &mut lines[to];
                line.key.clone_from(&field.key);
                number(self.book, self.texts, (id, work.item.legs), self.numbers, self.goes, line);
                continue;
            }
            let is_words = matches!(field.kind, Kind::Text | Kind::Choice(_));
            let named = named(field, text);
            let is_inspect = work.item.procedure.phase == Some(Phase::Inspect);
            if field.role == Role::Fitted && is_number(&field.kind) && is_inspect {
                small.push(named);
            } else if !lines[to].figures.is_empty()
                && (field.role == Role::Fitted || is_limit(field))
                && !poured
            {
                limits.push(if is_words { in_sentence(text) } else { named });
            } else if is_limit(field) || is_inspect {
                limits.push(named);
            } else {
                said.push(named);
            }
        }
        lines[to].state = join(&lines[to].state, &said.join("; "));
        lines[to].under = join(&lines[to].under, &limits.join("; "));
        if !small.is_empty() && self.goes.keeps(Goes::Titles) {
            lines[to].under = join(&lines[to].under, &joined(small));
        }
    }

    /// The readings that a sag is the middle of: extended, settled from below and settled from above. The leg is
    /// measured extended once, for the first sag after the work.
    fn readings(&self, id: FieldId, at: usize) -> Vec<String> {
        let is_later = |(other, home): (&FieldId, &Home)| {
            *other != id
                && self.field(*other).settled
                && home.iter().flatten().any(|home| *home < at)
                && at_home(self.homes, id, at) != [false; 2]
        };
        let extended = (!self.homes.iter().any(is_later)).then_some("extended");
        extended.into_iter().chain(["below", "above"]).map(str::to_owned).collect()
    }

    /// How a reading is read, without words: of sag where it is read first, above its boxes.
    fn sketch(&self, (id, at): (FieldId, usize), row: &[String]) -> String {
        let is_again = !row.is_empty() && self.first_sag != Some(at);
        if !self.titled || is_again || !drawing::is_sketched(self.book.shop, id) {
            return String::new();
        }
        let drawn = || drawing::sketch(self.book.shop, self.texts.fork, id, row).unwrap_or_default();
        let goes = if row.is_empty() { Goes::RunOutSketch } else { Goes::SagSketch };
        if self.goes.keeps(goes) { drawn() } else { String::new() }
    }

    /// The torques that a procedure tries again, as far as this fork has them: a box to tick for each.
    fn tried_again(&self, item: &Planned<'_>, lines: &mut [CardLine]) {
        let Some(first) = lines.first_mut().filter(|_| self.titled) else { return };
        let fields = item.procedure.again.iter().filter_map(|key| self.book.shop.catalogue.find(&key.text));
        let here = fields.filter(|id| self.homes.contains_key(id) && !sides(self.texts.fork, *id).is_empty());
        first.again = here.map(|id| lower(&self.field(id).short)).collect();
    }

    /// The oil that a procedure pours on these legs.
    fn oil(&self, id: FieldId, legs: [bool; 2]) -> String {
        let (shop, fork, field) = (self.book.shop, self.texts.fork, self.field(id));
        let here = sides_on(fork, (id, false), legs);
        let named = here.iter().filter_map(|(side, value)| {
            let name = value.value().map(|value| value_text(shop, field, value).0)?;
            Some(if here.len() > 1 { format!("{side}\u{a0}{name}") } else { name })
        });
        let text = signed(&named.collect::<Vec<_>>().join(", "), fork.is_uncompared(id));
        if self.texts.in_doubt(id) { format!("{text} ({IN_DOUBT})") } else { text }
    }

    fn is_poured(&self, line: &CardLine) -> bool {
        let id = self.book.shop.catalogue.find(&line.key);
        id.is_some_and(|id| is_amount(self.field(id)))
    }

    /// Where seals are fitted: the parts of the stack and their order, as far as they are on record.
    fn seals(&self, work: &Work<'_>) -> Vec<FieldId> {
        let catalogue = &self.book.shop.catalogue;
        let oil_seal = catalogue.find("seals.oil_seal");
        if !work.asked.iter().any(|asked| Some(asked.id) == oil_seal) {
            return Vec::new();
        }
        const STACK: [&str; 3] = ["seals.washer", "seals.order", "seals.lip_side"];
        STACK.iter().filter_map(|key| catalogue.find(key)).collect()
    }

    /// The hazards that a procedure names and this fork has, worst first, each word once.
    fn hazards(&self, item: &Planned<'_>) -> Vec<CardHazard> {
        let references = item.procedure.body.references.iter().filter(|link| link.scheme == Scheme::Caution);
        let cautions = references.filter_map(|link| self.book.shop.caution(&link.target));
        let mut here: Vec<_> = cautions.filter(|one| one.applies.holds(&self.texts.fork.choices)).collect();
        here.sort_by_key(|caution| caution.signal);
        let mut out: Vec<CardHazard> = Vec::new();
        for caution in here {
            let word = caution.word.clone().unwrap_or_else(|| crate::words::lower(&caution.title));
            if out.iter().any(|hazard| hazard.word == word) {
                continue;
            }
            let said = matches!(caution.signal, Signal::Danger | Signal::Notice);
            let signal = if said { caution.signal.word().to_owned() } else { String::new() };
            out.push(CardHazard { signal, word, triangle: caution.signal != Signal::Notice });
        }
        out
    }
}

/// A temperature, or another reading that belongs to the number beside it.
fn is_number_of_work(field: &Field) -> bool {
    !matches!(field.kind, Kind::Quantity(crate::quantity::Dimension::Temperature))
}

pub(super) fn is_limit(field: &Field) -> bool {
    matches!(field.form, Form::Limit | Form::Difference)
}

/// What stands between the title of a line to tick and what is said behind it: a colon, or a full stop where that has
/// colons of its own; and a full stop before what is read.
fn lead_on(line: &mut CardLine) {
    if !line.reading.is_empty() {
        let last = if line.state.is_empty() { &mut line.title } else { &mut line.state };
        last.push('.');
    }
    if line.state.is_empty() {
        return;
    }
    let mark = if line.state.contains(": ") { '.' } else { ':' };
    line.title.push(mark);
    if mark == '.' {
        line.state = capital(&line.state);
    }
}

/// A text with a sentence after it.
fn sentence_after(text: &str, words: &str) -> String {
    match text.trim_end_matches('.') {
        "" => words.to_owned(),
        text => format!("{text}. {}", capital(words)),
    }
}

/// A box for the batch of an oil beside the boxes of its amount.
fn add_batch(line: &mut CardLine) {
    let label = "batch".to_owned();
    if line.frame {
        line.more.push(CardBoxes { label, boxes: vec![String::new()] });
    } else if !line.boxes.contains(&label) {
        line.boxes.push(label);
    }
}

/// A value with its name, for the middle of a sentence: `dust seal 48 × 58.5 × 11.5 mm`, `order: dust seal, clip`.
fn named(field: &Field, text: &str) -> String {
    match field.kind {
        _ if field.form == Form::Difference => format!("L and R differ {text}"),
        Kind::Text | Kind::Choice(_) => format!("{}: {}", lower(&field.short), in_sentence(text)),
        _ => format!("{} {text}", lower(&field.short)),
    }
}

/// Words for the middle of a sentence; the letter of a leg before them stays one.
fn in_sentence(text: &str) -> String {
    if text.starts_with("L\u{a0}") || text.starts_with("R\u{a0}") { text.to_owned() } else { lower(text) }
}

fn is_oil(field: &Field) -> bool {
    matches!(&field.kind, Kind::Reference(to) if to != "tool")
}

fn boxes_of(line: CardLine) -> CardBoxes {
    CardBoxes { label: line.title, boxes: line.boxes }
}

fn put(line: &mut CardLine, frame: Frame) {
    line.frame = frame.across;
    if frame.across {
        line.state = [line.state.clone(), frame.warm].join(". ").trim_end_matches(". ").to_owned();
    } else {
        line.under = join(&line.under, &frame.warm);
    }
    (line.largest, line.tables, line.drawing_html) = (frame.largest, frame.tables, frame.drawing_html);
}

/// Puts what is read with a number beside its boxes, such as the temperature; where none has room, on lines of their own.
fn with_number(lines: &mut Vec<CardLine>, more: Vec<CardLine>) {
    for line in more {
        let number = lines.iter_mut().rev().find(|number| {
            !number.figures.is_empty() && number.row.is_empty() && number.boxes.len() + line.boxes.len() <= 2
        });
        match (number, line.boxes.as_slice()) {
            (Some(number), [label]) => {
                let unit = label.rsplit(' ').next().unwrap_or(label);
                number.boxes.push(unit.to_owned());
                number.keys = format!("{} {}", number.keys, line.keys);
            }
            _ => lines.push(line),
        }
    }
}

/// `L` and `R` of the legs that are meant.
fn letters(legs: [bool; 2]) -> Vec<String> {
    ["L", "R"].into_iter().zip(legs).filter(|(_, on)| *on).map(|(letter, _)| letter.to_owned()).collect()
}
