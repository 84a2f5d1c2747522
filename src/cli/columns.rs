//! What people read in a terminal: tables whose columns line up, and sentences in lines, so that the terminal breaks no word.
//!
//! What programs read (JSON, CSV) and what is taken whole (lines to paste) is never folded.

use std::io::IsTerminal;

/// How wide lines are, and columns beside each other, where no narrower terminal shows them: the last of 80 columns stays free,
/// since some terminals go on to the next line when it is filled.
pub(super) const WIDTH: usize = 79;

/// The least that a table can be read in.
const LEAST: usize = 40;

/// Between columns.
const GAP: usize = 2;

/// How wide lines are.
///
/// Only a terminal is asked for its size: elsewhere asking starts two other programs, every time.
pub(super) fn width() -> usize {
    if !std::io::stdout().is_terminal() {
        return WIDTH;
    }
    let columns = crossterm::terminal::size().ok();
    columns.map_or(WIDTH, |(columns, _)| usize::from(columns).saturating_sub(1).clamp(LEAST, WIDTH))
}

/// A table without rules, no wider than lines are unless its longest words are: in each column numbers stand with their points
/// below each other, and the widest columns give way first. A row of one cell is a heading over those that follow.
pub(super) fn table(heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let mut all = vec![heads.iter().map(ToString::to_string).collect()];
    all.extend(rows);
    for column in 0..heads.len() {
        align(&mut all, column);
    }
    let columns: Vec<&Vec<String>> = all.iter().filter(|row| row.len() > 1).collect();
    let widths = widths(&columns, width());
    let lines = all.iter().flat_map(|row| match row.as_slice() {
        [heading] => vec![heading.clone()],
        cells => beside(cells, &widths),
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// The lines of a row, whose cells may have several each.
fn beside(cells: &[String], widths: &[usize]) -> Vec<String> {
    let folded: Vec<String> = cells.iter().zip(widths).map(|(cell, width)| fold(cell, *width)).collect();
    let deepest = folded.iter().map(|cell| cell.lines().count()).max().unwrap_or_default();
    let line = |number: usize| {
        let mut line = String::new();
        for (cell, width) in folded.iter().zip(widths) {
            let part = cell.lines().nth(number).unwrap_or_default();
            line += part;
            line += &" ".repeat((width + GAP).saturating_sub(length(part)));
        }
        line.trim_end().to_owned()
    };
    (0..deepest).map(line).collect()
}

/// Text with every line that is too long in several, each begun as deep as the words of the first.
pub(super) fn folded(text: &str) -> String {
    let width = width();
    text.lines().map(|line| fold(line, width)).collect::<Vec<_>>().join("\n")
}

/// A text in lines of at most a width, at spaces alone, and never between a number and what follows it: a word that is longer keeps
/// a line to itself.
fn fold(text: &str, width: usize) -> String {
    text.lines().map(|line| fold_line(line, width)).collect::<Vec<_>>().join("\n")
}

fn fold_line(line: &str, width: usize) -> String {
    if length(line) <= width {
        return line.into();
    }
    let words = line.trim_start_matches(' ');
    let begun = length(line) - length(words);
    let depth = begun + mark(words);
    let mut folded = " ".repeat(begun);
    let mut at = begun;
    for (place, word) in together(words).iter().enumerate() {
        if place > 0 && at + 1 + length(word) > width {
            folded.push('\n');
            folded.push_str(&" ".repeat(depth));
            at = depth;
        } else if place > 0 {
            folded.push(' ');
            at += 1;
        }
        folded.push_str(word);
        at += length(word);
    }
    folded
}

/// The words of a line, as one a number with its unit or what else follows it, and numbers in a row, such as codes.
fn together(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in line.split(' ') {
        match words.last_mut().filter(|before| holds(before, word)) {
            Some(before) => *before += &format!(" {word}"),
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// Whether a line may not end between two words.
fn holds(before: &str, next: &str) -> bool {
    let is_number = |end: char| end.is_ascii_digit() || "±×".contains(end);
    let in_a_row = before.strip_suffix(',').is_some_and(|number| number.ends_with(is_number));
    before.ends_with(is_number) || (in_a_row && next.starts_with(|first: char| first.is_ascii_digit()))
}

/// How long the mark of a list is that words begin with, such as "! ", "– " or "1. ".
fn mark(words: &str) -> usize {
    let first = words.split(' ').next().unwrap_or_default();
    let number = first.strip_suffix('.').is_some_and(|number| number.parse::<u8>().is_ok());
    if number || ["!", "–", "*"].contains(&first) { length(first) + 1 } else { 0 }
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// How wide columns are: as wide as their cells where all fit; else as their longest words, and what is left over goes where it makes
/// the table the most lines shorter for its width.
fn widths(rows: &[&Vec<String>], width: usize) -> Vec<usize> {
    let columns = rows.iter().map(|row| row.len()).max().unwrap_or_default();
    let most = |of: &dyn Fn(&str) -> Option<usize>| -> Vec<usize> {
        let cells = |column| rows.iter().filter_map(move |row| row.get(column));
        (0..columns)
            .map(|column| cells(column).filter_map(|cell| of(cell)).max().unwrap_or_default())
            .collect()
    };
    let wished = most(&|cell| cell.lines().map(length).max());
    let room = width.saturating_sub(GAP * columns.saturating_sub(1));
    if wished.iter().sum::<usize>() <= room {
        return wished;
    }
    let mut widths = most(&|cell| cell.lines().flat_map(together).map(|word| length(&word)).max());
    // The first column says what a row is, in few words that stay together.
    if let (Some(least), Some(wished)) = (widths.first_mut(), wished.first()) {
        *least = *wished;
    }
    let depths = Depths::new(rows, &widths, &wished);
    while let Some((column, by)) = depths.best_step(&widths, room.saturating_sub(widths.iter().sum())) {
        widths[column] += by;
    }
    widths
}

/// How many lines each cell takes, by its column, from the least width on that this has, and its row.
struct Depths(Vec<(usize, Vec<Vec<usize>>)>);

impl Depths {
    fn new(rows: &[&Vec<String>], least: &[usize], wished: &[usize]) -> Self {
        let lines = |column: usize, width: usize| -> Vec<usize> {
            let cell =
                |row: &&Vec<String>| row.get(column).map_or(0, |cell| fold(cell, width).lines().count());
            rows.iter().map(cell).collect()
        };
        let column = |column: usize| {
            let widths = least[column]..=wished[column].max(least[column]);
            (least[column], widths.map(|width| lines(column, width)).collect())
        };
        Self((0..least.len()).map(column).collect())
    }

    /// How many lines all rows take in columns of these widths.
    fn all(&self, widths: &[usize]) -> usize {
        let columns = || self.0.iter().zip(widths).map(|((least, depths), width)| &depths[width - least]);
        let rows = columns().next().map_or(0, Vec::len);
        (0..rows).map(|row| columns().map(|depths| depths[row]).max().unwrap_or_default()).sum()
    }

    /// Which column is best made wider, and by how much, where there is room for some; none where that makes nothing shorter.
    fn best_step(&self, widths: &[usize], room: usize) -> Option<(usize, usize)> {
        let now = self.all(widths);
        let mut best: Option<(usize, usize, usize)> = None;
        for (column, (least, depths)) in self.0.iter().enumerate() {
            let most = (least + depths.len() - 1 - widths[column]).min(room);
            for by in 1..=most {
                let mut wider = widths.to_vec();
                wider[column] += by;
                let saved = now - self.all(&wider).min(now);
                // Lines saved for each character.
                if saved * best.map_or(1, |(.., by)| by) > best.map_or(0, |(_, saved, _)| saved) * by {
                    best = Some((column, saved, by));
                }
            }
        }
        best.map(|(column, _, by)| (column, by))
    }
}

/// Moves the numbers of a column so that their points stand below each other, where all are of one kind.
fn align(rows: &mut [Vec<String>], column: usize) {
    let mut cells: Vec<&mut String> =
        rows.iter_mut().skip(1).filter(|row| row.len() > 1).filter_map(|row| row.get_mut(column)).collect();
    cells.retain(|cell| whole_digits(cell).is_some());
    let mut kinds: Vec<String> = cells.iter().map(|cell| kind(cell)).collect();
    kinds.dedup();
    if kinds.len() > 1 {
        return;
    }
    let whole = cells.iter().filter_map(|cell| whole_digits(cell)).max().unwrap_or_default();
    for cell in cells {
        let pad = " ".repeat(whole - whole_digits(cell).unwrap_or(whole));
        cell.insert_str(0, &pad);
    }
}

/// What follows a number, whatever its digits: its unit, or other numbers beside it.
fn kind(cell: &str) -> String {
    let number = |letter: char| letter.is_ascii_digit() || "−+±.".contains(letter);
    let mut kind: Vec<char> = cell.chars().map(|letter| if number(letter) { '0' } else { letter }).collect();
    kind.dedup();
    kind.into_iter().collect()
}

/// How many letters stand before the point of a number, with its sign; none where a text does not begin with a number.
fn whole_digits(cell: &str) -> Option<usize> {
    let unsigned = cell.trim_start_matches(['−', '+', '±']);
    let digits = unsigned.chars().take_while(char::is_ascii_digit).count();
    (digits > 0).then(|| length(cell) - length(unsigned) + digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(rows: &[&[&str]]) -> Vec<Vec<String>> {
        rows.iter().map(|row| row.iter().map(ToString::to_string).collect()).collect()
    }

    #[test]
    fn points_stand_below_each_other_beside_words_and_never_among_several_units() {
        let said =
            table(&["line", "px"], rows(&[&["a", "−0.5"], &["b", "12.25"], &["c", "none"], &["d", "100"]]));
        assert_eq!(said, "line  px\na      −0.5\nb      12.25\nc     none\nd     100");
        let said = table(&["line", "size"], rows(&[&["a", "5 px"], &["b", "12.25 mm"]]));
        assert_eq!(said, "line  size\na     5 px\nb     12.25 mm");
    }

    #[test]
    fn words_are_never_broken_and_lines_begin_below_the_words_of_the_first() {
        assert_eq!(fold_line("  one two three", 9), "  one two\n  three");
        assert_eq!(fold_line("1. one two three", 10), "1. one two\n   three");
        assert_eq!(fold_line("see /a/long/path now", 8), "see\n/a/long/path\nnow");
        assert_eq!(fold_line("one  two", 8), "one  two");
        assert_eq!(fold_line("at least 2.00 px", 13), "at least\n2.00 px");
        assert_eq!(fold_line("10 mm ± 5 %", 8), "10 mm\n± 5 %");
        assert_eq!(fold_line("(252, 0, 0) (0, 145, 0)", 14), "(252, 0, 0)\n(0, 145, 0)");
    }

    #[test]
    fn what_is_left_over_goes_where_it_saves_most_lines() {
        let all = rows(&[&["a b", "one two", "one two three"], &["a", "one two", "four"]]);
        let all: Vec<&Vec<String>> = all.iter().collect();
        assert_eq!(widths(&all, 99), [3, 7, 13]);
        assert_eq!(widths(&all, 3), [3, 3, 5]);
        // By hand: two characters spare the first row its third line; then four spare the second row one, and six nothing.
        assert_eq!(widths(&all, 20), [3, 3, 7]);
        assert_eq!(widths(&all, 26), [3, 7, 7]);
    }

    #[test]
    fn a_heading_stands_over_its_rows_whatever_their_columns() {
        let said = table(&["", "n"], rows(&[&["a long heading"], &["b", "1"]]));
        assert_eq!(said, "   n\na long heading\nb  1");
    }
}
