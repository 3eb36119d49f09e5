//! Shim stacks, as found beside as changed.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::links::fork_href;
use crate::book::view::Link;
use crate::drawing;
use crate::quantity::Quantity;
use crate::record::{Arrangement, Shim, Stack, Valving};
use crate::resolve::Shop;
use crate::review::differences;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A piston's stack, as found and as changed.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StackView {
    /// The piston, its leg and the stroke it damps, in one line.
    pub title: String,
    /// The stacks side by side, from the piston's face outward: as found, as changed, whether the line differs.
    pub lines: Vec<(String, String, bool)>,
    /// The same of total thickness, bleed, float and clamp, each with its name.
    pub beside: Vec<(String, String, String, bool)>,
    /// Whether it went together as found.
    pub as_found: bool,
    /// The stack as found and, where it differs, as changed, drawn: finished SVG each.
    pub drawings: Vec<String>,
}

/// A valving.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ValvingView {
    /// Its id, which is its fragment identifier.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// The fork.
    pub fork: Link,
    /// The day the stacks were taken down, as written.
    pub date: String,
    /// Why it was changed.
    pub why: String,
    /// Who took it down; may be empty.
    pub done_by: String,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Its stacks.
    pub stacks: Vec<StackView>,
    /// The builds that it is fitted in.
    pub builds: Vec<Link>,
}

/// The valvings, `valvings.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ValvingsView {
    /// The valvings, in order of id.
    pub valvings: Vec<ValvingView>,
}

/// The page.
pub struct ValvingsPage;

/// There is one in a shop that has valvings on record.
pub fn all(desk: &Desk<'_, '_>) -> Option<ValvingsPage> {
    (!desk.book.shop.valvings.is_empty()).then_some(ValvingsPage)
}

impl<'s> Page<'s> for ValvingsPage {
    type View = ValvingsView;

    const TEMPLATE: &'static str = "valvings";

    fn path(&self) -> String {
        "valvings.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ValvingsView, TemplateProblem> {
        let shop = desk.book.shop;
        Ok(ValvingsView { valvings: shop.valvings.iter().map(|valving| of_valving(shop, valving)).collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &ValvingsView) -> Heading {
        Heading::new("Valving", "Shim stacks as found and as changed.")
    }
}

fn of_valving(shop: &Shop, valving: &Valving) -> ValvingView {
    let title = shop.fork(&valving.fork.text).map_or_else(|| valving.fork.text.clone(), |fork| fork.title());
    let fitted = shop.forks.iter().filter(|record| {
        let named = record.build().and_then(|build| build.valving.as_ref());
        named.is_some_and(|named| named.text == valving.id.text)
    });
    ValvingView {
        id: valving.id.text.clone(),
        title: valving.title.clone(),
        fork: Link::new(fork_href(&valving.fork.text), title),
        date: valving.date.text.clone(),
        why: valving.why.clone(),
        done_by: valving.done_by.clone().unwrap_or_default(),
        notes: valving.notes.clone().unwrap_or_default(),
        stacks: valving.stacks.iter().map(of_stack).collect(),
        builds: fitted.map(|record| Link::new(fork_href(&record.id.text), record.title())).collect(),
    }
}

fn of_stack(stack: &Stack) -> StackView {
    let changed = stack.fitted();
    let (was, now) = (shims(&stack.baseline), shims(changed));
    let length = |of: &Option<Quantity>| of.as_ref().map(|one| one.main().shown()).unwrap_or_default();
    let of = |name: &str, told: &dyn Fn(&Arrangement) -> String| {
        let (was, now) = (told(&stack.baseline), told(changed));
        (!was.is_empty() || !now.is_empty()).then(|| (name.to_owned(), was.clone(), now.clone(), was != now))
    };
    let beside = [
        of("Thickness", &|one| total(&one.shims)),
        of("Bleed", &|one| length(&one.bleed)),
        of("Float", &|one| length(&one.float)),
        of("Clamp", &|one| length(&one.clamp)),
    ];
    let leg = match stack.leg {
        crate::record::OnLegs::Left => ", left leg",
        crate::record::OnLegs::Right => ", right leg",
        _ => "",
    };
    StackView {
        title: format!("{}{leg}: {}", stack.piston.text, stack.damps.word()),
        lines: side_by_side(&was, &now),
        beside: beside.into_iter().flatten().collect(),
        as_found: stack.changed.is_none(),
        drawings: [("As found", Some(&stack.baseline)), ("As changed", stack.changed.as_ref())]
            .into_iter()
            .filter_map(|(title, one)| Some(drawing::shims(title, one?)?.svg))
            .collect(),
    }
}

/// Two stacks beside each other, what is the same in one row: what was taken out or added stands beside `none`.
fn side_by_side(was: &[String], now: &[String]) -> Vec<(String, String, bool)> {
    let on = |list: &[String], at: Option<usize>| at.map_or_else(|| "none".to_owned(), |at| list[at].clone());
    let mut rows = Vec::new();
    let (mut a, mut b) = (0, 0);
    let ends = std::iter::once((Some(was.len()), Some(now.len())));
    for (old, new) in differences(was, now).into_iter().chain(ends) {
        while old.is_none_or(|old| a < old) && new.is_none_or(|new| b < new) {
            rows.push((was[a].clone(), now[b].clone(), false));
            (a, b) = (a + 1, b + 1);
        }
        if old == Some(was.len()) {
            break;
        }
        rows.push((on(was, old), on(now, new), true));
        a += usize::from(old.is_some());
        b += usize::from(new.is_some());
    }
    rows
}

/// One line for each size, in order.
fn shims(arrangement: &Arrangement) -> Vec<String> {
    arrangement.shims.iter().map(Shim::told).collect()
}

/// The thickness of all of them, to a hundredth of a millimetre; empty where one cannot be read.
fn total(shims: &[Shim]) -> String {
    let sum = shims.iter().try_fold(0.0, |sum, shim| {
        let thick = *shim.size.as_ref()?.parts_si().get(1)?;
        Some(sum + thick * f64::from(shim.count))
    });
    sum.map(|sum| format!("{:.2}\u{a0}mm", sum * 1e3)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For the reader of a changed stack: a shim that was taken out marks its own row and none below it.
    #[test]
    fn what_stayed_stands_in_one_row() {
        let list = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let rows = |was: &str, now: &str| {
            let rows = side_by_side(&list(was), &list(now));
            let told = |(a, b, differs): &(String, String, bool)| format!("{a}{}{b}", if *differs { "≠" } else { "=" });
            rows.iter().map(told).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(rows("a b c", "a b c"), "a=a b=b c=c");
        assert_eq!(rows("a b c", "x c"), "a≠x b≠none c=c");
        assert_eq!(rows("a c", "a b c d"), "a=a none≠b c=c none≠d");
        assert_eq!(rows("a", "b"), "a≠b");
        assert_eq!(rows("", "b"), "none≠b");
        assert_eq!(rows("a b", "b c"), "a≠none b=b none≠c");
    }
}
