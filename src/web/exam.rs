//! The page that shows a room's charts full screen.
//!
//! What Rust hands over is finished: for each line where its letters stand in pixels and which letters they are in two dozen
//! draws; for each letter its outline as polygons, flattened for the largest line; for each field at which coverage of a pixel
//! each next code begins. The script fills the polygons itself, by signed area, and writes pixels: a browser's own path fill
//! made strokes of 21 px 8 to 12 % too thick when it was measured.
//!
//! Fields and sides change at most once in the calm time of [`CALM_MS`](crate::balance::keys::CALM_MS), since alternating red
//! and green can provoke seizures.

use kurbo::PathEl;
use serde::Serialize;

use super::Frame;
use super::first_step::{FirstStep, answers};
use super::page::{Page, calm_and_closed};
use crate::acuity::Acuity;
use crate::balance::keys::{Act, Desk};
use crate::balance::steps_hold_for;
use crate::chart::{ColourError, FieldLight, Layout, Request, Row};
use crate::claim::PageClaim;
use crate::light::{Channel, Fields, Side};
use crate::optotype::{LetterSet, Optotype, STROKES_A_SIDE};
use crate::quantity::Length;
use crate::report::{FieldsShown, Warning};
use crate::room::{Display, LEAST_STROKE_PX, PLAIN_STROKE_PX, Room, SpectraError};
use crate::scene::{CARD_MM, Paint};

/// How far a flattened arc may stray from the true one at the largest line, in pixels.
const FLATNESS_PX: f64 = 2e-3;

/// How many draws of letters each line has, by seeds 1, 2, 3 and on. This project's own decision.
const DRAWS: u64 = 24;

/// The customary target in tenths of logMAR. Common practice, no source.
const CUSTOMARY: i8 = 3;

/// How many lines the target lies above a threshold, as the balance has it unless told otherwise.
const LINES_ABOVE: usize = 2;

/// What the keys 1, 2 and on show; the first is both colours.
const FIELDS: [Fields; 4] = [Fields::RedGreen, Fields::White, Fields::Red, Fields::Green];

/// The radius of a bank card's corners in millimetres, which may be 2.88 to 3.48: ISO/IEC 7810, ID-1.
const CARD_CORNER_MM: f64 = 3.18;

/// The modules of its script, each after those that it imports from.
const MODULES: [&str; 10] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("exam/table.js"),
    include_str!("exam/coverage.js"),
    include_str!("exam/paint.js"),
    include_str!("exam/layout.js"),
    include_str!("exam/state.js"),
    include_str!("exam/chart.js"),
    include_str!("exam/strip.js"),
    include_str!("exam.js"),
];

/// Codes of grey from dark to light among the patches. This project's own decision.
const GREYS: [u8; 9] = [0, 32, 64, 96, 128, 160, 192, 224, 255];

/// Why a room gets no page.
#[derive(Debug, thiserror::Error)]
pub enum ExamError {
    /// The fields cannot have that light.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// A spectrum of its screen cannot be read.
    #[error(transparent)]
    Spectra(#[from] SpectraError),
    /// No line can be shown.
    #[error(
        "no standard line can be shown in this room: its pixels are too coarse, or its screen is too small, for this distance: stand farther away, or take another screen"
    )]
    NoLine,
}

/// What the script interprets.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Table {
    page: Page,
    pixels: [u32; 2],
    pitch: [f64; 2],
    mirror: bool,
    red_left: bool,
    least_stroke: f64,
    strokes_a_side: f64,
    card: Card,
    target: usize,
    lines_above: usize,
    fields: [&'static str; 4],
    lines: Vec<Line>,
    letters: Vec<Letter>,
    paints: Paints,
    patches: Vec<Patch>,
    /// In which direction the lens changes, for two fields.
    rule: String,
    /// What stands in its place where there is one field.
    acuity: &'static str,
    answers: [String; 4],
    first_steps: Vec<FirstStep>,
    steps_hold_for: String,
    /// What there is to doubt in the match of red and green.
    doubt: Option<String>,
    notes: [String; 3],
    made_for: PageClaim,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Line {
    name: String,
    log_mar: f64,
    coarse: bool,
    /// Pixels a stroke, across and down.
    unit: [f64; 2],
    two: Option<Place>,
    one: Option<Place>,
    draws: Vec<Letters>,
}

/// A bank card, in millimetres.
#[derive(Serialize)]
pub(super) struct Card {
    size: [f64; 2],
    corner: f64,
}

/// Where a row stands on a field, in pixels from its corner.
#[derive(Clone, Copy, Serialize)]
struct Place {
    left: f64,
    top: f64,
    count: usize,
}

/// Which letters stand on two fields, and which on one.
#[derive(Serialize)]
struct Letters {
    two: Vec<usize>,
    one: Vec<usize>,
}

#[derive(Serialize)]
pub(super) struct Letter {
    name: String,
    contours: Vec<Vec<f64>>,
}

#[derive(Serialize)]
pub(super) struct Paints {
    red: Painted,
    green: Painted,
    white: Painted,
}

/// A field's codes, and for each channel that it drives the coverage by a letter below which each next code begins.
#[derive(Serialize)]
struct Painted {
    codes: [u8; 3],
    edges: [Option<Vec<f64>>; 3],
}

#[derive(Serialize)]
struct Patch {
    name: String,
    /// Its codes.
    says: String,
    /// What a meter is to read on the room's own screen.
    expected: String,
    codes: [u8; 3],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    strip: Vec<Step>,
}

/// A step of the match strip: red over green, and what is said of its green.
#[derive(Serialize)]
struct Step {
    codes: [[u8; 3]; 2],
    says: [String; 2],
}

/// Stands on the strip where there is one field.
const ACUITY: &str = "One field: for acuity before and after, not for the balance.";

/// One self-contained file for the exam screen. The same room gives the same text.
///
/// ```
/// # use evenfield::{light::Side, optotype::LetterSet, room::Room, web::exam_page};
/// let page = exam_page(&Room::demo(), LetterSet::Sloan, Side::Left)?;
/// assert!(page.starts_with("<!doctype html>"));
/// // One file for itself: nothing in it is fetched from elsewhere.
/// assert!(!page.contains("<link") && !page.contains(" src="));
/// # Ok::<(), evenfield::web::ExamError>(())
/// ```
///
/// # Errors
/// A room that cannot show a single line, or not two equal fields, or a spectrum of which cannot be read.
pub fn exam_page(room: &Room, letters: LetterSet, red: Side) -> Result<String, ExamError> {
    let table = Table::new(room, letters, red)?;
    let name = room.name().unwrap_or("exam room");
    let title = name.replace('&', "&amp;").replace('<', "&lt;");
    let frame = Frame {
        title: &title,
        allows: "",
        body: include_str!("exam.html"),
        places: &[("TITLE", &title)],
        style: include_str!("exam.css"),
        modules: &MODULES,
    };
    Ok(frame.html(&table))
}

impl Table {
    fn new(room: &Room, letters: LetterSet, red: Side) -> Result<Self, ExamError> {
        let alphabet = letters.members();
        let light = FieldLight::new(&room.display, None)?;
        let fields = FieldsShown::new(room, &light, &room.primaries.spectra()?);
        let doubt = fields.match_in_doubt();
        let line = |line| Line::new(line, room, letters, &alphabet);
        let lines: Vec<Line> = Acuity::standard_lines().filter_map(line).collect();
        let largest = lines.first().ok_or(ExamError::NoLine)?.unit[0];
        let off = |line: &Line| (line.log_mar - f64::from(CUSTOMARY) / 10.0).abs();
        let target = (0..lines.len()).min_by(|one, other| off(&lines[*one]).total_cmp(&off(&lines[*other])));
        Ok(Self {
            page: Page::new(Desk::Page),
            pixels: room.screen.pixels,
            pitch: room.screen.pitch.map(Length::to_mm),
            mirror: room.viewing.mirror,
            red_left: red == Side::Left,
            least_stroke: LEAST_STROKE_PX,
            strokes_a_side: STROKES_A_SIDE,
            card: Card { size: CARD_MM, corner: CARD_CORNER_MM },
            target: target.unwrap_or(0),
            lines_above: LINES_ABOVE,
            fields: FIELDS.map(Fields::name),
            letters: alphabet.iter().map(|letter| Letter::new(*letter, largest)).collect(),
            paints: Paints::new(&light, room),
            patches: patches(&light, &room.display),
            rule: rule(),
            acuity: ACUITY,
            answers: answers(),
            first_steps: FirstStep::all(),
            steps_hold_for: steps_hold_for(),
            doubt: doubt.clone().or_else(|| fields.known_loosely()).map(|doubt| doubt.what),
            notes: notes(room, doubt.as_ref()),
            made_for: PageClaim::of(room),
            lines,
        })
    }
}

/// The direction is the same for every eye; how far to go is not.
fn rule() -> String {
    format!(
        "Red crisper: more minus. Green crisper: more plus. By how much depends on the eye: press {}.",
        Act::Help.shown()
    )
}

fn notes(room: &Room, doubt: Option<&Warning>) -> [String; 3] {
    let size = room.screen.size()[0].to_mm();
    let doubt =
        if doubt.is_some() { " Its match is in doubt: room sheet, or room verify --keep." } else { "" };
    [
        format!(
            "This page is for {}: {:.2} m{}, a picture {size:.1} mm wide, {}.{doubt}",
            room.name().unwrap_or("a room without a name"),
            room.viewing.distance.to_m(),
            if room.viewing.mirror { " through a mirror" } else { "" },
            room.screen.size_basis
        ),
        calm_and_closed("Fields, sides and the dark", "The page stores nothing and"),
        format!(
            "The page cannot detect night colour, HDR or automatic brightness: switch them off. A browser may change \
             colours: measure the patches that this page shows ({}) with a meter.",
            Act::Patches.shown()
        ),
    ]
}

impl Line {
    /// A line with all its draws; none where the room cannot show it.
    fn new(line: Acuity, room: &Room, letters: LetterSet, alphabet: &[Optotype]) -> Option<Self> {
        let placed = |fields: Fields, seed: u64| {
            let request = Request { letters, fields, seed, ..Request::new(line) };
            Layout::new(&request, room).ok()?.rows.into_iter().next()
        };
        let two = placed(Fields::RedGreen, 1)?;
        let one = placed(Fields::White, 1);
        let index = |letter: &Optotype| alphabet.iter().position(|one| one == letter);
        let numbers = |line: Option<Row>| {
            line.map(|line| line.letters.iter().filter_map(index).collect()).unwrap_or_default()
        };
        let draws = (1..=DRAWS)
            .map(|seed| Letters {
                two: numbers(placed(Fields::RedGreen, seed)),
                one: numbers(placed(Fields::White, seed)),
            })
            .collect();
        let unit = room.screen.pitch.map(|pitch| two.height / STROKES_A_SIDE / pitch);
        Some(Self {
            name: line.to_string(),
            log_mar: line.to_log_mar(),
            coarse: unit[0] < PLAIN_STROKE_PX,
            unit,
            two: Some(Place::of(&two, room)),
            one: one.as_ref().map(|line| Place::of(line, room)),
            draws,
        })
    }
}

impl Place {
    fn of(line: &Row, room: &Room) -> Self {
        let [left, top] = [0, 1].map(|axis: usize| (line.corner[axis] / room.screen.pitch[axis]).round());
        Self { left, top, count: line.letters.len() }
    }
}

impl Letter {
    /// An outline as polygons, flattened for a size in pixels a stroke.
    pub(super) fn new(letter: Optotype, stroke_px: f64) -> Self {
        let mut contours: Vec<Vec<f64>> = Vec::new();
        kurbo::flatten(letter.outline(), FLATNESS_PX / stroke_px, |element| match element {
            PathEl::MoveTo(to) => contours.push(vec![rounded(to.x), rounded(to.y)]),
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                if let Some(contour) = contours.last_mut() {
                    contour.extend([rounded(to.x), rounded(to.y)]);
                }
            }
            PathEl::ClosePath => {}
        });
        Self { name: letter.name(), contours }
    }
}

/// A stroke has at most some hundred pixels, so a hundred-thousandth of it is a thousandth of one.
fn rounded(strokes: f64) -> f64 {
    (strokes * 1e5).round() / 1e5
}

impl Paints {
    pub(super) fn new(light: &FieldLight, room: &Room) -> Self {
        let [red, green, white] =
            [light.red, light.green, light.white].map(|paint| Painted::new(paint, room));
        Self { red, green, white }
    }
}

impl Painted {
    /// A pixel takes the code whose light is nearest to the mixture of field and black, as charts are drawn: so one code
    /// follows the other where the mixture's light lies midway between theirs.
    fn new(paint: Paint, room: &Room) -> Self {
        let edges = |channel: Channel| {
            let code = paint.codes[channel.index()];
            let light = |code: u8| room.display.tone(channel).light(code);
            let (field, black) = (light(code), light(0));
            let edge = |lower: u8| (field - f64::midpoint(light(lower), light(lower + 1))) / (field - black);
            (code > 0).then(|| (0..code).map(edge).map(|share| (share * 1e7).round() / 1e7).collect())
        };
        Self { codes: paint.codes, edges: Channel::ALL.map(edges) }
    }
}

/// The fields, a strip of borders, the primaries, then greys from dark to light, so that full white is never one step
/// from the dark.
fn patches(light: &FieldLight, display: &Display) -> Vec<Patch> {
    let rests = display.worked_out_from(light.red.codes, light.green.codes);
    let plain = |name: &str, codes: [u8; 3]| {
        let [red, green, blue] = codes;
        let expected = display.luminance_in_room(codes);
        let says = format!("codes {red}, {green}, {blue}");
        let expected = format!("{expected} expected from {rests}");
        Patch { name: name.into(), says, expected, codes, strip: Vec::new() }
    };
    let mut patches = vec![
        plain("red field", light.red.codes),
        plain("green field", light.green.codes),
        match_strip(light, display, &rests),
        plain("full red", [255, 0, 0]),
        plain("full green", [0, 255, 0]),
        plain("full blue", [0, 0, 255]),
    ];
    patches.extend(GREYS.map(|code| plain(&format!("grey {code}"), [code; 3])));
    patches
}

fn match_strip(light: &FieldLight, display: &Display, rests: &str) -> Patch {
    let [code, ..] = light.red.codes;
    let step = |green: u8| {
        let codes = [0, green, 0];
        Step {
            codes: [light.red.codes, codes],
            says: [format!("green {green}"), display.luminance_in_room(codes).to_string()],
        }
    };
    Patch {
        name: "match strip, where the faintest border is the match".into(),
        says: format!("red {code}"),
        expected: format!("{} expected from {rests}", display.luminance_in_room(light.red.codes)),
        codes: [0; 3],
        strip: light.match_steps().into_iter().map(step).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::MODULES;
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
    }
}
