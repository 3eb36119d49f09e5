//! What the catalogue writes at a field about how it stands to others.

use serde::Deserialize;

/// The relations of one field, by key, as the catalogue writes them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Related {
    /// It is an amount that is poured: the fields that name its oil, the first that is given counts.
    pub poured: Vec<String>,
    /// It is the tuning range of this field.
    pub range_of: Option<String>,
    /// It is the whole range of this adjuster.
    pub whole_range_of: Option<String>,
    /// It is the greatest pressure of this field.
    pub limit_of: Option<String>,
    /// It is a part of this amount, told with it.
    pub share_of: Option<String>,
    /// It is never above these.
    pub not_above: Vec<String>,
    /// It is never below these.
    pub not_below: Vec<String>,
    /// It is measured from the first of these faces to the second.
    pub between: Vec<String>,
    /// A service that names this amount needs the other no more.
    pub instead_of: Option<String>,
    /// The lengths that its size fits.
    pub fits: Vec<Fit>,
}

impl Related {
    /// Every field that is named.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        let single = [&self.range_of, &self.whole_range_of, &self.limit_of, &self.share_of, &self.instead_of];
        let lists = [&self.poured, &self.not_above, &self.not_below, &self.between];
        let listed = lists.into_iter().flatten().chain(single.into_iter().flatten());
        listed.map(String::as_str).chain(self.fits.iter().map(|fit| fit.length.as_str()))
    }
}

/// A side of a seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SealSide {
    /// Its inside, the first number of its size.
    Inside,
    /// Its outside, the second number.
    Outside,
}

impl SealSide {
    /// "inside" or "outside".
    pub fn word(self) -> &'static str {
        match self {
            SealSide::Inside => "inside",
            SealSide::Outside => "outside",
        }
    }
}

/// A side of a seal and the length that it fits.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fit {
    /// The side.
    pub side: SealSide,
    /// The field of the length.
    pub length: String,
    /// How much looser it may be than the length, mm: nought for a seal.
    #[serde(default)]
    pub room_mm: f64,
    /// What happens at the bench where it does not fit.
    pub wrong: String,
}

/// A row of the card's table of what is read as found and as left.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardRow {
    /// Where it stands: the smallest number comes first.
    pub place: u16,
    /// What the row is called, where that is neither the reading's name nor the field's.
    #[serde(default)]
    pub label: String,
    /// It is read on a fork whose record gives no such value.
    #[serde(default)]
    pub without_value: bool,
}
