//! The oil's surface in a leg: how much oil one millimetre of gap is, what to draw off, and what oil left
//! behind does.
//!
//! Formula: A = π/4·(B² − d²), B the bore in which the surface stands, d the outside diameter of what stands
//! through it. Both may change with depth below the reference edge, so a surface is a list of pieces. A slope
//! measured in the shop overrides the geometry. Only legs set by a gap have such a surface: a leg set by
//! volume or pressure has no gap, and none is made up for it here.
//!
//! Source: plane geometry. Assumption: the leg stands upright, at rest, with no froth on the oil.

use super::range::{self, MM, OutOfRange};
use super::units::{Area, Length, Slope, Volume, area, length, volume};

/// The deepest a surface may be told to reach when the tube's length is not known: 1 m.
const DEEPEST: f64 = 1.0;

/// The oil's surface, as a function of depth below the reference edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    // Area, and the depth down to which it holds; the last runs to `deepest`.
    pieces: Vec<(f64, f64)>,
    deepest: f64,
}

/// One diameter that holds from where the one before it ended down to `until` (from the reference edge), or
/// to the bottom when `until` is absent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The diameter.
    pub diameter: Length,
    /// The depth below the reference edge at which it ends.
    pub until: Option<Length>,
}

/// What to do about a gap that reads off its target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Correction {
    /// The gap is too small: take this much oil out.
    DrawOff(Volume),
    /// The gap is too great: put this much oil in.
    Add(Volume),
    /// The gap is on its target.
    Nothing,
}

impl Correction {
    /// The amount, positive when it is drawn off.
    ///
    /// ```
    /// use benchleaf::bench::oil::Correction;
    /// use benchleaf::bench::units::millilitres;
    ///
    /// assert_eq!(Correction::Add(millilitres(5.0)).drawn(), -millilitres(5.0));
    /// assert_eq!(Correction::Nothing.drawn(), millilitres(0.0));
    /// ```
    pub fn drawn(&self) -> Volume {
        match self {
            Correction::DrawOff(amount) => *amount,
            Correction::Add(amount) => -*amount,
            Correction::Nothing => volume(0.0),
        }
    }

    /// The words for the bench, without the amount.
    pub(crate) fn words(&self) -> &'static str {
        match self {
            Correction::DrawOff(_) => "draw off",
            Correction::Add(_) => "add",
            Correction::Nothing => "leave it",
        }
    }
}

fn circle(diameter: f64) -> f64 {
    core::f64::consts::FRAC_PI_4 * diameter * diameter
}

/// The area of a circle of this diameter. Range: more than zero, at most 0.5 m.
///
/// ```
/// use benchleaf::bench::oil::disc;
/// use benchleaf::bench::units::millimetres;
///
/// assert!((disc("bore", millimetres(40.0)).unwrap().value - 1_256.6e-6).abs() < 0.1e-6);
/// ```
pub fn disc(what: &'static str, diameter: Length) -> Result<Area, OutOfRange> {
    Ok(area(circle(range::positive(what, diameter.value, MM, 500.0)?)))
}

impl Surface {
    /// One bore and one thing standing through it (zero when nothing does), all the way down.
    ///
    /// Range: bore 5 to 200 mm; what stands through it from 0 up to less than the bore.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::millimetres;
    ///
    /// assert!(Surface::plain(millimetres(40.0), millimetres(12.0)).is_ok());
    /// assert!(Surface::plain(millimetres(40.0), millimetres(40.0)).is_err());
    /// ```
    pub fn plain(bore: Length, through: Length) -> Result<Surface, OutOfRange> {
        Surface::in_sections(
            &[Stretch { diameter: bore, until: None }],
            &[Stretch { diameter: through, until: None }],
        )
    }

    /// A bore and what stands through it, each in stretches measured down from the reference edge. Nothing
    /// standing through it is an empty list.
    ///
    /// Range: as [`Surface::plain`] in every stretch; stretches end deeper and deeper, only the last is open.
    ///
    /// ```
    /// use benchleaf::bench::oil::{Stretch, Surface};
    /// use benchleaf::bench::units::millimetres;
    ///
    /// let bores = [
    ///     Stretch { diameter: millimetres(40.0), until: Some(millimetres(150.0)) },
    ///     Stretch { diameter: millimetres(38.0), until: None },
    /// ];
    /// let surface = Surface::in_sections(&bores, &[]).unwrap();
    /// let slope = |depth| surface.slope_at(millimetres(depth)).unwrap();
    /// assert!(slope(100.0) > slope(200.0));
    /// ```
    pub fn in_sections(bores: &[Stretch], through: &[Stretch]) -> Result<Surface, OutOfRange> {
        if bores.is_empty() {
            return Err(OutOfRange::Sections { what: "bore" });
        }
        let bores = depths("bore", bores)?;
        let through = if through.is_empty() {
            vec![(0.0, f64::INFINITY)]
        } else {
            depths("rod or cartridge through the surface", through)?
        };
        let mut ends: Vec<f64> = bores.iter().chain(&through).map(|stretch| stretch.1).collect();
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let mut pieces = Vec::new();
        for end in ends {
            let (bore, rod) = (at(&bores, end), at(&through, end));
            let bore = range::within("bore", bore, MM, 5.0, 200.0)?;
            let rod = range::not_negative("rod or cartridge through the surface", rod, MM, 200.0)?;
            // A ring thinner than a hundredth of a millimetre is a wrong measurement, and would turn every
            // drop into metres of gap.
            if rod > bore - 1e-5 {
                return Err(OutOfRange::Contradiction {
                    more: "bore",
                    less: "diameter of what stands through it",
                });
            }
            pieces.push((circle(bore) - circle(rod), end));
        }
        // Past the end of a closed list nothing was measured, so nothing is claimed there.
        let last = pieces.last().map_or(0.0, |piece| piece.1);
        let deepest = if last.is_finite() { last.min(DEEPEST) } else { DEEPEST };
        Ok(Surface { pieces, deepest })
    }

    /// A slope measured in the shop, oil poured in against gap read: overrides any geometry.
    ///
    /// Range: 0.01 to 30 mL/mm.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{area, millimetres};
    ///
    /// // 1.2 mL of oil for each millimetre.
    /// let surface = Surface::measured(area(1.2e-3)).unwrap();
    /// let oil = surface.between(millimetres(90.0), millimetres(100.0)).unwrap();
    /// assert!((oil.value - 12e-6).abs() < 1e-12);
    /// ```
    pub fn measured(slope: Slope) -> Result<Surface, OutOfRange> {
        let slope = range::within("measured slope", slope.value, range::In("mL/mm", 1e-3), 0.01, 30.0)?;
        Ok(Surface { pieces: vec![(slope, f64::INFINITY)], deepest: DEEPEST })
    }

    /// The same surface in a tube that ends at this depth: a gap longer than the tube is then refused.
    ///
    /// Range: more than zero, at most 1 m.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{area, millimetres};
    ///
    /// let tube = Surface::measured(area(1.2e-3)).unwrap().ending_at(millimetres(500.0)).unwrap();
    /// assert!(tube.slope_at(millimetres(499.0)).is_ok());
    /// assert!(tube.slope_at(millimetres(501.0)).is_err());
    /// ```
    pub fn ending_at(mut self, depth: Length) -> Result<Surface, OutOfRange> {
        let depth = range::positive("tube", depth.value, MM, DEEPEST * 1000.0)?;
        self.deepest = self.deepest.min(depth);
        Ok(self)
    }

    /// The same surface with parts standing through it that take up room evenly along their length: a spacer,
    /// then a spring. Each is a length and the volume of what it is made of; the first begins at the edge.
    ///
    /// Source: plane geometry. Range: lengths above zero, at most 1 m; volumes 0 to 5 L; no part fills its ring.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{length, volume};
    ///
    /// let bare = Surface::plain(length(0.040), length(0.012)).unwrap();
    /// let filled = bare.clone().with_parts(&[(length(0.1), volume(20e-6))]).unwrap();
    /// let (at, deep) = (length(0.05), length(0.2));
    /// assert!((bare.slope_at(at).unwrap().value - filled.slope_at(at).unwrap().value - 2e-4).abs() < 1e-12);
    /// assert_eq!(bare.slope_at(deep).unwrap(), filled.slope_at(deep).unwrap());
    /// ```
    pub fn with_parts(self, parts: &[(Length, Volume)]) -> Result<Surface, OutOfRange> {
        let mut ends: Vec<(f64, f64)> = Vec::new();
        let mut depth = 0.0;
        for (long, taken) in parts {
            let long = range::positive("length of a part in the oil", long.value, MM, 1000.0)?;
            let taken = range::not_negative("volume of a part in the oil", taken.value, range::ML, 5000.0)?;
            depth += long;
            ends.push((taken / long, depth));
        }
        let taken_at = |depth: f64| ends.iter().find(|part| depth <= part.1).map_or(0.0, |part| part.0);
        let mut bottoms: Vec<f64> = self.pieces.iter().chain(&ends).map(|piece| piece.1).collect();
        bottoms.sort_by(f64::total_cmp);
        bottoms.dedup();
        let last = self.pieces.last().map_or(0.0, |piece| piece.1);
        let mut pieces = Vec::new();
        for bottom in bottoms.into_iter().filter(|bottom| *bottom <= last) {
            let ring = self.pieces[self.piece_at(bottom)].0;
            let left = ring - taken_at(bottom);
            if left < ring * 1e-3 {
                return Err(OutOfRange::Contradiction {
                    more: "ring of oil",
                    less: "part that stands in it",
                });
            }
            pieces.push((left, bottom));
        }
        Ok(Surface { pieces, ..self })
    }

    /// The ring of oil at a depth: how much oil one length of gap is there. At a change of section the upper
    /// one counts.
    ///
    /// Range: 0 to the deepest gap of the surface.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{area, millimetres};
    ///
    /// let surface = Surface::measured(area(1.2e-3)).unwrap();
    /// assert_eq!(surface.slope_at(millimetres(100.0)), Ok(area(1.2e-3)));
    /// ```
    pub fn slope_at(&self, depth: Length) -> Result<Slope, OutOfRange> {
        let depth = self.depth("gap", depth)?;
        Ok(area(self.pieces[self.piece_at(depth)].0))
    }

    /// The space between two depths: positive when `to` is deeper than `from`.
    ///
    /// Range: both 0 to the deepest gap of the surface.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{area, millimetres};
    ///
    /// let surface = Surface::measured(area(1.2e-3)).unwrap();
    /// let oil = surface.between(millimetres(95.0), millimetres(100.0)).unwrap();
    /// assert!((oil.value - 6e-6).abs() < 1e-12);
    /// ```
    pub fn between(&self, from: Length, to: Length) -> Result<Volume, OutOfRange> {
        Ok(volume(self.above(self.depth("gap", to)?) - self.above(self.depth("gap", from)?)))
    }

    /// The depth the surface comes to when this much oil is drawn off (negative: added) at depth `from`.
    /// The inverse of [`Surface::between`].
    ///
    /// Range: the result must lie between the edge and the deepest gap of the surface.
    ///
    /// ```
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{area, millilitres, millimetres};
    ///
    /// let surface = Surface::measured(area(1.2e-3)).unwrap();
    /// let gap = surface.after_drawing(millimetres(95.0), millilitres(6.0)).unwrap();
    /// assert!((gap.value - 0.100).abs() < 1e-12);
    /// ```
    pub fn after_drawing(&self, from: Length, drawn: Volume) -> Result<Length, OutOfRange> {
        let from = self.depth("gap", from)?;
        let space = self.above(from) + range::number("amount of oil", drawn.value)?;
        Ok(length(self.depth_for(space)?))
    }

    /// The depth at which the space above the surface has this volume.
    ///
    /// Range: volume from zero to all the space there is.
    pub(crate) fn depth_holding(&self, space: Volume) -> Result<Length, OutOfRange> {
        let space = range::not_negative("space above the oil", space.value, range::ML, 100_000.0)?;
        Ok(length(self.depth_for(space)?))
    }

    fn depth(&self, what: &'static str, depth: Length) -> Result<f64, OutOfRange> {
        range::not_negative(what, depth.value, MM, self.deepest * 1000.0)
    }

    fn piece_at(&self, depth: f64) -> usize {
        let last = self.pieces.len() - 1;
        self.pieces.iter().position(|piece| depth <= piece.1).unwrap_or(last)
    }

    fn above(&self, depth: f64) -> f64 {
        let (mut sum, mut top) = (0.0, 0.0);
        for &(ring, until) in &self.pieces {
            let bottom = depth.min(until);
            if bottom <= top {
                break;
            }
            sum += ring * (bottom - top);
            top = bottom;
        }
        sum
    }

    fn depth_for(&self, space: f64) -> Result<f64, OutOfRange> {
        // Rounding may leave a trace below zero when the whole space was taken away.
        let slack = 1e-15;
        if space < -slack {
            return Err(OutOfRange::Unreachable {
                why: "the leg cannot hold that much oil: it would run over the edge",
            });
        }
        let (mut left, mut top) = (space.max(0.0), 0.0);
        for &(ring, until) in &self.pieces {
            let bottom = until.min(self.deepest);
            let room = ring * (bottom - top).max(0.0);
            if left <= room {
                return Ok(top + left / ring);
            }
            left -= room;
            top = bottom;
        }
        if left <= slack {
            return Ok(self.deepest);
        }
        Err(OutOfRange::Unreachable { why: "the oil would stand below the bottom of the tube" })
    }
}

fn depths(what: &'static str, stretches: &[Stretch]) -> Result<Vec<(f64, f64)>, OutOfRange> {
    let mut list: Vec<(f64, f64)> = Vec::new();
    for (index, stretch) in stretches.iter().enumerate() {
        let diameter = range::number(what, stretch.diameter.value)?;
        let until = match stretch.until {
            Some(until) => range::positive("end of a section", until.value, MM, 2000.0)?,
            None if index + 1 == stretches.len() => f64::INFINITY,
            None => return Err(OutOfRange::Sections { what }),
        };
        if list.last().is_some_and(|before| until <= before.1) {
            return Err(OutOfRange::Sections { what });
        }
        list.push((diameter, until));
    }
    Ok(list)
}

/// The diameter that holds just above `depth`; the last one goes on below the end of a closed list.
fn at(list: &[(f64, f64)], depth: f64) -> f64 {
    list.iter().find(|piece| depth <= piece.1).or(list.last()).map_or(0.0, |piece| piece.0)
}

/// What to draw off or add to bring a gap from its reading to its target: the oil between the two depths.
///
/// Formula: V = ∫ A dg from reading to target; positive is drawn off. Range: both gaps 0 to
/// the deepest gap of the surface.
///
/// ```
/// use benchleaf::bench::oil::{Correction, Surface, correction};
/// use benchleaf::bench::units::{area, millimetres};
///
/// let surface = Surface::measured(area(1.2e-3)).unwrap();
/// // The gap is 5 mm too small: there is too much oil in the leg.
/// let off = correction(&surface, millimetres(95.0), millimetres(100.0)).unwrap();
/// assert!(matches!(off, Correction::DrawOff(oil) if (oil.value - 6e-6).abs() < 1e-12));
/// ```
pub fn correction(surface: &Surface, reading: Length, target: Length) -> Result<Correction, OutOfRange> {
    let drawn = surface.between(reading, target)?;
    Ok(match drawn.value {
        v if v > 0.0 => Correction::DrawOff(drawn),
        v if v < 0.0 => Correction::Add(-drawn),
        _ => Correction::Nothing,
    })
}

/// How far oil left behind in a leg moves the gap when the leg is then filled by volume: negative, because
/// the surface stands higher. This is why the gap is the specification and the volume is not.
///
/// Formula: Δg = −R/A, over sections. Range: 0 ≤ residual; the surface must stay below the edge.
///
/// ```
/// use benchleaf::bench::oil::{Surface, residual_shift};
/// use benchleaf::bench::units::{area, millilitres, millimetres};
///
/// let surface = Surface::measured(area(1.2e-3)).unwrap();
/// let shift = residual_shift(&surface, millimetres(100.0), millilitres(12.0)).unwrap();
/// assert!((shift.value + 0.010).abs() < 1e-12);
/// ```
pub fn residual_shift(surface: &Surface, gap: Length, residual: Volume) -> Result<Length, OutOfRange> {
    let residual = range::not_negative("oil left in the leg", residual.value, range::ML, 100_000.0)?;
    let raised = surface.after_drawing(gap, volume(-residual))?;
    Ok(raised - gap)
}

/// How much too much is in a leg that got its whole dry fill with some oil still in it: the oil left behind.
///
/// Formula: excess = (residual + poured) − dry fill. Range: none negative, each at most 100 L.
///
/// ```
/// use benchleaf::bench::oil::overfill;
/// use benchleaf::bench::units::millilitres;
///
/// let excess = overfill(millilitres(480.0), millilitres(25.0), millilitres(480.0)).unwrap();
/// assert!((excess.value - 25e-6).abs() < 1e-12);
/// ```
pub fn overfill(dry_fill: Volume, residual: Volume, poured: Volume) -> Result<Volume, OutOfRange> {
    let most = 100_000.0;
    let dry = range::positive("dry fill", dry_fill.value, range::ML, most)?;
    let left = range::not_negative("oil left in the leg", residual.value, range::ML, most)?;
    let poured = range::not_negative("oil poured in", poured.value, range::ML, most)?;
    Ok(volume(left + poured - dry))
}

/// A row of the correction table on a card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// What the gap reads.
    pub reading: Length,
    /// What to do about it.
    pub correction: Correction,
}

/// The correction table for one gap: `rows` readings below the target and as many above it, one step apart;
/// readings above the edge or below the bottom are left out.
///
/// Range: step 0.1 to 50 mm, rows 1 to 40, target inside the tube.
///
/// ```
/// use benchleaf::bench::oil::{Correction, Surface, correction_table};
/// use benchleaf::bench::units::{area, millimetres};
///
/// let surface = Surface::measured(area(1.2e-3)).unwrap();
/// let rows = correction_table(&surface, millimetres(100.0), millimetres(2.0), 3).unwrap();
/// assert_eq!(rows.len(), 7);
/// assert_eq!(rows[3].correction, Correction::Nothing);
/// ```
pub fn correction_table(
    surface: &Surface,
    target: Length,
    step: Length,
    rows: usize,
) -> Result<Vec<Row>, OutOfRange> {
    let goal = surface.depth("gap", target)?;
    let step = range::within("step", step.value, MM, 0.1, 50.0)?;
    let rows = range::within("number of rows", rows as f64, range::PLAIN, 1.0, 40.0)? as i64;
    let mut table = Vec::new();
    for index in -rows..=rows {
        let reading = goal + index as f64 * step;
        if reading < 0.0 || reading > surface.deepest {
            continue;
        }
        let reading = if index == 0 { target } else { length(reading) };
        table.push(Row { reading, correction: correction(surface, reading, target)? });
    }
    Ok(table)
}

/// A step for the correction table that suits the tolerance: the largest of 0.5, 1, 2 and 5 mm that is not
/// more than the tolerance, 1 mm when none is given. Common practice, no source.
pub(crate) fn table_step(tolerance: Option<Length>) -> Length {
    let Some(tolerance) = tolerance else { return length(0.001) };
    let steps = [0.005, 0.002, 0.001];
    length(steps.into_iter().find(|step| *step <= tolerance.value.abs() + 1e-9).unwrap_or(0.0005))
}
