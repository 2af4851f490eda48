//! Kendall's distribution: how often chance alone orders readings so.

/// Most readings for which it is counted out; beyond that it is as good as normal.
pub(super) const COUNTED: usize = 60;

/// Chance that the sum of signs is at least `k`, for `n` readings without a trend.
///
/// Permutations are counted by their inversions, as the coefficients of `∏ (1 + x + … + x^(i−1))`,
/// kept as chances so that no count overflows.
fn at_least(chances: &[f64], k: usize) -> f64 {
    // K = N − 2 · inversions, so K ≥ k where inversions ≤ (N − k)/2.
    let most = chances.len() - 1;
    if k > most {
        return 0.0;
    }
    chances[..=(most - k) / 2].iter().sum()
}

/// Chance of each count of inversions for `n` readings in random order.
fn chances(n: usize) -> Vec<f64> {
    let mut all = vec![1.0];
    for i in 2..=n {
        let mut next = vec![0.0; all.len() + i - 1];
        for (k, chance) in all.iter().enumerate() {
            for slot in &mut next[k..k + i] {
                *slot += chance / count(i);
            }
        }
        all = next;
    }
    all
}

/// A small count as a number.
pub(super) fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::INFINITY, f64::from)
}

/// Ranks that bound the slope of `n` readings (first and last, from 1) and the confidence reached;
/// `None` where no interval of slopes can reach it.
pub(super) fn ranks(n: usize, confidence: f64) -> Option<(usize, usize, f64)> {
    let pairs = n.checked_mul(n.checked_sub(1)?)? / 2;
    let half = (1.0 - confidence) / 2.0;
    if n > COUNTED {
        return normal_ranks(n, pairs, half);
    }
    let chances = chances(n);
    // A whisker of slack: a confidence such as 1 − 2/n! must not be missed by a rounding.
    let k = (0..=pairs)
        .filter(|k| k % 2 == pairs % 2)
        .find(|k| at_least(&chances, *k) <= half * (1.0 + 1e-12))?;
    let c = k.checked_sub(2)?;
    let (low, high) = ((pairs - c) / 2, (pairs + c) / 2 + 1);
    let reached = 1.0 - 2.0 * at_least(&chances, k);
    (low >= 1 && high <= pairs).then_some((low, high, reached))
}

fn normal_ranks(n: usize, pairs: usize, half: f64) -> Option<(usize, usize, f64)> {
    let n = count(n);
    let c = z_above(half) * (n * (n - 1.0) * (2.0 * n + 5.0) / 18.0).sqrt();
    let low = whole(((count(pairs) - c) / 2.0).floor())?;
    (low >= 1).then_some((low, pairs - low + 1, 1.0 - 2.0 * half))
}

/// A number that is whole and not negative, as a count.
pub(super) fn whole(value: f64) -> Option<usize> {
    if !(0.0..=1e9).contains(&value) {
        return None;
    }
    format!("{value:.0}").parse().ok()
}

/// The normal deviate that is passed with so much chance.
///
/// Found by halving on `Φ(z) = ½ + φ(z)(z + z³/3 + z⁵/15 + …)`, which is exact to the last digits.
pub(super) fn z_above(chance: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if 1.0 - phi(middle) > chance {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

fn phi(z: f64) -> f64 {
    let (mut term, mut sum, mut odd) = (z, z, 1.0);
    for _ in 0..400 {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    0.5 + sum * (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// Best confidence that `n` readings, all in order, can give: `1 − 2/n!`.
pub(super) fn best_confidence(n: usize) -> f64 {
    let ways: f64 = (1..=n).map(count).product();
    (1.0 - 2.0 / ways).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_readings_give_ninety_and_five_ninety_five() {
        assert!(ranks(4, 0.95).is_none());
        assert!(ranks(3, 0.9).is_none());
        let (low, high, reached) = ranks(5, 0.95).unwrap();
        assert_eq!((low, high), (1, 10));
        assert!((reached - (1.0 - 2.0 / 120.0)).abs() < 1e-12);
        assert_eq!(ranks(4, 0.9).unwrap().0, 1);
    }

    #[test]
    fn the_deviates_of_the_tables_come_out() {
        assert!((z_above(0.025) - 1.959_963_984_540_054).abs() < 1e-12);
        assert!((z_above(0.005) - 2.575_829_303_548_901).abs() < 1e-12);
    }

    #[test]
    fn counted_and_normal_ranks_agree_where_they_meet() {
        let counted = ranks(60, 0.95).unwrap();
        let normal = normal_ranks(60, 1770, 0.025).unwrap();
        assert!(counted.0.abs_diff(normal.0) <= 2, "{counted:?} {normal:?}");
        for n in [0, 1, 2, 61, 500] {
            let _ = ranks(n, 0.95);
        }
        assert!(ranks(2000, 0.95).is_some_and(|(low, high, _)| low < high));
    }
}
