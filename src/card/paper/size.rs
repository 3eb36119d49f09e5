//! The size of the sheet.

/// The height both A4 and Letter leave inside margins of 8 mm, less a little for rounding, in mm.
pub(super) const HEIGHT: f64 = 262.6;
/// The width both leave, in mm.
pub(super) const WIDTH: f64 = 194.0;
