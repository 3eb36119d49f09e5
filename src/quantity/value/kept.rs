//! How what is one of a table of the program is written for the next run: a unit by its place in the table, a property
//! class by its mark.

use std::io::{self, Read, Write};

use borsh::{BorshDeserialize, BorshSerialize};

use super::part::PropertyClass;
use crate::quantity::units::{UNITS, Unit};

fn strange() -> io::Error {
    io::Error::from(io::ErrorKind::InvalidData)
}

pub(super) fn write_unit<W: Write>(unit: &&'static Unit, to: &mut W) -> io::Result<()> {
    let place = UNITS.iter().position(|other| other == *unit).and_then(|at| u8::try_from(at).ok());
    place.ok_or_else(strange)?.serialize(to)
}

pub(super) fn read_unit<R: Read>(from: &mut R) -> io::Result<&'static Unit> {
    UNITS.get(usize::from(u8::deserialize_reader(from)?)).ok_or_else(strange)
}

impl BorshSerialize for PropertyClass {
    fn serialize<W: Write>(&self, to: &mut W) -> io::Result<()> {
        BorshSerialize::serialize(self.mark(), to)
    }
}

impl BorshDeserialize for PropertyClass {
    fn deserialize_reader<R: Read>(from: &mut R) -> io::Result<PropertyClass> {
        PropertyClass::from_mark(&String::deserialize_reader(from)?).ok_or_else(strange)
    }
}
