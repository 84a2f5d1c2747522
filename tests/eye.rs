//! What the eye makes of a chart, asked from the command line.

use crate::common::{Desk, Png};
use evenfield::balance::words;

#[test]
fn a_curve_needs_no_file_and_says_where_the_sides_balance() {
    let desk = Desk::new();
    let run = desk.run("curve --pupil 3mm");
    assert_eq!(run.code, 0, "{}", run.err);
    for said in [
        "the sides balance at",
        "White is clearest at",
        "never to be added to a prescription",
        "no accommodation",
        words::SUPERVISION,
    ] {
        assert!(run.said().contains(said), "{said}: {}", run.out);
    }
    // A count of steps is the smallest one drawn out, which no eye was asked about.
    for clicks in ["--pupil 1.6mm", "--pupil 3mm", "--pupil 5mm"] {
        let run = desk.run(&format!("curve {clicks}"));
        assert!(!run.out.contains("steps that can"), "{}", run.out);
    }
    // Common practice, no source: red calls for minus; so too much plus makes red clearer.
    let row = |lens_error: &str| {
        run.out.lines().find(|line| line.trim().starts_with(lens_error)).unwrap().to_owned()
    };
    assert!(row("+0.50").ends_with("red") && row("−0.50").ends_with("green"), "{}", run.out);
    assert!(row("+1.50").ends_with("neither can be read"));
    assert!(desk.files().is_empty());
}

#[test]
fn a_small_aperture_makes_a_click_hardly_show() {
    let desk = Desk::new();
    let narrow = desk.run("curve --aperture 1.4mm").out;
    assert!(
        narrow.contains("1.6 mm, as the cornea shows an aperture of 1.4 mm")
            && narrow.contains("bracket in 0.50 D steps"),
        "{narrow}"
    );
    let wide = desk.run("curve --pupil 5mm").out;
    assert!(!wide.contains("bracket"), "{wide}");
    // Diffraction takes more from red, and eyes do not balance by what it leaves.
    let said = desk.run("curve --aperture 1.4mm --cross-checks").said();
    let (before, _) = said.split_once(": diffraction takes more from red").unwrap();
    let at = before.rsplit(" at ").next().unwrap();
    assert!(at.starts_with("+0.0") || at.starts_with("+0.1"), "{said}");
}

#[test]
fn a_table_of_the_curve_has_its_columns() {
    let desk = Desk::new();
    assert_eq!(desk.run("curve --out curve.csv").code, 0);
    let text = std::fs::read_to_string(desk.path("curve.csv")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "lens_error_d,red,green,white,red_modulation,green_modulation,white_modulation");
    // From −1.5 to +1.5 D by quarters.
    assert_eq!(lines.len(), 14);
    for (line, lens_error) in lines[1..].iter().zip((-6..=6).map(|quarter| f64::from(quarter) / 4.0)) {
        let numbers: Vec<f64> = line.split(',').map(|number| number.parse().unwrap()).collect();
        assert!((numbers[0] - lens_error).abs() < 1e-9 && numbers.len() == 7, "{line}");
        assert!(numbers[1..].iter().all(|number| (0.0..=1.0).contains(number)), "{line}");
    }
    assert_eq!(desk.run("curve --from -0.5 --to 0.5 --step 0.1 --out fine.csv").code, 0);
    assert_eq!(std::fs::read_to_string(desk.path("fine.csv")).unwrap().lines().count(), 12);
    for ending in ["svg", "png", "pdf"] {
        assert_eq!(desk.run(&format!("curve --pupil 3mm --out curve.{ending}")).code, 0);
    }
}

#[test]
fn what_is_assumed_widens_the_balance() {
    let desk = Desk::new();
    desk.write(
        "room.toml",
        "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n",
    );
    let printed: serde_json::Value =
        serde_json::from_str(&desk.run("curve --room room.toml --pupil 3mm --json").out).unwrap();
    assert_eq!(printed["spectra"], "assumed");
    let range: Vec<f64> =
        printed["balance_range_d"].as_array().unwrap().iter().map(|end| end.as_f64().unwrap()).collect();
    let balance = printed["prediction"]["balance_d"].as_f64().unwrap();
    // Three kinds of screen, two formulas: some hundredths of a dioptre.
    assert!(range[0] <= balance && balance <= range[1] && range[1] - range[0] > 0.02, "{range:?} {balance}");
    assert_eq!(printed["curve"].as_array().unwrap().len(), 13);
}

#[test]
fn views_are_drawn_from_the_demo_room() {
    let desk = Desk::new();
    let run = desk.run("view --pupil 3mm --lens-error +0.25 --out one.png");
    assert_eq!(run.code, 0, "{}", run.err);
    let one = Png::read(&desk.path("one.png")).pixels;
    // Five letters with five gaps to a side and a letter's air, 80 pixels each, and two margins.
    assert!(one.width() > 2 * 11 * 80, "{}", one.width());
    let run = desk.run(
        "view --pupil 1.6mm --pupil natural --lens-error -0.25 --lens-error 0 --lens-error +0.25 --scale 4 --out many.png",
    );
    assert_eq!(run.code, 0, "{}", run.err);
    let many = Png::read(&desk.path("many.png")).pixels;
    let reds = |picture: &image::RgbImage, y: u32| {
        let row: Vec<bool> = (0..picture.width())
            .map(|x| picture.get_pixel(x, y).0[0] > 200 && picture.get_pixel(x, y).0[1] < 60)
            .collect();
        row.windows(2).filter(|pair| !pair[0] && pair[1]).count()
    };
    // A row a few pixels under the upper edge of the first tiles crosses three red fields.
    let top = (0..many.height()).find(|y| reds(&many, *y) > 0).unwrap();
    assert_eq!(reds(&many, top + 2), 3);
    for fields in ["white", "red", "green"] {
        let run = desk.run(&format!("view --fields {fields} --scale 4 --out {fields}.png"));
        assert_eq!(run.code, 0, "{}", run.err);
    }
}

#[test]
fn a_sweep_plays_once() {
    let desk = Desk::new();
    let run =
        desk.run("view --pupil 3mm --lens-error -0.25 --lens-error +0.25 --sweep --scale 4 --out sweep.png");
    assert_eq!(run.code, 0, "{}", run.err);
    let file = std::io::BufReader::new(std::fs::File::open(desk.path("sweep.png")).unwrap());
    let reader = png::Decoder::new(file).read_info().unwrap();
    let control = reader.info().animation_control.unwrap();
    // At least ten steps of 0.05 D out and as many back, and the first picture.
    assert!(control.num_frames >= 21 && control.num_frames % 2 == 1, "{control:?}");
    assert_eq!(control.num_plays, 1);
    let on_one_line = |said: &str| said.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = on_one_line(&run.out);
    assert!(said.contains(words::SEIZURES) && said.contains(words::SUPERVISION), "{said}");
    let still = desk.run("view --pupil 3mm --lens-error -0.25 --scale 4 --out still.png");
    let said = on_one_line(&still.out);
    assert!(!said.contains(words::SEIZURES) && said.contains(words::SUPERVISION), "{said}");
}

#[test]
fn help_and_readme_say_what_can_harm_who_may_use_it_and_what_it_is_not() {
    let desk = Desk::new();
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let whole = one_line(&desk.run("--help").out);
    assert!(whole.contains(words::NOT_APPROVED) && whole.contains(words::SUPERVISION), "{whole}");
    let view = one_line(&desk.run("view --help").out);
    assert!(view.contains(words::SEIZURES), "{view}");
    let readme = one_line(include_str!("../README.md"));
    for needed in [words::SUPERVISION, words::NOT_APPROVED, words::CAUTION, words::SEIZURES] {
        assert!(readme.contains(needed), "{needed}");
    }
}

#[test]
fn what_no_eye_has_is_refused_in_one_sentence() {
    let desk = Desk::new();
    desk.write(
        "room.toml",
        "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
        [primaries]\nred = { spectrum = \"dark.csv\" }\ngreen = { peak_nm = 538, fwhm_nm = 60 }\n",
    );
    let swapped = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
                   [primaries]\nred = { peak_nm = 538, fwhm_nm = 60 }\ngreen = { peak_nm = 615, fwhm_nm = 45 }\n";
    desk.write("swapped.toml", swapped);
    desk.write("dark.csv", "wavelength_nm,power\n790,1\n800,1\n");
    for (words, said) in [
        ("curve --pupil 0mm", "0mm"),
        ("curve --pupil 20mm", "0.5 to 9 mm"),
        ("curve --pupil 3", "3mm"),
        ("curve --pupil NaNmm", "NaN"),
        ("curve --aperture 0.1mm", "0.5 to 9 mm"),
        ("curve --focus-at 300nm", "500 to 650"),
        ("curve --dispersion NaN", "0.5 to 2"),
        ("curve --spherical 9", "-1 to 1"),
        ("curve --from 1 --to -1", "more minus one first"),
        ("curve --step 0", "0.001"),
        ("curve --step 0.001 --from -6 --to 6", "2001"),
        ("curve --out curve.doc", ".csv"),
        ("curve --room swapped.toml", "exchange them"),
        ("room report --room swapped.toml", "exchange them"),
        ("curve --room room.toml", "no light between 380 and 780 nm"),
        ("view --out view.svg", ".png"),
        ("view --lens-error 7 --out view.png", "−6 to +6"),
        ("view --lens-error x --out view.png", "such as +0.25"),
        (
            "view --scale 64 --letters-a-side 5 --pupil 9mm --lens-error 6 --line 20/10 --out view.png",
            "memory",
        ),
        ("view --sweep --out view.png", "--lens-error twice"),
        ("view --sweep --lens-error -1 --lens-error 0 --lens-error 1 --out view.png", "--lens-error twice"),
    ] {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{words}: {}", run.err);
    }
    assert_eq!(desk.files(), ["dark.csv", "room.toml", "swapped.toml"]);
}

#[test]
fn what_was_measured_on_eyes_stands_beside_what_the_model_has() {
    let desk = Desk::new();
    let run = desk.run("curve --evidence");
    assert_eq!(run.code, 0, "{}", run.err);
    // A misfit is not left out: behind 2 mm eyes had 0.012 logMAR (PMC3511607, abstract).
    assert!(run.said().contains("eyes 0.012, model −0.152 logMAR [evidence: misfit]"), "{}", run.out);
    assert!(run.said().contains("figures could not be read") && run.said().contains(words::SUPERVISION));
    let printed: serde_json::Value = serde_json::from_str(&desk.run("curve --evidence --json").out).unwrap();
    let rows = printed["published"].as_array().unwrap();
    assert!(rows.iter().any(|row| row["used"] == "calibration" && row["published"] == 0.33));
    let wrong = desk.run("curve --evidence --out evidence.png");
    assert_eq!(wrong.code, 2);
}
