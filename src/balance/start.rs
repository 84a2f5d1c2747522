//! What is known before an eye is asked, checked once.
//!
//! It is refused as a whole or holds as a whole: a strong lens without a vertex distance, a rule that no eye of this kind may be
//! asked by, or a line that the room cannot show would each make the result worth nothing.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::end_point::EndPoint;
use super::eye_kind::EyeKind;
use super::manifest::{Laterality, Manifest, RefinedFor};
use super::metered::Metered;
use super::rules::{Procedure, RulesError, Way};
use crate::acuity::{Acuity, STANDARD_LINES, Score, StandardLine};
use crate::eye::CLICK_D;
use crate::light::Side;
use crate::quantity::{Dioptres, Length, Luminance};
use crate::text::{self, LineError, MOST_OF_A_NAME};

/// A patient who reads 20/x is taken to notice about x/100 dioptres, from blur on one side to blur on the other
/// (common practice, no source): half of that to each side, which is 0.1 D for each minute of arc.
const NOTICED_D_PER_MAR: f64 = 20.0 / 100.0 / 2.0;

/// An eye that accommodates is blurred by this many steps.
const BLUR_STEPS: f64 = 2.0;

/// From this power on the distance between lens and eye belongs to a refraction (common practice, no source).
pub const VERTEX_FROM: Dioptres = Dioptres::new(4.0);

/// How far a lens may stand from an eye, in millimetres.
const VERTEX_MM: std::ops::RangeInclusive<f64> = 5.0..=25.0;

/// The strongest refraction that an eye may be meant to end at, in dioptres. This project's own decision: beyond it a sign or a
/// point was mistyped.
const MOST_INTENDED_D: f64 = 6.0;

/// Maximum number of characters of an examiner's initials. This project's own decision.
const MOST_OF_INITIALS: usize = 8;

/// Maximum number of lines by which a target may be larger than the smallest line read.
const MOST_LINES_ABOVE: u8 = 5;

/// Maximum number of characters of a sentence that a room adds; the longest has some 300. This project's own decision.
const MOST_OF_A_SENTENCE: usize = 2000;

/// How an eye sees colours, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum ColourVision {
    /// As most do, or not known otherwise.
    Usual,
    /// Without or with other long-wavelength cones: red looks dark.
    Protan,
    /// Another defect.
    OtherDefect,
}

impl ColourVision {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Usual, Self::Protan, Self::OtherDefect];

    /// Its name on the command line.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// Whether sides are named left and right, since their colours are not told apart surely.
    #[must_use]
    pub const fn is_defect(self) -> bool {
        !matches!(self, Self::Usual)
    }
}

/// Something to keep in mind, and what says so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Caution {
    /// What is so, and what to do.
    pub what: String,
    /// What it rests on.
    pub basis: String,
}

/// Where the chart is shown, as far as a record needs it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Place {
    /// The room's name.
    pub name: String,
    /// From the eye to the chart along the light.
    #[serde(rename = "distance_mm")]
    pub distance: Length,
    /// The luminance of the fields, of white too.
    #[serde(rename = "luminance_cd_m2")]
    pub luminance: Luminance,
    /// What that rests on, in words.
    pub luminance_basis: String,
    /// From the focus of green to that of red.
    #[serde(rename = "interval_d")]
    pub interval: Dioptres,
    /// What that rests on, in words.
    pub interval_basis: String,
    /// How much brighter red looks than green to a protanope.
    pub protanope_red_over_green: f64,
    /// What of the room spoils the answers.
    pub cautions: Vec<Caution>,
    /// When its fields were last metered, where they were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metered: Option<Metered>,
    /// The largest line that the room can show, as its logMAR, where that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub largest_log_mar: Option<f64>,
}

impl Place {
    /// Whether this is the room of another place: of its name, and as far away to a millimetre.
    #[must_use]
    pub fn is_the_room_of(&self, other: &Self) -> bool {
        self.name == other.name && (self.distance - other.distance).to_mm().abs() < 1.0
    }
}

/// What has to be known before one eye is asked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Start {
    /// The eye that looks; the other is occluded.
    pub eye: Laterality,
    /// Its refraction, refined before.
    pub manifest: Manifest,
    /// What distance that is for.
    pub refined_for: RefinedFor,
    /// The best acuity through it on white, at the balance's luminance.
    pub acuity: Score,
    /// What kind of eye it is.
    pub kind: EyeKind,
    /// The way of asking.
    pub procedure: Procedure,
    /// Which lens is left in.
    pub end_point: EndPoint,
    /// From the lens to the eye, where it was measured.
    #[serde(rename = "vertex_mm", default, skip_serializing_if = "Option::is_none")]
    pub vertex: Option<Length>,
    /// From the glasses to the eye, where they will stand elsewhere than the trial lens.
    #[serde(rename = "glasses_vertex_mm", default, skip_serializing_if = "Option::is_none")]
    pub glasses_vertex: Option<Length>,
    /// The refraction that the eye is meant to end at, as its spherical equivalent for far away; none where that is nought, or
    /// nothing is meant.
    #[serde(rename = "intended_d", default, skip_serializing_if = "Option::is_none")]
    pub intended: Option<Dioptres>,
    /// How it sees colours.
    pub colour_vision: ColourVision,
    /// Whether it has a brown cataract.
    pub brunescent: bool,
    /// Where red lies at first, as the patient sees it.
    pub red: Side,
    /// By how many lines the target is larger than the smallest line read.
    pub lines_above: u8,
    /// A free label; no name is asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// The examiner's initials.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub examiner: Option<String>,
    /// What holds the lenses, such as a refractor or a trial frame.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// The room.
    pub place: Place,
}

fn within(power: Dioptres, most: f64) -> bool {
    power.to_d().abs() <= most
}

/// One step of the lens for an eye that reads down to a logMAR.
fn step_at(log_mar: f64) -> Dioptres {
    let noticed = NOTICED_D_PER_MAR * 10_f64.powf(log_mar);
    Dioptres::new((noticed / CLICK_D).round().max(1.0) * CLICK_D)
}

/// For which eyes a step of the lens is one click, and that others take larger ones, in a sentence.
///
/// ```
/// # use evenfield::balance::steps_hold_for;
/// // Worked by hand: at 20/63 0.1 D · 3.15 = 0.32 D is nearest to one click, at 20/80 0.40 D to two.
/// assert!(steps_hold_for().contains("read 20/63 or better"));
/// ```
///
/// # Panics
/// Never: the smallest standard lines are read with a step of one click.
#[must_use]
pub fn steps_hold_for() -> String {
    let by_a_click = |line: &&StandardLine| step_at(f64::from(line.tenths) / 10.0).to_d() < 1.5 * CLICK_D;
    // The largest letters come first.
    let poorest = STANDARD_LINES.iter().find(by_a_click).expect("20/20 is read with a step of one click");
    format!(
        "The changes hold for eyes that read {} or better; with poorer acuity they are larger.",
        Acuity::standard(poorest.tenths)
    )
}

/// Why an eye cannot be asked so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StartError {
    /// A strong lens at an unknown distance.
    #[error(
        "the refraction {0} has a meridian of 4 D or more: say how far the lens stands from the eye, such as --vertex 12mm"
    )]
    NoVertex(String),
    /// Nobody means that.
    #[error(
        "an eye meant to end at {0} is beyond ±6 D: write what is intended in dioptres, such as --intended -0.75"
    )]
    Intended(String),
    /// Glasses elsewhere than an unknown place.
    #[error(
        "glasses can be worked out only from where the trial lens stands: add its distance, such as --vertex 12mm"
    )]
    GlassesAlone,
    /// No lens stands there.
    #[error("a vertex distance of {0} mm is not within 5 to 25 mm: measure it from the lens to the eye")]
    Vertex(String),
    /// Rules that no eye may be asked by.
    #[error(transparent)]
    Rules(#[from] RulesError),
    /// No such target.
    #[error(
        "an eye that reads {1} needs letters {0} lines larger, and this room can show none so large: stand nearer to the chart, or leave red-green out for this eye"
    )]
    Target(u8, String),
    /// Words that are none.
    #[error("{0} {1}")]
    Words(&'static str, LineError),
    /// No such room.
    #[error("a distance of {0} mm is not that of a room (0.1 to 100 m): make the room file again")]
    Distance(String),
}

impl Start {
    /// Refuses what no eye and no room has.
    ///
    /// # Errors
    /// On the first such thing.
    pub fn checked(self) -> Result<Self, StartError> {
        match self.vertex.map(Length::to_mm) {
            None if self.manifest.strongest() >= VERTEX_FROM => {
                return Err(StartError::NoVertex(self.manifest.to_string()));
            }
            None | Some(_) => {}
        }
        if self.glasses_vertex.is_some() && self.vertex.is_none() {
            return Err(StartError::GlassesAlone);
        }
        for vertex in [self.vertex, self.glasses_vertex].into_iter().flatten().map(Length::to_mm) {
            if !VERTEX_MM.contains(&vertex) {
                return Err(StartError::Vertex(vertex.to_string()));
            }
        }
        if let Some(intended) = self.intended.filter(|intended| !within(*intended, MOST_INTENDED_D)) {
            return Err(StartError::Intended(intended.to_string()));
        }
        self.way()?;
        if self.lines_above > MOST_LINES_ABOVE || self.larger_by(0).is_none() {
            return Err(StartError::Target(self.lines_above, self.acuity.line.to_string()));
        }
        self.check_words()?;
        if !(100.0..=100_000.0).contains(&self.place.distance.to_mm()) {
            return Err(StartError::Distance(self.place.distance.to_mm().to_string()));
        }
        Ok(self)
    }

    /// Checks all that is shown as it stands, in a terminal and on pages.
    fn check_words(&self) -> Result<(), StartError> {
        let place = &self.place;
        let cautions = place.cautions.iter().flat_map(|caution| [&caution.what, &caution.basis]);
        let sentences = [&place.luminance_basis, &place.interval_basis].into_iter().chain(cautions);
        let words = [("the room’s name", &place.name, MOST_OF_A_NAME)]
            .into_iter()
            .chain(self.label.iter().map(|label| ("the label", label, MOST_OF_A_NAME)))
            .chain(self.examiner.iter().map(|who| ("the examiner’s initials", who, MOST_OF_INITIALS)))
            .chain(self.instrument.iter().map(|what| ("the instrument", what, MOST_OF_A_NAME)))
            .chain(sentences.map(|sentence| ("a sentence on the room", sentence, MOST_OF_A_SENTENCE)));
        for (what, words, most) in words {
            text::line(words, most).map_err(|error| StartError::Words(what, error))?;
        }
        Ok(())
    }

    /// From the eye to the chart.
    #[must_use]
    pub fn distance(&self) -> Length {
        self.place.distance
    }

    /// Who chooses its lenses.
    ///
    /// # Errors
    /// Where no eye may be asked so.
    pub const fn way(&self) -> Result<Way, RulesError> {
        Way::new(self.procedure, self.end_point, self.kind.accommodates())
    }

    /// One step of the lens in whole clicks of 0.25 D, larger where acuity is poorer: one click down to 20/63, two at
    /// 20/80 and 20/100, four at 20/200. An eye that reads little cannot tell lenses a click apart.
    ///
    /// Common practice, no source: for 20/x about x/100 dioptres from one side of balance to the other.
    #[must_use]
    pub fn step(&self) -> Dioptres {
        step_at(self.acuity.to_log_mar())
    }

    /// What one click of its questions stands for: a [step](Self::step) of the rules, and a click itself in the adaptive way, which
    /// knows how little an eye may notice.
    #[must_use]
    pub fn click(&self) -> Dioptres {
        if self.procedure == Procedure::Adaptive { Dioptres::new(CLICK_D) } else { self.step() }
    }

    /// By how much to blur an eye that could accommodate before a lens goes in: half a dioptre where a step is a click.
    #[must_use]
    pub fn blur(&self) -> Dioptres {
        Dioptres::new(BLUR_STEPS * self.step().to_d())
    }

    /// The lens that goes in first.
    #[must_use]
    pub fn first_lens(&self) -> Dioptres {
        self.manifest.first_lens(self.distance(), self.refined_for)
    }

    /// The manifest sphere as it counts at the distance of the chart.
    #[must_use]
    pub fn manifest_here(&self) -> Dioptres {
        self.manifest.sphere_at(self.distance(), self.refined_for)
    }

    /// The target line, or one larger by a number of lines; the target itself where there is none so large.
    #[must_use]
    pub fn target(&self, larger: u8) -> Acuity {
        self.larger_by(larger).or_else(|| self.larger_by(0)).unwrap_or(self.acuity.line)
    }

    fn larger_by(&self, larger: u8) -> Option<Acuity> {
        // What a decimal leaves of a binary number.
        const DUST: f64 = 1e-9;
        let line = self.acuity.line.lines_above(self.lines_above + larger).ok()?;
        let largest = self.place.largest_log_mar.unwrap_or(f64::INFINITY);
        (line.to_log_mar() <= largest + DUST).then_some(line)
    }
}
