//! Ways a record can be written, each with a review added: every other byte stays, or nothing is done.

use benchleaf::approve::NotRecorded;
use benchleaf::check_shop;
use benchleaf::diagnostic::Severity;
use benchleaf::review::Standing;
use proptest::prelude::*;

use crate::{FORK, review, shop_with, standing, text_of};

/// What must become of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Must {
    /// A review is added.
    Take,
    /// It is refused with a sentence, or with the record's own errors.
    Refuse,
}
use Must::{Refuse, Take};

/// A review that is there already, of another value, as `approve` writes it.
fn earlier() -> String {
    let done = review(&shop_with(FORK, &text_of(FORK)), &["spring.mass".to_owned()]).expect("a review");
    let text = done.text.expect("a new text");
    text[text.find("reviewed:").expect("the review")..].to_owned()
}

fn shapes() -> Vec<(&'static str, Must, String)> {
    let base = text_of(FORK);
    let cut = base.trim_end_matches('\n').to_owned();
    let earlier = earlier();
    let flow = {
        // `- by: A. Wren` and so on, as one mapping in braces.
        let lines: Vec<&str> =
            earlier.lines().skip(1).map(|line| line.trim().trim_start_matches("- ")).collect();
        let [by, date, _, value, digest] = lines.as_slice() else { panic!("{earlier}") };
        format!("{{{by}, {date}, values: {{{value}}}, {digest}}}")
    };
    let at_other_indent = |by: usize| {
        let lines = earlier.lines().enumerate();
        let moved =
            lines.map(
                |(n, line)| {
                    if n == 0 { line.to_owned() } else { format!("{}{}", " ".repeat(by), &line[2..]) }
                },
            );
        moved.collect::<Vec<_>>().join("\n") + "\n"
    };
    let in_the_middle = |text: &str| base.replacen("seals:\n", &format!("{text}seals:\n"), 1);
    vec![
        ("as it is", Take, base.clone()),
        ("Windows line ends", Take, base.replace('\n', "\r\n")),
        ("no line end at the end", Take, cut.clone()),
        ("Windows line ends, none at the end", Take, cut.replace('\n', "\r\n")),
        ("a byte order mark", Take, format!("\u{feff}{base}")),
        ("a byte order mark and Windows line ends", Take, format!("\u{feff}{}", base.replace('\n', "\r\n"))),
        ("a comment at the end", Take, format!("{base}# Measured again in spring.\n")),
        ("a comment at the end without a line end", Take, format!("{base}# Measured again in spring.")),
        ("an indented comment at the end", Take, format!("{base}    # The seals come in pairs.\n")),
        ("blank lines at the end", Take, format!("{base}\n\n\n")),
        ("blanks at the end without a line end", Take, format!("{base}   ")),
        ("a document start", Take, format!("---\n{base}")),
        ("a directive and a document start", Take, format!("%YAML 1.2\n---\n{base}")),
        ("a document end", Take, format!("{base}...\n")),
        ("a document end without a line end", Take, format!("{base}...")),
        ("a comment after the document end", Take, format!("{base}...\n# That is all.\n")),
        ("points that are no document end", Take, format!("{base}notes: |\n  first\n  ...\n  last\n")),
        ("tabs in comments", Take, base.replace("spring:\n", "spring:\t# the\tlong\tone\n\t\n")),
        ("a very long line", Take, format!("{base}notes: {}\n", "long ".repeat(20_000).trim())),
        ("letters of several scripts", Take, format!("{base}notes: Überprüft – 検査済み – проверено 🛠\n")),
        ("an empty list in brackets", Take, format!("{base}reviewed: []\n")),
        ("an empty list with a comment", Take, format!("{base}reviewed: [ ]  # nobody yet\n")),
        ("an empty list over two lines", Take, format!("{base}reviewed: [ # nobody yet\n  ]\n")),
        ("an empty list in the middle", Take, in_the_middle("reviewed: []\n")),
        ("a key with nothing after it", Take, format!("{base}reviewed:\n")),
        ("a key with nothing after it, without a line end", Take, format!("{base}reviewed:")),
        ("a key with a comment after it, in the middle", Take, in_the_middle("reviewed:   # nobody yet\n")),
        ("an earlier review", Take, format!("{base}{earlier}")),
        ("an earlier review in the middle", Take, in_the_middle(&earlier)),
        ("an earlier review without a line end", Take, format!("{base}{}", earlier.trim_end())),
        ("an earlier review, Windows line ends", Take, format!("{base}{earlier}").replace('\n', "\r\n")),
        ("a list that is not indented", Take, format!("{base}{}", at_other_indent(0))),
        ("a list that is indented far", Take, format!("{base}{}", at_other_indent(7))),
        (
            "a comment after the last entry",
            Take,
            format!("{base}{earlier}  # look at the seals too\n# end\n"),
        ),
        ("a comment behind the last entry", Take, format!("{base}{} # by hand? no\n", earlier.trim_end())),
        ("a dash on a line of its own", Take, format!("{base}{}", earlier.replace("  - by", "  -\n    by"))),
        ("an entry in braces in a list of lines", Take, format!("{base}reviewed:\n  - {flow}\n")),
        ("an entry in braces in brackets", Take, format!("{base}reviewed: [{flow}]\n")),
        (
            "brackets over several lines, with a comma at the end",
            Take,
            format!("{base}reviewed: [\n  {flow}, # first\n]\n"),
        ),
        ("a key in quotes", Take, format!("{base}\"reviewed\": []\n")),
        ("all keys in quotes", Take, base.replace("\noil:", "\n\"oil\":").replace("\nseals:", "\n'seals':")),
        (
            "a record that is indented",
            Take,
            base.lines()
                .map(|line| if line.is_empty() { "\n".to_owned() } else { format!("  {line}\n") })
                .collect(),
        ),
        ("a text in lines at the end", Take, format!("{base}notes: |\n  one\n  two\n")),
        ("a folded text at the end", Take, format!("{base}notes: >-\n  one\n  two\n")),
        ("a folded text at the end without a line end", Take, format!("{base}notes: >-\n  one\n  two")),
        ("a text that keeps its blank lines", Take, format!("{base}notes: |+\n  one\n\n\n")),
        ("a long text in quotes at the end", Take, format!("{base}notes: \"one\n  two\n  three\"\n")),
        ("a long text without quotes at the end", Take, format!("{base}notes: one\n  two\n  three\n")),
        ("two kinds of line ends", Take, base.replacen('\n', "\r\n", 9)),
        ("a text in lines that has no line end", Take, format!("{base}notes: |\n  one\n  two")),
        ("a record in braces", Refuse, braces(&base)),
        ("no list but a sign for nothing", Refuse, format!("{base}reviewed: ~\n")),
        ("no list but the word for nothing", Refuse, format!("{base}reviewed: null\n")),
        ("a text where the list should be", Refuse, format!("{base}reviewed: yes\n")),
        ("a mapping where the list should be", Refuse, format!("{base}reviewed: {{by: A. Wren}}\n")),
        ("a key with a question mark", Refuse, format!("{base}? reviewed\n: - {flow}\n")),
        ("an anchor", Refuse, base.replace("stroke: 118 mm", "stroke: &s 118 mm")),
        ("a tab as indentation", Refuse, base.replace("  stroke:", "\tstroke:")),
        ("two documents", Refuse, format!("{base}---\nid: other\n")),
        (
            "the marks of a merge",
            Refuse,
            base.replace(
                "  stroke: 118 mm\n",
                "<<<<<<< ours\n  stroke: 118 mm\n=======\n  stroke: 120 mm\n>>>>>>> theirs\n",
            ),
        ),
        ("a key twice", Refuse, format!("{base}reviewed: []\nreviewed: []\n")),
        ("an unseen character", Refuse, format!("{base}notes: one\u{200b}two\n")),
    ]
}

/// The record as one mapping in braces, which is YAML as well.
fn braces(text: &str) -> String {
    let mut findings = Vec::new();
    let mut all = benchleaf::text::Files::default();
    let file = all.add(FORK, text);
    let tree = benchleaf::syntax::yaml::read(file, text, &mut findings).expect("YAML");
    format!("{}\n", tree.json())
}

/// The one stretch that is new; the rest must be the old text.
fn added<'t>(old: &str, new: &'t str) -> &'t str {
    let first = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
    let more = new.len() - old.len();
    // The stretch may begin anywhere among bytes that repeat; it is enough that one place fits.
    let at = (0..=first).rev().find(|at| {
        new.is_char_boundary(*at) && new.is_char_boundary(at + more) && old[*at..] == new[at + more..]
    });
    let at = at.unwrap_or_else(|| panic!("more than one stretch was changed:\n{new}"));
    assert_eq!(&old[..at], &new[..at]);
    &new[at..at + more]
}

#[test]
fn every_shape_keeps_every_other_byte_or_is_refused() {
    let shapes = shapes();
    assert!(shapes.len() >= 25);
    for (name, must, old) in shapes {
        let shop = shop_with(FORK, &old);
        let done = review(&shop, &[]);
        match (must, done) {
            (Take, Ok(approval)) => {
                let new = approval.text.unwrap_or_else(|| panic!("{name}: nothing was added"));
                let added = added(&old, &new);
                assert!(added.contains("by: A. Wren") && added.contains("2026-05-04"), "{name}: {added}");
                assert_eq!(old.ends_with('\n'), new.ends_with('\n'), "{name}: the end of the text");
                if old.contains("\r\n") && !name.starts_with("two kinds") {
                    assert_eq!(new.matches('\n').count(), new.matches("\r\n").count(), "{name}: line ends");
                } else if !old.contains('\r') {
                    assert!(!new.contains('\r'), "{name}: line ends");
                }
                let after = check_shop(&shop_with(FORK, &new));
                let errors: Vec<_> =
                    after.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
                assert!(errors.is_empty(), "{name}: {errors:?}");
                for key in &approval.covered {
                    let standing = standing(&after, key);
                    // What it is made of is its family's, and waits to be compared.
                    let as_it_is = match key.as_str() {
                        "choices" => *standing == Standing::NotCompared,
                        _ => matches!(standing, Standing::Reviewed(_)),
                    };
                    assert!(as_it_is, "{name}: {key} is {standing:?}");
                }
            }
            (Refuse, Err(NotRecorded::Sentence(why))) => assert!(why.len() > 20, "{name}: {why}"),
            (Refuse, Err(NotRecorded::Findings(found))) => assert!(!found.is_empty(), "{name}"),
            (must, done) => panic!("{name}: {must:?}, but {done:?}"),
        }
    }
}

/// Lines and bits that change how YAML is read, or that an editor, a person or git may leave in a record.
const BITS: [&str; 26] = [
    "\n",
    "\r\n",
    "\r",
    " ",
    "\t",
    "# a note\n",
    "  # a note\n",
    " # a note",
    "---\n",
    "...\n",
    "...",
    "notes: |\n  one\n",
    "notes: >+\n  one\n\n",
    "reviewed: []\n",
    "reviewed:\n",
    "reviewed:\n- {}\n",
    "reviewed: [{by: A. Wren}]\n",
    "\"",
    "'",
    "{",
    "[",
    "- ",
    ": ",
    "é検🛠",
    "\u{feff}",
    "? x\n",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever stands in a record, a review is added as one stretch and is then in force, or nothing is done.
    #[test]
    fn a_spoilt_record_keeps_every_other_byte_or_is_refused(
        spoilt in proptest::collection::vec((0..60usize, 0..BITS.len(), any::<bool>()), 1..4),
        reviewed in any::<bool>(),
        crlf in any::<bool>(),
    ) {
        let mut old = if reviewed { format!("{}{}", text_of(FORK), earlier()) } else { text_of(FORK) };
        for (line, bit, at_end) in spoilt {
            let starts: Vec<usize> = std::iter::once(0).chain(old.match_indices('\n').map(|(at, _)| at + 1)).collect();
            let start = starts[line % starts.len()];
            let end = old[start..].find('\n').map_or(old.len(), |n| start + n);
            old.insert_str(if at_end { end } else { start }, BITS[bit]);
        }
        if crlf {
            old = old.replace("\r\n", "\n").replace('\n', "\r\n");
        }
        if let Ok(approval) = review(&shop_with(FORK, &old), &["oil.air_gap".to_owned()]) {
            let new = approval.text.expect("a new review");
            prop_assert!(added(&old, &new).contains("2026-05-04"));
            let after = check_shop(&shop_with(FORK, &new));
            prop_assert!(matches!(standing(&after, "oil.air_gap"), Standing::Reviewed(_)), "{new}");
        }
    }
}
