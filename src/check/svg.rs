//! Reading an SVG of filled paths.

use kurbo::{BezPath, Rect, Shape};
use roxmltree::{Document, Node, ParsingOptions};

use super::drawing::{Drawing, SIDE_MM};
use super::numeral::{is_path, number, numbers};
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
            if !is_path(data) {
                return Err(format!("the path {:?} is not written as SVG has it, or has arcs", short(data)));
            }
            BezPath::from_svg(data).map_err(|error| format!("a path is not understood ({error})"))
        }
        other => Err(format!("<{other}> is drawn as its viewer likes")),
    }
}

/// The codes of a colour written #rrggbb.
fn codes(node: Node<'_, '_>) -> Result<[u8; 3], String> {
    let fill = node.attribute("fill").ok_or("an area has no fill=")?;
    let byte = |at: usize| fill.get(at..at + 2).and_then(|text| u8::from_str_radix(text, 16).ok());
    match (fill.len(), fill.starts_with('#'), byte(1), byte(3), byte(5)) {
        (7, true, Some(red), Some(green), Some(blue)) => Ok([red, green, blue]),
        _ => Err(format!("fill=\"{}\" is no colour written #rrggbb", short(fill))),
    }
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

/// All that may stand on elements that are measured: anything else could move or change them.
const KNOWN: [&str; 11] =
    ["width", "height", "viewBox", "x", "y", "d", "fill", "role", "aria-label", "id", "xmlns"];

/// Only SVG's own elements, with attributes of no namespace, which another reader would take for others.
fn known_alone(node: Node<'_, '_>) -> Result<(), String> {
    if node.tag_name().namespace() != Some(NAMESPACE) {
        return Err(format!("<{}> is no element of SVG", node.tag_name().name()));
    }
    let is_known = |attribute: &roxmltree::Attribute<'_, '_>| {
        attribute.namespace().is_none() && KNOWN.contains(&attribute.name())
    };
    match node.attributes().find(|attribute| !is_known(attribute)) {
        Some(other) => {
            Err(format!("<{}> has {}=, which is not measured", node.tag_name().name(), other.name()))
        }
        None => Ok(()),
    }
}

pub(super) fn decode(text: &str, name: &str) -> Result<Drawing, ReadError> {
    let refused = |problem: String| ReadError::NotADrawing { path: name.into(), problem };
    if text.matches("xmlns").count() > MOST_NAMESPACES {
        return Err(refused(format!("it names more than {MOST_NAMESPACES} namespaces")));
    }
    let options = ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| {
        refused(if matches!(error, roxmltree::Error::NodesLimitReached) {
            format!("it has more than {MOST_NODES} elements and words")
        } else {
            error.to_string()
        })
    })?;
    let root = document.root_element();
    if document.root().descendants().any(|node| node.is_pi()) {
        return Err(refused("it has an instruction to its viewer (<?…?>)".into()));
    }
    if root.tag_name().name() != "svg" || root.tag_name().namespace() != Some(NAMESPACE) {
        return Err(refused(format!("its root is <{}> and not that of SVG", root.tag_name().name())));
    }
    known_alone(root).map_err(refused)?;
    let size = size(root).map_err(refused)?;
    let mut areas = Vec::new();
    let mut claim = None;
    for node in root.children().filter(Node::is_element) {
        if node.children().any(|child| child.is_element()) {
            return Err(refused(format!("<{}> holds other elements", node.tag_name().name())));
        }
        if node.tag_name().namespace() != Some(NAMESPACE) {
            return Err(refused(format!("<{}> is no element of SVG", node.tag_name().name())));
        }
        match node.tag_name().name() {
            "title" | "desc" => {}
            "metadata" if node.attribute("id") == Some(crate::METADATA_KEY) => {
                if claim.is_some() {
                    return Err(refused("it says twice what it shows".into()));
                }
                claim = node.text().filter(|text| !text.is_empty()).map(Claim::parse);
            }
            "metadata" => {}
            _ => {
                known_alone(node).map_err(refused)?;
                areas.push((area(node).map_err(refused)?, codes(node).map_err(refused)?));
            }
        }
    }
    Ok(Drawing { size, areas, words: Vec::new(), claim })
}

/// Width and height in millimetres, which its own units must be as well.
fn size(root: Node<'_, '_>) -> Result<[Length; 2], String> {
    let mm = |name: &str| {
        let text = root.attribute(name).ok_or_else(|| format!("it has no {name}="))?;
        let length = text.strip_suffix("mm").and_then(number);
        length
            .filter(|length| SIDE_MM.contains(length))
            .ok_or_else(|| format!("{name}=\"{}\" is no length from 1 mm to 100 m, in mm", short(text)))
    };
    let [width, height] = [mm("width")?, mm("height")?];
    let view = root.attribute("viewBox").ok_or("it has no viewBox=")?;
    let numbers = numbers(view).unwrap_or_default();
    let same = |one: f64, other: f64| (one - other).abs() < 1e-3;
    match numbers.as_slice() {
        [x, y, w, h] if same(*x, 0.0) && same(*y, 0.0) && same(*w, width) && same(*h, height) => {
            Ok([width, height].map(Length::mm))
        }
        _ => Err(format!("viewBox=\"{}\" is not its size in mm, so its units are others", short(view))),
    }
}
