//! The file of released cards is as the program writes it.

use crate::check::review::dates::unreadable;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;
use crate::review::code::is_code;

/// released-code, date-unreadable: the file of released cards is as the program writes it.
pub(super) fn released(shop: &Shop, findings: &mut Vec<Finding>) {
    for card in &shop.released.cards {
        for code in [&card.values, &card.card] {
            if !is_code(&code.text) {
                findings.push(
                    rules::RELEASED_CODE
                        .at(code.span, format!("`{}` is no code of a card", code.text))
                        .bench("whoever types the code of such a card would be told that it is unknown")
                        .instead("restore the line from git; `benchleaf approve` writes this file"),
                );
            }
        }
        if Date::read(&card.date.text).is_none() {
            findings.push(unreadable(&card.date));
        }
    }
}
