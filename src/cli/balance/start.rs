//! What has to be known before an eye is asked: from flags, and what they leave out from the keyboard.

use std::error::Error;

use clap::Args;

use super::super::arguments::{one_of, side, words};
use super::super::clock;
use super::both::{in_unit, score};
use super::form::{Field, Form};
use super::screen::occluded;
use crate::acuity::Score;
use crate::balance::words::Said;
use crate::balance::{
    ColourVision, EndPoint, EyeKind, Laterality, Manifest, Procedure, RefinedFor, Start, VERTEX_FROM, Written,
};
use crate::light::Side;
use crate::quantity::{Dioptres, Length};
use crate::report::{place_on, start_in};
use crate::room::Room;

/// The eye, its refraction and how it is asked.
#[derive(Args, Clone)]
#[command(next_help_heading = "The eye and how it is asked")]
pub(super) struct StartArgument {
    /// The eye that looks; the other is occluded
    #[arg(long, value_parser = laterality())]
    eye: Option<Laterality>,
    /// Its refraction, refined first, such as -1.25 or -1.25/-0.50x90
    #[arg(long, value_name = "REFRACTION", value_parser = manifest, allow_hyphen_values = true)]
    manifest: Option<Written>,
    /// What that refraction is for: the distance of this room’s chart, or far away
    #[arg(long = "for", value_parser = refined_for())]
    refined_for: Option<RefinedFor>,
    /// The best acuity through it on the white field, as bright as the coloured ones, such as 20/20 or 20/25-2
    #[arg(long, value_name = "ACUITY", value_parser = score, allow_hyphen_values = true)]
    acuity: Option<Score>,
    /// What kind of eye it is
    #[arg(long, value_parser = kind())]
    kind: Option<EyeKind>,
    /// The way of asking; from-plus in an eye that accommodates, adaptive otherwise
    #[arg(long, value_parser = procedure())]
    procedure: Option<Procedure>,
    /// The lens that stays in; equal-else-first-green in an eye that accommodates, equal-else-last-red otherwise
    #[arg(long, value_parser = end_point())]
    end_point: Option<EndPoint>,
    /// From the lens to the eye, such as 12mm; needed from 4 D on
    #[arg(long, value_name = "LENGTH", value_parser = vertex, allow_hyphen_values = true)]
    vertex: Option<Length>,
    /// From the glasses to the eye, where they will stand elsewhere than the trial lens, such as 14mm
    #[arg(long, value_name = "LENGTH", value_parser = vertex, allow_hyphen_values = true)]
    glasses_vertex: Option<Length>,
    /// The refraction that the eye is meant to end at for far away, as a spherical equivalent, such as -0.75
    #[arg(long, value_name = "DIOPTRES", value_parser = intended, allow_hyphen_values = true)]
    intended: Option<Dioptres>,
    /// How it sees colours; with a defect, sides are called left and right
    #[arg(long, value_parser = colour_vision())]
    colour_vision: Option<ColourVision>,
    /// It has a brown cataract
    #[arg(long)]
    brunescent: bool,
    /// Where red lies at first, as the patient sees it
    #[arg(long, default_value = "left", value_parser = side())]
    red: Side,
    /// By how many lines the target is larger than the smallest line read
    #[arg(long, value_name = "N", default_value_t = 2)]
    lines_above: u8,
    /// A free label, such as a drawer’s number; no name is asked for
    #[arg(long, value_name = "TEXT", value_parser = words)]
    label: Option<String>,
    /// The examiner’s initials
    #[arg(long, value_name = "INITIALS", value_parser = words)]
    examiner: Option<String>,
    /// What holds the lenses, such as a trial frame
    #[arg(long, value_name = "TEXT", value_parser = words)]
    instrument: Option<String>,
}

fn laterality() -> impl clap::builder::TypedValueParser<Value = Laterality> {
    one_of(Laterality::ALL.map(|one| (one.name(), one)).to_vec())
}

fn refined_for() -> impl clap::builder::TypedValueParser<Value = RefinedFor> {
    one_of([RefinedFor::Room, RefinedFor::FarAway].map(|one| (one.name(), one)).to_vec())
}

fn kind() -> impl clap::builder::TypedValueParser<Value = EyeKind> {
    one_of(EyeKind::ALL.map(|one| (one.name(), one)).to_vec())
}

fn procedure() -> impl clap::builder::TypedValueParser<Value = Procedure> {
    one_of(Procedure::ALL.map(|one| (one.name(), one)).to_vec())
}

fn end_point() -> impl clap::builder::TypedValueParser<Value = EndPoint> {
    one_of(EndPoint::ALL.map(|one| (one.key(), one)).to_vec())
}

fn colour_vision() -> impl clap::builder::TypedValueParser<Value = ColourVision> {
    one_of(ColourVision::ALL.map(|one| (one.name(), one)).to_vec())
}

fn manifest(text: &str) -> Result<Written, crate::balance::ManifestError> {
    text.parse()
}

/// What an eye is meant to end at: a sphere alone.
fn intended(text: &str) -> Result<Dioptres, String> {
    let read = text.parse::<Manifest>().ok().filter(|read| read.cylinder().is_none()).map(Manifest::sphere);
    read.ok_or_else(|| {
        format!("{text:?} is no spherical equivalent: write it with its sign, such as -0.75, or 0")
    })
}

fn vertex(text: &str) -> Result<Length, String> {
    in_unit(text, "mm")
}

impl StartArgument {
    /// The first value that is missing, as the flag that gives it.
    pub(super) fn missing(&self) -> Option<&'static str> {
        [
            (self.named_eye().is_none(), "--eye right"),
            (self.manifest.is_none(), "--manifest -1.25"),
            (self.refined_for.is_none(), "--for room"),
            (self.acuity.is_none(), "--acuity 20/20"),
            (self.kind.is_none(), "--kind presbyopic"),
        ]
        .into_iter()
        .find_map(|(missing, flag)| missing.then_some(flag))
    }

    /// Whether a flag describes an eye.
    pub(super) const fn describes_an_eye(&self) -> bool {
        self.manifest.is_some() || self.acuity.is_some() || self.kind.is_some()
    }

    /// The start, where nothing is missing.
    pub(super) fn start(&self, room: &Room) -> Result<Start, Box<dyn Error>> {
        let missing = || {
            let flag = self.missing().unwrap_or("--eye right");
            format!("the eye is not fully described: add {flag}, or leave out --answers to be asked")
        };
        let kind = self.kind.ok_or_else(missing)?;
        let eye = self.named_eye().ok_or_else(missing)?;
        let start = Start {
            eye,
            manifest: self.manifest.ok_or_else(missing)?.of(eye)?,
            refined_for: self.refined_for.ok_or_else(missing)?,
            acuity: self.acuity.ok_or_else(missing)?,
            kind,
            procedure: self.procedure.unwrap_or_else(|| kind.usual_procedure()),
            end_point: self.end_point.unwrap_or_else(|| kind.usual_end_point()),
            vertex: self.vertex,
            glasses_vertex: self.glasses_vertex,
            intended: self.intended,
            colour_vision: self.colour_vision.unwrap_or(ColourVision::Usual),
            brunescent: self.brunescent,
            red: self.red,
            lines_above: self.lines_above,
            label: self.label.clone(),
            examiner: self.examiner.clone(),
            instrument: self.instrument.clone(),
            place: place_on(room, &clock::now()?)?,
        };
        Ok(start_in(room, start)?)
    }

    /// The same for the other eye: what belongs to one eye is forgotten.
    pub(super) fn for_other(&self, before: &Start) -> Self {
        Self {
            eye: Some(before.eye.other()),
            manifest: None,
            acuity: None,
            vertex: None,
            glasses_vertex: before.glasses_vertex,
            intended: None,
            kind: None,
            procedure: None,
            end_point: None,
            refined_for: None,
            colour_vision: Some(before.colour_vision),
            brunescent: false,
            red: before.red,
            lines_above: before.lines_above,
            label: before.label.clone(),
            examiner: before.examiner.clone(),
            instrument: before.instrument.clone(),
        }
    }

    /// The same for this eye once more: what is known of it is kept as it was, and its refraction asked for anew.
    pub(super) fn for_same(&self, before: &Start) -> Self {
        Self {
            eye: Some(before.eye),
            vertex: before.vertex,
            kind: Some(before.kind),
            intended: before.intended,
            brunescent: before.brunescent,
            ..self.for_other(before)
        }
    }

    /// The eye that looks, where it is named.
    pub(super) fn named_eye(&self) -> Option<Laterality> {
        self.eye.or_else(|| self.manifest?.eye)
    }

    /// Asks for what the flags leave out, one by one, until each can be read; none where the examiner stops.
    pub(super) fn asked(mut self, form: &mut Form<'_>) -> Result<Option<Self>, Box<dyn Error>> {
        self.eye = self.named_eye();
        let eyes = Laterality::ALL.map(|eye| only(eye.name()));
        let field = Field { title: "Which eye looks? The other is occluded.", choices: &eyes, usual: None };
        if !fill(form, &mut self.eye, &field, |text| named(text, &Laterality::ALL, Laterality::name))? {
            return Ok(None);
        }
        let Some(eye) = self.eye else { return Ok(None) };
        form.head[0] = occluded(eye);
        let done = self.ask_refraction(form, eye)? && self.ask_eye(form)? && self.ask_way(form)?;
        Ok(done.then_some(self))
    }

    /// What was refined before.
    fn ask_refraction(&mut self, form: &mut Form<'_>, eye: Laterality) -> Result<bool, Box<dyn Error>> {
        let title = "Manifest refraction, such as -1.25 or -1.25/-0.50x90";
        let field = Field { title, choices: &[], usual: None };
        let read = |text: &str| {
            let refraction = manifest(text).and_then(|written| written.of(eye));
            refraction.map(|refraction| Written { eye: None, refraction }).map_err(|error| error.to_string())
        };
        if !fill(form, &mut self.manifest, &field, read)? {
            return Ok(false);
        }
        if self.manifest.is_some_and(|manifest| manifest.refraction.strongest() >= VERTEX_FROM) {
            let title = "Vertex distance, from the lens to the eye, such as 12mm";
            let field = Field { title, choices: &[], usual: None };
            if !fill(form, &mut self.vertex, &field, vertex)? {
                return Ok(false);
            }
        }
        let both = [RefinedFor::Room, RefinedFor::FarAway];
        let choices = both.map(RefinedFor::said);
        let field = Field { title: "That refraction is for", choices: &choices, usual: None };
        fill(form, &mut self.refined_for, &field, |text| named(text, &both, RefinedFor::name))
    }

    /// What is known of the eye.
    fn ask_eye(&mut self, form: &mut Form<'_>) -> Result<bool, Box<dyn Error>> {
        let title = "Best acuity through it on white, as bright as the fields, such as 20/20 or 20/25-2";
        let field = Field { title, choices: &[], usual: None };
        if !fill(form, &mut self.acuity, &field, |text| score(text).map_err(|error| error.to_string()))? {
            return Ok(false);
        }
        let kinds = EyeKind::ALL.map(|kind| Said { name: kind.name(), how: kind.explained() });
        let field = Field { title: "Kind of eye", choices: &kinds, usual: None };
        fill(form, &mut self.kind, &field, |text| named(text, &EyeKind::ALL, EyeKind::name))
    }

    /// How it is asked.
    fn ask_way(&mut self, form: &mut Form<'_>) -> Result<bool, Box<dyn Error>> {
        let Some(kind) = self.kind else { return Ok(false) };
        let ways = Procedure::ALL.map(Procedure::said);
        let usual = Some(kind.usual_procedure().name());
        let field = Field { title: "Procedure: how the lenses are tried", choices: &ways, usual };
        if !fill(form, &mut self.procedure, &field, |text| named(text, &Procedure::ALL, Procedure::name))? {
            return Ok(false);
        }
        let ends = EndPoint::ALL.map(EndPoint::said);
        let usual = Some(kind.usual_end_point().key());
        let field =
            Field { title: "End point: which lens is left in. Teachers differ.", choices: &ends, usual };
        if !fill(form, &mut self.end_point, &field, |text| named(text, &EndPoint::ALL, EndPoint::key))? {
            return Ok(false);
        }
        let visions = ColourVision::ALL.map(|vision| only(vision.name()));
        let usual = Some(ColourVision::Usual.name());
        let title = "Colour vision (with a defect, sides are called left and right)";
        let field = Field { title, choices: &visions, usual };
        fill(form, &mut self.colour_vision, &field, |text| {
            named(text, &ColourVision::ALL, ColourVision::name)
        })
    }
}

/// A name that says all.
const fn only(name: &'static str) -> Said {
    Said { name, how: "" }
}

/// Asks for a value that is missing; whether it is there then.
fn fill<T>(
    form: &mut Form<'_>,
    value: &mut Option<T>,
    field: &Field<'_>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<bool, Box<dyn Error>> {
    if value.is_none() {
        *value = form.ask(field, read)?;
    }
    Ok(value.is_some())
}

/// One of these by its name, by its number from 1, or by as much of its beginning as no other has.
fn named<T: Copy>(text: &str, all: &[T], name: impl Fn(T) -> &'static str) -> Result<T, String> {
    let text = text.trim().to_lowercase();
    let fitting: Vec<T> =
        all.iter().copied().filter(|one| !text.is_empty() && name(*one).starts_with(&text)).collect();
    let number = text.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    let numbered = number.and_then(|place| all.get(place).copied());
    let exact = all.iter().copied().find(|one| name(*one) == text).or(numbered);
    let only = if let [one] = fitting.as_slice() { Some(*one) } else { None };
    exact.or(only).ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|one| name(*one)).collect();
        format!("{text:?} is none of these: write {}", names.join(", "))
    })
}
