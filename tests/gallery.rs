//! The pictures that the README shows are charts that pass.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::path::Path;

use evenfield::check::{self, Expected, Verdict};

/// Pictures of other things.
const NO_CHARTS: [&str; 7] =
    ["report.png", "view.png", "curve-1_6mm.png", "curve-3mm.png", "curve-5mm.png", "page.png", "near.png"];

#[test]
fn every_picture_of_the_gallery_passes_its_check() {
    let gallery = Path::new(env!("CARGO_MANIFEST_DIR")).join("output/gallery");
    let pictures: Vec<_> = std::fs::read_dir(gallery)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| !NO_CHARTS.contains(&path.file_name().unwrap().to_str().unwrap()))
        .collect();
    assert!(pictures.len() >= 3, "the README shows three");
    for picture in pictures {
        let report = check::png_file(&picture, &Expected::default()).unwrap();
        assert_eq!(
            report.count(Verdict::Fail) + report.count(Verdict::Warn),
            0,
            "{}: {report:#?}",
            picture.display()
        );
    }
}
