//! A joint of a fork's record, named on the command line.

use super::asked::{Asked, Input, Takes};
use super::sheet::Refusal;
use crate::catalogue::{Field, FieldId};
use crate::diagnostic::did_you_mean;
use crate::quantity::{Quantity, Value};
use crate::resolve::Resolved;

/// The option that names it.
pub(super) const JOINT: Input = Input {
    name: "joint",
    help: "the joint of the fork's record, by its name there",
    example: "cap_to_tube",
    takes: Takes::Text,
    keys: &[],
};

/// The joint that is named; `None` without a fork, or where a torque is given instead. With a fork and neither, the
/// refusal says which joints there are.
pub(super) fn recorded<'a>(asked: &Asked<'a>) -> Result<Option<&'a Resolved>, Refusal> {
    let Some(fork) = asked.fork else { return Ok(None) };
    let joints = || fork.shop.catalogue.iter().filter(|(_, field)| field.group == "torque");
    let torque_of = |id: FieldId| fork.fork.on(fork.side, id).filter(|joint| joint.quantity().is_some());
    let recorded =
        || joints().filter(|(id, _)| torque_of(*id).is_some()).map(|(_, field)| field.name.as_str());
    let Some(Value::Text(name)) = asked.value("joint")? else {
        if asked.was_given("torque") {
            return Ok(None);
        }
        let names: Vec<&str> = recorded().collect();
        let such = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
        return Err(Refusal(format!(
            "say which joint of {} with `--joint`, or a torque with `--torque`; its record gives: {such}",
            fork.fork.id
        )));
    };
    let named = |(_, field): &(FieldId, &Field)| field.name == name.trim();
    let Some((id, _)) = joints().find(named) else {
        let hint =
            did_you_mean(&name, recorded(), || "name one as the record does, such as `axle`".to_owned());
        return Err(Refusal(format!("there is no joint `{name}`: {hint}")));
    };
    let none = || Refusal(format!("the record of {} gives no torque for `{name}`", fork.fork.id));
    fork.uses(id);
    torque_of(id).map(Some).ok_or_else(none)
}

/// The torque that was given, else that of the joint, else what is needed is told.
pub(super) fn torque(asked: &Asked<'_>, joint: Option<&Resolved>) -> Result<Quantity, Refusal> {
    match joint.filter(|_| !asked.was_given("torque")).and_then(Resolved::quantity) {
        Some(quantity) => Ok(quantity.clone()),
        None => asked.quantity("torque"),
    }
}
