//! The trace that an order takes in: read once, laid over the order, and what is said about it.

use super::Failure;
use crate::desk::{FrameTrace, Order, sizes_of};
use crate::trace::{Note, Trace, text_of};
use bevelbook_core::units::Length;
use std::path::Path;

/// A trace as it was read from a file.
pub(crate) struct TraceFile {
    kept: FrameTrace,
    trace: Trace,
}

impl TraceFile {
    pub(crate) fn read(file: &Path) -> Result<Self, Failure> {
        Self::parse(&text_of(file)?, file)
    }

    /// From the text of a record; `file` is what errors call it.
    pub(crate) fn parse(text: &str, file: &Path) -> Result<Self, Failure> {
        let (trace, kept) = (Trace::parse(text, file)?, FrameTrace::of(text, file)?);
        Ok(Self { kept, trace })
    }

    /// The bridge that the record states.
    pub(crate) fn dbl(&self) -> Option<Length> {
        self.trace.dbl()
    }

    /// Lays the trace and its sizes over an order; the bridge only where the record states one.
    pub(crate) fn apply(&self, order: &mut Order) {
        let size = &mut order.frame.size;
        if let Some(sizes) = sizes_of(&self.trace, self.dbl().unwrap_or(size.dbl)) {
            *size = sizes;
        }
        order.trace = Some(self.kept.clone());
    }

    /// What a person should know about it.
    pub(crate) fn hints(&self) -> Vec<String> {
        let told = |note: &&Note| !matches!(note, Note::Kept { .. });
        let mut hints: Vec<String> =
            self.trace.notes().iter().filter(told).map(|note| format!("trace: {note}")).collect();
        match self.kept.left_out() {
            0 => {}
            1 => hints.push("trace: 1 other label of the record was left out of the book".into()),
            many => hints.push(format!("trace: {many} other labels of the record were left out of the book")),
        }
        hints
    }
}
