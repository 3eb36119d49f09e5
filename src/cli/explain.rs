//! `benchleaf explain`

use std::io::Write;
use std::process::ExitCode;

use super::print;
use super::shop::{Stop, width};
use crate::check::pages::page;
use crate::diagnostic::{Rule, did_you_mean, rules};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The rule's code, as it stands behind a finding; without it every code is listed
    #[arg(value_name = "RULE")]
    rule: Option<String>,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let mut out = print::out();
    let Some(words) = &arguments.rule else {
        for rule in rules::ALL {
            writeln!(out, "{}", rule.code)?;
        }
        return Ok(ExitCode::SUCCESS);
    };
    // It may be copied from a finding: `error bare-number:`, `Rule bare-number`.
    let code = words.split_whitespace().next_back().unwrap_or_default().trim_end_matches(':');
    let rule = Rule::named(code).ok_or_else(|| {
        let hint = did_you_mean(code, rules::ALL.iter().map(|rule| rule.code), || {
            "run `benchleaf explain` alone for the list of rules".to_owned()
        });
        Stop::Said(format!("there is no rule `{code}`: {hint}"))
    })?;
    if rule.code != code {
        writeln!(out, "`{code}` is now called `{}`.\n", rule.code)?;
    }
    for line in page(rule).lines() {
        // Headings as a terminal shows them; the rest is prose.
        let line = line.trim_start_matches('#').trim_start();
        if line.is_empty() {
            writeln!(out)?;
        }
        for part in textwrap::wrap(line, width().min(80)) {
            writeln!(out, "{}", part.trim_end())?;
        }
    }
    Ok(ExitCode::SUCCESS)
}
