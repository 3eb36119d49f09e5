//! The templates: those built in, a shop's own over them, and rendering a page from its view.

use std::collections::BTreeMap;

use serde::Serialize;
use tera::{Context, ErrorKind, Tera};

use super::parts::{self, Part, Parts};
use super::view::{Head, Site};
use crate::book::held::{Given, Held, filled, given, length};

/// In front of a built-in template's name, so that a shop's own file may extend the one it replaces:
/// `{% extends "builtin/fork.html" %}`.
pub const BUILT_IN: &str = "builtin/";

/// The built-in templates by name.
pub(super) const TEMPLATES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/templates.rs"));

/// Files that are copied into `assets/` as they are, by name.
const ASSETS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/assets.rs"));

/// What is wrong with a template, and where.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct TemplateProblem {
    /// The template's name: its path inside `templates/`; for a built-in one with `builtin/` in front.
    pub name: String,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// What is wrong, in one sentence.
    pub message: String,
}

/// Every template of a shop, ready to render from any number of threads.
#[derive(Clone)]
pub struct Templates {
    tera: Tera,
    assets: BTreeMap<String, String>,
    /// Whether every page is made by the tool's own templates.
    built_in: bool,
    /// What many pages have alike, made once.
    parts: Parts,
}

impl Templates {
    /// Takes the built-in templates and lays the shop's own files over them. `own` holds them by path inside
    /// `templates/`: `fork.html` replaces the built-in one, `style.css` the style sheet, and a name that is not
    /// built in is there to be included or extended.
    ///
    /// # Errors
    /// Everything that is wrong with the shop's files, sorted by place.
    pub fn new(of_the_shop: &BTreeMap<String, String>) -> Result<Templates, Vec<TemplateProblem>> {
        let mut tera = Tera::new();
        tera.autoescape_on([".html", ".svg", ".xml"]);
        let built_in = tera
            .set_fallback_prefixes([BUILT_IN])
            .and_then(|()| tera.add_raw_templates(TEMPLATES.iter().chain(parts::TEMPLATES).copied()));
        if let Err(error) = built_in {
            return Err(problems(&error, "builtin"));
        }
        let is_asset = |name: &str| ASSETS.iter().any(|(built_in_name, _)| *built_in_name == name);
        let mut assets: BTreeMap<String, String> =
            ASSETS.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        let mut pages: BTreeMap<&str, &str> = BTreeMap::new();
        for (name, text) in of_the_shop {
            if is_asset(name) {
                assets.insert(name.clone(), text.clone());
            } else {
                pages.insert(name, text);
            }
        }
        let mut faults = Vec::new();
        // One unreadable file hides what is wrong with the next: leave it out and try again.
        while !pages.is_empty() {
            match tera.add_raw_templates(pages.iter().map(|(name, text)| (*name, *text))) {
                Ok(()) => break,
                Err(error) => {
                    let places = problems(&error, pages.keys().next().copied().unwrap_or(""));
                    let before = pages.len();
                    pages.retain(|name, _| !places.iter().any(|problem| problem.name == *name));
                    faults.extend(places);
                    if pages.len() == before {
                        break;
                    }
                }
            }
        }
        if faults.is_empty() {
            let built_in = of_the_shop.keys().all(|name| is_asset(name));
            Ok(Templates { tera, assets, built_in, parts: Parts::default() })
        } else {
            faults.sort();
            faults.dedup();
            Err(faults)
        }
    }

    /// Says what is the same on every page. It is kept ready, since building it anew takes time on each page.
    pub fn set_site(&mut self, site: &Site) {
        self.tera.global_context().insert("site", site);
        self.parts = Parts::default();
    }

    /// Renders a page from its frame and its view.
    ///
    /// # Errors
    /// The template's place that could not be rendered, and why: as a rule a name that is not there.
    pub fn render(
        &self,
        template: &str,
        head: &Head,
        page: &impl Serialize,
    ) -> Result<String, TemplateProblem> {
        let mut context = Context::new();
        context.insert("head", head);
        self.render_with(context, template, page)
    }

    /// Renders what is to be written into pages: without a frame, the same on every page it stands on.
    ///
    /// # Errors
    /// As [`Templates::render`].
    pub fn render_part(&self, template: &str, page: &impl Serialize) -> Result<String, TemplateProblem> {
        self.render_with(Context::new(), template, page)
    }

    fn render_with(
        &self,
        context: Context,
        template: &str,
        page: &impl Serialize,
    ) -> Result<String, TemplateProblem> {
        let (given, page) = if self.built_in {
            given(|| tera::Value::try_from_serializable(page))
        } else {
            (Vec::new(), tera::Value::try_from_serializable(page))
        };
        let page = self.render_value(context, template, page)?;
        let texts = given.into_iter().map(|one| self.held(one)).collect::<Result<Vec<Held>, _>>()?;
        match length(&page, &texts) {
            LARGEST.. => Err(too_long(template)),
            length => Ok(filled(page, &texts, length)),
        }
    }

    /// The text of what a template was given under a mark.
    fn held(&self, given: Given) -> Result<Held, TemplateProblem> {
        let part = match given {
            Given::Text(text) => return Ok(text),
            Given::Part(any) => Part::of(&any),
        };
        let Some(part) = part else { return Ok(Held::default()) };
        let make = |part: &Part| self.render_value(Context::new(), part.template(), part.value());
        Ok(Held::whole(self.parts.html(part, make)?))
    }

    /// What a template makes of a value.
    fn render_value(
        &self,
        mut context: Context,
        template: &str,
        page: tera::TeraResult<tera::Value>,
    ) -> Result<String, TemplateProblem> {
        let fault = |error: &tera::Error| {
            problems(error, template).into_iter().next().unwrap_or_else(|| TemplateProblem {
                name: template.to_owned(),
                line: 1,
                column: 1,
                message: error.to_string(),
            })
        };
        context.insert_value("page", page.map_err(|error| fault(&error))?);
        let mut text = Bounded(Vec::new());
        self.tera.render_to(template, &context, &mut text).map_err(|error| match text.0.len() {
            LARGEST.. => too_long(template),
            _ => fault(&error),
        })?;
        String::from_utf8(text.0).map_err(|_| whole(template, "what it makes is not UTF-8 text"))
    }

    /// Whether every page is made by the tool's own templates, so that what they receive is known.
    pub fn are_built_in(&self) -> bool {
        self.built_in
    }

    /// The files of `assets/` that do not depend on the shop's records: name and text.
    pub fn assets(&self) -> &BTreeMap<String, String> {
        &self.assets
    }
}

/// No page is longer: the largest of the tool's own is a volume of fifty cards.
const LARGEST: usize = 64 << 20;

/// Memory that a template cannot fill beyond a limit.
struct Bounded(Vec<u8>);

impl std::io::Write for Bounded {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        if self.0.len() >= LARGEST {
            return Err(std::io::ErrorKind::FileTooLarge.into());
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// Reads the places out of an error. Those of syntax and rendering come as values; for unknown names they
/// stand only in the message's text, one report after the other.
fn problems(error: &tera::Error, fallback: &str) -> Vec<TemplateProblem> {
    match error.kind() {
        ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => {
            let name = if report.filename().is_empty() { fallback } else { report.filename() };
            vec![TemplateProblem {
                name: name.to_owned(),
                line: report.span().start_line,
                column: report.span().start_col + 1,
                message: sentence(report.message()),
            }]
        }
        ErrorKind::CircularExtend { tpl, .. } => vec![whole(tpl, "this template extends itself in a circle")],
        ErrorKind::CircularInclude { tpl, .. } => {
            vec![whole(tpl, "this template includes itself in a circle")]
        }
        ErrorKind::MissingParent { current, parent } => {
            vec![whole(current, &format!("there is no template `{parent}` to extend"))]
        }
        other => {
            let text = other.to_string();
            let mut faults: Vec<TemplateProblem> = Vec::new();
            let mut message = String::new();
            for line in text.lines() {
                if let Some(report) = line.strip_prefix("error: ") {
                    report.clone_into(&mut message);
                } else if let Some(place) = line.trim_start().strip_prefix("--> ") {
                    let mut parts = place.rsplitn(3, ':');
                    let column = parts.next().and_then(|n| n.parse().ok());
                    let row = parts.next().and_then(|n| n.parse().ok());
                    if let (Some(column), Some(row), Some(name)) = (column, row, parts.next()) {
                        let message = sentence(&message);
                        faults.push(TemplateProblem { name: name.to_owned(), line: row, column, message });
                    }
                }
            }
            if faults.is_empty() {
                faults.push(whole(fallback, &sentence(&text)));
            }
            faults
        }
    }
}

fn too_long(template: &str) -> TemplateProblem {
    let message =
        format!("what it makes of one page is longer than {} MB, and no more is made", LARGEST >> 20);
    whole(template, &message)
}

fn whole(name: &str, message: &str) -> TemplateProblem {
    TemplateProblem { name: name.to_owned(), line: 1, column: 1, message: message.to_owned() }
}

/// The first line, beginning with a small letter like every finding.
fn sentence(text: &str) -> String {
    let line = text.lines().next().unwrap_or("").trim().trim_end_matches('.');
    let mut letters = line.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_the_shop(files: &[(&str, &str)]) -> BTreeMap<String, String> {
        files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    fn faults(files: &[(&str, &str)]) -> Vec<(String, usize, usize)> {
        let problems = Templates::new(&of_the_shop(files)).err().unwrap_or_default();
        problems.into_iter().map(|problem| (problem.name, problem.line, problem.column)).collect()
    }

    #[test]
    fn the_built_in_templates_are_sound() {
        let problems = Templates::new(&BTreeMap::new()).err();
        assert_eq!(problems, None);
    }

    #[test]
    fn a_shop_replaces_one_file_and_may_build_on_the_one_it_replaces() {
        let files = of_the_shop(&[(
            "404.html",
            "{% extends \"builtin/404.html\" %}{% block main %}<p>Ask at the bench.</p>{{ super() }}{% endblock %}",
        )]);
        let mut templates = Templates::new(&files).expect("the override is sound");
        templates.set_site(&Site { name: "A & B".to_owned(), ..Site::default() });
        let html = templates.render("404.html", &Head::default(), &()).expect("it renders");
        assert!(html.contains("Ask at the bench."), "{html}");
        assert!(html.contains("A &amp; B"), "text is escaped: {html}");
    }

    #[test]
    fn every_fault_is_told_with_its_place() {
        let files = [
            ("a.html", "fine\n{% if %}"),
            ("b.html", "one\ntwo {{ head.title | shout }}"),
            ("c.html", "{% extends \"nowhere.html\" %}"),
        ];
        let places = faults(&files);
        assert!(places.contains(&("a.html".to_owned(), 2, 7)), "{places:?}");
        assert!(places.contains(&("b.html".to_owned(), 2, 21)), "{places:?}");
        assert!(places.contains(&("c.html".to_owned(), 1, 1)), "{places:?}");
    }

    #[test]
    fn a_name_that_is_not_there_is_told_when_the_page_is_rendered() {
        let templates =
            Templates::new(&of_the_shop(&[("404.html", "\n{{ page.nothing }}")])).expect("it parses");
        let problem = templates.render("404.html", &Head::default(), &()).expect_err("it must not render");
        assert_eq!((problem.name.as_str(), problem.line), ("404.html", 2), "{problem:?}");
    }

    /// What a shop reads about templates.
    const MANUAL: &str = include_str!("../../docs/templates.md");

    #[test]
    fn the_worked_example_of_the_manual_works() {
        let (_, after) = MANUAL.split_once("```html\n").expect("an example");
        let (example, _) = after.split_once("```").expect("its end");
        let mut templates =
            Templates::new(&of_the_shop(&[("404.html", example)])).expect("the example is sound");
        templates.set_site(&Site { name: "Low Shed".to_owned(), ..Site::default() });
        let html = templates.render("404.html", &Head::default(), &()).expect("it renders");
        let (ours, theirs) = (html.find("extension 12. Low Shed"), html.find("No such page</h1>"));
        assert!(ours.is_some() && ours < theirs, "{html}");
    }
}
