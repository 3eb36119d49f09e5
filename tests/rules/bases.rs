//! The clean shops that the examples begin with.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::change::Shop;
use crate::judge::judge;
use crate::page::{Case, Page};

/// The base shops below `tests/shops`.
pub const BASES: [&str; 5] = ["plain", "rod", "closed", "split", "order"];

pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file of a base shop, in memory.
fn base(name: &str) -> Shop {
    fn add(folder: &Path, inner: &str, shop: &mut Shop) {
        for entry in fs::read_dir(folder).unwrap() {
            let entry = entry.unwrap();
            let path = format!("{inner}{}", entry.file_name().to_str().unwrap());
            if entry.file_type().unwrap().is_dir() {
                add(&entry.path(), &format!("{path}/"), shop);
            } else {
                shop.insert(path, fs::read(entry.path()).unwrap());
            }
        }
    }
    let mut shop = Shop::new();
    add(&root().join("tests/shops").join(name), "", &mut shop);
    shop
}

pub fn bases() -> Bases {
    BASES.iter().map(|name| ((*name).to_owned(), base(name))).collect()
}

/// The base shops by name.
pub type Bases = BTreeMap<String, Shop>;

/// Tries one example of a page.
pub fn try_case(page: &Page, case: &Case, bases: &Bases) -> Result<(), String> {
    match bases.get(&case.base) {
        Some(base) => judge(page, case, base),
        None => Err(format!("{}, line {}: there is no base shop `{}`", page.code, case.line, case.base)),
    }
}
