//! What lies outside of the shop is not read, whatever leads there; what is no ordinary file is not opened; and what
//! lies inside may be reached by links.

use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::support::{PROGRAM, copy, here, run, text, write};

const SECRET: &str = "nobody-may-see-this-41";

/// A small shop, and a secret beside it.
fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    copy(&here("tests/shops/plain"), &folder.path().join("shop"));
    write(&folder.path().join("secret/tarn-47.yaml"), format!("id: tarn-47\nmaker: {SECRET}\n{SECRET}: 1\n"));
    folder
}

/// The findings of a shop, as places and sentences, after a look that nothing of the secret is told in any format.
fn findings(shop: &Path) -> Vec<(String, String)> {
    for format in ["text", "sarif", "github"] {
        let output = run(shop, &["check", "--format", format]);
        assert!(!text(&output.stdout).contains(SECRET), "the secret is told: {}", text(&output.stdout));
    }
    let output = run(shop, &["check", "--format", "json"]);
    assert!(!text(&output.stdout).contains(SECRET), "the secret is told");
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let list = json["findings"].as_array().expect("a list").iter();
    let word = |value: &serde_json::Value| value.as_str().expect("a text").to_owned();
    // The small shop's forks take over what nobody compared.
    let told = list.filter(|finding| finding["code"] != "inherited-not-compared");
    told.map(|finding| (word(&finding["path"]), word(&finding["message"]))).collect()
}

#[test]
fn a_link_out_of_the_shop_is_an_error_and_is_not_read() {
    for (target, link) in [
        ("../../../secret/tarn-47.yaml", "specs/forks/tarn-47.yaml"),
        ("/proc/self/environ", "specs/forks/tarn-48.yaml"),
        ("/etc/passwd", "procedures/cautions/users.md"),
        ("/etc/passwd", "templates/page.html"),
        ("/etc/passwd", "procedures/cap.png"),
        ("../../../secret/tarn-47.yaml", "specs/forks/cap.jpg"),
        ("../../../secret", "specs/forks/more"),
        ("/", "procedures/all"),
    ] {
        let folder = shop();
        let shop = folder.path().join("shop");
        let place = shop.join(link);
        std::fs::create_dir_all(place.parent().expect("a folder")).expect("a folder");
        symlink(target, &place).expect("a link");
        let findings = findings(&shop);
        assert_eq!(findings.len(), 1, "{link}: {findings:#?}");
        assert_eq!(findings[0].0, link);
        assert!(findings[0].1.contains("a link") && findings[0].1.contains("leads"), "{findings:#?}");
        assert_eq!(run(&shop, &["build", "--out", "out"]).status.code(), Some(1));
        assert!(!shop.join("out/index.html").exists(), "nothing is published");
    }
}

#[test]
fn a_whole_folder_of_sources_elsewhere_is_an_error() {
    let folder = shop();
    let shop = folder.path().join("shop");
    std::fs::rename(shop.join("specs"), folder.path().join("specs-elsewhere")).expect("moved");
    symlink("../specs-elsewhere", shop.join("specs")).expect("a link");
    let findings = findings(&shop);
    assert!(
        findings.iter().any(|(path, why)| path == "specs" && why.contains("out of the shop")),
        "{findings:#?}"
    );
}

#[test]
fn links_within_the_shop_and_a_shop_behind_a_link_work() {
    let folder = shop();
    let shop = folder.path().join("shop");
    std::fs::create_dir(shop.join("kept")).expect("a folder");
    std::fs::rename(shop.join("specs/oils"), shop.join("kept/oils")).expect("moved");
    symlink("../kept/oils", shop.join("specs/oils")).expect("a link");
    std::fs::rename(shop.join("specs/forks/tarn-41.yaml"), shop.join("kept/a.yaml")).expect("moved");
    symlink("../../kept/a.yaml", shop.join("specs/forks/tarn-41.yaml")).expect("a link");
    assert_eq!(findings(&shop), []);
    let behind = folder.path().join("behind");
    symlink("shop", &behind).expect("a link");
    assert_eq!(findings(&behind), []);
    let output = run(folder.path(), &["check", "behind"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
}

/// A pipe that nobody writes to would be waited for, for ever; the system ends the test if it is.
#[test]
fn pipes_and_devices_are_not_opened() {
    for (place, by_link) in [
        ("specs/forks/tarn-47.yaml", false),
        ("specs/forks/tarn-47.yaml", true),
        ("procedures/pipe.md", false),
    ] {
        let folder = shop();
        let shop = folder.path().join("shop");
        let pipe = if by_link { shop.join("pipe") } else { shop.join(place) };
        let made = Command::new("mkfifo").arg(&pipe).stdin(Stdio::null()).status().expect("mkfifo runs");
        assert!(made.success());
        if by_link {
            symlink("../../pipe", shop.join(place)).expect("a link");
        }
        for arguments in [&["check"][..], &["build", "--out", "out"], &["pull", "tarn-41:full-service"]] {
            let ended = Command::new("timeout")
                .args(["60", PROGRAM])
                .args(arguments)
                .current_dir(&shop)
                .stdin(Stdio::null())
                .output()
                .expect("it runs");
            assert!(matches!(ended.status.code(), Some(1 | 2)), "{arguments:?}: {:?}", ended.status);
        }
        assert_eq!(findings(&shop).len(), 1);
    }
}

/// Files of this kind say that they hold nothing, and hold something.
#[test]
fn the_size_a_file_system_tells_is_not_relied_on() {
    let folder = tempfile::tempdir().expect("a folder");
    copy(&here("tests/shops/plain"), &folder.path().join("shop"));
    // The whole of /proc as the shop's folder, so that what lies in it is inside.
    let read = |path: &str| {
        use benchleaf::text::Source;
        benchleaf::text::Folder { root: "/proc/self".into() }.read(path)
    };
    let limits = read("limits").expect("a file whose size is told as nothing");
    assert!(!limits.is_empty());
    assert!(
        read("mem").is_err() && read("fd/0").is_err(),
        "neither memory nor a channel is a file of a shop"
    );
}

#[test]
fn a_shop_without_end_is_read_up_to_its_limit() {
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path();
    copy(&here("tests/shops/plain"), shop);
    let forks = shop.join("specs/forks");
    for n in 0..=benchleaf::text::MOST_FILES {
        std::fs::write(forks.join(format!("z-{n}.txt")), "").expect("written");
    }
    let findings = findings(shop);
    let told = findings.iter().filter(|(path, why)| {
        path == "specs" && why.contains(&format!("more than {} files", benchleaf::text::MOST_FILES))
    });
    assert_eq!(told.count(), 1, "{findings:#?}");
    // Of bytes: holes in files, which take no room on disk.
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path();
    copy(&here("tests/shops/plain"), shop);
    for n in 0..65 {
        let file = std::fs::File::create(shop.join(format!("procedures/z-{n}.md"))).expect("a file");
        file.set_len(benchleaf::text::LARGEST).expect("a hole");
    }
    use benchleaf::text::Source;
    let (paths, problems) = benchleaf::text::Folder { root: shop.to_path_buf() }.list();
    assert!(paths.len() < 65 + 16, "{}", paths.len());
    assert!(problems.iter().any(|problem| problem.message.contains("256 MiB")), "{problems:?}");
}
