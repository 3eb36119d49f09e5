//! The cards: what they say, their codes, and how they are made to fit on their sheet.

mod cautions;
pub mod content;
mod frame;
mod goes;
mod hang;
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
    use crate::text::Folder;

    /// For the apprentice: the short cuts of laying a card out change nothing on it.
    #[test]
    fn a_card_from_shared_lines_is_the_card_made_anew() {
        let checked = check_shop(&Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf() });
        let book = Book::new(&checked);
        let mut cards = 0;
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
        }
        assert!(cards > 20, "{cards}");
    }
}
