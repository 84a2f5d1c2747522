//! Sums over many patients in several lanes, since one after the other each addition would wait for the one before.

#![allow(
    clippy::needless_range_loop,
    reason = "zipped arrays are several times slower where tests are built"
)]

/// So many sums run beside each other.
const LANES: usize = 8;

/// The sum of these numbers.
pub(super) fn sum(numbers: &[f64]) -> f64 {
    let (chunks, rest) = numbers.as_chunks::<LANES>();
    let mut lanes = [0.0; LANES];
    for chunk in chunks {
        for lane in 0..LANES {
            lanes[lane] += chunk[lane];
        }
    }
    lanes.iter().chain(rest).sum()
}

/// The sum of the products of these numbers with as many others.
pub(super) fn dot(numbers: &[f64], others: &[f64]) -> f64 {
    dot_with(numbers, others, |other| other)
}

/// The same with what becomes of each of the others.
pub(super) fn dot_with(numbers: &[f64], others: &[f64], of: impl Fn(f64) -> f64) -> f64 {
    let (chunks, rest) = numbers.as_chunks::<LANES>();
    let (other_chunks, other_rest) = others.as_chunks::<LANES>();
    let mut lanes = [0.0; LANES];
    for (chunk, other) in chunks.iter().zip(other_chunks) {
        for lane in 0..LANES {
            lanes[lane] += chunk[lane] * of(other[lane]);
        }
    }
    // An iterator over both would take longer than most of these sums.
    let mut sum = 0.0;
    for lane in lanes {
        sum += lane;
    }
    for (number, other) in rest.iter().zip(other_rest) {
        sum += number * of(*other);
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_those_of_one_lane() {
        // Whole numbers, which add up without dust. 1 + 2 + … + n = n(n + 1)/2, 1² + 2² + … = n(n + 1)(2n + 1)/6.
        const DUST: f64 = 1e-9;
        for count in [0_u8, 1, 7, 8, 9, 16, 243] {
            let numbers: Vec<f64> = (1..=count).map(f64::from).collect();
            let n = f64::from(count);
            assert!((sum(&numbers) - n * (n + 1.0) / 2.0).abs() < DUST, "{count}");
            assert!(
                (dot(&numbers, &numbers) - n * (n + 1.0) * (2.0 * n + 1.0) / 6.0).abs() < DUST,
                "{count}"
            );
        }
    }
}
