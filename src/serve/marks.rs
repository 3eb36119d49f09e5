//! What is added to a page while it is served: that it is a working copy, what was found, and what no longer holds.

use super::seen::{Seen, Struck, Told};
use crate::diagnostic::Severity;

/// Where what is added is found.
pub(super) const STYLE: &str = ".live/page.css";
pub(super) const SCRIPT: &str = ".live/page.js";
pub(super) const EVENTS: &str = ".live/events";

/// The program in the page: it asks for the page anew when something has changed.
pub(super) const PROGRAM: &str = include_str!("page.js");

/// How the bar and the marks look.
const LOOK: &str = include_str!("page.css");

/// How many findings stand in the bar.
const MOST: usize = 12;

/// A page with what belongs on it now.
pub(super) fn dressed(html: &str, path: &str, seen: &Seen) -> String {
    let fork = fork_of(path);
    // What is not written in the page itself is refused by a browser; what is added comes from this program.
    let html = html.replacen("default-src 'none';", "default-src 'none'; connect-src 'self';", 1);
    let number = seen.number;
    let head = format!(
        "<link rel=\"stylesheet\" href=\"/{STYLE}?n={number}&amp;of={}\">\n<script src=\"/{SCRIPT}?n={number}\" defer></script>\n</head>",
        escaped(path)
    );
    let html = html.replacen("</head>", &head, 1);
    let (before, rest) = match html.find("<body").and_then(|at| Some(at + html[at..].find('>')? + 1)) {
        Some(at) => html.split_at(at),
        None => ("", html.as_str()),
    };
    let mut out = format!("{before}{}{rest}", bar(seen, fork));
    for told in seen.findings.iter().filter(|told| is_on(told, fork) && !told.key.is_empty()) {
        out = beside_value(&out, told);
    }
    out
}

/// The page where there are no good pages yet.
pub(super) fn no_page(seen: &Seen) -> String {
    let why = if seen.gone {
        "The shop’s folder is not there."
    } else {
        "There is no page yet: the shop has an error."
    };
    let list: String =
        seen.findings.iter().filter(|told| told.severity == Severity::Error).map(line).collect();
    dressed(
        &format!(
            "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'; style-src 'self'\"><title>No page yet</title></head>\
             <body><main class=\"live-none\"><h1>{why}</h1><ul>{list}</ul></main></body></html>"
        ),
        "",
        &Seen { number: seen.number, ..Seen::default() },
    )
}

/// The fork that a page tells of.
fn fork_of(path: &str) -> Option<&str> {
    let rest = path.strip_prefix("forks/")?;
    rest.split('/').next().map(|name| name.strip_suffix(".html").unwrap_or(name))
}

/// Whether a finding belongs on a page: on a fork's those that reach the fork, on any other all.
fn is_on(told: &Told, fork: Option<&str>) -> bool {
    fork.is_none_or(|fork| told.forks.is_empty() || told.forks.contains(fork))
}

fn bar(seen: &Seen, fork: Option<&str>) -> String {
    let shown: Vec<&Told> = seen
        .findings
        .iter()
        .filter(|told| is_on(told, fork) && (!seen.error || told.severity == Severity::Error))
        .filter(|told| told.severity != Severity::Note)
        .collect();
    let list: String = shown.iter().take(MOST).map(|told| line(told)).collect();
    let more = match shown.len().saturating_sub(MOST) {
        0 => String::new(),
        more => format!("<li>and {more} more: `benchleaf check`</li>"),
    };
    let (class, role, words) = match (seen.gone, seen.error) {
        (true, _) => ("live-bar is-old", "alert", "Out of date: the shop’s folder is not there."),
        (_, true) => (
            "live-bar is-old",
            "alert",
            "Out of date: the record has an error. Numbers that changed are struck.",
        ),
        _ => ("live-bar", "status", ""),
    };
    let old = if words.is_empty() { String::new() } else { format!(" <b>{words}</b>") };
    let findings = match (list.is_empty(), seen.error) {
        (true, _) => String::new(),
        (_, true) => format!("<ul>{list}{more}</ul>"),
        _ => format!(
            "<details><summary>{} to look at</summary><ul>{list}{more}</ul></details>",
            crate::words::count(shown.len(), "finding", "findings")
        ),
    };
    format!(
        "<div class=\"{class}\" role=\"{role}\"><p><b>Working copy, not published.</b>{old} \
         <b class=\"live-lost\">`benchleaf serve` has ended: this page may be out of date.</b></p>{findings}</div>"
    )
}

/// A finding in the bar.
fn line(told: &Told) -> String {
    let word = capital(told.severity.word());
    let value = match told.key.as_str() {
        "" => String::new(),
        key => format!(" <a href=\"#{0}\">{0}</a>", escaped(key)),
    };
    format!("<li><b>{word}</b> <code>{}</code>{value}: {}</li>", escaped(&told.place), said(told))
}

fn said(told: &Told) -> String {
    let instead = match told.instead.as_str() {
        "" => String::new(),
        instead => format!(". Write instead: {}", escaped(instead)),
    };
    format!("{}{instead}", escaped(&told.message))
}

fn capital(word: &str) -> String {
    word.to_uppercase()
}

/// Puts a finding below the row of the value it speaks of, where the page has one.
fn beside_value(html: &str, told: &Told) -> String {
    let row = format!("<tr id=\"{}\"", escaped(&told.key));
    let end = html.find(&row).and_then(|at| Some(at + html[at..].find("</tr>")? + "</tr>".len()));
    let Some(end) = end else { return html.to_owned() };
    let (before, after) = html.split_at(end);
    let word = told.severity.word();
    format!(
        "{before}<tr class=\"live-finding is-{word}\"><td colspan=\"9\"><b>{}</b> {} <code>{}</code></td></tr>{after}",
        capital(word),
        said(told),
        escaped(&told.place)
    )
}

/// The style sheet for a page: how the bar looks, and what is struck. It names values by their links, so that a
/// shop's own templates need nothing for it.
pub(super) fn style(path: &str, seen: &Seen) -> String {
    let mut out = LOOK.to_owned();
    let fork = fork_of(path);
    for (id, struck) in &seen.struck.numbers {
        let card = format!(".card[data-fork=\"{id}\"]");
        let tables = seen.struck.tables.get(id).into_iter().flatten();
        let mut selectors: Vec<String> =
            tables.map(|key| format!("{card} [data-key~=\"{key}\"] .corr td")).collect();
        match struck {
            Struck::All => {
                selectors.push(format!("{card} .corr td"));
                selectors.push(format!("{card} .val > *"));
                selectors.push(format!(".v:has(> a[href*=\"forks/{id}.html#\"])"));
                if fork == Some(id.as_str()) {
                    selectors.extend(["main td".to_owned(), "main dd".to_owned(), "main .v".to_owned()]);
                }
            }
            Struck::Keys(keys) => {
                for key in keys {
                    selectors.push(format!("{card} [data-key~=\"{key}\"] .val > *"));
                    selectors.push(format!("{card} [data-key~=\"{key}\"] .st"));
                    selectors.push(format!("{card} [data-key~=\"{key}\"] .ud"));
                    selectors.push(format!(".v:has(> a[href$=\"forks/{id}.html#{key}\"])"));
                    if fork == Some(id.as_str()) {
                        selectors.push(format!("tr[id=\"{key}\"] td"));
                        selectors.push(format!("div:has(> dt > a[href=\"#{key}\"]) dd"));
                    }
                }
            }
        }
        out.push_str(&format!("{}\n{{ text-decoration: line-through 3px; }}\n", selectors.join(",\n")));
    }
    out
}

/// A text inside HTML.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    // Writing into a text does not fail.
    let _ = pulldown_cmark_escape::escape_html(&mut out, text);
    out
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use super::super::seen::Gone;
    use super::*;

    const PAGE: &str = "<html><head><meta content=\"default-src 'none'; script-src 'self'\"></head><body class=\"x\">\
                        <table><tr id=\"oil.air_gap\"><td>1</td></tr></table></body></html>";

    fn told(message: &str) -> Told {
        Told {
            severity: Severity::Error,
            place: "specs/forks/a.yaml:3:4".to_owned(),
            message: message.to_owned(),
            instead: String::new(),
            key: "oil.air_gap".to_owned(),
            forks: BTreeSet::from(["a".to_owned()]),
        }
    }

    #[test]
    fn every_page_says_that_it_is_a_working_copy() {
        let html = dressed(PAGE, "index.html", &Seen::default());
        assert!(html.contains("<body class=\"x\"><div class=\"live-bar\""), "{html}");
        assert!(
            html.contains("Working copy, not published.") && html.contains("connect-src 'self'"),
            "{html}"
        );
        assert!(!html.contains("Out of date: the record"), "{html}");
    }

    #[test]
    fn a_finding_stands_below_its_value_on_its_own_forks_pages_alone() {
        let seen = Seen { error: true, findings: vec![told("<script>")], ..Seen::default() };
        let own = dressed(PAGE, "forks/a.html", &seen);
        assert!(own.contains("<td>1</td></tr><tr class=\"live-finding is-error\">"), "{own}");
        assert!(own.contains("&lt;script&gt;") && !own.contains("<script>"), "{own}");
        assert!(own.contains("Out of date: the record has an error"), "{own}");
        let other = dressed(PAGE, "forks/b.html", &seen);
        assert!(!other.contains("live-finding") && other.contains("Out of date"), "{other}");
    }

    #[test]
    fn only_numbers_of_the_fork_that_changed_are_struck() {
        let keys = Struck::Keys(BTreeSet::from(["oil.air_gap".to_owned()]));
        let gone = Gone {
            numbers: BTreeMap::from([("a".to_owned(), keys)]),
            tables: BTreeMap::from([("a".to_owned(), BTreeSet::from(["rod_nut.height".to_owned()]))]),
        };
        let seen = Seen { struck: gone, ..Seen::default() };
        assert!(style("forks/a.html", &seen).contains("tr[id=\"oil.air_gap\"] td"));
        assert!(!style("forks/b.html", &seen).contains("tr[id="));
        assert!(style("forks/b/full-service.html", &seen).contains("href$=\"forks/a.html#oil.air_gap\""));
        // On a card as well: the row of this value, and no other.
        let card = style("cards/a--full-service.html", &seen);
        assert!(card.contains(".card[data-fork=\"a\"] [data-key~=\"oil.air_gap\"] .val > *"), "{card}");
        assert!(!card.contains(".card[data-fork=\"a\"] .val"), "{card}");
        // Of what is worked out, the table that says something else now.
        assert!(card.contains(".card[data-fork=\"a\"] [data-key~=\"rod_nut.height\"] .corr td"), "{card}");
        assert!(!card.contains(".card[data-fork=\"a\"] .corr"), "{card}");
        let gone = Gone { numbers: BTreeMap::from([("a".to_owned(), Struck::All)]), ..Gone::default() };
        let all = Seen { struck: gone, ..Seen::default() };
        assert!(style("cards/a--full-service.html", &all).contains(".card[data-fork=\"a\"] .val > *"));
    }
}
