//! A lens as a screen has it: from the front, as who faces the wearer sees it.

use bevelbook_core::prescription::Eye;
use bevelbook_core::units::PrismPair;

/// A lens with prism.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lens {
    /// The eye it is for: where its nose is.
    pub eye: Eye,
    /// Its prism.
    pub prism: PrismPair,
    /// Its axis in whole degrees, where that is to be lined up.
    pub axis: Option<u16>,
}

/// A part of a prism.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// In or out.
    Across,
    /// Up or down.
    Upright,
}

/// What an uncut lens is put in place by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marks {
    /// Three dots on the line of 180, the middle one on its optical centre.
    Dots,
    /// The same, level with the top of its segment.
    Segment,
    /// Its engravings on the line of 180, and the fitting cross that they give.
    Cross,
}

/// An uncut lens with what is marked on it. How it lies is true, its sizes are not: a card has no shape, and where a lens is
/// laid out in its frame the console alone works out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MarkedLens {
    /// The eye it is for: where its nose is.
    pub eye: Eye,
    /// Its axis in whole degrees, where it is turned to that.
    pub axis: Option<u16>,
    /// What it is put in place by.
    pub marks: Marks,
    /// Whether its block stands on it.
    pub blocked: bool,
}
