//! Charts and drawings as SVG, from computed values alone: readable without colour, with title and
//! description, every line named where it stands.

mod chart;
mod force;
mod leg;
mod order;
mod scale;
mod viscosity;

pub use crate::drawing::Drawing;
pub use force::{air_force, leg_force};
pub use leg::drawing;
pub use order::order;
pub use viscosity::viscosity;
