//! Red-green (duochrome) charts.
pub mod acuity;
pub mod light;
pub mod optotype;
pub mod quantity;
pub mod room;
