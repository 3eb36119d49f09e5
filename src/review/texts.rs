//! How each procedure, caution, condition and service stands: reviewed, changed since, or never reviewed.
//!
//! For each text the last day on which somebody reviewed it decides, and on one day the last review in the list. Nothing is marked before the first review of a
//! text in this shop.

use std::collections::BTreeMap;

use super::digest::seal;
use super::former;
use super::guards::{Change, changes};
use super::seen::{REASONS, SAYS, SENTENCES, Seen, TextKey, TextKind, of_shop};
use super::standing::{Seen as SeenBy, Standing, Vouch, is_approver, last};
use crate::date::Date;
use crate::record::{SeenParts, Text, TextReview};
use crate::resolve::Shop;
use crate::text::Span;

/// The part under which a review says that somebody saw that a text had gone.
pub const GONE_PART: &str = "gone";

/// How one text stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextStanding {
    /// Who vouches.
    pub standing: Standing,
    /// What changed since; empty where nothing did.
    pub changes: Vec<Change>,
}

/// A text that was reviewed and is no longer there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GoneText {
    /// Which.
    pub key: TextKey,
    /// Who reviewed it last.
    pub vouch: Vouch,
    /// Where the review names it.
    pub span: Span,
    /// The text that reads the same and that nobody has reviewed: it may be this one under another name.
    pub renamed: Option<String>,
}

/// How every text of a shop stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TextReviews {
    /// Whether this shop reviews texts at all.
    pub used: bool,
    /// Each text.
    pub texts: BTreeMap<TextKey, TextStanding>,
    /// What was reviewed and is gone.
    pub gone: Vec<GoneText>,
}

impl TextStanding {
    /// Whether a reader has something else to do than was reviewed: another reason for a step changes nothing at the
    /// bench.
    pub fn changed_the_work(&self) -> bool {
        self.changes.is_empty() || !self.changes.iter().all(Change::is_of_a_reason)
    }
}

impl TextReviews {
    /// How a text stands; in a shop that reviews no texts none has a standing.
    pub fn of(&self, kind: TextKind, id: &str) -> Option<&TextStanding> {
        self.texts.get(&(kind, id.to_owned()))
    }
}

/// The texts that a review names, with what was seen of each.
pub(crate) fn named(review: &TextReview) -> impl Iterator<Item = (TextKind, &(Text, SeenParts))> {
    let lists = [&review.procedures, &review.cautions, &review.conditions, &review.services];
    TextKind::ALL.into_iter().zip(lists).flat_map(|(kind, list)| list.iter().map(move |text| (kind, text)))
}

/// What a review says that it saw.
pub(crate) fn seen_by(parts: &SeenParts) -> Seen {
    let words = |words: &[Text]| words.iter().map(|word| word.text.clone()).collect();
    parts.iter().map(|(part, list)| (part.text.clone(), words(list))).collect()
}

/// What was seen as one text, for seals and to be compared.
fn as_text(seen: &Seen) -> String {
    serde_json::json!(seen).to_string()
}

/// The seal over a review of texts, in the shop of this name.
pub(crate) fn text_seal<'t>(
    shop: &str,
    by: &str,
    date: &str,
    texts: impl IntoIterator<Item = (TextKind, &'t str, &'t Seen)>,
) -> String {
    let of_text =
        |(kind, id, seen): (TextKind, &str, &Seen)| (format!("{} {id}", kind.word()), as_text(seen));
    let texts: Vec<(String, String)> = texts.into_iter().map(of_text).collect();
    let texts = texts.iter().map(|(name, seen)| (name.as_str(), seen.as_str()));
    seal(&format!("texts of {shop}"), (by, date), None, texts)
}

/// Whether an entry was recorded in this shop.
pub(crate) fn is_of_shop(shop: &Shop, review: &TextReview) -> bool {
    review.shop.text == shop.settings.name
}

/// Whether an entry is as it was when it was sealed.
pub(crate) fn text_is_sealed(review: &TextReview) -> bool {
    let seen: Vec<(TextKind, &str, Seen)> =
        named(review).map(|(kind, (id, parts))| (kind, id.text.as_str(), seen_by(parts))).collect();
    let texts = seen.iter().map(|(kind, id, seen)| (*kind, *id, seen));
    review.digest.text == text_seal(&review.shop.text, &review.by.text, &review.date.text, texts)
}

/// The day of a review that counts: it is of this shop, by an approver, on a day that there is, and as it was sealed.
pub(crate) fn text_counts(shop: &Shop, review: &TextReview) -> Option<Date> {
    let sound = is_of_shop(shop, review) && is_approver(shop, &review.by.text) && text_is_sealed(review);
    Date::read(&review.date.text).filter(|_| sound)
}

/// One person's sight of a text.
struct Sight {
    vouch: Vouch,
    seen: Seen,
    code: String,
    span: Span,
}

/// How every text of a shop stands.
pub fn of_texts(shop: &Shop) -> TextReviews {
    let mut sights: BTreeMap<TextKey, Vec<Sight>> = BTreeMap::new();
    if shop.reviews.list.is_empty() {
        return TextReviews::default();
    }
    let there = of_shop(shop);
    let (renamed_now, former) = (shop.renamed_procedures(), former::before(shop));
    for review in &shop.reviews.list {
        let Some(date) = text_counts(shop, review) else { continue };
        for (kind, (id, parts)) in named(review) {
            let vouch = Vouch { date, by: review.by.text.clone(), family: None, compared: None };
            let now = renamed_now.get(&id.text).filter(|_| kind == TextKind::Procedure);
            let key = (kind, now.unwrap_or(&id.text).clone());
            let mut seen = seen_by(parts);
            complete(&mut seen, there.get(&key));
            // It named a procedure as it was called then, and says the same.
            if let Some(now) = there.get(&key)
                && former.iter().any(|then| then.get(&key) == Some(&seen))
            {
                seen.clone_from(now);
            }
            let sight = Sight { vouch, code: as_text(&seen), seen, span: id.span };
            sights.entry(key).or_default().push(sight);
        }
    }
    let mut out = TextReviews { used: !sights.is_empty(), ..TextReviews::default() };
    if !out.used {
        return out;
    }
    for (key, seen) in &there {
        let standing = sights.get(key).map_or_else(never, |sights| of_text(key.0, sights, seen));
        out.texts.insert(key.clone(), standing);
    }
    for (key, sights) in sights.iter().filter(|(key, _)| !there.contains_key(key)) {
        // A file that cannot be read has been told about.
        let Some(sight) = latest(sights).filter(|_| !is_unread(shop, key)) else { continue };
        if !sight.seen.contains_key(GONE_PART) {
            let renamed = renamed(&there, &out, key, &sight.seen);
            out.gone.push(GoneText {
                key: key.clone(),
                vouch: sight.vouch.clone(),
                span: sight.span,
                renamed,
            });
        }
    }
    out
}

/// What reviews of procedures did not keep apart once.
const KEPT_LATER: [&str; 7] = [SAYS, REASONS, "waits", "pours", "renews", "uses_up", "worn"];

/// Adds to what was seen what reviews did not keep apart once. The sentences of a caution are as now where its text is;
/// of a procedure nothing is said but that its head or its steps changed.
fn complete(seen: &mut Seen, now: Option<&Seen>) {
    let Some(now) = now else { return };
    let same = |part: &str| seen.get(part) == now.get(part);
    let mut parts: Vec<&str> = Vec::new();
    match now.contains_key(SENTENCES) {
        true if same("text") => parts.extend([SENTENCES, SAYS, "called"]),
        true => {}
        false if KEPT_LATER.iter().all(|part| !seen.contains_key(*part)) => parts.extend(KEPT_LATER),
        false => {}
    }
    for part in parts {
        if let (Some(words), false) = (now.get(part), seen.contains_key(part)) {
            seen.insert(part.to_owned(), words.clone());
        }
    }
}

fn never() -> TextStanding {
    TextStanding { standing: Standing::Never, changes: Vec::new() }
}

/// The last word on a text.
fn latest(sights: &[Sight]) -> Option<&Sight> {
    sights.iter().max_by_key(|sight| sight.vouch.date)
}

fn of_text(kind: TextKind, sights: &[Sight], now: &Seen) -> TextStanding {
    let by = sights.iter().map(|sight| SeenBy { vouch: sight.vouch.clone(), code: &sight.code });
    let standing = last(by.collect(), &as_text(now));
    let changes = match &standing {
        Standing::Changed(_) => {
            latest(sights).map(|sight| changes(kind, &sight.seen, now)).unwrap_or_default()
        }
        _ => Vec::new(),
    };
    TextStanding { standing, changes }
}

/// A text that nobody has reviewed and that reads the same but for its name.
fn renamed(
    there: &BTreeMap<TextKey, Seen>,
    out: &TextReviews,
    gone: &TextKey,
    seen: &Seen,
) -> Option<String> {
    let mut alike = there.iter().filter(|(key, now)| {
        let never = out.texts.get(*key).is_some_and(|text| text.standing == Standing::Never);
        let reads_the_same = || {
            let mut seen = seen.clone();
            complete(&mut seen, Some(now));
            **now == seen
        };
        key.0 == gone.0 && never && reads_the_same()
    });
    alike.next().map(|(key, _)| key.1.clone())
}

/// Whether the text may be there, in a file that could not be read.
fn is_unread(shop: &Shop, (kind, id): &TextKey) -> bool {
    use crate::record::RecordKind;
    match kind {
        TextKind::Procedure => shop.knows(RecordKind::Procedure, id),
        TextKind::Caution => shop.knows(RecordKind::Caution, id),
        TextKind::Service => shop.knows(RecordKind::Service, id),
        TextKind::Condition => shop.unread(RecordKind::Conditions),
    }
}
