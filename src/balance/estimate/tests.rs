use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

use super::variety::LEAN_SD;
use super::*;
use crate::balance::clarity_table::tests::{SCREENS, table};
use crate::balance::{
    Accommodation, Answer, ClarityTable, Clicks, Drawn, EndPoint, Luck, Patient, Put, Rules, Seen, Sight,
    Trial,
};
use crate::light::Side;
use crate::quantity::Dioptres;

/// A made-up sight, in typical widths of "same" as the tests' patients have it: red and green lie as mirror images about a
/// balance of nought.
struct Mirrored;

impl Sight for Mirrored {
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let at = lens_error.to_d();
        let size = if larger { 2.0 } else { 1.0 };
        Seen { evidence: 4.0 * at / size, legibility: 4.0 * size * (-(at / 0.7).powi(2)).exp() }
    }
}

/// One to whom a difference of 1 is the same.
fn patient() -> Patient {
    Patient { same_within: 1.0, noise_sd: 1.0, ..Patient::typical() }
}

fn mirrored() -> Likelihood {
    Likelihood::new(&Mirrored, Dioptres::new(0.0), &patient())
}

/// A question with a lens, with red on the left.
fn put(clicks: i32) -> Put {
    Put { clicks: Clicks::new(clicks), from_plus: false, larger: false, red: Some(Side::Left) }
}

fn sight(mm: f64) -> ClarityTable {
    table(SCREENS[0], mm)
}

#[test]
fn timing() {
    let line = sight(1.6);
    let at = std::time::Instant::now();
    let likelihood = Likelihood::new(&line, line.balance(), &Patient::typical());
    println!("likelihood {:?}", at.elapsed());
    let mut belief = Belief::before(&likelihood, Prior::usual());
    for _ in 0..8 {
        let at = std::time::Instant::now();
        let next = belief.next(Clicks::NONE, Some(Side::Left), false);
        let mid = at.elapsed();
        belief = belief.after(next.put, Answer::Same);
        println!("next {mid:?} and after {:?}: {next:?}", at.elapsed());
        let at = std::time::Instant::now();
        println!("{:?} {:?}", belief.estimate(), at.elapsed());
    }
}
