//! Correct but unusual edits, read from `UNUSUAL.md`.

use crate::mistake::Change;
use crate::world::World;

/// One edit.
pub struct Edit {
    pub title: String,
    pub changes: Vec<Change>,
}

/// Every edit; what no longer fits the demo shop is told.
pub fn all(world: &World) -> Result<Vec<Edit>, String> {
    let mut out: Vec<Edit> = Vec::new();
    let mut lines = include_str!("UNUSUAL.md").lines();
    while let Some(line) = lines.next() {
        if let Some(title) = line.strip_prefix("### ") {
            out.push(Edit { title: title.to_owned(), changes: Vec::new() });
        }
        let block = lines.by_ref();
        let Some((what, path)) = line.strip_prefix("```").and_then(|head| head.split_once(' ')) else {
            continue;
        };
        let body: Vec<&str> = block.take_while(|line| !line.starts_with("```")).collect();
        let Some(edit) = out.last_mut() else { return Err(format!("no title before {path}")) };
        let change = match what {
            "change" => changed(world, path, &body),
            "file" => {
                let text = body.join("\n") + "\n";
                Ok(Change { path: path.to_owned(), range: 0..0, place: 0..0, text })
            }
            _ => Err(format!("`{what}` is no block")),
        };
        edit.changes.push(change.map_err(|why| format!("{}: {why}", edit.title))?);
    }
    Ok(out)
}

/// Lines that stay begin with two blanks, lines that go with `- `, lines that come with `+ `.
fn changed(world: &World, path: &str, body: &[&str]) -> Result<Change, String> {
    let side = |mark: char| {
        let kept = body.iter().filter(|line| line.starts_with([' ', mark]));
        kept.map(|line| line.get(2..).unwrap_or_default().to_owned() + "\n").collect::<String>()
    };
    let (old, new) = (side('-'), side('+'));
    let bytes = world.memory.files.get(path).ok_or(format!("there is no {path}"))?;
    let text = String::from_utf8_lossy(bytes).into_owned();
    let mut found = text.match_indices(&old);
    match (found.next(), found.next()) {
        (Some((at, _)), None) => {
            let range = at..at + old.len();
            Ok(Change { path: path.to_owned(), place: range.clone(), range, text: new })
        }
        (Some(_), Some(_)) => Err(format!("stands twice in {path}: {old}")),
        (None, _) => Err(format!("no longer stands in {path}: {old}")),
    }
}
