//! What is typed: jobs, eyes, outcomes and check items, with the short forms that are understood.
//!
//! The long names are those that records carry in JSON; a test holds them together.

use crate::cli::arguments::{self, one_of};
use crate::cli::{Failure, plan};
use crate::work::{Job, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::CheckItem;
use bevelbook_core::sizing::Outcome;
use clap::Args;
use clap::builder::{PossibleValue, TypedValueParser};

/// The job that a fact is about.
#[derive(Args)]
pub(super) struct OfJob {
    /// Job: its number, T4 for a tray, customer's reference, or the beginning of a walk-in's code.
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

    /// The same where the advice on it is asked next.
    pub(super) fn find_to_advise(&self, work: &Work) -> Result<(Job, Eye), Failure> {
        Ok((plan::job(work, &self.job.job)?, self.eye))
    }
}

/// One eye or both.
pub(super) fn eyes() -> impl TypedValueParser<Value = &'static [Eye]> {
    let known = |name, letter| PossibleValue::new(name).alias(letter);
    let eyes: [(_, &[Eye]); 3] = [
        (known("right", "r"), &[Eye::Right]),
        (known("left", "l"), &[Eye::Left]),
        (known("both", "b"), &Eye::BOTH),
    ];
    one_of(eyes)
}

/// What the hand felt.
pub(super) fn felt() -> impl TypedValueParser<Value = Outcome> {
    let known = |name, help| PossibleValue::new(name).help(help);
    one_of([
        (
            known("much-too-big", "A large step is still to go; also: much").aliases([
                "much",
                "far",
                "far-too-big",
            ]),
            Outcome::FarTooBig,
        ),
        (
            known("touch-too-big", "A small step is still to go; also: touch").aliases([
                "touch",
                "just",
                "just-too-big",
            ]),
            Outcome::JustTooBig,
        ),
        (known("fits", "Seats all round and is firm; also: fit").alias("fit"), Outcome::Fits),
        (known("loose", "Past the fit: the lens is undersize"), Outcome::Loose),
        (
            known("stopped-early", "Stopped early, the size is not known; also: stopped").aliases([
                "stopped",
                "abandoned",
                "abandon",
            ]),
            Outcome::Abandoned,
        ),
    ])
}

/// What was looked at: an item, or all that belong to a finish.
pub(super) fn items() -> impl TypedValueParser<Value = &'static [CheckItem]> {
    // What the names of the impact items were, is still understood.
    let known = |name: &'static str| match name.strip_prefix("drop-ball-") {
        Some("tested") => PossibleValue::new(name).alias("impact-tested"),
        Some("batch") => PossibleValue::new(name).alias("impact-sample"),
        Some("exempt") => PossibleValue::new(name).alias("impact-exempt"),
        Some("waived") => PossibleValue::new(name).alias("impact-excepted"),
        _ => PossibleValue::new(name),
    };
    one_of(ITEMS.map(|(name, help, items)| (known(name).help(help), items)))
}

const ITEMS: [(&str, &str, &[CheckItem]); 12] = [
    ("blocked", "The block is on the centre dot and the 180 line", &[CheckItem::Blocked]),
    ("slip", "The axis did not move in roughing", &[CheckItem::Slip]),
    ("bevel", "Pin bevel (safety chamfer) on both edges", &[CheckItem::Bevel]),
    ("firm", "The lens is firm in the rim", &[CheckItem::Firm]),
    ("strain", "No strain in the lens; with --bad, sizing is open again", &[CheckItem::Strain]),
    ("surfaces", "No scratches, chips or crazing on surfaces and coating", &[CheckItem::Surfaces]),
    ("alignment", "The frame is true; no eye, it is of the pair", &[CheckItem::Alignment]),
    ("drop-ball-tested", "Drop ball: this lens was tested", &[CheckItem::ImpactTested]),
    ("drop-ball-batch", "Drop ball: the supplier vouches for the batch", &[CheckItem::ImpactSample]),
    ("drop-ball-exempt", "Drop ball: a type of lens exempt from the test", &[CheckItem::ImpactExempt]),
    ("drop-ball-waived", "Drop ball: waived in writing by the prescriber", &[CheckItem::ImpactExcepted]),
    ("finish", "Pin bevel, firm, strain, surfaces of both lenses, and alignment: good", &CheckItem::FINISH),
];

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    /// What the names of a parser mean.
    fn meant<P: TypedValueParser>(parser: &P) -> Vec<(String, P::Value)> {
        let command = clap::Command::new("record");
        let names: Vec<PossibleValue> = parser.possible_values().unwrap().collect();
        let value = |name: &str| parser.parse_ref(&command, None, name.as_ref()).unwrap();
        names.iter().map(|name| (name.get_name().to_owned(), value(name.get_name()))).collect()
    }

    #[test]
    fn every_outcome_and_item_can_be_typed_by_the_name_that_a_record_gives_it() {
        let felt = meant(&felt());
        assert!(felt.iter().all(|(name, outcome)| json!(outcome) == json!(name)), "{felt:?}");
        assert_eq!(felt.iter().map(|(_, outcome)| *outcome).collect::<Vec<_>>(), Outcome::ALL);
        let mut items = meant(&items());
        assert_eq!(items.pop(), Some(("finish".into(), &CheckItem::FINISH as &[_])));
        assert!(items.iter().all(|(name, items)| json!(items) == json!([name])), "{items:?}");
        assert_eq!(items.iter().map(|(_, items)| items[0]).collect::<Vec<_>>(), CheckItem::ALL);
    }
}
