//! The sizes of a card's sheet, as its style sheet `templates/card.css` has them.

/// In mm.
pub(super) const SHEET_WIDTH: f64 = 194.0;
/// In mm.
pub(super) const SHEET_HEIGHT: f64 = 262.6;
/// In mm.
pub(super) const FRONT_GAP: f64 = 2.0;
/// In mm.
pub(super) const BACK_GAP: f64 = 1.5;
/// A factor.
pub(super) const LINE: f64 = 1.16;
/// A factor.
pub(super) const SMALL_LINE: f64 = 1.12;
/// In mm.
pub(super) const HEAD_GAP: f64 = 3.0;
/// In mm.
pub(super) const HEAD_PAD: f64 = 1.4;
/// In mm.
pub(super) const HEAD_RULE: f64 = 0.7;
/// In points.
pub(super) const SHOP_TYPE: f64 = 9.0;
/// In points.
pub(super) const TITLE_TYPE: f64 = 19.0;
/// A factor.
pub(super) const TITLE_LINE: f64 = 1.1;
/// In points.
pub(super) const SERVICE_TYPE: f64 = 10.0;
/// In mm.
pub(super) const CODES_WIDTH: f64 = 52.0;
/// In mm.
pub(super) const QR_SIZE: f64 = 19.0;
/// In mm.
pub(super) const BOX_HEIGHT: f64 = 12.4;
/// In mm.
pub(super) const BACK_BOX_HEIGHT: f64 = 11.2;
/// In points.
pub(super) const CAUTION_TYPE: f64 = 9.0;
/// A factor.
pub(super) const CAUTION_LINE: f64 = 1.14;
/// In mm.
pub(super) const CAUTION_PAD: f64 = 0.4;
/// In mm.
pub(super) const CAUTION_GAP: f64 = 3.0;
/// In mm.
pub(super) const CAUTION_ROW_GAP: f64 = 1.0;
/// In mm.
pub(super) const SIGNAL_WIDTH: f64 = 23.0;
/// In mm.
pub(super) const SIGNAL_GAP: f64 = 1.6;
/// In mm.
pub(super) const HALF_GAP: f64 = 4.0;
/// In mm.
pub(super) const LABEL_WIDTH: f64 = 34.0;
/// In points.
pub(super) const LABEL_TYPE: f64 = 11.0;
/// In mm.
pub(super) const LABEL_PAD: f64 = 1.2;
/// In mm.
pub(super) const NUMBER_GAP: f64 = 1.5;
/// In points.
pub(super) const VALUE_TYPE: f64 = 17.0;
/// In points.
pub(super) const TOLERANCE_TYPE: f64 = 11.0;
/// In points.
pub(super) const SECOND_TYPE: f64 = 9.5;
/// In points.
pub(super) const STATE_TYPE: f64 = 8.5;
/// In mm.
pub(super) const NUMBER_BOX_WIDTH: f64 = 13.0;
/// In mm.
pub(super) const NUMBER_BOX_HEIGHT: f64 = 9.6;
/// A share.
pub(super) const READ_LABEL: f64 = 0.36;
/// In points.
pub(super) const READ_TYPE: f64 = 10.5;
/// A factor.
pub(super) const READ_LINE: f64 = 1.05;
/// In points.
pub(super) const HINT_TYPE: f64 = 8.5;
/// In mm.
pub(super) const READ_BOX_HEIGHT: f64 = 9.5;
/// In points.
pub(super) const SMALL_TYPE: f64 = 8.5;
/// In mm.
pub(super) const STEP_GAP: f64 = 3.0;
/// In mm.
pub(super) const STEP_BOX_WIDTH: f64 = 12.4;
/// In mm.
pub(super) const STEP_BOX_GAP: f64 = 1.6;
/// In points.
pub(super) const STEP_TYPE: f64 = 11.0;
/// A factor.
pub(super) const STEP_LINE: f64 = 1.12;
/// In mm.
pub(super) const STEP_HEIGHT: f64 = 9.7;
/// In mm.
pub(super) const TORQUE_GAP: f64 = 4.0;
/// In mm.
pub(super) const ORDER_WIDTH: f64 = 4.5;
/// In mm.
pub(super) const TORQUE_BOX_WIDTH: f64 = 12.2;
/// In mm.
pub(super) const TORQUE_BOX_HEIGHT: f64 = 9.2;
/// In mm.
pub(super) const TORQUE_LABEL_PAD: f64 = 1.0;
/// In mm.
pub(super) const TABLE_GAP: f64 = 4.0;
/// In points.
pub(super) const TABLE_TYPE: f64 = 9.0;
/// A factor.
pub(super) const TABLE_TITLE_LINE: f64 = 1.2;
/// In mm.
pub(super) const TABLE_ROW: f64 = 4.8;
/// In points.
pub(super) const NOTES_TYPE: f64 = 9.0;
/// A factor.
pub(super) const NOTES_LINE: f64 = 1.14;

/// What a browser rounds up on a block with a frame, in mm.
pub(super) const ROUNDING: f64 = 0.1;

/// The frame of a box to write in, in mm.
pub(super) const FRAME: f64 = 0.3;
