//! Files from a scene or its pixels. The formats are siblings and do not know each other.

pub mod font;
pub mod pdf;
mod pixels;
pub mod png;
pub mod svg;
