//! Chance, the same on every machine for the same seed.

/// A small generator of numbers (splitmix64): good enough to shake a simulation, and repeatable.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// A generator that begins at a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66_D1CE_4E5B)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / 4_294_967_296.0
    }

    /// Between two bounds.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.unit()
    }

    /// True with this chance.
    pub fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// Normal, mean 0 and sd 1.
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.unit().max(1e-12), self.unit());
        (-2.0 * u.ln()).sqrt() * (2.0 * std::f64::consts::PI * v).cos()
    }

    /// One of several, each as likely.
    pub fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        let last = all.len() - 1;
        let mut at = 0;
        let mut left = self.unit() * f64::from(u32::try_from(all.len()).unwrap_or(1));
        while left >= 1.0 && at < last {
            left -= 1.0;
            at += 1;
        }
        all[at]
    }
}
