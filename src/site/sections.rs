//! The procedures inside services, as they are printed: forks whose numbers are the same share them.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use foldhash::fast::RandomState;

use super::templates::{TemplateProblem, Templates};
use super::view::Section;
use crate::book::gaps::Gapped;

/// How many bytes of finished sections are kept, so that what is kept does not grow with the shop.
const MOST: usize = 24 << 20;

/// The sections made so far, by all that is said in them.
#[derive(Debug, Default)]
pub struct Sections(Mutex<Kept>);

#[derive(Debug, Default)]
struct Kept {
    // Whole texts are hashed, so that a quick hash counts.
    made: HashMap<Section, Gapped, RandomState>,
    bytes: usize,
}

impl Sections {
    /// A section as HTML, with a gap wherever its links name the fork.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn html(&self, templates: &Templates, section: Section) -> Result<Gapped, TemplateProblem> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(html) = kept().made.get(&section) {
            return Ok(html.clone());
        }
        let html = Gapped::new(&templates.render_part("section.html", &section)?);
        let mut kept = kept();
        // What is asked for again is soon made again.
        if kept.bytes > MOST {
            *kept = Kept::default();
        }
        // The texts of the section itself take about as much.
        kept.bytes += 2 * html.len();
        kept.made.insert(section, html.clone());
        Ok(html)
    }
}
