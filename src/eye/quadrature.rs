//! Sums over the pupil by Gauss and Legendre, with as many nodes as the wavefront needs.

use std::f64::consts::PI;
use std::sync::OnceLock;

/// The numbers of nodes to choose from.
const SIZES: [usize; 9] = [8, 12, 16, 24, 32, 48, 96, 192, 384];

/// Gauss's nodes in 0 to 1, with their weights, which add up to 1.
pub(super) struct Nodes(Vec<(f64, f64)>);

impl Nodes {
    /// Enough nodes for an integrand that oscillates through this number of whole waves: a wave needs at least π nodes,
    /// and a few more bring the error under 1e-7 where it oscillates evenly.
    pub(super) fn for_waves(waves: f64) -> &'static Self {
        static NODES: [OnceLock<Nodes>; SIZES.len()] = [const { OnceLock::new() }; SIZES.len()];
        let wanted = 6.0 + 4.0 * waves.abs();
        let size = SIZES.iter().position(|size| *size as f64 >= wanted).unwrap_or(SIZES.len() - 1);
        NODES[size].get_or_init(|| Self::new(SIZES[size]))
    }

    /// The integral of a function from 0 to an end.
    pub(super) fn integrate(&self, end: f64, function: impl Fn(f64) -> f64) -> f64 {
        self.up_to(end).map(|(place, weight)| weight * function(place)).sum()
    }

    /// The nodes from 0 to an end, with weights that add up to it.
    pub(super) fn up_to(&self, end: f64) -> impl Iterator<Item = (f64, f64)> {
        self.0.iter().map(move |(place, weight)| (place * end, weight * end))
    }

    /// The roots of Legendre's polynomial by Newton's steps from Tricomi's guess.
    fn new(count: usize) -> Self {
        let size = count as f64;
        let node = |index: usize| {
            let mut root = (PI * (index as f64 + 0.75) / (size + 0.5)).cos();
            let mut slope = 0.0;
            // Each step doubles the digits; ten are far more than it takes.
            for _ in 0..10 {
                let (mut before, mut value) = (1.0, root);
                for degree in 2..=count {
                    let degree = degree as f64;
                    let next = ((2.0 * degree - 1.0) * root * value - (degree - 1.0) * before) / degree;
                    (before, value) = (value, next);
                }
                slope = size * (root * value - before) / (root * root - 1.0);
                root -= value / slope;
            }
            ((1.0 - root) / 2.0, 1.0 / ((1.0 - root * root) * slope * slope))
        };
        Self((0..count).map(node).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_and_waves_are_integrated() {
        let few = Nodes::for_waves(0.0);
        // ∫ x⁵ from 0 to 2 is 64/6.
        assert!((few.integrate(2.0, |x| x.powi(5)) - 64.0 / 6.0).abs() < 1e-12);
        for waves in [0.3, 2.5, 7.25, 20.5, 44.25] {
            let turn = 2.0 * PI * waves;
            let sum = Nodes::for_waves(waves).integrate(1.0, |x| (turn * x).cos());
            assert!((sum - turn.sin() / turn).abs() < 1e-7, "{waves}: {sum}");
        }
    }
}
