//! Which of the shop's wrenches reads a torque well, until when it is calibrated, and what is set where a crowfoot stands
//! between it and the nut.

use crate::bench::units::{angle, torque};
use crate::bench::wrench::setting;
use crate::date::Date;
use crate::quantity::{Dimension, Quantity};
use crate::record::Tool;

/// A number from decimal text may land one rounding beside a limit.
const ROUNDING: f64 = 1e-9;

/// Whether a wrench reads a torque well, with all of its tolerance left out: the figure itself lies in its range. A tool
/// without a range is not asked.
pub fn reads_well(wrench: &Tool, torque: &Quantity) -> Option<bool> {
    let reads = wrench.torques.as_ref().filter(|reads| reads.dimension() == torque.dimension())?;
    let at = torque.middle_si();
    Some(at >= reads.least_si() - ROUNDING && at <= reads.greatest_si() + ROUNDING)
}

/// The wrenches that read all of these torques well, the first of them the one to take: those in calibration on a day
/// before those that are not, the smallest first. Page and card both ask here.
pub fn wrenches_for<'s>(
    tools: impl IntoIterator<Item = &'s Tool>,
    torques: &[&Quantity],
    on: Option<Date>,
) -> Vec<&'s Tool> {
    let fits = |tool: &&Tool| torques.iter().all(|torque| reads_well(tool, torque) == Some(true));
    let mut out: Vec<&Tool> = tools.into_iter().filter(|tool| tool.torques.is_some()).filter(fits).collect();
    smallest_first(&mut out);
    out.sort_by_key(|tool| ran_out(tool, on).is_some());
    out
}

/// Since when a wrench has been out of calibration on a day; `None` where it is in date, says no interval, or no day is
/// known. One that was never calibrated is out since the day itself.
pub fn ran_out(wrench: &Tool, on: Option<Date>) -> Option<Date> {
    let on = on?;
    wrench.calibrate_months?;
    match calibration(wrench, Some(on)) {
        Some((_, until)) => (until < on).then_some(until),
        None => Some(on),
    }
}

/// Wrenches in the order of their greatest torque.
pub fn smallest_first(wrenches: &mut [&Tool]) {
    let greatest = |tool: &Tool| tool.torques.as_ref().map_or(0.0, Quantity::greatest_si);
    wrenches.sort_by(|a, b| greatest(a).total_cmp(&greatest(b)).then_with(|| a.id.text.cmp(&b.id.text)));
}

/// The last day of a wrench's last calibration before a day, and the day of that calibration; `None` where it was not
/// calibrated before it, or says no interval.
fn calibration(wrench: &Tool, on: Option<Date>) -> Option<(Date, Date)> {
    let months = u16::try_from(wrench.calibrate_months?).ok()?;
    let days = wrench.calibrated.iter().filter_map(|text| Date::read(&text.text));
    let last = days.filter(|calibrated| on.is_none_or(|on| *calibrated <= on)).max()?;
    Some((last, last.after_months(months)))
}

/// Since when a wrench has to be calibrated again, by the last day on record, and in words what it is after that day.
pub fn out_of_calibration(wrench: &Tool, on: Option<Date>) -> Option<(Date, String)> {
    let (last, until) = calibration(wrench, on)?;
    Some((until, format!("`{}` was out of calibration: last on {last}, next due on {until}", wrench.id.text)))
}

/// What to set on a wrench with a crowfoot or an extension for a torque: at a right angle, and in line with the handle,
/// where it makes the wrench longer. N·m, the first as asked. `None` where one of the two says no length, or the lengths
/// make no sense together.
pub fn with_crowfoot(wrench: &Tool, crowfoot: &Tool, asked: &Quantity) -> Option<[f64; 2]> {
    let long = wrench.reach.as_ref()?.length()?;
    let more = crowfoot.extends.as_ref()?.length()?;
    let asked = asked.torque().filter(|_| asked.dimension() == Dimension::Torque)?;
    let at = |turned: f64| setting(torque(asked.value), long, more, angle(turned)).ok().map(|set| set.value);
    Some([at(core::f64::consts::FRAC_PI_2)?, at(0.0)?])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{FieldSpec, Kind, Value, read_value};
    use crate::record::Text;

    fn read(text: &str, dimension: Dimension) -> Quantity {
        let kind = Kind::Quantity(dimension);
        let spec = FieldSpec { kind: &kind, units: &[], title: "it", example: "1", bands: &[] };
        match read_value(text, &spec).0 {
            Some(Value::Quantity(quantity)) => quantity,
            other => panic!("{text}: {other:?}"),
        }
    }

    fn wrench(id: &str, torques: &str) -> Tool {
        Tool {
            id: Text { text: id.to_owned(), ..Text::default() },
            torques: Some(read(torques, Dimension::Torque)),
            reach: Some(read("400 mm", Dimension::Length)),
            calibrated: vec![Text { text: "2025-11-04".to_owned(), ..Text::default() }],
            calibrate_months: Some(12),
            ..Tool::default()
        }
    }

    /// The apprentice takes the wrench that reads the joint, and none is offered where none does.
    #[test]
    fn a_joint_falls_to_the_wrenches_that_read_it_well() {
        let tools = [wrench("small", "2.4..12 N·m"), wrench("medium", "10..50 N·m"), Tool::default()];
        let of = |text: &str| {
            let torque = read(text, Dimension::Torque);
            wrenches_for(&tools, &[&torque], None)
                .iter()
                .map(|tool| tool.id.text.as_str())
                .collect::<Vec<_>>()
        };
        assert_eq!(of("9 N·m"), ["small"]);
        assert_eq!(of("11 N·m"), ["small", "medium"]);
        assert_eq!(of("50 N·m"), ["medium"]);
        assert_eq!(of("50.1 N·m"), [] as [&str; 0]);
        assert_eq!(of("2.3 N·m"), [] as [&str; 0]);
        let (until, words) = out_of_calibration(&tools[1], None).expect("a calibration");
        assert_eq!(until.to_string(), "2026-11-04");
        assert_eq!(words, "`medium` was out of calibration: last on 2025-11-04, next due on 2026-11-04");
    }

    /// The apprentice is not sent to a wrench that nobody has calibrated while another one reads the joint; and where no
    /// other does, the day says so.
    #[test]
    fn a_wrench_in_date_comes_before_a_smaller_one_that_is_not() {
        let fresh = Tool {
            calibrated: vec![Text { text: "2026-03-10".to_owned(), ..Text::default() }],
            ..wrench("large", "22..110 N·m")
        };
        let tools = [wrench("medium", "10..50 N·m"), fresh];
        let of = |text: &str, on: Option<&str>| {
            let torque = read(text, Dimension::Torque);
            let on = on.and_then(Date::read);
            wrenches_for(&tools, &[&torque], on).iter().map(|tool| tool.id.text.as_str()).collect::<Vec<_>>()
        };
        assert_eq!(of("28 N·m", Some("2026-11-04")), ["medium", "large"], "its last day is a day in date");
        assert_eq!(of("28 N·m", Some("2026-11-05")), ["large", "medium"]);
        assert_eq!(of("28 N·m", None), ["medium", "large"], "no day, nothing is judged");
        assert_eq!(of("17 N·m", Some("2026-11-05")), ["medium"]);
        let since = |tool: &Tool, on: &str| ran_out(tool, Date::read(on)).map(|day| day.to_string());
        assert_eq!(since(&tools[0], "2026-11-05").as_deref(), Some("2026-11-04"));
        assert_eq!(since(&tools[1], "2026-11-05"), None);
        assert_eq!(
            since(&Tool { calibrate_months: Some(12), ..Tool::default() }, "2026-11-05").as_deref(),
            Some("2026-11-05")
        );
    }

    /// The lever law by hand: 400 mm and 40 mm in line, 22 N·m × 400/440 = 20 N·m.
    #[test]
    fn a_crowfoot_in_line_wants_less_and_across_the_same() {
        let crowfoot = Tool { extends: Some(read("40 mm", Dimension::Length)), ..Tool::default() };
        let torque = read("22 N·m", Dimension::Torque);
        let [across, in_line] =
            with_crowfoot(&wrench("medium", "10..50 N·m"), &crowfoot, &torque).expect("a setting");
        assert!((across - 22.0).abs() < 1e-9 && (in_line - 20.0).abs() < 1e-9, "{across} {in_line}");
        assert_eq!(with_crowfoot(&wrench("medium", "10..50 N·m"), &Tool::default(), &torque), None);
    }
}
