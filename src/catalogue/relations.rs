//! How the fields of the catalogue stand to each other. Each relation is written once, at the field that depends on
//! the other; here they are turned round, so that a room finds them from either side.

use std::collections::BTreeMap;

use super::field::{Field, Form, Per, Role};
use super::key::FieldId;
use super::related::SealSide;
use crate::quantity::{Dimension, Kind};

/// What a value cannot be beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Inside its range.
    Inside(FieldId),
    /// Not above it.
    NotAbove(FieldId),
    /// Not below it.
    NotBelow(FieldId),
}

/// A seal, its side, and the field of the length that it fits.
#[derive(Debug, Clone, PartialEq)]
pub struct SealFit {
    /// The seal.
    pub seal: FieldId,
    /// The side.
    pub side: SealSide,
    /// The length.
    pub length: FieldId,
    /// How much looser it may be than the length, m.
    pub room: f64,
    /// What happens at the bench where it does not fit.
    pub wrong: String,
}

/// All relations of a catalogue, by field.
#[derive(Debug, Clone, Default)]
pub struct Relations {
    poured: Vec<(FieldId, Vec<FieldId>)>,
    gauges: Vec<FieldId>,
    ranges: BTreeMap<FieldId, FieldId>,
    whole_ranges: Vec<(FieldId, FieldId)>,
    limits: BTreeMap<FieldId, FieldId>,
    shares: Vec<(FieldId, FieldId)>,
    bounds: BTreeMap<FieldId, Vec<Bound>>,
    faces: BTreeMap<FieldId, [FieldId; 2]>,
    instead: Vec<[FieldId; 2]>,
    fits: Vec<SealFit>,
    card_rows: Vec<FieldId>,
    shared: Vec<FieldId>,
}

impl Relations {
    /// The relations of the fields of a catalogue, in their order.
    pub(super) fn of(fields: &[Field], find: impl Fn(&str) -> Option<FieldId>) -> Self {
        let mut relations = Relations::default();
        for (field, n) in fields.iter().zip(0u16..) {
            relations.add(FieldId(n), field, |key| find(key));
        }
        let place = |id: &FieldId| fields[usize::from(id.0)].card_row.as_ref().map(|row| row.place);
        relations.card_rows.sort_by_key(place);
        // The inside of every seal comes before the outside: where the two changed places, the inside says it.
        relations.fits.sort_by_key(|fit| fit.side == SealSide::Outside);
        relations
    }

    fn add(&mut self, id: FieldId, field: &Field, find: impl Fn(&str) -> Option<FieldId>) {
        let find = |key: &String| find(key);
        let related = &field.related;
        if !related.poured.is_empty() {
            self.poured.push((id, related.poured.iter().filter_map(find).collect()));
        }
        if is_gauge(field) {
            self.gauges.push(id);
        }
        if let Some(target) = related.range_of.as_ref().and_then(find) {
            self.ranges.insert(target, id);
            self.bounds.entry(target).or_default().push(Bound::Inside(id));
        }
        if let Some(target) = related.whole_range_of.as_ref().and_then(find) {
            self.whole_ranges.push((target, id));
        }
        if let Some(target) = related.limit_of.as_ref().and_then(find) {
            self.limits.insert(target, id);
            self.bounds.entry(target).or_default().push(Bound::NotAbove(id));
        }
        if let Some(whole) = related.share_of.as_ref().and_then(find) {
            self.shares.push((whole, id));
        }
        let above = related.not_above.iter().filter_map(find).map(Bound::NotAbove);
        let below = related.not_below.iter().filter_map(find).map(Bound::NotBelow);
        let bounds: Vec<Bound> = above.chain(below).collect();
        if !bounds.is_empty() {
            self.bounds.entry(id).or_default().extend(bounds);
        }
        if let [Some(from), Some(to)] = [0, 1].map(|n| related.between.get(n).and_then(find)) {
            self.faces.insert(id, [from, to]);
        }
        if let Some(other) = related.instead_of.as_ref().and_then(find) {
            self.instead.push([other, id]);
        }
        self.fits.extend(related.fits.iter().filter_map(|fit| {
            let length = find(&fit.length)?;
            Some(SealFit {
                seal: id,
                side: fit.side,
                length,
                room: fit.room_mm / 1000.0,
                wrong: fit.wrong.clone(),
            })
        }));
        if field.card_row.is_some() {
            self.card_rows.push(id);
        }
        if field.shared_part {
            self.shared.push(id);
        }
    }

    /// The amounts that are poured, each with the fields that name its oil; the first that is given counts.
    pub fn poured(&self) -> &[(FieldId, Vec<FieldId>)] {
        &self.poured
    }

    /// The pressures that a leg is set to, as a gauge reads them.
    pub fn gauges(&self) -> &[FieldId] {
        &self.gauges
    }

    /// The tuning range of a field.
    pub fn range_of(&self, target: FieldId) -> Option<FieldId> {
        self.ranges.get(&target).copied()
    }

    /// The field whose tuning range this is.
    pub fn target_of(&self, range: FieldId) -> Option<FieldId> {
        self.ranges().find(|(_, of_target)| *of_target == range).map(|(target, _)| target)
    }

    /// Every field that has a tuning range, with it.
    pub fn ranges(&self) -> impl Iterator<Item = (FieldId, FieldId)> {
        self.ranges.iter().map(|(target, range)| (*target, *range))
    }

    /// Every adjuster with its whole range.
    pub fn whole_ranges(&self) -> &[(FieldId, FieldId)] {
        &self.whole_ranges
    }

    /// The greatest pressure of a field.
    pub fn limit_of(&self, target: FieldId) -> Option<FieldId> {
        self.limits.get(&target).copied()
    }

    /// The parts of an amount, in the catalogue's order.
    pub fn shares_of(&self, whole: FieldId) -> impl Iterator<Item = FieldId> {
        self.shares.iter().filter(move |(of, _)| *of == whole).map(|(_, share)| *share)
    }

    /// What a field cannot be beyond.
    pub fn bounds(&self, field: FieldId) -> &[Bound] {
        self.bounds.get(&field).map_or(&[], Vec::as_slice)
    }

    /// The fields of the two faces between which a height is measured.
    pub fn faces(&self, height: FieldId) -> Option<[FieldId; 2]> {
        self.faces.get(&height).copied()
    }

    /// The amount of which a service needs this one or the other, with it.
    pub fn instead(&self, amount: FieldId) -> impl Iterator<Item = FieldId> {
        self.instead.iter().filter(move |pair| pair.contains(&amount)).flatten().copied()
    }

    /// The seals with what they fit.
    pub fn fits(&self) -> &[SealFit] {
        &self.fits
    }

    /// What is always read as found and as left where the fork has it, in the order of the card.
    pub fn card_rows(&self) -> &[FieldId] {
        &self.card_rows
    }

    /// The fields whose value several forks may share, as the oil.
    pub fn shared(&self) -> &[FieldId] {
        &self.shared
    }
}

/// Whether it is a pressure that a leg is set to: it is right at a temperature. That of a test is not, and is let out
/// again.
fn is_gauge(field: &Field) -> bool {
    field.kind == Kind::Quantity(Dimension::Pressure)
        && (field.form, field.role, field.per) == (Form::Target, Role::Set, Per::Leg)
        && field.state.iter().any(|part| part == "temperature")
}
