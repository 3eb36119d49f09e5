//! Instruments: calibrated in time, and fine enough for what they read.

use crate::catalogue::Form;
use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::judge::out_of_calibration;
use crate::quantity::Quantity;
use crate::record::{Text, Tool};
use crate::resolve::{Shop, Side};

/// calibration-over: an instrument was calibrated in time, by the day of the commit; nothing is judged without one.
pub(crate) fn calibrations(shop: &Shop, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    let Some(day) = day else { return };
    for tool in shop.tools.iter().filter(|tool| tool.calibrate_months.is_some()) {
        let what = match out_of_calibration(tool, Some(day.date)) {
            Some((until, _)) if until >= day.date => continue,
            Some((until, _)) => format!("the calibration of `{}` ran out on {until}", tool.id.text),
            None => format!("`{}` was never calibrated", tool.id.text),
        };
        let place = tool.calibrated.last().map_or(tool.id.span, |last| last.span);
        findings.push(
            rules::CALIBRATION_OVER
                .at(place, what)
                .bench("nobody knows how far its readings are out")
                .instead("have it calibrated and add the day, or take it off the bench"),
        );
    }
}

/// instrument-unfit: what an instrument measures is a value, lies in its range, and is told apart by its resolution.
pub(crate) fn fit(shop: &Shop, models: &[CheckedFork], findings: &mut Vec<Finding>) {
    for tool in shop.tools.iter() {
        for named in &tool.measures {
            let Some(id) = shop.catalogue.find(&named.text) else {
                if !shop.catalogue.incomplete {
                    findings.push(no_value(shop, named));
                }
                continue;
            };
            let on = |fork: &CheckedFork| {
                let sides = Side::BOTH.into_iter().filter_map(|side| fork.on(side, id)?.quantity().cloned());
                sides.map(|quantity| (fork.id.clone(), quantity)).collect::<Vec<_>>()
            };
            let form = shop.catalogue.field(id).form;
            let unfit: Vec<(String, String)> = models
                .iter()
                .flat_map(on)
                .filter_map(|(fork, asked)| Some((fork, unfit(tool, form, &asked)?)))
                .collect();
            let Some((first, why)) = unfit.first() else { continue };
            let mut finding = rules::INSTRUMENT_UNFIT
                .at(named.span, format!("`{}` of `{first}`: {why}", named.text))
                .bench("what is read cannot tell a good part from a worn one")
                .instead("take the value out of `measures:`, or name what is finer or longer");
            finding.reaches = unfit.iter().map(|(fork, _)| fork.clone()).collect();
            findings.push(finding);
        }
    }
}

fn no_value(shop: &Shop, named: &Text) -> Finding {
    let keys = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
    rules::INSTRUMENT_UNFIT
        .at(named.span, format!("there is no value `{}`", named.text))
        .bench("nobody is told which instrument reads it")
        .instead(did_you_mean(&named.text, keys, || "use a key of the field reference".to_owned()))
}

/// Why an instrument cannot read a value; `None` where it can, or does not say.
fn unfit(tool: &Tool, form: Form, asked: &Quantity) -> Option<String> {
    let slack = 1e-9 * asked.middle_si().abs().max(1e-9);
    let edge = |at: f64| if at.is_finite() { Some(at) } else { None };
    let (least, most) = (edge(asked.least_si()), edge(asked.greatest_si()));
    if let Some(reads) = tool.reads.as_ref().filter(|reads| reads.dimension() == asked.dimension()) {
        let far = most.or(least).is_some_and(|at| at > reads.greatest_si() + slack);
        let near = form == Form::Target && least.is_some_and(|at| at < reads.least_si() - slack);
        if far || near {
            return Some(format!("{} lies outside of {}", asked.main().shown(), reads.main().shown()));
        }
    }
    let step = tool.resolution.as_ref().filter(|step| step.dimension() == asked.dimension())?;
    let allowed = match form {
        Form::Target => (most? - least?) / 2.0,
        Form::Difference => most?,
        Form::Limit | Form::Range => return None,
    };
    let coarse = allowed > slack && step.middle_si() > allowed + slack;
    coarse.then(|| format!("steps of {} are too large for {}", step.main().shown(), asked.main().shown()))
}
