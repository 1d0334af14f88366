//! The seeded source of whatever is drawn at random.

/// A stream of numbers: SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// The stream of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `many`, which is above 0 and below 2^32.
    #[inline]
    pub fn below(&mut self, many: usize) -> usize {
        let product = (self.next() >> 32) * many as u64;
        usize::try_from(product >> 32).expect("it is below a usize")
    }
}
