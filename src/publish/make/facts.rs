//! What the cards and pages say that is no written value: checks that could not be made, and what was worked
//! out for a caution.

use super::Book;
use crate::resolve::ResolvedFork;

/// What is to be said about one fork.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    /// Checks that could not be made and why, one sentence each.
    pub not_made: Vec<String>,
    /// Sentences for the box of a caution, by its id.
    pub cautions: Vec<(String, Vec<String>)>,
}

/// A check, the choices it is for, and the values it needs; of each inner list one is enough.
struct Check {
    name: &'static str,
    choice: (&'static str, &'static [&'static str]),
    needs: &'static [&'static [&'static str]],
}

const CHECKS: [Check; 3] = [
    Check {
        name: "Oil lock",
        choice: ("oil_set_by", &["air-gap"]),
        needs: &[
            &["oil.air_gap"],
            &["tubes.bore", "oil.surface_slope"],
            &["tubes.stroke"],
            &["tubes.stanchion_diameter"],
            &["spring.mass", "spring.wire_diameter"],
        ],
    },
    Check {
        name: "Force held by the spring",
        choice: ("springing", &["coil-top", "coil-bottom", "air-assisted-coil"]),
        needs: &[&["spring.rate"], &["spring.preload"]],
    },
    Check {
        name: "Coil bind",
        choice: ("springing", &["coil-top", "coil-bottom", "air-assisted-coil"]),
        needs: &[&["spring.solid_length"], &["spring.fitted_length"], &["tubes.stroke"]],
    },
];

impl Facts {
    /// What is to be said about a fork.
    pub fn of(book: &Book, fork: &ResolvedFork) -> Facts {
        let shop = book.shop;
        let mut not_made = Vec::new();
        for check in &CHECKS {
            let (choice, options) = check.choice;
            if !fork.choices.get(choice).is_some_and(|chosen| options.contains(&chosen.as_str())) {
                continue;
            }
            let missing: Vec<String> = check
                .needs
                .iter()
                .filter(|any| any.iter().all(|key| fork.any(shop, key).is_none()))
                .filter_map(|any| shop.catalogue.find(any[0]))
                .map(|id| super::prose::lower(&shop.catalogue.field(id).title))
                .collect();
            if !missing.is_empty() {
                not_made.push(format!("{} not checked: {} missing.", check.name, missing.join(", ")));
            }
        }
        Facts { not_made, cautions: Vec::new() }
    }
}
