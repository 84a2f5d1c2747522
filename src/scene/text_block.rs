//! Words in lines no longer than a width, with what hangs beside them.
//!
//! A block knows its height before it is drawn, so what stands below is placed by what stands above; it can go on on a second
//! page. Numbers stay on one line with their units.

use super::canvas::run;
use super::look::Style;
use super::{Anchor, Canvas};

/// Units that stay with the number before them.
const UNITS: [&str; 5] = ["D", "m", "mm", "nm", "%"];

/// Air between what hangs beside words and these, in the words' size. Assumed.
const BESIDE_EMS: f64 = 0.4;

/// Words of one style within a line.
type Run = (String, Style);

/// Words in lines, measured in millimetres.
#[derive(Debug, Clone)]
pub struct TextBlock {
    lines: Vec<Vec<Run>>,
    style: Style,
    leading: f64,
    /// What hangs beside the first line, and how far the words begin to its right.
    head: Option<(Box<Self>, f64)>,
}

impl TextBlock {
    /// Words broken into lines between words; a longer word stands alone.
    ///
    /// ```
    /// # use evenfield::scene::{TextBlock, look::BODY};
    /// // Worked by hand: 9.5 points are 3.35139 mm, and lines are 1.4 times as far apart: three take 14.0758 mm.
    /// const HALF_A_DIGIT_MM: f64 = 5e-5;
    /// assert!((TextBlock::new("red or green", BODY, 0.0).height() - 14.0758).abs() < HALF_A_DIGIT_MM);
    /// assert_eq!(TextBlock::new("a quarter: −0.25 D", BODY, 0.0).words(), ["a", "quarter:", "−0.25\u{a0}D"]);
    /// ```
    #[must_use]
    pub fn new(words: &str, style: Style, width: f64) -> Self {
        Self::run_in([(words, style), ("", style)], width)
    }

    /// A paragraph that begins in one style and goes on in another of the same size.
    #[must_use]
    pub fn run_in([(loud, style), (quiet, other)]: [(&str, Style); 2], width: f64) -> Self {
        let all = with_units(format!("{loud} {quiet}").trim_end());
        let mut left = with_units(loud).split(' ').count();
        let of_line = |line: String| {
            let words: Vec<&str> = line.split(' ').collect();
            let (front, back) = words.split_at(left.min(words.len()));
            left -= front.len();
            let air = if front.is_empty() || back.is_empty() { "" } else { " " };
            let runs = [(format!("{}{air}", front.join(" ")), style), (back.join(" "), other)];
            runs.into_iter().filter(|(words, _)| !words.is_empty()).collect()
        };
        let lines = wrapped(&all, style, width).into_iter().map(of_line).collect();
        Self { lines, style, leading: style.leading(), head: None }
    }

    /// Words that are indented for what hangs beside their first line: a number, a mark, a heading that may have lines of its own.
    ///
    /// ```
    /// # use evenfield::scene::{TextBlock, look::{BODY, HEADING}};
    /// // A heading of two lines beside words of one is as high as two.
    /// let block = TextBlock::hanging(("two words", HEADING), 0.0, ("one", BODY), 100.0);
    /// assert_eq!(block.height(), 2.0 * BODY.leading());
    /// ```
    #[must_use]
    pub fn hanging(head: (&str, Style), indent: f64, words: (&str, Style), width: f64) -> Self {
        let block = Self::new(words.0, words.1, width - indent);
        let head = Self::new(head.0, head.1, indent - BESIDE_EMS * words.1.em.to_mm());
        Self { head: Some((Box::new(head), indent)), ..block }
    }

    /// The same with lines so far apart, in millimetres.
    #[must_use]
    pub fn with_leading(self, leading: f64) -> Self {
        let head = self.head.map(|(head, indent)| (Box::new(head.with_leading(leading)), indent));
        Self { leading, head, ..self }
    }

    /// Its lines' words, without what hangs beside them.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        self.lines.iter().map(|runs| runs.iter().map(|(words, _)| words.as_str()).collect()).collect()
    }

    /// How high it is, in millimetres.
    #[must_use]
    pub fn height(&self) -> f64 {
        let head = self.head.as_ref().map_or(0.0, |(head, _)| self.lower(head) + head.height());
        head.max(self.leading * count(self.lines.len()))
    }

    /// How wide its longest line is, in millimetres, with what hangs beside it.
    #[must_use]
    pub fn width(&self) -> f64 {
        let line = |runs: &Vec<Run>| runs.iter().map(|(words, style)| run(words, *style)).sum::<f64>();
        let indent = self.head.as_ref().map_or(0.0, |(_, indent)| *indent);
        indent + self.lines.iter().map(line).fold(0.0, f64::max)
    }

    /// How much lower a head begins, so that both stand on one line.
    fn lower(&self, head: &Self) -> f64 {
        (self.style.em - head.style.em).to_mm().max(0.0)
    }

    /// As many of its lines as a height takes, and those that are to go on elsewhere, without what hangs beside the first.
    #[must_use]
    pub fn cut(self, height: f64) -> [Self; 2] {
        let fits = (1..=self.lines.len()).take_while(|lines| count(*lines) * self.leading <= height).count();
        let mut front = self;
        let back = Self { lines: front.lines.split_off(fits), head: None, ..front.clone() };
        [front, back]
    }

    /// Whether it has no line.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// Draws it from a left end and a top; says where it ends below.
    pub fn draw(&self, canvas: &mut Canvas, [left, top]: [f64; 2]) -> f64 {
        let mut indented = left;
        if let Some((head, indent)) = &self.head {
            head.draw(canvas, [left, top + self.lower(head)]);
            indented += indent;
        }
        let mut baseline = top + self.style.em.to_mm();
        for runs in &self.lines {
            let mut left = indented;
            for (words, style) in runs {
                canvas.write(words.trim_end_matches(' '), *style, Anchor::Left, [left, baseline]);
                left += run(words, *style);
            }
            baseline += self.leading;
        }
        top + self.height()
    }
}

impl Canvas {
    /// A [`TextBlock`] of one style; gives the lower end of its last line, where the next thing may begin.
    pub fn paragraph(&mut self, words: &str, style: Style, place: [f64; 2], width: f64) -> f64 {
        TextBlock::new(words, style, width).draw(self, place)
    }

    /// [`TextBlock::hanging`] from a left end and a top; gives the lower end.
    pub fn hanging(
        &mut self,
        head: (&str, Style),
        indent: f64,
        words: (&str, Style),
        (place, width): ([f64; 2], f64),
    ) -> f64 {
        TextBlock::hanging(head, indent, words, width).draw(self, place)
    }
}

fn count(lines: usize) -> f64 {
    f64::from(u16::try_from(lines).unwrap_or(u16::MAX))
}

/// Words in lines no longer than `room` millimetres.
fn wrapped(words: &str, style: Style, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if run(&format!("{line} {word}"), style) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.into()),
        }
    }
    lines
}

/// The words with spaces that do not break between numbers and their units.
fn with_units(words: &str) -> String {
    let mut kept = String::with_capacity(words.len());
    for (place, letter) in words.char_indices() {
        let before = words[..place].ends_with(|letter: char| letter.is_ascii_digit());
        let after = &words[place + letter.len_utf8()..];
        let unit = UNITS.iter().any(|unit| {
            after.strip_prefix(unit).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        });
        kept.push(if letter == ' ' && before && unit { '\u{a0}' } else { letter });
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Geometry;
    use crate::scene::look::{BODY, HEADING, QUIET, SMALL};

    const WORDS: &str = "Meter full red, green, white and black in the dark room";

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(with_units("−1.25 D at 3.2 m, 2 more"), "−1.25\u{a0}D at 3.2\u{a0}m, 2 more");
        assert_eq!(with_units("95 % from −1.00"), "95\u{a0}% from −1.00");
        assert_eq!(with_units("20/20 Daylight"), "20/20 Daylight");
    }

    #[test]
    fn lines_break_between_words_and_lose_none() {
        let lines = TextBlock::new(WORDS, BODY, 40.0).words();
        assert!(lines.len() > 1 && lines.iter().all(|line| run(line, BODY) <= 40.0), "{lines:?}");
        assert_eq!(lines.join(" "), WORDS);
    }

    /// Words that were drawn, with their left ends and baselines.
    fn drawn(block: &TextBlock) -> Vec<(String, [f64; 2])> {
        let mut canvas = Canvas::default();
        block.draw(&mut canvas, [10.0, 20.0]);
        let text = |geometry: &Geometry| match geometry {
            Geometry::Text(text) => (text.words().to_owned(), text.place().translation().into()),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => {
                panic!("only words were drawn")
            }
        };
        canvas
            .shapes
            .iter()
            .map(|shape| text(&shape.geometry))
            .map(|(words, (x, y))| (words, [x, y]))
            .collect()
    }

    #[test]
    fn what_hangs_stands_on_the_first_line_of_words_that_are_all_indented() {
        let drawn = drawn(&TextBlock::hanging(("1", SMALL), 6.0, (WORDS, BODY), 46.0));
        assert!(drawn.len() > 2, "{drawn:?}");
        let (head, lines) = drawn.split_first().unwrap();
        assert_eq!((head.0.as_str(), head.1[0]), ("1", 10.0));
        assert!(lines.iter().all(|(_, [left, _])| (left - 16.0).abs() < 1e-9), "{drawn:?}");
        assert!((head.1[1] - lines[0].1[1]).abs() < 1e-9, "{drawn:?}");
    }

    #[test]
    fn a_paragraph_goes_on_in_another_style_where_the_first_ended() {
        let quiet = BODY.in_paint(QUIET);
        let drawn = drawn(&TextBlock::run_in([("Meter full red", BODY), ("in the dark", quiet)], 200.0));
        // By the widths of the words and of a space.
        let after = 10.0 + run("Meter full red ", BODY);
        assert_eq!(
            drawn.iter().map(|(words, _)| words.as_str()).collect::<Vec<_>>(),
            ["Meter full red", "in the dark"]
        );
        assert!((drawn[1].1[0] - after).abs() < 1e-9, "{drawn:?}");
    }

    #[test]
    fn what_is_too_high_goes_on_elsewhere_and_loses_no_word() {
        let block = TextBlock::hanging(("1", HEADING), 6.0, (WORDS, BODY), 36.0);
        let whole = block.words();
        let [front, back] = block.cut(2.5 * BODY.leading());
        assert_eq!(front.words(), whole[..2]);
        assert_eq!(back.words(), whole[2..]);
        let words: Vec<String> = drawn(&back).into_iter().map(|(words, _)| words).collect();
        assert_eq!(words, whole[2..], "what hung beside the first line is not said again");
        let [none, all] = front.cut(0.0);
        assert!(none.is_empty() && all.words() == whole[..2]);
    }
}
