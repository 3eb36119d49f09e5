"""Writes units_pint.csv: every pair of units of one dimension in benchleaf's table, converted by pint.

Needs Python 3 and pint 0.25.3 (pip install pint==0.25.3), in a virtual environment outside this folder.
Run it from this folder: python units_pint.py

Each row is: dimension, from, to, number, and that number converted. The numbers go through Python's
Fraction, so that pint's own definitions are kept exact as far as pint writes them exactly.
"""

import csv
from decimal import Decimal

import pint

assert pint.__version__ == "0.25.3", pint.__version__

ureg = pint.UnitRegistry(non_int_type=Decimal)

# Our symbol -> pint's expression. Points and differences of temperature are different units in pint.
UNITS = {
    "length": {
        "mm": "mm", "in": "inch", "cm": "cm", "m": "m", "µm": "micrometer", "ft": "foot",
    },
    "volume": {
        "mL": "mL", "cm³": "cm**3", "L": "L", "dL": "dL", "cL": "cL",
        "US fl oz": "fluid_ounce", "imp fl oz": "imperial_fluid_ounce",
        "US pt": "pint", "US qt": "quart", "US gal": "gallon",
        "imp pt": "imperial_pint", "imp qt": "imperial_quart", "imp gal": "imperial_gallon",
        "in³": "inch**3", "mm³": "mm**3",
    },
    "mass": {"g": "g", "kg": "kg", "oz av": "ounce", "lb": "pound", "mg": "mg"},
    "torque": {
        "N·m": "newton*meter", "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch",
        "kgf·m": "kilogram_force*meter", "kgf·cm": "kilogram_force*cm", "daN·m": "decanewton*meter",
        "N·cm": "newton*cm", "N·mm": "newton*mm", "ozf·in": "force_ounce*inch",
    },
    "force": {"N": "newton", "lbf": "force_pound", "kgf": "kilogram_force", "kN": "kilonewton", "daN": "decanewton"},
    "pressure": {
        "kPa": "kPa", "bar": "bar", "psi": "psi", "kgf/cm²": "kilogram_force/cm**2", "MPa": "MPa", "Pa": "Pa",
        "hPa": "hPa", "mbar": "mbar", "atm": "standard_atmosphere", "N/mm²": "newton/mm**2",
    },
    "spring-rate": {
        "N/mm": "newton/mm", "kgf/mm": "kilogram_force/mm", "lbf/in": "force_pound/inch", "N/m": "newton/m",
        "N/cm": "newton/cm", "kN/m": "kilonewton/m", "kgf/cm": "kilogram_force/cm",
    },
    "viscosity": {"mm²/s": "mm**2/s", "cSt": "centistokes", "m²/s": "m**2/s", "St": "stokes"},
    "density": {
        "kg/m³": "kg/m**3", "g/mL": "g/mL", "g/cm³": "g/cm**3", "kg/L": "kg/L", "g/L": "g/L",
        "lb/ft³": "pound/foot**3", "lb/US gal": "pound/gallon",
    },
    "temperature": {"°C": "degC", "°F": "degF", "K": "kelvin"},
    "temperature-difference": {"°C": "delta_degC", "°F": "delta_degF", "K": "kelvin"},
    "time": {"min": "minute", "h": "hour", "s": "second", "d": "day"},
    "calendar-time": {"months": "month", "years": "year"},
    "angle": {"°": "degree", "′": "arcminute"},
    "distance": {"km": "km", "mi": "mile", "m": "m"},
    "slope": {
        "mL/mm": "mL/mm", "cm³/mm": "cm**3/mm", "mL/cm": "mL/cm", "US fl oz/in": "fluid_ounce/inch",
        "imp fl oz/in": "imperial_fluid_ounce/inch",
    },
    "ratio": {"%": "percent", "‰": "permille"},
    "clicks": {"clicks": "count"},
    "turns": {"turns": "turn"},
    "rings": {"rings": "count"},
}

NUMBERS = ["1", "37.25"]

with open("units_pint.csv", "w", newline="", encoding="utf-8") as out:
    write = csv.writer(out, lineterminator="\n")
    write.writerow(["dimension", "from", "to", "number", "converted"])
    for dimension, units in UNITS.items():
        for symbol, unit in units.items():
            for other, into in units.items():
                for number in NUMBERS:
                    converted = ureg.Quantity(Decimal(number), unit).to(into).magnitude
                    write.writerow([dimension, symbol, other, number, f"{float(converted):.17g}"])
