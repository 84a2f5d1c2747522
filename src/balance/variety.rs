//! How patients differ in their judgement.
//!
//! All of it is assumed: no source at hand measured how any of these spreads between patients. Normal chances are summed at
//! three nodes of Gauss and Hermite, which get every moment right up to the fifth; how clear letters have to be is summed more
//! finely.

use super::patient::{Luck, Patient};

/// Widths of "same" differ by this SD of their natural logarithm. Assumed.
const SAME_SD_LN: f64 = 0.5;

/// How much judgement wavers differs by this SD of its natural logarithm. Assumed.
const NOISE_SD_LN: f64 = 0.35;

/// How clear letters have to be differs by this SD of its decimal logarithm. Assumed.
const LEGIBLE_SD_LOG10: f64 = 0.25;

/// Answers lean to a side by this SD, in typical widths of "same". Assumed; of three nodes one in six lies at a whole width to
/// the left and one in six to the right.
pub(super) const LEAN_SD: f64 = 0.577_350_269_189_625_8;

/// How many leanings there are: to the right, none, to the left.
pub(super) const LEANS: usize = 3;

/// Places of a normal chance in SDs, each with its share.
fn three() -> [(f64, f64); LEANS] {
    let far = 3_f64.sqrt();
    [(-far, 1.0 / 6.0), (0.0, 2.0 / 3.0), (far, 1.0 / 6.0)]
}

/// The same at nine even distances up to 2.2 SDs, drawn out so that the SD is right. Where letters are lost an answer changes
/// at once, which nodes farther apart than focus wavers would take for more than it tells.
fn nine() -> Vec<(f64, f64)> {
    let places = (-4..=4_i8).map(|place| 0.55 * f64::from(place));
    let weighed: Vec<(f64, f64)> = places.map(|sds| (sds, (-sds * sds / 2.0).exp())).collect();
    let total: f64 = weighed.iter().map(|(_, weight)| weight).sum();
    let variance: f64 = weighed.iter().map(|(sds, weight)| sds * sds * weight / total).sum();
    weighed.into_iter().map(|(sds, weight)| (sds / variance.sqrt(), weight / total)).collect()
}

/// Patients who differ from a typical one, each with its share; together 1. The leanings of otherwise the same patient follow
/// each other, from right to left.
pub(super) fn around(typical: &Patient) -> Vec<(Patient, f64)> {
    let one = vec![(*typical, 1.0)];
    let same = each(&one, &three(), |one, sds| one.same_within *= (SAME_SD_LN * sds).exp());
    let noise = each(&same, &three(), |one, sds| one.noise_sd *= (NOISE_SD_LN * sds).exp());
    let legible = each(&noise, &nine(), |one, sds| one.legible_from *= 10_f64.powf(LEGIBLE_SD_LOG10 * sds));
    each(&legible, &three(), |one, sds| one.leans_left += typical.same_within * LEAN_SD * sds)
}

/// A patient who differs from a typical one by chance, and as much.
pub(super) fn drawn(typical: &Patient, luck: &mut Luck) -> Patient {
    let mut one = *typical;
    one.same_within *= luck.normal(SAME_SD_LN).exp();
    one.noise_sd *= luck.normal(NOISE_SD_LN).exp();
    one.legible_from *= 10_f64.powf(luck.normal(LEGIBLE_SD_LOG10));
    one.leans_left += typical.same_within * luck.normal(LEAN_SD);
    one
}

/// Each of these patients once for each node.
fn each(
    patients: &[(Patient, f64)],
    nodes: &[(f64, f64)],
    differ: impl Fn(&mut Patient, f64),
) -> Vec<(Patient, f64)> {
    let with = |(patient, share): &(Patient, f64), (sds, weight): &(f64, f64)| {
        let mut other = *patient;
        differ(&mut other, *sds);
        (other, share * weight)
    };
    patients.iter().flat_map(|one| nodes.iter().map(|node| with(one, node)).collect::<Vec<_>>()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nodes_have_the_moments_of_a_normal_chance() {
        const DUST: f64 = 1e-12;
        // 1, 0, 1, 0, 3.
        let moment = |nodes: &[(f64, f64)], power: i32| -> f64 {
            nodes.iter().map(|(at, share)| share * at.powi(power)).sum()
        };
        for (power, known) in [(0, 1.0), (1, 0.0), (2, 1.0), (3, 0.0), (4, 3.0)] {
            assert!((moment(&three(), power) - known).abs() < DUST, "{power}");
            // The fourth of nine falls short, since their tails are cut.
            let of_nine = if power == 4 { 0.4 } else { DUST };
            assert!((moment(&nine(), power) - known).abs() < of_nine, "{power}: {}", moment(&nine(), power));
        }
    }

    #[test]
    fn patients_differ_as_is_said() {
        const DUST: f64 = 1e-12;
        let typical = Patient::typical();
        let patients = around(&typical);
        let mean = |of: &dyn Fn(&Patient) -> f64| -> f64 {
            patients.iter().map(|(one, share)| share * of(one)).sum()
        };
        let sd = |of: &dyn Fn(&Patient) -> f64| (mean(&|one| of(one).powi(2)) - mean(of).powi(2)).sqrt();
        assert!((mean(&|_| 1.0) - 1.0).abs() < DUST);
        assert!((sd(&|one| one.same_within.ln()) - 0.5).abs() < DUST);
        assert!((sd(&|one| one.noise_sd.ln()) - 0.35).abs() < DUST);
        assert!((sd(&|one| one.legible_from.log10()) - 0.25).abs() < DUST);
        // By hand: a third of patients lean by a whole width, √(1/3).
        assert!((sd(&|one| one.leans_left / typical.same_within) - (1.0_f64 / 3.0).sqrt()).abs() < DUST);
        let leans: Vec<f64> = patients[..LEANS].iter().map(|(one, _)| one.leans_left).collect();
        assert!(leans.is_sorted() && (leans[0] + leans[2]).abs() < DUST);
    }
}
