use kurbo::{Affine, BezPath, Rect};

/// Device codes of red, green and blue, as they go to the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Paint {
    /// Red, green, blue.
    pub codes: [u8; 3],
}

/// One painted area.
#[derive(Debug, Clone)]
pub struct Shape {
    /// Where it lies.
    pub geometry: Geometry,
    /// What paints it.
    pub paint: Paint,
}

/// Where a shape lies, in millimetres.
#[derive(Debug, Clone)]
pub enum Geometry {
    /// A rectangle along the picture's sides.
    Rect(Rect),
    /// Closed contours that do not cross; holes run against their surroundings.
    Path(BezPath),
}

impl Shape {
    /// The shape after a change of place; a rectangle stays along the sides, so it takes only moves and mirrors.
    pub(super) fn moved(self, by: Affine) -> Self {
        let geometry = match self.geometry {
            Geometry::Rect(rect) => Geometry::Rect(by.transform_rect_bbox(rect)),
            Geometry::Path(path) => Geometry::Path(by * path),
        };
        Self { geometry, ..self }
    }
}
