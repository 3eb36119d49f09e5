//! Every page of the site, one file each: what it shows, where it stands and what its template receives.

mod kind;

use super::desk::Desk;

pub use kind::{File, Heading, Page, Subject};

/// The files of this folder; each has a function `all` that gives its pages.
macro_rules! pages {
    ($($name:ident),* $(,)?) => {
        $(pub mod $name;)*

        /// Every file of the site, in no order that matters.
        pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<Box<dyn File<'s> + 's>> {
            let mut files: Vec<Box<dyn File<'s> + 's>> = Vec::new();
            $(files.extend($name::all(desk).into_iter().map(|file| Box::new(file) as Box<dyn File<'s> + 's>));)*
            files
        }

        /// The texts of the files of this folder.
        #[cfg(test)]
        pub const SOURCES: &[&str] = &[$(include_str!(concat!(stringify!($name), ".rs"))),*];
    };
}

pages! {
    asset,
    binder,
    builds,
    card,
    card_codes,
    cards,
    cautions,
    codes,
    complaint,
    complaints,
    fields,
    fork,
    fork_binder,
    fork_complaints,
    glossary,
    hang,
    home,
    instruments,
    maker,
    not_found,
    offline,
    oil,
    oils,
    picture,
    procedure,
    procedures,
    renamed,
    review,
    rule,
    rules,
    search_index,
    sequence,
    service,
    springs,
    tools,
    units,
    valvings,
    wall_binder,
}
