//! The frame of a page of jobs, and its tables.

use crate::words::escape;

/// The style of every page of jobs.
const STYLE: &str = include_str!("jobs.css");

/// A page: title, the way back to its folder's top, and its body.
pub(super) fn page(title: &str, root: &str, body: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><meta name=\"robots\" content=\"noindex\"><title>{title}</title><style>{STYLE}</style></head><body><nav class=\"no-print\"><a href=\"{root}index.html\">What is due</a> <a href=\"{root}evidence.html\">Evidence</a></nav><main><h1>{title}</h1>\n{body}</main></body></html>\n",
        title = escape(title),
    )
}

/// A table of texts; nothing where it has no row.
pub(super) fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let head: String = heads.iter().map(|head| format!("<th scope=\"col\">{}</th>", escape(head))).collect();
    let row = |cells: &Vec<String>| {
        let cells = cells.iter().enumerate().map(|(at, cell)| match at {
            0 => format!("<th scope=\"row\">{cell}</th>"),
            _ => format!("<td>{cell}</td>"),
        });
        format!("<tr>{}</tr>\n", cells.collect::<String>())
    };
    let rows: String = rows.iter().map(row).collect();
    format!(
        "<div class=\"wide\"><table><thead><tr>{head}</tr></thead><tbody>\n{rows}</tbody></table></div>\n"
    )
}

/// A day, in one piece.
pub(super) fn day(text: &str) -> String {
    format!("<span class=\"day\">{}</span>", escape(text))
}

/// A link.
pub(super) fn link(href: &str, text: &str) -> String {
    format!("<a href=\"{}\">{}</a>", escape(href), escape(text))
}

/// A list; nothing where it is empty.
pub(super) fn list(items: &[String]) -> String {
    if items.is_empty() {
        return String::new();
    }
    let items: String = items.iter().map(|item| format!("<li>{item}</li>")).collect();
    format!("<ul>{items}</ul>\n")
}

/// A heading with what stands below it; nothing where nothing does.
pub(super) fn part(title: &str, body: &str) -> String {
    if body.is_empty() { String::new() } else { format!("<h2>{}</h2>\n{body}", escape(title)) }
}
