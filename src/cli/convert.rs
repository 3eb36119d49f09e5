//! `benchleaf convert`

use std::io::Write;
use std::process::ExitCode;

use crate::text::in_json;
use serde_json::json;

use super::print;
use super::shop::Stop;
use crate::calc::{self, Reading};

#[derive(clap::Args)]
#[command(after_help = "Example:\n  benchleaf convert \"430 mL\" --to \"imp fl oz\"\n  15.13 imp fl oz")]
pub(super) struct Arguments {
    /// The value with its unit, as a record writes it
    #[arg(value_name = "VALUE", allow_hyphen_values = true)]
    value: String,
    /// Its unit, where it is written without quotes
    #[arg(value_name = "UNIT", num_args = 0..=3)]
    unit: Vec<String>,
    /// The unit to convert to; every usual unit of the dimension when left out
    #[arg(long, value_name = "UNIT")]
    to: Option<String>,
    /// Write JSON, for scripts
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let written = [&arguments.value].into_iter().chain(&arguments.unit).map(String::as_str);
    let written = written.collect::<Vec<_>>().join(" ");
    let readings = calc::convert(&written, arguments.to.as_deref())
        .map_err(|refusal| Stop::Said(refusal.to_string()))?;
    if arguments.json {
        print::exact(&as_json(&readings))?;
    } else {
        write!(print::out(), "{}", as_text(&readings, arguments.to.is_some()))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// Plain spaces: a terminal's user copies what stands there.
fn plain(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
}

fn as_text(readings: &[Reading], one_unit: bool) -> String {
    let mut out = String::new();
    let several = readings.len() > 1;
    for reading in readings {
        let head = plain(&reading.quantity.shown());
        for (at, (_, text, _)) in reading.values.iter().enumerate() {
            match (one_unit, several) {
                (true, false) => {}
                (true, true) => out.push_str(&format!("{head} = ")),
                (false, _) if at == 0 => out.push_str(&format!("{head}\n  ")),
                (false, _) => out.push_str("  "),
            }
            out.push_str(&plain(text));
            out.push('\n');
        }
    }
    out
}

fn as_json(readings: &[Reading]) -> String {
    let list: Vec<_> = readings
        .iter()
        .map(|reading| {
            let values: Vec<_> = reading
                .values
                .iter()
                .map(|(unit, text, value)| json!({"unit": unit.symbol, "text": plain(text), "value": value}))
                .collect();
            json!({
                "read_as": plain(&reading.quantity.shown()),
                "dimension": reading.quantity.dimension().id(),
                "values": values,
            })
        })
        .collect();
    in_json(&format!("{:#}\n", json!({"readings": list}))).into_owned()
}
