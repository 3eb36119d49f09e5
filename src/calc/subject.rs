//! A subject of the arithmetic as a command: what it takes, and a worked line.

use super::asked::{Asked, Input};
use super::sheet::{Refusal, Sheet};
use crate::resolve::Resolved;

/// The widest line of an example, so that a terminal of eighty columns does not break it.
const WIDEST: usize = 74;

/// One calculation.
#[derive(Clone, Copy)]
pub struct Subject {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it works out.
    pub about: &'static str,
    /// What it takes.
    pub inputs: &'static [Input],
    /// A worked example: the options.
    pub example: &'static [&'static str],
    /// A line that the example prints.
    pub shows: &'static str,
    /// Works it out.
    pub(super) run: fn(&Asked) -> Result<Sheet, Refusal>,
}

impl Subject {
    /// Works it out.
    ///
    /// # Errors
    /// Everything that is needed and not there, at once; else why it cannot be worked out.
    pub fn work(&self, asked: &Asked) -> Result<Sheet, Refusal> {
        let done = (self.run)(asked);
        let lacking = asked.lacking.borrow();
        if lacking.is_empty() {
            done.map(|sheet| resting(asked, sheet))
        } else {
            Err(Refusal(lacking.join("\n")))
        }
    }

    /// The example as it is typed, over several lines where one would be longer than a terminal is wide.
    pub fn typed(&self) -> String {
        let mut lines = vec![format!("benchleaf calc {}", self.name)];
        for option in self.example.chunks(2) {
            let words: Vec<String> = option
                .iter()
                .map(|word| if word.contains(' ') { format!("\"{word}\"") } else { (*word).to_owned() })
                .collect();
            let words = words.join(" ");
            match lines.last_mut() {
                Some(line) if line.chars().count() + words.chars().count() < WIDEST => {
                    line.push(' ');
                    line.push_str(&words);
                }
                _ => lines.push(format!("  {words}")),
            }
        }
        lines.join(" \\\n  ")
    }
}

/// Says of a sheet what it rests on in a fork's record; what was given in place of it does not count.
fn resting(asked: &Asked, mut sheet: Sheet) -> Sheet {
    let Some(fork) = asked.fork else { return sheet };
    let given = asked.inputs.iter().filter(|input| asked.was_given(input.name));
    let given: Vec<&str> = given.flat_map(|input| input.keys).map(|key| key.name()).collect();
    for key in fork.used.borrow().iter().filter(|key| !given.contains(&key.as_str())) {
        let Some(field) = fork.shop.catalogue.find(key) else { continue };
        if fork.fork.is_uncompared(field) {
            sheet.taken_over.push(key.clone());
        }
        if fork.fork.on(fork.side, field).is_some_and(Resolved::is_estimate) {
            sheet.estimates.push(key.clone());
        }
    }
    sheet
}
