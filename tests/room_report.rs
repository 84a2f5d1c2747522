//! `evenfield room report` on rooms whose primaries come from files that another program made.

use crate::common::{Desk, ROOM};

/// Sums over nanometres, with V(λ) off another table.
const SAME_SUM_D: f64 = 5e-4;

/// A room with two spectra in a folder beside its file.
fn with_spectra(red: &str, green: &str) -> Desk {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("spectra")).unwrap();
    desk.write("spectra/red.csv", red);
    desk.write("spectra/green.csv", green);
    desk.write(
        "room.toml",
        format!(
            "{ROOM}[primaries]\nred = {{ spectrum = \"spectra/red.csv\" }}\ngreen = {{ spectrum = \"spectra/green.csv\" }}\n"
        ),
    );
    desk
}

#[test]
fn published_spectra_give_the_dioptres_of_an_independent_sum() {
    // The primaries of a tube (Brainard 1997) and of an early flat display as colour-science 0.4.7 has them, every 5 nm,
    // to four decimals of their peak; means and intervals by numpy (version not recorded) with the same
    // package's V(λ).
    for (red, green, means, intervals) in [
        (
            include_str!("data/crt_red.csv"),
            include_str!("data/crt_green.csv"),
            [602.596, 543.597],
            [0.2911, 0.3072],
        ),
        (
            include_str!("data/lcd_red.csv"),
            include_str!("data/lcd_green.csv"),
            [610.484, 546.311],
            [0.3083, 0.3262],
        ),
    ] {
        let run = with_spectra(red, green).run("room report --room room.toml --json");
        assert_eq!(run.code, 0, "{}", run.err);
        let report: serde_json::Value = serde_json::from_str(&run.out).unwrap();
        for (field, mean) in means.into_iter().enumerate() {
            let own = report["mean_wavelengths_nm"][field].as_f64().unwrap();
            assert!((own - mean).abs() < 0.02, "{own} nm, not {mean}");
        }
        for (formula, interval) in intervals.into_iter().enumerate() {
            let own = report["intervals"][formula]["interval_d"].as_f64().unwrap();
            assert!((own - interval).abs() < SAME_SUM_D, "{own} D, not {interval}");
        }
        assert_eq!(report["spectra_basis"], "measured");
    }
}

#[test]
fn bad_spectra_are_refused_in_one_sentence() {
    let good = include_str!("data/lcd_green.csv");
    for (red, said) in [
        ("nm,W\n600,1\n", "line 1 is not the header wavelength_nm,power"),
        ("wavelength_nm,power\n600,0\n605,-1\n", "line 3 has a power under zero"),
        ("wavelength_nm,power\n600,0\n590,1\n", "sort the lines"),
        ("wavelength_nm,power\n600,0\n620,1\n", "fill the gap"),
        ("wavelength_nm,power\n600,1\n605,2\n", "begins or ends at line 2"),
        ("wavelength_nm,power\n600,red\n", "line 2 is not a wavelength"),
        ("wavelength_nm,power\n", "no light"),
    ] {
        let run = with_spectra(red, good).run("room report --room room.toml");
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{red}");
        assert_eq!(run.err.lines().count(), 1, "{}", run.err);
        assert!(run.err.contains("spectra/red.csv") && run.err.contains(said), "{}", run.err);
    }
    let lost = with_spectra(good, good);
    std::fs::remove_file(lost.path("spectra/red.csv")).unwrap();
    let run = lost.run("room report --room room.toml");
    assert!(run.err.contains("primaries.red.spectrum") && run.code == 2, "{}", run.err);
}

#[test]
fn the_report_is_for_people_too() {
    let desk = Desk::new();
    desk.write("room.toml", format!("{ROOM}[primaries]\nkind = \"oled\"\n"));
    let run = desk.run("room report --room room.toml");
    assert_eq!(run.code, 0, "{}", run.err);
    for said in
        ["charts can be shown down to 20/20", "generic bands of the kind oled", "To mend", "practitioner"]
    {
        assert!(run.out.contains(said), "no {said:?} in {}", run.out);
    }
    desk.write("room.toml", format!("{ROOM}[primaries]\nkind = \"plasma\"\n"));
    let run = desk.run("room report --room room.toml");
    assert!(run.code == 2 && run.err.contains("write one of broad-lcd, narrow-lcd, oled"), "{}", run.err);
}
