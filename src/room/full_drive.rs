//! The luminance of each primary at full drive, from whatever was measured, claimed or must be assumed.
//!
//! Four cases, from best to worst: read; what two readings leave of white; a share of white by measured chromaticities; a share of
//! an assumed white by those of sRGB. Readings must add up to white within 5 %, or one of them is wrong.

use super::file::{LuminanceTable, PrimariesTable, Steps, ToneTable};
use super::{RoomError, within};
use crate::light::{Basis, Channel, luminance_weights, srgb_weight};

/// White of an ordinary office monitor in cd/m², where nothing was measured. Common practice, no source.
const ASSUMED_WHITE: f64 = 250.0;

/// Black over white of an ordinary LCD, where black was not measured. Common practice, no source.
const ASSUMED_BLACK_RATIO: f64 = 1e-3;

/// By how much the primaries may add up to another white than the measured one.
const ADDITIVITY: f64 = 0.05;

/// What that uncertainty may be, in per cent.
pub const METER_PERCENT: std::ops::RangeInclusive<f64> = 0.1..=50.0;

/// What a photometer may read of a screen, in cd/m².
pub const READING: std::ops::RangeInclusive<f64> = 0.1..=100_000.0;
const BLACK: std::ops::RangeInclusive<f64> = 0.0..=1000.0;

/// Black and full drive in cd/m², each with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FullDrive {
    pub(super) black: f64,
    pub(super) black_basis: Basis,
    pub(super) full: [f64; 3],
    pub(super) full_basis: [Basis; 3],
    /// What the primaries' shares of white rest on.
    pub(super) ratio_basis: [Basis; 3],
}

/// Shares of white, and what they rest on.
struct Weights {
    shares: [f64; 3],
    basis: Basis,
}

impl FullDrive {
    /// From readings where there are any, else from white and the primaries' chromaticities, else from those of sRGB.
    pub(super) fn new(
        readings: &LuminanceTable,
        primaries: Option<&PrimariesTable>,
        basis: Basis,
    ) -> Result<Self, RoomError> {
        let read_basis = if readings.claimed { basis.with(Basis::Claimed) } else { basis };
        let given = legal_readings(readings)?;
        let black = legal_black(readings)?;
        let weights = Weights::new(primaries, basis)?;
        let full = full_drive(given, readings.white, black, &weights.shares)?;
        let white_basis = readings.white.map_or(Basis::Assumed, |_| read_basis);
        let missing = given.iter().filter(|reading| reading.is_none()).count();
        let basis_of = |known: &Option<f64>, white: Basis| match known {
            Some(_) => read_basis,
            // What two readings leave of white is as good as they are.
            None if missing == 1 && readings.white.is_some() => read_basis,
            None => white.with(weights.basis),
        };
        Ok(Self {
            black,
            black_basis: readings.black.map_or(Basis::Assumed, |_| read_basis),
            full,
            full_basis: given.each_ref().map(|known| {
                if readings.matched_by_eye { Basis::Assumed } else { basis_of(known, white_basis) }
            }),
            ratio_basis: given.each_ref().map(|known| {
                let basis = basis_of(known, Basis::Measured);
                match (readings.matched_by_eye, readings.match_open) {
                    (_, true) => Basis::Assumed,
                    (true, false) => basis.with(Basis::Matched),
                    (false, false) => basis,
                }
            }),
        })
    }
}

impl Weights {
    fn new(primaries: Option<&PrimariesTable>, basis: Basis) -> Result<Self, RoomError> {
        let srgb = Self { shares: Channel::ALL.map(srgb_weight), basis: Basis::Assumed };
        let Some(table) = primaries else { return Ok(srgb) };
        let chromaticity = |primary: &Option<super::file::PrimaryTable>| primary.as_ref()?.chromaticity;
        let known = [&table.red, &table.green, &table.blue].map(chromaticity);
        let ([Some(red), Some(green), Some(blue)], Some(white)) = (known, table.white) else {
            return Ok(srgb);
        };
        let shares = luminance_weights([red, green, blue], white)
            .filter(|shares| shares.iter().all(|share| *share > 0.0))
            .ok_or_else(|| {
                let problem =
                    "cannot make their white with light of all three: check the four chromaticities";
                RoomError::new("primaries", problem)
            })?;
        let basis = if table.claimed { basis.with(Basis::Claimed) } else { basis.with(Basis::Derived) };
        Ok(Self { shares, basis })
    }
}

fn legal_readings(table: &LuminanceTable) -> Result<[Option<f64>; 3], RoomError> {
    let given = [table.red, table.green, table.blue];
    for (name, value) in
        ["red", "green", "blue", "white"].into_iter().zip(given.into_iter().chain([table.white]))
    {
        let remedy = "write the photometer’s reading in cd/m², or leave it out";
        let key = format!("luminance.{name}");
        value.map_or(Ok(0.0), |value| within(&key, value, READING, " cd/m²", remedy))?;
    }
    Ok(given)
}

/// Black in cd/m², given or assumed, and darker than everything that was given.
fn legal_black(table: &LuminanceTable) -> Result<f64, RoomError> {
    let fields = [("red", table.red), ("green", table.green), ("blue", table.blue), ("white", table.white)];
    let Some(black) = table.black else {
        let white = table.white.unwrap_or(ASSUMED_WHITE);
        let darkest = fields.iter().filter_map(|(_, value)| *value).fold(white, f64::min);
        return Ok((white * ASSUMED_BLACK_RATIO).min(darkest / 2.0));
    };
    let remedy = "write the photometer’s reading of a black screen in the dark room";
    within("luminance.black", black, BLACK, " cd/m²", remedy)?;
    for (name, value) in fields {
        if let Some(value) = value.filter(|value| *value <= black) {
            let problem = format!(
                "= {black} cd/m² is not darker than {name} = {value} cd/m²: measure both again in the dark room"
            );
            return Err(RoomError::new("luminance.black", problem));
        }
    }
    Ok(black)
}

/// Each primary in cd/m²: as read; else its share of what the readings leave of white; else of a white that the
/// readings tell or that is assumed.
fn full_drive(
    given: [Option<f64>; 3],
    white: Option<f64>,
    black: f64,
    shares: &[f64; 3],
) -> Result<[f64; 3], RoomError> {
    let read: f64 = given.iter().flatten().map(|value| value - black).sum();
    let share_of = |known: bool| -> f64 {
        given.iter().zip(shares).filter(|(value, _)| value.is_some() == known).map(|(_, share)| share).sum()
    };
    let (known, unknown) = (share_of(true), share_of(false));
    let left = match white {
        Some(white) => left_of(white, black, read, unknown > 0.0)?,
        None if known > 0.0 => read / known * unknown,
        None => ASSUMED_WHITE - black,
    };
    Ok(std::array::from_fn(|index| given[index].unwrap_or_else(|| black + left * shares[index] / unknown)))
}

/// What the primaries that were read leave of white, above black.
fn left_of(white: f64, black: f64, read: f64, some_unread: bool) -> Result<f64, RoomError> {
    let sum = black + read;
    let refused = |found: &str| {
        let problem = format!(
            "= {white} cd/m², but the primaries that were read add up to {sum:.1} cd/m², {found}: measure again, or leave white out"
        );
        Err(RoomError::new("luminance.white", problem))
    };
    if some_unread {
        return if sum < white { Ok(white - sum) } else { refused("which leaves nothing for the others") };
    }
    if (sum / white - 1.0).abs() > ADDITIVITY { refused("over 5 % off") } else { Ok(0.0) }
}

/// The readings with what the ends of measured steps add to them.
pub(super) fn with_ends_of_steps(readings: &LuminanceTable, tone: Option<&ToneTable>) -> LuminanceTable {
    let mut readings = readings.clone();
    let Some(ToneTable { steps: Some(steps), relative: false, .. }) = tone else { return readings };
    let mut take = |steps: &[[f64; 2]], full: fn(&mut LuminanceTable) -> &mut Option<f64>| {
        let (Some([_, black]), Some([_, light])) = (steps.first(), steps.last()) else { return };
        readings.black.get_or_insert(*black);
        full(&mut readings).get_or_insert(*light);
    };
    match steps {
        Steps::White(white) => take(white, |table| &mut table.white),
        Steps::Each { red, green, blue } => {
            take(red, |table| &mut table.red);
            take(green, |table| &mut table.green);
            if let Some(blue) = blue {
                take(blue, |table| &mut table.blue);
            }
        }
    }
    readings
}

/// The relative standard uncertainty that a key gives in per cent.
pub(super) fn percent_of_meter(key: &str, percent: f64) -> Result<f64, RoomError> {
    let remedy = "write the standard uncertainty of one reading of a coloured field in per cent";
    Ok(within(key, percent, METER_PERCENT, " %", remedy)? / 100.0)
}
