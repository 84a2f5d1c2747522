//! Boxes of whole pixels.

/// A box of whole pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Patch {
    pub(super) left: u32,
    pub(super) top: u32,
    pub(super) right: u32,
    pub(super) bottom: u32,
}

impl Patch {
    pub(super) const fn width(self) -> u32 {
        self.right - self.left
    }

    pub(super) const fn height(self) -> u32 {
        self.bottom - self.top
    }

    pub(super) fn with(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    pub(super) const fn contains(self, x: u32, y: u32) -> bool {
        self.left <= x && x < self.right && self.top <= y && y < self.bottom
    }

    /// Whether all of another lies within it.
    pub(super) const fn covers(self, other: Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    pub(super) const fn grown(self, by: u32) -> Self {
        Self {
            left: self.left.saturating_sub(by),
            top: self.top.saturating_sub(by),
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// Its pixels.
    pub(super) fn places(self) -> impl Iterator<Item = (u32, u32)> {
        (self.top..self.bottom).flat_map(move |y| (self.left..self.right).map(move |x| (x, y)))
    }
}

/// A number of pixels as a length.
pub(super) fn pixels(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_patch_covers_what_lies_within_all_its_sides() {
        let patch = |left, top, right, bottom| Patch { left, top, right, bottom };
        let whole = patch(5, 6, 9, 12);
        assert!(whole.covers(whole) && whole.covers(patch(6, 7, 8, 11)));
        for other in [patch(4, 7, 8, 11), patch(6, 5, 8, 11), patch(6, 7, 10, 11), patch(6, 7, 8, 13)] {
            assert!(!whole.covers(other), "{other:?}");
        }
        // It grows to all sides, but not beyond the picture's corner.
        assert_eq!(whole.grown(2), patch(3, 4, 11, 14));
        assert_eq!(whole.grown(7), patch(0, 0, 16, 19));
    }
}
