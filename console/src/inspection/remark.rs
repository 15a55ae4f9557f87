//! One thing to say beside the verdict.

use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Subject;
use serde::{Serialize, Serializer};

/// Of what kind it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Of the mounted pair.
    Mounted,
    /// Of a lens before it was blocked.
    Uncut,
    /// Of the order.
    Order,
    /// It was measured, and has no limit.
    NoLimit,
    /// A reading that is out looks like a known slip.
    Slip,
    /// The mounted readings fit the uncut ones of the other eye, and not their own.
    Swapped,
    /// Power and cylinder read alike before and after; the axis does not.
    Turned,
    /// Uncut and mounted reading are of different power.
    Differ,
    /// It was done by a figure that the order does not say any more.
    Overtaken,
    /// There is a reading in the frame of a lens that does not fit it.
    NotFitted,
    /// It was not looked at.
    NotMade,
    /// The shop's settings do not ask it.
    NotAsked,
    /// It was looked at and is not as it should be.
    Bad,
    /// Nothing says how impact resistance is accounted for.
    Impact,
    /// All that was read in the frame was accepted as it was preset.
    Preset,
    /// It was read in less time than a reading takes.
    Quick,
    /// The PD was not measured, though the standard can do without it.
    Centres,
}

/// A gap, something that is not covered, a likely mistake, or something open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// Of a lens, or of the pair.
    #[serde(serialize_with = "in_words")]
    pub subject: Subject,
    /// Of what kind it is.
    pub kind: Kind,
    /// Whether it is about a lens before it was blocked.
    pub uncut: bool,
    /// It alone, in words.
    pub what: String,
    /// It and whose it is, in words.
    pub text: String,
    /// What a person would type to supply it, or once it has been seen to; `None` when no record can.
    pub command: Option<String>,
}

impl Remark {
    pub(crate) fn of(subject: Subject, kind: Kind, text: impl Into<String>) -> Self {
        let text = text.into();
        Self { subject, kind, uncut: kind == Kind::Uncut, what: text.clone(), text, command: None }
    }

    /// Of a lens.
    pub(super) fn of_lens(eye: Eye, kind: Kind, text: &str) -> Self {
        Self::of(Subject::Eye(eye), kind, format!("{eye} lens{text}"))
    }
}

fn in_words<S: Serializer>(subject: &Subject, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(subject)
}
