//! What the rules said, kept for the next check of the same shop: of each fork, each job, each group of like forks and of
//! what is no fork.

use std::sync::Arc;

use crate::again::{Again, Pack, Shelf};
use crate::diagnostic::Finding;
use crate::output::Digest;

/// What was said last time. It is taken again where all that it rests on is as it was.
#[derive(Debug, Default)]
pub struct Said {
    pub(super) forks: Again<Arc<[Finding]>>,
    pub(super) jobs: Again<Arc<[Finding]>>,
    /// Of the record of each fork.
    pub(super) records: Again<Arc<[Finding]>>,
    /// Of what each fork takes over.
    pub(super) compared: Again<Arc<[Finding]>>,
    /// Of the reviews of each fork.
    pub(super) reviews: Again<Arc<[Finding]>>,
    /// Of each group of like forks.
    pub(super) likes: Again<Arc<[Finding]>>,
    /// Of what is no fork, a list for each room.
    pub(super) texts: Again<Arc<[Finding]>>,
    /// Of the reviews of texts.
    pub(super) text_reviews: Again<Arc<[Finding]>>,
    /// Of each fork, which rules that sum up say nothing of it.
    pub(super) quiet: Again<u64>,
}

impl Said {
    /// With what an earlier run kept, by kinds from one on. What is said of jobs is not kept: who has as many jobs as that
    /// matters has a repository for them.
    pub fn with(shelf: &Arc<Shelf>, kind: u8) -> Said {
        let list = |at: u8| Again::with(shelf, kind + at, read);
        Said {
            forks: list(0),
            jobs: Again::default(),
            records: list(1),
            compared: list(2),
            reviews: list(3),
            likes: list(4),
            texts: list(5),
            text_reviews: list(6),
            quiet: Again::with(shelf, kind + 7, |bytes| Some(u64::from_le_bytes(bytes.try_into().ok()?))),
        }
    }

    /// Packs it for the next run.
    pub fn pack<'a>(&'a self, kind: u8, pack: &mut Pack<'a>) {
        let lists = [
            &self.forks,
            &self.records,
            &self.compared,
            &self.reviews,
            &self.likes,
            &self.texts,
            &self.text_reviews,
        ];
        for (at, list) in (kind..).zip(lists) {
            list.pack(at, |findings| borsh::to_vec(&findings[..]).ok(), pack);
        }
        self.quiet.pack(kind + 7, |quiet| Some(quiet.to_le_bytes().to_vec()), pack);
    }

    /// Ends a turn: what was not asked for in it is let go.
    pub fn turn(&mut self) {
        self.forks.turn();
        self.jobs.turn();
        self.records.turn();
        self.compared.turn();
        self.reviews.turn();
        self.likes.turn();
        self.texts.turn();
        self.text_reviews.turn();
        self.quiet.turn();
    }
}

/// What each fork and each job rests on, in their order. Empty: everything is judged, and nothing is kept.
#[derive(Debug, Default)]
pub struct Keys {
    /// Of the forks.
    pub forks: Vec<Digest>,
    /// Of the jobs.
    pub jobs: Vec<Digest>,
    /// Of the day.
    pub day: Option<Digest>,
    /// Of all that is no fork, no job, no released card and no template.
    pub texts: Option<Digest>,
}

impl Keys {
    /// What the fork at a place rests on.
    pub(super) fn fork(&self, at: usize) -> Option<Digest> {
        self.forks.get(at).copied()
    }

    /// What the fork at a place rests on, and the day.
    pub(super) fn fork_on_day(&self, at: usize) -> Option<Digest> {
        Some(Digest::of_parts([self.fork(at)?, self.day?]))
    }

    /// What is no fork, no job, no released card and no template, and the day.
    pub(super) fn texts_on_day(&self) -> Option<Digest> {
        Some(Digest::of_parts([self.texts?, self.day?]))
    }

    /// What the forks at these places rest on together.
    pub(super) fn several(&self, places: &[usize]) -> Option<Digest> {
        let each = places.iter().map(|at| self.fork(*at)).collect::<Option<Vec<Digest>>>()?;
        Some(Digest::of_parts(each))
    }
}

fn read(bytes: &[u8]) -> Option<Arc<[Finding]>> {
    let findings: Vec<Finding> = borsh::from_slice(bytes).ok()?;
    Some(findings.into())
}
