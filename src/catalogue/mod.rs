//! Every value a fork record can hold, one entry each, and the choices that make up a fork.
//!
//! The catalogue is data: the files under `choices.yaml` and `fields/`, in the notation a shop uses
//! for fields of its own. It is made once at start and handed on as a value.

mod attributes;
mod builtin;
pub mod choice;
mod field;
pub mod key;
mod related;
mod relations;
pub mod stack;
mod when;
mod whole;

pub use attributes::{Attribute, STATE_PARTS, attribute, attributes, by_another_word, state_part};
pub use builtin::builtin;
pub use choice::{Choice, MadeChoice};
pub(crate) use field::own_fields;
pub use field::{Band, Field, Form, Group, Legs, Owner, Per, RawField, RawGroup, Role, Works};
pub use key::{FieldId, Key};
pub use related::{CardRow, Fit, Related, SealSide};
pub use relations::{Bound, Relations, SealFit};
pub use when::{Choices, NAMES, Required, When, made};
pub use whole::Catalogue;
