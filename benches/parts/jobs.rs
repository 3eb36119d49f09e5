//! How long it takes to read and judge many jobs: all of them from nothing, all of them where each is read and another
//! day has come, and one that is new where the rest is as it was.

use std::fs;
use std::path::Path;
use std::time::Instant;

use benchleaf::date::{AsOf, Date};
use benchleaf::text::Folder;
use benchleaf::{Memory, check_again, check_sources, read_shop};

use super::{Figures, Outcome, micros};

/// Checks the shop from nothing, then again after one more job has come.
pub fn jobs(shop: &Path) -> Outcome<Figures> {
    let source = Folder { root: shop.to_path_buf() };
    let begun = Instant::now();
    let read = read_shop(&source, None);
    let checking = Instant::now();
    let first = check_sources(read);
    let mut figures = Figures::from([
        ("0 read".to_owned(), micros(begun, checking)),
        ("1 check all".to_owned(), micros(checking, Instant::now())),
        ("findings".to_owned(), first.findings.len() as u64),
        ("jobs".to_owned(), first.shop.jobs.len() as u64),
    ]);
    let last = first.shop.jobs.last().ok_or("no jobs")?.number.text.clone();
    drop(first);
    let mut memory = Memory::default();
    check_again(read_shop(&source, None), &mut memory);
    // On another day every job is judged anew, and nothing is read or worked out again.
    let day = Date::read("2026-11-26").map(|date| AsOf { date, settled: true });
    let read = read_shop(&source, day);
    let checking = Instant::now();
    drop(check_again(read, &mut memory));
    figures.insert("2 judge all".to_owned(), micros(checking, Instant::now()));
    let folder = shop.join("specs/jobs");
    let text = fs::read_to_string(folder.join(format!("{last}.yaml")))?;
    let (year, number) = last.split_once('/').ok_or("no number")?;
    let new = folder.join(year).join(format!("{:05}.yaml", number.parse::<u32>()? + 1));
    fs::write(&new, text)?;
    let begun = Instant::now();
    let read = read_shop(&source, day);
    let checking = Instant::now();
    let again = check_again(read, &mut memory);
    figures.insert("3 read again".to_owned(), micros(begun, checking));
    figures.insert("4 check one new job".to_owned(), micros(checking, Instant::now()));
    fs::remove_file(new)?;
    drop(again);
    Ok(figures)
}
