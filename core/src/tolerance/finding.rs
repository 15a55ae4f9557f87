//! One judged quantity.

use super::Limit;
use super::rule::{Bound, Chosen, Range, RuleWords};
use crate::prescription::Eye;
use crate::units::Power;
use core::fmt;

/// Whose quantity it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Subject {
    /// One lens.
    Eye(Eye),
    /// The mounted pair.
    Pair,
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Eye(eye) => eye.fmt(f),
            Self::Pair => f.pad("pair"),
        }
    }
}

/// What is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Quantity {
    /// Power along the axis: the sphere of the minus-cylinder form, D.
    Power,
    /// Power across the axis: sphere and cylinder of the minus-cylinder form together, D.
    PowerAcross,
    /// Cylinder of the minus-cylinder form, D.
    Cylinder,
    /// Axis of the minus-cylinder form, degrees.
    Axis,
    /// Addition, D.
    Add,
    /// Size of the prism at the reference point of an uncut lens, Δ. The deviation is the size of the
    /// difference, in any direction, rounded up.
    PrismAtReference,
    /// How far the reference point of an uncut lens is from its place, mm.
    ReferencePlace,
    /// Base up of the right eye less that of the left, Δ.
    Vertical,
    /// Base in of both eyes together, Δ.
    Horizontal,
    /// Base up of one eye, Δ.
    VerticalOfEye,
    /// Base in of one eye, Δ.
    HorizontalOfEye,
    /// PD of the pair, or of one eye, mm.
    Pd,
    /// Height of the segment or of the fitting cross, mm; for the pair the right height less the left.
    SegmentHeight,
    /// Distance between the segments, in total, mm.
    SegmentPlace,
    /// Tilt of a segment, degrees.
    SegmentTilt,
    /// Centre thickness, mm.
    Thickness,
}

impl Quantity {
    /// The unit of its values.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::Power | Self::PowerAcross | Self::Cylinder | Self::Add => Unit::Dioptre,
            Self::Axis | Self::SegmentTilt => Unit::Degree,
            Self::PrismAtReference
            | Self::Vertical
            | Self::Horizontal
            | Self::VerticalOfEye
            | Self::HorizontalOfEye => Unit::PrismDioptre,
            Self::ReferencePlace | Self::Pd | Self::SegmentHeight | Self::SegmentPlace | Self::Thickness => {
                Unit::Millimetre
            }
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Power => "power",
            Self::PowerAcross => "power across the axis",
            Self::Cylinder => "cylinder",
            Self::Axis => "axis",
            Self::Add => "addition",
            Self::PrismAtReference => "prism at the reference point",
            Self::ReferencePlace => "place of the reference point",
            Self::Vertical => "vertical prism of the pair",
            Self::Horizontal => "horizontal prism of the pair",
            Self::VerticalOfEye => "vertical prism",
            Self::HorizontalOfEye => "horizontal prism",
            Self::Pd => "PD",
            Self::SegmentHeight => "segment height",
            Self::SegmentPlace => "distance between the segments",
            Self::SegmentTilt => "tilt of the segment",
            Self::Thickness => "centre thickness",
        })
    }
}

/// The unit that a finding's values are thousandths of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Unit {
    /// D
    Dioptre,
    /// Δ
    PrismDioptre,
    /// °
    Degree,
    /// mm
    Millimetre,
}

impl Unit {
    /// How it is written behind a number.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Dioptre => "D",
            Self::PrismDioptre => "Δ",
            Self::Degree => "°",
            Self::Millimetre => "mm",
        }
    }
}

/// How the measured value and its limit came to be comparable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Basis {
    /// Both as they stand.
    AsRead,
    /// The prism was not read but follows from the PD: deviation × the strongest horizontal power by Prentice's
    /// rule, the worst case, rounded up to 1/1000 Δ.
    PrismFromPd,
    /// The rule limits a shift; its limit is shown as the prism that this shift makes in the stronger lens, by
    /// Prentice's rule.
    ShiftAsPrism,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::AsRead => "as read",
            Self::PrismFromPd => "worst case, from the PD by Prentice's rule",
            Self::ShiftAsPrism => "limit as prism in the stronger lens, by Prentice's rule",
        })
    }
}

/// One quantity compared with its limit. Values are thousandths of the quantity's unit.
///
/// It keeps the figures of its rule; the words are made when they are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Finding {
    /// Whose quantity it is.
    pub subject: Subject,
    /// What was judged.
    pub quantity: Quantity,
    /// What was ordered.
    pub ordered: i32,
    /// What was read.
    pub measured: i32,
    /// Measured less ordered; for an axis the least turn.
    pub deviation: i32,
    /// What the deviation may be, of either sign, inclusive. Where two readings of a rule differ, the larger.
    pub limit: Limit,
    /// The smaller limit where two readings of a rule differ, else the same.
    pub(super) stricter: Limit,
    /// How measured value and limit came to be comparable.
    pub basis: Basis,
    /// Range of the value that the rule's own table steps by.
    pub(super) own: Range,
    /// Range of the power that chose the row.
    pub(super) power: Range,
    pub(super) bound: Bound,
    /// Where the figure was published.
    pub source: &'static str,
    /// False when the figure is from memory; to be printed beside the verdict.
    pub confirmed: bool,
}

/// How near a deviation is to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Holding {
    /// Within the limit.
    Within,
    /// Within by one reading of the rule and out by another: the verdict does not turn on it.
    AtLimit,
    /// Beyond the limit.
    Out,
}

/// Whether a lens is judged before it is cut or in the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stage {
    Uncut,
    Mounted,
}

impl Finding {
    /// `values` are ordered and measured; the deviation is their difference. Judged as read, of a lens in the frame.
    pub(super) fn new(
        subject: Subject,
        quantity: Quantity,
        values: [i32; 2],
        chosen: Chosen<'_>,
        limit: Limit,
    ) -> Self {
        let ([ordered, measured], rule) = (values, chosen.rule);
        Self {
            subject,
            quantity,
            ordered,
            measured,
            deviation: measured - ordered,
            limit,
            stricter: limit,
            basis: Basis::AsRead,
            own: chosen.own,
            power: chosen.power,
            bound: rule.bound,
            source: rule.source,
            confirmed: rule.confirmed_for(Stage::Mounted),
        }
    }

    /// The same for a limit that does not depend on a meridian.
    pub(super) fn of<'t>(
        subject: Subject,
        quantity: Quantity,
        values: [i32; 2],
        chosen: impl Into<Chosen<'t>>,
    ) -> Self {
        let chosen = chosen.into();
        Self::new(subject, quantity, values, chosen, chosen.rule.limit(values[0], Power::ZERO))
    }

    /// The rule; shown in words.
    #[must_use]
    pub const fn rule(&self) -> RuleWords {
        RuleWords { quantity: self.quantity, own: self.own, power: self.power, bound: self.bound }
    }

    /// Where two readings of a rule differ, the smaller limit.
    #[must_use]
    pub fn stricter(&self) -> Option<Limit> {
        (self.stricter < self.limit).then_some(self.stricter)
    }

    /// Whether the deviation is within the limit; equal to it is within. What is at the limit is within.
    #[must_use]
    pub const fn is_within(&self) -> bool {
        self.limit.holds(self.deviation)
    }

    /// Within, out, or within by only one of two readings of the rule.
    #[must_use]
    pub fn holding(&self) -> Holding {
        if !self.is_within() {
            Holding::Out
        } else if !self.stricter.holds(self.deviation) {
            Holding::AtLimit
        } else {
            Holding::Within
        }
    }

    /// What is left of the limit; negative when out.
    #[must_use]
    pub const fn margin(&self) -> Limit {
        self.limit.margin(self.deviation)
    }

    /// The unit of its values.
    #[must_use]
    pub const fn unit(&self) -> Unit {
        self.quantity.unit()
    }
}
