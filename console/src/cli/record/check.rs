//! `record check`: something was looked at, and was good or not. One record for each item and lens.

use super::typed::{OfJob, eyes, items};
use super::{fact, unsigned, with_next};
use crate::cli::{Failure, Report};
use crate::work::{Logging, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Check, CheckItem, Entered, PairId, Subject};
use clap::Args;
use serde_json::{Value, json};

/// Log that something was looked at, and was good or not.
#[derive(Args)]
#[command(
    after_help = "Examples: bevelbook record check 3 strain r --bad\n          bevelbook record check 3 finish\n\n\
        Items of a lens need an eye, or `both`; alignment is of the pair. `finish` logs bevel, firm, strain and \
        surfaces of the lenses that are made and the alignment as good, as far as the settings' bench.checks ask them; with \
        an eye, those of that lens alone."
)]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    of: OfJob,
    /// What was looked at.
    #[arg(value_name = "ITEM", ignore_case = true, value_parser = items())]
    items: &'static [CheckItem],
    /// Eye; r, l and b will do.
    #[arg(value_name = "EYE", ignore_case = true, value_parser = eyes())]
    eyes: Option<&'static [Eye]>,
    /// It was not as it should be.
    #[arg(long)]
    bad: bool,
}

/// One thing to log: an item of one lens, or of the pair.
type Look = (CheckItem, Option<Eye>);

impl CheckArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let mut looks = looks(self.items, self.eyes, self.bad)?;
        let job = self.of.find(work)?;
        // What is named is logged; of a finish what the shop looks for.
        let flow = work.settings().bench;
        looks.retain(|(item, _)| self.items.len() == 1 || flow.asks(*item));
        if self.eyes.is_none() {
            // A finish is that of the lenses that are made.
            looks.retain(|(_, eye)| eye.is_none_or(|eye| job.made(eye).is_ok()));
        }
        let good = !self.bad;
        let check = |pair: PairId, (item, eye): Look| {
            let of = eye.map_or(Subject::Pair(pair), |eye| Subject::Lens(pair.lens(eye)));
            Bench::Check(Check { entered: Entered::READ, of, item, good })
        };
        let loggings = work.log_all(job.id, |pair| looks.iter().map(|look| check(pair, *look)).collect())?;
        report(work, &loggings)
    }
}

/// What is to be logged for one item, or for all of a finish.
fn looks(items: &[CheckItem], eyes: Option<&[Eye]>, bad: bool) -> Result<Vec<Look>, Failure> {
    let refuse = |why: String| Err(Failure::Use(why));
    let of_lenses = |eyes: &[Eye]| -> Vec<Look> {
        eyes.iter().flat_map(|eye| items.iter().map(|item| (*item, Some(*eye)))).collect()
    };
    Ok(match (items, eyes) {
        ([item], None) if item.is_of_pair() => vec![(*item, None)],
        ([item], Some(_)) if item.is_of_pair() => {
            return refuse(format!("{item} is looked at on the pair; leave out the eye"));
        }
        ([item], None) => {
            return refuse(format!("{item} is looked at on a lens; say right, left or both behind it"));
        }
        ([_], Some(eyes)) => of_lenses(eyes),
        _ if bad => {
            return refuse(
                "finish is for all that is good; name the item that is bad, such as strain".into(),
            );
        }
        (_, Some([eye])) => of_lenses(&[*eye]),
        _ => [of_lenses(&Eye::BOTH), vec![(CheckItem::Alignment, None)]].concat(),
    })
}

fn report(work: &Work, loggings: &[Logging]) -> Result<Report, Failure> {
    let (Some(first), Some(last)) = (loggings.first(), loggings.last()) else {
        return Err(Failure::Use("nothing to log".into()));
    };
    let mut told = loggings.iter().map(|logging| one(work, logging)).collect::<Result<Vec<_>, _>>()?;
    let report = if told.len() == 1 {
        told.remove(0)
    } else {
        let lines: Vec<&str> = told.iter().map(|report| &*report.text).collect();
        let records: Vec<&Value> = told.iter().map(|report| &report.json).collect();
        Report::new(lines.join("\n"), json!({ "records": records, "job": last.after.order.number }))
    };
    Ok(unsigned(with_next(work, report, &last.after)?, &first.before))
}

/// One look.
fn one(work: &Work, logging: &Logging) -> Result<Report, Failure> {
    let report = fact(work, logging, reopened(logging).as_slice())?.with("kind", "check");
    Ok(match logging.fact {
        Bench::Check(Check { item, good, .. }) => report.with("item", item).with("good", good),
        _ => report,
    })
}

/// What a strained lens means for its sizing.
fn reopened(logging: &Logging) -> Option<String> {
    let Bench::Check(Check { of: Subject::Lens(lens), item: CheckItem::Strain, good: false, .. }) =
        logging.fact
    else {
        return None;
    };
    let before = logging.before.state.lens(lens.eye).sizing;
    let after = logging.after.state.lens(lens.eye).sizing;
    let fitted = before.fits.filter(|_| before.is_done() && !after.is_done())?;
    Some(format!(
        "sizing of the {} lens is open again: its fit at {fitted} counts as a touch too big",
        lens.eye
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finish_is_every_finishing_item_of_both_lenses_and_the_alignment() {
        let all = looks(&CheckItem::FINISH, None, false).unwrap();
        assert_eq!(all.len(), 2 * CheckItem::FINISH.len() + 1);
        for eye in Eye::BOTH {
            assert!(CheckItem::FINISH.iter().all(|item| all.contains(&(*item, Some(eye)))));
        }
        assert!(all.contains(&(CheckItem::Alignment, None)));
        let right = looks(&CheckItem::FINISH, Some(&[Eye::Right]), false).unwrap();
        assert_eq!(right, CheckItem::FINISH.map(|item| (item, Some(Eye::Right))));
    }

    #[test]
    fn an_eye_is_asked_for_where_it_belongs() {
        assert!(looks(&[CheckItem::Strain], None, false).is_err());
        assert!(looks(&[CheckItem::Alignment], Some(&Eye::BOTH), false).is_err());
        assert!(looks(&CheckItem::FINISH, None, true).is_err());
        assert_eq!(looks(&[CheckItem::Alignment], None, true).unwrap(), [(CheckItem::Alignment, None)]);
        let both = [(CheckItem::Bevel, Some(Eye::Right)), (CheckItem::Bevel, Some(Eye::Left))];
        assert_eq!(looks(&[CheckItem::Bevel], Some(&Eye::BOTH), false).unwrap(), both);
    }
}
