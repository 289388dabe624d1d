//! Shared by the tests.

/// The starting points: name and plan file.
pub const STARTS: [(&str, &str); 3] = [
    (
        "orchard-van",
        include_str!("../demo-data/orchard-van.larder.json"),
    ),
    (
        "estuary-cutter",
        include_str!("../demo-data/estuary-cutter.larder.json"),
    ),
    (
        "hill-hut",
        include_str!("../demo-data/hill-hut.larder.json"),
    ),
];

/// Numbers from a seed, the same in every run: SplitMix64, by Steele, Lea & Flood (2014). The core's own is not used, so that
/// it is not tested by itself.
pub struct Seeded(pub u64);

impl Seeded {
    /// From 0 to below 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Between two numbers.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// One of so many, from 0.
    pub fn one_of(&mut self, many: usize) -> usize {
        (self.unit() * many as f64) as usize
    }
}
