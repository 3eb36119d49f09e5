//! The kinds of record: one table says where each is kept and what its schema is called.

use borsh::{BorshDeserialize, BorshSerialize};

/// Where the records of a kind are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Home {
    /// Each in a file of its own in this folder, with this ending.
    Folder(&'static str, &'static str),
    /// Each in a file of its own, in a folder for each year below this one, with this ending.
    ByYear(&'static str, &'static str),
    /// One for the shop, in this file.
    File(&'static str),
}

/// What is known of a kind of record before one is read.
struct Row {
    word: &'static str,
    home: Home,
    schema_file: &'static str,
    title: &'static str,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident $word:literal in $home:expr, called $title:literal;)*) => {
        /// What a source file holds, told by its folder.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, BorshSerialize, BorshDeserialize)]
        pub enum RecordKind {
            $($(#[$doc])* $kind,)*
        }

        impl RecordKind {
            /// Every kind, in the order a person meets them.
            pub const ALL: [RecordKind; [$($word),*].len()] = [$(RecordKind::$kind),*];

            fn row(self) -> Row {
                match self {
                    $(RecordKind::$kind => Row {
                        word: $word,
                        home: $home,
                        schema_file: concat!($word, ".schema.json"),
                        title: $title,
                    },)*
                }
            }
        }
    };
}

kinds! {
    /// `specs/shop.yaml`.
    Shop "shop" in Home::File("specs/shop.yaml"), called "The shop's own choices";
    /// `specs/forks/*.yaml`.
    Fork "fork" in Home::Folder("specs/forks", "yaml"), called "A fork model";
    /// `specs/families/*.yaml`.
    Family "family" in Home::Folder("specs/families", "yaml"), called "What several fork models share";
    /// `specs/oils/*.yaml`.
    Oil "oil" in Home::Folder("specs/oils", "yaml"), called "A fork oil";
    /// `specs/springs/*.yaml`.
    Spring "spring" in Home::Folder("specs/springs", "yaml"), called "A spring of the stock";
    /// `specs/builds/*.yaml`.
    Build "build" in Home::Folder("specs/builds", "yaml"), called "A fork set up for one machine and use";
    /// `specs/valvings/*.yaml`.
    Valving "valving" in Home::Folder("specs/valvings", "yaml"), called "Shim stacks as found and as changed";
    /// `specs/tools/*.yaml`.
    Tool "tool" in Home::Folder("specs/tools", "yaml"), called "A tool or a consumable";
    /// `procedures/*.md`.
    Procedure "procedure" in Home::Folder("procedures", "md"), called "The head of a procedure";
    /// `procedures/services/*.yaml`.
    Service "service" in Home::Folder("procedures/services", "yaml"),
        called "Procedures in order, for some kinds of fork";
    /// `procedures/cautions/*.md`.
    Caution "caution" in Home::Folder("procedures/cautions", "md"), called "The head of a caution";
    /// `procedures/complaints/*.md`.
    Complaint "complaint" in Home::Folder("procedures/complaints", "md"), called "The head of a complaint";
    /// `procedures/conditions.yaml`.
    Conditions "conditions" in Home::File("procedures/conditions.yaml"),
        called "What procedures need, bring about and end";
    /// `specs/released.yaml`.
    Released "released" in Home::File("specs/released.yaml"),
        called "The cards that were released, oldest first";
    /// `specs/reviews.yaml`.
    Reviews "reviews" in Home::File("specs/reviews.yaml"),
        called "Who reviewed which procedures, cautions, conditions and services";
    /// `specs/jobs/2026/*.yaml`.
    Job "job" in Home::ByYear("specs/jobs", "yaml"), called "What one job found and left";
}

impl RecordKind {
    /// What a person calls it.
    pub fn word(self) -> &'static str {
        self.row().word
    }

    /// Where its records are kept.
    pub fn home(self) -> Home {
        self.row().home
    }

    /// The folder its records are kept in.
    pub fn folder(self) -> &'static str {
        match self.home() {
            Home::Folder(folder, _) | Home::ByYear(folder, _) => folder,
            Home::File(path) => path.rsplit_once('/').map_or("", |(folder, _)| folder),
        }
    }

    /// The path of a record of this kind.
    pub fn path(self, id: &str) -> String {
        match self.home() {
            Home::Folder(folder, ending) | Home::ByYear(folder, ending) => format!("{folder}/{id}.{ending}"),
            Home::File(path) => path.to_owned(),
        }
    }

    /// The name of its schema's file.
    pub fn schema_file(self) -> &'static str {
        self.row().schema_file
    }

    /// What its schema is called.
    pub fn title(self) -> &'static str {
        self.row().title
    }

    /// The id of the record at a path of this kind: its file's name, behind its year's where there is one.
    pub(crate) fn id_at(self, path: &str) -> &str {
        let by_year = || {
            let Home::ByYear(folder, _) = self.home() else { return None };
            Some(path.strip_prefix(folder)?.strip_prefix('/')?.rsplit_once('.')?.0)
        };
        by_year().unwrap_or_else(|| stem(path))
    }

    /// Whether it is a text of the library's kinds, which says under `for:` which forks it is for.
    pub fn is_text(self) -> bool {
        use RecordKind::{Caution, Complaint, Conditions, Procedure, Service};
        [Procedure, Service, Caution, Complaint, Conditions].contains(&self)
    }

    /// The kind of record at a path; `None` for a file that is no record.
    pub fn of(path: &str) -> Option<RecordKind> {
        let (folder, name) = path.rsplit_once('/')?;
        let ending = name.rsplit_once('.')?.1;
        let at_home = |kind: &RecordKind| match kind.home() {
            Home::File(file) => file == path,
            Home::Folder(its_folder, its_ending) => (its_folder, its_ending) == (folder, ending),
            Home::ByYear(above, its_ending) => {
                let year = folder.strip_prefix(above).and_then(|rest| rest.strip_prefix('/'));
                its_ending == ending && year.is_some_and(is_year)
            }
        };
        RecordKind::ALL.into_iter().find(at_home)
    }
}

fn is_year(folder: &str) -> bool {
    folder.len() == 4 && folder.bytes().all(|byte| byte.is_ascii_digit())
}

/// A file's name without folder and ending.
pub(crate) fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}
