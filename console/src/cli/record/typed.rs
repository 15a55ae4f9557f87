//! What is typed: jobs, eyes, outcomes and check items, with the short forms that are understood.
//!
//! The long names are those that records carry in JSON; a test holds them together.

use crate::cli::Failure;
use crate::cli::arguments::{self, one_of};
use crate::work::{Job, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::CheckItem;
use bevelbook_core::sizing::Outcome;
use clap::Args;
use clap::builder::{PossibleValue, TypedValueParser};

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
        (known("far-too-big", "A large step is still to go; also: far").alias("far"), Outcome::FarTooBig),
        (known("just-too-big", "A small step is still to go; also: just").alias("just"), Outcome::JustTooBig),
        (known("fits", "Seated and firm; also: fit").alias("fit"), Outcome::Fits),
        (known("loose", "Past the fit: the lens is undersize"), Outcome::Loose),
        (
            known("abandoned", "Broken off, the size is not known exactly; also: abandon").alias("abandon"),
            Outcome::Abandoned,
        ),
    ])
}

/// What was looked at: an item, or all that belong to a finish.
pub(super) fn items() -> impl TypedValueParser<Value = &'static [CheckItem]> {
    one_of(ITEMS.map(|(name, help, items)| (PossibleValue::new(name).help(help), items)))
}

const ITEMS: [(&str, &str, &[CheckItem]); 12] = [
    ("blocked", "The block sits on the centre dot, along the line of dots", &[CheckItem::Blocked]),
    ("slip", "The axis still stands after roughing", &[CheckItem::Slip]),
    ("bevel", "Both edges carry a safety bevel", &[CheckItem::Bevel]),
    ("firm", "The lens is firm in the rim", &[CheckItem::Firm]),
    ("strain", "No strain shows; when it does (--bad), sizing is open again", &[CheckItem::Strain]),
    ("surfaces", "No scratches, chips or crazing on surfaces and coating", &[CheckItem::Surfaces]),
    ("alignment", "The frame stands level; of the pair, without an eye", &[CheckItem::Alignment]),
    ("impact-tested", "Impact: this lens was tested", &[CheckItem::ImpactTested]),
    ("impact-sample", "Impact: the supplier vouches by sample", &[CheckItem::ImpactSample]),
    ("impact-exempt", "Impact: a type of lens exempt from the test", &[CheckItem::ImpactExempt]),
    ("impact-excepted", "Impact: excepted in writing by the prescriber", &[CheckItem::ImpactExcepted]),
    ("finish", "Bevel, firm, strain, surfaces of both lenses, and alignment: good", &CheckItem::FINISH),
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
