//! The cards: what they say, their codes, and how they are made to fit on their sheet.

mod cautions;
pub mod content;
mod frame;
mod goes;
mod hang;
mod joined;
mod lines;
mod make;
mod marks;
mod number;
mod pairs;
mod paper;
mod places;
mod qr;
mod unnamed;
pub mod view;
pub mod wall;

pub use hang::{HangCard, hang_card, hang_fitted, hang_overflow};
pub use make::{Card, card, fitted, overflow};
pub use marks::{hang_marks, marks};

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::{hang, make};
    use crate::book::Book;
    use crate::pipeline::check_shop;
    use crate::text::{Added, Folder};

    /// What is changed in a copy of a fork, so that what forks share must be told apart by it.
    const ALMOST_ALIKE: [(&str, &str); 6] = [
        ("model: U41\n", "model: U41 again\n"),
        ("value: 62 N·m (46 lbf·ft)", "value: 63 N·m (46 lbf·ft)"),
        (
            "rebound: {value: 9 clicks, counted: from-closed}",
            "rebound: {value: 9 clicks, counted: from-open}",
        ),
        ("compression: {value: 11 clicks,", "compression: {left: 11 clicks, right: 12 clicks,"),
        ("family: tarnholm-inverted\n", "family: tarnholm-inverted\nchoices: {bars: above-clamp}\n"),
        (
            "protector: not fitted",
            "protector: {value: 4 N·m (3 lbf·ft), thread: M5 × 0.8, thread_state: dry, note: \"A brush by hand.\"}",
        ),
    ];

    /// Copies of a fork of the demo shop that are as it is but for one thing, and reviewed by nobody.
    fn almost_alike(shop: &Path) -> Vec<(String, String)> {
        let record = std::fs::read_to_string(shop.join("specs/forks/tarnholm-u41.yaml")).expect("the record");
        let (record, _) = record.split_once("\nreviewed:\n").expect("its reviews");
        let copy = |(n, (old, new)): (usize, (&str, &str))| {
            assert!(record.contains(old), "{old}");
            let text =
                record.replacen(old, new, 1).replace("id: tarnholm-u41\n", &format!("id: alike-{n}\n"));
            (format!("specs/forks/alike-{n}.yaml"), format!("{text}\n"))
        };
        ALMOST_ALIKE.into_iter().enumerate().map(copy).collect()
    }

    /// For the apprentice: the short cuts of laying a card out change nothing on it, whatever other forks have.
    #[test]
    fn a_card_from_shared_lines_is_the_card_made_anew() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let files = almost_alike(root);
        let checked = check_shop(&Added { source: &Folder { root: root.to_path_buf() }, files: &files });
        let book = Book::new(&checked);
        let (mut cards, mut copies) = (0, 0);
        for fork in book.forks.iter().filter(|fork| !fork.record.draft) {
            for n in 0..book.plans.of(fork).len() {
                let [short, long] = [true, false].map(|share| make::laid(&book, fork, n, share));
                assert_eq!(short.view, long.view, "{} {n}", fork.id);
                assert_eq!(
                    (short.front_over, short.back_over),
                    (long.front_over, long.back_over),
                    "{}",
                    fork.id
                );
                cards += 1;
            }
            let [short, long] = [true, false].map(|share| hang::laid(&book, fork, share));
            assert_eq!(short.view, long.view, "{}", fork.id);
            assert!((short.over - long.over).abs() < f64::EPSILON, "{}", fork.id);
            copies += usize::from(fork.id.starts_with("alike-"));
        }
        assert!(cards > 20 && copies == ALMOST_ALIKE.len(), "{cards} cards, {copies} copies");
    }
}
