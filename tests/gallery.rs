//! The pictures that the README shows are charts that pass.

use std::path::Path;

use evenfield::check::{self, Expected, Verdict};

/// The charts among the pictures.
const CHARTS: [&str; 3] = ["red-green.png", "mirrored.png", "white-rings.png"];

#[test]
fn every_chart_of_the_gallery_passes_its_check() {
    let gallery = Path::new(env!("CARGO_MANIFEST_DIR")).join("output/gallery");
    for picture in CHARTS.map(|chart| gallery.join(chart)) {
        let report = check::png_file(&picture, &Expected::default()).unwrap();
        assert_eq!(
            report.count(Verdict::Fail) + report.count(Verdict::Warn),
            0,
            "{}: {report:#?}",
            picture.display()
        );
    }
}
