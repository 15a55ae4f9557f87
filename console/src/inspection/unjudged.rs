//! What no verdict is given on.

use super::EyeInspection;
use bevelbook_core::tolerance::{Judgement, NotCovered};
use std::fmt;

/// One thing that is neither passed nor failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unjudged {
    /// Whether it is about the lens before it was cut.
    pub uncut: bool,
    /// What.
    pub left: NotCovered,
}

impl fmt::Display for Unjudged {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.uncut {
            f.write_str("uncut, ")?;
        }
        self.left.fmt(f)
    }
}

/// Of the uncut lenses that are judged, and of the pair.
pub(super) fn unjudged(eyes: &[EyeInspection; 2], pair: &Judgement) -> Vec<Unjudged> {
    let of = |judgement: &Judgement, uncut| {
        judgement.not_covered().iter().map(|left| Unjudged { uncut, left: *left }).collect::<Vec<_>>()
    };
    let judged = eyes.iter().filter_map(|eye| eye.uncut.as_ref());
    judged.flat_map(|uncut| of(&uncut.judgement, true)).chain(of(pair, false)).collect()
}
