//! A bound on what is told: so many findings of one rule in one file, so much text in each.

use super::finding::Finding;

/// The most findings of one rule that are told in one file. Whoever has mended so many runs the check again.
const MOST: usize = 100;

/// The longest text of a finding, in characters: enough for any sentence, and for any name in it.
const LONGEST: usize = 1_200;

/// Keeps the first findings of each rule in each file, says at the next one's place how many more there are, and cuts
/// texts that quote too much. The findings are in their order, so that those of one file stand together.
pub(crate) fn limit(findings: Vec<Finding>) -> Vec<Finding> {
    let mut kept: Vec<Finding> = Vec::with_capacity(findings.len().min(100_000));
    // How many there are of each rule in the file that is gone through, and where the rest is told.
    let mut counts: std::collections::BTreeMap<_, (usize, Option<usize>)> = std::collections::BTreeMap::new();
    let mut file = None;
    for finding in findings {
        if file != Some(finding.span.file) {
            (file, counts) = (Some(finding.span.file), std::collections::BTreeMap::new());
        }
        let (count, rest) = counts.entry((finding.code(), finding.severity)).or_default();
        *count += 1;
        match rest {
            None if *count > MOST => {
                *rest = Some(kept.len());
                kept.push(Finding { also: Vec::new(), lines: Vec::new(), ..cut(finding) });
            }
            None => kept.push(cut(finding)),
            Some(at) => {
                let more = *count - MOST;
                let rest_finding = &mut kept[*at];
                rest_finding.message =
                    format!("{more} more like the {MOST} before, from here on, are not told");
                rest_finding.bench = "each of them would be told alone".to_owned();
                rest_finding.instead = "mend those that are told, and check again".to_owned();
            }
        }
    }
    kept
}

/// A finding without the middle of texts that are too long to be read.
fn cut(mut finding: Finding) -> Finding {
    let texts = [&mut finding.message, &mut finding.bench, &mut finding.instead];
    let more = finding.also.iter_mut().map(|label| &mut label.text).chain(finding.lines.iter_mut());
    texts.into_iter().chain(more).for_each(cut_text);
    finding
}

fn cut_text(text: &mut String) {
    if text.len() <= LONGEST {
        return;
    }
    let half = |at: usize| (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let (start, end) = (half(LONGEST * 2 / 3), half(text.len() - LONGEST / 3));
    *text = format!("{} […] {}", &text[..start], &text[end..]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Rule;
    use crate::text::{FileId, Span};

    #[test]
    fn the_rest_is_counted_for_each_rule_and_file() {
        let at = |rule, file, at| {
            Finding::new(rule, crate::diagnostic::Severity::Error, Span::new(FileId(file), at, at), "x")
        };
        let (a, b) = (Rule::invented("bare-number"), Rule::invented("unknown-key"));
        let mut findings: Vec<Finding> = (0..250).map(|n| at(a, 0, n)).collect();
        findings.push(at(b, 0, 250));
        findings.extend((0..MOST).map(|n| at(a, 1, n)));
        findings.extend((0..=MOST).map(|n| at(a, 2, n)));
        let kept = limit(findings);
        let count = |file| kept.iter().filter(|finding| finding.span.file == FileId(file)).count();
        assert_eq!((count(0), count(1), count(2)), (MOST + 2, MOST, MOST + 1));
        assert!(kept[MOST].message.starts_with("150 more"), "{}", kept[MOST].message);
        // One more than is told is told as itself.
        assert_eq!(kept.last().expect("one").message, "x");
    }

    #[test]
    fn a_long_text_keeps_its_beginning_and_its_end() {
        let mut text = format!("begin {} end", "é".repeat(100_000));
        cut_text(&mut text);
        assert!(
            text.starts_with("begin é") && text.ends_with("é end") && text.len() < LONGEST + 20,
            "{}",
            text.len()
        );
    }
}
