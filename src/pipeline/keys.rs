//! What each record, fork and job rests on, as digests: by them what was worked out last time is known again.

use rayon::prelude::*;

use crate::check::Keys;
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::output::Digest;
use crate::record::{RecordKind, SpecRecord};
use crate::resolve::Shop;
use crate::text::{FileId, Files};

/// Digests of the sources; none where nothing is to be known again.
#[derive(Debug, Default)]
pub(super) struct SourceKeys {
    /// Of each file: its number among the sources, which places hold, its path, its text.
    files: Vec<Digest>,
    /// Of what says which fields there are: the shop's own settings.
    catalogue: Option<Digest>,
    /// Of what all forks share: every source that is no fork, no job, no list of released cards and no template.
    shared: Option<Digest>,
    /// Of the lists of released cards.
    released: Option<Digest>,
    /// Of what was found while they were read: it tells of those that could not be.
    found: Option<Digest>,
}

impl SourceKeys {
    /// Of these sources. What was found while they were read tells of those that could not be.
    pub(super) fn of(files: &Files, found: &[Finding]) -> SourceKeys {
        let list: Vec<_> = files.iter().collect();
        let of_file = |(id, file): &(FileId, &crate::text::SourceFile)| {
            let number = id.0.to_le_bytes();
            Digest::of_parts([&number[..], file.path.as_bytes(), file.text.as_bytes(), file.seal.as_bytes()])
        };
        let digests: Vec<Digest> = list.par_iter().map(of_file).collect();
        let with = |is_part: &dyn Fn(&str) -> bool| {
            let parts = list.iter().zip(&digests).filter(|((_, file), _)| is_part(&file.path));
            Digest::of_parts(parts.map(|(_, digest)| digest))
        };
        let alone = |path: &str| {
            let kind = RecordKind::of(path);
            path.starts_with("templates/")
                || matches!(
                    kind,
                    Some(RecordKind::Fork | RecordKind::Build | RecordKind::Job | RecordKind::Released)
                )
        };
        let found = found.iter().map(|finding| format!("{:?} {}", finding.span, finding.message));
        let found = Digest::of_parts(found);
        SourceKeys {
            catalogue: Some(with(&|path| RecordKind::of(path) == Some(RecordKind::Shop))),
            found: Some(found),
            shared: Some(Digest::of_parts([found, with(&|path| !alone(path))])),
            released: Some(with(&|path| RecordKind::of(path) == Some(RecordKind::Released))),
            files: digests,
        }
    }

    /// Of all of them.
    pub(super) fn all(&self) -> Digest {
        Digest::of_parts(self.found.iter().chain(&self.files))
    }

    /// Of the fields of the shop.
    pub(super) fn catalogue(&self) -> Option<Digest> {
        self.catalogue
    }

    /// Of what is read of one file.
    pub(super) fn record(&self, file: FileId) -> Option<Digest> {
        Some(Digest::of_parts([self.catalogue?, *self.files.get(file.0 as usize)?]))
    }

    /// Of what is worked out of the shop's texts, which are no forks.
    pub(super) fn texts(&self) -> Option<Digest> {
        self.shared
    }

    /// Of what each fork takes from all that was read together: whether the shop reviews, and who is named by a `for:`.
    pub(super) fn around(&self, shop: &Shop, reviewed: bool) -> Option<Digest> {
        let named =
            shop.singled.iter().flat_map(|singled| [singled.by.as_bytes(), singled.name.text.as_bytes()]);
        Some(Digest::of_parts([self.shared?.as_ref(), &[u8::from(reviewed)]].into_iter().chain(named)))
    }

    /// Of what is worked out of one fork.
    pub(super) fn fork(&self, shop: &Shop, record: &SpecRecord, around: Option<Digest>) -> Option<Digest> {
        let of = |record: &SpecRecord| self.files.get(record.file.0 as usize).copied();
        // A build rests on its fork as well.
        let over = shop.built_over(record).map(|fork| of(fork));
        let parts = [around, of(record)].into_iter().chain(over);
        Some(Digest::of_parts(parts.collect::<Option<Vec<Digest>>>()?))
    }

    /// Of what is said of each fork and of each job, in the order of the shop.
    pub(super) fn said(&self, shop: &Shop, forks: Option<Digest>, day: Option<AsOf>) -> Keys {
        // Of two forks with one id nobody knows which is meant.
        let twice = shop.forks.windows(2).any(|two| two[0].id.text == two[1].id.text);
        let (Some(shared), Some(released), false) = (self.shared, self.released, twice) else {
            return Keys::default();
        };
        let forks: Option<Vec<Digest>> = shop.forks.iter().map(|fork| self.fork(shop, fork, forks)).collect();
        let Some(forks) = forks else { return Keys::default() };
        let known = [RecordKind::Fork, RecordKind::Build].map(|kind| shop.known.get(&kind));
        let ids = known.into_iter().flatten().flatten();
        let day = day.map(|day| format!("{} {}", day.date, day.settled)).unwrap_or_default();
        let day = Digest::of(day.as_bytes());
        let around = [shared, released, Digest::of_parts(ids), day];
        let around = Digest::of_parts(around);
        let of_job = |job: &std::sync::Arc<crate::record::Job>| {
            let at = shop.forks.binary_search_by(|fork| fork.id.text.as_str().cmp(&job.fork.text)).ok();
            let fork = at.map_or(shared, |at| forks[at]);
            let own = self.files.get(job.number.span.file.0 as usize)?;
            Some(Digest::of_parts([around, fork, *own]))
        };
        let jobs: Option<Vec<Digest>> = shop.jobs.par_iter().map(of_job).collect();
        Keys { jobs: jobs.unwrap_or_default(), forks, day: Some(day), texts: Some(shared) }
    }
}
