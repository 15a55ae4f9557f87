//! What earlier lenses have shown.

use super::find::{folded, same};
use super::frames::are_alike;
use super::words::of_model;
use super::{Job, Work, WorkError};
use crate::desk::Frame;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::LensId;
use bevelbook_core::sizing::Size;
use bevelbook_core::units::Length;

impl Work {
    /// How far two boxed sizes may differ to be one size of a model: 0.5 mm. Common practice, no source: a model's sizes
    /// lie 2 mm apart, and a traced size differs from the printed one by less than a millimetre.
    pub const SAME_SIZE: Length = Length::from_milli(500);

    /// The lenses that fitted frames of the same model and boxed size and the sizes at which they did, in the order in which
    /// their jobs were opened. Only rims that close round the lens tell: a grooved or drilled lens is cut to a shape.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn fits_of(&self, frame: &Frame) -> Result<Vec<(LensId, Size)>, WorkError> {
        if !frame.rim.closes_round_lens() {
            return Ok(Vec::new());
        }
        let is_alike = |job: &Job| {
            let other = &job.order.frame;
            same(&other.model, &frame.model) && are_alike(&other.size, &frame.size) && other.rim == frame.rim
        };
        self.book.at_one_moment(|| {
            let mut fits = Vec::new();
            let ids = self.book.found_by_beginning(&of_model(&frame.model))?.into_iter().map(|(_, id)| id);
            for job in folded(&self.book, ids, is_alike) {
                let job = job?;
                for (lenses, eye) in job.lenses.iter().zip(Eye::BOTH) {
                    let lens = |number| LensId { number, ..job.pair().lens(eye) };
                    fits.extend(lenses.iter().filter_map(|of| Some((lens(of.number), of.sizing.fits?))));
                }
            }
            Ok(fits)
        })
    }
}
