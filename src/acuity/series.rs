//! The standard lines and their rounded names.

/// One 0.1 logMAR step and what it is called.
#[derive(Debug, Clone, Copy)]
pub struct StandardLine {
    /// logMAR in tenths.
    pub tenths: i8,
    /// Denominator of the 20-foot name.
    pub feet: f64,
    /// Denominator of the 6-metre name.
    pub six: f64,
    /// Denominator of the 4-metre name.
    pub four: f64,
    /// Decimal name.
    pub decimal: f64,
    /// Other decimals in use for this line.
    pub decimal_aliases: &'static [f64],
    /// Other fractions in use for this line, as numerator and denominator.
    pub fraction_aliases: &'static [(f64, f64)],
}

const fn line(tenths: i8, feet: f64, six: f64, four: f64, decimal: f64) -> StandardLine {
    StandardLine { tenths, feet, six, four, decimal, decimal_aliases: &[], fraction_aliases: &[] }
}

impl StandardLine {
    const fn decimals(mut self, aliases: &'static [f64]) -> Self {
        self.decimal_aliases = aliases;
        self
    }

    const fn fractions(mut self, aliases: &'static [(f64, f64)]) -> Self {
        self.fraction_aliases = aliases;
        self
    }

    /// Whether a fraction of this value (denominator over numerator) is a name of this line.
    #[must_use]
    pub fn has_fraction(&self, value: f64) -> bool {
        let names = [self.feet / 20.0, self.six / 6.0, self.four / 4.0, 1.0 / self.decimal];
        let aliases = self.fraction_aliases.iter().map(|(numerator, denominator)| denominator / numerator);
        names.into_iter().chain(aliases).any(|name| same_name(name, value))
    }

    /// Whether this decimal acuity is a name of this line.
    #[must_use]
    pub fn has_decimal(&self, decimal: f64) -> bool {
        same_name(self.decimal, decimal)
            || self.decimal_aliases.iter().any(|alias| same_name(*alias, decimal))
    }
}

/// Names are short decimals, so two of them are equal or differ by more than one part in a thousand.
/// The tolerance only absorbs the rounding of binary division.
fn same_name(name: f64, value: f64) -> bool {
    (name / value - 1.0).abs() < 1e-9
}

/// The series of ISO 8596 (ratio 10^0.1, R10 of ISO 3) with its customary rounded names, largest letters first.
///
/// The names from 1.0 to −0.1 logMAR are those of the visual-acuity table for 4 m of the University of Rome II
/// (excerpt) and of a clinical hand-out (author not recorded), which agree but at 0.2 logMAR: there the table prints
/// 0.65, here an alias. The other names and aliases are from memory. Letters are sized from the exact step, never from
/// a name, since names are off by up to 1.2 %.
pub const STANDARD_LINES: [StandardLine; 17] = [
    line(13, 400.0, 120.0, 80.0, 0.05),
    line(12, 320.0, 95.0, 63.0, 0.063).decimals(&[0.06]),
    line(11, 250.0, 75.0, 50.0, 0.08).fractions(&[(5.0, 63.0)]),
    line(10, 200.0, 60.0, 40.0, 0.1),
    line(9, 160.0, 48.0, 32.0, 0.125).decimals(&[0.12]),
    line(8, 125.0, 38.0, 25.0, 0.16).fractions(&[(5.0, 32.0), (5.0, 31.5)]),
    line(7, 100.0, 30.0, 20.0, 0.2),
    line(6, 80.0, 24.0, 16.0, 0.25),
    line(5, 63.0, 19.0, 12.6, 0.32).decimals(&[0.3]).fractions(&[(4.0, 12.5), (5.0, 16.0)]),
    line(4, 50.0, 15.0, 10.0, 0.4),
    line(3, 40.0, 12.0, 8.0, 0.5),
    line(2, 32.0, 9.5, 6.3, 0.63).decimals(&[0.6, 0.65]),
    line(1, 25.0, 7.5, 5.0, 0.8).fractions(&[(5.0, 6.3)]),
    line(0, 20.0, 6.0, 4.0, 1.0),
    line(-1, 16.0, 4.8, 3.2, 1.25).decimals(&[1.2]),
    line(-2, 12.5, 3.8, 2.5, 1.6).fractions(&[(5.0, 3.2)]),
    line(-3, 10.0, 3.0, 2.0, 2.0),
];
