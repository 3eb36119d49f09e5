//! A quantity as a typed uom value, for the arithmetic. The number is the target (see
//! [`Quantity::middle_si`]); None where the quantity measures something else.

use super::quantity::Quantity;
use crate::quantity::units::Dimension;
use uom::si::f64 as si;

macro_rules! typed {
    ($($(#[$doc:meta])* $name:ident: $dimension:ident => $kind:ident, $module:ident::$base:ident;)*) => {
        impl Quantity {
            $($(#[$doc])*
            pub(crate) fn $name(&self) -> Option<si::$kind> {
                (self.dimension() == Dimension::$dimension)
                    .then(|| si::$kind::new::<uom::si::$module::$base>(self.middle_si()))
            })*
        }
    };
}

typed! {
    /// As a length.
    length: Length => Length, length::meter;
    /// As a volume.
    volume: Volume => Volume, volume::cubic_meter;
    /// As a mass.
    mass: Mass => Mass, mass::kilogram;
    /// As a force.
    force: Force => Force, force::newton;
    /// As a torque.
    torque: Torque => Torque, torque::newton_meter;
    /// As a pressure; its field says whether gauge or absolute.
    pressure: Pressure => Pressure, pressure::pascal;
    /// As a spring rate. uom has no such name: force for each length is its surface tension.
    spring_rate: SpringRate => SurfaceTension, surface_tension::newton_per_meter;
    /// As a kinematic viscosity.
    viscosity: Viscosity => KinematicViscosity, kinematic_viscosity::square_meter_per_second;
    /// As a density.
    density: Density => MassDensity, mass_density::kilogram_per_cubic_meter;
    /// As a point on the temperature scale.
    temperature: Temperature => ThermodynamicTemperature, thermodynamic_temperature::kelvin;
    /// As an angle.
    angle: Angle => Angle, angle::radian;
    /// As a volume for each length, which is an area.
    slope: Slope => Area, area::square_meter;
}
