//! Numbers that look random and are the same for the same seed.

/// A SplitMix64 generator (Steele, Lea, Flood 2014).
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below a bound; nought where the bound is.
    pub fn below(&mut self, bound: usize) -> usize {
        if bound == 0 { 0 } else { (self.next() % bound as u64) as usize }
    }

    pub fn of<'t, T>(&mut self, list: &'t [T]) -> &'t T {
        &list[self.below(list.len())]
    }
}
