//! A scalar of a tree as a value, with what the reader of values says of it.

use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{FieldSpec, Value, read_value};
use crate::syntax::yaml::{Node, Tree};

/// Reads a scalar as a value and turns the reader's troubles into findings at their places.
pub(super) fn read(
    wanted: &FieldSpec<'_>,
    node: &Node,
    text: &str,
    findings: &mut Vec<Finding>,
) -> Option<Value> {
    let Tree::Scalar { text: written, plain } = &node.value else { return None };
    // A number without quotes where a word is due has been refused by the schema already.
    let (value, troubles) = read_value(written, wanted);
    // `true` is the one word that every reader takes alike.
    let truth = matches!(&value, Some(Value::Choice(_))) && matches!(written.as_str(), "true" | "false");
    if *plain && !truth && value.is_some() && crate::syntax::yaml::other_readers_differ(written) {
        findings.push(
            rules::YAML_AMBIGUOUS
                .at(node.span, format!("another YAML reader may take `{written}` for something else"))
                .bench("what an editor or another tool shows may differ from what is printed here")
                .instead(format!("put it in quotes: `\"{written}\"`")),
        );
    }
    for trouble in troubles {
        let span = node.part(trouble.range.clone(), text);
        findings.push(
            trouble
                .rule
                .graded(trouble.severity, span, trouble.message)
                .bench(trouble.bench)
                .instead(trouble.instead),
        );
    }
    debug_assert!(value.is_some() || findings.iter().any(|f| f.severity == Severity::Error));
    value
}
