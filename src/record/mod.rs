//! Trees to what the shop wrote, typed. Nothing is linked or judged here beyond the single value.

mod conditions;
mod head;
mod procedure;
mod released;
mod review;
mod settings;
mod spec;

pub use conditions::{Condition, Conditions, Holder, WORKS};
pub use head::{RecordKind, Text};
pub use procedure::{Caution, OnLegs, PHASES, Pick, Procedure, Service, ServiceEntry, Signal};
pub use released::{Released, ReleasedCard};
pub use review::Review;
pub use settings::{SecondSaying, Settings};
pub use spec::{Accept, Entry, Machine, Named, Sides, SourceKind, SourceNote, SpecLine, SpecRecord};

pub(crate) use conditions::read_conditions;
pub(crate) use head::{is_id, stem, text_entry};
pub(crate) use procedure::{read_caution, read_procedure, read_service};
pub(crate) use released::read_released;
pub(crate) use settings::{read_fields, read_settings};
pub(crate) use spec::{read_spec, read_tool};

pub use spec::Tool;
