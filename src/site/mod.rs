//! The site: the list of its pages, what each shows, charts and drawings, and how all of it is published.

mod desk;
pub mod figure;
mod glossary;
mod inputs;
mod lately;
mod list;
#[cfg(test)]
mod manual;
mod names;
pub mod page;
mod parts;
mod printed;
mod prose;
mod publish;
mod searched;
mod sections;
mod sheets;
mod shelf;
mod stack;
mod templates;
pub mod view;
mod wrenches;

pub use list::{Planned, Press};
pub use publish::{
    Progress, SiteError, already_published, own_templates, print_findings, publish_site, remember_check,
    templates as shop_templates,
};
pub use sheets::card_findings;
pub use templates::{TemplateProblem, Templates};
