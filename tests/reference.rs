//! Check values that were published or computed elsewhere, each with its source beside it. A table made by a
//! library or a script lies beside the script that made it, with the versions in its head.

#[path = "reference/bench/mod.rs"]
mod bench;
#[path = "reference/units.rs"]
mod units;
