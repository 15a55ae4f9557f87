//! Frames that the shop has had before, found by their model.

use super::find::{folded, same};
use super::words::of_model;
use super::{Work, WorkError};
use crate::desk::{Condition, Frame, Order};
use bevelbook_core::frame::FrameSize;

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

impl Work {
    /// The frames of a model, each size once, the newest job's first. A trace's sizes count like typed ones.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn frames_of(&self, model: &str) -> Result<Vec<KnownFrame>, WorkError> {
        self.book.at_one_moment(|| {
            let mut known: Vec<KnownFrame> = Vec::new();
            let ids = self.book.found_by_beginning(&of_model(model))?.into_iter().rev().map(|(_, id)| id);
            for job in folded(&self.book, ids, |job| same(&job.order.frame.model, model)) {
                let order = job?.order;
                if !known.iter().any(|other| are_alike(&other.frame.size, &order.frame.size)) {
                    known.push(KnownFrame::of(order));
                }
            }
            Ok(known)
        })
    }
}

/// Whether two boxed sizes are one size of a model.
pub(super) fn are_alike(one: &FrameSize, other: &FrameSize) -> bool {
    [(one.a, other.a), (one.dbl, other.dbl)]
        .iter()
        .all(|(one, other)| (*one - *other).abs() <= Work::SAME_SIZE)
}
