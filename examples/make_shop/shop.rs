//! The making of a shop: forks of a seed shop under other names and with slightly other numbers.

use std::fs;
use std::io;
use std::path::Path;

/// Seeds whose cards have no room for the mark of a fork that nobody has reviewed, as every fork that is made here.
const LEFT_OUT: [&str; 1] = ["velmora-a48"];

/// What is made of one fork of the seed shop, under the name that it has there.
const OF_ONE_FORK: [&str; 2] = ["specs/builds", "specs/valvings"];

/// Makes a shop of `models` forks in `out`, which must be empty or absent, from the shop in `from`.
///
/// # Errors
/// A file cannot be read or written, the seed shop has no forks, or `out` holds something.
pub fn make_shop(from: &Path, models: usize, out: &Path) -> io::Result<()> {
    fs::create_dir_all(out)?;
    if fs::read_dir(out)?.next().is_some() {
        return Err(io::Error::new(io::ErrorKind::AlreadyExists, "the folder is not empty"));
    }
    let mut seeds = Vec::new();
    for folder in ["specs", "procedures"] {
        let root = from.join(folder);
        if !root.is_dir() {
            continue;
        }
        for item in walkdir::WalkDir::new(&root).sort_by_file_name() {
            let item = item?;
            let within = item.path().strip_prefix(from).map_err(io::Error::other)?;
            if OF_ONE_FORK.iter().any(|folder| within.starts_with(folder)) {
                continue;
            }
            if item.file_type().is_dir() {
                fs::create_dir_all(out.join(within))?;
            } else if within.starts_with("specs/forks") && within.extension() == Some("yaml".as_ref()) {
                let id = item.path().file_stem().unwrap_or_default().to_string_lossy().into_owned();
                if !LEFT_OUT.contains(&id.as_str()) {
                    seeds.push((id, fs::read_to_string(item.path())?));
                }
            } else if within != Path::new("specs/released.yaml") {
                fs::copy(item.path(), out.join(within))?;
            }
        }
    }
    if seeds.is_empty() {
        return Err(io::Error::new(io::ErrorKind::NotFound, "the shop has no files in specs/forks"));
    }
    for (number, (id, text)) in seeds.iter().cycle().take(models).enumerate() {
        let id_here = format!("{id}-{number:05}");
        fs::write(out.join(format!("specs/forks/{id_here}.yaml")), vary(text, &id_here, number))?;
    }
    Ok(())
}

/// How much the values of one fork are raised, in units of their last written place. One step for each kind
/// of value, so that what was less, equal or within a difference stays so.
struct Steps {
    length: u64,
    volume: u64,
    torque: u64,
}

/// A fork record under another id and with its numbers changed a little.
fn vary(text: &str, id: &str, number: usize) -> String {
    let mut random = Numbers::new(number as u64);
    let steps = Steps { length: random.below(4), volume: random.below(5), torque: random.below(2) };
    let mut section = "";
    let mut key = "";
    let mut varied = String::with_capacity(text.len() + 64);
    for line in text.lines() {
        let depth = line.len() - line.trim_start().len();
        let name = line.trim_start().split(':').next().unwrap_or_default();
        match depth {
            0 => section = name,
            2 => key = name,
            _ => {}
        }
        // Nobody has reviewed the fork that is made here.
        if section == "reviewed" {
            continue;
        }
        let changed = match (section, depth) {
            ("id", 0) => format!("id: {id}"),
            ("model", 0) => named(line, number),
            ("machines", 1..) => named(line, number),
            ("oil", 2..) if is_value(line, depth) && !key.ends_with("_difference") => {
                raised(&raised(line, "mm", steps.length), "mL", steps.volume)
            }
            ("torque", 2..) if is_value(line, depth) => raised(line, "N·m", steps.torque),
            _ => line.to_string(),
        };
        varied.push_str(&changed);
        varied.push('\n');
    }
    varied
}

/// Whether a line holds a field's value: on the field's own line, or on a line of its own below it.
fn is_value(line: &str, depth: usize) -> bool {
    let name = line.trim_start().split(':').next().unwrap_or_default();
    depth == 2 || matches!(name, "value" | "left" | "right")
}

/// A line with the model it names made distinct.
pub fn named(line: &str, number: usize) -> String {
    let Some(at) = line.find("model: ").map(|at| at + "model: ".len()) else { return line.to_string() };
    let (before, rest) = line.split_at(at);
    let end = match rest.strip_prefix('"') {
        Some(quoted) => 1 + quoted.find('"').unwrap_or(quoted.len()),
        None => rest.find([',', '}']).unwrap_or(rest.len()),
    };
    let (name, after) = rest.split_at(end);
    format!("{before}{name} no. {number}{after}")
}

/// What one of a twin's units is in the unit it stands beside: international inch and pound, standard gravity,
/// US and imperial fluid ounce (NIST SP 811, appendix B.8).
fn factor(unit: &str, twin: &str) -> Option<f64> {
    Some(match (unit, twin) {
        ("mm", "in") => 25.4,
        ("mL", "US fl oz") => 29.573_529_562_5,
        ("mL", "imp fl oz") => 28.413_062_5,
        ("N·m", "lbf·ft") => 1.355_817_948_331_400_4,
        ("N·m", "lbf·in") => 0.112_984_829_027_616_7,
        ("N·m", "kgf·m") => 9.806_65,
        _ => return None,
    })
}

/// A line in which every value in a unit is raised by some steps of its last place, and its twins with it.
/// Tolerances and limits stay; so does a value whose twins cannot be worked out.
pub fn raised(line: &str, unit: &str, steps: u64) -> String {
    let mut done = String::with_capacity(line.len());
    let mut rest = line;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let end = start
            + rest[start..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len() - start);
        let number = &rest[start..end];
        done.push_str(&rest[..start]);
        let free = done.trim_end().ends_with([':', '"', '{', ',', '[']);
        match after_unit(&rest[end..], unit).filter(|_| free).and_then(|after| {
            let value = raise(number, steps)?;
            let (tail, after) = twins(after, unit, value)?;
            Some((format!("{} {unit}{tail}", value.text(places(number))), after))
        }) {
            Some((text, after)) => {
                done.push_str(&text);
                rest = after;
            }
            None => {
                done.push_str(number);
                rest = &rest[end..];
            }
        }
    }
    done.push_str(rest);
    done
}

/// A number with a text of any number of places.
#[derive(Clone, Copy)]
struct Number(f64);

impl Number {
    fn text(self, places: usize) -> String {
        format!("{:.places$}", self.0)
    }
}

fn places(number: &str) -> usize {
    number.split_once('.').map_or(0, |(_, fraction)| fraction.len())
}

fn raise(number: &str, steps: u64) -> Option<Number> {
    let step = 10f64.powi(-i32::try_from(places(number)).ok()?);
    Some(Number(number.parse::<f64>().ok()? + step * steps as f64))
}

/// What follows ` unit`, if the text begins with that.
fn after_unit<'a>(text: &'a str, unit: &str) -> Option<&'a str> {
    let after = text.strip_prefix(' ')?.strip_prefix(unit)?;
    (!after.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '·' | '²'))).then_some(after)
}

/// A value's tolerance as it stands and its twins worked out anew, and what follows them.
fn twins<'a>(text: &'a str, unit: &str, value: Number) -> Option<(String, &'a str)> {
    let open = text.find('(').filter(|&at| {
        let between = text[..at].trim();
        between.is_empty() || between.starts_with('±')
    });
    let Some(open) = open else { return Some((String::new(), text)) };
    let close = open + text[open..].find(')')?;
    let mut anew = Vec::new();
    for twin in text[open + 1..close].split(", ") {
        let (number, twin_unit) = twin.split_once(' ')?;
        let twin_value = Number(value.0 / factor(unit, twin_unit)?);
        anew.push(format!("{} {twin_unit}", twin_value.text(places(number))));
    }
    Some((format!("{}({})", &text[..open], anew.join(", ")), &text[close + 1..]))
}

/// Numbers that look random and are the same on every run (xorshift, G. Marsaglia, J. Stat. Softw. 8(14), 2003).
struct Numbers(u64);

impl Numbers {
    fn new(seed: u64) -> Numbers {
        let mut numbers = Numbers(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..4 {
            numbers.below(1);
        }
        numbers
    }

    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % limit
    }
}
