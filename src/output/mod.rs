//! The one place that writes files: a site is published all or nothing, and nothing that is not ours is touched.

mod digest;
mod manifest;
mod obstacle;
mod places;
mod steps;
mod writer;

pub use digest::Digest;
pub use manifest::{Entry, Manifest};
pub use obstacle::{Obstacle, PublishError};
pub use places::{OWN_FOLDER, check_folder, check_path, check_paths};
pub use writer::{Planned, Published, Target, publish, up_to_date};
