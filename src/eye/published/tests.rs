use super::*;
use crate::acuity::Acuity;
use crate::eye::prediction::best_white;
use crate::eye::{CLICK_D, ChromaticEye, Curve, Eye, Pupil, Sides};
use crate::light::{Bands, Spectrum};
use crate::quantity::{Dioptres, Length, Luminance, Wavelength};

/// Where no luminance is known of a measurement: about that of a chart's fields. Assumed.
const CD_M2: f64 = 50.0;

/// Depth of focus ends where the decimal logarithm of white's clarity has fallen by this. Calibrated on 0.59 D behind 4 mm.
const DEPTH_DROP: f64 = 0.24;

/// Blur is just noticed where white's clarity has fallen by this share of its best. Calibrated on 0.33 D behind 3 mm.
const NOTICED_DROP: f64 = 0.43;

/// The steps of a walk away from the best lens, in dioptres, and how many there are at the most.
const STEP_D: f64 = 0.05;
const MOST_STEPS: u8 = 60;

/// The largest and the smallest letters that are looked through for an acuity, in logMAR.
const LARGEST: f64 = 1.5;
const SMALLEST: f64 = -0.6;

/// The demo room's screen.
fn sides() -> Sides {
    let band =
        |[peak, width]: [f64; 2]| Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)));
    let [red, green, blue] = [[615.0, 45.0], [538.0, 60.0], [450.0, 20.0]].map(band);
    Sides { red, green, blue, white: [0.2126, 0.7152, 0.0722] }
}

fn eye(mm: f64, spherical_um: f64) -> Eye {
    Eye { spherical_um, ..Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap()) }
}

fn line(log_mar: f64) -> Acuity {
    Acuity::from_log_mar(log_mar).unwrap()
}

/// What the model has, computed.
struct Model {
    sides: Sides,
}

impl Model {
    fn curve(&self, eye: &Eye, log_mar: f64) -> Curve<'_> {
        Curve::not_compared(eye, &self.sides, line(log_mar), Luminance::cd_m2(CD_M2))
    }

    /// From the best lens on how far to minus and to plus a field's clarity stays above a share of its best, in dioptres.
    fn within(curve: &Curve<'_>, field: usize, share: f64) -> [f64; 2] {
        let at = |lens_error: f64| curve.clarity(Dioptres::new(lens_error))[field].value();
        let scan = curve.scan();
        let best = scan
            .iter()
            .max_by(|one, other| one.clarity[field].value().total_cmp(&other.clarity[field].value()));
        let Some((best_at, best)) = best.map(|best| (best.lens_error, best.clarity[field].value())) else {
            return [0.0; 2];
        };
        // Straight between the last step above the share and the first one under it.
        let reach = |by: f64| {
            let mut before = best;
            for step in 1..=MOST_STEPS {
                let now = at(best_at + by * STEP_D * f64::from(step));
                if now < share * best {
                    return STEP_D * (f64::from(step) - (share * best - now) / (before - now));
                }
                before = now;
            }
            STEP_D * f64::from(MOST_STEPS)
        };
        [-1.0, 1.0].map(reach)
    }

    /// The whole depth of focus of a line, in dioptres.
    fn depth(&self, eye: &Eye, log_mar: f64, field: usize) -> f64 {
        let share = 10_f64.powf(-DEPTH_DROP);
        Self::within(&self.curve(eye, log_mar), field, share).iter().sum()
    }

    /// The blur that is just noticed in letters of 0.0 logMAR, to either side on average, in dioptres.
    fn noticed(&self, eye: &Eye) -> f64 {
        Self::within(&self.curve(eye, 0.0), 2, 1.0 - NOTICED_DROP).iter().sum::<f64>() / 2.0
    }

    /// The smallest line, in logMAR, from which on all larger ones are read too.
    fn acuity(&self, eye: &Eye, lens_error: f64, cd_m2: f64) -> f64 {
        let legibility = |log_mar: f64| {
            let curve = Curve::not_compared(eye, &self.sides, line(log_mar), Luminance::cd_m2(cd_m2));
            curve.clarity(Dioptres::new(lens_error))[2].legibility()
        };
        // Halved until a line is a hundredth wide, then straight between the logarithms of two legibilities: larger letters
        // are read the better in every case of this table.
        let (mut small, mut large) = ((SMALLEST, legibility(SMALLEST)), (LARGEST, legibility(LARGEST)));
        assert!(small.1 < 1.0 && large.1 > 1.0, "{small:?} {large:?}");
        while large.0 - small.0 > 0.01 {
            let middle = f64::midpoint(small.0, large.0);
            let now = (middle, legibility(middle));
            if now.1 < 1.0 { small = now } else { large = now }
        }
        large.0
    }

    /// Where white is clearest.
    fn white_at(&self, eye: &Eye) -> f64 {
        best_white(&self.curve(eye, 0.2).scan()).unwrap().at_d
    }

    fn best_acuity(&self, eye: &Eye, cd_m2: f64) -> f64 {
        self.acuity(eye, self.white_at(eye), cd_m2)
    }

    /// The mean acuity over 3 D of defocus about best white.
    fn mean_acuity(&self, eye: &Eye) -> f64 {
        let best = self.white_at(eye);
        (-3..=3_i8).map(|half| self.acuity(eye, best + f64::from(half) / 2.0, CD_M2)).sum::<f64>() / 7.0
    }

    /// The pupil, by half millimetres, with the best acuity.
    fn best_pupil(&self, cd_m2: f64) -> f64 {
        let pupils = (3..=12_u8).map(|half| f64::from(half) / 2.0);
        let acuities = pupils.map(|mm| (self.best_acuity(&eye(mm, 0.1), cd_m2), mm));
        acuities.min_by(|one, other| one.0.total_cmp(&other.0)).unwrap().1
    }

    /// The blur at which white letters of 20/32 are no longer read behind 4 mm, to either side on average.
    fn lost(&self) -> f64 {
        let eye = eye(4.0, 0.1);
        let (curve, best) = (self.curve(&eye, 0.2), self.white_at(&eye));
        let legible = |by: f64, step: u8| {
            curve.clarity(Dioptres::new(best + by * STEP_D * f64::from(step)))[2].readable()
        };
        let reach =
            |by: f64| f64::from((1..=MOST_STEPS).take_while(|step| legible(by, *step)).last().unwrap());
        STEP_D * f64::midpoint(reach(-1.0), reach(1.0))
    }

    /// A noticeable change of red against green in dioptres.
    fn step(&self, mm: f64) -> f64 {
        let curve = Curve::new(
            &eye(mm, if mm < 4.0 { 0.0 } else { 0.1 }),
            &self.sides,
            line(0.2),
            Luminance::cd_m2(CD_M2),
        );
        CLICK_D / curve.prediction().noticed_steps_per_click.unwrap()
    }

    fn balance(&self, mm: f64) -> f64 {
        let eye = eye(mm, if mm < 4.0 { 0.0 } else { 0.1 });
        let curve = Curve::new(&eye, &self.sides, line(0.2), Luminance::cd_m2(CD_M2));
        curve.balance_near(curve.middle()).unwrap().to_d()
    }

    /// By how much of the interval white's best focus lies to green of the middle.
    fn white_in_interval(&self, eye: &Eye) -> f64 {
        let needs = |light: &Bands| light.mean(|at| ChromaticEye::Thibos1992.refraction(at).to_d());
        let middle = eye.middle_of(&self.sides.red, &self.sides.green).to_d();
        (middle - self.white_at(eye)) / (needs(&self.sides.red) - needs(&self.sides.green))
    }

    /// The rows that rest on colours, depth of focus and blur, in their order.
    fn of_blur(&self) -> Vec<f64> {
        let between = |from: f64, to: f64| {
            let [from, to] =
                [from, to].map(|nm| ChromaticEye::Thibos1992.refraction(Wavelength::nm(nm)).to_d());
            to - from
        };
        let depth = |mm: f64, log_mar: f64| self.depth(&eye(mm, 0.1), log_mar, 2);
        let [red, green, white] = [0, 1, 2].map(|field| self.depth(&eye(5.0, 0.1), 0.1, field));
        let noticed = |mm: f64| self.noticed(&eye(mm, 0.1));
        vec![
            between(472.0, 652.0),
            between(400.0, 700.0),
            self.white_in_interval(&eye(5.0, 0.1)),
            white / f64::midpoint(red, green),
            depth(2.0, 0.0),
            depth(4.0, 0.0),
            depth(6.0, 0.0),
            depth(4.0, 0.87) / depth(4.0, -0.2),
            (depth(6.0, 0.1) - depth(2.5, 0.1)) / 3.5,
            noticed(1.5) / noticed(3.0),
            noticed(3.0),
            noticed(4.0),
            noticed(6.0),
            self.step(3.0),
            self.step(6.0) / self.step(3.0),
        ]
    }

    /// The rows that rest on reading and on balance, in their order.
    fn of_reading(&self) -> Vec<f64> {
        let [two, five] = [2.0, 5.0].map(|mm| eye(mm, 0.0));
        let blurred = |mm: f64, blur: f64| {
            let eye = eye(mm, 0.0);
            self.acuity(&eye, self.white_at(&eye) - blur, CD_M2)
        };
        let three = self.balance(3.0);
        vec![
            self.best_acuity(&two, CD_M2),
            self.best_acuity(&five, CD_M2),
            self.mean_acuity(&two),
            self.mean_acuity(&five),
            blurred(1.5, 2.5) - blurred(4.0, 1.0),
            self.best_pupil(1000.0),
            self.best_pupil(2.0),
            self.lost(),
            self.balance(1.0) - three,
            self.balance(5.0) - three,
            self.balance(7.0) - three,
        ]
    }
}

#[test]
fn the_table_says_what_the_model_has() {
    // What is written to two decimals, or three.
    const WRITTEN: f64 = 0.006;
    let model = Model { sides: sides() };
    let computed = [model.of_blur(), model.of_reading()].concat();
    assert_eq!(computed.len(), PUBLISHED.len());
    let wrong = |(row, computed): (&Published, f64)| {
        ((row.ours - computed).abs() > WRITTEN)
            .then(|| format!("{}: {computed:.3}, not {}", row.quantity, row.ours))
    };
    let wrong: Vec<String> = PUBLISHED.iter().zip(computed).filter_map(wrong).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn small_pupils_are_counted_apart() {
    let named: Vec<&str> = PUBLISHED
        .iter()
        .filter(|row| row.quantity.contains("behind") && row.pupil_mm.is_none())
        .map(|row| row.quantity)
        .collect();
    assert!(named.is_empty(), "{named:?}");
    // Counted by hand in the table: behind 1.5 and 2 mm are five figures that nothing was set by, of which the depth of focus behind
    // 2 mm, the least depth of focus and the acuity in focus behind 2 mm are misfits.
    assert_eq!(Evidence::new().behind_small_pupils(), [2, 5]);
    assert!(Evidence::new().rule().contains("2 mm or less it agrees with 2 of 5."));
}
