//! The quantities the arithmetic speaks in, and names for those that `uom` calls something else.

pub use uom::si::f64::{
    Angle, Area, Force, KinematicViscosity, Length, Mass, MassDensity, Pressure, TemperatureInterval,
    ThermodynamicTemperature, Torque, Volume,
};

/// A spring's rate, force per length. `uom` has no quantity of that name; surface tension has the same
/// dimension (N/m), so it stands in.
pub type SpringRate = uom::si::f64::SurfaceTension;

/// How much oil moves the surface by one length, volume per length: an area. A slope measured in the shop
/// (mL per mm) is carried in it, and so is the ring of oil computed from a bore and what stands in it.
pub type Slope = Area;

/// Standard atmosphere, 101.325 kPa exactly (ISO 2533).
pub const ATMOSPHERE: f64 = 101_325.0;

/// Standard acceleration of free fall, 9.80665 m/s² exactly (ISO 80000-3).
pub const GRAVITY: f64 = 9.806_65;

/// Zero degrees Celsius in kelvin, exactly.
pub const ZERO_CELSIUS: f64 = 273.15;

/// A length from metres.
pub fn length(metres: f64) -> Length {
    Length::new::<uom::si::length::meter>(metres)
}

/// A length from millimetres.
pub fn millimetres(value: f64) -> Length {
    length(value / 1000.0)
}

/// An area (or a slope) from square metres.
pub fn area(square_metres: f64) -> Area {
    Area::new::<uom::si::area::square_meter>(square_metres)
}

/// A volume from cubic metres.
pub fn volume(cubic_metres: f64) -> Volume {
    Volume::new::<uom::si::volume::cubic_meter>(cubic_metres)
}

/// A volume from millilitres.
pub fn millilitres(value: f64) -> Volume {
    volume(value / 1_000_000.0)
}

/// A mass from kilograms.
pub fn mass(kilograms: f64) -> Mass {
    Mass::new::<uom::si::mass::kilogram>(kilograms)
}

/// A density from kilograms per cubic metre.
pub fn density(kilograms_per_cubic_metre: f64) -> MassDensity {
    MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(kilograms_per_cubic_metre)
}

/// A force from newtons.
pub fn force(newtons: f64) -> Force {
    Force::new::<uom::si::force::newton>(newtons)
}

/// A spring rate from newtons per metre.
pub fn spring_rate(newtons_per_metre: f64) -> SpringRate {
    SpringRate::new::<uom::si::surface_tension::newton_per_meter>(newtons_per_metre)
}

/// A spring rate from newtons per millimetre.
pub fn newtons_per_millimetre(value: f64) -> SpringRate {
    spring_rate(value * 1000.0)
}

/// A pressure from pascals.
pub fn pressure(pascals: f64) -> Pressure {
    Pressure::new::<uom::si::pressure::pascal>(pascals)
}

/// A torque from newton metres.
pub fn torque(newton_metres: f64) -> Torque {
    Torque::new::<uom::si::torque::newton_meter>(newton_metres)
}

/// A temperature from kelvin.
pub fn kelvin(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>(value)
}

/// A temperature from degrees Celsius.
pub fn celsius(value: f64) -> ThermodynamicTemperature {
    kelvin(value + ZERO_CELSIUS)
}

/// A viscosity from square metres per second.
pub(crate) fn viscosity(square_metres_per_second: f64) -> KinematicViscosity {
    KinematicViscosity::new::<uom::si::kinematic_viscosity::square_meter_per_second>(square_metres_per_second)
}

/// A viscosity from square millimetres per second, the unit on every data sheet.
pub fn square_millimetres_per_second(value: f64) -> KinematicViscosity {
    viscosity(value / 1_000_000.0)
}

/// An angle from radians.
pub fn angle(radians: f64) -> Angle {
    Angle::new::<uom::si::angle::radian>(radians)
}

/// An angle from degrees.
pub fn degrees(value: f64) -> Angle {
    angle(value * core::f64::consts::PI / 180.0)
}
