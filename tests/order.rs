//! For the shop that edits its services: the order is proved rightly, and a broken one is found.
//!
//! The walk through a service is compared with an oracle that shares no code with it, on orders made by
//! forward simulation and then broken by one move, removal or swap; and every single removal and every
//! swap of neighbours in the demo shop's services is tried.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

use benchleaf::book::Book;
use benchleaf::card::view::CardView;
use benchleaf::catalogue::{When, Works};
use benchleaf::diagnostic::Severity;
use benchleaf::plan::{Vocabulary, ends, holds, plan};
use benchleaf::record::{
    Condition, Conditions, Holder, OnLegs, Phase, Pick, Procedure, Service, ServiceEntry, Text,
};
use benchleaf::resolve::{ResolvedFork, Shop, Side};
use benchleaf::syntax::markdown::Body;
use benchleaf::text::{FileId, Folder, Memory, Source, Span};
use benchleaf::{Checked, check_shop};
use proptest::prelude::*;

fn shop(folder: &str) -> Checked {
    check_shop(&Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).join(folder) })
}

/// Legs alike, and legs of which the left holds the spring and the right the damper.
static FORKS: LazyLock<[ResolvedFork; 2]> = LazyLock::new(|| {
    let mut checked = shop("tests/shops/order");
    let mut take = |id: &str| {
        let at = checked.forks.iter().position(|fork| fork.id == id).unwrap();
        ResolvedFork::clone(&checked.forks.remove(at).resolved)
    };
    [take("moor-35"), take("fell-48")]
});

fn text(text: impl Into<String>) -> Text {
    Text { text: text.into(), span: Span::new(FileId(0), 0, 0) }
}

fn names(list: &[usize], letter: char) -> Vec<Text> {
    list.iter().map(|n| text(format!("{letter}{n}"))).collect()
}

fn procedure(id: String, [needs, brings, ends]: [&[usize]; 3], legs: OnLegs) -> Procedure {
    Procedure {
        was: Vec::new(),
        on_card: None,
        again: Vec::new(),
        sign_off: None,
        placeholders: Vec::new(),
        id: text(id.clone()),
        file: FileId(0),
        title: id,
        phase: Some(Phase::Set),
        applies: When::default(),
        fitted: Vec::new(),
        time: None,
        waiting: None,
        pours: None,
        tools: Vec::new(),
        consumables: Vec::new(),
        legs,
        needs: names(needs, 'c'),
        brings: names(brings, 'c'),
        ends: names(ends, 'c'),
        renews: Vec::new(),
        constants: Vec::new(),
        body: Body::default(),
    }
}

fn service(order: &[usize], start: &[usize], hand_back: &[String]) -> Service {
    let entry =
        |n: &usize| ServiceEntry { pick: Pick::This, options: vec![text(format!("p{n}"))], legs: None };
    Service {
        id: text("service"),
        file: FileId(0),
        title: String::new(),
        applies: When::default(),
        time: None,
        procedures: order.iter().map(|n| text(format!("p{n}"))).collect(),
        entries: order.iter().map(entry).collect(),
        start: names(start, 'c'),
        hand_back: hand_back.iter().map(text).collect(),
        whole: false,
        notes: None,
    }
}

/// The naive judge: sets of condition and place, closed by trying every rule until nothing changes.
mod oracle {
    use super::*;

    pub type State = BTreeSet<(String, &'static str)>;

    fn places(condition: &Condition) -> &'static [&'static str] {
        if condition.per == Holder::Machine { &["machine"] } else { &["left", "right"] }
    }

    fn meant(condition: &Condition, place: &str, split: bool) -> bool {
        match (condition.works, place) {
            _ if !split || condition.per == Holder::Machine => true,
            (Works::Spring, place) => place == "left",
            (Works::Damper, place) => place == "right",
            (Works::Both, _) => true,
        }
    }

    fn find<'s>(shop: &'s Shop, id: &str) -> &'s Condition {
        shop.conditions.list.iter().find(|condition| condition.id.text == id).unwrap()
    }

    /// Where a condition stands that another one of this place speaks of.
    fn beside(shop: &Shop, place: &'static str, id: &str) -> Vec<(String, &'static str)> {
        places(find(shop, id))
            .iter()
            .filter(|own| place == "machine" || **own == "machine" || **own == place)
            .map(|own| (id.to_owned(), *own))
            .collect()
    }

    /// Everything that holds when these do.
    fn closed(shop: &Shop, mut state: State) -> State {
        loop {
            let more: Vec<_> = state
                .iter()
                .flat_map(|(id, place)| {
                    find(shop, id).implies.iter().flat_map(|to| beside(shop, place, &to.text))
                })
                .collect();
            let before = state.len();
            state.extend(more);
            if state.len() == before {
                return state;
            }
        }
    }

    fn named(shop: &Shop, split: bool, names: &[Text], legs: OnLegs) -> State {
        let mut out = State::new();
        for name in names {
            let condition = find(shop, &name.text);
            for place in places(condition) {
                let on = match (legs, *place) {
                    (_, "machine") | (OnLegs::Both, _) => true,
                    (OnLegs::Left, place) => place == "left",
                    (OnLegs::Right, place) => place == "right",
                    (OnLegs::Spring, place) => !split || place == "left",
                    (OnLegs::Damper, place) => !split || place == "right",
                };
                if on && meant(condition, place, split) {
                    out.insert((name.text.clone(), *place));
                }
            }
        }
        out
    }

    pub fn start(shop: &Shop, split: bool, names: &[Text]) -> State {
        let mut state = closed(shop, named(shop, split, names, OnLegs::Both));
        state.retain(|(id, place)| meant(find(shop, id), place, split));
        state
    }

    pub fn may(shop: &Shop, split: bool, state: &State, procedure: &Procedure) -> bool {
        named(shop, split, &procedure.needs, procedure.legs).is_subset(state)
    }

    pub fn after(shop: &Shop, split: bool, state: &State, procedure: &Procedure) -> State {
        let mut brings = closed(shop, named(shop, split, &procedure.brings, procedure.legs));
        brings.retain(|(id, place)| meant(find(shop, id), place, split));
        let mut gone = named(shop, split, &procedure.ends, procedure.legs);
        for condition in &shop.conditions.list {
            for place in places(condition) {
                let mut against: Vec<_> =
                    condition.excludes.iter().flat_map(|other| beside(shop, place, &other.text)).collect();
                for (id, brought) in &brings {
                    for other in &find(shop, id).excludes {
                        if beside(shop, brought, &other.text).contains(&(condition.id.text.clone(), *place)) {
                            against.push((id.clone(), *brought));
                        }
                    }
                }
                if against.iter().any(|other| brings.contains(other)) {
                    gone.insert((condition.id.text.clone(), *place));
                }
            }
        }
        let falls = |(id, place): &(String, &'static str)| {
            !closed(shop, State::from([(id.clone(), *place)])).is_disjoint(&gone)
        };
        let mut out: State = state.iter().filter(|held| !falls(held)).cloned().collect();
        out.extend(brings);
        out
    }

    /// The first procedure whose needs are not met; the number of procedures for hand-back.
    pub fn first_miss(shop: &Shop, split: bool, service: &Service) -> Option<usize> {
        let mut state = start(shop, split, &service.start);
        for (at, name) in service.procedures.iter().enumerate() {
            let procedure = shop.procedures.iter().find(|procedure| procedure.id.text == name.text).unwrap();
            if !may(shop, split, &state, procedure) {
                return Some(at);
            }
            state = after(shop, split, &state, procedure);
        }
        let met = named(shop, split, &service.hand_back, OnLegs::Both).is_subset(&state);
        (!met).then_some(service.procedures.len())
    }
}

fn first_miss(shop: &Shop, fork: &ResolvedFork, service: &Service) -> Option<usize> {
    let vocabulary = Vocabulary::of(shop);
    let plan = plan(shop, service, fork);
    let walk = plan.walk(shop, &vocabulary, fork);
    // The short way that the search for a mend takes says the same.
    let meant = vocabulary.meant(fork);
    let (start, hand_back) = ends(shop, &vocabulary, service, &meant);
    assert_eq!(holds(&start, &plan.effects(&vocabulary, &meant), &hand_back), walk.misses.is_empty());
    walk.misses.iter().map(|miss| miss.at).min()
}

/// Of the machine, for which work, implies, excludes.
type WrittenCondition = (bool, usize, Vec<usize>, Vec<usize>);
/// Needs, brings, ends, legs.
type WrittenProcedure = (Vec<usize>, Vec<usize>, Vec<usize>, usize);

#[derive(Debug, Clone)]
struct Written {
    conditions: Vec<WrittenCondition>,
    procedures: Vec<WrittenProcedure>,
    start: Vec<usize>,
    tries: Vec<usize>,
    broken: (usize, usize, usize),
}

fn written() -> impl Strategy<Value = Written> {
    (3usize..9, 3usize..10).prop_flat_map(|(n, m)| {
        let some = move |most: usize| prop::collection::vec(0..n, 0..=most);
        let condition = (any::<bool>(), 0usize..4, some(1), some(2));
        let procedure = (some(2), some(3), some(2), 0usize..9);
        (
            prop::collection::vec(condition, n),
            prop::collection::vec(procedure, m),
            some(4),
            prop::collection::vec(0..m, 0..40),
            (0usize..3, any::<usize>(), any::<usize>()),
        )
            .prop_map(|(conditions, procedures, start, tries, broken)| Written {
                conditions,
                procedures,
                start,
                tries,
                broken,
            })
    })
}

fn made(written: &Written) -> Shop {
    let condition = |(n, (machine, works, implies, excludes)): (usize, &WrittenCondition)| Condition {
        id: text(format!("c{n}")),
        says: format!("condition {n}"),
        per: if *machine { Holder::Machine } else { Holder::Leg },
        works: [Works::Both, Works::Both, Works::Spring, Works::Damper][*works],
        implies: names(implies, 'c'),
        excludes: names(excludes, 'c'),
        ..Condition::default()
    };
    let procedures = written.procedures.iter().enumerate().map(|(n, (needs, brings, ends, legs))| {
        let legs = OnLegs::ALL.get(*legs).map_or(OnLegs::Both, |(_, legs)| *legs);
        procedure(format!("p{n}"), [needs, brings, ends], legs)
    });
    let list = written.conditions.iter().enumerate().map(condition).collect();
    Shop {
        conditions: Conditions { file: None, list, start: Vec::new(), hand_back: Vec::new() },
        procedures: procedures.collect(),
        ..Shop::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn plan_and_oracle_agree(written in written()) {
        let shop = made(&written);
        for (fork, split) in [(&FORKS[0], false), (&FORKS[1], true)] {
            let mut state = oracle::start(&shop, split, &names(&written.start, 'c'));
            let mut order = Vec::new();
            for n in &written.tries {
                let procedure = shop.procedure(&format!("p{n}")).unwrap();
                if oracle::may(&shop, split, &state, procedure) {
                    state = oracle::after(&shop, split, &state, procedure);
                    order.push(*n);
                }
            }
            // What holds on every place it has is what may be asked for.
            let mut held: BTreeMap<&str, usize> = BTreeMap::new();
            state.iter().for_each(|(id, _)| *held.entry(id).or_default() += 1);
            let machine = |id: &str| shop.conditions.list.iter().any(|c| c.id.text == id && c.per == Holder::Machine);
            let whole = held.iter().filter(|(id, count)| **count == 2 || machine(id));
            let hand_back: Vec<String> = whole.map(|(id, _)| (*id).to_owned()).collect();

            let valid = service(&order, &written.start, &hand_back);
            prop_assert_eq!(oracle::first_miss(&shop, split, &valid), None);
            prop_assert_eq!(first_miss(&shop, fork, &valid), None);

            if order.is_empty() {
                continue;
            }
            let (kind, a, b) = written.broken;
            let (a, b) = (a % order.len(), b % order.len());
            match kind {
                0 => {
                    let moved = order.remove(a);
                    order.insert(b, moved);
                }
                1 => {
                    order.remove(a);
                }
                _ => order.swap(a, b),
            }
            let broken = service(&order, &written.start, &hand_back);
            prop_assert_eq!(first_miss(&shop, fork, &broken), oracle::first_miss(&shop, split, &broken));
        }
    }
}

/// A change to the order of a service as it runs for one fork, and whether the walk finds it.
struct Try {
    /// What was taken out, or which two were swapped.
    what: String,
    found: bool,
}

/// Tries a change at every place of every demo service, once for each variant that forks choose.
fn tried(checked: &Checked, change: impl Fn(&mut Vec<ServiceEntry>, usize) -> Option<String>) -> Vec<Try> {
    let (shop, vocabulary) = (&checked.shop, Vocabulary::of(&checked.shop));
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for service in &shop.services {
        for fork in checked.forks.iter().filter(|fork| service.applies.holds(&fork.choices)) {
            let whole = plan(shop, service, fork);
            if !seen.insert((service.id.text.as_str(), whole.variant(&vocabulary.meant(fork)))) {
                continue;
            }
            let entry =
                |named: &Text| ServiceEntry { pick: Pick::This, options: vec![named.clone()], legs: None };
            let entries: Vec<ServiceEntry> = whole.items.iter().map(|item| entry(item.named)).collect();
            for at in 0..entries.len() {
                let mut broken = Service { entries: entries.clone(), ..service.clone() };
                if let Some(what) = change(&mut broken.entries, at) {
                    let walk = plan(shop, &broken, fork).walk(shop, &vocabulary, fork);
                    out.push(Try { what, found: !walk.misses.is_empty() });
                }
            }
        }
    }
    out
}

#[test]
fn every_removal_from_a_demo_service_is_found() {
    let checked = shop("");
    let all = tried(&checked, |entries, at| Some(entries.remove(at).options[0].text.clone()));
    let unseen: BTreeSet<&str> = all.iter().filter(|one| !one.found).map(|one| one.what.as_str()).collect();
    println!("{} removals, {} found", all.len(), all.iter().filter(|one| one.found).count());
    assert!(all.len() > 200, "the demo shop's services have been read");
    assert!(unseen.is_empty(), "removals that nobody would notice: {unseen:?}");
}

/// Pairs of neighbours whose order does not matter, each with its reason.
const FREE: &str = include_str!("free_swaps.txt");

#[test]
fn a_swap_of_neighbours_that_is_not_found_is_no_mistake() {
    let checked = shop("");
    let all = tried(&checked, |entries, at| {
        let pair = format!("{} / {}", entries[at].options[0].text, entries.get(at + 1)?.options[0].text);
        entries.swap(at, at + 1);
        Some(pair)
    });
    let mut reasons: BTreeMap<&str, &str> = BTreeMap::new();
    let mut reason = "";
    for line in FREE.lines().filter(|line| !line.starts_with('#') && !line.is_empty()) {
        match line.strip_prefix("  ") {
            Some(pair) => assert!(reasons.insert(pair, reason).is_none(), "`{pair}` is there twice"),
            None => reason = line,
        }
    }
    let mut unseen: BTreeMap<&str, usize> = BTreeMap::new();
    for one in all.iter().filter(|one| !one.found) {
        *unseen.entry(one.what.as_str()).or_default() += 1;
    }
    let missed: usize = unseen.values().sum();
    println!(
        "{} swaps of neighbours, {} found; the rest are {} pairs:",
        all.len(),
        all.len() - missed,
        unseen.len()
    );
    let mut by_reason: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (pair, times) in &unseen {
        let reason = reasons.get(pair).copied().unwrap_or("NO REASON GIVEN");
        by_reason.entry(reason).or_default().push(format!("{pair} ({times})"));
    }
    for (reason, pairs) in &by_reason {
        println!("{reason}");
        pairs.iter().for_each(|pair| println!("  {pair}"));
    }
    assert!(
        !by_reason.contains_key("NO REASON GIVEN"),
        "write a reason into tests/free_swaps.txt, or declare a condition"
    );
    let stale: Vec<&&str> = reasons.keys().filter(|pair| !unseen.contains_key(**pair)).collect();
    assert!(stale.is_empty(), "found now, or no longer neighbours: {stale:?}");
}

/// The base shop `order` with files put over it.
fn over(files: impl IntoIterator<Item = (String, String)>) -> (Memory, Checked) {
    let folder = Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/order") };
    let (paths, _) = folder.list();
    let mut shop = Memory::new(paths.into_iter().map(|path| (path.clone(), folder.read(&path).unwrap())));
    shop.files.extend(files.into_iter().map(|(path, text)| (path, text.into_bytes())));
    let checked = check_shop(&shop);
    (shop, checked)
}

/// The errors found: code, and the text that is underlined.
fn told(checked: &Checked) -> Vec<(&'static str, &str)> {
    let text = |span: Span| &checked.files.get(span.file).text[span.start as usize..span.end as usize];
    let errors = checked.findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors.map(|finding| (finding.code(), text(finding.span))).collect()
}

/// As many procedures as a service may list. Each needs what the one before it brings; the one in the middle is not
/// there.
#[test]
fn a_gap_in_the_longest_service_is_found_at_its_place() {
    let conditions: String =
        (0..60).map(|n| format!("  c{n}: {{says: state {n} holds, per: leg}}\n")).collect();
    let head = |n: usize| format!("needs: [c{}]\nbrings: [c{}]\nends: [c{}]", n % 60, (n + 1) % 60, n % 60);
    let procedure = |n: usize| {
        let text = format!("---\nid: p{n}\ntitle: P\nphase: set\n{}\n---\n\n1. Do it.\n", head(n));
        (format!("procedures/p{n}.md"), text)
    };
    let list: String = (0..300).filter(|n| *n != 150).map(|n| format!("  - p{n}\n")).collect();
    let mut files: Vec<_> = (0..300).filter(|n| *n != 150).map(procedure).collect();
    files.push(("procedures/conditions.yaml".to_owned(), format!("conditions:\n{conditions}start: [c0]\n")));
    files.push((
        "procedures/services/full-service.yaml".to_owned(),
        format!("id: full-service\ntitle: Full service\nprocedures:\n{list}"),
    ));
    let (mut shop, _) = over(files);
    // The procedures of the base shop name conditions that are not there now.
    shop.files.retain(|path, _| {
        !path.starts_with("procedures/")
            || path.starts_with("procedures/p")
                && path != "procedures/part-tubes.md"
                && path != "procedures/pinch.md"
                && path != "procedures/polish.md"
            || path.starts_with("procedures/services")
            || path == "procedures/conditions.yaml"
    });
    let checked = check_shop(&shop);
    assert_eq!(told(&checked), [("condition-not-met", "p151")]);
}

/// A ring of implications as long as a file can hold is one finding, and a start that contradicts itself another.
#[test]
fn long_implications_are_followed_without_end() {
    let ring: String = (0..400)
        .map(|n| format!("  r{n}: {{says: ring {n}, per: machine, implies: [r{}]}}\n", (n + 1) % 400))
        .collect();
    let old = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shops/order/procedures/conditions.yaml"),
    )
    .unwrap();
    let text = old.replacen("start: [", &format!("{ring}start: [cap-off, "), 1);
    let (_, checked) = over([("procedures/conditions.yaml".to_owned(), text)]);
    let found = told(&checked);
    assert_eq!(
        found.iter().filter(|(code, _)| *code == "condition-loop").collect::<Vec<_>>(),
        [&("condition-loop", "r0")]
    );
    let clashes: Vec<_> = found.iter().filter(|(code, _)| *code == "condition-contradiction").collect();
    assert_eq!(clashes, [&("condition-contradiction", "cap-off")]);
}

/// The chart on a service's page says of every condition what the walk says, and forks that share a proof share it.
#[test]
fn the_drawn_order_is_the_walk_and_is_made_once_for_each_variant() {
    let checked = shop("");
    let (shop, vocabulary) = (&checked.shop, Vocabulary::of(&checked.shop));
    let book = Book::new(&checked);
    let mut drawn: BTreeMap<_, std::sync::Arc<str>> = BTreeMap::new();
    for service in &shop.services {
        for fork in checked.forks.iter().filter(|fork| service.applies.holds(&fork.choices)) {
            let plan = plan(shop, service, fork);
            let chart = benchleaf::site::page::sequence::order_chart(&book, fork, &plan);
            let key = (service.id.text.as_str(), plan.variant(&vocabulary.meant(fork)));
            let first = drawn.entry(key).or_insert_with(|| std::sync::Arc::clone(&chart));
            assert!(std::sync::Arc::ptr_eq(first, &chart), "{} {}", fork.id, service.id.text);
            // By condition and leg, from the walk.
            let mut due: BTreeMap<(&str, Option<Side>), Vec<String>> = BTreeMap::new();
            for life in plan.walk(shop, &vocabulary, fork).lives {
                let place =
                    |at: Option<usize>, word: &str| at.map_or(word.to_owned(), |at| (at + 1).to_string());
                let key = (vocabulary.condition(life.slot).says.as_str(), vocabulary.side(life.slot));
                let (from, to) = (place(life.from, "start"), place(life.to, "end"));
                due.entry(key).or_default().push(format!("{from}–{to}"));
            }
            // From the page: one row stands for both legs unless it names one.
            let mut told: BTreeMap<(&str, Option<Side>), Vec<String>> = BTreeMap::new();
            let body = chart.split_once("<tbody>").unwrap().1.replace('\u{2060}', "");
            let body = body.replace("&quot;", "\"").replace("&#39;", "'");
            for row in body.split("<tr>").skip(1) {
                let (head, rest) =
                    row.trim_start_matches("<th scope=\"row\">").split_once("</th><td>").unwrap();
                let spans: Vec<String> =
                    rest.split_once("</td>").unwrap().0.split(", ").map(str::to_owned).collect();
                assert_eq!(
                    rest.split_once("<path d=\"").unwrap().1.split_once('"').unwrap().0.matches('M').count(),
                    spans.len()
                );
                let (says, leg) = head.split_once(" <b>").unwrap_or((head, ""));
                let (condition, _) = due.keys().find(|(known, _)| *known == says).unwrap();
                let sides: Vec<Option<Side>> = match leg {
                    "left leg</b>" => vec![Some(Side::Left)],
                    "right leg</b>" => vec![Some(Side::Right)],
                    _ => due.keys().filter(|(known, _)| known == condition).map(|(_, side)| *side).collect(),
                };
                for side in sides {
                    assert!(told.insert((*condition, side), spans.clone()).is_none(), "{says} twice");
                }
            }
            assert_eq!(told, due, "{} {}", fork.id, service.id.text);
        }
    }
    assert!(drawn.len() > 10 && drawn.len() < 30);
}

/// A card asks for what its service does, on the legs on which it does it, and for nothing else.
#[test]
fn a_card_is_taken_from_the_plan() {
    let checked = shop("");
    let book = Book::new(&checked);
    let card = |fork: &str, service: &str| {
        let fork = checked.forks.iter().find(|known| known.id == fork).unwrap();
        let (n, _) = book.plans.one(fork, checked.shop.service(service).unwrap()).unwrap();
        benchleaf::card::card(&book, fork, n).view
    };
    let (full, change) = (card("tarnholm-u41", "full-service"), card("tarnholm-u41", "oil-change"));
    for (has, has_not, what) in [(&full, &change, "oil.dry_fill"), (&change, &full, "oil.refill")] {
        assert!(has.line(what).is_some() && has_not.line(what).is_none(), "{what}");
    }
    for what in ["torque.bottom_bolt", "tubes.runout_limit"] {
        assert!(full.line(what).is_some() && change.line(what).is_none(), "{what}");
    }
    // Renewed: oil and seals; oil alone.
    let due = |view: &CardView| view.parts.iter().filter(|part| part.label.contains("due: now +")).count();
    assert_eq!((due(&full), due(&change)), (2, 1));

    // The left leg holds the air, the right one the damper.
    let split = card("velmora-a48", "air-spring");
    let boxes = |key: &str| split.line(key).map(|line| line.boxes.join("")).unwrap_or_default();
    assert_eq!((boxes("adjusters.rebound").as_str(), boxes("air.main_pressure").as_str()), ("R", "L°C"));
    assert_eq!(boxes("tubes.runout_limit"), "LR");
    assert_eq!(
        (boxes("oil.inner_volume").as_str(), boxes("oil.outer_volume").as_str()),
        ("Rbatch", "LRbatch")
    );
}

/// For the shop that took over the library and reviews nothing: what the program knows of its library is what the
/// library says. Whoever takes a guard out of the demo shop sees it go from this file as well.
/// `LIBRARY_UPDATE=1 cargo test --test order library` writes it anew.
#[test]
fn the_library_is_known_as_it_is() {
    let written = benchleaf::review::written(&shop(".").shop);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/review/library.txt");
    if std::env::var_os("LIBRARY_UPDATE").is_some() {
        std::fs::write(&path, &written).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    let differs = kept.lines().zip(written.lines()).find(|(kept, written)| kept != written);
    assert!(kept == written, "look at what changed, then LIBRARY_UPDATE=1: {differs:?}");
}
