//! The kinds of record, and where each is kept.

/// What a source file holds, told by its folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecordKind {
    /// `specs/shop.yaml`.
    Shop,
    /// `specs/forks/*.yaml`.
    Fork,
    /// `specs/families/*.yaml`.
    Family,
    /// `specs/oils/*.yaml`.
    Oil,
    /// `specs/tools/*.yaml`.
    Tool,
    /// `procedures/*.md`.
    Procedure,
    /// `procedures/services/*.yaml`.
    Service,
    /// `procedures/cautions/*.md`.
    Caution,
    /// `procedures/conditions.yaml`.
    Conditions,
    /// `specs/released.yaml`.
    Released,
}

impl RecordKind {
    /// Every kind, in the order a person meets them.
    pub const ALL: [RecordKind; 10] = [
        RecordKind::Shop,
        RecordKind::Fork,
        RecordKind::Family,
        RecordKind::Oil,
        RecordKind::Tool,
        RecordKind::Procedure,
        RecordKind::Service,
        RecordKind::Caution,
        RecordKind::Conditions,
        RecordKind::Released,
    ];

    /// What a person calls it.
    pub fn word(self) -> &'static str {
        match self {
            RecordKind::Shop => "shop",
            RecordKind::Fork => "fork",
            RecordKind::Family => "family",
            RecordKind::Oil => "oil",
            RecordKind::Tool => "tool",
            RecordKind::Procedure => "procedure",
            RecordKind::Service => "service",
            RecordKind::Caution => "caution",
            RecordKind::Conditions => "conditions",
            RecordKind::Released => "released",
        }
    }

    /// The folder it is kept in, and its file ending.
    pub fn home(self) -> (&'static str, &'static str) {
        match self {
            RecordKind::Shop => ("specs", "yaml"),
            RecordKind::Fork => ("specs/forks", "yaml"),
            RecordKind::Family => ("specs/families", "yaml"),
            RecordKind::Oil => ("specs/oils", "yaml"),
            RecordKind::Tool => ("specs/tools", "yaml"),
            RecordKind::Procedure => ("procedures", "md"),
            RecordKind::Service => ("procedures/services", "yaml"),
            RecordKind::Caution => ("procedures/cautions", "md"),
            RecordKind::Conditions => ("procedures", "yaml"),
            RecordKind::Released => ("specs", "yaml"),
        }
    }

    /// The kind of record at a path; `None` for a file that is no record.
    pub fn of(path: &str) -> Option<RecordKind> {
        match path {
            "specs/shop.yaml" => return Some(RecordKind::Shop),
            "procedures/conditions.yaml" => return Some(RecordKind::Conditions),
            "specs/released.yaml" => return Some(RecordKind::Released),
            _ => {}
        }
        let (folder, name) = path.rsplit_once('/')?;
        let ending = name.rsplit_once('.')?.1;
        let alone = |kind: &RecordKind| {
            matches!(kind, RecordKind::Shop | RecordKind::Conditions | RecordKind::Released)
        };
        RecordKind::ALL.into_iter().find(|kind| !alone(kind) && kind.home() == (folder, ending))
    }
}

/// A file's name without folder and ending.
pub(crate) fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}
