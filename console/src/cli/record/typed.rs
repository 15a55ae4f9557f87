//! What is typed: jobs, eyes, outcomes and check items, with the short forms that are understood.
//!
//! The long names are those that records carry in JSON; a test holds them together.

use crate::cli::{Failure, arguments};
use crate::work::{Job, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::CheckItem;
use bevelbook_core::sizing::Outcome;
use clap::{Args, ValueEnum};

/// The job that a fact is about.
#[derive(Args)]
pub(super) struct OfJob {
    /// Job: its number, tray, customer's reference, or the beginning of its identity.
    #[arg(value_name = "JOB")]
    job: String,
}

impl OfJob {
    pub(super) fn find(&self, work: &Work) -> Result<Job, Failure> {
        Ok(work.find(&self.job)?)
    }
}

/// The lens that a fact is about.
#[derive(Args)]
pub(super) struct OfLens {
    #[command(flatten)]
    job: OfJob,
    /// Eye: right or left; r and l will do.
    #[arg(value_name = "EYE", value_parser = arguments::eye)]
    eye: Eye,
}

impl OfLens {
    pub(super) fn find(&self, work: &Work) -> Result<(Job, Eye), Failure> {
        Ok((self.job.find(work)?, self.eye))
    }
}

/// One eye or both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum WhichEyes {
    #[value(alias = "r")]
    Right,
    #[value(alias = "l")]
    Left,
    #[value(alias = "b")]
    Both,
}

impl WhichEyes {
    pub(super) const fn eyes(self) -> &'static [Eye] {
        match self {
            Self::Right => &[Eye::Right],
            Self::Left => &[Eye::Left],
            Self::Both => &Eye::BOTH,
        }
    }
}

/// What the hand felt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Felt {
    /// A large step is still to go; also: far.
    #[value(alias = "far")]
    FarTooBig,
    /// A small step is still to go; also: just.
    #[value(alias = "just")]
    JustTooBig,
    /// Seated and firm; also: fit.
    #[value(alias = "fit")]
    Fits,
    /// Past the fit: the lens is undersize.
    Loose,
    /// Broken off, the size is not known exactly; also: abandon.
    #[value(alias = "abandon")]
    Abandoned,
}

impl Felt {
    pub(super) const fn outcome(self) -> Outcome {
        match self {
            Self::FarTooBig => Outcome::FarTooBig,
            Self::JustTooBig => Outcome::JustTooBig,
            Self::Fits => Outcome::Fits,
            Self::Loose => Outcome::Loose,
            Self::Abandoned => Outcome::Abandoned,
        }
    }
}

/// What was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Item {
    /// The block sits on the centre dot, along the line of dots.
    Blocked,
    /// The axis still stands after roughing.
    Slip,
    /// Both edges carry a safety bevel.
    Bevel,
    /// The lens is firm in the rim.
    Firm,
    /// The lens shows no strain; when it does (--bad), its sizing is open again.
    Strain,
    /// Surfaces and coating are free of scratches, chips and crazing.
    Surfaces,
    /// The frame stands level and aligned; of the pair, without an eye.
    Alignment,
    /// Impact: this lens was tested.
    ImpactTested,
    /// Impact: the supplier vouches by sample.
    ImpactSample,
    /// Impact: a type of lens that is exempt from the test.
    ImpactExempt,
    /// Impact: excepted in writing by the prescriber.
    ImpactExcepted,
    /// All at once, as good: bevel, firm, strain and surfaces of both lenses, and alignment.
    Finish,
}

impl Item {
    /// The items that are meant.
    pub(super) const fn items(self) -> &'static [CheckItem] {
        match self {
            Self::Blocked => &[CheckItem::Blocked],
            Self::Slip => &[CheckItem::Slip],
            Self::Bevel => &[CheckItem::Bevel],
            Self::Firm => &[CheckItem::Firm],
            Self::Strain => &[CheckItem::Strain],
            Self::Surfaces => &[CheckItem::Surfaces],
            Self::Alignment => &[CheckItem::Alignment],
            Self::ImpactTested => &[CheckItem::ImpactTested],
            Self::ImpactSample => &[CheckItem::ImpactSample],
            Self::ImpactExempt => &[CheckItem::ImpactExempt],
            Self::ImpactExcepted => &[CheckItem::ImpactExcepted],
            Self::Finish => &CheckItem::FINISH,
        }
    }

    /// How it is typed.
    pub(super) fn name(self) -> String {
        self.to_possible_value().map(|value| value.get_name().to_owned()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_typed_has_the_name_that_a_record_gives_it() {
        for felt in Felt::value_variants() {
            let typed = felt.to_possible_value().unwrap();
            assert_eq!(json!(felt.outcome()), json!(typed.get_name()));
        }
        for item in Item::value_variants().iter().filter(|item| **item != Item::Finish) {
            assert_eq!(json!(item.items()), json!([item.name()]));
        }
    }

    #[test]
    fn every_outcome_and_item_can_be_typed() {
        let felt: Vec<Outcome> = Felt::value_variants().iter().map(|felt| felt.outcome()).collect();
        assert_eq!(felt, Outcome::ALL);
        let single = Item::value_variants().iter().filter(|item| **item != Item::Finish);
        let items: Vec<CheckItem> = single.flat_map(|item| item.items()).copied().collect();
        assert_eq!(items, CheckItem::ALL);
    }
}
