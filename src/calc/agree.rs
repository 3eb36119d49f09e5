//! One figure, told alike by page, card, `check` and `calc`: the same number, or that it is not judged with the same
//! missing fields. Over the demo shop, and over made-up forks of every combination of choices, whole and with values
//! taken away.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::Path;

use super::{Asked, KnownFork, Refusal, Sheet, Subject, subjects};
use crate::bench::air::Band;
use crate::bench::units::{Force, ThermodynamicTemperature};
use crate::book::facts::{Facts, card_tables, tables};
use crate::book::sign::unsigned;
use crate::book::view::CardTable;
use crate::catalogue::{Catalogue, Choices, builtin, key};
use crate::check::CheckedFork;
use crate::derive::made_up::{combinations, record, shop};
use crate::derive::{Answer, DerivedLeg, Held, Known};
use crate::pipeline::{Checked, check_shop};
use crate::quantity::Value;
use crate::resolve::Side;
use crate::text::Folder;

/// One leg of a fork, and what was found to disagree.
struct Looked<'a> {
    checked: &'a Checked,
    fork: &'a CheckedFork,
    side: Side,
    wrong: RefCell<Vec<String>>,
    told: RefCell<usize>,
}

/// One part of the comparison.
type Part = fn(&Looked<'_>);

const PARTS: [Part; 15] = [
    air,
    drawn_in,
    outer,
    held,
    bind_and_preload,
    sag,
    nut,
    nut_is_left,
    clicks,
    corrections,
    warm,
    gauges,
    bushings_and_joints,
    found,
    not_judged,
];

/// What a command says of one leg of a fork.
pub(super) fn ask(
    checked: &Checked,
    (fork, side): (&CheckedFork, Side),
    subject: &Subject,
    given: &[(&'static str, String)],
) -> Result<Sheet, Refusal> {
    let used = RefCell::default();
    let (shop, derived) = (&checked.shop, &fork.derived);
    subject.work(&Asked {
        inputs: subject.inputs,
        given: given.iter().cloned().collect(),
        fork: Some(KnownFork { shop, fork, derived, side, used: &used }),
        shop: Some(shop),
        lacking: RefCell::default(),
    })
}

impl<'a> Looked<'a> {
    fn leg(&self) -> &'a DerivedLeg {
        self.fork.derived.leg(self.side)
    }

    fn calc(&self, subject: &str, given: &[(&'static str, String)]) -> Result<Sheet, Refusal> {
        let subject = subjects().find(|known| known.name == subject).expect("a subject");
        ask(self.checked, (self.fork, self.side), subject, given)
    }

    fn say(&self, what: &str, found: impl std::fmt::Debug) {
        let leg = self.side.word();
        let words = format!("{what} of {} ({leg}, {:?}): {found:?}", self.fork.id, self.fork.choices);
        self.wrong.borrow_mut().push(words);
    }

    /// The number of a line is this one, in SI.
    fn same(&self, what: &str, sheet: &Sheet, name: &str, si: f64) {
        *self.told.borrow_mut() += 1;
        let lines = || sheet.lines.iter().filter(|line| line.name == name).filter_map(|line| line.number);
        let factor = |unit: &str| match unit {
            "mm" => 1e-3,
            "mL" => 1e-6,
            "kPa" => 1e3,
            _ => 1.0,
        };
        let close =
            |(value, unit): (f64, &str)| (value * factor(unit) - si).abs() <= 1e-9 * si.abs().max(1e-3);
        if !lines().any(close) {
            self.say(&format!("{what}, `{name}`"), (si, lines().collect::<Vec<_>>()));
        }
    }

    /// Where a figure lacks something, `calc` says what: the same keys.
    fn lacks(&self, what: &str, missing: &[String], done: &Result<Sheet, Refusal>) {
        *self.told.borrow_mut() += 1;
        match done {
            // Beside other figures a line may say that this one is missing.
            Ok(sheet)
                if sheet
                    .lines
                    .iter()
                    .any(|line| missing.iter().all(|key| line.text.contains(key.as_str()))) => {}
            Ok(sheet) => self.say(&format!("{what}: a figure in spite of {missing:?}"), &sheet.lines),
            Err(why) => {
                for key in missing.iter().filter(|key| !why.0.contains(key.as_str())) {
                    self.say(&format!("{what} does not say that `{key}` is missing"), &why.0);
                }
            }
        }
    }

    /// One answer beside one command: the result is compared by `is`, what is missing by its keys.
    fn beside<T>(
        &self,
        (subject, given): (&str, &[(&'static str, String)]),
        answer: &Answer<T>,
        is: impl FnOnce(&Sheet, &T),
    ) {
        let done = self.calc(subject, given);
        match (answer, &done) {
            (Answer::Known(known), Ok(sheet)) => is(sheet, &known.value),
            (Answer::Known(_), Err(why)) => self.say(&format!("{subject} refuses"), &why.0),
            (Answer::Missing(keys), done) => self.lacks(subject, keys, done),
            (Answer::Refused { .. } | Answer::Silent, Ok(sheet)) => {
                self.say(&format!("{subject}: a figure where there is none"), &sheet.lines);
            }
            _ => {}
        }
    }

    /// What page and card say of this fork in sentences.
    fn sentences(&self) -> Vec<String> {
        let facts = Facts::of(&self.checked.shop, self.fork);
        let cautions = facts.cautions.into_iter().flat_map(|(_, sentences)| sentences);
        cautions.chain(facts.not_made).map(|text| unsigned(&text).replace('\u{a0}', " ")).collect()
    }

    /// Page and card have this in one of their sentences.
    fn printed(&self, what: &str, text: &str) {
        *self.told.borrow_mut() += 1;
        let sentences = self.sentences();
        if !sentences.iter().any(|sentence| sentence.contains(text)) {
            self.say(&format!("{what}: page and card do not say “{text}”"), sentences);
        }
    }

    fn finds(&self, code: &str) -> bool {
        let mut findings = self.checked.findings.iter();
        findings.any(|finding| finding.code() == code && finding.span.file == self.fork.record.file)
    }

    /// A row of one of the tables, by the beginning of its title and of its row.
    fn row(&self, title: &str, row: &str, on_card: bool) -> Option<(CardTable, Vec<String>)> {
        let shop = &self.checked.shop;
        let all = if on_card { card_tables(shop, self.fork) } else { tables(shop, self.fork) };
        let side = format!("{} leg", self.side.word());
        let of_leg = |table: &CardTable| {
            let title = table.title.trim_end_matches('.');
            title.ends_with("each leg") || !title.ends_with(" leg") || title.ends_with(&side)
        };
        let table = all.into_iter().find(|table| table.title.starts_with(title) && of_leg(table))?;
        let cells = table.rows.iter().find(|cells| cells[0].starts_with(row))?.clone();
        Some((table, cells))
    }
}

fn air(at: &Looked<'_>) {
    at.beside(("air", &[]), &at.leg().air, |sheet, air| {
        at.same("lock", sheet, "locks_at", air.locks_at.value);
        if let Some(limit) = air.limit_at {
            at.same("limit", sheet, "limit_at", limit.value);
        }
        match (air.nominal.push, air.nominal.locks_short_by) {
            (Some(push), _) => {
                at.same("air force", sheet, "force_slow", push.slow.value);
                at.same("air force", sheet, "force_fast", push.fast.value);
            }
            (None, Some(short)) => at.same("lock", sheet, "locks_short_by", short.value),
            (None, None) => at.say("air: neither force nor lock", air.nominal.gap),
        }
        at.printed("lock", &format!("at a {} of {:.0} mm or less", air.word(), air.locks_at.value * 1e3));
        let locks = air.nominal.locks_short_by.or(air.least.locks_short_by).is_some();
        if locks && !at.finds("hydraulic-lock") {
            at.say("check is silent on a lock", air.least.locks_short_by);
        }
    });
}

fn drawn_in(at: &Looked<'_>) {
    // Asked of the leg with the air: the other has no chamber to tell of.
    if !matches!(at.leg().main_chamber, Answer::Known(_)) {
        return;
    }
    at.beside(("air", &[]), &at.fork.derived.drawn_in, |sheet, drawn| {
        at.same("drawn in", sheet, "draws_in", drawn.travel.value);
        at.same("drawn in", sheet, "draws_in_pull", drawn.pull.value);
        at.printed("drawn in", &format!("{:.0} N (", drawn.pull.value));
        if drawn.travel.value > 0.0 {
            at.printed("drawn in", &format!("{:.0} mm", drawn.travel.value * 1e3));
        }
    });
}

fn outer(at: &Looked<'_>) {
    at.beside(("outer", &[]), &at.leg().outer, |sheet, outer| match (outer.push, outer.locks_short_by) {
        (Some(push), _) => {
            at.same("outer air", sheet, "force_slow", push.slow.value);
            at.printed("outer oil", &format!("with {:.0} mL more oil", outer.room.value * 1e6));
        }
        (None, Some(short)) => {
            at.same("outer air", sheet, "locks_short_by", short.value);
            if !at.finds("hydraulic-lock") {
                at.say("check is silent on a lock of the outer chamber", short);
            }
        }
        (None, None) => at.say("outer air: neither force nor lock", outer.chamber),
    });
}

fn held(at: &Looked<'_>) {
    let both = |sheet: &Sheet, names: [&str; 2], held: &Held| {
        match (&held.most, &held.in_order) {
            (Ok(most), in_order) => {
                at.same("held force", sheet, names[0], in_order.unwrap_or(*most).force.value);
                at.printed("held force", &format!("{:.0} N (", most.force.value));
                if let Some(in_order) = in_order {
                    at.same("held force", sheet, names[1], most.force.value);
                    at.printed("held force", &format!(", {:.0} N.", in_order.force.value));
                }
            }
            (Err(lacks), in_order) => {
                let in_order = in_order.expect("the force in the order as written");
                at.same("held force", sheet, names[0], in_order.force.value);
                at.printed("held force", &format!("{:.0} N (", in_order.force.value));
                at.lacks("held force", lacks, &Ok(sheet.clone()));
                let words = crate::book::keys::missing(&at.checked.shop, lacks);
                at.printed("held force", &format!("else more: not worked out, {words}"));
            }
        }
        held.leaves_out.iter().for_each(|what| at.printed("held force", what));
        for what in
            held.leaves_out.iter().filter(|what| !sheet.assumptions.iter().any(|text| text.contains(**what)))
        {
            at.say("calc does not say what is left out", what);
        }
    };
    let names = ["held", "held_most"];
    at.beside(("spring", &[]), &at.leg().tool_force, |sheet, force| both(sheet, names, force));
    let names = ["preloaded", "preloaded_most"];
    at.beside(("spring", &[]), &at.leg().cap_force, |sheet, force| both(sheet, names, force));
}

fn bind_and_preload(at: &Looked<'_>) {
    at.beside(("bind", &[]), &at.leg().coil_bind, |sheet, bind| {
        at.same("coil bind", sheet, "least", bind.least.value);
        if bind.binds() && !at.finds("coil-bind") {
            at.say("check is silent on coils that touch", bind.margin);
        }
    });
    let set = match &at.leg().preload {
        Answer::Known(known) => match &known.value.set {
            Ok(set) => Answer::Known(Known { value: *set, assumptions: Vec::new(), rests_on: Vec::new() }),
            Err(lacks) => Answer::Missing(lacks.clone()),
        },
        other => other.map(|_| unreachable!("no preload")),
    };
    at.beside(("preload", &[]), &set, |sheet, preload| {
        at.same("preload", sheet, "preload", preload.baseline.value);
        at.same("preload", sheet, "greatest", preload.greatest.value);
    });
}

fn sag(at: &Looked<'_>) {
    at.beside(("sag", &[]), &at.fork.derived.sag, |sheet, sag| at.same("sag", sheet, "sag", sag.value));
    if let Answer::Missing(keys) = &at.fork.derived.sag_rider {
        let words = crate::book::keys::missing(&at.checked.shop, keys);
        at.printed("sag with rider", &format!("Sag not judged: {words}"));
    }
}

fn nut(at: &Looked<'_>) {
    let Some(nut) = at.leg().nut.value() else {
        let reading = [("reading", "12 mm".to_owned())];
        return at.beside(("nut", &reading), &at.leg().nut, |_, _| {});
    };
    for (reading, turns) in &nut.readings {
        let given = [("reading", format!("{:.6} mm", reading.value * 1e3))];
        at.beside(("nut", &given), &at.leg().nut, |sheet, _| {
            let leaves = sheet.lines.iter().any(|line| line.text.starts_with("leave it"));
            if leaves != nut.inside(*reading) {
                return at.say("leave or turn the nut", (reading, &sheet.lines));
            }
            if leaves {
                return;
            }
            let way = sheet.lines.iter().find(|line| line.name == "way").map(|line| line.text.as_str());
            if turns.turns > 1e-6 && way != Some(turns.way.words()) {
                at.say("way of the nut", (reading, way, turns));
            }
            let told = sheet.lines.iter().find(|line| line.name == "turns").and_then(|line| line.number);
            if told.is_none_or(|(told, _)| (told - turns.turns).abs() > 1e-3) {
                at.say("turns of the nut", (reading, told, turns));
            }
        });
    }
}

/// Readings that are left alone are left on page and card as well.
fn nut_is_left(at: &Looked<'_>) {
    let Some(nut) = at.leg().nut.value() else { return };
    let left =
        nut.readings.iter().filter(|(reading, turns)| turns.turns > 0.0 && nut.inside(*reading)).count();
    let told = ["Turns towards", "Turns away"]
        .map(|row| at.row("Turn the rod nut", row, false))
        .into_iter()
        .flatten()
        .flat_map(|(_, cells)| cells);
    let told = told.filter(|cell| cell == "leave").count();
    *at.told.borrow_mut() += 1;
    if told != left {
        at.say("the page leaves other readings of the nut", (left, told));
    }
}

/// A setting in clicks by the shop's own count: what a step says beside it, and what `calc` says.
fn clicks(at: &Looked<'_>) {
    let word = |key: &str| key.rsplit('.').next().unwrap_or_default().replace('_', "-");
    for key in [key::ADJUSTERS_REBOUND, key::ADJUSTERS_COMPRESSION] {
        let said = at.fork.on(at.side, key.id()).and_then(|resolved| resolved.quantity());
        let done = at.calc("clicks", &[("adjuster", word(key.name()))]);
        let Some(said) = said.filter(|said| said.unit().symbol == "clicks") else {
            if done.is_ok() {
                at.say("clicks of nothing", done);
            }
            continue;
        };
        match done {
            Ok(sheet) => at.same("clicks", &sheet, "setting", said.middle_si()),
            Err(why) => at.say("clicks refuses", why.0),
        }
    }
}

fn corrections(at: &Looked<'_>) {
    let given = |reading: f64| [("reading", format!("{:.6} mm", reading * 1e3))];
    let Some(all) = at.leg().corrections.value() else {
        return at.beside(("gap", &given(0.1)), &at.leg().corrections, |_, _| {});
    };
    for row in &all.rows {
        at.beside(("gap", &given(row.reading.value)), &at.leg().corrections, |sheet, _| {
            let leaves = sheet.lines.iter().any(|line| line.text.starts_with("leave it"));
            if leaves != all.inside(row.reading) {
                at.say("leave or correct", (row, &sheet.lines));
            } else if !leaves {
                let name = if row.correction.words() == "add" { "add" } else { "draw_off" };
                let amount = row.correction.drawn().value.abs();
                let told = sheet.lines.iter().find(|line| line.name == name).and_then(|line| line.number);
                if told.is_none_or(|(told, _)| (told * 1e-6 - amount).abs() > 1e-9) {
                    at.say("correction", (row, &sheet.lines));
                }
            }
        });
    }
    let printed = at.row("Correct the", "Draw off", false);
    let leaves = printed.iter().flat_map(|(_, cells)| cells).filter(|cell| *cell == "leave").count();
    if leaves != all.rows.iter().filter(|row| all.inside(row.reading)).count() {
        at.say("the page leaves other readings", printed);
    }
}

fn warm(at: &Looked<'_>) {
    let names = ["gap_15", "gap_20", "gap_25", "gap_30"];
    let told = |temperature: &ThermodynamicTemperature| format!("{:.0}", temperature.value - 273.15);
    at.beside(("temperature", &[]), &at.leg().warm_gap, |sheet, warm| {
        for (name, (_, target)) in names.into_iter().zip(&warm.targets) {
            at.same("gap by temperature", sheet, name, target.value);
        }
        at.same("warm gap", sheet, "gap", warm.working.value);
        let Some((table, cells)) = at.row("Set the", "Set to", false) else {
            return at.say("no table of the gap by temperature", ());
        };
        let heads: Vec<String> = warm.targets.iter().map(|(at, _)| told(at)).collect();
        let targets: Vec<String> =
            warm.targets.iter().map(|(_, target)| format!("{:.1}", target.value * 1e3)).collect();
        if table.heads[1..] != heads || cells[1..] != targets {
            at.say("the page's gap by temperature", (cells, targets));
        }
    });
}

fn gauges(at: &Looked<'_>) {
    let leg = at.leg();
    let done = at.calc("gauge", &[]);
    if done.is_ok() == leg.gauges.is_empty() {
        at.say("gauge", &done);
    }
    for gauge in &leg.gauges {
        let short = &at.checked.shop.catalogue.field(gauge.field).short;
        let kilopascals: Vec<f64> = gauge.readings.iter().map(|(_, reads)| reads.value).collect();
        if let Ok(sheet) = &done {
            at.same("gauge", sheet, "gauge_0", kilopascals[0]);
            at.same("gauge", sheet, "gauge_40", kilopascals[4]);
        }
        let (on_page, on_card) = (format!("{short}, "), format!("{short} by temperature"));
        for (title, row, on_card) in
            [("Set a pressure", on_page.as_str(), false), (&on_card, "Set to, ", true)]
        {
            if at.row(title, row, on_card).is_none_or(|(_, cells)| cells.len() != 6) {
                at.say("no table of the pressure by temperature", (title, short));
            }
        }
    }
}

fn bushings_and_joints(at: &Looked<'_>) {
    let leg = at.leg();
    for (which, answer) in [("outer", &leg.outer_bushing), ("inner", &leg.inner_bushing)] {
        at.beside(("bushing", &[("which", which.to_owned())]), answer, |sheet, play| {
            at.same("play", sheet, "play_least", play.least.value);
            at.same("play", sheet, "play_greatest", play.greatest.value);
        });
    }
    for joint in leg.joints.iter().chain(&at.fork.derived.joints) {
        let name = at.checked.shop.catalogue.field(joint.field).name.clone();
        let Answer::Known(known) = &joint.strain else { continue };
        match at.calc("torque", &[("joint", name)]) {
            Ok(sheet) => {
                at.same("pull", &sheet, "preload_least", known.value.preload.least.value);
                at.same("pull", &sheet, "proof", known.value.proof.value);
            }
            Err(why) => at.say("torque refuses", why.0),
        }
    }
}

/// What the figures of a leg say.
type Said<'f> = &'f dyn Fn(&DerivedLeg) -> bool;

/// `check` finds what the figures say, and nothing that they do not say. Asked once for a fork: one finding tells of both
/// legs where they say it at one place.
fn found(at: &Looked<'_>) {
    if at.side == Side::Right {
        return;
    }
    let limit = at.checked.shop.settings.air_force_limit();
    let legs = &at.fork.derived.legs;
    let outer =
        |leg: &DerivedLeg| leg.outer.value().map(|outer| (outer.locks_short_by.is_some(), outer.push));
    let locks = |leg: &DerivedLeg| {
        let above =
            leg.air.value().map(|air| [&air.nominal, &air.least].map(|at| at.locks_short_by.is_some()));
        above.is_some_and(|locks| locks.contains(&true)) || outer(leg).is_some_and(|(locks, _)| locks)
    };
    let hard = |push: Option<Band<Force>>| push.is_some_and(|push| push.slow.value > limit);
    let pushes = |leg: &DerivedLeg| {
        let above = leg.air.value().is_some_and(|air| match air.nominal.locks_short_by {
            Some(_) => false,
            None => hard(air.nominal.push) || hard(air.least.push),
        });
        above || outer(leg).is_some_and(|(_, push)| hard(push))
    };
    let binds = |leg: &DerivedLeg| leg.coil_bind.value().is_some_and(|bind| bind.binds());
    let tight = |leg: &DerivedLeg| {
        let plays = [leg.outer_bushing.value(), leg.inner_bushing.value()];
        plays.into_iter().flatten().any(|play| play.least.value <= 0.0)
    };
    let too_much = |leg: &DerivedLeg| {
        let mut joints = leg.joints.iter().chain(&at.fork.derived.joints);
        joints.any(|joint| {
            let over = joint.strain.value().is_some_and(|strain| strain.certainly_over());
            over || joint.over_strongest.is_some()
        })
    };
    let says: [(&str, Said<'_>); 5] = [
        ("hydraulic-lock", &locks),
        ("air-force-limit", &pushes),
        ("coil-bind", &binds),
        ("bushing-clearance", &tight),
        ("torque-over-proof", &too_much),
    ];
    for (code, figures) in says {
        *at.told.borrow_mut() += 1;
        let (found, said) = (at.finds(code), legs.iter().any(figures));
        // A bushing has a limit of its own as well, and a torque is told as another unit where it is one.
        let more_is_found = ["bushing-clearance"].contains(&code);
        if said && !found || found && !said && !more_is_found {
            at.say(&format!("check finds `{code}`: {found}, the figures say: {said}"), &at.fork.id);
        }
    }
}

/// What keeps a figure from being worked out is said by `check` with the same fields: as not judged, or as a value that
/// the fork must have.
fn not_judged(at: &Looked<'_>) {
    let of_fork = |code: &str| {
        let all = at.checked.findings.iter();
        let those: Vec<&str> = all
            .filter(|finding| finding.code() == code && finding.span.file == at.fork.record.file)
            .map(|finding| finding.message.as_str())
            .collect();
        those
    };
    let (notes, missing) = (of_fork("not-judged"), of_fork("missing-value"));
    let leg = at.leg();
    for (what, keys) in [
        ("locks on its oil", leg.air.missing()),
        ("the outer chamber locks", leg.outer.missing()),
        ("coil bind", leg.coil_bind.missing()),
    ] {
        if keys.is_empty() {
            continue;
        }
        *at.told.borrow_mut() += 1;
        let noted = notes.iter().any(|note| note.contains(what) && keys.iter().all(|key| note.contains(key)));
        let must_be = keys.iter().any(|key| missing.iter().any(|said| said.contains(&format!("`{key}`"))));
        // What the sheet does not say stands in the record as unknown, and is told on page and card.
        let catalogue = &at.checked.shop.catalogue;
        let on_leg = |key: &String| at.fork.on(at.side, catalogue.find(key)?)?.value();
        let unknown = keys.iter().any(|key| matches!(on_leg(key), Some(Value::Unknown)));
        if !noted && !must_be && !unknown {
            at.say(&format!("check is silent on what {what} lacks"), (keys, &notes, &missing));
        }
    }
}

/// Looks at every leg of every fork; returns how many figures were compared.
fn look_at(checked: &Checked) -> usize {
    let mut wrong = Vec::new();
    let mut told = 0;
    for fork in &checked.forks {
        for side in Side::BOTH {
            let looked = Looked { checked, fork, side, wrong: RefCell::default(), told: RefCell::default() };
            PARTS.iter().for_each(|part| part(&looked));
            wrong.extend(looked.wrong.into_inner());
            told += looked.told.into_inner();
        }
    }
    // One of each kind is enough to look at.
    let mut kinds: BTreeMap<&str, &str> = BTreeMap::new();
    for words in &wrong {
        kinds.entry(words.split(" of ").next().unwrap_or_default()).or_insert(words);
    }
    let kinds: Vec<&str> = kinds.into_values().collect();
    assert!(wrong.is_empty(), "{} of {told} disagree:\n{}", wrong.len(), kinds.join("\n"));
    told
}

#[test]
fn the_demo_forks_are_told_alike_everywhere() {
    let told = look_at(&check_shop(&Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf() }));
    assert!(told > 500, "{told} figures");
}

/// Every tenth combination of choices, each with every value that it can have but those taken away.
fn made_up(catalogue: &Catalogue, all: &[Choices], gone: &[&'static str]) -> Checked {
    let given: BTreeMap<&str, String> = gone.iter().map(|key| (*key, String::new())).collect();
    let records = all.iter().enumerate().step_by(if gone.is_empty() { 1 } else { 10 }).map(|(n, choices)| {
        let id = format!("fork-{n:04}");
        let text = record(catalogue, &id, choices, &given);
        (id, text)
    });
    check_shop(&shop(records))
}

#[test]
fn made_up_forks_of_every_combination_are_told_alike_everywhere() {
    let catalogue = builtin().expect("the built-in catalogue");
    let all = combinations(&catalogue);
    let told = look_at(&made_up(&catalogue, &all, &[]));
    assert!(told > 5 * all.len(), "{told} figures of {} combinations", all.len());
}

#[test]
fn what_is_not_on_record_is_missed_alike_everywhere() {
    let catalogue = builtin().expect("the built-in catalogue");
    let all = combinations(&catalogue);
    for gone in [
        ["tubes.stroke", "spring.solid_length"],
        ["tubes.stanchion_diameter", "oil.dry_fill"],
        ["tubes.bore", "oil.surface_slope"],
        ["spring.rate", "rod_nut.faces"],
        ["spring.preload", "spring.fitted_length"],
        ["spring.mass", "spring.wire_diameter"],
        ["air.balance_volume", "air.rod_diameter"],
        ["air.main_volume", "oil.outer_air_volume"],
        ["setup.front_load", "setup.front_load_rider"],
        ["bushings.outer_wall", "rod_nut.pitch"],
    ] {
        look_at(&made_up(&catalogue, &all, &gone));
    }
}

/// For the apprentice at the cap: a force without what the adjuster adds is too small, so it is told only where the
/// record says where the count begins and how far one turn goes; everywhere alike.
#[test]
fn a_preload_adjuster_is_counted_alike_everywhere() {
    let catalogue = builtin().expect("the built-in catalogue");
    let all: Vec<Choices> = combinations(&catalogue)
        .into_iter()
        .filter(|choices| choices.contains_key("preload"))
        .step_by(10)
        .map(|mut choices| {
            choices.insert("preload".to_owned(), "top".to_owned());
            choices
        })
        .collect();
    let written = "preload: {value: \"5 turns\"}";
    let mut not_told = 0;
    for (adjuster, per_turn, lacks) in [
        ("preload: {value: 5 turns, counted: from-slack}", "1 mm", None),
        ("preload: {value: 5 turns, counted: from-closed}", "1 mm", None),
        (written, "1 mm", Some("adjusters.preload: counted")),
        ("preload: {value: 5 turns, counted: from-slack}", "", Some("adjusters.preload_per_turn")),
        ("preload: {value: 5 rings, counted: rings-showing}", "1 mm", Some("adjusters.preload: turns or mm")),
        ("preload: unknown", "1 mm", Some("adjusters.preload")),
        ("# none", "1 mm", Some("adjusters.preload")),
    ] {
        let given = BTreeMap::from([("adjusters.preload_per_turn", per_turn.to_owned())]);
        let records = all.iter().enumerate().map(|(n, choices)| {
            let id = format!("fork-{n:04}");
            let text = record(&catalogue, &id, choices, &given);
            (id, text.replace(written, adjuster))
        });
        let checked = check_shop(&shop(records));
        look_at(&checked);
        for fork in &checked.forks {
            for leg in &fork.derived.legs {
                let Some(preload) = leg.preload.value() else { continue };
                match (lacks, &preload.set) {
                    (None, Ok(set)) => assert!(set.baseline > preload.backed_off, "{adjuster}: {set:?}"),
                    (Some(key), Err(missing)) => assert_eq!(missing, &[key.to_owned()], "{adjuster}"),
                    other => panic!("{adjuster}: {other:?}"),
                }
                not_told += usize::from(lacks.is_some());
                if let (Some(key), Answer::Missing(missing)) = (lacks, &leg.coil_bind) {
                    assert!(missing.contains(&key.to_owned()), "{missing:?}");
                }
            }
        }
    }
    assert!(not_told > 20, "{not_told}");
}
