//! What is made once and kept, because several pages and cards say it: one place for all of it, with what it hangs on.

use std::any::Any;
use std::collections::{HashMap, VecDeque};
use std::hash::Hash;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use foldhash::fast::RandomState;

use super::doubt::Doubts;
use super::gaps::Gapped;
use super::texts::ForkTexts;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::date::Date;
use crate::plan::Variant;
use crate::record::{Caution, Complaint, Procedure, Service};
use crate::resolve::Shop;
use crate::text::Span;

/// A procedure, a caution, a complaint or a service, by the place of its id in the sources.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RecordKey(Span);

impl From<&Procedure> for RecordKey {
    fn from(procedure: &Procedure) -> Self {
        RecordKey(procedure.id.span)
    }
}

impl From<&Caution> for RecordKey {
    fn from(caution: &Caution) -> Self {
        RecordKey(caution.id.span)
    }
}

impl From<&Complaint> for RecordKey {
    fn from(complaint: &Complaint) -> Self {
        RecordKey(complaint.id.span)
    }
}

impl From<&Service> for RecordKey {
    fn from(service: &Service) -> Self {
        RecordKey(service.id.span)
    }
}

/// A running text of a procedure, a caution or a complaint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ProseKey {
    /// Where it stands.
    pub record: RecordKey,
    /// The part of its body.
    pub part: usize,
    /// Whether it is the reason of that part's step.
    pub reason: bool,
}

/// A running text as it is written: the terms before it decide which of its own are linked, and the page's depth how
/// its links lead to the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct WrittenKey {
    /// The text.
    pub prose: ProseKey,
    /// The terms linked before it, one bit each; none where terms are not linked.
    pub linked: Option<u64>,
    /// How many folders deep the page is.
    pub depth: usize,
}

/// The codes of a card: of the fork's values, and of all that the card says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Codes {
    /// Of the fork's values.
    pub values: String,
    /// Of the card.
    pub card: String,
}

/// Running text as it was written, and the terms linked after it.
pub type Written = Kept<WrittenKey, (Gapped, Option<u64>)>;

/// What is made once for a shop.
pub struct Memo<'s> {
    /// Running text on pages to work from, and the terms linked after it.
    pub written: Written,
    /// A procedure in the code of a card, by the legs it is done on.
    pub code_steps: Kept<(RecordKey, [bool; 2]), Arc<str>>,
    /// The texts of cautions without marks.
    pub caution_texts: Kept<RecordKey, Arc<str>>,
    /// The charts of the orders of services: forks that share a proof share its chart.
    pub orders: Kept<(&'s str, Variant<'s>), Arc<str>>,
    /// The codes of each fork's cards, in the order of its services.
    pub codes: HashMap<&'s str, OnceLock<Vec<Codes>>, RandomState>,
    /// The codes of each fork's hang card.
    pub hang: HashMap<&'s str, OnceLock<Codes>, RandomState>,
    /// The values that each procedure's steps name or ask for, and whether they are written down.
    pub asked: Kept<RecordKey, Arc<[(FieldId, bool)]>>,
    /// For each field those that are told beside its number, and those beside whose number it is told.
    pub beside: OnceLock<[Vec<Vec<FieldId>>; 2]>,
    /// What a card makes once for forks of one kind, by the service and the place of the procedure in it.
    pub still: Kept<(usize, RecordKey, usize), Arc<dyn Any + Send + Sync>>,
    /// How the texts of a service stand for a kind of fork: changed, since when, never reviewed.
    pub text_counts: Kept<(usize, RecordKey), (usize, Option<Date>, usize)>,
    /// The ids of the wrenches with a range, in the order of their letters.
    pub wrenches: OnceLock<Vec<&'s str>>,
    /// The texts of the forks that were asked for last.
    pub texts: Recent<'s>,
}

impl<'s> Memo<'s> {
    /// Nothing is made yet.
    pub fn new(forks: &'s [CheckedFork]) -> Memo<'s> {
        Memo {
            written: Kept::default(),
            code_steps: Kept::default(),
            caution_texts: Kept::default(),
            orders: Kept::default(),
            codes: forks.iter().map(|fork| (fork.id.as_str(), OnceLock::new())).collect(),
            hang: forks.iter().map(|fork| (fork.id.as_str(), OnceLock::new())).collect(),
            asked: Kept::default(),
            beside: OnceLock::new(),
            still: Kept::default(),
            text_counts: Kept::default(),
            wrenches: OnceLock::new(),
            texts: Recent::default(),
        }
    }
}

/// Values that are made once each and kept, by what they are made of.
#[derive(Debug)]
pub struct Kept<K, V>(Mutex<HashMap<K, V, RandomState>>);

impl<K, V> Default for Kept<K, V> {
    fn default() -> Self {
        Kept(Mutex::default())
    }
}

impl<K: Eq + Hash, V: Clone> Kept<K, V> {
    /// A value: as it was made before, or made now.
    pub fn or_make(&self, key: K, make: impl FnOnce() -> V) -> V {
        // Entries are only ever added, so that a thread that panicked left them whole.
        let made = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(value) = made().get(&key) {
            return value.clone();
        }
        let value = make();
        made().insert(key, value.clone());
        value
    }
}

/// The texts of so many forks are kept: as many as threads can be at work on, and some more.
const RECENT_FORKS: usize = 32;

/// The texts of the forks that were asked for last.
#[derive(Debug, Default)]
pub struct Recent<'s>(Mutex<VecDeque<Arc<ForkTexts<'s>>>>);

impl<'s> Recent<'s> {
    /// The texts of a fork.
    pub fn of(&self, shop: &'s Shop, fork: &'s CheckedFork, doubts: &Doubts<'s>) -> Arc<ForkTexts<'s>> {
        // A thread that panicked left the list whole: it is only added to and cut.
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(texts) = kept.iter().find(|texts| texts.fork.id == fork.id) {
            return Arc::clone(texts);
        }
        let texts = Arc::new(ForkTexts::new(shop, fork, doubts));
        kept.push_front(Arc::clone(&texts));
        kept.truncate(RECENT_FORKS);
        texts
    }
}
