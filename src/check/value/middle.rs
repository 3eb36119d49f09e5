//! The middle and the spread of a list without one of its values: each value is judged by the others, and none of
//! them needs the list sorted anew.

/// Numbers from least to greatest.
#[derive(Debug, Default)]
pub(crate) struct Sorted(Vec<f64>);

impl Sorted {
    /// Sorts them.
    pub fn new(mut values: Vec<f64>) -> Sorted {
        values.sort_by(f64::total_cmp);
        Sorted(values)
    }

    /// All but one of this size; all of them where none is.
    pub fn without(&self, value: Option<f64>) -> Others<'_> {
        let at = value.and_then(|value| self.0.binary_search_by(|place| place.total_cmp(&value)).ok());
        Others { all: &self.0, left_out: at.unwrap_or(self.0.len()) }
    }
}

/// The numbers of a list without one of them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Others<'s> {
    all: &'s [f64],
    /// The place of the one that is left out; the list's length where none is.
    left_out: usize,
}

impl Others<'_> {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len() - usize::from(self.left_out < self.all.len())
    }

    fn at(&self, n: usize) -> f64 {
        self.all[n + usize::from(n >= self.left_out)]
    }

    /// The median; nought where there is nothing.
    pub fn median(&self) -> f64 {
        middle(self.len(), |n| self.at(n))
    }

    /// The median of how far each is from a place.
    pub fn median_apart(&self, place: f64) -> f64 {
        // Those below it, from the nearest on, and those above it: two lists that rise.
        let below = partition(self.len(), |n| self.at(n) < place);
        let near = |n: usize| place - self.at(below - 1 - n);
        let far = |n: usize| self.at(below + n) - place;
        let (nears, fars) = (below, self.len() - below);
        middle(self.len(), |n| {
            // Of the n + 1 smallest, so many come from below.
            let (least, most) = ((n + 1).saturating_sub(fars), nears.min(n + 1));
            let taken = least + partition(most - least, |more| near(least + more) < far(n - least - more));
            let last = [taken.checked_sub(1).map(near), (n + 1 - taken).checked_sub(1).map(far)];
            last.into_iter().flatten().fold(0.0, f64::max)
        })
    }
}

/// The median of so many numbers, given in rising order.
fn middle(len: usize, at: impl Fn(usize) -> f64) -> f64 {
    match (len, len / 2) {
        (0, _) => 0.0,
        (len, half) if len % 2 == 1 => at(half),
        (_, half) => f64::midpoint(at(half - 1), at(half)),
    }
}

/// The first of so many places at which something that holds up to there holds no more.
fn partition(len: usize, holds: impl Fn(usize) -> bool) -> usize {
    let (mut from, mut to) = (0, len);
    while from < to {
        let half = usize::midpoint(from, to);
        if holds(half) { from = half + 1 } else { to = half }
    }
    from
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn plain(mut values: Vec<f64>) -> f64 {
        values.sort_by(f64::total_cmp);
        let half = values.len() / 2;
        match values.len() {
            0 => 0.0,
            len if len % 2 == 1 => values[half],
            _ => (values[half - 1] + values[half]) / 2.0,
        }
    }

    proptest! {
        #[test]
        fn it_is_what_sorting_the_others_gives(
            values in proptest::collection::vec((-40_i32..40).prop_map(|n| f64::from(n) / 4.0), 0..14),
            left_out in 0_usize..20,
        ) {
            let value_left_out = values.get(left_out).copied();
            let sorted = Sorted::new(values.clone());
            let others = sorted.without(value_left_out);
            let mut plainly = values;
            if left_out < plainly.len() {
                plainly.remove(left_out);
            }
            prop_assert_eq!(others.len(), plainly.len());
            let median = others.median();
            prop_assert_eq!(median, plain(plainly.clone()));
            for place in [median, -3.0, 0.25, 11.0] {
                let apart = plainly.iter().map(|value| (value - place).abs()).collect();
                prop_assert_eq!(others.median_apart(place), plain(apart), "from {}", place);
            }
        }
    }
}
