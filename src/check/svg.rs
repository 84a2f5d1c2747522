//! Reading an SVG of filled paths.
//!
//! Only `rect` and `path` with a fill, in groups that change nothing, in a file whose units are its size: everything else could
//! move, cover or recolour what is measured, and viewers differ on it. Limits on elements, attributes, namespaces and lengths
//! bound what a hostile file can cost.

use kurbo::{Affine, BezPath, Rect, Shape};
use roxmltree::{Document, Node, ParsingOptions};

use super::drawing::{Drawing, SIDE_MM};
use super::inflate::{MOST_BYTES, TOO_LARGE};
use super::numeral::{SPACE, code, is_path, number, numbers};
use super::png::ReadError;
use crate::claim::Claim;
use crate::quantity::Length;

/// An element's own area, in millimetres.
fn area(node: Node<'_, '_>) -> Result<BezPath, String> {
    let side = |name: &str| {
        let text = node.attribute(name).unwrap_or("0");
        number(text).ok_or_else(|| format!("{name}=\"{}\" is no number", short(text)))
    };
    match node.tag_name().name() {
        "rect" => {
            let [x, y, width, height] = [side("x")?, side("y")?, side("width")?, side("height")?];
            if width <= 0.0 || height <= 0.0 {
                return Err(format!("a rectangle of {width} × {height} is drawn by some and not by others"));
            }
            Ok(Rect::new(x, y, x + width, y + height).to_path(0.0))
        }
        "path" => {
            let data = node.attribute("d").unwrap_or_default();
            if data.len() > MOST_PATH_BYTES {
                return Err("it has a path longer than any line of words".into());
            }
            if !is_path(data) {
                return Err(format!("the path {:?} is not written as SVG has it, or has arcs", short(data)));
            }
            BezPath::from_svg(data).map_err(|error| format!("a path is not understood ({error})"))
        }
        "defs" | "clipPath" => Err("it has clips or definitions (<defs>), which are not measured".into()),
        other => Err(format!("<{other}> is drawn as its viewer likes")),
    }
}

/// The codes of an area, which its fill= or its style= names.
fn codes(node: Node<'_, '_>) -> Result<[u8; 3], String> {
    match (node.attribute("fill"), node.attribute("style")) {
        (Some(fill), None) => colour(fill),
        (None, Some(style)) => styled(style),
        (Some(_), Some(_)) => Err("an area has both fill= and style=".into()),
        (None, None) => Err("an area has no fill=".into()),
    }
}

/// The codes that a style fills an area with, which may say besides only what holds anyway.
fn styled(style: &str) -> Result<[u8; 3], String> {
    let (mut seen, mut fill) = (Vec::new(), None);
    for part in style.split(';').map(|part| part.trim_matches(SPACE)).filter(|part| !part.is_empty()) {
        let other = || format!("style=\"{}\" is not measured", short(part));
        let (name, value) = part.split_once(':').ok_or_else(other)?;
        let [name, value] = [name, value].map(|text| text.trim_matches(SPACE));
        match (name, value) {
            _ if seen.contains(&name) => return Err(format!("a style names {} twice", short(name))),
            ("fill", value) => fill = Some(colour(value)?),
            ("stroke", "none") | ("fill-rule", "nonzero") | ("fill-opacity", "1") => {}
            _ => return Err(other()),
        }
        seen.push(name);
    }
    fill.ok_or_else(|| "an area has no fill=".into())
}

/// The codes of a colour written #rrggbb, or by shares in per cent.
fn colour(fill: &str) -> Result<[u8; 3], String> {
    let byte = |at: usize| fill.get(at..at + 2).and_then(|text| u8::from_str_radix(text, 16).ok());
    match (fill.len(), fill.starts_with('#'), byte(1), byte(3), byte(5)) {
        (7, true, Some(red), Some(green), Some(blue)) => Ok([red, green, blue]),
        _ => shares(fill)
            .ok_or_else(|| format!("\"{}\" is no colour written #rrggbb or rgb(r%, g%, b%)", short(fill))),
    }
}

/// The codes of a colour such as rgb(100%, 0%, 0%).
fn shares(fill: &str) -> Option<[u8; 3]> {
    let within = fill.strip_prefix("rgb(")?.strip_suffix(')')?;
    let share = |text: &str| number(text.trim_matches(SPACE).strip_suffix('%')?);
    let shares: Vec<f64> = within.split(',').map(share).collect::<Option<_>>()?;
    let shares = <[f64; 3]>::try_from(shares).ok()?;
    let is_share = |share: &f64| (0.0..=100.0).contains(share);
    shares.iter().all(is_share).then(|| shares.map(|share| code(share / 100.0)))
}

/// The beginning of a text that is quoted.
fn short(text: &str) -> String {
    const MOST: usize = 40;
    text.chars().take(MOST).collect()
}

/// What makes an XML document an SVG.
const NAMESPACE: &str = "http://www.w3.org/2000/svg";

/// Maximum number of elements, comments and texts between them; an honest near chart has about five hundred.
const MOST_NODES: u32 = 20_000;

/// Maximum number of namespaces, which are looked through for each attribute: one is SVG's own, and an editor adds few.
const MOST_NAMESPACES: usize = 32;

/// Maximum number of bytes of a path; a line of words has some fifty thousand.
const MOST_PATH_BYTES: usize = 1 << 20;

/// Maximum number of attributes of an element.
const MOST_ATTRIBUTES: usize = 200;

/// All that may stand on elements that are measured: anything else could move or change them.
const KNOWN: [&str; 11] =
    ["width", "height", "viewBox", "x", "y", "d", "fill", "role", "aria-label", "id", "xmlns"];

/// What may stand besides on the root, on areas and on groups of them; the version has no meaning.
const ON_ROOT: [&str; 1] = ["version"];
const ON_AREA: [&str; 1] = ["style"];
const ON_GROUP: [&str; 1] = ["id"];

/// Only SVG's own elements, with attributes of no namespace, which another reader would take for others.
fn known_alone(node: Node<'_, '_>, known: &[&[&str]]) -> Result<(), String> {
    if node.tag_name().namespace() != Some(NAMESPACE) {
        return Err(format!("<{}> is no element of SVG", node.tag_name().name()));
    }
    let is_known = |attribute: &roxmltree::Attribute<'_, '_>| {
        attribute.namespace().is_none() && known.iter().any(|known| known.contains(&attribute.name()))
    };
    match node.attributes().find(|attribute| !is_known(attribute)) {
        Some(other) => {
            Err(format!("<{}> has {}=, which is not measured", node.tag_name().name(), other.name()))
        }
        None => Ok(()),
    }
}

pub(super) fn decode(text: &str, name: &str) -> Result<Drawing, ReadError> {
    drawing(text).map_err(|problem| ReadError::NotADrawing { path: name.into(), problem })
}

fn drawing(text: &str) -> Result<Drawing, String> {
    within_limits(text)?;
    let document = parsed(text)?;
    let root = document.root_element();
    if document.root().descendants().any(|node| node.is_pi()) {
        return Err("it has an instruction to its viewer (<?…?>)".into());
    }
    if root.tag_name().name() != "svg" || root.tag_name().namespace() != Some(NAMESPACE) {
        return Err(format!("its root is <{}> and not that of SVG", root.tag_name().name()));
    }
    known_alone(root, &[&KNOWN, &ON_ROOT])?;
    let (size, unit) = size(root)?;
    let mut drawing = Drawing { size, areas: Vec::new(), words: Vec::new(), claim: None };
    for node in root.descendants().skip(1).filter(Node::is_element) {
        take(node, unit, &mut drawing)?;
    }
    Ok(drawing)
}

/// Refuses what would take its reader too long.
fn within_limits(text: &str) -> Result<(), String> {
    if text.len() > MOST_BYTES {
        return Err(TOO_LARGE.into());
    }
    // Each attribute is held against those before it.
    let attributes = |tag: &str| tag.split('>').next().unwrap_or_default().matches('=').count();
    if text.split('<').any(|tag| attributes(tag) > MOST_ATTRIBUTES) {
        return Err(format!("it has an element with more than {MOST_ATTRIBUTES} attributes"));
    }
    if text.matches("xmlns").count() > MOST_NAMESPACES {
        return Err(format!("it names more than {MOST_NAMESPACES} namespaces"));
    }
    Ok(())
}

fn parsed(text: &str) -> Result<Document<'_>, String> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    Document::parse_with_options(text, options).map_err(|error| {
        if matches!(error, roxmltree::Error::NodesLimitReached) {
            format!("it has more than {MOST_NODES} elements and words")
        } else {
            error.to_string()
        }
    })
}

/// Takes what an element adds to a drawing whose places are in a unit.
fn take(node: Node<'_, '_>, unit: Length, drawing: &mut Drawing) -> Result<(), String> {
    let name = node.tag_name().name();
    if !["g", "defs"].contains(&name) && node.children().any(|child| child.is_element()) {
        return Err(format!("<{name}> holds other elements"));
    }
    if node.tag_name().namespace() != Some(NAMESPACE) {
        return Err(format!("<{name}> is no element of SVG"));
    }
    match name {
        "g" => known_alone(node, &[&ON_GROUP])?,
        "title" | "desc" => {}
        "metadata" if node.attribute("id") == Some(crate::METADATA_KEY) => {
            if drawing.claim.is_some() {
                return Err("it says twice what it shows".into());
            }
            drawing.claim = node.text().filter(|text| !text.is_empty()).map(Claim::parse);
        }
        "metadata" => {}
        _ => {
            known_alone(node, &[&KNOWN, &ON_AREA])?;
            let area = Affine::scale(unit.to_mm()) * area(node)?;
            drawing.areas.push((area, codes(node)?));
        }
    }
    Ok(())
}

/// A length, and one of its unit: of those that CSS fixes, millimetres, points and pixels of 96 to the inch.
fn length(text: &str) -> Option<(f64, Length)> {
    let units = [
        ("mm", Length::mm(1.0)),
        ("pt", Length::points(1.0)),
        ("px", Length::inches(1.0 / 96.0)),
        ("", Length::inches(1.0 / 96.0)),
    ];
    units.into_iter().find_map(|(name, unit)| Some((number(text.strip_suffix(name)?)?, unit)))
}

/// Width and height, and the unit that they and all places are in.
fn size(root: Node<'_, '_>) -> Result<([Length; 2], Length), String> {
    let side = |name: &str| {
        let text = root.attribute(name).ok_or_else(|| format!("it has no {name}="))?;
        length(text).filter(|(length, unit)| SIDE_MM.contains(&(length * unit.to_mm()))).ok_or_else(|| {
            format!("{name}=\"{}\" is no length from 1 mm to 100 m, in mm, pt or px", short(text))
        })
    };
    let [(width, unit), (height, other)] = [side("width")?, side("height")?];
    let view = root.attribute("viewBox").ok_or("it has no viewBox=")?;
    let numbers = numbers(view).unwrap_or_default();
    let same = |one: f64, other: f64| (one - other).abs() < 1e-3;
    match numbers.as_slice() {
        [x, y, w, h]
            if unit == other && same(*x, 0.0) && same(*y, 0.0) && same(*w, width) && same(*h, height) =>
        {
            Ok(([width, height].map(|side| unit * side), unit))
        }
        _ => Err(format!("viewBox=\"{}\" is not its size, so its units are others", short(view))),
    }
}

#[cfg(test)]
mod tests;
