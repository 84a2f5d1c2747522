use super::*;

/// Rows of logMAR, 6/x, 20/x, 4/x and decimal: the visual-acuity table for 4 m of the University of Rome II (Sloan
/// letters in 0.1 log steps, excerpt) and a clinical hand-out with the same conversions (author not recorded), which
/// agree.
const TABLE: [(f64, &str, &str, &str, &str); 12] = [
    (1.0, "6/60", "20/200", "4/40", "0.1"),
    (0.9, "6/48", "20/160", "4/32", "0.125"),
    (0.8, "6/38", "20/125", "4/25", "0.16"),
    (0.7, "6/30", "20/100", "4/20", "0.2"),
    (0.6, "6/24", "20/80", "4/16", "0.25"),
    (0.5, "6/19", "20/63", "4/12.6", "0.32"),
    (0.4, "6/15", "20/50", "4/10", "0.4"),
    (0.3, "6/12", "20/40", "4/8", "0.5"),
    (0.2, "6/9.5", "20/32", "4/6.3", "0.63"),
    (0.1, "6/7.5", "20/25", "4/5", "0.8"),
    (0.0, "6/6", "20/20", "4/4", "1"),
    (-0.1, "6/4.8", "20/16", "4/3.2", "1.25"),
];

/// A step of the series survives its way through binary to far better than this.
const EXACT: f64 = 1e-12;

fn log_mar(text: &str) -> f64 {
    text.parse::<Acuity>().unwrap_or_else(|error| panic!("{error}")).to_log_mar()
}

#[test]
fn names_of_standard_lines_mean_their_exact_step() {
    for (step, six, feet, four, decimal) in TABLE {
        for name in [six.into(), feet.into(), four.into(), format!("{decimal}dec")] {
            assert!((log_mar(&name) - step).abs() < EXACT, "{name} is {} logMAR", log_mar(&name));
        }
    }
    for (alias, step) in [
        ("0.65dec", 0.2),
        ("decimal 0.3", 0.5),
        ("4/12.5", 0.5),
        ("5/6.3", 0.1),
        ("3/6", 0.3),
        ("6/37.5", 0.8),
    ] {
        assert!((log_mar(alias) - step).abs() < EXACT, "{alias} is {} logMAR", log_mar(alias));
    }
}

#[test]
fn standard_lines_are_printed_by_their_names() {
    for (step, six, feet, four, decimal) in TABLE {
        let line = Acuity::from_log_mar(step).unwrap();
        let printed = [Notation::SixMetres, Notation::Feet, Notation::FourMetres, Notation::Decimal];
        assert_eq!(printed.map(|notation| line.in_notation(notation)), [six, feet, four, decimal]);
    }
}

#[test]
fn other_names_are_taken_literally() {
    // Own arithmetic on the definitions: log10 of the fraction turned over.
    for (name, step) in [
        ("20/30", 0.1761),
        ("6/9", 0.1761),
        ("6/18", 0.4771),
        ("6/36", 0.7782),
        ("6/5", -0.0792),
        ("20/70", 0.5441),
    ] {
        assert!((log_mar(name) - step).abs() < 5e-5, "{name} is {} logMAR", log_mar(name));
    }
    assert!(("2mar".parse::<Acuity>().unwrap().to_mar() - 2.0).abs() < EXACT);
    assert!((log_mar("−0.1 logMAR") + 0.1).abs() < EXACT);
    assert!((log_mar("LogMAR 0.25") - 0.25).abs() < EXACT);
}

#[test]
fn every_notation_is_read_as_it_is_printed() {
    for text in ["20/30", "6/9", "0.15logmar", "MAR 1.7", "0.9dec"] {
        let line: Acuity = text.parse().unwrap();
        for notation in
            [Notation::Feet, Notation::SixMetres, Notation::FourMetres, Notation::LogMar, Notation::Mar]
        {
            let printed = line.in_notation(notation);
            // Three figures leave 0.5 % of MAR, two decimals of logMAR 1.2 %.
            assert!((log_mar(&printed) - line.to_log_mar()).abs() < 0.006, "{text} came back from {printed}");
        }
    }
}

#[test]
fn two_lines_above_twenty_twenty_is_twenty_thirty_two() {
    let threshold: Acuity = "20/20".parse().unwrap();
    assert_eq!(threshold.lines_above(2).unwrap().to_string(), "20/32");
    assert_eq!(threshold.lines_above(3).unwrap().to_string(), "20/40");
    assert!((threshold.lines_above(2).unwrap().size_ratio_to(threshold) - 1.585).abs() < 5e-4);
    assert!(threshold.lines_above(2).unwrap().has_larger_letters_than(threshold));
    assert!("20/2000".parse::<Acuity>().unwrap().lines_above(1).is_err());
}

#[test]
fn the_grades_are_the_r10_series() {
    // ISO 3, R10 (ISO 8596 refers to it; its table was not seen): each nominal number is the exact power of ten, rounded,
    // within 1.2 %.
    for line in STANDARD_LINES {
        let exact = 1.0 / Acuity::standard(line.tenths).to_mar();
        assert!((line.decimal / exact - 1.0).abs() < 0.0125, "{} for {exact}", line.decimal);
        for name in [20.0 / line.feet, 6.0 / line.six, 4.0 / line.four] {
            assert!((name / exact - 1.0).abs() < 0.0145, "{name} for {exact}");
        }
    }
}

#[test]
fn what_is_no_acuity_is_refused_with_a_remedy() {
    let refusal = |text: &str| text.parse::<Acuity>().unwrap_err();
    assert_eq!(refusal("0.5"), AcuityError::Ambiguous("0.5".into()));
    for text in
        ["20/0", "0/20", "20/-40", "NaN logmar", "inf mar", "20/1e309", "3 logmar", "0dec", "1e309dec"]
    {
        assert!(matches!(refusal(text), AcuityError::OutOfRange(_)), "{text} gave {:?}", refusal(text));
    }
    for text in ["", "good", "20/", "/20", "20/20/20", "1e309", "logmar", "20:40"] {
        assert!(matches!(refusal(text), AcuityError::NotAnAcuity(_)), "{text} gave {:?}", refusal(text));
        assert!(refusal(text).to_string().contains("20/40"));
    }
}
