//! SVG in millimetres, for slides and print. Its viewer draws the edges, so it is not for examination.
//!
//! One millimetre of the scene is one unit of the file, whose `width` and `height` say so. Numbers have four decimals, a tenth of
//! a micrometre. Words are outlines with their text as a label for screen readers, since no viewer is sure to have the font; in
//! a page that is [to be edited](editable) they are words, and each line keeps its measured width in whatever font there is.
//!
//! Why not for the exam screen: each viewer covers the pixels of an edge by a rule of its own, and those that were measured err
//! by up to 0.18 of a pixel, which at a stroke of 3 px is 6 % of its width.

mod part;

use base64::prelude::{BASE64_STANDARD, Engine};
use kurbo::{BezPath, PathEl, Point, Rect};

use self::part::{Kind, Part, is_upright, paragraph, parts, text};
use super::pixels;
use crate::scene::{Face, Geometry, Image, Line, Paint, Scene, Shape, Text};

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
    let mut svg = head(scene, " role=\"img\"");
    for shape in &scene.shapes {
        svg.push_str(&drawn(shape, ""));
        svg.push('\n');
    }
    svg.push_str("</svg>\n");
    svg
}

/// The family of all words that can be edited: the one they were measured in, or any that looks like it.
const FAMILY: &str = "font-family=\"DejaVu Sans, sans-serif\"";

/// The text of a file to go on with in a drawing program: words are words, and what belongs together is a group, named after
/// what it is and numbered, such as `figure-2`.
///
/// For slides and other pages that nothing is measured on: another font draws other letters.
#[must_use]
pub fn editable(scene: &Scene) -> String {
    format!("{}{}</svg>\n", head(scene, &format!(" {FAMILY}")), grouped(scene, ""))
}

/// The same within a page of HTML, where `page` begins the names of groups and words can be read and searched. Whoever shows it
/// says its title.
#[must_use]
pub fn inlaid(scene: &Scene, page: &str) -> String {
    let [width, height] = scene.size.map(|side| number(side.to_mm()));
    format!(
        "<svg viewBox=\"0 0 {width} {height}\" role=\"none\" {FAMILY}>\n{}{}</svg>\n",
        ground(scene),
        grouped(scene, &format!("{page}-")),
    )
}

/// The start of a file with what it says of itself, and its ground.
fn head(scene: &Scene, attributes: &str) -> String {
    let metadata = &scene.metadata;
    let [width, height] = scene.size.map(|side| number(side.to_mm()));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\"{attributes}>\n\
         <title>{}</title>\n<desc>{}</desc>\n<metadata id=\"{}\">{}</metadata>\n{}",
        escaped(&metadata.title),
        escaped(&metadata.description),
        crate::METADATA_KEY,
        escaped(&metadata.json),
        ground(scene),
    )
}

fn ground(scene: &Scene) -> String {
    let [width, height] = scene.size.map(|side| number(side.to_mm()));
    format!("<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n", colour(scene.background))
}

/// What belongs together, each as a group whose name begins with `page`.
fn grouped(scene: &Scene, page: &str) -> String {
    let mut counts = [0; Kind::ALL.len()];
    let mut groups = String::new();
    for part in parts(scene) {
        let count = &mut counts[part.kind as usize];
        *count += 1;
        groups.push_str(&format!("<g id=\"{page}{}-{count}\">\n{}</g>\n", part.kind.name(), inside(&part)));
    }
    groups
}

/// What a group holds: paragraphs as words, and the rest as it is drawn. A picture is called by its labels.
fn inside(part: &Part<'_>) -> String {
    let labels: Vec<&str> = part.shapes.iter().filter_map(|shape| text(shape)).map(Text::words).collect();
    let called = quoted(format!("picture {}", labels.join(", ")).trim_end());
    let named = format!(" role=\"img\" aria-label=\"{called}\"");
    let (mut rest, mut elements) = (part.shapes.as_slice(), String::new());
    while let [shape, ..] = rest {
        let lines = paragraph(rest);
        elements.push_str(&match text(shape) {
            Some(_) => written(&rest[..lines]),
            None => drawn(shape, &named),
        });
        elements.push('\n');
        rest = &rest[lines..];
    }
    elements
}

/// A paragraph as words, each line as wide as it was measured.
fn written(lines: &[&Shape]) -> String {
    let Some((shape, first)) = lines.first().and_then(|shape| Some((shape, text(shape)?))) else {
        return String::new();
    };
    let weight = if first.face() == Face::Bold { " font-weight=\"bold\"" } else { "" };
    let (size, paint) = (number(first.em().to_mm()), colour(shape.paint));
    let is_upright = is_upright(first);
    let turned = first.place().as_coeffs().map(number).join(" ");
    let turned = if is_upright { String::new() } else { format!(" transform=\"matrix({turned})\"") };
    let lines = lines.iter().filter_map(|shape| text(shape)).map(|text| line(text, is_upright));
    let lines = lines.collect::<Vec<_>>().join("\n");
    format!("<text font-size=\"{size}\"{weight} fill=\"{paint}\"{turned}>{lines}</text>")
}

/// One line of a paragraph at its own place, or at the origin of one that is turned.
fn line(text: &Text, is_upright: bool) -> String {
    let [.., x, y] = text.place().as_coeffs();
    let [x, y] = if is_upright { [x, y] } else { [0.0; 2] }.map(number);
    let (width, words) = (number(text.width().to_mm()), escaped(text.words()));
    format!(
        "<tspan x=\"{x}\" y=\"{y}\" textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\">{words}</tspan>"
    )
}

/// A shape alone, words as outlines; `of_picture` stands on pixels.
fn drawn(shape: &Shape, of_picture: &str) -> String {
    let paint = colour(shape.paint);
    match &shape.geometry {
        Geometry::Rect(rect) => format!("<rect {} fill=\"{paint}\"/>", rectangle(*rect)),
        Geometry::Path(path) => format!("<path d=\"{}\" fill=\"{paint}\"/>", path_data(path)),
        Geometry::Line(line) => stroked(line, &paint),
        Geometry::Text(text) => said(text, &paint),
        Geometry::Image(image) => laid(image, of_picture),
    }
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
    let (words, outline) = (quoted(text.words()), path_data(&text.outline()));
    format!("<path role=\"img\" aria-label=\"{words}\" d=\"{outline}\" fill=\"{paint}\"/>")
}

/// Pixels as a PNG within the text; each stays a rectangle of one colour.
fn laid(image: &Image, attributes: &str) -> String {
    let (place, png) = (rectangle(image.place), BASE64_STANDARD.encode(pixels::png(&image.pixels)));
    format!(
        "<image{attributes} {place} preserveAspectRatio=\"none\" image-rendering=\"pixelated\" href=\"data:image/png;base64,{png}\"/>"
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

/// The same within quotation marks.
fn quoted(text: &str) -> String {
    escaped(text).replace('"', "&quot;")
}
