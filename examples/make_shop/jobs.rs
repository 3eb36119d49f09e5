//! The making of many jobs: those of a seed shop on other machines, each again on the days after.

use std::fs;
use std::io;
use std::path::Path;

/// How far a machine is ridden between two jobs, in kilometers.
const BETWEEN: u64 = 4000;

/// Replaces the jobs of a shop by `jobs` of them on `machines` machines: each machine comes again a day later, with
/// as much as was found and left in one of the shop's own jobs, and with more distance. Year and month stay, so that the
/// wrenches are as well calibrated as they were.
///
/// # Errors
/// A file cannot be read or written, or the shop has no jobs.
pub fn make_jobs(shop: &Path, jobs: usize, machines: usize) -> io::Result<()> {
    let folder = shop.join("specs/jobs");
    let mut seeds = Vec::new();
    for item in walkdir::WalkDir::new(&folder).sort_by_file_name() {
        let item = item?;
        if item.file_type().is_file() {
            seeds.push(fs::read_to_string(item.path())?);
        }
    }
    if seeds.is_empty() || machines == 0 {
        return Err(io::Error::new(io::ErrorKind::NotFound, "the shop has no files in specs/jobs"));
    }
    fs::remove_dir_all(&folder)?;
    for number in 0..jobs {
        let (machine, time) = (number % machines, number / machines);
        let seed = &seeds[machine % seeds.len()];
        let text = again(seed, &frame(machine as u64), time as u64);
        let year = seed.split_once("\ndate: \"").and_then(|(_, day)| day.get(..4)).unwrap_or("2024");
        let at = folder.join(year);
        fs::create_dir_all(&at)?;
        fs::write(at.join(format!("{:05}.yaml", number + 1)), text)?;
    }
    Ok(())
}

/// A job on another day, on another machine, which has been ridden further.
fn again(seed: &str, frame: &str, time: u64) -> String {
    let mut text = String::with_capacity(seed.len() + 16);
    for line in seed.lines() {
        let (key, value) = line.split_once(": ").unwrap_or((line, ""));
        let changed = match key {
            "date" => format!("date: {}-{:02}\"", value.get(..8).unwrap_or_default(), 1 + time % 28),
            "machine" => match value.split_once("frame: ") {
                Some((before, _)) => format!("machine: {before}frame: \"{frame}\"}}"),
                None => line.to_owned(),
            },
            "distance" => match value.split_once(' ').map(|(far, unit)| (far.parse::<u64>(), unit)) {
                Some((Ok(far), unit)) => format!("distance: {} {unit}", far + time * BETWEEN),
                _ => line.to_owned(),
            },
            // It was another card on some of these days.
            "card" => continue,
            _ => line.to_owned(),
        };
        text.push_str(&changed);
        text.push('\n');
    }
    text
}

/// The end of a frame number, in which two machines differ in most places: multiplied by a number without a factor
/// in common with the count of all such ends, each machine has its own.
fn frame(machine: u64) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRSTUVWXYZ0123456789";
    let mut rest = (machine + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    (0..8)
        .map(|_| {
            let letter = LETTERS[(rest % 33) as usize] as char;
            rest /= 33;
            letter
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_job_comes_again_with_its_readings_on_another_machine() {
        let seed = "fork: a\nmachine: {maker: B, model: C 7, frame: \"X1\"}\ndate: \"2024-02-24\"\ncard: PEAA-J80G\ndistance: 9210 km\nfound:\n  setup.sag_static: 26 mm\n";
        assert_eq!(
            super::again(seed, "Q7", 3),
            "fork: a\nmachine: {maker: B, model: C 7, frame: \"Q7\"}\ndate: \"2024-02-04\"\ndistance: 21210 km\nfound:\n  setup.sag_static: 26 mm\n"
        );
    }
}
