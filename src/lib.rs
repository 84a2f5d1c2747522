//! Red-green (duochrome) charts.
pub mod acuity;
pub mod bibliography;
pub mod chart;
pub mod check;
pub mod cli;
pub mod export;
pub mod light;
pub mod optotype;
pub mod quantity;
pub mod raster;
pub mod room;
pub mod scene;
pub mod store;

/// The key under which a chart's file keeps its request and room as JSON.
pub const METADATA_KEY: &str = "evenfield";
