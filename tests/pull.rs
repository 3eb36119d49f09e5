//! For the apprentice at the shelf: what a job takes, and several jobs together.

use std::path::Path;

use benchleaf::pull::{NoSuchJob, PullList, csv, pull, text};
use benchleaf::text::{Folder, Memory, Source};
use benchleaf::{Checked, check_shop};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The base shop `plain` with a step that pours the dry fill, and seals that take their size from the fork.
fn plain() -> Checked {
    plain_with("[set-air-gap, close-leg]")
}

/// The same, its service running these procedures.
fn plain_with(procedures: &str) -> Checked {
    let folder = Folder { root: root().join("tests/shops/plain") };
    let (paths, _) = folder.list();
    let mut shop = Memory::new(paths.into_iter().map(|path| (path.clone(), folder.read(&path).unwrap())));
    let step = shop.files.get_mut("procedures/close-leg.md").unwrap();
    let mut written = String::from_utf8(step.clone()).unwrap();
    written =
        written.replace("tools: [torque-wrench]", "tools: [torque-wrench]\nconsumables: [seals, washer]");
    written.push_str("\n2. Pour in the [dry fill](spec:oil.dry_fill).\n");
    *step = written.into_bytes();
    let service = shop.files.get_mut("procedures/services/full-service.yaml").unwrap();
    let text = String::from_utf8(service.clone()).unwrap().replace("[set-air-gap, close-leg]", procedures);
    *service = text.into_bytes();
    let mut tool = |id: &str, more: &str| {
        let text = format!("id: {id}\ntitle: {id}\nkind: consumable\nuse: tries\nunit: pieces\n{more}\n");
        shop.files.insert(format!("specs/tools/{id}.yaml"), text.into_bytes());
    };
    tool("seals", "each_leg: 1\nsized_by: seals.oil_seal");
    tool("washer", "each_leg: 2");
    let checked = check_shop(&shop);
    assert!(!checked.has_errors());
    checked
}

fn list(checked: &Checked, jobs: &[(&str, &str)]) -> Result<PullList, NoSuchJob> {
    let jobs: Vec<_> =
        jobs.iter().map(|(fork, service)| ((*fork).to_owned(), (*service).to_owned())).collect();
    pull(&checked.shop, &checked.forks, &jobs)
}

fn parts(list: &PullList) -> Vec<(&str, Option<&str>, Option<u64>)> {
    list.parts.iter().map(|part| (part.title.as_str(), part.size.as_deref(), part.count)).collect()
}

/// By hand: 2 × 430 mL and 2 × 486 mL, 5 % waste, bottles of 1 L.
#[test]
fn oil_is_summed_over_legs_and_jobs_before_waste_and_bottles() {
    let shop = plain();
    let one = list(&shop, &[("tarn-41", "full-service")]).unwrap();
    let oil = &one.oils[0];
    assert_eq!((oil.amount_ml, oil.with_waste_ml), (860, 903));
    assert_eq!(oil.bottles, [(1000, 1)]);
    let both = list(&shop, &[("tarn-41", "full-service"), ("tarn-45", "full-service")]).unwrap();
    let oil = &both.oils[0];
    assert_eq!((oil.amount_ml, oil.with_waste_ml), (1832, 1924));
    assert_eq!(oil.bottles, [(1000, 2)]);
    assert_eq!(both.oils.len(), 1);
}

#[test]
fn like_adds_only_with_like() {
    let shop = plain();
    let same = list(&shop, &[("tarn-41", "full-service"), ("tarn-41", "full-service")]).unwrap();
    assert_eq!(parts(&same), [("seals", Some("41 × 54 × 11 mm"), Some(4)), ("washer", None, Some(8))]);
    let other = list(&shop, &[("tarn-41", "full-service"), ("tarn-45", "full-service")]).unwrap();
    assert_eq!(
        parts(&other),
        [
            ("seals", Some("41 × 54 × 11 mm"), Some(2)),
            ("seals", Some("45 × 57 × 11 mm"), Some(2)),
            ("washer", None, Some(8)),
        ]
    );
}

#[test]
fn a_job_that_cannot_be_is_refused() {
    let shop = plain();
    for (job, why) in [
        (("tarn-14", "full-service"), "no fork `tarn-14`"),
        (("tarn-41", "half-service"), "no service `half-service`"),
    ] {
        let refusal = list(&shop, &[job]).unwrap_err().to_string();
        assert!(refusal.contains(why), "{refusal}");
    }
    let demo = check_shop(&Folder { root: root().to_path_buf() });
    let refusal = list(&demo, &[("velmora-a48", "full-service")]).unwrap_err().to_string();
    assert!(refusal.contains("is not for"), "{refusal}");
}

/// Every fork and service of the demo shop: nothing is left uncounted, and one thing stands on one line.
#[test]
fn the_demo_shop_can_be_pulled_for_whole() {
    let demo = check_shop(&Folder { root: root().to_path_buf() });
    let mut jobs = Vec::new();
    for fork in demo.forks.iter().filter(|fork| !fork.record.draft) {
        let services = demo.shop.services_for(&fork.choices);
        jobs.extend(services.map(|service| (fork.id.clone(), service.id.text.clone())));
    }
    let all = pull(&demo.shop, &demo.forks, &jobs).unwrap();
    assert_eq!(all.missing, Vec::<String>::new());
    assert_eq!(all.minutes(), all.jobs.iter().map(|job| job.minutes).sum());
    let single: u64 = jobs
        .iter()
        .flat_map(|job| pull(&demo.shop, &demo.forks, std::slice::from_ref(job)).unwrap().parts)
        .filter_map(|part| part.count)
        .sum();
    assert_eq!(all.parts.iter().filter_map(|part| part.count).sum::<u64>(), single);
    let mut names: Vec<_> = all.parts.iter().map(|part| (&part.title, &part.size)).collect();
    names.dedup();
    assert_eq!(names.len(), all.parts.len());
    for line in text(&all).lines().chain(csv(&all).lines()) {
        assert!(!line.trim().is_empty());
    }
}

/// Work that is done on one leg takes the parts and the oil of one leg.
#[test]
fn one_leg_takes_the_half() {
    let shop = plain_with("[set-air-gap, {do: close-leg, legs: right}]");
    let one = list(&shop, &[("tarn-41", "full-service")]).unwrap();
    assert_eq!(parts(&one), [("seals", Some("41 × 54 × 11 mm"), Some(1)), ("washer", None, Some(2))]);
    assert_eq!(one.oils[0].amount_ml, 430);
}

/// Two things on the shelf that are called alike are still two things.
#[test]
fn things_of_one_name_and_two_records_are_not_added() {
    let shop = plain();
    let one = list(&shop, &[("tarn-41", "full-service")]).unwrap();
    let ids: Vec<_> = one.parts.iter().map(|part| part.tool.as_deref()).collect();
    assert_eq!(ids, [Some("seals"), Some("washer")]);
}

/// By hand: 2 × 430 mL poured, and 2 × 25 mL rinsed with the same oil.
#[test]
fn oil_that_a_procedure_takes_beside_the_record_is_counted() {
    let folder = Folder { root: root().join("tests/shops/plain") };
    let (paths, _) = folder.list();
    let mut shop = Memory::new(paths.into_iter().map(|path| (path.clone(), folder.read(&path).unwrap())));
    let step = shop.files.get_mut("procedures/close-leg.md").unwrap();
    let written = String::from_utf8(step.clone()).unwrap();
    let written = written.replace("time: 10 min", "time: 10 min\nwaiting: 15 min\npours: 25 mL");
    *step = format!("{written}\n2. Pour in the [dry fill](spec:oil.dry_fill).\n").into_bytes();
    let checked = check_shop(&shop);
    let one = list(&checked, &[("tarn-41", "full-service")]).unwrap();
    assert_eq!(one.oils[0].amount_ml, 910);
    assert_eq!((one.jobs[0].minutes, one.jobs[0].waiting), (Some(180), 15));
    assert!(text(&one).contains("3 h 00 min, 0 h 15 min waiting"));
}

/// The demo shop's gas fork: four caliper bolts that are used once, and a clip for each leg; another fork keeps both.
#[test]
fn what_must_be_new_is_counted_piece_by_piece() {
    let demo = check_shop(&Folder { root: root().to_path_buf() });
    let counts = |fork: &str| {
        let list = list(&demo, &[(fork, "full-service")]).unwrap();
        let count =
            |title: &str| list.parts.iter().find(|part| part.title == title).and_then(|part| part.count);
        (count("New bolt: brake caliper bolts"), count("New seal clip"))
    };
    assert_eq!(counts("tarnholm-g43"), (Some(4), Some(2)));
    assert_eq!(counts("tarnholm-u45"), (None, None));
}

/// A kit is ordered once: the seals that it holds are not counted beside it. Washers that it does not hold are.
#[test]
fn what_a_kit_holds_is_not_ordered_beside_it() {
    let demo = check_shop(&Folder { root: root().to_path_buf() });
    let all = list(&demo, &[("brackwater-d33", "full-service")]).unwrap();
    let count = |title: &str| all.parts.iter().find(|part| part.title == title).and_then(|part| part.count);
    assert_eq!(count("Seal kit"), Some(2));
    assert_eq!((count("Oil seals"), count("Dust seals")), (None, None));
    assert_eq!(count("Bottom-bolt sealing washers"), Some(2));
    // Without the word nobody knows what is in the kit.
    let plain = list(&demo, &[("brackwater-d37", "full-service")]).unwrap();
    assert!(plain.parts.iter().any(|part| part.title == "Oil seals"));
}

/// The medium wrench of the demo shop ran out before its last card was released; the light one is in date.
#[test]
fn a_wrench_that_is_out_of_calibration_says_so_at_the_shelf() {
    let checked = check_shop(&Folder { root: root().to_path_buf() });
    let list = list(&checked, &[("velmora-a48", "air-spring")]).unwrap();
    let said = |id: &str| {
        let tool = list.tools.iter().find(|line| line.tool.as_deref() == Some(id));
        tool.unwrap_or_else(|| panic!("{id} is not on the list")).out_since.clone()
    };
    assert_eq!(said("torque-wrench-medium").as_deref(), Some("2026-11-04"));
    assert_eq!(said("torque-wrench-light"), None);
    let printed = text(&list);
    let line = printed.lines().find(|line| line.contains("Medium torque wrench")).unwrap();
    assert!(line.ends_with("; OUT OF CALIBRATION since 2026-11-04"), "{line}");
}
