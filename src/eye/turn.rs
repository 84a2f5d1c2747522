//! Sine and cosine of so many turns, from a table: a transfer asks for millions of them, and they are most of its cost.

use std::f64::consts::TAU;
use std::sync::OnceLock;

/// Places of the table in a turn.
const PLACES: usize = 256;

/// The point of the unit circle after so many turns: cosine and sine, as exact as double precision holds up to a million turns.
///
/// From the nearest place of the table it is at most a = π/256 on, where the next terms of both series, a⁸/8! and a⁷/7!, are
/// under 2e-17.
pub(super) fn on_circle(turns: f64) -> [f64; 2] {
    static TABLE: OnceLock<[[f64; 2]; PLACES]> = OnceLock::new();
    let table = TABLE.get_or_init(|| {
        std::array::from_fn(|place| {
            let (sin, cos) = (TAU * place as f64 / PLACES as f64).sin_cos();
            [cos, sin]
        })
    });
    let at = turns * PLACES as f64;
    // Rounded so, since rounding by the library is a call of its own.
    #[allow(clippy::cast_possible_truncation, reason = "rounded to a whole number")]
    let nearest = (at + 0.5_f64.copysign(at)) as i64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "its lowest bits count")]
    let [cos, sin] = table[nearest as usize % PLACES];
    let on = TAU * (at - nearest as f64) / PLACES as f64;
    let square = on * on;
    let on_cos = 1.0 - square * (1.0 / 2.0 - square * (1.0 / 24.0 - square / 720.0));
    let on_sin = on * (1.0 - square * (1.0 / 6.0 - square / 120.0));
    [cos * on_cos - sin * on_sin, sin * on_cos + cos * on_sin]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_cosine_and_the_sine_of_the_library() {
        // Its own rounding, and that of the angle that the library is asked with, some 5e-15 at ten turns.
        const ROUNDED: f64 = 2e-14;
        for step in -40_000..40_000_i32 {
            let turns = f64::from(step) / 4_001.0;
            let (sin, cos) = (TAU * turns).sin_cos();
            let [ours, other] = on_circle(turns);
            assert!((ours - cos).abs() < ROUNDED && (other - sin).abs() < ROUNDED, "{turns}: {ours} {other}");
        }
    }

    #[test]
    fn half_a_place_from_the_table_the_series_leaves_nothing() {
        // The last digit of a number near 1; such an angle is held far more exactly than that.
        const LAST_DIGIT: f64 = 4e-16;
        for turns in [0.499 / 256.0, -0.499 / 256.0, 0.4 / 256.0] {
            let (sin, cos) = (TAU * turns).sin_cos();
            let [ours, other] = on_circle(turns);
            assert!(
                (ours - cos).abs() < LAST_DIGIT && (other - sin).abs() < LAST_DIGIT,
                "{turns}: {ours} {other}"
            );
        }
    }
}
