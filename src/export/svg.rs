//! SVG in millimetres, for slides and print. Its viewer draws the edges, so it is not for examination.
//!
//! One millimetre of the scene is one unit of the file, whose `width` and `height` say so. Words are outlines with their text as
//! a label for screen readers, since no viewer is sure to have the font. Numbers have four decimals, a tenth of a micrometre.
//!
//! Why not for the exam screen: each viewer covers the pixels of an edge by a rule of its own, and those that were measured err
//! by up to 0.18 of a pixel, which at a stroke of 3 px is 6 % of its width.

use base64::prelude::{BASE64_STANDARD, Engine};
use kurbo::{BezPath, PathEl, Point, Rect};

use super::pixels;
use crate::scene::{Geometry, Image, Line, Paint, Scene, Text};

/// The file's text. The same input gives the same text.
///
/// ```
/// use evenfield::chart::{self, Request};
/// use evenfield::{acuity::Acuity, export::svg, room::Room};
///
/// let chart = chart::draw(&Request::new(Acuity::standard(3)), &Room::demo())?;
/// let svg = svg::encode(&chart.scene);
/// assert!(svg.contains("width=\"527mm\" height=\"296.5mm\" viewBox=\"0 0 527 296.5\""));
/// # Ok::<(), evenfield::chart::ChartError>(())
/// ```
#[must_use]
pub fn encode(scene: &Scene) -> String {
    let metadata = &scene.metadata;
    let [width, height] = scene.size.map(|side| number(side.to_mm()));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\">\n\
         <title>{}</title>\n<desc>{}</desc>\n<metadata id=\"{}\">{}</metadata>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n",
        escaped(&metadata.title),
        escaped(&metadata.description),
        crate::METADATA_KEY,
        escaped(&metadata.json),
        colour(scene.background),
    );
    for shape in &scene.shapes {
        let paint = colour(shape.paint);
        let element = match &shape.geometry {
            Geometry::Rect(rect) => format!("<rect {} fill=\"{paint}\"/>", rectangle(*rect)),
            Geometry::Path(path) => format!("<path d=\"{}\" fill=\"{paint}\"/>", path_data(path)),
            Geometry::Line(line) => stroked(line, &paint),
            Geometry::Text(text) => said(text, &paint),
            Geometry::Image(image) => laid(image),
        };
        svg.push_str(&element);
        svg.push('\n');
    }
    svg.push_str("</svg>\n");
    svg
}

fn rectangle(rect: Rect) -> String {
    let [x, y, width, height] = [rect.x0, rect.y0, rect.width(), rect.height()].map(number);
    format!("x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"")
}

fn stroked(line: &Line, paint: &str) -> String {
    let dashes = line.dashes.iter().map(|mm| number(*mm)).collect::<Vec<_>>().join(" ");
    let dashes = if dashes.is_empty() { dashes } else { format!(" stroke-dasharray=\"{dashes}\"") };
    let (path, width) = (path_data(&line.path), number(line.width));
    format!(
        "<path d=\"{path}\" fill=\"none\" stroke=\"{paint}\" stroke-width=\"{width}\" stroke-linejoin=\"round\"{dashes}/>"
    )
}

/// Words as outlines, since no viewer is sure to have the font; a screen reader gets them as words.
fn said(text: &Text, paint: &str) -> String {
    let (words, outline) = (escaped(text.words()).replace('"', "&quot;"), path_data(&text.outline()));
    format!("<path role=\"img\" aria-label=\"{words}\" d=\"{outline}\" fill=\"{paint}\"/>")
}

/// Pixels as a PNG within the text; each stays a rectangle of one colour.
fn laid(image: &Image) -> String {
    let (place, png) = (rectangle(image.place), BASE64_STANDARD.encode(pixels::png(&image.pixels)));
    format!(
        "<image {place} preserveAspectRatio=\"none\" style=\"image-rendering: pixelated\" href=\"data:image/png;base64,{png}\"/>"
    )
}

fn path_data(path: &BezPath) -> String {
    let place = |point: Point| format!("{} {}", number(point.x), number(point.y));
    let mut data = String::new();
    for element in path.elements() {
        data.push_str(&match *element {
            PathEl::MoveTo(to) => format!("M{}", place(to)),
            PathEl::LineTo(to) => format!("L{}", place(to)),
            PathEl::QuadTo(control, to) => format!("Q{} {}", place(control), place(to)),
            PathEl::CurveTo(first, second, to) => {
                format!("C{} {} {}", place(first), place(second), place(to))
            }
            PathEl::ClosePath => "Z".into(),
        });
    }
    data
}

/// Millimetres to a tenth of a micrometre, without idle zeros or a minus on nought.
fn number(mm: f64) -> String {
    let text = format!("{mm:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn colour(paint: Paint) -> String {
    let [red, green, blue] = paint.codes;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
