//! The machines a fork is fitted to.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::Deserialize;

use super::text::{Placed, Text, loose_schema};
use crate::diagnostic::{Finding, rules};
use crate::text::Span;

/// A machine a fork is fitted to, with the years it covers.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Machine {
    /// Who made the machine.
    pub maker: String,
    /// The model.
    pub model: String,
    /// First and last year; [`STILL_MADE`] as the last where it is still made.
    pub years: (u16, u16),
    /// What can be seen on the machine where another fork was fitted in the same years; empty where there is none.
    pub seen: String,
    /// Where it is written.
    pub span: Span,
}

/// The last year of a model that is still made: after every year that can be written.
pub const STILL_MADE: u16 = 2200;

/// A machine as it is written.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct MachineHead {
    /// Who made the machine.
    maker: String,
    /// The machine's model.
    model: String,
    /// One year, first and last with two points between, or the first and two points for a model that is still made.
    #[schemars(schema_with = "loose_schema", extend("examples" = ["…", "…..…", "….."]))]
    years: Text,
    /// Where another fork was fitted in the same years: what can be seen on the machine, such as the lower clamp's size.
    seen: Option<String>,
}

/// The machines with years that can be read. One that lacks a key has been refused by the schema.
pub(super) fn machines(written: Vec<Placed<MachineHead>>, findings: &mut Vec<Finding>) -> Vec<Machine> {
    let mut machines = Vec::new();
    for Placed { value: MachineHead { maker, model, years, seen }, span } in written {
        if maker.is_empty() || model.is_empty() || years.span == Span::default() {
            continue;
        }
        match read_years(&years.text) {
            Some(years) => machines.push(Machine {
                maker,
                model,
                years,
                seen: seen.unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" "),
                span,
            }),
            None => findings.push(
                rules::YEARS_UNREADABLE
                    .at(years.span, format!("`{}` is no year or range of years", years.text))
                    .bench("the wrong model year brings the wrong numbers")
                    .instead("write one year, such as `\"2018\"`, or first and last, such as `2016..2019`; `2018..` for a model that is still made"),
            ),
        }
    }
    machines
}

/// Reads `2018`, `2016..2019` or `2018..`, 1900 to 2199, first not after last.
pub(crate) fn read_years(text: &str) -> Option<(u16, u16)> {
    let year = |text: &str| {
        let text = text.trim();
        let digits = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
        text.parse::<u16>().ok().filter(|year| digits && (1900..2200).contains(year))
    };
    let (first, last) = text.split_once("..").unwrap_or((text, text));
    let open = text.contains("..") && last.trim().is_empty();
    let (first, last) = (year(first)?, if open { STILL_MADE } else { year(last)? });
    (first <= last).then_some((first, last))
}
