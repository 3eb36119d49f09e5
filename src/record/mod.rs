//! Trees to what the shop wrote, typed. Nothing is linked or judged here beyond the single value.

mod build;
mod caution;
mod complaint;
mod conditions;
mod constant;
mod entry;
mod front;
mod heads;
mod id;
mod job;
mod job_line;
mod kind;
mod legs;
mod machine;
mod part;
mod phase;
mod picture;
mod procedure;
mod released;
mod review;
mod reviews;
mod service;
mod settings;
mod singled;
mod source;
mod spec;
mod spring;
mod status;
mod template;
mod text;
mod tool;
mod value;
mod valving;

pub use build::{Build, BuildMachine, Change};
pub use caution::{Caution, Signal};
pub use complaint::Complaint;
pub use conditions::{Condition, Conditions, Holder, WORKS};
pub use constant::Constant;
pub use entry::{Accept, AlsoSaid, Entry, Instead, Named, Sides};
pub use id::is_id;
pub use job::{Job, JobMachine, JobOil, JobPart, JobRider, JobSkip};
pub use job_line::{JobLine, JobReading, Verdict};
pub use kind::{Home, RecordKind};
pub use legs::OnLegs;
pub use machine::{Machine, STILL_MADE};
pub use part::Part;
pub use phase::Phase;
pub use picture::PictureNote;
pub use procedure::Procedure;
pub use released::{Released, ReleasedCard};
pub use review::Review;
pub use reviews::{Reviews, SeenParts, TextReview};
pub use service::{Pick, Service, ServiceEntry};
pub use settings::{FirstClick, Limits, Public, SafetyValues, SecondSaying, Settings};
pub use singled::Singled;
pub use source::{SourceKind, SourceNote};
pub use spec::{Beside, SpecLine, SpecRecord};
pub use spring::Stock;
pub use template::{
    BLANK, CAUTION_SAYS, COMPLAINT_SAYS, CONDITION_SAYS, PLACEHOLDERS, STEP_PLACEHOLDERS, TOOL_USE, WHY,
};
pub use text::Text;
pub use tool::Tool;
pub use valving::{Arrangement, Damps, Shim, Stack, Valving};

pub(crate) use caution::read_caution;
pub(crate) use complaint::read_complaint;
pub(crate) use conditions::read_conditions;
pub(crate) use heads::{acceptance_schema, head_schema, instead_schema};
pub(crate) use job::read_job;
pub(crate) use kind::stem;
pub(crate) use procedure::read_procedure;
pub(crate) use released::read_released;
pub(crate) use reviews::read_reviews;
pub(crate) use service::read_service;
pub(crate) use settings::{read_fields, read_settings};
pub(crate) use singled::singled;
pub(crate) use spec::{CHOICES_OF_THE_CATALOGUE, read_spec};
pub(crate) use template::{
    CALLED, DATA_SHEET, LABEL, MAKER, MARKING, OIL_MAKER, SHEET, WHAT_IT_IS, acceptance,
};
pub(crate) use text::{A_VALUE, FOR_FORKS};
pub(crate) use tool::read_tool;
pub(crate) use valving::read_valving;
