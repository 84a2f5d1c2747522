//! The chance of each answer, wherever balance may lie and whoever is asked.

use std::collections::HashMap;

use super::grid;
use crate::balance::variety::{self, LEANS};
use crate::balance::{Answer, Clicks, Judgement, Patient, Put, Sight};
use crate::eye::Seen;
use crate::light::Side;
use crate::quantity::Dioptres;

/// Tables reach so many places to either side of balance, 5 D, where nothing is seen any more; an eye further out sees what it
/// sees there.
const REACH: i32 = 20 * grid::PLACES_A_CLICK;

/// Jitter is summed at so many places to an SD, up to so many SDs to either side. A sum at even distances gets what is smooth
/// right to the last digit; where letters are lost at once it is off by half such a distance at the most, 0.0125 D. Beyond four
/// SDs lies one answer in sixteen thousand, far fewer than are given without looking.
const PLACES_AN_SD: i32 = 4;
const SDS: i32 = 4;

/// So many of all answers are "cannot tell" whatever is seen, since people also say so for other reasons than blur: they are
/// tired, in doubt, or have not understood. Assumed. Without it, one such answer before letters that can be read would count for
/// more than all other answers together. Simulated patients do not do so.
pub(super) const UNSURE_ANYWAY: f64 = 0.1;

/// How likely each answer is, for one eye, its line and its larger line.
///
/// It holds some million numbers and is worked out once for an eye; a look into it then takes next to nothing.
#[derive(Debug, Clone)]
pub struct Likelihood {
    patient: Patient,
    shares: Vec<f64>,
    /// Coming down from plus, in the line and in the larger one.
    from_plus: [Table; 2],
    /// Otherwise, where that makes a difference.
    otherwise: Option<[Table; 2]>,
    /// By place of the lens against balance and by patient, how likely white is read, in the line and in the larger one; none for
    /// an eye that accommodates.
    white: Option<[Vec<f64>; 2]>,
}

/// Chances by place of the lens against balance, by answer and by patient, with red on either side.
#[derive(Debug, Clone)]
struct Table {
    left: Vec<f64>,
    right: Vec<f64>,
    unknown: Vec<f64>,
}

impl Likelihood {
    /// Of what is seen, with the lens error at which it is in balance, by patients who differ from a typical one: in their
    /// judgement as is assumed for all, in nothing else.
    #[must_use]
    pub fn new(sight: &impl Sight, balance: Dioptres, typical: &Patient) -> Self {
        let patients = variety::around(typical);
        let white = |larger: bool| {
            let legibility = |place: i32, jitter: f64| {
                let off = Dioptres::new(grid::to_d(place) + jitter * typical.jitter_sd.to_d());
                sight.white(balance + off, larger)
            };
            reads(&patients, legibility)
        };
        let white = typical.accommodation.is_none().then(|| [false, true].map(white));
        let crowd = Crowd::of(&patients);
        let tables = |from_plus: bool| {
            [false, true].map(|larger| {
                let left = |place: i32| typical.left(balance + Dioptres::new(grid::to_d(place)), from_plus);
                Table::new(&crowd, typical.jitter_sd, left, |lens_error| sight.seen(lens_error, larger))
            })
        };
        Self {
            patient: *typical,
            from_plus: tables(true),
            otherwise: typical.accommodation.map(|_| tables(false)),
            white,
            shares: patients.into_iter().map(|(_, share)| share).collect(),
        }
    }

    /// Whether the eye can focus by itself.
    #[must_use]
    pub const fn accommodates(&self) -> bool {
        self.patient.accommodation.is_some()
    }

    /// By how much the focus is off for a day, as an SD in dioptres.
    pub(super) const fn offset_sd_d(&self) -> f64 {
        self.patient.offset_sd.to_d()
    }

    /// How many of all patients are each of those that are told apart; together 1.
    pub(super) fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// How likely an answer of each patient is with balance at a place of the grid.
    pub(super) fn chances(&self, put: Put, answer: Answer, balance: i32) -> &[f64] {
        let tables = self.otherwise.as_ref().filter(|_| !put.from_plus).unwrap_or(&self.from_plus);
        let table = &tables[usize::from(put.larger)];
        let column = match put.red {
            Some(Side::Left) => &table.left,
            Some(Side::Right) => &table.right,
            None => &table.unknown,
        };
        let row = row(grid::of(put.clicks) - balance, answer);
        &column[row * self.shares.len()..][..self.shares.len()]
    }

    /// How likely each patient reads a line on white through a lens with balance at a place of the grid; nothing for an eye that
    /// accommodates.
    pub(super) fn reads(&self, clicks: Clicks, larger: bool, balance: i32) -> &[f64] {
        let Some(tables) = &self.white else { return &[] };
        let row = place(grid::of(clicks) - balance);
        &tables[usize::from(larger)][row * self.shares.len()..][..self.shares.len()]
    }
}

/// By place and by patient, how likely a line is read that is so legible at a place and a jitter in SDs.
fn reads(patients: &[(Patient, f64)], legibility: impl Fn(i32, f64) -> f64) -> Vec<f64> {
    let jitters = jitters();
    // Patients differ in little else than in how clear letters have to be.
    let mut kinds: Vec<Judgement> = Vec::new();
    let is_kind = |kind: &Judgement, one: &Judgement| {
        (kind.legible_from, kind.lapses) == (one.legible_from, one.lapses)
    };
    let places = patients.iter().map(|(patient, _)| {
        let judgement = patient.judgement(None);
        let place = kinds.iter().position(|kind| is_kind(kind, &judgement)).unwrap_or(kinds.len());
        if place == kinds.len() {
            kinds.push(judgement);
        }
        place
    });
    let places: Vec<usize> = places.collect();
    let at = |place: i32| {
        let seen = jitters.iter().map(|(jitter, share)| (legibility(place, *jitter), *share));
        let seen: Vec<(f64, f64)> = seen.collect();
        let chance = |kind: &Judgement| -> f64 {
            seen.iter().map(|(legibility, share)| share * kind.chance_of_reading(*legibility)).sum()
        };
        let chances: Vec<f64> = kinds.iter().map(chance).collect();
        places.iter().map(move |kind| chances[*kind]).collect::<Vec<_>>()
    };
    (-REACH..=REACH).flat_map(at).collect()
}

/// The number of the row of an answer at a place.
fn row(place: i32, answer: Answer) -> usize {
    // In the order of `Answer::ALL`.
    self::place(place) * Answer::ALL.len() + answer as usize
}

/// The number of a place; places beyond the tables are their last.
fn place(place: i32) -> usize {
    usize::try_from(place.clamp(-REACH, REACH) + REACH).unwrap_or(0)
}

impl Table {
    /// Of the lens error that is left at each place, which jitters by an SD, and of what is seen there.
    fn new(
        crowd: &Crowd,
        jitter_sd: Dioptres,
        left: impl Fn(i32) -> Dioptres,
        seen: impl Fn(Dioptres) -> Seen,
    ) -> Self {
        let jitters = jitters();
        // Jitters of neighbouring places meet the same lens errors, most of them more than once.
        let mut met = HashMap::new();
        let mut chances_at = |place: i32| {
            let mut replies = crowd.silent();
            for (jitter, share) in &jitters {
                let lens_error = left(place) + Dioptres::new(jitter * jitter_sd.to_d());
                let (who_reads, judged) = met.entry(met_at(lens_error)).or_insert_with(|| {
                    let seen = seen(lens_error);
                    (crowd.who_reads(seen.legibility), crowd.judged(seen.evidence))
                });
                replies.add(*share, *who_reads, judged);
            }
            let chances = crowd.chances(replies);
            (0..4).flat_map(move |answer| chances.iter().map(|one| one[answer]).collect::<Vec<_>>())
        };
        Self::mirrored((-REACH..=REACH).flat_map(&mut chances_at).collect())
    }

    /// With red on the right whoever leans to the left leans to green.
    fn mirrored(left: Vec<f64>) -> Self {
        let right: Vec<f64> =
            left.chunks_exact(LEANS).flat_map(|leans| leans.iter().rev().copied()).collect();
        let unknown = left.iter().zip(&right).map(|(left, right)| f64::midpoint(*left, *right)).collect();
        Self { left, right, unknown }
    }
}

/// A lens error to the millionth of a dioptre.
#[allow(clippy::cast_possible_truncation, reason = "a few dioptres")]
fn met_at(lens_error: Dioptres) -> i64 {
    (lens_error.to_d() * 1e6).round() as i64
}

/// Patients, of whom many differ in nothing but how clear letters have to be.
struct Crowd {
    /// How those judge who can read, with red on the left.
    readers: Vec<Judgement>,
    /// How clear letters have to be for some patient, from the least on.
    limits: Vec<f64>,
    /// For each patient the places of its reader and of its limit.
    patients: Vec<[usize; 2]>,
}

/// What is answered where focus wavers: by how many of the limits letters pass, a share of all and each reader's chances.
struct Replies(Vec<(f64, Vec<[f64; 4]>)>);

impl Crowd {
    fn of(patients: &[(Patient, f64)]) -> Self {
        let judged = patients.iter().map(|(patient, _)| patient.judgement(Some(Side::Left)));
        let judged: Vec<Judgement> = judged.collect();
        let mut limits: Vec<f64> = judged.iter().map(|one| one.legible_from).collect();
        limits.sort_by(f64::total_cmp);
        limits.dedup();
        let mut readers = Vec::new();
        let patients = judged.iter().map(|one| {
            let reader = Judgement { legible_from: 0.0, ..*one };
            let place = readers.iter().position(|known| *known == reader).unwrap_or(readers.len());
            if place == readers.len() {
                readers.push(reader);
            }
            [place, limits.partition_point(|limit| *limit < one.legible_from)]
        });
        let patients = patients.collect();
        Self { readers, limits, patients }
    }

    /// How many limits letters so clear pass.
    fn who_reads(&self, legibility: f64) -> usize {
        self.limits.partition_point(|limit| *limit <= legibility)
    }

    /// How likely each answer of each reader is.
    fn judged(&self, evidence: f64) -> Vec<[f64; 4]> {
        let seen = Seen { evidence, legibility: f64::INFINITY };
        self.readers.iter().map(|reader| reader.chances(seen)).collect()
    }

    /// Nothing answered yet.
    fn silent(&self) -> Replies {
        Replies(vec![(0.0, vec![[0.0; 4]; self.readers.len()]); self.limits.len() + 1])
    }

    /// Each patient's chances: the reader's where letters pass the limit, else those of letters that cannot be read.
    fn chances(&self, replies: Replies) -> Vec<[f64; 4]> {
        let Replies(mut passed) = replies;
        for limits in (1..passed.len()).rev() {
            let (fewer, more) = passed.split_at_mut(limits);
            add(&mut fewer[limits - 1], &more[0]);
        }
        let chances = |&[reader, limit]: &[usize; 2]| {
            let [(all, _), (read, judged)] = [&passed[0], &passed[limit + 1]];
            let unread = self.readers[reader].unread();
            let anyway =
                |answer: usize| if answer == Answer::Unsure as usize { all * UNSURE_ANYWAY } else { 0.0 };
            std::array::from_fn(|answer| {
                let by_sight = judged[reader][answer] + (all - read) * unread[answer];
                (1.0 - UNSURE_ANYWAY).mul_add(by_sight, anyway(answer))
            })
        };
        self.patients.iter().map(chances).collect()
    }
}

impl Replies {
    /// Adds a share of answers where letters pass so many limits.
    fn add(&mut self, share: f64, who_reads: usize, judged: &[[f64; 4]]) {
        let (shares, chances) = &mut self.0[who_reads];
        *shares += share;
        for (sums, chances) in chances.iter_mut().zip(judged) {
            for (sum, chance) in sums.iter_mut().zip(chances) {
                *sum += share * chance;
            }
        }
    }
}

/// Adds what is answered where letters pass more limits to what is where they pass fewer.
fn add((shares, chances): &mut (f64, Vec<[f64; 4]>), (more_shares, more): &(f64, Vec<[f64; 4]>)) {
    *shares += more_shares;
    for (sum, chance) in chances.iter_mut().flatten().zip(more.iter().flatten()) {
        *sum += chance;
    }
}

/// Places of a normal chance in SDs, at even distances, each with its share; together 1.
fn jitters() -> Vec<(f64, f64)> {
    let far = SDS * PLACES_AN_SD;
    let places = (-far..=far).map(|place| f64::from(place) / f64::from(PLACES_AN_SD));
    let weighed: Vec<(f64, f64)> = places.map(|sds| (sds, (-sds * sds / 2.0).exp())).collect();
    let total: f64 = weighed.iter().map(|(_, weight)| weight).sum();
    weighed.into_iter().map(|(sds, weight)| (sds, weight / total)).collect()
}
