use serde::{Deserialize, Serialize};

use super::{Answer, EndPoint, Kind, Laterality, Manifest, Procedure, RefinedFor, Rules};
use crate::acuity::{Acuity, Score};
use crate::light::Side;
use crate::quantity::{Dioptres, Length};

/// From this power on the distance between lens and eye belongs to a refraction (common practice, no source).
const VERTEX_FROM: Dioptres = Dioptres::new(4.0);

/// How far a lens may stand from an eye, in millimetres.
const VERTEX_MM: std::ops::RangeInclusive<f64> = 5.0..=25.0;

/// How many lines larger than the threshold a target may be.
const MOST_LINES_ABOVE: u8 = 5;

/// How an eye sees colours, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
    pub const fn name(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Protan => "protan",
            Self::OtherDefect => "other-defect",
        }
    }

    /// Whether sides are named left and right, since their colours are not told apart surely.
    #[must_use]
    pub const fn is_defect(self) -> bool {
        !matches!(self, Self::Usual)
    }
}

/// Something to keep in mind, and what says so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caution {
    /// What is so, and what to do.
    pub what: String,
    /// What it rests on.
    pub basis: String,
}

/// Where the chart is shown, as far as a record needs it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// The room's name.
    pub name: String,
    /// From the eye to the chart along the light.
    pub distance_mm: f64,
    /// The luminance of the fields, of white too.
    pub luminance_cd_m2: f64,
    /// What that rests on, in words.
    pub luminance_basis: String,
    /// Dioptres between red and green.
    pub interval_d: f64,
    /// What that rests on, in words.
    pub interval_basis: String,
    /// How much brighter red looks than green to a protanope.
    pub protanope_red_over_green: f64,
    /// What of the room spoils the answers.
    pub cautions: Vec<Caution>,
}

/// What has to be known before one eye is asked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
    pub kind: Kind,
    /// The way of asking.
    pub procedure: Procedure,
    /// Which lens is left in.
    pub end_point: EndPoint,
    /// From the lens to the eye, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vertex_mm: Option<f64>,
    /// How it sees colours.
    pub colour_vision: ColourVision,
    /// Whether it has a brown cataract.
    pub brunescent: bool,
    /// Where red lies at first, as the patient sees it.
    pub red: Side,
    /// How many lines above the acuity the target stands.
    pub lines_above: u8,
    /// A free label; no name is asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// The room.
    pub place: Place,
}

/// Why an eye cannot be asked so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StartError {
    /// No such lens.
    #[error("the refraction {0} is beyond ±30 D of sphere or ±12 D of cylinder: write it in dioptres")]
    TooStrong(String),
    /// A strong lens at an unknown distance.
    #[error(
        "the refraction {0} has a meridian of 4 D or more: say how far the lens stands from the eye, such as --vertex 12mm"
    )]
    NoVertex(String),
    /// No lens stands there.
    #[error("a vertex distance of {0} mm is not within 5 to 25 mm: measure it from the lens to the eye")]
    Vertex(String),
    /// A bracket would let an eye that accommodates take minus.
    #[error(
        "the bracket is not for an eye that accommodates, which could take all the minus on the way: choose from-plus"
    )]
    Bracket,
    /// No such target.
    #[error("no chart has a line {0} above {1}: choose --lines-above 2 or 3")]
    Target(u8, String),
    /// No such room.
    #[error("a distance of {0} mm is none of a room: make the room file again")]
    Distance(String),
}

impl Start {
    /// Refuses what no eye and no room has.
    ///
    /// # Errors
    /// On the first such thing.
    pub fn checked(self) -> Result<Self, StartError> {
        let written = || self.manifest.to_string();
        if !self.manifest.is_legal() {
            return Err(StartError::TooStrong(written()));
        }
        match self.vertex_mm {
            None if self.manifest.strongest() >= VERTEX_FROM => return Err(StartError::NoVertex(written())),
            Some(vertex) if !VERTEX_MM.contains(&vertex) => {
                return Err(StartError::Vertex(vertex.to_string()));
            }
            None | Some(_) => {}
        }
        if self.procedure == Procedure::Bracket && self.kind.accommodates() {
            return Err(StartError::Bracket);
        }
        if self.lines_above > MOST_LINES_ABOVE || self.larger_by(0).is_none() {
            return Err(StartError::Target(self.lines_above, self.acuity.line.to_string()));
        }
        if !(100.0..=100_000.0).contains(&self.place.distance_mm) {
            return Err(StartError::Distance(self.place.distance_mm.to_string()));
        }
        Ok(self)
    }

    /// From the eye to the chart.
    #[must_use]
    pub fn distance(&self) -> Length {
        Length::mm(self.place.distance_mm)
    }

    /// By what rules it is asked.
    #[must_use]
    pub const fn rules(&self) -> Rules {
        Rules { procedure: self.procedure, end_point: self.end_point, accommodates: self.kind.accommodates() }
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

    /// The target line, so many lines larger; the largest that there is where there is none.
    #[must_use]
    pub fn target(&self, larger: u8) -> Acuity {
        self.larger_by(larger).or_else(|| self.larger_by(0)).unwrap_or(self.acuity.line)
    }

    fn larger_by(&self, larger: u8) -> Option<Acuity> {
        self.acuity.line.lines_above(self.lines_above + larger).ok()
    }

    /// The side of the patient on which a colour lies.
    #[must_use]
    pub fn side_of(answer: Answer, red: Side) -> Option<Side> {
        match answer {
            Answer::Red => Some(red),
            Answer::Green => Some(red.other()),
            Answer::Same | Answer::Unsure => None,
        }
    }
}
