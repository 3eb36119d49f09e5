//! What a quantity measures.

/// What a quantity measures. Gauge or absolute belongs to a pressure's field, not to its dimension; a
/// temperature's field says whether it is a point or a difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A length on the fork: mm, in. SI: m.
    Length,
    /// A volume of oil: mL, fl oz. SI: m³.
    Volume,
    /// A mass: g, kg, lb. SI: kg.
    Mass,
    /// A tightening torque: N·m, lbf·ft. SI: N·m.
    Torque,
    /// A force: N, lbf. SI: N.
    Force,
    /// A pressure: kPa, bar, psi. SI: Pa.
    Pressure,
    /// A spring rate, force for each length: N/mm, kgf/mm. SI: N/m.
    SpringRate,
    /// A kinematic viscosity: mm²/s, which is cSt. SI: m²/s.
    Viscosity,
    /// A density: kg/m³, g/mL. SI: kg/m³.
    Density,
    /// A temperature as a point on the scale: °C, °F. SI: K.
    Temperature,
    /// A difference of temperatures: K, °C, °F. SI: K.
    TemperatureDifference,
    /// A time: min, h. SI: s.
    Time,
    /// A time by the calendar: months, years. SI: s. It is another thing than the hours that an engine runs.
    Calendar,
    /// An angle: degrees. SI: rad.
    Angle,
    /// A distance ridden: km, mi. SI: m.
    Distance,
    /// Oil for each length of gap: mL/mm. SI: m².
    Slope,
    /// A share of something: %. SI: 1.
    Ratio,
    /// Clicks of an adjuster.
    Clicks,
    /// Turns of an adjuster or a nut.
    Turns,
    /// Rings showing on a preload adjuster.
    Rings,
}

impl Dimension {
    /// Every dimension, in the order of the unit table.
    pub const ALL: [Dimension; 20] = [
        Dimension::Length,
        Dimension::Volume,
        Dimension::Mass,
        Dimension::Torque,
        Dimension::Force,
        Dimension::Pressure,
        Dimension::SpringRate,
        Dimension::Viscosity,
        Dimension::Density,
        Dimension::Temperature,
        Dimension::TemperatureDifference,
        Dimension::Time,
        Dimension::Calendar,
        Dimension::Angle,
        Dimension::Distance,
        Dimension::Slope,
        Dimension::Ratio,
        Dimension::Clicks,
        Dimension::Turns,
        Dimension::Rings,
    ];

    /// The name a catalogue writes: `spring-rate`.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Dimension::Length => "length",
            Dimension::Volume => "volume",
            Dimension::Mass => "mass",
            Dimension::Torque => "torque",
            Dimension::Force => "force",
            Dimension::Pressure => "pressure",
            Dimension::SpringRate => "spring-rate",
            Dimension::Viscosity => "viscosity",
            Dimension::Density => "density",
            Dimension::Temperature => "temperature",
            Dimension::TemperatureDifference => "temperature-difference",
            Dimension::Time => "time",
            Dimension::Calendar => "calendar-time",
            Dimension::Angle => "angle",
            Dimension::Distance => "distance",
            Dimension::Slope => "slope",
            Dimension::Ratio => "ratio",
            Dimension::Clicks => "clicks",
            Dimension::Turns => "turns",
            Dimension::Rings => "rings",
        }
    }

    /// The units a sheet prints for it, so that one may be taken for another; empty where there is one alone.
    pub(crate) fn printed(self) -> &'static [&'static str] {
        match self {
            Dimension::Length => &["mm", "in", "cm"],
            Dimension::Volume => &["mL", "US fl oz", "imp fl oz"],
            Dimension::Mass => &["g", "kg", "oz av", "lb"],
            Dimension::Torque => &["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"],
            Dimension::Force => &["N", "lbf", "kgf"],
            Dimension::Pressure => &["kPa", "bar", "psi", "kgf/cm²", "MPa"],
            Dimension::SpringRate => &["N/mm", "kgf/mm", "lbf/in"],
            Dimension::Temperature => &["°C", "°F"],
            Dimension::Distance => &["km", "mi"],
            Dimension::Density => &["kg/m³", "g/mL"],
            _ => &[],
        }
    }

    /// The dimension a catalogue names.
    ///
    /// ```
    /// use benchleaf::quantity::Dimension;
    ///
    /// assert_eq!(Dimension::from_id("spring-rate"), Some(Dimension::SpringRate));
    /// ```
    pub fn from_id(id: &str) -> Option<Dimension> {
        Dimension::ALL.into_iter().find(|dimension| dimension.id() == id)
    }

    /// The name a person reads: `Spring rate`.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Dimension::Length => "Length",
            Dimension::Volume => "Volume",
            Dimension::Mass => "Mass",
            Dimension::Torque => "Torque",
            Dimension::Force => "Force",
            Dimension::Pressure => "Pressure",
            Dimension::SpringRate => "Spring rate",
            Dimension::Viscosity => "Viscosity",
            Dimension::Density => "Density",
            Dimension::Temperature => "Temperature",
            Dimension::TemperatureDifference => "Temperature difference",
            Dimension::Time => "Time",
            Dimension::Calendar => "Time by the calendar",
            Dimension::Angle => "Angle",
            Dimension::Distance => "Distance",
            Dimension::Slope => "Volume for each length",
            Dimension::Ratio => "Share",
            Dimension::Clicks => "Clicks",
            Dimension::Turns => "Turns",
            Dimension::Rings => "Rings",
        }
    }

    /// As it stands in a sentence: `a spring rate`.
    pub(in crate::quantity) fn phrase(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Volume => "a volume",
            Dimension::Mass => "a weight",
            Dimension::Torque => "a torque",
            Dimension::Force => "a force",
            Dimension::Pressure => "a pressure",
            Dimension::SpringRate => "a spring rate",
            Dimension::Viscosity => "a viscosity",
            Dimension::Density => "a density",
            Dimension::Temperature => "a temperature",
            Dimension::TemperatureDifference => "a difference in temperature",
            Dimension::Time => "a time",
            Dimension::Calendar => "a time by the calendar",
            Dimension::Angle => "an angle",
            Dimension::Distance => "a distance ridden",
            Dimension::Slope => "a volume for each length of gap",
            Dimension::Ratio => "a percentage",
            Dimension::Clicks => "a number of clicks",
            Dimension::Turns => "a number of turns",
            Dimension::Rings => "a number of rings",
        }
    }

    /// What a wrong unit of this dimension does at the bench, one sentence.
    pub(in crate::quantity) fn wrong_unit(self) -> &'static str {
        match self {
            Dimension::Length => {
                "taken for the wrong unit, a length is out by about 25 times between inches and millimeters"
            }
            Dimension::Volume => {
                "taken for the wrong ounce, 16 fl oz is 18 mL out in each leg, and the air space moves with it"
            }
            Dimension::Mass => {
                "taken for the wrong unit, a weight is out by more than double between pounds and kilograms"
            }
            Dimension::Torque => {
                "N·m read as lbf·ft is 36 % too tight, and lbf·in read as N·m is nearly nine times too tight"
            }
            Dimension::Force => "pounds-force read as newtons is out by more than four times",
            Dimension::Pressure => {
                "bar read as psi is out by more than 14 times, and a damper or an air leg can burst or collapse"
            }
            Dimension::SpringRate => {
                "kgf/mm read as N/mm is nearly ten times out, and the fork gets the wrong spring"
            }
            Dimension::Viscosity => "the wrong figure puts an oil of the wrong thickness in the damper",
            Dimension::Density => "the wrong figure puts the wrong weight of oil in the leg",
            Dimension::Temperature | Dimension::TemperatureDifference => {
                "degrees Fahrenheit read as Celsius changes the oil level and the pressure that are set"
            }
            Dimension::Time => "minutes read as hours spoil the job or the service interval",
            Dimension::Calendar => "months read as years leave worn parts and tired oil in the fork",
            Dimension::Angle => "a wrong angle puts the load on the fork wrong",
            Dimension::Distance => "miles read as kilometres is 61 % out, and a worn part stays in the fork",
            Dimension::Slope => "a wrong figure draws off the wrong amount of oil",
            Dimension::Ratio => "without the sign, 5 may be read as five times",
            Dimension::Clicks | Dimension::Turns | Dimension::Rings => {
                "clicks read as turns puts the adjuster far from its setting"
            }
        }
    }

    /// Whether a value below zero can be meant.
    pub(in crate::quantity) fn may_be_negative(self) -> bool {
        matches!(self, Dimension::Temperature | Dimension::TemperatureDifference)
    }
}
