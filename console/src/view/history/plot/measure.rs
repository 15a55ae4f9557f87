//! What is drawn of every row, and the scale that it is drawn on.

use crate::view::Figure;

/// What is measured of every row.
pub(super) struct Measure {
    pub(super) title: String,
    /// What its scale counts.
    pub(super) unit: &'static str,
    /// None where it is not known.
    pub(super) values: Vec<Option<Figure>>,
    /// Of how many it is, for a mean, a median or a share.
    pub(super) of: Vec<Option<u64>>,
    /// What its scale reaches at least.
    pub(super) least: f64,
}

impl Measure {
    /// The figure of a row, and of how many it is.
    pub(super) fn figure(&self, at: usize) -> String {
        match (self.values[at], self.of[at]) {
            (None, _) => String::new(),
            (Some(figure), None) => figure.to_string(),
            (Some(figure), Some(of)) => format!("{figure} ({of})"),
        }
    }

    /// The same read out.
    pub(super) fn words(&self, at: usize) -> String {
        let Self { title, unit, values, of, .. } = self;
        match (values[at], of[at]) {
            (None, _) => format!("{title}: not known"),
            (Some(figure), None) => format!("{title}: {figure} {unit}"),
            (Some(figure), Some(of)) => format!("{title}: {figure} {unit}, of {of}"),
        }
    }

    /// A scale on which all of it stands.
    pub(super) fn scale(&self) -> Scale {
        Scale::over(self.most().max(self.least))
    }

    /// Its highest figure.
    pub(super) fn most(&self) -> f64 {
        self.values.iter().flatten().map(|figure| figure.number()).fold(0.0, f64::max)
    }
}

/// From 0 to a round figure, in round steps.
pub(super) struct Scale {
    step: f64,
    steps: u32,
}

impl Scale {
    /// At most four steps of 1, 2 or 5 of a power of ten, of which none is below 1: lenses are whole.
    fn over(most: f64) -> Self {
        let powers = (0..9).map(|power| 10_f64.powi(power));
        let mut steps = powers.flat_map(|power| [power, 2.0 * power, 5.0 * power]);
        let step = steps.find(|step| most <= 4.0 * step).unwrap_or(1e9);
        Self { step, steps: (most / step).ceil().clamp(1.0, 4.0) as u32 }
    }

    /// Which share of the scale a figure takes.
    pub(super) fn share(&self, figure: Figure) -> f64 {
        (figure.number() / (self.step * f64::from(self.steps))).clamp(0.0, 1.0)
    }

    /// Its figures, and which share of it each takes.
    pub(super) fn marks(&self) -> impl Iterator<Item = (f64, f64)> {
        (0..=self.steps).map(|at| (f64::from(at) * self.step, f64::from(at) / f64::from(self.steps)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_begins_at_nothing_ends_at_a_round_figure_and_has_room_for_all() {
        for (most, figures) in [
            (0.0, vec![0.0, 1.0]),
            (1.4, vec![0.0, 1.0, 2.0]),
            (7.0, vec![0.0, 2.0, 4.0, 6.0, 8.0]),
            (100.0, vec![0.0, 50.0, 100.0]),
            (612.0, vec![0.0, 200.0, 400.0, 600.0, 800.0]),
        ] {
            let marks: Vec<f64> = Scale::over(most).marks().map(|(figure, _)| figure).collect();
            assert_eq!(marks, figures, "{most}");
        }
    }
}
