//! How what is one of a table of the program is written for the next run: a unit by its
//! place in the table.

use std::io::{self, Read, Write};

use borsh::{BorshDeserialize, BorshSerialize};

use crate::quantity::units::{UNITS, Unit};

pub(super) fn strange() -> io::Error {
    io::Error::from(io::ErrorKind::InvalidData)
}

pub(super) fn write_unit<W: Write>(unit: &&'static Unit, to: &mut W) -> io::Result<()> {
    let place = UNITS.iter().position(|other| other == *unit).and_then(|at| u8::try_from(at).ok());
    place.ok_or_else(strange)?.serialize(to)
}

pub(super) fn read_unit<R: Read>(from: &mut R) -> io::Result<&'static Unit> {
    UNITS.get(usize::from(u8::deserialize_reader(from)?)).ok_or_else(strange)
}
