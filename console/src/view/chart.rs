//! A plot in letters: sizes upward, what follows each other in time to the right. No colour says anything in it.

use super::Figure;

/// The most rows.
const ROWS: f64 = 15.0;

/// Letters on a ground, the lowest row first.
pub(super) struct Chart {
    step: f64,
    lowest: i64,
    rows: Vec<Vec<char>>,
    foot: Vec<char>,
}

impl Chart {
    /// One on which all these sizes have room, in rows of at least so many millimetres.
    pub(super) fn over(sizes: impl Iterator<Item = f64>, least: f64, columns: usize) -> Self {
        let (low, high) =
            sizes.fold((f64::MAX, f64::MIN), |(low, high), size| (low.min(size), high.max(size)));
        let (low, high) = if low <= high { (low, high) } else { (0.0, 0.0) };
        let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1000.0].map(|times| times * least);
        let step = steps.into_iter().find(|step| (high - low) / step <= ROWS - 2.0).unwrap_or(1e4 * least);
        let [lowest, highest] = [low, high].map(|size| (size / step).round() as i64);
        let rows = vec![vec![' '; columns]; (highest - lowest + 1).max(1) as usize];
        Self { step, lowest, rows, foot: vec!['-'; columns] }
    }

    fn row(&self, size: f64) -> usize {
        let row = (size / self.step).round() as i64 - self.lowest;
        row.clamp(0, self.rows.len() as i64 - 1) as usize
    }

    /// A letter at a size.
    pub(super) fn put(&mut self, column: usize, size: f64, letter: char) {
        let row = self.row(size);
        self.rows[row][column] = letter;
    }

    /// A letter from one size to another.
    pub(super) fn fill(&mut self, column: usize, low: f64, high: f64, letter: char) {
        let (low, high) = (self.row(low), self.row(high));
        self.rows[low..=high.max(low)].iter_mut().for_each(|row| row[column] = letter);
    }

    /// Nothing in a column.
    pub(super) fn clear(&mut self, column: usize) {
        self.rows.iter_mut().for_each(|row| row[column] = ' ');
    }

    /// A letter on the line below.
    pub(super) fn mark(&mut self, column: usize, letter: char) {
        self.foot[column] = letter;
    }

    /// The highest row first, each with its size.
    pub(super) fn lines(&self) -> Vec<String> {
        let line = |(at, row): (usize, &Vec<char>)| {
            let size = Figure::about((self.lowest + at as i64) as f64 * self.step).signed();
            let row: String = row.iter().collect();
            format!("{size:>6} |{}", row.trim_end())
        };
        let foot: String = self.foot.iter().collect();
        let rows = self.rows.iter().enumerate().rev().map(line);
        rows.chain([format!("       +{foot}")]).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_size_has_a_row_and_a_column() {
        let mut chart = Chart::over([-0.04, 0.21].into_iter(), 0.05, 3);
        chart.fill(1, -0.04, 0.1, ':');
        chart.put(2, 0.21, '*');
        chart.mark(0, 'W');
        let drawn =
            ["+0.20 |  *", "+0.15 |", "+0.10 | :", "+0.05 | :", " 0.00 | :", "-0.05 | :", "      +W--"];
        assert_eq!(chart.lines(), drawn.map(|line| format!(" {line}")));
        for span in [0.0, 0.3, 2.0, 40.0] {
            assert!(Chart::over([0.0, span].into_iter(), 0.05, 1).lines().len() <= 17, "{span}");
        }
    }
}
