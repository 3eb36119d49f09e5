//! The site: the list of its pages, what each shows, charts and drawings, and how all of it is published.

pub mod figure;
mod glossary;
mod inputs;
pub mod list;
pub mod page;
mod prose;
mod publish;
mod sections;
mod sheets;
mod shelf;
pub mod templates;
pub mod view;

pub use publish::{Progress, SiteError, already_published, print_findings, publish_site};
