//! One eye on the page: its verdict, results and facts.
//!
//! The chosen lens comes first and largest, since that is what the page is opened for years later.

use super::closeness::Closeness;
use super::said::{self, Row};
use crate::balance::record::Kept;
use crate::balance::{Choice, Course};
use crate::print::type_area::TypeArea;
use crate::scene::look::{BALANCE, FIGURE, GRID_MM, HEADING, SMALL, TITLE};
use crate::scene::{Anchor, Canvas, run};

/// How far figures stand from the left end of their labels.
const INDENT_MM: f64 = 12.0 * GRID_MM;

/// Where the exact spheres, the quarters and the cylinder end, as shares of the column.
const COLUMNS: [f64; 3] = [0.475, 0.755, 1.0];

/// What is said of one eye.
pub(super) struct Parts {
    eye: [String; 2],
    large: String,
    chosen: [String; 2],
    /// What makes this lens not the last word: another run, or doubt.
    warnings: Vec<String>,
    reasons: Vec<String>,
    results: Option<[Row; 2]>,
    cylinder: Option<String>,
    /// What the table of results is of.
    table: &'static str,
    /// What was chosen and stayed so.
    choice: Option<Choice>,
    /// The large lens in its other forms.
    otherwise: Vec<(String, String)>,
    facts: Vec<(String, String)>,
}

impl Parts {
    pub(super) fn of(kept: &Kept, course: &Course) -> Self {
        Self {
            eye: said::eye_of(kept, course),
            large: said::large(kept, course),
            chosen: said::chosen(kept, course),
            warnings: said::warnings(kept, course),
            reasons: said::reasons(kept, course),
            results: said::results(course),
            cylinder: said::cylinder(course),
            choice: course.chosen.filter(|_| !said::is_changed(kept, course)),
            table: said::table(kept, course),
            otherwise: said::otherwise(kept, course),
            facts: said::facts(kept, course),
        }
    }
}

/// Where one eye's words stand. Each part says where it ends below.
pub(super) struct Column {
    pub(super) area: TypeArea,
    pub(super) closeness: Closeness,
}

impl Column {
    /// Which eye, the lens that was chosen, what the balance came to and why, and how sure that is.
    pub(super) fn verdict(&self, canvas: &mut Canvas, parts: &Parts, top: f64) -> f64 {
        let (left, width, gap) = (self.area.left, self.area.width(), self.closeness.within());
        let [eye, kind] = &parts.eye;
        let baseline = top + HEADING.em.to_mm();
        canvas.write(eye, HEADING, Anchor::Left, [left, baseline]);
        let aside = left + run(eye, HEADING) + 1.5 * GRID_MM;
        canvas.write(kind, SMALL, Anchor::Left, [aside, baseline]);
        let bottom = canvas.paragraph(&parts.large, TITLE, [left, top + HEADING.leading() + gap], width);
        let style = self.closeness.reasons();
        let mut bottom = bottom;
        for words in &parts.chosen {
            if !words.is_empty() {
                bottom = canvas.paragraph(words, style, [left, bottom], width);
            }
        }
        for warning in &parts.warnings {
            let style = style.in_paint(BALANCE).bold();
            bottom = canvas.paragraph(warning, style, [left, bottom], width);
        }
        // Where the page is close they run on.
        let reasons = match self.closeness {
            Closeness::Airy => parts.reasons.clone(),
            Closeness::Close => vec![parts.reasons.join(" ")],
        };
        reasons
            .iter()
            .fold(bottom + gap, |bottom, reason| canvas.paragraph(reason, style, [left, bottom + gap], width))
    }

    /// The results, aligned at their points; what was chosen is bold.
    pub(super) fn results(&self, canvas: &mut Canvas, parts: &Parts, top: f64) -> f64 {
        let Some(rows) = &parts.results else { return top };
        let [exact, quarter, cylinder] = COLUMNS.map(|share| self.area.left + share * self.area.width());
        let mut baseline = top + SMALL.em.to_mm();
        canvas.write(parts.table, SMALL, Anchor::Left, [self.area.left, baseline]);
        canvas.write("exact", SMALL, Anchor::Right, [exact, baseline]);
        canvas.write("nearest quarter", SMALL, Anchor::Right, [quarter, baseline]);
        if parts.cylinder.is_some() {
            canvas.write("cylinder", SMALL, Anchor::Right, [cylinder, baseline]);
        }
        for (label, spheres) in rows {
            baseline += SMALL.leading();
            canvas.write(label, FIGURE, Anchor::Left, [self.area.left, baseline]);
            for (right, (choice, sphere)) in [exact, quarter].into_iter().zip(spheres) {
                let style = if parts.choice == Some(*choice) { FIGURE.bold() } else { FIGURE };
                let point = right - run(".00 D", FIGURE);
                canvas.write(sphere, style, Anchor::Point, [point, baseline]);
            }
            if let Some(power) = &parts.cylinder {
                canvas.write(power, FIGURE, Anchor::Right, [cylinder, baseline]);
            }
        }
        baseline + SMALL.leading() - SMALL.em.to_mm()
    }

    /// The large lens in its other forms, before any table of other lenses.
    pub(super) fn otherwise(&self, canvas: &mut Canvas, parts: &Parts, top: f64) -> f64 {
        self.pairs(canvas, &parts.otherwise, top)
    }

    /// What was known before, how it was asked, and acuity after.
    pub(super) fn facts(&self, canvas: &mut Canvas, parts: &Parts, top: f64) -> f64 {
        self.pairs(canvas, &parts.facts, top)
    }

    /// A quiet label and its figure a line.
    fn pairs(&self, canvas: &mut Canvas, pairs: &[(String, String)], top: f64) -> f64 {
        let mut bottom = top;
        for (label, figure) in pairs {
            let place = ([self.area.left, bottom], self.area.width());
            bottom = canvas.hanging((label, SMALL), INDENT_MM, (figure, FIGURE), place);
        }
        bottom
    }
}
