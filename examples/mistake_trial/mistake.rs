//! A mistake: a few changes of text, and what is known of the truth.

use std::collections::BTreeMap;
use std::ops::Range;

use benchleaf::catalogue::FieldId;
use benchleaf::text::{Memory, ReadProblem, Source};

/// One stretch of text that reads otherwise, or a whole new file.
#[derive(Debug, Clone)]
pub struct Change {
    /// The file.
    pub path: String,
    /// The bytes that are replaced, in the text as it was.
    pub range: Range<usize>,
    /// What stands there now.
    pub text: String,
    /// The bytes that the mistake is about, in the text as it was: the whole entry of a record, say.
    pub place: Range<usize>,
}

/// The value that was right.
#[derive(Debug, Clone, Copy)]
pub struct Truth {
    pub field: FieldId,
    /// In SI.
    pub si: f64,
}

/// A mistake that was made.
#[derive(Debug, Clone)]
pub struct Mistake {
    /// What was changed, for a person.
    pub what: String,
    pub changes: Vec<Change>,
    /// What a finding speaks of that names the cause where nothing is left to point at.
    pub words: Vec<String>,
    pub truth: Option<Truth>,
    /// Whether it can hurt.
    pub hurts: bool,
    /// Whether something was added, so that taking it away is right.
    pub added: bool,
}

impl Mistake {
    pub fn new(what: impl Into<String>, change: Change) -> Self {
        Mistake {
            what: what.into(),
            changes: vec![change],
            words: Vec::new(),
            truth: None,
            hurts: true,
            added: false,
        }
    }

    pub fn and(mut self, change: Change) -> Self {
        self.changes.push(change);
        self
    }

    pub fn hurts(mut self, hurts: bool) -> Self {
        self.hurts = hurts;
        self
    }

    pub fn words<T: Into<String>>(mut self, words: impl IntoIterator<Item = T>) -> Self {
        self.words.extend(words.into_iter().map(Into::into).filter(|word| word.len() > 2));
        self
    }

    pub fn truth(mut self, field: FieldId, si: f64) -> Self {
        self.truth = Some(Truth { field, si });
        self
    }

    pub fn added(mut self) -> Self {
        self.added = true;
        self
    }
}

/// A shop in which some files read differently.
pub struct Edited<'w> {
    memory: &'w Memory,
    texts: BTreeMap<String, String>,
    /// The bytes each change is about, in the new text, whole lines.
    pub places: Vec<(String, Range<usize>)>,
}

impl<'w> Edited<'w> {
    pub fn new(memory: &'w Memory, changes: &[Change]) -> Self {
        let mut texts = BTreeMap::new();
        let mut places = Vec::new();
        for change in changes {
            let old = memory.files.get(&change.path).map(|bytes| String::from_utf8_lossy(bytes).into_owned());
            texts.entry(change.path.clone()).or_insert_with(|| old.unwrap_or_default());
        }
        for (path, text) in &mut texts {
            let mut own: Vec<&Change> = changes.iter().filter(|change| change.path == *path).collect();
            own.sort_by_key(|change| change.range.start);
            let moved = |at: usize, after: bool| {
                let shift: isize = own
                    .iter()
                    .filter(|change| change.range.start < at || (after && change.range.start <= at))
                    .filter(|change| change.range.end <= at)
                    .map(|change| change.text.len() as isize - change.range.len() as isize)
                    .sum();
                usize::try_from(at as isize + shift).unwrap_or(0)
            };
            let about: Vec<Range<usize>> = own
                .iter()
                .map(|change| moved(change.place.start, false)..moved(change.place.end, true))
                .collect();
            for change in own.iter().rev() {
                text.replace_range(change.range.clone(), &change.text);
            }
            places.extend(about.into_iter().map(|range| (path.clone(), whole_lines(text, range))));
        }
        Edited { memory, texts, places }
    }
}

/// The lines that a range lies in.
fn whole_lines(text: &str, range: Range<usize>) -> Range<usize> {
    let start = range.start.min(text.len());
    let end = range.end.clamp(start, text.len());
    let from = text.get(..start).and_then(|before| before.rfind('\n')).map_or(0, |at| at + 1);
    let to = text.get(end..).and_then(|after| after.find('\n')).map_or(text.len(), |at| end + at);
    from..to
}

impl Source for Edited<'_> {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let (mut paths, problems) = self.memory.list();
        paths.extend(self.texts.keys().filter(|path| !self.memory.files.contains_key(*path)).cloned());
        paths.sort();
        (paths, problems)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        match self.texts.get(path) {
            Some(text) => Ok(text.clone().into_bytes()),
            None => self.memory.read(path),
        }
    }
}
