//! Faults of the disk, met by the program itself: a disk that is full, one that is read-only, two runs at once.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::Command;

use crate::support::{FORK, Shop};

/// Runs the program in a shell that lets no file grow beyond some blocks of 512 bytes: writing on gives an error, as on
/// a full disk.
fn run_with_little_room(shop: &Shop, blocks: u32, arguments: &str) -> (i32, String) {
    let program = env!("CARGO_BIN_EXE_benchleaf");
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"{program}\" {arguments}");
    let output = Command::new("sh").args(["-c", &script]).current_dir(shop.root()).output().unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

#[test]
fn on_a_full_disk_the_old_site_and_the_old_record_stay() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["build"]).status, 0);
    let page = fs::read(shop.at("site/index.html")).unwrap();
    let record = fs::read(shop.at(FORK)).unwrap();
    let settings = fs::read_to_string(shop.at("specs/shop.yaml")).unwrap();
    fs::write(shop.at("specs/shop.yaml"), settings.replace("Harbour Row 3", "Harbour Row 4")).unwrap();
    for blocks in [0, 1, 4, 16] {
        let (status, error) = run_with_little_room(&shop, blocks, "build");
        assert_eq!(status, 2, "{blocks}: {error}");
        assert!(error.contains("site/.benchleaf"), "says where: {error}");
        assert_eq!(fs::read(shop.at("site/index.html")).unwrap(), page, "{blocks}");
    }
    let approve = "approve tarn-41 --by 'A. Wren' --date 2026-05-04";
    let (status, error) = run_with_little_room(&shop, 0, approve);
    assert_eq!(status, 1, "{error}");
    assert!(error.contains("tarn-41.yaml"), "says where: {error}");
    assert_eq!(fs::read(shop.at(FORK)).unwrap(), record);
    let (status, error) = run_with_little_room(&shop, 0, "new fork another --like tarn-41");
    assert_eq!(status, 2, "{error}");
    assert!(!shop.at("specs/forks/another.yaml").exists());
    // With room again, all of it is done.
    assert_eq!(shop.run(&["build"]).status, 0);
    assert_ne!(fs::read(shop.at("site/index.html")).unwrap(), page);
    assert_eq!(shop.run(&["new", "fork", "another", "--like", "tarn-41"]).status, 0);
}

#[test]
fn what_may_not_be_written_is_refused_by_name() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["build"]).status, 0);
    fs::set_permissions(shop.at(FORK), fs::Permissions::from_mode(0o444)).unwrap();
    let record = fs::read(shop.at(FORK)).unwrap();
    let answer = shop.run(&["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(answer.status, 1, "{}", answer.error);
    assert!(answer.error.contains("tarn-41.yaml may not be written"), "{}", answer.error);
    assert_eq!(fs::read(shop.at(FORK)).unwrap(), record);
}

#[test]
fn no_folder_of_gits_own_is_written_to() {
    let shop = Shop::new();
    fs::create_dir_all(shop.at(".git/hooks")).unwrap();
    for arguments in [
        &["build", "--out", ".git/site"][..],
        &["build", "--out", ".git"],
        &["schema", "--out", ".git/hooks"],
        &["man", ".git/hooks"],
        &["new", "shop", ".git/hooks"],
    ] {
        let answer = shop.run(arguments);
        assert_eq!(answer.status, 2, "{arguments:?}: {}", answer.error);
        assert!(answer.error.contains("git's own files"), "{arguments:?}: {}", answer.error);
    }
    let files = walkdir::WalkDir::new(shop.at(".git"))
        .into_iter()
        .filter(|item| item.as_ref().is_ok_and(|item| item.file_type().is_file()));
    assert_eq!(files.count(), 0);
}

#[test]
fn a_build_that_finds_errors_clears_up_after_one_that_was_killed() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["build"]).status, 0);
    fs::create_dir(shop.at("site/.benchleaf/stage")).unwrap();
    fs::write(shop.at("site/.benchleaf/stage/0"), "half").unwrap();
    // Up to date: there is nothing to publish.
    assert_eq!(shop.run(&["build"]).status, 0);
    assert!(!shop.at("site/.benchleaf/stage").exists());
    fs::create_dir(shop.at("site/.benchleaf/stage")).unwrap();
    fs::write(shop.at("site/.benchleaf/inputs.json.new"), "half").unwrap();
    fs::write(shop.at(FORK), "id: tarn-41\n").unwrap();
    assert_eq!(shop.run(&["build"]).status, 1);
    assert!(!shop.at("site/.benchleaf/stage").exists());
    assert!(!shop.at("site/.benchleaf/inputs.json.new").exists());
}
