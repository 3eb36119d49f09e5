//! Makes a large made-up shop out of the demo shop, to measure with:
//! `cargo run --example make_shop -- --models 1000 --out DIR [--from SHOP] [--jobs 20000]`.
//!
//! Every fork of the new shop is one of the seed shop's forks under a new id, with machines of its own, and with
//! oil heights, oil volumes and torques that differ a little; second units are worked out anew so that they
//! agree. Everything else is copied. The same arguments make the same bytes.

use std::path::PathBuf;
use std::process::ExitCode;

mod jobs;
mod shop;

use jobs::make_jobs;
use shop::make_shop;

fn main() -> ExitCode {
    let (mut models, mut jobs) = (None, None);
    let mut out = None;
    let mut from = PathBuf::from(".");
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        match (word.as_str(), words.next()) {
            ("--models", Some(text)) => models = text.parse().ok(),
            ("--jobs", Some(text)) => jobs = text.parse::<usize>().ok(),
            ("--out", Some(text)) => out = Some(PathBuf::from(text)),
            ("--from", Some(text)) => from = PathBuf::from(text),
            _ => break,
        }
    }
    let (Some(models), Some(out)) = (models, out) else {
        eprintln!("Usage: make_shop --models N --out DIR [--from SHOP] [--jobs N]");
        return ExitCode::from(2);
    };
    let made = make_shop(&from, models, &out)
        .and_then(|()| jobs.map_or(Ok(()), |jobs| make_jobs(&out, jobs, jobs.div_ceil(4))));
    match made {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("Could not make a shop in {} from {}: {error}", out.display(), from.display());
            ExitCode::from(2)
        }
    }
}

#[cfg(test)]
mod tests {
    use benchleaf::check_shop;
    use benchleaf::text::Folder;

    use crate::shop::{make_shop, named, raised};

    #[test]
    fn a_made_up_shop_can_be_published() {
        let room = tempfile::tempdir().expect("a folder");
        make_shop(std::path::Path::new("."), 30, room.path()).expect("it is made");
        let checked = check_shop(&Folder { root: room.path().to_path_buf() });
        assert_eq!(checked.forks.len(), 30);
        assert!(!checked.has_errors(), "{:?}", checked.findings.first());
    }

    #[test]
    fn values_rise_with_their_twins_and_nothing_else_does() {
        for (line, unit, wanted) in [
            ("    value: 150 mm ± 4 mm (5.91 in)", "mm", "    value: 152 mm ± 4 mm (5.98 in)"),
            ("  dry_fill: {left: 430 mL, right: 428 mL}", "mL", "  dry_fill: {left: 432 mL, right: 430 mL}"),
            ("  a: 380 mL (13.4 imp fl oz)", "mL", "  a: 382 mL (13.4 imp fl oz)"),
            (
                "    value: \"22 N·m (2.2 kgf·m, 16 lbf·ft)\"",
                "N·m",
                "    value: \"24 N·m (2.4 kgf·m, 18 lbf·ft)\"",
            ),
            (
                "  d: {value: 3.5 N·m (2.6 lbf·ft), thread: M6 × 1}",
                "N·m",
                "  d: {value: 3.7 N·m (2.7 lbf·ft), thread: M6 × 1}",
            ),
            ("  r: ≤ 0.2 mm (0.008 in)", "mm", "  r: ≤ 0.2 mm (0.008 in)"),
            ("  s: 4.2 N/mm (24.0 lbf/in)", "mm", "  s: 4.2 N/mm (24.0 lbf/in)"),
            ("  x: 10 mm (3 furlongs)", "mm", "  x: 10 mm (3 furlongs)"),
        ] {
            assert_eq!(raised(line, unit, 2), wanted);
        }
    }

    #[test]
    fn models_and_machines_get_names_of_their_own() {
        assert_eq!(
            named("  - {maker: Brindlow, model: Post 125, years: 2010..2019}", 7),
            "  - {maker: Brindlow, model: Post 125 no. 7, years: 2010..2019}"
        );
        assert_eq!(named("    model: \"Post, 125\"", 7), "    model: \"Post, 125 no. 7\"");
        assert_eq!(named("model: D33", 7), "model: D33 no. 7");
    }
}
