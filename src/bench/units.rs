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
///
/// ```
/// use benchleaf::bench::units::length;
///
/// assert_eq!(length(0.104).value, 0.104);
/// ```
pub fn length(metres: f64) -> Length {
    Length::new::<uom::si::length::meter>(metres)
}

/// A length from millimetres.
///
/// ```
/// use benchleaf::bench::units::{length, millimetres};
///
/// assert_eq!(millimetres(104.0), length(0.104));
/// ```
pub fn millimetres(value: f64) -> Length {
    length(value / 1000.0)
}

/// An area (or a slope) from square metres.
///
/// ```
/// use benchleaf::bench::units::area;
///
/// assert_eq!(area(1.2e-3).value, 1.2e-3);
/// ```
pub fn area(square_metres: f64) -> Area {
    Area::new::<uom::si::area::square_meter>(square_metres)
}

/// A volume from cubic metres.
///
/// ```
/// use benchleaf::bench::units::volume;
///
/// assert_eq!(volume(470e-6).value, 470e-6);
/// ```
pub fn volume(cubic_metres: f64) -> Volume {
    Volume::new::<uom::si::volume::cubic_meter>(cubic_metres)
}

/// A volume from millilitres.
///
/// ```
/// use benchleaf::bench::units::millilitres;
///
/// assert!((millilitres(470.0).value - 470e-6).abs() < 1e-15);
/// ```
pub fn millilitres(value: f64) -> Volume {
    volume(value / 1_000_000.0)
}

/// A mass from kilograms.
///
/// ```
/// use benchleaf::bench::units::mass;
///
/// assert_eq!(mass(0.4).value, 0.4);
/// ```
pub fn mass(kilograms: f64) -> Mass {
    Mass::new::<uom::si::mass::kilogram>(kilograms)
}

/// A density from kilograms per cubic metre.
///
/// ```
/// use benchleaf::bench::units::density;
///
/// assert_eq!(density(865.0).value, 865.0);
/// ```
pub fn density(kilograms_per_cubic_metre: f64) -> MassDensity {
    MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(kilograms_per_cubic_metre)
}

/// A force from newtons.
///
/// ```
/// use benchleaf::bench::units::force;
///
/// assert_eq!(force(250.0).value, 250.0);
/// ```
pub fn force(newtons: f64) -> Force {
    Force::new::<uom::si::force::newton>(newtons)
}

/// A spring rate from newtons per metre.
///
/// ```
/// use benchleaf::bench::units::spring_rate;
///
/// assert_eq!(spring_rate(9_000.0).value, 9_000.0);
/// ```
pub fn spring_rate(newtons_per_metre: f64) -> SpringRate {
    SpringRate::new::<uom::si::surface_tension::newton_per_meter>(newtons_per_metre)
}

/// A spring rate from newtons per millimetre.
///
/// ```
/// use benchleaf::bench::units::{newtons_per_millimetre, spring_rate};
///
/// assert_eq!(newtons_per_millimetre(9.0), spring_rate(9_000.0));
/// ```
pub fn newtons_per_millimetre(value: f64) -> SpringRate {
    spring_rate(value * 1000.0)
}

/// A pressure from pascals.
///
/// ```
/// use benchleaf::bench::units::{ATMOSPHERE, pressure};
///
/// assert_eq!(pressure(ATMOSPHERE).value, 101_325.0);
/// ```
pub fn pressure(pascals: f64) -> Pressure {
    Pressure::new::<uom::si::pressure::pascal>(pascals)
}

/// A torque from newton metres.
///
/// ```
/// use benchleaf::bench::units::torque;
///
/// assert_eq!(torque(22.0).value, 22.0);
/// ```
pub fn torque(newton_metres: f64) -> Torque {
    Torque::new::<uom::si::torque::newton_meter>(newton_metres)
}

/// A temperature from kelvin.
///
/// ```
/// use benchleaf::bench::units::kelvin;
///
/// assert_eq!(kelvin(293.15).value, 293.15);
/// ```
pub fn kelvin(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>(value)
}

/// A temperature from degrees Celsius.
///
/// ```
/// use benchleaf::bench::units::{celsius, kelvin};
///
/// assert_eq!(celsius(20.0), kelvin(293.15));
/// ```
pub fn celsius(value: f64) -> ThermodynamicTemperature {
    kelvin(value + ZERO_CELSIUS)
}

/// A viscosity from square metres per second.
pub(crate) fn viscosity(square_metres_per_second: f64) -> KinematicViscosity {
    KinematicViscosity::new::<uom::si::kinematic_viscosity::square_meter_per_second>(square_metres_per_second)
}

/// A viscosity from square millimetres per second, the unit on every data sheet.
///
/// ```
/// use benchleaf::bench::units::square_millimetres_per_second;
///
/// assert!((square_millimetres_per_second(22.0).value - 22e-6).abs() < 1e-15);
/// ```
pub fn square_millimetres_per_second(value: f64) -> KinematicViscosity {
    viscosity(value / 1_000_000.0)
}

/// An angle from radians.
///
/// ```
/// use benchleaf::bench::units::angle;
///
/// assert_eq!(angle(0.42).value, 0.42);
/// ```
pub fn angle(radians: f64) -> Angle {
    Angle::new::<uom::si::angle::radian>(radians)
}

/// An angle from degrees.
///
/// ```
/// use benchleaf::bench::units::degrees;
///
/// assert_eq!(degrees(180.0).value, core::f64::consts::PI);
/// ```
pub fn degrees(value: f64) -> Angle {
    angle(value * core::f64::consts::PI / 180.0)
}
