//! What has to be known before an eye is asked, as a panel's form gives it: texts under the names of the flags.

use std::borrow::Cow;

use serde::Deserialize;

use super::refused::Refused;
use super::view::{FieldChoice, FieldView};
use crate::acuity::{Notation, Score};
use crate::balance::words::Said;
use crate::balance::{
    Answer, ColourVision, EndPoint, EyeKind, Laterality, Manifest, Near, NearError, Place, Procedure,
    RefinedFor, Start, Written, may_be_framed,
};
use crate::light::Side;
use crate::quantity::{Dioptres, Length};
use crate::text::{self, MOST_OF_A_NAME};

/// What a form gives, each under the name of its flag. Whatever is empty was left out.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct StartForm {
    /// `right` or `left`.
    pub eye: String,
    /// Such as -1.25/-0.50x90.
    pub manifest: String,
    /// `room` or `far`.
    pub r#for: String,
    /// Such as 20/25-2.
    pub acuity: String,
    /// A kind of eye.
    pub kind: String,
    /// A way of asking; that of the kind of eye where it is empty.
    pub procedure: String,
    /// A lens that is left in; that of the kind of eye where it is empty.
    pub end_point: String,
    /// Such as 12mm.
    pub vertex: String,
    /// Such as 14mm.
    pub glasses_vertex: String,
    /// Such as -0.75.
    pub intended: String,
    /// How the eye sees colours; as usual where it is empty.
    pub colour_vision: String,
    /// `yes` where it has a brown cataract.
    pub brunescent: String,
    /// Where red lies at first; left where it is empty.
    pub red: String,
    /// By how many lines the target is larger than the smallest line read; two where it is empty.
    pub lines_above: String,
    /// A free label.
    pub label: String,
    /// The examiner's initials.
    pub examiner: String,
    /// What holds the lenses.
    pub instrument: String,
}

/// What a form gives of a near add, each under the name of its flag. Whatever is empty was left out.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct NearForm {
    /// From the eyes to the page, such as 40 in centimetres.
    pub near_distance: String,
    /// Such as +2.25.
    pub add: String,
    /// Such as 20/25.
    pub near_acuity: String,
    /// Such as 33, 50 in centimetres.
    pub clear: String,
    /// `red`, `green`, `same` or `unsure`.
    pub near_red_green: String,
}

impl NearForm {
    /// What it says.
    ///
    /// # Errors
    /// Names the field that says something else, and the remedy.
    pub fn near(&self) -> Result<Near, Refused> {
        let given = |text: &str| !text.trim().is_empty();
        let optional = |text: &str, field| given(text).then(|| read(text.trim(), field)).transpose();
        let near = Near {
            distance: centimetres(&self.near_distance, "near-distance")?,
            add: add(&self.add)?,
            acuity: optional(&self.near_acuity, "near-acuity")?,
            clear: given(&self.clear).then(|| clear(&self.clear)).transpose()?,
            red_green: given(&self.near_red_green)
                .then(|| one(&self.near_red_green, "near-red-green", &Answer::ALL, Answer::name))
                .transpose()?,
        };
        near.checked().map_err(|error| {
            let field = match error {
                NearError::Distance(_) => "near-distance",
                NearError::Add(_) => "add",
                NearError::Range(..) => "clear",
            };
            refused(&error, field)
        })
    }
}

/// What was added to both eyes after a look through the trial frame.
///
/// # Errors
/// Where it is no sphere of whole clicks.
pub(super) fn framed(text: &str) -> Result<Dioptres, Refused> {
    let sphere: Manifest = read(text.trim(), "sphere")?;
    if sphere.cylinder().is_some() || !may_be_framed(sphere.sphere()) {
        let what = format!(
            "{} is no change of whole clicks up to 1 D: write it as -0.25, or 0 where nothing is added",
            text::shown(text.trim())
        );
        return Err(Refused { what, field: Some("sphere") });
    }
    Ok(sphere.sphere())
}

/// An add: a sphere alone.
fn add(text: &str) -> Result<Dioptres, Refused> {
    let add = text.trim().parse::<Manifest>().ok().filter(|add| add.cylinder().is_none());
    add.map(Manifest::sphere).ok_or_else(|| {
        let what = format!("{:?} is no add: write it with its plus, such as +2.25", text::shown(text.trim()));
        Refused { what, field: Some("add") }
    })
}

/// The nearest and the farthest clear place.
fn clear(text: &str) -> Result<[Length; 2], Refused> {
    let ends: Vec<&str> = text.split([',', ';', '–']).map(str::trim).collect();
    let [from, to] = ends[..] else {
        let what = format!("{} is no range: write both places, such as 33, 50", text::shown(text));
        return Err(Refused { what, field: Some("clear") });
    };
    Ok([centimetres(from, "clear")?, centimetres(to, "clear")?])
}

/// A length; on a panel a bare number of a near distance is meant in centimetres.
fn centimetres(text: &str, field: &'static str) -> Result<Length, Refused> {
    let text = text.trim();
    let text = if text.parse::<f64>().is_ok() { format!("{text}cm") } else { text.to_owned() };
    read(&text, field)
}

/// By how many lines the target is larger than the smallest line read, where a form does not say.
const USUAL_LINES_ABOVE: u8 = 2;

impl StartForm {
    /// What it says, in a room; not yet checked against what eyes and rooms have.
    ///
    /// # Errors
    /// Names the field that says something else, and the remedy.
    pub fn start(&self, place: Place) -> Result<Start, Refused> {
        let kind = one(&self.kind, "kind", &EyeKind::ALL, EyeKind::name)?;
        let written: Written = read(&self.manifest, "manifest")?;
        let eye = match (self.eye.as_str(), written.eye) {
            ("", Some(eye)) => eye,
            (eye, _) => one(eye, "eye", &Laterality::ALL, Laterality::name)?,
        };
        let manifest = written.of(eye).map_err(|error| refused(&error, "manifest"))?;
        let usual = |text: &str, usual: &str| if text.is_empty() { usual.into() } else { text.to_owned() };
        let procedure = usual(&self.procedure, kind.usual_procedure().name());
        let end_point = usual(&self.end_point, kind.usual_end_point().key());
        let vision = usual(&self.colour_vision, ColourVision::Usual.name());
        Ok(Start {
            eye,
            manifest,
            refined_for: one(&self.r#for, "for", &[RefinedFor::Room, RefinedFor::FarAway], RefinedFor::name)?,
            acuity: read(&self.acuity, "acuity")?,
            kind,
            procedure: one(&procedure, "procedure", &Procedure::ALL, Procedure::name)?,
            end_point: one(&end_point, "end-point", &EndPoint::ALL, EndPoint::key)?,
            vertex: millimetres(&self.vertex, "vertex")?,
            glasses_vertex: millimetres(&self.glasses_vertex, "glasses-vertex")?,
            intended: self.intended()?,
            colour_vision: one(&vision, "colour-vision", &ColourVision::ALL, ColourVision::name)?,
            brunescent: !self.brunescent.is_empty(),
            red: one(&usual(&self.red, Side::Left.name()), "red", &[Side::Left, Side::Right], Side::name)?,
            lines_above: self.lines_above()?,
            label: words(&self.label, "label", "the label")?,
            examiner: words(&self.examiner, "examiner", "the initials")?,
            instrument: words(&self.instrument, "instrument", "the instrument")?,
            place,
        })
    }

    /// How its acuity is written, for those that follow.
    #[must_use]
    pub fn notation(&self) -> Notation {
        self.acuity.parse().map_or(Notation::Feet, Score::notation)
    }

    /// What the eye is meant to end at: a sphere alone.
    fn intended(&self) -> Result<Option<Dioptres>, Refused> {
        let text = self.intended.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let meant: Manifest = read(text, "intended")?;
        if meant.cylinder().is_some() {
            let what = "an eye is meant to end at a spherical equivalent: write it without a cylinder".into();
            return Err(Refused { what, field: Some("intended") });
        }
        Ok(Some(meant.sphere()))
    }

    fn lines_above(&self) -> Result<u8, Refused> {
        let text = self.lines_above.trim();
        if text.is_empty() {
            return Ok(USUAL_LINES_ABOVE);
        }
        text.parse().map_err(|_| Refused {
            what: format!("{} is no number of lines: write a number such as 2", text::shown(text)),
            field: Some("lines-above"),
        })
    }
}

/// A length; on a panel nothing but millimetres is meant.
fn millimetres(text: &str, field: &'static str) -> Result<Option<Length>, Refused> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let text = if text.parse::<f64>().is_ok() { format!("{text}mm") } else { text.to_owned() };
    read(&text, field).map(Some)
}

/// A few words of one line, if any were typed.
fn words(text: &str, field: &'static str, name: &str) -> Result<Option<String>, Refused> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    text::line(text, MOST_OF_A_NAME)
        .map(|()| Some(text.to_owned()))
        .map_err(|error| Refused { what: format!("{name} {error}"), field: Some(field) })
}

/// One of these by its name.
fn one<T: Copy>(
    text: &str,
    field: &'static str,
    all: &[T],
    name: impl Fn(T) -> &'static str,
) -> Result<T, Refused> {
    all.iter().copied().find(|one| name(*one) == text).ok_or_else(|| Refused {
        what: if text.is_empty() {
            "this is still open: choose one".into()
        } else {
            let names: Vec<&str> = all.iter().map(|one| name(*one)).collect();
            format!("{:?} is none of these: {}", text::shown(text), names.join(", "))
        },
        field: Some(field),
    })
}

/// A value that is written as a text.
fn read<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str, field: &'static str) -> Result<T, Refused> {
    text.parse().map_err(|error: T::Err| refused(&error, field))
}

/// That a field says something else.
fn refused(error: &impl std::fmt::Display, field: &'static str) -> Refused {
    Refused { what: text::shown(&error.to_string()), field: Some(field) }
}

/// The form's fields with what is offered; what belongs to the eye is filled for the eye that is next, and the rest as it
/// was for the eye before.
pub(super) fn fields(next: Option<Laterality>, before: Option<&Start>) -> Vec<FieldView> {
    let rare = [where_it_ends(before), how_it_is_asked(before), by_whom(before)].into_iter().flatten();
    let rare = rare.map(|field| FieldView { more: true, ..field });
    what_is_known(next, before).into_iter().chain(rare).collect()
}

/// What every eye begins with.
fn what_is_known(next: Option<Laterality>, before: Option<&Start>) -> Vec<FieldView> {
    let kept = |of: fn(&Start) -> &'static str| before.map(of).unwrap_or_default();
    // What is filled in already has not been said of this eye.
    let filled = before.map_or_else(String::new, |start| match next {
        Some(eye) if eye != start.eye => format!(" (filled in as for the {} eye)", start.eye.name()),
        _ => " (filled in as before)".into(),
    });
    let vision = before.map_or(ColourVision::Usual, |start| start.colour_vision);
    let kind = |kind: EyeKind| FieldChoice { value: kind.name(), words: kind.words(), how: kind.explained() };
    vec![
        chosen(
            "eye",
            "Which eye looks? The other is occluded.",
            Laterality::ALL.map(|eye| plain(eye.name())),
            next.map(Laterality::name).unwrap_or_default(),
        ),
        typed("manifest", "Manifest refraction", "-1.25/-0.50x90", String::new()),
        chosen(
            "for",
            format!("That refraction is for{filled}"),
            [RefinedFor::Room, RefinedFor::FarAway].map(|one| explained(one.name(), one.said())),
            kept(|start| start.refined_for.name()),
        ),
        typed("acuity", "Best acuity through it on white, as bright as the fields", "20/25-2", String::new()),
        chosen(
            "kind",
            format!("Kind of eye{filled}"),
            EyeKind::ALL.map(kind),
            kept(|start| start.kind.name()),
        ),
        chosen(
            "colour-vision",
            format!("Colour vision; with a defect, sides are called left and right{filled}"),
            ColourVision::ALL.map(vision_choice),
            vision.name(),
        ),
    ]
}

/// Where lenses stand, and where the eye is meant to end.
fn where_it_ends(before: Option<&Start>) -> Vec<FieldView> {
    let glasses = before.and_then(|start| start.glasses_vertex).map(|vertex| vertex.to_mm().to_string());
    vec![
        typed(
            "vertex",
            "From the trial lens to the eye in millimetres; needed from 4 D on",
            "12",
            String::new(),
        ),
        typed(
            "glasses-vertex",
            "From the glasses to the eye in millimetres, where they will stand elsewhere",
            "14",
            glasses.unwrap_or_default(),
        ),
        typed(
            "intended",
            "The refraction that the eye is meant to end at for far away, if not nought (spherical equivalent)",
            "-0.75",
            String::new(),
        ),
    ]
}

/// Who examines, with what.
fn by_whom(before: Option<&Start>) -> Vec<FieldView> {
    let kept = |of: fn(&Start) -> Option<&String>| before.and_then(of).cloned().unwrap_or_default();
    vec![
        typed(
            "label",
            "A free label, such as a drawer’s number; no name is asked for",
            "drawer 3",
            kept(|start| start.label.as_ref()),
        ),
        typed("examiner", "Your initials", "EV", kept(|start| start.examiner.as_ref())),
        typed("instrument", "What holds the lenses", "trial frame", kept(|start| start.instrument.as_ref())),
    ]
}

/// How the eye is asked, which follows from its kind where nothing is chosen.
fn how_it_is_asked(before: Option<&Start>) -> Vec<FieldView> {
    let lines_above = before.map_or(USUAL_LINES_ABOVE, |start| start.lines_above);
    vec![
        chosen(
            "procedure",
            "How the lenses are tried; that of the kind of eye where none is chosen",
            Procedure::ALL.map(|one| explained(one.name(), one.said())),
            "",
        ),
        chosen(
            "end-point",
            "Which lens is left in, where teachers differ; that of the kind of eye where none is chosen",
            EndPoint::ALL.map(|one| explained(one.key(), one.said())),
            "",
        ),
        chosen(
            "brunescent",
            "A brown cataract",
            [
                FieldChoice { value: "", words: "no", how: "" },
                FieldChoice { value: "yes", words: "yes", how: "" },
            ],
            "",
        ),
        chosen(
            "red",
            "Where red lies at first, as the patient sees it",
            [Side::Left, Side::Right].map(|side| plain(side.name())),
            before.map_or(Side::Left, |start| start.red).name(),
        ),
        typed(
            "lines-above",
            "By how many lines the letters are larger than the smallest line read",
            "2",
            lines_above.to_string(),
        ),
    ]
}

/// The form of a near add, with what was tried before.
pub(super) fn near_fields(before: Option<&Near>) -> Vec<FieldView> {
    let distance = before.map(|near| format!("{:.0}", near.distance.to_mm() / 10.0));
    let answer = |answer: Answer| plain(answer.name());
    vec![
        typed(
            "near-distance",
            "From the eyes to what this patient reads or works at, in centimetres",
            "40",
            distance.unwrap_or_default(),
        ),
        typed("add", "Add to both eyes", "+2.25", String::new()),
        typed("near-acuity", "Smallest line read through it, if measured", "20/25", String::new()),
        typed("clear", "Clear from and to, in centimetres, if measured", "33, 50", String::new()),
        chosen(
            "near-red-green",
            "Clearer on red or on green at that distance, if asked",
            Answer::ALL.map(answer),
            "",
        ),
    ]
}

/// The form of a rechecked cylinder.
pub(super) fn cylinder_field() -> Vec<FieldView> {
    vec![typed("cylinder", "Cylinder after the recheck; none where there is none", "-0.75x85", String::new())]
}

/// The form of what a look through the trial frame added.
pub(super) fn framed_field() -> Vec<FieldView> {
    vec![typed("sphere", "Added to both eyes in whole clicks; 0 where nothing is", "-0.25", String::new())]
}

/// A field that is typed, with an example.
pub(super) const fn typed(
    name: &'static str,
    label: &'static str,
    example: &'static str,
    value: String,
) -> FieldView {
    FieldView { name, label: Cow::Borrowed(label), example, choices: Vec::new(), value, more: false }
}

/// A field of which one choice is taken.
fn chosen<const N: usize>(
    name: &'static str,
    label: impl Into<Cow<'static, str>>,
    choices: [FieldChoice; N],
    value: &str,
) -> FieldView {
    FieldView {
        name,
        label: label.into(),
        example: "",
        choices: choices.into(),
        value: value.into(),
        more: false,
    }
}

/// A choice whose value says what it is.
const fn plain(value: &'static str) -> FieldChoice {
    FieldChoice { value, words: value, how: "" }
}

/// How an eye sees colours, for who has to choose.
fn vision_choice(vision: ColourVision) -> FieldChoice {
    let words = match vision {
        ColourVision::Usual => "usual",
        ColourVision::Protan => "protan",
        ColourVision::OtherDefect => "another defect",
    };
    FieldChoice { value: vision.name(), words, how: "" }
}

/// A choice with what it means.
const fn explained(value: &'static str, said: Said) -> FieldChoice {
    FieldChoice { value, words: said.name, how: said.how }
}
