use super::*;

/// A drawing of 100 × 50 mm, in millimetres.
fn sheet(body: &str) -> String {
    format!("<svg xmlns=\"{NAMESPACE}\" width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\">{body}</svg>")
}

/// Boxes and codes of all that it draws.
fn drawn(text: &str) -> Vec<([f64; 4], [u8; 3])> {
    let boxed = |(area, codes): &(BezPath, [u8; 3])| {
        let bounds = area.bounding_box();
        ([bounds.x0, bounds.y0, bounds.x1, bounds.y1], *codes)
    };
    drawing(text).unwrap().areas.iter().map(boxed).collect()
}

fn refused(text: &str) -> String {
    drawing(text).err().unwrap_or_else(|| panic!("taken: {}", short(text)))
}

fn near(ours: [f64; 4], by_hand: [f64; 4]) {
    const DUST_MM: f64 = 1e-9;
    assert!(
        ours.iter().zip(by_hand).all(|(one, other)| (one - other).abs() < DUST_MM),
        "{ours:?} {by_hand:?}"
    );
}

#[test]
fn rectangles_and_paths_stand_where_they_say_in_their_codes() {
    let all = drawn(&sheet(
        "<title>A</title><desc>B</desc><g id=\"a\"><rect x=\"10\" y=\"5\" width=\"20\" height=\"8\" fill=\"#ff0080\"/></g>\
         <path d=\"M1 2L4 2L4 9Z\" fill=\"rgb(100%, 20%,0%)\"/>\
         <rect width=\"3\" height=\"4\" style=\" fill : #010203; stroke:none;fill-rule:nonzero;fill-opacity:1;\"/>",
    ));
    assert_eq!(all.len(), 3);
    for ((place, codes), (by_hand, wanted)) in all.into_iter().zip([
        ([10.0, 5.0, 30.0, 13.0], [255, 0, 128]),
        ([1.0, 2.0, 4.0, 9.0], [255, 51, 0]),
        ([0.0, 0.0, 3.0, 4.0], [1, 2, 3]),
    ]) {
        near(place, by_hand);
        assert_eq!(codes, wanted);
    }
}

#[test]
fn places_are_in_the_unit_of_the_size() {
    // An inch is 72 points and 96 of CSS's pixels.
    for (side, half, view) in
        [("72pt", "36pt", "0 0 72 36"), ("96px", "48px", "0 0 96 48"), ("96", "48", "0,0 96 48")]
    {
        let whole: f64 = view.split_whitespace().nth_back(1).unwrap().parse().unwrap();
        let text = format!(
            "<svg xmlns=\"{NAMESPACE}\" version=\"1.1\" width=\"{side}\" height=\"{half}\" viewBox=\"{view}\">\
             <rect x=\"{}\" y=\"0\" width=\"{}\" height=\"{}\" fill=\"#000000\"/></svg>",
            whole / 2.0,
            whole / 2.0,
            whole / 4.0
        );
        near(drawn(&text)[0].0, [12.7, 0.0, 25.4, 6.35]);
        let size = drawing(&text).unwrap().size.map(Length::to_mm);
        near([size[0], size[1], 0.0, 0.0], [25.4, 12.7, 0.0, 0.0]);
    }
    let sized = |width: &str, height: &str, view: &str| {
        drawing(&format!(
            "<svg xmlns=\"{NAMESPACE}\" width=\"{width}\" height=\"{height}\" viewBox=\"{view}\"/>"
        ))
    };
    assert!(sized("100mm", "50mm", "0.0005 -0.0005 100.0005 49.9995").is_ok());
    for view in [
        "0.01 0 100 50",
        "0 0.01 100 50",
        "0 0 100.01 50",
        "0 0 99.99 50",
        "0 0 100 50.01",
        "0 0 100 49.99",
        "0 0 100",
        "-0.01 0 100 50",
    ] {
        assert!(sized("100mm", "50mm", view).err().unwrap().contains("is not its size"), "{view}");
    }
    assert!(sized("72pt", "36mm", "0 0 72 36").err().unwrap().contains("is not its size"));
    // A millimetre is 2.83 points.
    assert!(sized("3pt", "3pt", "0 0 3 3").is_ok());
    for width in ["2pt", "0.9mm", "200000mm", "100in", "mm", "1e999mm"] {
        assert!(sized(width, "3pt", "0 0 3 3").err().unwrap().contains("is no length"), "{width}");
    }
}

#[test]
fn what_viewers_draw_differently_is_refused_by_name() {
    let rect = |more: &str| sheet(&format!("<rect width=\"1\" height=\"1\" {more}/>"));
    let path = |data: &str| sheet(&format!("<path d=\"{data}\" fill=\"#000000\"/>"));
    let black = "fill=\"#000000\"";
    for (text, why) in [
        (sheet("<rect width=\"0\" height=\"1\" fill=\"#000000\"/>"), "0 × 1 is drawn by some"),
        (sheet("<rect width=\"1\" height=\"0\" fill=\"#000000\"/>"), "1 × 0 is drawn by some"),
        (sheet("<rect width=\"1\" height=\"-2\" fill=\"#000000\"/>"), "1 × -2 is drawn by some"),
        (sheet("<rect width=\"wide\" height=\"1\" fill=\"#000000\"/>"), "width=\"wide\" is no number"),
        (path("M0 0A1 1 0 0 0 2 2"), "has arcs"),
        (sheet("<circle fill=\"#000000\"/>"), "<circle> is drawn as its viewer likes"),
        (sheet("<defs/>"), "<defs>"),
        (rect(""), "no fill="),
        (rect("fill=\"#000000\" style=\"fill:#000000\""), "both fill= and style="),
        (rect("style=\"stroke:none\""), "no fill="),
        (rect("style=\"fill:#000000;fill:#ff0000\""), "names fill twice"),
        (rect("style=\"fill:#000000;opacity:0.5\""), "style=\"opacity:0.5\" is not measured"),
        (rect("style=\"fill:#000000;stroke\""), "is not measured"),
        (rect("fill=\"#00000\""), "is no colour"),
        (rect("fill=\"#00000g\""), "is no colour"),
        (rect("fill=\"0#000000\""), "is no colour"),
        (rect("fill=\"rgb(0%,0%)\""), "is no colour"),
        (rect("fill=\"rgb(0%,0%,101%)\""), "is no colour"),
        (rect("fill=\"rgb(-1%,0%,0%)\""), "is no colour"),
        (rect(&format!("{black} transform=\"scale(2)\"")), "<rect> has transform="),
        (rect(&format!("{black} xmlns:o=\"urn:o\" o:fill=\"#ffffff\"")), "<rect> has fill="),
        (sheet("<g transform=\"scale(2)\"/>"), "<g> has transform="),
        (sheet("<g fill=\"#000000\"/>"), "<g> has fill="),
        (sheet("<o:rect xmlns:o=\"urn:o\" width=\"1\" height=\"1\"/>"), "<rect> is no element of SVG"),
        (sheet("<o:title xmlns:o=\"urn:o\"/>"), "<title> is no element of SVG"),
        (
            sheet("<rect width=\"1\" height=\"1\" fill=\"#000000\"><title/></rect>"),
            "<rect> holds other elements",
        ),
        (sheet("<title><rect/></title>"), "<title> holds other elements"),
        (sheet("<?look here?>"), "instruction to its viewer"),
        ("<svg width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\"/>".to_owned(), "its root is <svg>"),
        (format!("<g xmlns=\"{NAMESPACE}\"/>"), "its root is <g>"),
        (sheet("").replace("<svg ", "<svg class=\"a\" "), "<svg> has class="),
        (format!("<!DOCTYPE svg>{}", sheet("")), "DTD"),
        (sheet("").replace("viewBox=\"0 0 100 50\"", ""), "no viewBox="),
    ] {
        let said = refused(&text);
        assert!(said.contains(why), "{}: {said}", short(&text));
    }
    // What is quoted is cut after forty letters.
    let long = refused(&rect(&format!("fill=\"{}\"", "a".repeat(90))));
    assert!(long.contains(&format!("\"{}\" is no colour", "a".repeat(40))), "{long}");
}

#[test]
fn what_a_reader_takes_long_for_is_refused_from_one_more_than_its_bound_on() {
    let path = |bytes: usize| {
        let data = "M0 0L1 0L1 1Z";
        sheet(&format!("<path d=\"{data}{}\" fill=\"#000000\"/>", " ".repeat(bytes - data.len())))
    };
    assert!(drawing(&path(MOST_PATH_BYTES)).is_ok());
    assert!(refused(&path(MOST_PATH_BYTES + 1)).contains("longer than any line"));
    assert_eq!(within_limits(&" ".repeat(MOST_BYTES)), Ok(()));
    assert_eq!(within_limits(&" ".repeat(MOST_BYTES + 1)), Err(TOO_LARGE.into()));
    let attributes = |count: usize| format!("<a><b {}/></a>", "x=\"\" ".repeat(count));
    assert_eq!(within_limits(&attributes(200)), Ok(()));
    assert!(within_limits(&attributes(201)).unwrap_err().contains("more than 200 attributes"));
    let namespaces = |count: usize| "<a xmlns=\"b\"/>".repeat(count);
    assert_eq!(within_limits(&namespaces(32)), Ok(()));
    assert!(within_limits(&namespaces(33)).unwrap_err().contains("more than 32 namespaces"));
    assert!(refused(&sheet(&"<g/>".repeat(20_001))).contains("more than 20000 elements"));
    assert!(drawing(&sheet(&"<g/>".repeat(19_000))).is_ok());
    // The whole is held to them.
    assert!(refused(&sheet(&attributes(201))).contains("more than 200 attributes"));
}

#[test]
fn a_file_says_once_under_its_own_name_what_it_shows() {
    let claim = |body: &str| drawing(&sheet(body)).unwrap().claim;
    assert!(claim("<metadata id=\"evenfield\">no claim</metadata>").unwrap().is_err());
    assert!(claim("<metadata id=\"other\">no claim</metadata><metadata>none</metadata>").is_none());
    assert!(claim("<metadata id=\"evenfield\"></metadata>").is_none());
    let twice = "<metadata id=\"evenfield\">no claim</metadata>".repeat(2);
    assert!(refused(&sheet(&twice)).contains("says twice"));
    // Others may stand beside it.
    assert!(claim("<metadata id=\"evenfield\">a</metadata><metadata id=\"b\">c</metadata>").is_some());
}
