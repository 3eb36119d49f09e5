//! Home, the makers' pages and the search index.

use crate::book::Book;
use crate::book::figure::years;
use crate::book::links::fork_href;
use crate::site::view::{HomeView, MakerView, ModelRow, SearchEntry};
use crate::words::count;

/// Up to this many machines are listed on the home page itself.
const LISTED: usize = 300;

fn models(book: &Book, maker: &str) -> Vec<ModelRow> {
    let mut rows: Vec<(String, u16, ModelRow)> = Vec::new();
    for record in &book.shop.forks {
        for machine in record.machines.iter().filter(|machine| machine.maker == maker) {
            rows.push((
                machine.model.clone(),
                machine.years.0,
                ModelRow {
                    href: fork_href(&record.id.text),
                    machine: machine.model.clone(),
                    years: years(machine.years),
                    fork: record.title(),
                    draft: record.draft,
                },
            ));
        }
    }
    rows.sort_by(|a, b| (&a.0, a.1, &a.2.href).cmp(&(&b.0, b.1, &b.2.href)));
    rows.into_iter().map(|(_, _, row)| row).collect()
}

/// The page of a maker, or its part of the home page.
pub fn maker(book: &Book, name: &str, with_models: bool) -> MakerView {
    let models = models(book, name);
    MakerView {
        maker: name.to_owned(),
        href: book.maker_href(name),
        anchor: format!("m-{}", book.makers.get(name).map_or("", String::as_str)),
        count: count(models.len(), "machine", "machines"),
        models: if with_models { models } else { Vec::new() },
    }
}

/// The home page.
pub fn home(book: &Book) -> HomeView {
    let mut by_maker: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for machine in book.shop.forks.iter().flat_map(|record| &record.machines) {
        *by_maker.entry(&machine.maker).or_default() += 1;
    }
    let machines: usize = by_maker.values().sum();
    let listed = machines <= LISTED;
    let makers = book.makers.keys().map(|name| {
        if listed {
            return maker(book, name, true);
        }
        MakerView {
            maker: name.clone(),
            href: book.maker_href(name),
            count: count(by_maker.get(name.as_str()).copied().unwrap_or(0), "machine", "machines"),
            ..MakerView::default()
        }
    });
    let loose = book.shop.forks.iter().filter(|record| record.machines.is_empty()).map(|record| ModelRow {
        href: fork_href(&record.id.text),
        machine: record.title(),
        fork: record.title(),
        draft: record.draft,
        ..ModelRow::default()
    });
    HomeView {
        forks: count(book.shop.forks.len(), "fork", "forks"),
        machines: count(machines, "machine", "machines"),
        makers: makers.collect(),
        listed,
        loose: loose.collect(),
    }
}

/// The search index as a script: it works from a file, where nothing can be fetched.
pub fn search_index(book: &Book) -> String {
    let mut entries: Vec<SearchEntry> = Vec::new();
    for record in &book.shop.forks {
        let entry = SearchEntry { f: record.title(), i: record.id.text.clone(), ..SearchEntry::default() };
        if record.machines.is_empty() {
            entries.push(entry.clone());
        }
        for machine in &record.machines {
            let (a, b) = machine.years;
            entries.push(SearchEntry {
                m: format!("{} {}", machine.maker, machine.model),
                a,
                b,
                ..entry.clone()
            });
        }
    }
    index_script(entries)
}

/// The script that hands these entries to the page's search, in the order of their machines.
pub fn index_script(mut entries: Vec<SearchEntry>) -> String {
    entries.sort_by(|x, y| (&x.m, x.a, &x.i).cmp(&(&y.m, y.a, &y.i)));
    let mut out = String::from("window.benchleafIndex=[\n");
    for entry in &entries {
        // Strings and small whole numbers: nothing here that JSON cannot hold.
        if let Ok(text) = serde_json::to_string(entry) {
            out.push_str(&text);
            out.push_str(",\n");
        }
    }
    out.push_str("];\n");
    out
}
