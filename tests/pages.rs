//! The apprentice, at the bench with a tablet and a card: the published pages of the demo shop, in a real browser.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use benchleaf::check_shop;
use benchleaf::publish::make::Book;
use benchleaf::publish::pages::{card_findings, pages, render_page, site};
use benchleaf::publish::render::Templates;
use benchleaf::source::Folder;

/// The demo shop's site in a folder of its own, rendered once for all tests.
static SITE: LazyLock<PathBuf> = LazyLock::new(|| {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages-site");
    let _ = std::fs::remove_dir_all(&out);
    let folder = Folder { root: PathBuf::from(env!("CARGO_MANIFEST_DIR")) };
    let checked = check_shop(&folder);
    let book = Book::new(&checked);
    let mut templates = Templates::new(&BTreeMap::new()).expect("the built-in templates");
    templates.set_site(&site(&book));
    for page in pages(&book, &templates) {
        let bytes = render_page(&book, &templates, &page)
            .unwrap_or_else(|problem| panic!("{}: {problem:?}", page.path));
        let to = out.join(&page.path);
        std::fs::create_dir_all(to.parent().expect("inside")).expect("a folder");
        std::fs::write(to, bytes).expect("written");
    }
    let over: Vec<String> = card_findings(&book).into_iter().map(|finding| finding.message).collect();
    assert!(over.is_empty(), "{over:#?}");
    out
});

#[test]
fn every_page_is_rendered() {
    assert!(SITE.join("index.html").exists());
}
