//! The normal distribution.

use std::f64::consts::SQRT_2;

/// Farther out than so many SDs lies less than 3 of 10¹¹, which is left out.
const FAR_SDS: f64 = 6.5;

/// The share of a normal chance that lies below this many SDs from its mean, 0 to 1.
pub(super) fn share_below(sds: f64) -> f64 {
    if sds.abs() > FAR_SDS {
        return f64::from(u8::from(sds > 0.0));
    }
    libm::erfc(-sds / SQRT_2) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_those_of_printed_tables() {
        // Any table of the normal distribution, four digits as printed.
        const HALF_A_DIGIT: f64 = 5e-5;
        for (sds, share) in [(-1.96, 0.0250), (0.0, 0.5), (0.5, 0.6915), (1.0, 0.8413), (2.0, 0.9772)] {
            assert!((share_below(sds) - share).abs() < HALF_A_DIGIT, "{sds}");
        }
    }
}
