//! Sizes in cells, and what is spread over them.

/// How fine sizes are told apart, in millimetres of diameter.
pub const CELL: f64 = 0.0125;
/// How many cells a density has: from 1.5 mm below its middle to as much above.
pub(crate) const CELLS: usize = 240;
const SIDE_BY_SIDE: usize = 16;

/// A weight for each cell of sizes round a middle; what lies outside is in no cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Density {
    low: f64,
    weights: Vec<f64>,
}

impl Density {
    /// So near to the ends what is believed is cut off by them.
    pub(crate) const MARGIN: f64 = 0.25;

    /// The weight that `of` gives to each cell, by the size in its middle.
    pub fn new(middle: f64, of: impl Fn(f64) -> f64) -> Self {
        let low = ((middle / CELL).round() - (CELLS / 2) as f64) * CELL;
        let mut new = Self { low, weights: vec![0.0; CELLS] };
        new.each(|size, _| of(size));
        new
    }

    /// A normal distribution that sums to 1, in the cells round `middle`.
    pub(crate) fn normal(mean: f64, deviation: f64, middle: f64) -> Self {
        let mut normal = Self::new(middle, |size| (-0.5 * ((size - mean) / deviation).powi(2)).exp());
        normal.normalise();
        normal
    }

    /// The weights, of the smallest sizes first.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// The size in the middle of a cell.
    pub fn size(&self, cell: usize) -> f64 {
        self.low + (cell as f64 + 0.5) * CELL
    }

    /// Whether some of what lies between two sizes is in its cells, those within `margin` of its ends left out.
    pub(crate) fn has(&self, low: f64, high: f64, margin: f64) -> bool {
        high > self.low + margin && low < self.low + CELLS as f64 * CELL - margin
    }

    /// All its weight.
    pub fn total(&self) -> f64 {
        self.weights.iter().sum()
    }

    /// Each cell made anew of its size and its weight.
    pub(crate) fn each(&mut self, of: impl Fn(f64, f64) -> f64) {
        let low = self.low;
        for (cell, weight) in self.weights.iter_mut().enumerate() {
            *weight = of(low + (cell as f64 + 0.5) * CELL, *weight);
        }
    }

    /// Multiplied cell by cell with one of the same cells.
    pub(crate) fn times(&mut self, other: &Self) {
        self.weights.iter_mut().zip(&other.weights).for_each(|(weight, by)| *weight *= by);
    }

    /// One of the same cells added.
    pub(crate) fn add(&mut self, other: &Self) {
        self.weights.iter_mut().zip(&other.weights).for_each(|(weight, more)| *weight += more);
    }

    /// One of any cells added, moved by so much; within a cell in proportion.
    pub(crate) fn add_moved(&mut self, other: &Self, by: f64) {
        let place = (other.low + by - self.low) / CELL;
        let (cells, part) = (place.floor(), place - place.floor());
        for (cell, weight) in other.weights.iter().enumerate() {
            for (at, share) in [(0.0, 1.0 - part), (1.0, part)] {
                let to = cell as f64 + cells + at;
                if (0.0..CELLS as f64).contains(&to) {
                    self.weights[to as usize] += weight * share;
                }
            }
        }
    }

    pub(crate) fn scale(&mut self, by: f64) {
        self.weights.iter_mut().for_each(|weight| *weight *= by);
    }

    /// By what may be so little that one over it is no number.
    pub(crate) fn divide(&mut self, by: f64) {
        self.weights.iter_mut().for_each(|weight| *weight /= by);
    }

    /// Scaled to sum to 1; what has no weight stays without. Its weight before.
    pub(crate) fn normalise(&mut self) -> f64 {
        let total = self.total();
        if total > 0.0 {
            self.divide(total);
        }
        total
    }

    /// The same cells, each with this weight.
    #[must_use]
    pub(crate) fn level(&self, weight: f64) -> Self {
        Self { low: self.low, weights: vec![weight; CELLS] }
    }

    /// The same cells, each weighted by the share of it that lies between two sizes.
    #[must_use]
    pub(crate) fn between(&self, low: f64, high: f64) -> Self {
        let share = |cell: usize| {
            let from = self.low + cell as f64 * CELL;
            ((high.min(from + CELL) - low.max(from)) / CELL).max(0.0)
        };
        Self { low: self.low, weights: (0..CELLS).map(share).collect() }
    }

    /// Blurred; what leaves the cells is lost.
    #[must_use]
    pub(crate) fn blurred(&self, blur: &Blur) -> Self {
        let reach = blur.half.len() - 1;
        let mut round = vec![0.0; CELLS + 2 * reach];
        round[reach..reach + CELLS].copy_from_slice(&self.weights);
        let mut out = self.clone();
        // Some cells at once, which a processor adds side by side: most of the time that beliefs take goes here.
        let (many, _) = out.weights.as_chunks_mut::<SIDE_BY_SIDE>();
        for (at, out) in many.iter_mut().enumerate() {
            let place = reach + at * SIDE_BY_SIDE;
            let from = |place: usize| round[place..].first_chunk::<SIDE_BY_SIDE>();
            // The middle one is counted from both sides.
            let mut sums = out.map(|middle| -blur.half[0] * middle);
            for (apart, by) in blur.half.iter().enumerate() {
                if let (Some(below), Some(above)) = (from(place - apart), from(place + apart)) {
                    let cells = sums.iter_mut().zip(below.iter().zip(above));
                    cells.for_each(|(sum, (below, above))| *sum += by * (below + above));
                }
            }
            *out = sums;
        }
        out
    }

    /// Running sums.
    pub fn below(&self) -> Below {
        self.below_times(|_| 1.0)
    }

    /// Running sums of the weights times something of their cells.
    pub(crate) fn below_times(&self, of: impl Fn(usize) -> f64) -> Below {
        let mut sum = 0.0;
        let mut sums = vec![0.0; CELLS + 1];
        for (cell, weight) in self.weights.iter().enumerate() {
            sum += weight * of(cell);
            sums[cell + 1] = sum;
        }
        Below { low: self.low, sums, top: f64::INFINITY }
    }

    /// Mean and variance; none without weight.
    pub fn moments(&self) -> Option<(f64, f64)> {
        let total = self.total();
        let sum = |of: &dyn Fn(f64) -> f64| -> f64 {
            self.weights.iter().enumerate().map(|(cell, weight)| weight * of(self.size(cell))).sum()
        };
        let mean = sum(&|size| size) / total;
        (total > 0.0).then(|| (mean, sum(&|size| (size - mean).powi(2)) / total))
    }
}

/// How much of a density lies below each size.
#[derive(Clone, Debug)]
pub struct Below {
    low: f64,
    sums: Vec<f64>,
    top: f64,
}

impl Below {
    /// Without what lies above.
    #[must_use]
    pub(crate) fn up_to(self, top: f64) -> Self {
        Self { top, ..self }
    }

    /// The weight below `size`; within a cell in proportion.
    pub fn at(&self, size: f64) -> f64 {
        let place = ((size.min(self.top) - self.low) / CELL).clamp(0.0, CELLS as f64);
        let cell = (place as usize).min(CELLS - 1);
        self.sums[cell] + (self.sums[cell + 1] - self.sums[cell]) * (place - cell as f64)
    }

    /// All the weight.
    pub fn total(&self) -> f64 {
        self.at(self.top)
    }

    /// The size below which this share of the weight lies.
    pub fn quantile(&self, share: f64) -> f64 {
        let wanted = share * self.total();
        let cell = self.sums.partition_point(|sum| *sum < wanted).clamp(1, CELLS) - 1;
        let weight = self.sums[cell + 1] - self.sums[cell];
        let part = if weight > 0.0 { (wanted - self.sums[cell]) / weight } else { 0.0 };
        self.low + (cell as f64 + part.clamp(0.0, 1.0)) * CELL
    }
}

/// A normal distribution in cells, from its middle on: what a density is blurred by.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Blur {
    half: Vec<f64>,
}

impl Blur {
    /// Of this standard deviation; of 0 it changes nothing.
    pub(crate) fn new(deviation: f64) -> Self {
        let reach = ((4.0 * deviation / CELL).ceil() as usize).min(CELLS - 1);
        let deviation = deviation.max(f64::MIN_POSITIVE);
        let edge = |cells: f64| normal_below(cells * CELL / deviation);
        let share = |apart: usize| edge(apart as f64 + 0.5) - edge(apart as f64 - 0.5);
        let mut half: Vec<f64> = (0..=reach).map(share).collect();
        let sum = half[0] + 2.0 * half[1..].iter().sum::<f64>();
        half.iter_mut().for_each(|weight| *weight /= sum);
        Self { half }
    }
}

/// The share of a standard normal distribution below `deviations`.
pub(crate) fn normal_below(deviations: f64) -> f64 {
    0.5 * libm::erfc(-deviations * std::f64::consts::FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_blur_adds_its_variance_and_keeps_the_weight() {
        let one = Density::normal(0.1, 0.08, 0.0);
        for deviation in [0.0, 0.02, 0.05, 0.1] {
            let blurred = one.blurred(&Blur::new(deviation));
            let (mean, variance) = blurred.moments().unwrap();
            assert!((blurred.total() - 1.0).abs() < 1e-9);
            assert!((mean - 0.1).abs() < 1e-6);
            // What is summed up in cells has a twelfth of a cell's square more, once for each of the two.
            assert!((variance.sqrt() - 0.08f64.hypot(deviation)).abs() < 1e-3, "{deviation} {variance}");
        }
    }

    #[test]
    fn quantiles_are_those_of_the_normal_distribution() {
        let below = Density::normal(0.1, 0.08, 0.0).below();
        // Standard normal: 1.644854 for 95 % (tables of the normal distribution).
        assert!((below.quantile(0.95) - (0.1 + 1.644_854 * 0.08)).abs() < 1e-3);
        assert!((below.at(0.1) - 0.5).abs() < 1e-9);
        assert!((normal_below(1.0) - 0.841_344_746).abs() < 1e-9);
    }
}
