//! The one table of units. Factors are exact, from NIST SP 811 (2008) appendix B and NIST Handbook 44
//! appendix C: in = 25.4 mm, lb = 0.453 592 37 kg, standard gravity 9.806 65 m/s², US gallon = 231 in³,
//! imperial gallon = 4.546 09 L; the rest follows from those.

use super::dimension::Dimension;
use super::unit::Unit;

/// One pound-force in newtons: 0.453 592 37 × 9.806 65, as a fraction.
const LBF: (u128, u128) = (44_482_216_152_605, 10_000_000_000_000);
/// One inch in metres.
const IN: (u128, u128) = (127, 5_000);
/// One foot in metres.
const FT: (u128, u128) = (381, 1_250);
/// One pound in kilograms.
const LB: (u128, u128) = (45_359_237, 100_000_000);
/// One kilogram-force in newtons.
const KGF: (u128, u128) = (980_665, 100_000);
/// One US fluid ounce in cubic metres: 231 in³ / 128.
const US_FL_OZ: (u128, u128) = (295_735_295_625, 10_000_000_000_000_000);
/// One imperial fluid ounce in cubic metres: 4.546 09 L / 160.
const IMP_FL_OZ: (u128, u128) = (284_130_625, 10_000_000_000_000);

const fn times(a: (u128, u128), b: (u128, u128)) -> (u128, u128) {
    reduced((a.0 * b.0, a.1 * b.1))
}

const fn over(a: (u128, u128), b: (u128, u128)) -> (u128, u128) {
    times(a, (b.1, b.0))
}

const fn reduced(fraction: (u128, u128)) -> (u128, u128) {
    let (mut a, mut b) = fraction;
    while b != 0 {
        (a, b) = (b, a % b);
    }
    (fraction.0 / a, fraction.1 / a)
}

const fn u(
    dimension: Dimension,
    symbol: &'static str,
    name: &'static str,
    factor: (u128, u128),
    aliases: &'static [&'static str],
    misspellings: &'static [&'static str],
) -> Unit {
    let factor = reduced(factor);
    Unit {
        symbol,
        name,
        dimension,
        numerator: factor.0,
        denominator: factor.1,
        offset_numerator: 0,
        offset_denominator: 1,
        aliases,
        misspellings,
    }
}

const fn offset(mut unit: Unit, offset: (u128, u128)) -> Unit {
    (unit.offset_numerator, unit.offset_denominator) = offset;
    unit
}

use Dimension::*;

/// Every unit, by dimension, the usual ones first. Near misses that follow a rule (capitals, a plural, a
/// hyphen or a blank for the dot) are not listed: the reader knows the rules.
pub static UNITS: [Unit; 95] = [
    u(Length, "mm", "millimeter", (1, 1_000), &[], &["millimetre", "millimeter", "㎜"]),
    u(Length, "in", "inch", IN, &["[in_i]"], &["\"", "″", "''", "”", "in.", "inch", "inches", "ins"]),
    u(Length, "cm", "centimeter", (1, 100), &[], &["centimetre", "centimeter"]),
    u(Length, "m", "meter", (1, 1), &[], &["metre", "meter"]),
    u(Length, "µm", "micrometer", (1, 1_000_000), &["um", "μm"], &["micron"]),
    u(Length, "ft", "foot", FT, &["[ft_i]"], &["'", "′", "foot", "feet"]),
    u(Volume, "mL", "milliliter", (1, 1_000_000), &["ml"], &["millilitre", "milliliter", "mℓ", "㎖"]),
    u(
        Volume,
        "cm³",
        "cubic centimeter",
        (1, 1_000_000),
        &["cc", "cm3"],
        &["cm^3", "ccm", "c.c.", "cu cm", "㏄"],
    ),
    u(Volume, "L", "liter", (1, 1_000), &["l"], &["litre", "liter", "ltr", "ℓ"]),
    u(Volume, "dL", "deciliter", (1, 10_000), &["dl"], &[]),
    u(Volume, "cL", "centiliter", (1, 100_000), &["cl"], &[]),
    u(
        Volume,
        "US fl oz",
        "US fluid ounce",
        US_FL_OZ,
        &["[foz_us]"],
        &[
            "US fl. oz.",
            "US oz",
            "US oz.",
            "fl oz US",
            "US floz",
            "U.S. fl oz",
            "U.S. fl. oz.",
            "US fluid ounce",
            "U.S. oz",
        ],
    ),
    u(
        Volume,
        "imp fl oz",
        "imperial fluid ounce",
        IMP_FL_OZ,
        &["[foz_br]"],
        &[
            "imp fl. oz.",
            "imp oz",
            "imp oz.",
            "imp. oz.",
            "imp. fl. oz.",
            "fl oz imp",
            "UK fl oz",
            "UK oz",
            "imp floz",
            "Imp.oz",
            "imperial fl oz",
            "imperial fluid ounce",
        ],
    ),
    u(Volume, "US pt", "US pint", times(US_FL_OZ, (16, 1)), &["[pt_us]"], &["US pint", "US pt."]),
    u(Volume, "US qt", "US quart", times(US_FL_OZ, (32, 1)), &["[qt_us]"], &["US quart", "US qt."]),
    u(Volume, "US gal", "US gallon", times(US_FL_OZ, (128, 1)), &["[gal_us]"], &["US gallon", "US gal."]),
    u(
        Volume,
        "imp pt",
        "imperial pint",
        times(IMP_FL_OZ, (20, 1)),
        &["[pt_br]"],
        &["imp pint", "UK pt", "imp. pt", "imperial pint"],
    ),
    u(
        Volume,
        "imp qt",
        "imperial quart",
        times(IMP_FL_OZ, (40, 1)),
        &["[qt_br]"],
        &["imp quart", "UK qt", "imp. qt", "imperial quart"],
    ),
    u(
        Volume,
        "imp gal",
        "imperial gallon",
        times(IMP_FL_OZ, (160, 1)),
        &["[gal_br]"],
        &["imp gallon", "UK gal", "imp. gal", "imperial gallon"],
    ),
    u(
        Volume,
        "in³",
        "cubic inch",
        times(IN, times(IN, IN)),
        &["in3", "[cin_i]"],
        &["in^3", "cu in", "cu. in.", "ci"],
    ),
    u(Volume, "mm³", "cubic millimeter", (1, 1_000_000_000), &["mm3"], &["mm^3"]),
    u(Mass, "g", "gram", (1, 1_000), &[], &["gram", "gramme", "gr"]),
    u(Mass, "kg", "kilogram", (1, 1), &[], &["kilogram", "kilo"]),
    u(
        Mass,
        "oz av",
        "avoirdupois ounce (weight)",
        over(LB, (16, 1)),
        &["[oz_av]"],
        &["oz avdp", "oz wt", "oz av.", "oz weight"],
    ),
    u(Mass, "lb", "pound", LB, &["[lb_av]"], &["lbs", "lb.", "lbs.", "pound", "lbm"]),
    u(Mass, "mg", "milligram", (1, 1_000_000), &[], &[]),
    u(Torque, "N·m", "newton meter", (1, 1), &["N*m", "N.m", "Nm", "N⋅m"], &["newton metre", "newton meter"]),
    u(
        Torque,
        "lbf·ft",
        "pound-force foot",
        times(LBF, FT),
        &[
            "lb·ft",
            "ft·lb",
            "ft·lbf",
            "lbf*ft",
            "lb*ft",
            "ft*lb",
            "ft*lbf",
            "lbf.ft",
            "lb.ft",
            "ft.lb",
            "ft.lbf",
            "[lbf_av].[ft_i]",
            "lbf⋅ft",
        ],
        &["ftlb", "lbft", "ftlbs", "foot pound", "pound foot", "lb/ft", "ft/lb", "lbs/ft", "ft/lbs"],
    ),
    u(
        Torque,
        "lbf·in",
        "pound-force inch",
        times(LBF, IN),
        &[
            "lb·in",
            "in·lb",
            "in·lbf",
            "lbf*in",
            "lb*in",
            "in*lb",
            "in*lbf",
            "lbf.in",
            "lb.in",
            "in.lb",
            "in.lbf",
            "[lbf_av].[in_i]",
            "lbf⋅in",
        ],
        &["inlb", "lbin", "inlbs", "inch pound", "pound inch"],
    ),
    u(
        Torque,
        "kgf·m",
        "kilogram-force meter",
        KGF,
        &["kg·m", "m·kg", "m·kgf", "kgf*m", "kg*m", "m*kg", "m*kgf", "kgf.m", "kg.m", "m.kg", "kgf⋅m"],
        &["kgm", "mkg", "kgfm", "mkp", "kpm", "kp·m", "m·kp", "kg/m"],
    ),
    u(
        Torque,
        "kgf·cm",
        "kilogram-force centimeter",
        over(KGF, (100, 1)),
        &[
            "kg·cm", "cm·kg", "cm·kgf", "kgf*cm", "kg*cm", "cm*kg", "cm*kgf", "kgf.cm", "kg.cm", "cm.kg",
            "kgf⋅cm",
        ],
        &["kgcm", "cmkg", "kgfcm", "kp·cm"],
    ),
    u(Torque, "daN·m", "decanewton meter", (10, 1), &["daN*m", "daN.m", "daNm", "daN⋅m"], &["m·daN", "mdaN"]),
    u(
        Torque,
        "N·cm",
        "newton centimeter",
        (1, 100),
        &["N*cm", "N.cm", "Ncm", "cN·m", "cN.m"],
        &["ncm", "cNm"],
    ),
    u(Torque, "N·mm", "newton millimeter", (1, 1_000), &["N*mm", "N.mm", "Nmm"], &[]),
    u(
        Torque,
        "ozf·in",
        "ounce-force inch",
        over(times(LBF, IN), (16, 1)),
        &["oz·in", "in·oz", "ozf*in", "ozf.in", "[ozf_av].[in_i]"],
        &["inoz", "ozin"],
    ),
    u(Force, "N", "newton", (1, 1), &[], &["newton"]),
    u(Force, "lbf", "pound-force", LBF, &["[lbf_av]"], &["lbsf", "lb force"]),
    u(Force, "kgf", "kilogram-force", KGF, &[], &["kp", "kg force"]),
    u(Force, "kN", "kilonewton", (1_000, 1), &[], &[]),
    u(Force, "daN", "decanewton", (10, 1), &[], &[]),
    u(Pressure, "kPa", "kilopascal", (1_000, 1), &[], &["kilopascal"]),
    u(Pressure, "bar", "bar", (100_000, 1), &[], &[]),
    u(
        Pressure,
        "psi",
        "pound-force per square inch",
        over(LBF, times(IN, IN)),
        &["[psi]", "lbf/in²", "lbf/in2"],
        &["lb/in²", "lb/in2", "lb/in^2", "lbf/in^2", "lb/sq in", "p.s.i."],
    ),
    u(
        Pressure,
        "kgf/cm²",
        "kilogram-force per square centimeter",
        times(KGF, (10_000, 1)),
        &["kgf/cm2", "kg/cm²", "kg/cm2"],
        &["kgf/cm^2", "kg/cm^2", "kg/sq cm", "kgcm²", "kp/cm²"],
    ),
    u(Pressure, "MPa", "megapascal", (1_000_000, 1), &[], &["megapascal"]),
    u(Pressure, "Pa", "pascal", (1, 1), &[], &["pascal"]),
    u(Pressure, "hPa", "hectopascal", (100, 1), &[], &[]),
    u(Pressure, "mbar", "millibar", (100, 1), &[], &["millibar"]),
    u(Pressure, "atm", "standard atmosphere", (101_325, 1), &[], &[]),
    u(Pressure, "N/mm²", "newton per square millimeter", (1_000_000, 1), &["N/mm2"], &["N/mm^2"]),
    u(SpringRate, "N/mm", "newton per millimeter", (1_000, 1), &[], &[]),
    u(SpringRate, "kgf/mm", "kilogram-force per millimeter", times(KGF, (1_000, 1)), &["kg/mm"], &["kp/mm"]),
    u(
        SpringRate,
        "lbf/in",
        "pound-force per inch",
        over(LBF, IN),
        &["lb/in", "[lbf_av]/[in_i]"],
        &["lb/in.", "lbs/in", "lbs/in.", "lb/inch", "lbs/inch", "lb/\"", "lbs/\""],
    ),
    u(SpringRate, "N/m", "newton per meter", (1, 1), &[], &[]),
    u(SpringRate, "N/cm", "newton per centimeter", (100, 1), &[], &[]),
    u(SpringRate, "kN/m", "kilonewton per meter", (1_000, 1), &[], &[]),
    u(SpringRate, "kgf/cm", "kilogram-force per centimeter", times(KGF, (100, 1)), &["kg/cm"], &[]),
    u(Viscosity, "mm²/s", "square millimeter per second", (1, 1_000_000), &["mm2/s"], &["mm^2/s", "mm²/sec"]),
    u(Viscosity, "cSt", "centistokes", (1, 1_000_000), &[], &["cst", "centistoke"]),
    u(Viscosity, "m²/s", "square meter per second", (1, 1), &["m2/s"], &["m^2/s"]),
    u(Viscosity, "St", "stokes", (1, 10_000), &[], &["stoke"]),
    u(Density, "kg/m³", "kilogram per cubic meter", (1, 1), &["kg/m3"], &["kg/m^3", "kg/cu m"]),
    u(Density, "g/mL", "gram per milliliter", (1_000, 1), &["g/ml"], &["gr/ml"]),
    u(Density, "g/cm³", "gram per cubic centimeter", (1_000, 1), &["g/cm3", "g/cc"], &["g/cm^3"]),
    u(Density, "kg/L", "kilogram per liter", (1_000, 1), &["kg/l", "kg/dm³", "kg/dm3"], &[]),
    u(Density, "g/L", "gram per liter", (1, 1), &["g/l"], &[]),
    u(
        Density,
        "lb/ft³",
        "pound per cubic foot",
        over(LB, times(FT, times(FT, FT))),
        &["lb/ft3", "[lb_av]/[cft_i]"],
        &["lb/ft^3", "lb/cu ft"],
    ),
    u(
        Density,
        "lb/US gal",
        "pound per US gallon",
        over(LB, times(US_FL_OZ, (128, 1))),
        &["[lb_av]/[gal_us]"],
        &[],
    ),
    offset(
        u(
            Temperature,
            "°C",
            "degree Celsius",
            (1, 1),
            &["Cel", "℃"],
            &["C", "deg C", "degC", "º C", "ºC", "° C", "celsius"],
        ),
        (27_315, 100),
    ),
    offset(
        u(
            Temperature,
            "°F",
            "degree Fahrenheit",
            (5, 9),
            &["[degF]", "℉"],
            &["F", "deg F", "degF", "ºF", "° F", "fahrenheit"],
        ),
        (45_967 * 5, 900),
    ),
    u(Temperature, "K", "kelvin", (1, 1), &[], &["°K", "kelvin"]),
    u(
        TemperatureDifference,
        "°C",
        "degree Celsius",
        (1, 1),
        &["Cel", "℃"],
        &["C", "deg C", "degC", "ºC", "° C", "celsius"],
    ),
    u(
        TemperatureDifference,
        "°F",
        "degree Fahrenheit",
        (5, 9),
        &["[degF]", "℉"],
        &["F", "deg F", "degF", "ºF", "° F", "fahrenheit"],
    ),
    u(TemperatureDifference, "K", "kelvin", (1, 1), &[], &["kelvin"]),
    u(Time, "min", "minute", (60, 1), &[], &["mins", "minute", "min."]),
    u(Time, "h", "hour", (3_600, 1), &[], &["hr", "hrs", "hour"]),
    u(Time, "s", "second", (1, 1), &[], &["sec", "secs", "second"]),
    u(Time, "d", "day", (86_400, 1), &[], &["day"]),
    // UCUM: the mean Julian year of 365.25 days, and its twelfth.
    u(Calendar, "months", "month", (2_629_800, 1), &["mo", "month"], &[]),
    u(Calendar, "years", "year", (31_557_600, 1), &["year"], &[]),
    u(Angle, "°", "degree", (1, 1), &["deg"], &["º", "degree"]),
    u(Angle, "′", "minute of arc", (1, 60), &["'"], &["arcmin"]),
    u(Distance, "km", "kilometer", (1_000, 1), &[], &["kilometre", "kilometer", "kms"]),
    u(Distance, "mi", "mile", (1_609_344, 1_000), &["[mi_i]"], &["mile"]),
    u(Distance, "m", "meter", (1, 1), &[], &["metre", "meter"]),
    u(Slope, "mL/mm", "milliliter per millimeter", (1, 1_000), &["ml/mm"], &[]),
    u(Slope, "cm³/mm", "cubic centimeter per millimeter", (1, 1_000), &["cc/mm", "cm3/mm"], &["cm^3/mm"]),
    u(Slope, "mL/cm", "milliliter per centimeter", (1, 10_000), &["ml/cm"], &[]),
    u(Slope, "US fl oz/in", "US fluid ounce per inch", over(US_FL_OZ, IN), &["[foz_us]/[in_i]"], &[]),
    u(Slope, "imp fl oz/in", "imperial fluid ounce per inch", over(IMP_FL_OZ, IN), &["[foz_br]/[in_i]"], &[]),
    u(Ratio, "%", "per cent", (1, 100), &[], &["percent", "per cent", "pct"]),
    u(Ratio, "‰", "per thousand", (1, 1_000), &[], &[]),
    u(Clicks, "clicks", "clicks", (1, 1), &["click"], &["clk", "clks", "notch", "notches", "detents"]),
    u(Turns, "turns", "turns", (1, 1), &["turn"], &["rev", "revs", "rotations"]),
    u(Rings, "rings", "rings showing", (1, 1), &["ring"], &["rings showing", "lines", "grooves"]),
];
