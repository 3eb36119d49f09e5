//! Made-up forks of every combination of choices: every figure is there or says what it lacks, and figures move the
//! way they must. Facts of the trade without a source are common practice.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::made_up::{combinations, record, shop};
use super::{Air, Answer, DerivedLeg};
use crate::bench::air::SLOW;
use crate::bench::thread::Way;
use crate::bench::units::length;
use crate::catalogue::{Choices, builtin};
use crate::check::CheckedFork;
use crate::pipeline::figures_of_shop;

/// Says of an answer that it is a result, names what it lacks, or is not of this fork.
fn is_told<T>(what: &str, fork: &CheckedFork, answer: &Answer<T>) -> Result<(), String> {
    match answer {
        Answer::Missing(keys) if keys.is_empty() => {
            Err(format!("{what} of {:?} lacks something and does not say what", fork.choices))
        }
        Answer::Silent => Err(format!("{what} of {:?} is silent, and no value is unreadable", fork.choices)),
        _ => Ok(()),
    }
}

fn legs_are_told(fork: &CheckedFork) -> Result<(), String> {
    for leg in &fork.derived.legs {
        is_told("surface", fork, &leg.surface)?;
        is_told("corrections", fork, &leg.corrections)?;
        is_told("air", fork, &leg.air)?;
        is_told("outer chamber", fork, &leg.outer)?;
        is_told("main chamber", fork, &leg.main_chamber)?;
        is_told("balance chamber", fork, &leg.balance_chamber)?;
        is_told("gas", fork, &leg.gas)?;
        is_told("preload", fork, &leg.preload)?;
        is_told("coil bind", fork, &leg.coil_bind)?;
        is_told("assist air", fork, &leg.assist)?;
        is_told("cap force", fork, &leg.cap_force)?;
        is_told("tool force", fork, &leg.tool_force)?;
        is_told("nut", fork, &leg.nut)?;
        is_told("outer bushing", fork, &leg.outer_bushing)?;
        is_told("inner bushing", fork, &leg.inner_bushing)?;
        is_told("forces", fork, &leg.forces)?;
        is_told("warm gap", fork, &leg.warm_gap)?;
        is_told("parts in the oil", fork, &leg.parts)?;
        is_told("what is put in", fork, &leg.inserted)?;
    }
    is_told("drawn in", fork, &fork.derived.drawn_in)?;
    is_told("sag", fork, &fork.derived.sag)?;
    is_told("sag with rider", fork, &fork.derived.sag_rider)
}

#[test]
fn every_figure_of_every_combination_is_there_or_says_what_it_lacks() {
    let catalogue = builtin().expect("the built-in catalogue");
    let all = combinations(&catalogue);
    assert!(all.len() > 500, "{} combinations", all.len());
    let bare = BTreeMap::new();
    let records = all.iter().enumerate().map(|(n, choices)| {
        let id = format!("fork-{n:04}");
        let text = record(&catalogue, &id, choices, &bare);
        (id, text)
    });
    let checked = figures_of_shop(&shop(records));
    assert_eq!(checked.forks.len(), all.len());
    let mut known = 0;
    for fork in &checked.forks {
        legs_are_told(fork).unwrap_or_else(|why| panic!("{why}"));
        known += fork.derived.legs.iter().filter(|leg| leg.forces.known().is_some()).count();
        // A leg that has a spring, air or gas on record and a curve counts all of them.
        for leg in &fork.derived.legs {
            if let Some(forces) = leg.forces.value() {
                assert_eq!(forces.spring.is_some(), leg.spring.value().is_some(), "{:?}", fork.choices);
                assert_eq!(forces.gas.is_some(), leg.gas.value().is_some(), "{:?}", fork.choices);
            }
        }
    }
    assert!(known > all.len() / 2, "{known} legs with a curve of {}", all.len());
}

#[test]
fn a_figure_that_lacks_a_field_names_it() {
    let catalogue = builtin().expect("the built-in catalogue");
    let all = combinations(&catalogue);
    for (key, lacks) in [
        ("tubes.stroke", |leg: &DerivedLeg| leg.forces.missing().to_vec()),
        ("air.balance_volume", |leg: &DerivedLeg| leg.balance_chamber.missing().to_vec()),
        ("air.main_volume", |leg: &DerivedLeg| leg.forces.missing().to_vec()),
        ("spring.rate", |leg: &DerivedLeg| leg.forces.missing().to_vec()),
    ] as [(&str, fn(&DerivedLeg) -> Vec<String>); 4]
    {
        let given = BTreeMap::from([(key, String::new())]);
        let field = catalogue.find(key).map(|id| catalogue.field(id)).expect(key);
        let fits = all.iter().filter(|choices| field.applies.holds(choices) && choices["legs"] == "alike");
        let records = fits.take(40).enumerate().map(|(n, choices)| {
            let id = format!("fork-{n:04}");
            let text = record(&catalogue, &id, choices, &given);
            (id, text)
        });
        let checked = figures_of_shop(&shop(records));
        assert!(!checked.forks.is_empty(), "{key}");
        for fork in &checked.forks {
            let missing = lacks(&fork.derived.legs[0]);
            assert!(missing.iter().any(|lack| lack == key), "{key} of {:?}: {missing:?}", fork.choices);
        }
    }
}

/// One value of every made-up fork at `less` and at `more`: what `holds` says of the two must be so wherever both have
/// the figure, and some must have it.
fn on_every_combination(
    key: &'static str,
    [less, more]: [&str; 2],
    holds: impl Fn(&CheckedFork, &CheckedFork) -> Option<bool>,
) {
    let catalogue = builtin().expect("the built-in catalogue");
    let field = catalogue.find(key).map(|id| catalogue.field(id)).expect(key);
    let all: Vec<_> = combinations(&catalogue).into_iter().filter(|made| field.applies.holds(made)).collect();
    let forks = |value: &str| {
        let given = BTreeMap::from([(key, value.to_owned())]);
        let records = all.iter().enumerate().map(|(n, choices)| {
            let id = format!("fork-{n:04}");
            let text = record(&catalogue, &id, choices, &given);
            (id, text)
        });
        figures_of_shop(&shop(records)).forks
    };
    let mut told = 0;
    for (with_less, with_more) in forks(less).iter().zip(&forks(more)) {
        if let Some(holds) = holds(with_less, with_more) {
            assert!(holds, "{key} of {:?}", with_less.choices);
            told += 1;
        }
    }
    assert!(told > all.len() / 3, "{key}: {told} of {}", all.len());
}

/// One figure of each leg of both forks: whether it moves as `holds` says, where both have it.
fn on_each_leg(
    (less, more): (&CheckedFork, &CheckedFork),
    figure: impl Fn(&DerivedLeg) -> Option<f64>,
    holds: impl Fn(f64, f64) -> bool,
) -> Option<bool> {
    let pairs = less.derived.legs.iter().zip(&more.derived.legs);
    pairs
        .filter_map(|(less, more)| Some(holds(figure(less)?, figure(more)?)))
        .reduce(|one, other| one && other)
}

/// Both sags of two forks: whether they move as `holds` says.
fn on_each_sag((less, more): (&CheckedFork, &CheckedFork), holds: impl Fn(f64, f64) -> bool) -> Option<bool> {
    let sags = |fork: &CheckedFork| {
        [&fork.derived.sag, &fork.derived.sag_rider].map(|sag| sag.value().map(|sag| sag.value))
    };
    let pairs = sags(less).into_iter().zip(sags(more));
    pairs.filter_map(|(less, more)| Some(holds(less?, more?))).reduce(|one, other| one && other)
}

/// All that can be told must hold; `None` where nothing can be told.
fn every(told: impl IntoIterator<Item = Option<bool>>) -> Option<bool> {
    told.into_iter().flatten().reduce(|one, other| one && other)
}

/// The air force at full travel; a leg that locks pushes without end.
fn pushes(at: &super::AtGap) -> f64 {
    at.push.map_or(f64::INFINITY, |push| push.slow.value)
}

/// The same of a closed chamber.
fn encloses(chamber: &super::Enclosed) -> f64 {
    chamber.push.map_or(f64::INFINITY, |push| push.slow.value)
}

#[test]
fn a_stiffer_spring_sags_less_and_pushes_harder_on_every_combination() {
    on_every_combination("spring.rate", ["7 N/mm", "9 N/mm"], |soft, stiff| {
        let held = |leg: &DerivedLeg| {
            let held = leg.cap_force.value()?;
            held.most.as_ref().ok().map(|most| most.force.value)
        };
        let both = (soft, stiff);
        every([
            on_each_sag(both, |soft, stiff| stiff <= soft),
            on_each_leg(both, held, |soft, stiff| stiff > soft),
        ])
    });
}

#[test]
fn a_longer_stroke_leaves_less_room_on_every_combination() {
    on_every_combination("tubes.stroke", ["100 mm", "110 mm"], |short, long| {
        let left = |leg: &DerivedLeg| leg.coil_bind.value().map(|bind| bind.margin.value);
        let both = (short, long);
        let harder = |short: f64, long: f64| long >= short;
        every([
            on_each_leg(both, left, |short, long| long < short),
            on_each_leg(both, |leg| leg.air.value().map(|air| pushes(&air.bench)), harder),
            on_each_leg(both, |leg| leg.air.value().map(|air| pushes(&air.nominal)), harder),
            on_each_leg(both, |leg| leg.outer.value().map(encloses), harder),
            on_each_leg(both, |leg| leg.outer.value().map(|outer| -outer.room.value), harder),
            on_each_leg(both, |leg| leg.main_chamber.value().map(encloses), harder),
        ])
    });
}

/// Gap and level: with less of it the air pushes no less, at the bench and on the road, nominal and at the least that is
/// allowed, and the leg sags no more.
#[test]
fn less_gap_pushes_no_less_on_every_combination() {
    for key in ["oil.air_gap", "oil.level"] {
        on_every_combination(key, ["100 mm ± 2 mm", "130 mm ± 2 mm"], |less, more| {
            let both = (less, more);
            let softer = |less: f64, more: f64| more <= less;
            every([
                on_each_leg(both, |leg| leg.air.value().map(|air| pushes(&air.bench)), softer),
                on_each_leg(both, |leg| leg.air.value().map(|air| pushes(&air.nominal)), softer),
                on_each_leg(both, |leg| leg.air.value().map(|air| pushes(&air.least)), softer),
                on_each_leg(
                    both,
                    |leg| Some(pushes(&leg.air.value()?.least) - pushes(&leg.air.value()?.nominal)),
                    |less, more| {
                        // The least that is allowed pushes no less than the target; two locks tell nothing.
                        [less, more].iter().all(|off| *off >= 0.0 || off.is_nan())
                    },
                ),
                on_each_sag(both, |less, more| more >= less),
            ])
        });
    }
}

/// Each fork on warmer oil, and with more of it.
#[test]
fn warmer_oil_reads_no_larger_gap_on_every_combination() {
    on_every_combination("oil.dry_fill", ["350 mL", "450 mL"], |less, more| {
        let falls = |leg: &DerivedLeg| {
            let warm = leg.warm_gap.value()?;
            let falls = warm.targets.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[1].1 <= pair[0].1);
            let works = warm.working <= warm.bench && warm.ten_degrees.value <= 0.0;
            Some(f64::from(u8::from(falls && works)))
        };
        let by = |leg: &DerivedLeg| leg.warm_gap.value().map(|warm| (warm.bench - warm.working).value);
        let both = (less, more);
        every([
            on_each_leg(both, falls, |less, more| less == 1.0 && more == 1.0),
            on_each_leg(both, by, |less, more| more > less),
        ])
    });
}

#[test]
fn a_heavier_load_sags_no_less_on_every_combination() {
    for key in ["setup.front_load", "setup.front_load_rider"] {
        on_every_combination(key, ["100 kg", "120 kg"], |light, heavy| {
            on_each_sag((light, heavy), |light, heavy| heavy >= light)
        });
    }
}

/// More pressure carries no less, and no gauge of a warmer leg reads less.
#[test]
fn more_pressure_pushes_no_less_on_every_combination() {
    on_every_combination("air.main_pressure", ["700 kPa", "900 kPa"], |less, more| {
        let both = (less, more);
        let rises = |leg: &DerivedLeg| {
            let all = leg.gauges.iter().all(|gauge| gauge.readings.windows(2).all(|two| two[1].1 > two[0].1));
            Some(f64::from(u8::from(all)))
        };
        every([
            on_each_leg(both, |leg| leg.main_chamber.value().map(encloses), |less, more| more > less),
            on_each_leg(both, rises, |less, more| less == 1.0 && more == 1.0),
            on_each_sag(both, |less, more| more <= less),
        ])
    });
}

/// Less outer air pushes no less.
#[test]
fn less_outer_air_pushes_no_less_on_every_combination() {
    on_every_combination("oil.outer_air_volume", ["550 mL", "750 mL"], |less, more| {
        let both = (less, more);
        every([
            on_each_leg(both, |leg| leg.outer.value().map(encloses), |less, more| more <= less),
            on_each_leg(
                both,
                |leg| leg.outer.value().map(|outer| outer.room.value),
                |less, more| more > less,
            ),
            on_each_sag(both, |less, more| more >= less),
        ])
    });
}

/// What is named in a caution is never less than what is met in the order as written.
#[test]
fn the_force_in_a_caution_is_the_largest_on_every_combination() {
    on_every_combination("spring.preload", ["6 mm", "12 mm"], |less, more| {
        let forces = |fork: &CheckedFork| {
            let leg = &fork.derived.legs[0];
            [&leg.cap_force, &leg.tool_force].map(|force| force.value().cloned())
        };
        let (less, more) = (forces(less), forces(more));
        // Nothing is said of a force that cannot be worked out.
        let most = |held: &super::Held| held.most.as_ref().ok().map(|most| (most.force, held.in_order));
        let all = less.iter().zip(&more).filter_map(|(less, more)| less.as_ref().zip(more.as_ref()));
        let all = all.filter_map(|(less, more)| most(less).zip(most(more)));
        all.map(|((less, less_in_order), (more, more_in_order))| {
            let largest = |most, in_order: Option<crate::bench::spring::StoredForce>| {
                in_order.is_none_or(|one| most > one.force)
            };
            largest(less, less_in_order) && largest(more, more_in_order) && more > less
        })
        .reduce(|a, b| a && b)
    });
}

/// Main chamber empty, balance chamber full: more balance air never draws the leg in less, and a heavier wheel never more.
#[test]
fn balance_air_draws_the_leg_in_and_the_wheel_holds_it_out_on_every_combination() {
    let goes = |fork: &CheckedFork| fork.derived.drawn_in.value().map(|drawn| (drawn.travel, drawn.pull));
    on_every_combination("air.balance_pressure", ["500 kPa", "900 kPa"], |less, more| {
        let (less, more) = goes(less).zip(goes(more))?;
        Some(more.0 >= less.0 && more.1 > less.1)
    });
    let all = |value: &str| {
        let catalogue = builtin().expect("the built-in catalogue");
        let given = BTreeMap::from([("setup.unsprung_mass", value.to_owned())]);
        let made = combinations(&catalogue).into_iter().enumerate().step_by(7);
        let records = made.map(|(n, choices)| {
            let id = format!("fork-{n:04}");
            let text = record(&catalogue, &id, &choices, &given);
            (id, text)
        });
        figures_of_shop(&shop(records)).forks
    };
    let (lighter, heavier) = (all("10 kg"), all("20 kg"));
    let told = lighter.iter().zip(&heavier).filter_map(|(light, heavy)| {
        let (light, heavy) = goes(light).zip(goes(heavy))?;
        assert!(heavy.0 <= light.0, "{light:?} {heavy:?}");
        Some(())
    });
    assert!(told.count() > 3);
}

/// An inverted open cartridge with its spring on top, and a bottom spring set by a level read with the spring in.
fn gap_fork(values: &[(&'static str, String)], by_level: bool) -> CheckedFork {
    let catalogue = builtin().expect("the built-in catalogue");
    let words: &[(&str, &str)] = if by_level {
        &[("damping", "sealed-damper"), ("springing", "coil-bottom"), ("oil_set_by", "level")]
    } else {
        &[("damping", "open-cartridge"), ("springing", "coil-top"), ("oil_set_by", "air-gap")]
    };
    let mut choices = Choices::from([
        ("orientation".to_owned(), "inverted".to_owned()),
        ("legs".to_owned(), "alike".to_owned()),
    ]);
    choices.extend(words.iter().map(|(choice, option)| ((*choice).to_owned(), (*option).to_owned())));
    let mut given = BTreeMap::from([
        ("tubes.stanchion_diameter", "43 mm".to_owned()),
        ("tubes.bore", "39 mm".to_owned()),
        ("tubes.rod_diameter", "12 mm".to_owned()),
        ("tubes.stroke", "118 mm".to_owned()),
        ("tubes.extended_length", String::new()),
        ("oil.surface_slope", String::new()),
        ("oil.air_gap", "112 mm ± 2 mm".to_owned()),
        ("oil.level", "112 mm ± 2 mm".to_owned()),
        ("oil.dry_fill", "440 mL".to_owned()),
        ("oil.oil", "fork-oil-15".to_owned()),
        ("spring.rate", "9 N/mm".to_owned()),
        ("spring.preload", "14 mm".to_owned()),
        ("spring.mass", "360 g".to_owned()),
        ("spring.spacer_length", "90 mm".to_owned()),
        ("spring.spacer_mass", "40 g".to_owned()),
        ("spring.spacer_material", "aluminum".to_owned()),
        ("spring.cap_intrusion", "8 mL".to_owned()),
        ("spring.top_out_rate", String::new()),
        ("spring.top_out_length", String::new()),
        ("adjusters.preload", String::new()),
        ("setup.front_load", "100 kg".to_owned()),
        ("setup.front_load_rider", "140 kg".to_owned()),
        ("setup.unsprung_mass", "16 kg".to_owned()),
        ("setup.rake", "25 °".to_owned()),
    ]);
    given.extend(values.iter().cloned());
    let mut text = record(&catalogue, "fork-0000", &choices, &given);
    if by_level {
        text = text.replace("spring: out", "spring: in");
    }
    let mut checked = figures_of_shop(&shop([("fork-0000".to_owned(), text)]));
    checked.forks.remove(0)
}

fn air(fork: &CheckedFork) -> &Air {
    fork.derived.legs[0].air.value().unwrap_or_else(|| panic!("{:?}", fork.derived.legs[0].air))
}

/// The force at full travel; a leg that locks pushes without end.
fn push(fork: &CheckedFork) -> f64 {
    air(fork).bench.push.map_or(f64::INFINITY, |push| push.slow.value)
}

fn sag(fork: &CheckedFork) -> f64 {
    fork.derived.sag_rider.value().unwrap_or_else(|| panic!("{:?}", fork.derived.sag_rider)).value
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn a_stiffer_spring_never_sags_more(rate in 6.0f64..11.0, more in 0.1f64..2.0, by_level: bool) {
        let with = |rate: f64| sag(&gap_fork(&[("spring.rate", format!("{rate:.2} N/mm"))], by_level));
        prop_assert!(with(rate + more) <= with(rate));
    }

    #[test]
    fn less_gap_never_pushes_less(gap in 60.0f64..150.0, less in 1.0f64..30.0, by_level: bool) {
        let with = |gap: f64| {
            let text = format!("{gap:.1} mm ± 1 mm");
            push(&gap_fork(&[("oil.air_gap", text.clone()), ("oil.level", text)], by_level))
        };
        prop_assert!(with(gap - less) >= with(gap));
    }

    #[test]
    fn a_longer_stroke_never_leaves_more_room(stroke in 90.0f64..130.0, more in 1.0f64..20.0) {
        let with = |stroke: f64| gap_fork(&[("tubes.stroke", format!("{stroke:.1} mm"))], false);
        let (short, long) = (with(stroke), with(stroke + more));
        let left = |fork: &CheckedFork| fork.derived.legs[0].coil_bind.value().map(|bind| bind.margin.value);
        prop_assert!(left(&long) < left(&short));
        prop_assert!(push(&long) >= push(&short));
    }

    #[test]
    fn warmer_oil_never_reads_a_larger_gap(fill in 300.0f64..600.0, by_level: bool) {
        let fork = gap_fork(&[("oil.dry_fill", format!("{fill:.0} mL"))], by_level);
        let warm = fork.derived.legs[0].warm_gap.value().cloned();
        let warm = warm.unwrap_or_else(|| panic!("{:?}", fork.derived.legs[0].warm_gap));
        prop_assert!(warm.working.value <= warm.bench.value);
        prop_assert!(warm.ten_degrees.value <= 0.0);
    }

    /// More preload is more force at every travel, and never more sag: one account for both.
    #[test]
    fn preload_counts_alike_in_sag_and_force(preload in 4.0f64..20.0, more in 0.5f64..10.0) {
        let with = |preload: f64| gap_fork(&[("spring.preload", format!("{preload:.1} mm"))], false);
        let (less, more) = (with(preload), with(preload + more));
        let force = |fork: &CheckedFork, travel: f64| {
            let forces = fork.derived.legs[0].forces.value().expect("a curve");
            forces.force_at(length(travel), SLOW).expect("a force").value
        };
        for travel in [0.0, 0.03, 0.08] {
            prop_assert!(force(&more, travel) > force(&less, travel));
        }
        prop_assert!(sag(&more) <= sag(&less));
    }
}

/// By hand, for a leg read with its spring in: the spacer's part above the level takes its room, the rest of it is
/// in the reading already. Ring π/4 × (39² − 12²) = 1081.5 mm²; the spacer of 40 g aluminum is 14.81 mL over 90 mm,
/// 164.6 mm² of it; at a level of 70 mm (1081.5 − 164.6) × 70 = 64.18 mL, less 8 mL of cap.
#[test]
fn a_level_read_with_the_spring_in_counts_what_stands_above_it() {
    let fork = gap_fork(&[("oil.level", "70 mm ± 2 mm".to_owned())], true);
    let closed = air(&fork).leg.closed_volume().expect("room").value * 1e6;
    assert!((closed - (64.18 - 8.0)).abs() < 0.05, "{closed}");
    let slope = fork.derived.legs[0].surface.value().expect("a surface");
    let slope = slope.slope_at(length(0.07)).expect("a slope").value * 1e3;
    assert!((slope - 0.9169).abs() < 1e-3, "{slope}");
}

/// Which way the nut turns is said on record, not read off the words for its faces. Common practice, no source: with
/// more rod out of the nut than wanted it goes towards the rod's end; with more nut above a face below it, away.
#[test]
fn a_rod_nut_turns_as_the_record_says_and_not_as_its_words_sound() {
    let nut = |faces: &str| {
        let given = [
            ("rod_nut.height", "12 mm".to_owned()),
            ("rod_nut.from", "the nut".to_owned()),
            ("rod_nut.to", "the end of the rod".to_owned()),
            ("rod_nut.pitch", "1 mm".to_owned()),
            ("rod_nut.faces", faces.to_owned()),
        ];
        gap_fork(&given, false).derived.legs[0].nut.clone()
    };
    let way_at_13 = |faces: &str| {
        let nut = nut(faces);
        let nut = nut.value().unwrap_or_else(|| panic!("{nut:?}"));
        nut.readings.iter().find(|(reading, _)| (reading.value - 0.013).abs() < 1e-9).expect("13 mm").1.way
    };
    assert_eq!(way_at_13("nut-to-rod-end"), Way::UpTheRod);
    assert_eq!(way_at_13("below-to-nut"), Way::DownTheRod);
    assert_eq!(nut("").missing(), ["rod_nut.faces"]);
}

/// Of legs that do different work the one without a spring has no assist air: its air starts from the atmosphere, and
/// nobody is asked for a pressure that it does not have.
#[test]
fn the_leg_without_a_spring_has_no_assist_air() {
    let catalogue = builtin().expect("the built-in catalogue");
    let split = |made: &Choices| made["legs"] == "spring-left" && made["springing"] == "air-assisted-coil";
    let fits = combinations(&catalogue).into_iter().filter(split);
    let records = fits.enumerate().map(|(n, choices)| {
        let id = format!("fork-{n:04}");
        let text = record(&catalogue, &id, &choices, &BTreeMap::new());
        (id, text)
    });
    let checked = figures_of_shop(&shop(records));
    let of_height = checked.forks.iter().filter(|fork| !matches!(fork.derived.legs[1].air, Answer::NotHere));
    let mut told = 0;
    for fork in of_height {
        let right = &fork.derived.legs[1].air;
        let start = right.value().map(|air| air.leg.start.value);
        assert_eq!(start, Some(crate::bench::units::ATMOSPHERE), "{right:?} of {:?}", fork.choices);
        told += 1;
    }
    assert!(told > 3, "{told}");
}
