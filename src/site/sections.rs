//! The procedures inside services, as they are printed: forks of which a procedure says the same share it. It is looked
//! up by what it rests on, before anything of it is made.

use std::sync::{Mutex, PoisonError};

use super::lately::Lately;
use super::prose::cautions_of;
use super::templates::{TemplateProblem, Templates};
use super::view::Section;
use crate::book::gaps::Gapped;
use crate::book::memo::RecordKey;
use crate::book::texts::ForkTexts;
use crate::drawing::rests_on;
use crate::output::Digest;
use crate::plan::Planned;
use crate::record::Procedure;
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::Body;

/// How many bytes of finished sections are kept, so that what is kept does not grow with the shop.
const MOST: usize = 24 << 20;

/// How many bytes of what they rest on are kept.
const MOST_KEYS: usize = 24 << 20;

/// About what a key takes, with its place in the list.
const KEY_SIZE: usize = 400;

/// All that the text of a procedure inside a service rests on, beside the shop.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct SectionKey {
    procedure: RecordKey,
    /// Its place in the service and the number of its first step, from 1.
    numbers: [usize; 2],
    legs: [bool; 2],
    /// How many folders deep the page is.
    depth: usize,
    /// The terms linked before it, one bit each.
    linked: u64,
    /// Whether it stood on the page before; whether it is the first of its phase.
    again: bool,
    opens_phase: bool,
    /// Of the fork: its kind and what it says by each field that is named; which procedures stand on the same page.
    told: Digest,
    /// The cautions that were read in full before.
    brief: Vec<bool>,
}

/// Where a procedure stands on a page.
#[derive(Debug, Clone, Copy)]
pub struct Place<'p> {
    /// Its place in the service and the number of its first step, from 1.
    pub numbers: [usize; 2],
    /// How many folders deep the page is.
    pub depth: usize,
    /// The terms linked before it, one bit each.
    pub linked: u64,
    /// Whether it stood on the page before.
    pub again: bool,
    /// Whether it is the first of its phase.
    pub opens_phase: bool,
    /// The procedures on the page.
    pub here: &'p [&'p str],
}

impl SectionKey {
    /// What the text of a procedure for this fork rests on. `brief`: for each caution before its steps, whether it was
    /// read in full before.
    pub fn of(
        shop: &Shop,
        texts: &ForkTexts<'_>,
        item: &Planned<'_>,
        place: &Place<'_>,
        brief: Vec<bool>,
    ) -> SectionKey {
        let Place { numbers, depth, linked, again, opens_phase, here } = *place;
        let mut told: Vec<(Option<Digest>, bool)> = vec![(Some(texts.kind()), false)];
        let mut add = |body: &Body| {
            // What is drawn rests on more than what is named.
            told.extend(body.references.iter().flat_map(|reference| {
                let named = (reference.scheme, reference.target.as_str());
                rests_on(shop, texts.fork, named).into_iter().map(|id| (Some(texts.seal(id)), false))
            }));
            told.extend(body.references.iter().filter_map(|reference| match reference.scheme {
                Scheme::Spec | Scheme::Reading => {
                    Some((shop.catalogue.find(&reference.target).map(|id| texts.seal(id)), false))
                }
                Scheme::Procedure => Some((None, here.contains(&reference.target.as_str()))),
                _ => None,
            }));
        };
        add(&item.procedure.body);
        let cautions = item.procedure.body.steps().flat_map(|step| cautions_of(shop, Some(texts), step));
        let mut facts = Vec::new();
        for caution in cautions {
            add(&caution.body);
            facts.extend(texts.facts().cautions.iter().filter(|(id, _)| *id == caution.id.text));
        }
        SectionKey {
            procedure: item.procedure.into(),
            numbers,
            legs: item.legs,
            depth,
            linked,
            again,
            opens_phase,
            told: Digest::of_value(&(told, facts)),
            brief,
        }
    }
}

/// How many steps a procedure has.
pub fn steps(procedure: &Procedure) -> usize {
    procedure.body.steps().count()
}

/// The sections made so far.
#[derive(Debug, Default)]
pub struct Sections(Mutex<Kept>);

#[derive(Debug)]
struct Kept {
    made: Lately<SectionKey, (Gapped, u64)>,
    /// Their texts, each once: most that rest on something else are the same text.
    texts: Lately<Gapped, Gapped>,
}

impl Default for Kept {
    fn default() -> Self {
        Kept { made: Lately::new(MOST_KEYS), texts: Lately::new(MOST) }
    }
}

impl Sections {
    /// A section as HTML, with a gap wherever its links name the fork; and the terms linked after it. `make` gives
    /// both anew.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn html(
        &self,
        templates: &Templates,
        key: SectionKey,
        make: impl FnOnce() -> (Section, u64),
    ) -> Result<(Gapped, u64), TemplateProblem> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        // A shop's own templates are given every text as it is, without this short cut.
        if templates.are_built_in()
            && let Some(found) = kept().made.get(&key, |_| KEY_SIZE)
        {
            return Ok(found);
        }
        let (section, linked) = make();
        let html = Gapped::new(&templates.render_part("section.html", &section)?);
        let mut kept = kept();
        // The pieces of a text take about as much as the text.
        let size = |text: &Gapped| 2 * text.len();
        let html = kept.texts.get(&html, size).unwrap_or_else(|| {
            kept.texts.put(html.clone(), html.clone(), size(&html));
            html
        });
        kept.made.put(key, (html.clone(), linked), KEY_SIZE);
        Ok((html, linked))
    }
}
