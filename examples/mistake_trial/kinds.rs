//! The kinds of mistakes, read from the table in `KINDS.md`.

/// What a kind counts for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counts {
    Contradicts,
    Guard,
    Plausible,
}

impl Counts {
    pub const ALL: [Counts; 3] = [Counts::Contradicts, Counts::Guard, Counts::Plausible];

    pub fn word(self) -> &'static str {
        match self {
            Counts::Contradicts => "contradicts",
            Counts::Guard => "guard",
            Counts::Plausible => "plausible",
        }
    }
}

/// A row of the table.
pub struct Kind {
    pub name: &'static str,
    pub counts: Counts,
    /// `None` where the catalogue says it of each value.
    pub hurts: Option<bool>,
}

/// Every kind, in the order of the table; what is wrong with the table where something is.
pub fn all() -> Result<Vec<Kind>, String> {
    let rows = include_str!("KINDS.md").lines().filter(|line| line.starts_with("| "));
    let mut out = Vec::new();
    for row in rows.filter(|row| !row.starts_with("| Kind ")) {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").map(str::trim).collect();
        let [name, _, counts, hurts] = cells[..] else { return Err(format!("not four cells: {row}")) };
        let counts = Counts::ALL.into_iter().find(|kind| kind.word() == counts);
        let hurts = match hurts {
            "yes" => Some(true),
            "no" => Some(false),
            "by value" => None,
            _ => return Err(format!("can hurt? {row}")),
        };
        out.push(Kind { name, counts: counts.ok_or_else(|| format!("counts for? {row}"))?, hurts });
    }
    Ok(out)
}
