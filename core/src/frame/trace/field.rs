//! Fields of a record that hold lengths.

use super::number::decimal;
use super::refusal::Reason;
use crate::prescription::Eye;
use crate::units::{Length, words};

/// A length that a record gives for each eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Field {
    /// `HBOX`: A.
    BoxWidth,
    /// `VBOX`: B.
    BoxHeight,
    /// `FED`: effective diameter; twice the longest radius in the samples seen, rounded.
    EffectiveDiameter,
    /// `CIRC`: girth, which does not say whether in two dimensions or three.
    Girth,
    /// `FCOCIN`: the optical centre from the boxed centre, inward positive.
    CentreIn,
    /// `FCOCUP`: the optical centre from the boxed centre, up positive.
    CentreUp,
    /// `IPD`: distance PD of each eye.
    Pd,
    /// `NPD`: near PD of each eye.
    NearPd,
    /// `OCHT`: height of the optical centre from the lower side of the box.
    CentreHeight,
    /// `SEGHT`: height of the segment from the lower side of the box.
    SegmentHeight,
}

impl Field {
    pub(super) fn of(label: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| label.eq_ignore_ascii_case(field.words()))
    }
}

words! {
    /// All of them, in the order in which they are written.
    ALL Field {
        BoxWidth => "HBOX",
        BoxHeight => "VBOX",
        EffectiveDiameter => "FED",
        Girth => "CIRC",
        CentreIn => "FCOCIN",
        CentreUp => "FCOCUP",
        Pd => "IPD",
        NearPd => "NPD",
        CentreHeight => "OCHT",
        SegmentHeight => "SEGHT",
    }
}

/// One length for each eye, as far as a record gives it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Pair {
    /// Of the right eye.
    pub right: Option<Length>,
    /// Of the left eye.
    pub left: Option<Length>,
}

impl Pair {
    /// That of `eye`.
    pub const fn of(self, eye: Eye) -> Option<Length> {
        match eye {
            Eye::Right => self.right,
            Eye::Left => self.left,
        }
    }

    pub(super) fn read(field: Field, value: &str) -> Result<Self, Reason> {
        let mut parts = value.split(';');
        let (Some(right), left, None) = (parts.next(), parts.next(), parts.next()) else {
            return Err(Reason::ManyFields { label: field.words() });
        };
        let Some(left) = left else { return Err(Reason::OneField { label: field.words() }) };
        Ok(Self { right: length(field.words(), right, 1)?, left: length(field.words(), left, 2)? })
    }
}

/// A length in millimetres; none when nothing or `?` stands there.
pub(super) fn length(label: &'static str, text: &str, position: u32) -> Result<Option<Length>, Reason> {
    let text = text.trim();
    if text.is_empty() || text == "?" {
        return Ok(None);
    }
    decimal(text).map(Some).ok_or(Reason::NotMillimetres { label, position })
}
