//! What earlier lenses have shown.

use super::{Fact, Work, WorkError};
use crate::desk::Frame;
use bevelbook_core::record::{Bench, LensId};
use bevelbook_core::sizing::{Size, Sizing};
use bevelbook_core::units::Length;

impl Work {
    /// How far two boxed sizes may differ to be one size of a model: 0.5 mm. Common practice, no source: a model's sizes
    /// lie 2 mm apart, and a traced size differs from the printed one by less than a millimetre.
    pub const SAME_SIZE: Length = Length::from_milli(500);

    /// The sizes at which lenses fitted frames of the same model and boxed size, in the order in which their jobs
    /// were opened. Only rims that close round the lens tell: a grooved or drilled lens is cut to a shape.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn fits_of(&self, frame: &Frame) -> Result<Vec<Size>, WorkError> {
        let mut fits = Vec::new();
        if !frame.rim.closes_round_lens() {
            return Ok(fits);
        }
        let alike = |one: Length, other: Length| (one - other).abs() <= Self::SAME_SIZE;
        for job in self.jobs()?.whole {
            let other = &job.order.frame;
            let same = other.model.to_lowercase() == frame.model.to_lowercase()
                && alike(other.size.a, frame.size.a)
                && alike(other.size.dbl, frame.size.dbl)
                && other.rim == frame.rim;
            if !same {
                continue;
            }
            let mut lenses: Vec<(LensId, Sizing)> = Vec::new();
            for line in job.lines.iter().filter(|line| !line.void) {
                if let Fact::Bench(Bench::Pass(pass)) = &line.fact {
                    if !lenses.iter().any(|(lens, _)| *lens == pass.lens) {
                        lenses.push((pass.lens, Sizing::default()));
                    }
                    for (_, sizing) in lenses.iter_mut().filter(|(lens, _)| *lens == pass.lens) {
                        sizing.apply(pass);
                    }
                }
            }
            fits.extend(lenses.into_iter().filter_map(|(_, sizing)| sizing.fits));
        }
        Ok(fits)
    }
}
