//! Oils: viscosity and index, blends, substitutes.

use super::asked::{Asked, Input, Takes, read_as};
use super::sheet::{ML, PERCENT, PLAIN, Refusal, Sheet, VISCOSITY};
use super::subject::Subject;
use crate::bench::grade::{Curve, blend_share, blended, index, iso_vg, parts, reported};
use crate::bench::units::{KinematicViscosity, ThermodynamicTemperature, celsius};
use crate::derive::{Answer, derive_oil, out_of_place, stand_ins};
use crate::quantity::Dimension::{Temperature, Viscosity, Volume};
use crate::quantity::{Kind, Quantity, Value};

/// How much thicker or thinner an oil may be, in per cent, and still be offered for another (common practice, no
/// source): beyond it the damping is another one.
const FARTHEST: f64 = 20.0;

/// The most parts a blend is said in.
const MOST_PARTS: u32 = 20;

/// An oil's curve: by its id in the shop, or from its two viscosities.
fn curve(asked: &Asked, name: &str) -> Result<Curve, Refusal> {
    let Value::Text(text) = asked.need(name)? else {
        return Err(Refusal(format!("`--{name}` takes an oil")));
    };
    if let Some((cold, hot)) = text.split_once(',') {
        return Ok(Curve::new(figure(name, cold)?, figure(name, hot)?)?);
    }
    let Some(oil) = asked.shop.and_then(|shop| shop.oil(text.trim()).map(|oil| derive_oil(shop, oil))) else {
        // A number is no id: a weight on a bottle, a bare number, or one viscosity alone.
        if text.trim().starts_with(|c: char| c.is_ascii_digit()) {
            figure(name, &text)?;
            return Err(Refusal(format!(
                "`--{name}`: one viscosity does not say how an oil thins as it warms; give both, at 40 and at 100 °C, such as `22 mm²/s, 4.9 mm²/s`"
            )));
        }
        return Err(Refusal(format!(
            "`--{name}`: `{text}` is no oil of {}; give the id of one of a shop's oils, in its folder or with `--shop`, or the viscosities at 40 and 100 °C, such as `22 mm²/s, 4.9 mm²/s`",
            if asked.shop.is_some() { "this shop" } else { "a shop, since none was named" }
        )));
    };
    oil.curve.value().copied().ok_or_else(|| {
        Refusal(format!(
            "`--{name}`: {}",
            oil.curve.not_judged().unwrap_or_else(|| "its viscosities are missing".to_owned())
        ))
    })
}

fn figure(name: &str, text: &str) -> Result<KinematicViscosity, Refusal> {
    let value = read_as(&Kind::Quantity(Viscosity), "a viscosity", "22 mm²/s", text.trim())
        .map_err(|Refusal(why)| Refusal(format!("`--{name}`: {why}")))?;
    value
        .quantity()
        .and_then(Quantity::viscosity)
        .ok_or_else(|| Refusal(format!("`--{name}` takes two viscosities")))
}

fn at(asked: &Asked) -> Result<ThermodynamicTemperature, Refusal> {
    let working = asked.shop.map_or(50.0, |shop| shop.settings.working_celsius());
    Ok(asked.may_temperature("at")?.unwrap_or_else(|| celsius(working)))
}

fn words(temperature: ThermodynamicTemperature) -> String {
    format!("{:.0} °C", temperature.value - crate::bench::units::ZERO_CELSIUS)
}

fn oil(asked: &Asked) -> Result<Sheet, Refusal> {
    let curve = curve(asked, "oil")?;
    let temperature = at(asked)?;
    let (cold, hot) = (curve.at(celsius(40.0))?, curve.at(celsius(100.0))?);
    let mut sheet = Sheet::default();
    sheet.number("viscosity", format!("At {}", words(temperature)), curve.at(temperature)?.value, VISCOSITY);
    sheet.words("index", "Viscosity index", reported(index(cold, hot)?).to_string());
    let class =
        iso_vg(cold)?.map_or_else(|| "none: between two classes".to_owned(), |class| class.to_string());
    sheet.words("iso_vg", "ISO VG", class);
    sheet.assume("the line of ASTM D341 through the two viscosities; index by ASTM D2270, class by ISO 3448");
    Ok(sheet)
}

fn blend(asked: &Asked) -> Result<Sheet, Refusal> {
    let (first, second) = (curve(asked, "first")?, curve(asked, "second")?);
    let temperature = asked.may_temperature("at")?.unwrap_or_else(|| celsius(40.0));
    let share = blend_share(&first, &second, asked.viscosity("target")?, temperature)?;
    let (a, b) = parts(share, MOST_PARTS)?;
    let mixed = blended(&first, &second, f64::from(a) / f64::from(a + b))?;
    let mut sheet = Sheet::default();
    sheet.words("parts", "First to second", format!("{a} : {b} parts by volume"));
    sheet.number("share", "Share of the first", share, PERCENT);
    if let Some(fill) = asked.may_volume("fill")? {
        sheet.number("first", "Of the first", fill.value * share, ML);
        sheet.number("second", "Of the second", fill.value * (1.0 - share), ML);
    }
    sheet.number(
        "viscosity",
        format!("These parts at {}", words(temperature)),
        mixed.at(temperature)?.value,
        VISCOSITY,
    );
    sheet.number("viscosity_100", "and at 100 °C", mixed.at(celsius(100.0))?.value, VISCOSITY);
    sheet.assume("oils of one kind that mix, on the scale of ASTM D341; polymer-thickened oils may land some per cent off");
    Ok(sheet)
}

fn substitutes(asked: &Asked) -> Result<Sheet, Refusal> {
    let Some(shop) = asked.shop else {
        return Err(Refusal("`--shop` is needed: the folder of the shop whose shelf is searched".to_owned()));
    };
    let Value::Text(id) = asked.need("oil")? else {
        return Err(Refusal("`--oil` takes the id of an oil".to_owned()));
    };
    let oils: Vec<_> = shop.oils.iter().map(|oil| derive_oil(shop, oil)).collect();
    let temperature = at(asked)?;
    let bench = shop.settings.bench_celsius();
    let degrees = temperature.value - crate::bench::units::ZERO_CELSIUS;
    let ranked = match stand_ins(oils.iter(), id.trim(), (degrees, bench)) {
        Answer::Known(result) => result.value,
        Answer::NotHere => return Err(Refusal(format!("there is no oil `{id}` in this shop"))),
        other => {
            return Err(Refusal(
                other.not_judged().unwrap_or_else(|| "its viscosities are missing".to_owned()),
            ));
        }
    };
    let mut sheet = Sheet::default();
    let mut too_far: Vec<String> = Vec::new();
    for substitute in ranked {
        let per_cent = [substitute.ratio, substitute.cold_ratio].map(|ratio| (ratio - 1.0) * 100.0);
        let how = format!(
            "{}; at {bench:.0} °C {}",
            thicker_or_thinner(per_cent[0]),
            thicker_or_thinner(per_cent[1])
        );
        if per_cent.iter().any(|per_cent| per_cent.abs() > FARTHEST) {
            too_far.push(format!("{} ({how})", substitute.id));
            continue;
        }
        sheet.number("ratio", substitute.id.clone(), substitute.ratio, PLAIN);
        if let Some(line) = sheet.lines.last_mut() {
            line.text = format!("{}  {how}", line.text);
        }
    }
    if sheet.lines.is_empty() {
        sheet.words("none", "None", format!("no other oil of this shop is within {FARTHEST:.0} % of it"));
    }
    for (id, reason) in out_of_place(oils.iter(), id.trim()) {
        too_far.push(format!("{id} ({reason})"));
    }
    if !too_far.is_empty() {
        sheet.words("no_substitute", "No substitute", too_far.join(", "));
    }
    sheet.assume(format!(
        "sold for the same use, then ranked by viscosity at {}; seals, additives and the maker's word count too",
        words(temperature)
    ));
    Ok(sheet)
}

fn thicker_or_thinner(per_cent: f64) -> String {
    match per_cent {
        same if same.abs() < 0.5 => "as thick".to_owned(),
        more if more > 0.0 => format!("{more:.0} % thicker"),
        less => format!("{:.0} % thinner", -less),
    }
}

const fn an_oil(name: &'static str, help: &'static str, example: &'static str) -> Input {
    Input { name, help, example, takes: Takes::Oil, keys: &[] }
}

const AT: Input = Input {
    name: "at",
    help: "the temperature; when left out, working temperature, and for a blend 40 °C",
    example: "35 °C",
    takes: Takes::One(Temperature),
    keys: &[],
};

pub(super) static SUBJECTS: &[Subject] = &[
    Subject {
        name: "oil",
        about: "An oil's viscosity at a temperature, its index and its ISO VG class",
        inputs: &[
            an_oil("oil", "the oil: its id, or its viscosities at 40 and 100 °C", "22 mm²/s, 4.9 mm²/s"),
            AT,
        ],
        example: &["--oil", "22 mm²/s, 4.9 mm²/s", "--at", "35 °C"],
        shows: "At 35 °C         26.35 mm²/s",
        run: oil,
    },
    Subject {
        name: "blend",
        about: "Two oils to a target viscosity, in parts by volume",
        inputs: &[
            an_oil(
                "first",
                "the first oil: its id, or its viscosities at 40 and 100 °C",
                "15 mm²/s, 3.7 mm²/s",
            ),
            an_oil("second", "the second oil", "32 mm²/s, 6.1 mm²/s"),
            Input {
                name: "target",
                help: "the viscosity that is wanted",
                example: "22 mm²/s",
                takes: Takes::One(Viscosity),
                keys: &[],
            },
            Input {
                name: "fill",
                help: "how much is wanted in all, to be told in milliliters of each",
                example: "900 mL",
                takes: Takes::One(Volume),
                keys: &[],
            },
            AT,
        ],
        example: &[
            "--first",
            "15 mm²/s, 3.7 mm²/s",
            "--second",
            "32 mm²/s, 6.1 mm²/s",
            "--target",
            "22 mm²/s",
        ],
        shows: "First to second       7 : 8 parts by volume",
        run: blend,
    },
    Subject {
        name: "substitutes",
        about: "Which oils of the shop stand in for one that is out of stock",
        inputs: &[an_oil("oil", "the oil that is out of stock, by its id", "quillon-damp-15"), AT],
        example: &["--shop", ".", "--oil", "quillon-damp-15"],
        shows: "marrowhill-race-16  1.16  16 % thicker; at 20 °C 15 % thinner",
        run: substitutes,
    },
];
