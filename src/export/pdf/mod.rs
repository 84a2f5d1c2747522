//! PDF with scenes as pages of true size: paths, and words that can be searched and copied.
//!
//! Measured in millimetres from the upper left corner, like the scene: the page's first instruction turns that into PDF's points
//! from the lower left one. Words are set in a subset of the caption font and can be searched; letters of a chart are never
//! words but paths, so that no viewer's font can take their place. A picture that stands on several pages is kept once.
//!
//! A viewer may still scale what it prints. The near chart therefore carries a bar and a card's outline to hold a rule to.

mod attachment;
mod font;
mod picture;

use kurbo::{Affine, BezPath, PathEl, Point};
use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

pub use attachment::Attachment;
use font::Subset;
use picture::Pictures;

use crate::quantity::Length;
use crate::scene::{Face, Geometry, Line, Paint, Scene, Text};

/// How hard streams are packed, of 0 to 10.
const COMPRESSION: u8 = 6;

/// The language that all words are in.
const LANGUAGE: &str = "en-GB";

/// Why no file could be written.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The font's subset could not be made, which no text of the crate's fonts makes happen.
    #[error("the caption font cannot be embedded: write an SVG or a PNG")]
    Font,
}

/// The file's bytes: one page a scene, titled as the first. The same scenes give the same bytes.
///
/// The file asks its viewer to print without scaling, since a page that is shrunk to fit shows wrong sizes.
///
/// ```
/// use evenfield::chart::{self, Request};
/// use evenfield::{acuity::Acuity, export::pdf, room::Room};
///
/// let chart = chart::draw(&Request::new(Acuity::standard(3)), &Room::demo())?;
/// let file = pdf::encode(&[chart.scene.clone(), chart.scene])?;
/// assert!(file.starts_with(b"%PDF-"));
/// // Whoever prints it is asked not to scale it.
/// assert!(String::from_utf8_lossy(&file).contains("/PrintScaling /None"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// Only where the font cannot be embedded, which a test rules out for what crates carry.
pub fn encode(pages: &[Scene]) -> Result<Vec<u8>, PdfError> {
    encode_with(pages, &[])
}

/// The same with files that belong to it, as PDF 1.7 embeds them and [PDF/A-3](crate::bibliography::ISO_19005_3) has them associated; the whole file makes no
/// claim to be PDF/A.
///
/// # Errors
/// As [`encode`].
pub fn encode_with(pages: &[Scene], attachments: &[Attachment]) -> Result<Vec<u8>, PdfError> {
    let mut last = 0;
    let mut next = || {
        last += 1;
        Ref::new(last)
    };
    let mut pdf = Pdf::new();
    let [catalog, tree, info] = [next(), next(), next()];
    let mut fonts = [Face::Regular, Face::Bold].map(|face| (face, Subset::new(face), next()));
    let mut pictures = Pictures::default();
    let contents: Vec<Content> = pages.iter().map(|page| content(page, &mut fonts, &mut pictures)).collect();
    let numbers: Vec<[Ref; 2]> = pages.iter().map(|_| [next(), next()]).collect();
    let shown = pictures.write(&mut pdf, &mut next);
    let attached: Vec<(&Attachment, [Ref; 2])> =
        attachments.iter().map(|attachment| (attachment, [next(), next()])).collect();
    let described: Vec<(&Attachment, Ref)> =
        attached.iter().map(|(attachment, [described, _])| (*attachment, *described)).collect();
    write_catalog(&mut pdf, catalog, tree, &described);
    for (attachment, numbers) in &attached {
        attachment.write(&mut pdf, *numbers);
    }
    pdf.pages(tree)
        .kids(numbers.iter().map(|[page, _]| *page))
        .count(i32::try_from(pages.len()).unwrap_or(i32::MAX));
    if let Some(first) = pages.first() {
        write_info(&mut pdf, info, first);
    }
    for ((page, drawn), [number, stream]) in pages.iter().zip(contents).zip(&numbers) {
        write_page(&mut pdf, page, [*number, tree, *stream], &fonts, &pictures.on(page, &shown));
        let packed = compress_to_vec_zlib(&drawn.finish(), COMPRESSION);
        pdf.stream(*stream, &packed).filter(Filter::FlateDecode);
    }
    for (_, subset, number) in &fonts {
        if !subset.is_empty() {
            subset.write(&mut pdf, *number, &mut next)?;
        }
    }
    Ok(pdf.finish())
}

type Fonts = [(Face, Subset, Ref); 2];

fn write_catalog(pdf: &mut Pdf, catalog: Ref, tree: Ref, attached: &[(&Attachment, Ref)]) {
    let mut catalog = pdf.catalog(catalog);
    catalog.pages(tree).lang(TextStr(LANGUAGE));
    let mut preferences = catalog.viewer_preferences();
    preferences.display_doc_title(true);
    preferences.pair(Name(b"PrintScaling"), Name(b"None"));
    preferences.finish();
    Attachment::name_all(attached, &mut catalog);
}

fn write_info(pdf: &mut Pdf, info: Ref, first: &Scene) {
    let metadata = &first.metadata;
    let mut info = pdf.document_info(info);
    info.title(TextStr(&metadata.title))
        .subject(TextStr(&metadata.description))
        .creator(TextStr("evenfield"));
    if !metadata.json.is_empty() {
        info.pair(Name(crate::METADATA_KEY.as_bytes()), TextStr(&metadata.json));
    }
}

fn write_page(
    pdf: &mut Pdf,
    scene: &Scene,
    [number, tree, stream]: [Ref; 3],
    fonts: &Fonts,
    shown: &[(usize, Ref)],
) {
    let [width, height] = scene.size.map(|side| single(side.to_points()));
    let sheet = Rect::new(0.0, 0.0, width, height);
    let mut page = pdf.page(number);
    page.parent(tree).media_box(sheet).crop_box(sheet).trim_box(sheet).contents(stream);
    let mut resources = page.resources();
    let mut used = resources.fonts();
    for (face, _, font) in fonts.iter().filter(|(_, subset, _)| !subset.is_empty()) {
        used.pair(Subset::name(*face), *font);
    }
    used.finish();
    picture::name_all(shown, &mut resources);
}

/// What a page paints, in millimetres from its upper left corner.
fn content(scene: &Scene, fonts: &mut Fonts, pictures: &mut Pictures) -> Content {
    let mut content = Content::new();
    let scale = single(Length::mm(1.0).to_points());
    content.transform([scale, 0.0, 0.0, -scale, 0.0, single(scene.size[1].to_points())]);
    fill(&mut content, scene.background);
    let [width, height] = scene.size.map(|side| single(side.to_mm()));
    content.rect(0.0, 0.0, width, height).fill_nonzero();
    for shape in &scene.shapes {
        fill(&mut content, shape.paint);
        match &shape.geometry {
            Geometry::Rect(rect) => {
                let [x, y, width, height] = [rect.x0, rect.y0, rect.width(), rect.height()].map(single);
                content.rect(x, y, width, height).fill_nonzero();
            }
            Geometry::Path(area) => {
                path(&mut content, area);
                content.fill_nonzero();
            }
            Geometry::Line(line) => stroke(&mut content, line, shape.paint),
            Geometry::Text(text) => write(&mut content, text, fonts),
            Geometry::Image(image) => pictures.show(&mut content, image),
        }
    }
    content
}

fn stroke(content: &mut Content, line: &Line, paint: Paint) {
    let [red, green, blue] = shares(paint);
    content.set_stroke_rgb(red, green, blue).set_line_width(single(line.width));
    content.set_line_join(pdf_writer::types::LineJoinStyle::RoundJoin);
    content.set_dash_pattern(line.dashes.iter().map(|mm| single(*mm)), 0.0);
    path(content, &line.path);
    content.stroke();
}

fn write(content: &mut Content, text: &Text, fonts: &mut Fonts) {
    let Some((face, subset, _)) = fonts.iter_mut().find(|(face, ..)| *face == text.face()) else { return };
    // Letters stand upward in a page whose places count downward.
    let matrix = (text.place() * Affine::scale_non_uniform(1.0, -1.0)).as_coeffs().map(single);
    content.begin_text().set_font(Subset::name(*face), single(text.em().to_mm())).set_text_matrix(matrix);
    content.show(Str(&subset.encode(text))).end_text();
}

fn path(content: &mut Content, path: &BezPath) {
    let mut pen = Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => {
                content.move_to(single(to.x), single(to.y));
            }
            PathEl::LineTo(to) => {
                content.line_to(single(to.x), single(to.y));
            }
            PathEl::QuadTo(control, to) => {
                cubic(content, [pen.lerp(control, 2.0 / 3.0), to.lerp(control, 2.0 / 3.0), to]);
            }
            PathEl::CurveTo(first, second, to) => cubic(content, [first, second, to]),
            PathEl::ClosePath => {
                content.close_path();
            }
        }
        pen = element.end_point().unwrap_or(pen);
    }
}

fn cubic(content: &mut Content, [first, second, to]: [Point; 3]) {
    let [a, b, c, d, e, f] = [first.x, first.y, second.x, second.y, to.x, to.y].map(single);
    content.cubic_to(a, b, c, d, e, f);
}

fn fill(content: &mut Content, paint: Paint) {
    let [red, green, blue] = shares(paint);
    content.set_fill_rgb(red, green, blue);
}

fn shares(paint: Paint) -> [f32; 3] {
    paint.codes.map(|code| f32::from(code) / 255.0)
}

/// PDF's numbers are of single precision: on a page of 300 mm within a hundredth of a micrometre.
#[allow(clippy::cast_possible_truncation, reason = "single precision is what the format has")]
const fn single(number: f64) -> f32 {
    number as f32
}
