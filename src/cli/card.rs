//! `benchleaf card`

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use super::print;
use super::shop::{Stop, checked};
use crate::book::Book;
use crate::card::content;
use crate::review::{Answer, CardNow, Fate, look_up};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Codes as they are printed on cards, in any capitals, with or without the hyphen
    #[arg(required = true, value_name = "CODE")]
    codes: Vec<String>,
    /// The shop's folder
    #[arg(long, default_value = ".", value_name = "DIR")]
    shop: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let checked = checked(&arguments.shop)?;
    if checked.has_errors() {
        return Err(Stop::Said(
            "the shop has errors, so nobody can say which cards are right: run `benchleaf check`".to_owned(),
        ));
    }
    let now = content::cards(&Book::new(&checked));
    let mut out = print::out();
    let mut all_current = true;
    for text in &arguments.codes {
        let answer = look_up(text, &checked.shop.released.cards, &now);
        all_current &= matches!(answer, Answer::Current(..));
        match answer {
            Answer::NoCode => {
                let shown: String =
                    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
                writeln!(
                    out,
                    "{shown}: no code: a code has eight letters and digits in two groups, such as 7H2K-9QWD"
                )?;
            }
            Answer::Unknown(code) => {
                writeln!(
                    out,
                    "{code}: unknown: no card is current or was released under this code; do not work from it"
                )?;
            }
            Answer::Current(code, cards) => {
                for CardNow { fork, service, card, .. } in cards {
                    let what = if *card == code { "card" } else { "values" };
                    writeln!(out, "{code}: current: {what} of {fork}, {service}")?;
                }
            }
            Answer::Superseded(code, cards) => {
                for (old, fate) in cards {
                    let was =
                        format!("{}, {}, released on {}", old.fork.text, old.service.text, old.date.text);
                    let now = match fate {
                        // Its values' code was typed, and those changed back and forth.
                        Fate::Current(card) => format!("the card is {}", card.card),
                        Fate::Replaced { now, same_values: true } => {
                            format!(
                                "the card is now {}; steps or cautions changed, the numbers did not",
                                now.card
                            )
                        }
                        Fate::Replaced { now, .. } => {
                            format!("the card is now {}; its numbers changed", now.card)
                        }
                        Fate::Gone => "there is no such card any more".to_owned(),
                    };
                    writeln!(out, "{code}: superseded: {was}: {now}")?;
                }
            }
        }
    }
    out.flush()?;
    Ok(ExitCode::from(u8::from(!all_current)))
}
