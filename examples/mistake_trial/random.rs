//! Numbers that look random and are the same for the same seed.

/// A SplitMix64 generator (Steele, Lea, Flood 2014).
pub struct Random(pub u64);

impl Random {
    /// The generator of one kind: what is drawn for one kind leaves the others as they were.
    pub fn of(seed: u64, name: &str) -> Random {
        let mixed = name.bytes().fold(seed ^ 0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        Random(mixed)
    }

    fn next(&mut self) -> u64 {
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

    /// One of a list; `None` of an empty one.
    pub fn of_list<'t, T>(&mut self, list: &'t [T]) -> Option<&'t T> {
        list.get(self.below(list.len()))
    }

    /// So many of a list, each once.
    pub fn some<T>(&mut self, mut list: Vec<T>, most: usize) -> Vec<T> {
        for at in 0..list.len().min(most) {
            let other = at + self.below(list.len() - at);
            list.swap(at, other);
        }
        list.truncate(most);
        list
    }
}
