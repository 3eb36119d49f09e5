//! What a rule reads. A rule is a function; the rooms list theirs by these kinds.

use crate::check::CheckedFork;
use crate::check::value::slips::Peers;
use crate::diagnostic::Finding;
use crate::plan::{Plan, Plans};
use crate::record::SpecRecord;
use crate::resolve::{ResolvedFork, Shop};

/// A rule on one resolved fork.
pub(crate) type ForkRule = fn(&Shop, &ResolvedFork, &mut Vec<Finding>);

/// A rule on one record that holds values, of a fork or another.
pub(crate) type RecordRule = fn(&Shop, &SpecRecord, &mut Vec<Finding>);

/// A rule on what is no fork and no job: procedures, cautions, conditions, services, tools, oils, settings.
pub(crate) type TextRule = fn(&Shop, &mut Vec<Finding>);

/// A rule on the shop as a whole.
pub(crate) type ShopRule = fn(&Shop, &[CheckedFork], &mut Vec<Finding>);

/// A rule on what the services do for one fork.
pub(crate) type ForkPlanRule = fn(&Shop, &CheckedFork, &[Plan<'_>], &mut Vec<Finding>);

/// A rule on what the services do for all forks. In a list of rules that sum up, what is said of several forks is what is
/// said of each, put together.
pub(crate) type PlanRule = fn(&Shop, &[CheckedFork], &Plans<'_>, &mut Vec<Finding>);

/// A rule on a value among those of like forks.
pub(crate) type PeerRule = fn(&Shop, &[CheckedFork], &Peers<'_>, &mut Vec<Finding>);
