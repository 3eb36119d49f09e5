//! Mistakes in the figures of forks and families.

use benchleaf::catalogue::{Form, Role};
use benchleaf::quantity::{Dimension, Quantity, Saying, Shape, Unit, unit};
use benchleaf::record::Sides;
use benchleaf::text::Span;

use crate::mistake::{Change, Mistake};
use crate::random::Random;
use crate::world::{Line, World, taken_out};

/// The units that sheets print, in groups that are taken for one another (common practice, no source).
const PRINTED: [&[&str]; 6] = [
    &["N·m", "lbf·ft", "lbf·in", "kgf·m"],
    &["mL", "US fl oz", "imp fl oz"],
    &["kPa", "psi", "bar", "kgf/cm²"],
    &["mm", "in"],
    &["N/mm", "lbf/in", "kgf/mm"],
    &["kg", "lb"],
];

/// How two units of one kind stand to each other.
fn far(one: &Unit, other: &Unit) -> bool {
    let ratio = one.to_si(1.0) / other.to_si(1.0);
    !(0.2..=5.0).contains(&ratio)
}

/// The other units that a number is taken for.
fn others(said: &Unit) -> impl Iterator<Item = &'static Unit> {
    let symbol = said.symbol;
    let group = PRINTED.iter().find(move |group| group.contains(&symbol)).copied().unwrap_or(&[]);
    group.iter().filter(move |other| **other != symbol).filter_map(|symbol| unit(symbol))
}

/// A number with as many decimals as a sheet would print.
fn written(like: &Saying, value: f64) -> String {
    let places = usize::from(like.shape.number().decimals());
    let needed = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        size if size >= 1.0 => 2,
        _ => 3,
    };
    format!("{value:.*}", places.max(needed))
}

/// A figure that can slip: one number, said once or twice.
struct Figure<'q> {
    main: &'q Saying,
    twin: Option<&'q Saying>,
}

impl<'q> Figure<'q> {
    fn of(quantity: &'q Quantity) -> Option<Self> {
        let plain = |said: &Saying| !matches!(said.shape, Shape::Range { .. } | Shape::Limits { .. });
        match quantity.sayings.as_slice() {
            [main] if plain(main) => Some(Figure { main, twin: None }),
            [main, twin] if plain(main) && plain(twin) => Some(Figure { main, twin: Some(twin) }),
            _ => None,
        }
    }

    fn number(&self) -> String {
        self.main.shape.number().to_string()
    }

    /// The value with another number or label; the second unit as it was, worked out, or left out.
    fn phrase(&self, number: &str, symbol: &str, twin: Twin) -> String {
        let (sign, tolerance) = match &self.main.shape {
            Shape::AtMost(_) => ("≤ ", String::new()),
            Shape::AtLeast(_) => ("≥ ", String::new()),
            Shape::PlusMinus { tolerance, .. } => ("", format!(" ± {tolerance} {symbol}")),
            _ => ("", String::new()),
        };
        let second = self.twin.and_then(|said| {
            let kept = said.shape.number().to_string();
            let worked = || {
                let si = unit(symbol)?.to_si(number.parse().ok()?);
                Some(written(said, said.unit.from_si(si)))
            };
            let number = match twin {
                Twin::Kept => Some(kept),
                Twin::Worked => worked(),
                Twin::Gone => None,
            };
            number.map(|number| format!(" ({number} {})", said.unit.symbol))
        });
        format!("{sign}{number} {symbol}{tolerance}{}", second.unwrap_or_default())
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Twin {
    Kept,
    Worked,
    Gone,
}

/// A text as YAML takes it at this place.
fn as_yaml(world: &World, span: Span, text: &str) -> String {
    let quoted = world.text(span).starts_with('"');
    if quoted || text.contains([',', '#', '{', '[']) { format!("\"{text}\"") } else { text.to_owned() }
}

/// The line's value reads otherwise.
fn instead(world: &World, line: &Line<'_>, text: &str) -> Mistake {
    let change = world.within(line.line.span, line.entry.span, as_yaml(world, line.entry.span, text));
    let what = format!("{} {}: `{}` reads `{text}`", line.record.name(), line.field.key, line.entry.text);
    let mistake = Mistake::new(what, change).hurts(line.field.safety).words([text]);
    match line.entry.value.as_ref().and_then(|value| value.quantity()) {
        Some(quantity) => mistake.truth(line.id, quantity.middle_si()),
        None => mistake,
    }
}

/// Each figure that can slip, with what is made of it.
fn each(world: &World, mut make: impl FnMut(&Line<'_>, &Figure<'_>) -> Vec<String>) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(quantity) = line.entry.value.as_ref().and_then(|value| value.quantity()) else { continue };
        let Some(figure) = Figure::of(quantity).filter(|_| quantity.middle_si() > 0.0) else { continue };
        let texts = make(&line, &figure);
        out.extend(
            texts.iter().filter(|text| **text != line.entry.text).map(|text| instead(world, &line, text)),
        );
    }
    out
}

/// The label of another unit.
pub fn label(world: &World, wanted_far: bool, with_twin: bool) -> Vec<Mistake> {
    each(world, |_, figure| {
        if with_twin && figure.twin.is_none() {
            return Vec::new();
        }
        let twin = if with_twin { Twin::Kept } else { Twin::Worked };
        others(figure.main.unit)
            .filter(|other| far(figure.main.unit, other) == wanted_far)
            .map(|other| figure.phrase(&figure.number(), other.symbol, twin))
            .collect()
    })
}

/// The second unit's number under the first one's label.
pub fn number_twin(world: &World) -> Vec<Mistake> {
    each(world, |_, figure| {
        let second = figure.twin.map(|twin| twin.shape.number().to_string());
        second.map(|number| figure.phrase(&number, figure.main.unit.symbol, Twin::Kept)).into_iter().collect()
    })
}

/// Numbers made wrong by `wrong`, the second unit kept or worked out.
fn numbers(world: &World, with_twin: bool, mut wrong: impl FnMut(&str) -> Option<String>) -> Vec<Mistake> {
    each(world, |_, figure| {
        if with_twin && figure.twin.is_none() {
            return Vec::new();
        }
        let number = figure.number();
        let twin = if with_twin { Twin::Kept } else { Twin::Worked };
        let Some(there) = wrong(&number) else { return Vec::new() };
        let (old, new) = (number.parse::<f64>().unwrap_or(0.0), there.parse::<f64>().unwrap_or(0.0));
        // What differs by less than a twentieth is no mistake that a sheet's rounding lets anybody see.
        let differs = old > 0.0 && (new / old - 1.0).abs() >= 0.05;
        if differs { vec![figure.phrase(&there, figure.main.unit.symbol, twin)] } else { Vec::new() }
    })
}

pub fn point(world: &World, with_twin: bool) -> Vec<Mistake> {
    numbers(world, with_twin, |number| match number.split_once('.') {
        Some((whole, rest)) => Some(format!("{whole}{rest}").trim_start_matches('0').to_owned()),
        None if number.len() > 1 => {
            let (most, last) = number.split_at(number.len() - 1);
            Some(format!("{most}.{last}"))
        }
        None => None,
    })
}

/// Two neighboring digits exchanged.
fn swapped(random: &mut Random, number: &str) -> Option<String> {
    let places: Vec<usize> =
        number.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at).collect();
    let pairs: Vec<String> = places
        .windows(2)
        .filter_map(|pair| {
            let mut letters: Vec<char> = number.chars().collect();
            letters.swap(pair[0], pair[1]);
            let there: String = letters.into_iter().collect();
            (there != number && !there.starts_with('0')).then_some(there)
        })
        .collect();
    random.of_list(&pairs).cloned()
}

pub fn digits(world: &World, random: &mut Random, with_twin: bool) -> Vec<Mistake> {
    numbers(world, with_twin, |number| swapped(random, number))
}

/// One digit another.
fn mistyped(random: &mut Random, number: &str) -> Option<String> {
    let places: Vec<usize> =
        number.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at).collect();
    let at = *random.of_list(&places)?;
    let there = char::from(b'1' + u8::try_from(random.below(9)).ok()?);
    let mut out = number.to_owned();
    out.replace_range(at..=at, &there.to_string());
    Some(out)
}

pub fn digit(world: &World, random: &mut Random, with_twin: bool) -> Vec<Mistake> {
    numbers(world, with_twin, |number| mistyped(random, number))
}

/// A family's torque, one digit wrong and the second unit with it.
pub fn family_number(world: &World, random: &mut Random) -> Vec<Mistake> {
    let all = digit(world, random, false);
    all.into_iter()
        .filter(|mistake| mistake.what.starts_with("family") && mistake.what.contains(" torque."))
        .collect()
}

pub fn comma(world: &World) -> Vec<Mistake> {
    each(world, |line, figure| {
        let number = figure.number();
        let there =
            number.contains('.').then(|| line.entry.text.replacen(&number, &number.replace('.', ","), 1));
        there.into_iter().collect()
    })
}

pub fn bare(world: &World) -> Vec<Mistake> {
    each(world, |_, figure| vec![figure.number()])
}

/// A unit that means two things, behind the number of the unit that was meant; or one of another kind.
pub fn other_unit(world: &World, units: &[(Dimension, &str, Option<&str>)]) -> Vec<Mistake> {
    each(world, |_, figure| {
        let said = |said: &Saying, symbol: &str| format!("{} {symbol}", said.shape.number());
        let fits = units.iter().filter(|(dimension, ..)| *dimension == figure.main.unit.dimension);
        fits.filter_map(|(_, symbol, meant)| match meant {
            // Whoever writes `lb` has an inch sheet's number.
            Some(meant) => {
                let both = [Some(figure.main), figure.twin];
                both.into_iter().flatten().find(|one| one.unit.symbol == *meant).map(|one| said(one, symbol))
            }
            None => Some(said(figure.main, symbol)),
        })
        .collect()
    })
}

pub fn tolerance(world: &World) -> Vec<Mistake> {
    each(world, |line, figure| {
        let exact = matches!(figure.main.shape, Shape::Exact(_) | Shape::PlusMinus { .. });
        if !exact || line.field.form != Form::Target || line.field.role == Role::Fitted {
            return Vec::new();
        }
        let (number, symbol) = (figure.number(), figure.main.unit.symbol);
        let half = number.parse::<f64>().unwrap_or(0.0) / 2.0;
        let twin = figure.twin.map(|twin| format!(" ({} {})", twin.shape.number(), twin.unit.symbol));
        vec![format!(
            "{number} {symbol} ± {} {symbol}{}",
            written(figure.main, half),
            twin.unwrap_or_default()
        )]
    })
}

/// The greatest number of a range or limit, in its unit.
fn greatest(quantity: &Quantity) -> Option<f64> {
    let number = match &quantity.main().shape {
        Shape::Range { to, .. } => to,
        other => other.number(),
    };
    Some(quantity.main().unit.to_si(number.to_string().parse().ok()?))
}

pub fn beyond_range(world: &World) -> Vec<Mistake> {
    let relations = world.checked.shop.catalogue.relations();
    each(world, |line, figure| {
        let Some(fork) = world.checked.fork(&line.record.id.text) else { return Vec::new() };
        let whole = relations.whole_ranges().iter().find(|(target, _)| *target == line.id);
        let bounds =
            [relations.range_of(line.id), relations.limit_of(line.id), whole.map(|(_, range)| *range)];
        let most = bounds
            .into_iter()
            .flatten()
            .filter_map(|bound| fork.any_of(bound))
            .filter_map(greatest)
            .fold(0.0, f64::max);
        if most <= 0.0 || line.field.form != Form::Target {
            return Vec::new();
        }
        let beyond = figure.main.unit.from_si(most * 1.3).ceil();
        vec![figure.phrase(&format!("{beyond}"), figure.main.unit.symbol, Twin::Worked)]
    })
}

/// What a fork says of a field, on whichever leg.
trait AnyOf {
    fn any_of(&self, field: benchleaf::catalogue::FieldId) -> Option<&Quantity>;
}

impl AnyOf for benchleaf::check::CheckedFork {
    fn any_of(&self, field: benchleaf::catalogue::FieldId) -> Option<&Quantity> {
        let on_leg = || self.legs.iter().find_map(|leg| leg.values.get(&field)?.quantity());
        self.whole.get(&field).and_then(|value| value.quantity()).or_else(on_leg)
    }
}

pub fn range_slipped(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(quantity) = line.entry.value.as_ref().and_then(|value| value.quantity()) else { continue };
        let Shape::Range { from, to } = &quantity.main().shape else { continue };
        let ten = |number: String| format!("{}", number.parse::<f64>().unwrap_or(0.0) * 10.0);
        let text =
            format!("{}..{} {}", ten(from.to_string()), ten(to.to_string()), quantity.main().unit.symbol);
        out.push(instead(world, &line, &text));
    }
    out
}

/// A wear limit above the part when it is new.
pub fn wear_limit(world: &World) -> Vec<Mistake> {
    let catalogue = &world.checked.shop.catalogue;
    each(world, |line, figure| {
        let Some(new) = line.field.key.strip_suffix("_limit") else { return Vec::new() };
        if !matches!(figure.main.shape, Shape::AtLeast(_)) {
            return Vec::new();
        }
        let named = [new.to_owned(), format!("{new}_diameter")];
        let part = named.iter().find_map(|key| catalogue.find(key));
        let fork = world.checked.fork(&line.record.id.text);
        let Some(size) = part.zip(fork).and_then(|(part, fork)| fork.any_of(part)) else { return Vec::new() };
        let above = figure.main.unit.from_si(size.middle_si() * 1.02);
        vec![figure.phrase(&written(figure.main, above), figure.main.unit.symbol, Twin::Worked)]
    })
}

/// The diameter of a record's stanchion, SI.
fn diameter(world: &World, line: &Line<'_>) -> Option<f64> {
    let id = world.checked.shop.catalogue.find("tubes.stanchion_diameter")?;
    world.checked.fork(&line.record.id.text)?.any_of(id).map(Quantity::middle_si)
}

/// The part of a fork of another size.
pub fn other_size(world: &World) -> Vec<Mistake> {
    let lines = world.lines();
    let sized = |line: &&Line<'_>| {
        let key = line.field.key.as_str();
        let part = [
            "seals.oil_seal",
            "seals.dust_seal",
            "seals.housing_bore",
            "tubes.bore",
            "tubes.stanchion_diameter",
        ];
        part.contains(&key)
            || (key.starts_with("bushings.") && (key.ends_with("_bore") || key.ends_with("_shaft")))
    };
    let mut out = Vec::new();
    for line in lines.iter().filter(sized) {
        for other in lines.iter().filter(|other| other.id == line.id && other.entry.text != line.entry.text) {
            let apart = diameter(world, line)
                .zip(diameter(world, other))
                .is_some_and(|(a, b)| (a - b).abs() >= 0.002);
            if apart {
                out.push(instead(world, line, &other.entry.text));
            }
        }
    }
    out
}

/// The figure of another fork, that could be this one's.
pub fn other_fork(world: &World) -> Vec<Mistake> {
    let lines = world.lines();
    let middle = |line: &Line<'_>| line.entry.value.as_ref()?.quantity().map(Quantity::middle_si);
    let mut out = Vec::new();
    for line in lines.iter().filter(|line| line.field.safety && line.field.form == Form::Target) {
        for other in lines.iter().filter(|other| other.id == line.id && other.record.id != line.record.id) {
            let (Some(here), Some(there)) = (middle(line), middle(other)) else { continue };
            let band = other.entry.value.as_ref().and_then(|value| line.field.band(line.choices, value));
            let within = band.is_some_and(|band| (band.from..=band.to).contains(&there));
            if within && (there / here - 1.0).abs() >= 0.1 {
                out.push(instead(world, line, &other.entry.text));
            }
        }
    }
    out
}

/// The figure of another torque of the record.
pub fn other_line(world: &World) -> Vec<Mistake> {
    let lines = world.lines();
    let torque = |line: &&Line<'_>| line.field.group == "torque";
    let middle = |line: &Line<'_>| line.entry.value.as_ref()?.quantity().map(Quantity::middle_si);
    let mut out = Vec::new();
    for line in lines.iter().filter(torque) {
        for other in lines.iter().filter(torque).filter(|other| other.record.id == line.record.id) {
            let (Some(here), Some(there)) = (middle(line), middle(other)) else { continue };
            if !(0.4..=2.5).contains(&(there / here)) {
                out.push(instead(world, line, &other.entry.text));
            }
        }
    }
    out
}

/// Gap, dry fill and refill of another fork.
pub fn neighbor(world: &World) -> Vec<Mistake> {
    let keys = ["oil.air_gap", "oil.dry_fill", "oil.refill"];
    let mut out = Vec::new();
    let forks = &world.checked.shop.forks;
    let taken = |record: &benchleaf::record::SpecRecord| {
        let lines = world.lines_of(record);
        let whole = lines.into_iter().filter(|line| matches!(line.line.sides, Sides::Each(_)));
        let whole: Vec<(String, String, Span, Span)> = whole
            .filter(|line| keys.contains(&line.field.key.as_str()))
            .map(|line| (line.field.key.clone(), line.entry.text.clone(), line.line.span, line.entry.span))
            .collect();
        (whole.len() == keys.len()).then_some(whole)
    };
    for one in forks.iter() {
        for other in forks.iter().filter(|other| other.id != one.id && other.family != one.family) {
            let (Some(here), Some(there)) = (taken(one), taken(other)) else { continue };
            let mut changes = here.iter().filter_map(|(key, _, whole, span)| {
                let text = &there.iter().find(|(other, ..)| other == key)?.1;
                Some(world.within(*whole, *span, as_yaml(world, *span, text)))
            });
            let Some(first) = changes.next() else { continue };
            let what = format!("{} takes gap, dry fill and refill from {}", one.name(), other.name());
            out.push(changes.fold(Mistake::new(what, first), Mistake::and).words([other.id.text.clone()]));
        }
    }
    out
}

/// A number times a factor, the second unit worked out from it.
fn times(world: &World, wanted: impl Fn(&Line<'_>) -> bool, factors: &[f64]) -> Vec<Mistake> {
    each(world, |line, figure| {
        if !wanted(line) {
            return Vec::new();
        }
        let number = figure.number().parse::<f64>().unwrap_or(0.0);
        let phrase = |factor: &f64| {
            figure.phrase(&written(figure.main, number * factor), figure.main.unit.symbol, Twin::Worked)
        };
        factors.iter().map(phrase).collect()
    })
}

pub fn rate(world: &World) -> Vec<Mistake> {
    let coils = |line: &Line<'_>| {
        let keys = ["spring.wire_diameter", "spring.mean_diameter", "spring.active_coils"];
        let fork = world.checked.fork(&line.record.id.text);
        let has = |key: &&str| {
            let id = world.checked.shop.catalogue.find(key);
            id.zip(fork).is_some_and(|(id, fork)| {
                fork.whole.contains_key(&id) || fork.legs.iter().any(|leg| leg.values.contains_key(&id))
            })
        };
        line.field.key == "spring.rate" && keys.iter().all(has)
    };
    times(world, coils, &[0.7, 1.3])
}

pub fn bolt(world: &World) -> Vec<Mistake> {
    let known = |line: &Line<'_>| {
        line.field.group == "torque"
            && line.entry.attributes.contains_key("thread")
            && line.entry.attributes.contains_key("property_class")
    };
    times(world, known, &[3.0])
}

/// Left and right exchanged, or the left figure given for both.
pub fn sides(world: &World, once: bool) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(node) = world.node(&line) else { continue };
        let (Some(left), Some(right)) = (node.get("left"), node.get("right")) else { continue };
        if once && line.field.group != "oil" || world.text(left.span) == world.text(right.span) {
            continue;
        }
        let what = format!("{} {}", line.record.name(), line.field.key);
        let whole = line.line.span;
        let mistake = if once {
            let change = world.within(whole, node.span, world.text(left.span));
            Mistake::new(format!("{what}: the left leg's figure for both"), change)
        } else {
            let there = world.within(whole, right.span, world.text(left.span));
            let change = world.within(whole, left.span, world.text(right.span));
            Mistake::new(format!("{what}: left and right exchanged"), change).and(there)
        };
        out.push(mistake.hurts(line.field.safety));
    }
    // A line for each leg makes the same mistake twice.
    out.dedup_by(|a, b| a.what == b.what);
    out
}

pub fn fills_exchanged(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for record in world.checked.shop.forks.iter() {
        let lines = world.lines_of(record);
        let of = |key: &str| lines.iter().find(|line| line.field.key == key);
        let (Some(dry), Some(refill)) = (of("oil.dry_fill"), of("oil.refill")) else { continue };
        let (Some(dry_node), Some(refill_node)) = (world.node(dry), world.node(refill)) else { continue };
        let one = world.within(dry.line.span, dry_node.span, world.text(refill_node.span));
        let other = world.within(refill.line.span, refill_node.span, world.text(dry_node.span));
        out.push(Mistake::new(format!("{}: dry fill and refill exchanged", record.name()), one).and(other));
    }
    out
}

/// A part of a state says something else.
pub fn state(world: &World, part: &str, pairs: &[(&str, &str)]) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let Some(named) = line.entry.state.get(part) else { continue };
        for (one, other) in pairs {
            if named.text.text == *one {
                let what =
                    format!("{} {}: {part} `{one}` reads `{other}`", line.record.name(), line.field.key);
                out.push(Mistake::new(what, world.within(line.line.span, named.text.span, *other)));
            }
        }
    }
    out
}

/// A part of a value's mapping left out.
pub fn part_missing(world: &World, part: &str, wanted: impl Fn(&Line<'_>) -> bool) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines().iter().filter(|line| wanted(line)) {
        let Some(entry) = world.node(line).and_then(|node| node.entry(part)) else { continue };
        let text = world.file(line.line.span);
        let range = taken_out(text, entry.key_span.range().start, entry.value.span.range().end);
        let change = Change { range, ..world.within(line.line.span, entry.key_span, "") };
        let what = format!("{} {}: no `{part}`", line.record.name(), line.field.key);
        out.push(Mistake::new(what, change).words([part]));
    }
    out
}

/// A value that steps set is said not to be there.
pub fn not_fitted(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let set = line.field.safety && line.field.role == Role::Set && line.entry.text != "not fitted";
        let Some(node) = world.node(&line).filter(|_| set) else { continue };
        let what = format!("{} {}: `not fitted`", line.record.name(), line.field.key);
        out.push(Mistake::new(what, world.within(line.line.span, node.span, "not fitted")));
    }
    out.dedup_by(|a, b| a.what == b.what);
    out
}

/// A value that the fork must have is left out.
pub fn value_missing(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        if !line.field.safety || !line.field.required.holds(line.choices) {
            continue;
        }
        let family = world.checked.fork(&line.record.id.text).and_then(|fork| fork.family.as_ref());
        if family.is_some_and(|family| family.values.iter().any(|other| other.field == line.id)) {
            continue;
        }
        let span = line.line.span;
        let range = taken_out(world.file(span), span.range().start, span.range().end);
        let change = Change { place: range.clone(), range, ..world.change(span, "") };
        let what = format!("{} {}: left out", line.record.name(), line.field.key);
        out.push(Mistake::new(what, change).words([line.field.name.clone()]));
    }
    out.dedup_by(|a, b| a.what == b.what);
    out
}

/// What a text says, as `wrong` makes it.
fn texts(world: &World, key: &str, wrong: impl Fn(&str) -> Vec<String>) -> Vec<Mistake> {
    let lines = world.lines();
    let these = lines.iter().filter(|line| line.field.key == key);
    these
        .flat_map(|line| {
            wrong(&line.entry.text).into_iter().map(|text| instead(world, line, &text).hurts(true))
        })
        .collect()
}

/// The oil seal turned round.
pub fn seal_lip(world: &World) -> Vec<Mistake> {
    texts(world, "seals.lip_side", |text| {
        let round =
            text.replace("the dust seal", "it").replace("the oil", "the dust seal").replace("it", "the oil");
        vec![round]
    })
}

/// Two neighbors of the seals exchanged, or one left out.
pub fn seal_order(world: &World) -> Vec<Mistake> {
    texts(world, "seals.order", |text| {
        let parts: Vec<&str> = text.split(", ").collect();
        let mut out = Vec::new();
        for at in 1..parts.len().saturating_sub(1) {
            // What stands before a colon or behind a semicolon is no part by itself.
            if parts[at - 1..=at].iter().any(|part| part.contains([':', ';'])) {
                continue;
            }
            let mut swapped = parts.clone();
            swapped.swap(at - 1, at);
            out.push(swapped.join(", "));
        }
        for at in (1..parts.len()).filter(|at| parts[*at].ends_with("oil seal")) {
            let rest: Vec<&str> =
                parts.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, part)| *part).collect();
            out.push(rest.join(", "));
        }
        out
    })
}

/// How far the legs may differ, ten times too much.
pub fn difference(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for mistake in times(world, |line| line.field.form == Form::Difference, &[10.0]) {
        out.push(mistake.hurts(true));
    }
    out
}

/// A thread that galls dry is said to be dry.
pub fn thread_dry(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines() {
        let into = line.entry.attributes.get("into").map(|into| into.text.text.as_str());
        let axle = line.field.key == "torque.axle" && into == Some("aluminum");
        let Some(state) = line.entry.attributes.get("thread_state") else { continue };
        if !(axle || line.field.key == "torque.cap_to_tube") || state.text.text == "dry" {
            continue;
        }
        let what = format!("{} {}: `{}` reads `dry`", line.record.name(), line.field.key, state.text.text);
        out.push(Mistake::new(what, world.within(line.line.span, state.text.span, "dry")));
    }
    out
}

/// The bolts of a fender are said not to be there.
pub fn fender(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    for line in world.lines().iter().filter(|line| line.field.key == "torque.fender") {
        let conventional = line.choices.get("orientation").is_some_and(|made| made == "conventional");
        let Some(node) = world.node(line).filter(|_| conventional) else { continue };
        let what = format!("{} {}: `not fitted`", line.record.name(), line.field.key);
        out.push(Mistake::new(what, world.within(line.line.span, node.span, "not fitted")));
    }
    out
}

/// The second saying of a value left out.
pub fn twin_missing(world: &World) -> Vec<Mistake> {
    let mut out = each(world, |line, figure| {
        let twice = line.field.safety && figure.twin.is_some() && line.entry.sources.len() < 2;
        if !twice {
            return Vec::new();
        }
        vec![figure.phrase(&figure.number(), figure.main.unit.symbol, Twin::Gone)]
    });
    for mistake in &mut out {
        // The value itself is right.
        mistake.truth = None;
    }
    out
}

/// Two joints exchanged in the order of tightening.
pub fn sequence(world: &World) -> Vec<Mistake> {
    let mut out = Vec::new();
    let shop = &world.checked.shop;
    for record in shop.forks.iter().chain(shop.families.iter()) {
        let lines = world.lines_of(record);
        let numbered: Vec<_> =
            lines.iter().filter_map(|line| Some((line, line.entry.attributes.get("sequence")?))).collect();
        for (one, number) in &numbered {
            for (other, next) in &numbered {
                let after = |a: &str, b: &str| {
                    a.parse::<u32>().ok().zip(b.parse().ok()).is_some_and(|(a, b): (u32, u32)| a < b)
                };
                if !after(&number.text.text, &next.text.text) {
                    continue;
                }
                let what = format!(
                    "{}: {} and {} exchanged in order",
                    record.name(),
                    one.field.key,
                    other.field.key
                );
                let first = world.within(one.line.span, number.text.span, next.text.text.clone());
                let second = world.within(other.line.span, next.text.span, number.text.text.clone());
                out.push(Mistake::new(what, first).and(second));
            }
        }
    }
    out
}
