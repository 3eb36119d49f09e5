//! The machines a fork is fitted to.

use crate::diagnostic::{Finding, rules};
use crate::syntax::yaml::Node;
use crate::text::Span;

/// A machine a fork is fitted to, with the years it covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Who made the machine.
    pub maker: String,
    /// The model.
    pub model: String,
    /// First and last year.
    pub years: (u16, u16),
    /// Where it is written.
    pub span: Span,
}

pub(super) fn machines(root: &Node, findings: &mut Vec<Finding>) -> Vec<Machine> {
    let mut out = Vec::new();
    for item in root.get("machines").map_or(&[][..], Node::items) {
        let (Some(maker), Some(model), Some(years)) =
            (item.text_of("maker"), item.text_of("model"), item.get("years"))
        else {
            continue;
        };
        let written = years.text().unwrap_or_default();
        match read_years(written) {
            Some(range) => out.push(Machine {
                maker: maker.to_owned(),
                model: model.to_owned(),
                years: range,
                span: item.span,
            }),
            None => findings.push(
                rules::YEARS_UNREADABLE
                    .at(years.span, format!("`{written}` is no year or range of years"))
                    .bench("the wrong model year brings the wrong numbers")
                    .instead("write one year, such as `\"2018\"`, or first and last, such as `2016..2019`"),
            ),
        }
    }
    out
}

/// Reads `2018` or `2016..2019`, 1900 to 2199, first not after last.
pub(crate) fn read_years(text: &str) -> Option<(u16, u16)> {
    let year = |text: &str| {
        let text = text.trim();
        let digits = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
        text.parse::<u16>().ok().filter(|year| digits && (1900..2200).contains(year))
    };
    let (first, last) = text.split_once("..").unwrap_or((text, text));
    let (first, last) = (year(first)?, year(last)?);
    (first <= last).then_some((first, last))
}
