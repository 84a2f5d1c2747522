//! Acuity on white by the letter: which letters of which lines were missed, and what that comes to.

use crate::acuity::{Acuity, Score};

/// Letters of a line that count in full: one has 0.02 logMAR, by [Bailey & Lovie](crate::bibliography::BAILEY_LOVIE_1976).
const LETTERS_A_LINE: f64 = 5.0;

/// A line in logMAR.
pub(super) const LINE_LOG_MAR: f64 = 0.1;

/// The lines that a patient has read so far, from the largest.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// At least one; the last is the one that is shown.
    lines: Vec<ReadLine>,
}

#[derive(Debug, Clone, PartialEq)]
struct ReadLine {
    line: Acuity,
    missed: Vec<bool>,
}

impl Reading {
    /// Begins with a line of a number of letters, all of them taken as read until they are marked.
    #[must_use]
    pub fn new(line: Acuity, letters: usize) -> Self {
        Self { lines: vec![ReadLine { line, missed: vec![false; letters] }] }
    }

    /// Goes on with lines as [`Self::lines`] gives them; none where no reading comes to that.
    #[must_use]
    pub fn again(lines: impl IntoIterator<Item = (Acuity, Vec<bool>)>) -> Option<Self> {
        let lines: Vec<ReadLine> =
            lines.into_iter().map(|(line, missed)| ReadLine { line, missed }).collect();
        let shrinks = lines.is_sorted_by(|one, next| one.line.has_larger_letters_than(next.line));
        (shrinks && !lines.is_empty()).then_some(Self { lines })
    }

    /// The lines from the largest, and which of their letters were missed.
    pub fn lines(&self) -> impl Iterator<Item = (Acuity, &[bool])> {
        self.lines.iter().map(|line| (line.line, line.missed.as_slice()))
    }

    /// The line that is shown.
    #[must_use]
    pub fn line(&self) -> Acuity {
        self.last().line
    }

    /// Which of its letters were missed, from left to right.
    #[must_use]
    pub fn missed(&self) -> &[bool] {
        &self.last().missed
    }

    fn last(&self) -> &ReadLine {
        &self.lines[self.lines.len() - 1]
    }

    /// Marks a letter of the line that is shown; false where it has none at that place.
    pub fn mark(&mut self, letter: usize, missed: bool) -> bool {
        let place = self.lines.last_mut().and_then(|line| line.missed.get_mut(letter));
        place.map(|place| *place = missed).is_some()
    }

    /// Goes on to another line. Smaller ones that were shown before are forgotten: they will be read again, with other
    /// letters.
    pub fn show(&mut self, line: Acuity, letters: usize) {
        self.lines.retain(|one| one.line.has_larger_letters_than(line));
        self.lines.push(ReadLine { line, missed: vec![false; letters] });
    }

    /// The score: every line larger than the largest that was shown counts as read, and each letter as its share of a
    /// line.
    ///
    /// Worked by hand: 20/25 read whole and two of five letters of 20/20 missed is 0.1 + 0.1 − 0.02 · (5 + 3) = 0.04
    /// logMAR, 20/20 less two letters.
    ///
    /// ```
    /// # use evenfield::exam::Reading;
    /// let mut reading = Reading::new("20/25".parse()?, 5);
    /// reading.show("20/20".parse()?, 5);
    /// reading.mark(0, true);
    /// reading.mark(3, true);
    /// assert_eq!(reading.score().to_string(), "20/20−2");
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn score(&self) -> Score {
        let read = |line: &ReadLine| {
            let read = line.missed.iter().filter(|missed| !**missed).count();
            #[allow(clippy::cast_precision_loss, reason = "a line has a few letters")]
            let share = read as f64 / line.missed.len().max(1) as f64;
            share * LETTERS_A_LINE
        };
        let letters: f64 = self.lines.iter().map(read).sum();
        let first = self.lines[0].line.to_log_mar();
        Score::nearest(first + LINE_LOG_MAR - LINE_LOG_MAR / LETTERS_A_LINE * letters)
    }

    /// Whether the largest line that was shown was read whole, so that those above it may count as read.
    #[must_use]
    pub fn begins_whole(&self) -> bool {
        self.lines[0].missed.iter().all(|missed| !missed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn acuity(text: &str) -> Acuity {
        text.parse().unwrap()
    }

    /// By hand: 0.2 + 0.1 − 0.02 · (5 + 5 + 1) = 0.08 logMAR, which is 20/25 and one letter more.
    #[test]
    fn a_letter_of_the_next_line_is_one_more() {
        let mut reading = Reading::new(acuity("20/32"), 5);
        reading.show(acuity("20/25"), 5);
        reading.show(acuity("20/20"), 5);
        (0..4).for_each(|letter| assert!(reading.mark(letter, true)));
        assert_eq!(reading.score().to_string(), "20/25+1");
        assert!(reading.begins_whole() && !reading.mark(5, true));
    }

    /// By hand: three of four letters are 3.75 of five, so 0.3 + 0.1 − 0.02 · 3.75 = 0.325, 20/40 less one letter.
    #[test]
    fn letters_of_a_short_line_count_for_more() {
        let mut reading = Reading::new(acuity("20/40"), 4);
        reading.mark(1, true);
        assert_eq!(reading.score().to_string(), "20/40\u{2212}1");
        assert!(!reading.begins_whole());
    }

    #[test]
    fn going_back_to_a_larger_line_forgets_the_smaller_ones() {
        let mut reading = Reading::new(acuity("20/25"), 5);
        reading.show(acuity("20/20"), 5);
        reading.mark(0, true);
        reading.show(acuity("20/25"), 5);
        assert_eq!((reading.line(), reading.score().to_string()), (acuity("20/25"), "20/25".into()));
        reading.mark(2, true);
        reading.show(acuity("20/32"), 5);
        assert_eq!(reading.score().to_string(), "20/32");
        assert!(reading.begins_whole());
    }
}
