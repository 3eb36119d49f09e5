//! One fork is asked about: everything its pages and cards rest on is told, and nothing else; and whoever asks for what
//! is not there is told what there is.

use super::support::{copy_shop, edit, run};

/// A mistake in what a fork's card is made of is a mistake of the fork's, wherever it stands.
#[test]
fn a_fork_is_asked_about_with_all_that_its_pages_and_cards_rest_on() {
    for (path, old, new) in [
        ("specs/forks/tarn-41.yaml", "stroke: 118 mm", "stroke: 118"),
        ("specs/families/tarn-road.yaml", "rebound: 10 clicks", "rebound: 10"),
        ("specs/oils/ember-15.yaml", "density_15: 851 kg/m³", "density_15: 851"),
        ("specs/tools/gap-gauge.yaml", "kind: tool", "kind: tol"),
        ("specs/shop.yaml", "bench_temperature: 20 °C", "bench_temperature: 20"),
        ("procedures/close-leg.md", "phase: rebuild", "phase: rebuilt"),
        ("procedures/cautions/trapped-air.md", "signal: caution", "signal: beware"),
        ("procedures/services/full-service.yaml", "time: 3 h", "time: 3"),
    ] {
        let dir = tempfile::tempdir().unwrap();
        copy_shop(dir.path());
        edit(dir.path(), path, old, new);
        let told = run(dir.path(), &["check", "tarn-41", "--format", "short"]);
        assert_eq!(told.code, 1, "{path}: {}", told.out);
        assert!(
            told.out.lines().any(|line| line.starts_with(path) && line.contains(" error ")),
            "{}",
            told.out
        );
    }
    // What no page of this fork comes to.
    for (path, old, new) in [
        ("specs/forks/tarn-45.yaml", "status: published", "status: finished"),
        ("procedures/spare.md", "", "---\nid: spare\ntitle: Spare\nphase: nonsense\n---\n\n1. Look.\n"),
        ("specs/oils/other-oil.yaml", "", "id: other-oil\nmaker: Marrow\nproduct: Other\nstatus: nonsense\n"),
    ] {
        let dir = tempfile::tempdir().unwrap();
        copy_shop(dir.path());
        if old.is_empty() {
            std::fs::write(dir.path().join(path), new).unwrap();
        } else {
            edit(dir.path(), path, old, new);
        }
        assert_eq!(run(dir.path(), &["check"]).code, 1, "{path}");
        let told = run(dir.path(), &["check", "tarn-41", "--format", "short"]);
        assert_eq!(told.code, 0, "{path}: {}", told.out);
        assert!(!told.out.contains(path) && told.out.contains("left out"), "{path}: {}", told.out);
    }
}

/// A newcomer does not know what things are called here: each refusal names what there is.
#[test]
fn who_asks_for_what_is_not_there_is_told_what_there_is() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    for (arguments, wanted) in [
        (
            &["new", "fork", "mine", "--like", "tarn-road"][..],
            "is a family: name one of its forks: tarn-41, tarn-45",
        ),
        (&["new", "fork", "mine", "--like", "tarn"], "name one of tarn-41, tarn-45"),
        (&["new", "fork", "mine", "--like", "ulm"], "name a fork of this shop by its id"),
        (&["pull", "tarn-41:full-servis"], "did you mean `full-service`?"),
        (&["pull", "tarn-41:paint"], "write tarn-41:full-service"),
        (
            &["pull", "tarn-41", "tarn-45:full-service"],
            "`tarn-41` names no service: write tarn-41:full-service",
        ),
        (&["explain", "no-such-rule"], "for the list of rules"),
    ] {
        let told = run(dir.path(), arguments);
        assert_eq!(told.code, 2, "{arguments:?}: {}{}", told.out, told.err);
        assert!(told.err.contains(wanted), "{arguments:?}: {}", told.err);
    }
}
