//! A reading against what the fork asks for: inside, outside by how much, and what to do about it. Pure: the same
//! tables and the same words for `check`, for the pages of jobs and for whatever else holds a reading.

mod asked;
mod boxes;
mod due;
mod evidence;
mod job;
mod left_out;
mod machines;
mod personal;
mod possible;
mod remedy;
mod table;
mod typed;
mod unticked;
mod warmth;
mod wear;
mod words;
mod wrenches;

pub use asked::{Asked, AskedValue, Bound, Difference, asked};
pub use boxes::{ReadingBox, boxes};
pub use due::{NextDue, in_order, next_due};
pub use evidence::{Evidence, FEWEST_JOBS, evidence};
pub use job::{JudgedLine, Sheets, judge_job};
pub use left_out::{LeftOut, left_out};
pub use machines::{Machines, following, machines};
pub use personal::{Telling, personal};
pub use possible::Possible;
pub use remedy::Remedy;
pub use table::Tables;
pub use typed::{judge_settled, judge_typed, judge_typed_pair};
pub use unticked::unticked;
pub use warmth::Warmth;
pub use wear::{Wear, wear, worn_before};
pub use words::{Judged, Outcome, judge, judge_pair, number};
pub use wrenches::{out_of_calibration, ran_out, reads_well, smallest_first, with_crowfoot, wrenches_for};
