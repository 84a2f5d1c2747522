//! Paths of a vector file, sampled so that they can be measured as a picture is.
//!
//! Areas are filled by code of the check's own, since it must not rely on the code that draws charts.
//!
//! Sampling is twice as fine as the screen's pixels where a room is known, so what is measured is the paths and not their
//! pixels. Each sample is the light of the areas over it, blended as an ideal viewer would.

use ab_glyph_rasterizer::{Point as RasterPoint, Rasterizer};
use image::{Rgb, RgbImage};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

use super::png::{ColourTag, Picture};
use super::winding::{Patience, covers_once};
use crate::claim::Claim;
use crate::light::Channel;
use crate::quantity::Length;
use crate::room::{Display, MAX_PIXELS};

/// How many columns a picture is sampled with for each column of the room's screen, and how many in all where no room
/// is known. At 4 m a stroke of 20/20 then has 8 samples on an ordinary monitor.
const FINER: u32 = 2;
const COLUMNS: u32 = 3840;

/// How many samples a millimetre a near chart's page is sampled with: a stroke of 20/20 at 40 cm has nearly 4. The
/// number of columns is even, so that the border of two fields falls between two of them.
const NEAR_A_MM: f64 = 33.0;

/// How far a flattened curve may stray, in samples.
const FLATNESS: f64 = 1e-3;

/// The sides that a drawing may have, in millimetres: from a letter to a wall.
pub(super) const SIDE_MM: std::ops::RangeInclusive<f64> = 1.0..=1e5;

/// How far outside itself a drawing may have a point, in its own longer sides. Honest fields end at the edge; curves that run
/// far away would be flattened into more lines than any memory holds.
const FAR_SIDES: f64 = 4.0;

/// How often a drawing may be painted over, counted in its own area. Honest ones have two fields and letters; the bound keeps
/// the time within seconds.
const MOST_COATS: f64 = 16.0;

/// Maximum number of areas, of which an honest near chart has about two hundred.
const MOST_AREAS: usize = 5_000;

/// What a file draws: filled areas in millimetres from the upper left corner, one over the other.
pub(super) struct Drawing {
    /// Width and height.
    pub(super) size: [Length; 2],
    /// The areas and their codes.
    pub(super) areas: Vec<(BezPath, [u8; 3])>,
    /// What words may cover, which are not measured.
    pub(super) words: Vec<Rect>,
    /// What the file says it shows.
    pub(super) claim: Option<Result<Claim, String>>,
}

/// A near chart's page.
pub(super) struct NearPage {
    /// The red and the green field.
    pub(super) fields: Drawing,
    /// The same letters on white, if there are any.
    pub(super) white: Option<Drawing>,
    /// The bar and the card that prove the size of the print.
    pub(super) proof: Proof,
}

/// The bar and the card on a near chart's page, in millimetres.
pub(super) struct Proof {
    pub(super) bar: Option<f64>,
    pub(super) card: Option<[f64; 2]>,
}

impl Drawing {
    /// Whether it says that it is a near chart, which stands on a page with other things.
    pub(super) fn is_near(&self) -> bool {
        self.claim
            .as_ref()
            .and_then(|claim| claim.as_ref().ok())
            .is_some_and(|claim| claim.distance.is_some())
    }

    /// The same, if all of it can be measured.
    ///
    /// # Errors
    /// Areas without end, and words, which are drawn as their viewer likes.
    pub(super) fn whole(self) -> Result<Self, String> {
        self.bounded()?;
        // Wherever they begin: they may run into it.
        if !self.words.is_empty() {
            return Err(
                "it has words, drawn as their viewer likes, and does not say that it is a near chart".into(),
            );
        }
        let place = Rect::new(0.0, 0.0, self.size[0].to_mm(), self.size[1].to_mm());
        self.part(place)
    }

    fn bounded(&self) -> Result<(), String> {
        let [width, height] = self.size.map(Length::to_mm);
        if !SIDE_MM.contains(&width) || !SIDE_MM.contains(&height) {
            return Err(format!("its size of {width:.3e} × {height:.3e} mm is no chart’s"));
        }
        if self.areas.len() > MOST_AREAS {
            return Err(format!("it has {} areas, more than {MOST_AREAS}", self.areas.len()));
        }
        let sheet = Rect::new(0.0, 0.0, width, height);
        let far = sheet.inflate(FAR_SIDES * width.max(height), FAR_SIDES * width.max(height));
        let mut coats = 0.0;
        for (area, _) in &self.areas {
            // Before curves are looked at, all their points: a box of the curves alone may take for ever.
            let points = points(area).ok_or("it has an area without end")?;
            if !far.contains_rect(points) {
                return Err("it has a shape far outside its edges".into());
            }
            coats += points.intersect(sheet).area() / sheet.area();
        }
        if coats > MOST_COATS {
            return Err(format!("it paints over itself more than {MOST_COATS:.0} times"));
        }
        Ok(())
    }

    /// What of a near chart's page is measured.
    ///
    /// # Errors
    /// A page that has no red and green fields side by side, and words where it is measured.
    pub(super) fn near_page(self) -> Result<NearPage, String> {
        self.bounded()?;
        let fields = self.fields().ok_or("its page has no red and green field side by side")?;
        let black = |(area, codes): &(BezPath, [u8; 3])| {
            (*codes == [0; 3]).then(|| area.bounding_box()).filter(|bounds| bounds.y0 >= fields.y1)
        };
        let letters: Vec<Rect> = self.areas.iter().filter_map(black).collect();
        let white = letters.iter().copied().reduce(|all, one| all.union(one)).map(|all| {
            // As much air as the largest letter is high, which it must have.
            let air = letters.iter().map(Rect::height).fold(0.0, f64::max);
            all.inflate(air, air)
        });
        Ok(NearPage {
            white: white.map(|place| self.part(place)).transpose()?.map(Self::on_white),
            proof: self.proof(fields),
            fields: self.part(fields)?,
        })
    }

    fn on_white(self) -> Self {
        let claim = self.claim.map(|claim| claim.map(|claim| claim.on_white()));
        Self { claim, ..self }
    }

    /// The bar's length and the card's width and height, if the page has them.
    fn proof(&self, fields: Rect) -> Proof {
        let dark = |codes: &[u8; 3]| codes.iter().all(|code| *code < 64);
        let below: Vec<Rect> = self
            .areas
            .iter()
            .filter(|(_, codes)| dark(codes))
            .map(|(area, _)| area.bounding_box())
            .filter(|bounds| bounds.y0 >= fields.y1)
            .collect();
        let bar = below.iter().find(|bounds| bounds.width() > 20.0 * bounds.height()).map(Rect::width);
        let card = below.iter().max_by(|one, other| one.height().total_cmp(&other.height()));
        Proof { bar, card: card.map(|card| [card.width(), card.height()]) }
    }

    /// A part of it by a place on it.
    fn part(&self, place: Rect) -> Result<Self, String> {
        if self.words.iter().any(|word| word.overlaps(place)) {
            return Err(
                "it has words that may reach where it is measured, drawn as their viewer likes".into()
            );
        }
        let moved = Affine::translate(-place.origin().to_vec2());
        let overlaps = |area: &BezPath| {
            let bounds = area.bounding_box();
            bounds.x0 < place.x1 && bounds.x1 > place.x0 && bounds.y0 < place.y1 && bounds.y1 > place.y0
        };
        let areas = self
            .areas
            .iter()
            .filter(|(area, _)| overlaps(area))
            .map(|(area, codes)| (moved * area.clone(), *codes))
            .collect();
        let size = [place.width(), place.height()].map(Length::mm);
        Ok(Self { size, areas, words: Vec::new(), claim: self.claim.clone() })
    }

    /// Columns and rows for a wanted number of columns, or for half of it where that is too many.
    fn grid(&self, wanted: u32) -> Option<[u32; 2]> {
        let [width, height] = self.size.map(Length::to_mm);
        [wanted, wanted / 2].into_iter().find_map(|columns| {
            let rows = (height / width * f64::from(columns)).round().max(1.0);
            let total = rows * f64::from(columns);
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "at most as many as a picture has"
            )]
            (total <= MAX_PIXELS as f64).then_some([columns, rows as u32])
        })
    }

    /// The area of the first red field together with the green one to its right.
    fn fields(&self) -> Option<Rect> {
        let only = |channel: usize| {
            let of = move |codes: &[u8; 3]| {
                codes[channel] > 0 && codes.iter().filter(|code| **code > 0).count() == 1
            };
            self.areas.iter().find(|(_, codes)| of(codes)).map(|(area, _)| area.bounding_box())
        };
        let (red, green) = (only(0)?, only(1)?);
        let beside =
            (green.y0 - red.y0).abs() < 1e-3 && (green.y1 - red.y1).abs() < 1e-3 && green.x1 >= red.x1 - 1e-3;
        beside.then(|| red.union(green))
    }

    /// Samples the drawing. Each sample gets the light of what covers it, by area, through the tone curves of the
    /// screen in the claimed room, or of an assumed screen where none is claimed.
    ///
    /// # Errors
    /// A shape that would take more samples than a picture may have pixels, and one that runs over itself.
    pub(super) fn sampled(self, room: Option<&crate::room::Room>) -> Result<Picture, String> {
        let claimed =
            self.claim.as_ref().and_then(|claim| claim.as_ref().ok()).and_then(|claim| claim.room.as_ref());
        let room = room.or(claimed);
        let display = room.map_or_else(Display::assumed, |room| room.display.clone());
        let wanted = match room {
            Some(room) => room.screen.pixels[0] * FINER,
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a page has some thousand"
            )]
            None if self.is_near() => 2 * (self.size[0].to_mm() * NEAR_A_MM / 2.0).round() as u32,
            None => COLUMNS,
        };
        let [columns, rows] = self.grid(wanted).ok_or("its sides are out of all proportion")?;
        let [width, height] = self.size.map(Length::to_mm);
        let scale = [f64::from(columns) / width, f64::from(rows) / height];
        let mut image = RgbImage::from_pixel(columns, rows, Rgb([255; 3]));
        let mut patience = Patience::new();
        for (area, codes) in &self.areas {
            let area = Affine::scale_non_uniform(scale[0], scale[1]) * area;
            let mut contours = contours(&area);
            covers_once(&contours, &mut patience)?;
            settle(&mut contours, [columns, rows].map(f64::from));
            lay(&mut image, &area, &contours, *codes, &display);
        }
        let pitch = scale.map(|scale| Length::mm(1.0 / scale));
        Ok(Picture {
            image,
            pixels_a_metre: None,
            colour_tag: ColourTag::None,
            claim: self.claim,
            sampled: Some(pitch),
        })
    }
}

/// A box around all points of a path, those that draw curves towards them as well; none where one is not finite.
fn points(area: &BezPath) -> Option<Rect> {
    if !area.is_finite() {
        return None;
    }
    let of = |element: &PathEl| match *element {
        PathEl::MoveTo(to) | PathEl::LineTo(to) => vec![to],
        PathEl::QuadTo(one, to) => vec![one, to],
        PathEl::CurveTo(one, other, to) => vec![one, other, to],
        PathEl::ClosePath => Vec::new(),
    };
    let all = area.elements().iter().flat_map(of);
    Some(
        all.map(|point| Rect::from_points(point, point))
            .reduce(|all, one| all.union(one))
            .unwrap_or_default(),
    )
}

/// How far a field's edge may be from the edge of a sample and count as on it: programs that write their numbers with six
/// digits move it by so much.
const SETTLED: f64 = 0.02;

/// How much of a picture's width and height a field takes at least.
const FIELD_SHARE: f64 = 0.4;

/// Moves the edges of an upright rectangle as large as a field to the edges of samples, where they nearly are.
fn settle(contours: &mut [Vec<Point>], size: [f64; 2]) {
    let [points] = contours else { return };
    let bounds = points.iter().map(|at| Rect::from_points(*at, *at)).reduce(|all, one| all.union(one));
    let Some(bounds) = bounds else { return };
    let is_large = bounds.width() > FIELD_SHARE * size[0] && bounds.height() > FIELD_SHARE * size[1];
    let on_edge = |one: f64, low: f64, high: f64| one <= low || one >= high;
    let is_corner = |at: &Point| on_edge(at.x, bounds.x0, bounds.x1) && on_edge(at.y, bounds.y0, bounds.y1);
    if !is_large || !points.iter().all(is_corner) {
        return;
    }
    let near = |side: f64| if (side - side.round()).abs() < SETTLED { side.round() } else { side };
    for point in points {
        *point = Point::new(near(point.x), near(point.y));
    }
}

/// The points of each contour of an area, a part that is not closed filled as if it were.
fn contours(area: &BezPath) -> Vec<Vec<Point>> {
    let mut all: Vec<Vec<Point>> = Vec::new();
    let mut is_closed = false;
    kurbo::flatten(area, FLATNESS, |element| match element {
        PathEl::MoveTo(to) => {
            all.push(vec![to]);
            is_closed = false;
        }
        PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
            // Behind a close the pen is where the contour began.
            let start = all.last().and_then(|points| points.first().copied()).filter(|_| is_closed);
            all.extend(start.map(|start| vec![start]));
            is_closed = false;
            if let Some(points) = all.last_mut() {
                points.push(to);
            }
        }
        PathEl::ClosePath => is_closed = true,
    });
    // A lone point, which programs leave behind a path, and a line to and fro enclose nothing.
    all.retain(|points| points.len() > 2);
    all
}

/// Lays an area, in samples, over a picture.
fn lay(image: &mut RgbImage, area: &BezPath, contours: &[Vec<Point>], codes: [u8; 3], display: &Display) {
    let whole = Rect::new(0.0, 0.0, f64::from(image.width()), f64::from(image.height()));
    let bounds = area.bounding_box().intersect(whole);
    if bounds.area() <= 0.0 {
        return;
    }
    if let Some([left, top, right, bottom]) = whole_samples(contours, whole) {
        for y in top..bottom {
            (left..right).for_each(|x| image.put_pixel(x, y, Rgb(codes)));
        }
        return;
    }
    let origin = Point::new(bounds.x0.floor() - 1.0, bounds.y0.floor() - 1.0);
    let [across, down] = [bounds.x1.ceil() + 1.0 - origin.x, bounds.y1.ceil() + 1.0 - origin.y];
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the picture")]
    let mut coverage = Rasterizer::new(across as usize, down as usize);
    // What lies outside the picture is moved to its edge, which changes no area inside.
    let held = |point: Point| {
        Point::new(point.x.clamp(origin.x, origin.x + across), point.y.clamp(origin.y, origin.y + down))
    };
    #[allow(clippy::cast_possible_truncation, reason = "single precision holds 1e-3 of a sample")]
    let local = |point: Point| {
        let point = held(point);
        RasterPoint { x: (point.x - origin.x) as f32, y: (point.y - origin.y) as f32 }
    };
    for points in contours {
        for (from, to) in points.iter().zip(points.iter().cycle().skip(1)) {
            coverage.draw_line(local(*from), local(*to));
        }
    }
    #[allow(clippy::cast_possible_truncation, reason = "within the picture or one before it")]
    let [left, top] = [origin.x as i64, origin.y as i64];
    coverage.for_each_pixel_2d(|x, y, share| {
        if share < 1e-4 {
            return;
        }
        let (Ok(x), Ok(y)) = (u32::try_from(left + i64::from(x)), u32::try_from(top + i64::from(y))) else {
            return;
        };
        let Some(pixel) = image.get_pixel_mut_checked(x, y) else { return };
        blend(pixel, codes, f64::from(share.min(1.0)), display);
    });
}

/// The samples that an area covers whole and no others, from the left and the top: an upright rectangle whose sides lie between
/// samples, as a field's mostly do. None for any other.
fn whole_samples(contours: &[Vec<Point>], whole: Rect) -> Option<[u32; 4]> {
    let [points] = contours else { return None };
    let bounds = points.iter().map(|at| Rect::from_points(*at, *at)).reduce(|all, one| all.union(one))?;
    let cross = |(from, to): (&Point, &Point)| from.to_vec2().cross(to.to_vec2());
    let twice: f64 = points.iter().zip(points.iter().cycle().skip(1)).map(cross).sum();
    // No other shape that covers each place once is as large as the box around it.
    let is_box = (twice.abs() - 2.0 * bounds.area()).abs() < FLATNESS;
    let inside = bounds.intersect(whole);
    let sides = [inside.x0, inside.y0, inside.x1, inside.y1];
    let is_between = sides.iter().all(|side| (side - side.round()).abs() < f64::EPSILON);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the picture")]
    (is_box && is_between).then(|| sides.map(|side| side.round() as u32))
}

/// Lays codes over a share of a pixel, in light.
fn blend(pixel: &mut Rgb<u8>, codes: [u8; 3], share: f64, display: &Display) {
    if share > 1.0 - 1e-4 {
        *pixel = Rgb(codes);
        return;
    }
    for channel in Channel::ALL {
        let tone = display.tone(channel);
        let (under, over) = (pixel.0[channel.index()], codes[channel.index()]);
        let light = tone.light(under) * (1.0 - share) + tone.light(over) * share;
        pixel.0[channel.index()] = tone.nearest_code(light);
    }
}

#[cfg(test)]
mod tests;
