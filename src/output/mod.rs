//! The one place that writes: a site is published all or nothing, a single file is the old or the new one, and
//! nothing that is not ours is touched.

mod digest;
mod disk;
#[cfg(test)]
mod faulty;
mod file;
mod lock;
mod manifest;
mod memory;
mod obstacle;
mod own;
mod places;
mod several;
mod steps;
mod writer;

pub use digest::Digest;
pub use file::{FileError, Held, hold, make_files, write_files};
pub use manifest::{Entry, Kept, Manifest};
pub use memory::remembered;
pub use obstacle::{Blocker, Obstacle, PublishError};
pub use places::{OWN_FOLDER, check_folder, check_path, check_paths};
pub use several::{Change, change_files};
pub use writer::{Planned, Published, Target, finish_killed_run, kept, publish, up_to_date};
