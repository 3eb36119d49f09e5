//! The home page and the pages of one machine maker each.

use serde::Serialize;

/// A machine, or a fork that is fitted to none, as the search and the lists show it.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ModelRow {
    /// The fork's page.
    pub href: String,
    /// The machine's model; for a fork without machines the fork's own title.
    pub machine: String,
    /// The years, such as `2016–2019`.
    pub years: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// The fork is a draft.
    pub draft: bool,
}

/// A maker of machines with what it made. As the view of `maker.html` it has a page of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct MakerView {
    /// The maker's name.
    pub maker: String,
    /// The maker's own page.
    pub href: String,
    /// Its first letters as a fragment identifier.
    pub anchor: String,
    /// How many machines, in words: `3 machines`.
    pub count: String,
    /// Its machines by model and year; on the home page of a large shop there are none.
    pub models: Vec<ModelRow>,
}

/// The home page, `home.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HomeView {
    /// How many forks there are, in words: `10 forks`.
    pub forks: String,
    /// How many machines, in words.
    pub machines: String,
    /// The makers of machines, by name.
    pub makers: Vec<MakerView>,
    /// Whether the makers' machines are listed here, not only on the makers' pages.
    pub listed: bool,
    /// Forks that are fitted to no machine on record.
    pub loose: Vec<ModelRow>,
}

/// One entry of the search index, `assets/search-index.js`, which is a list of such entries.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SearchEntry {
    /// Maker and model of the machine; empty for a fork without machines.
    pub m: String,
    /// First year, 0 where there is none.
    pub a: u16,
    /// Last year, 0 where there is none.
    pub b: u16,
    /// Maker and model of the fork.
    pub f: String,
    /// The fork's id: its page is `forks/ID.html`.
    pub i: String,
}
