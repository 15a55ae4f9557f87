//! Frames that the shop has had before, found by their model.

use super::find::folded;
use super::near::same;
use super::words::of_model;
use super::{Job, Work, WorkError};
use crate::desk::{Condition, Frame, Order};
use crate::store::Reader;
use bevelbook_core::frame::FrameSize;
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Length;

/// A frame of a model as it was ordered last in its size.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownFrame {
    /// The number of the job that ordered it.
    pub number: u32,
    /// What the next frame of this model and size shares with it: not how it sat before a face, nor its state.
    pub frame: Frame,
    /// Whether that one was traced. The next has a shape of its own.
    pub traced: bool,
}

impl KnownFrame {
    fn of(Order { number, frame, trace, .. }: Order) -> Self {
        let frame = Frame { tilt: None, wrap: None, condition: Condition::New, ..frame };
        Self { number, frame, traced: trace.is_some() }
    }
}

/// What frames share whose lenses are sized alike: the model, the boxed size and what holds the lens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrameKey {
    /// The model, as it was written.
    pub model: String,
    /// Width of the box.
    pub a: Length,
    /// Between the boxes.
    pub dbl: Length,
    /// What holds the lens.
    pub rim: Rim,
}

impl FrameKey {
    /// That of a frame.
    #[must_use]
    pub fn of(frame: &Frame) -> Self {
        let FrameSize { a, dbl, .. } = frame.size;
        Self { model: frame.model.clone(), a, dbl, rim: frame.rim }
    }

    /// Whether two are one: the model in whatever letters, the size as far as [`Work::SAME_SIZE`] tells.
    #[must_use]
    pub fn is_alike(&self, other: &Self) -> bool {
        self.rim == other.rim
            && are_alike([self.a, self.dbl], [other.a, other.dbl])
            && same(&self.model, &other.model)
    }
}

impl Work {
    /// How far two boxed sizes may differ to be one size of a model: 0.5 mm. Common practice, no source: a model's sizes
    /// lie 2 mm apart, and a traced size differs from the printed one by less than a millimetre.
    pub const SAME_SIZE: Length = Length::from_milli(500);

    /// The frames of a model, each size once, the newest job's first. A trace's sizes count like typed ones.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn frames_of(&self, model: &str) -> Result<Vec<KnownFrame>, WorkError> {
        let size = |frame: &Frame| [frame.size.a, frame.size.dbl];
        self.book.at_one_moment(|| {
            let mut known: Vec<KnownFrame> = Vec::new();
            for job in jobs_of_model(&self.book, model)? {
                let order = job?.order;
                if !known.iter().any(|other| are_alike(size(&other.frame), size(&order.frame))) {
                    known.push(KnownFrame::of(order));
                }
            }
            Ok(known)
        })
    }
}

/// The jobs with frames of a model, the newest first.
pub(super) fn jobs_of_model<'r>(
    reader: &'r Reader,
    model: &'r str,
) -> Result<impl Iterator<Item = Result<Job, WorkError>> + 'r, WorkError> {
    let ids = reader.found_by_beginning(&of_model(model))?.into_iter().rev().map(|(_, id)| id);
    Ok(folded(reader, ids, |job| same(&job.order.frame.model, model)))
}

/// Whether two boxed sizes, A and DBL, are one size of a model.
fn are_alike(one: [Length; 2], other: [Length; 2]) -> bool {
    one.into_iter().zip(other).all(|(one, other)| (one - other).abs() <= Work::SAME_SIZE)
}
