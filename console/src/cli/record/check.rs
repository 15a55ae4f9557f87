//! `record check`: something was looked at, and was good or not. One record for each item and lens.

use super::typed::{Item, OfJob, WhichEyes};
use super::{answer, fields, line, unsigned, with_next};
use crate::cli::{Failure, Report};
use crate::work::{Logging, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Check, CheckItem, PairId, Subject};
use clap::Args;
use serde_json::json;

/// Log that something was looked at, and was good or not.
#[derive(Args)]
#[command(
    after_help = "Examples: bevelbook record check 3 strain r --bad\n          bevelbook record check 3 finish\n\n\
        Items of a lens need an eye, or `both`; alignment is of the pair. `finish` logs bevel, firm, strain and \
        surfaces of both lenses and the alignment as good; with an eye, those of that lens alone."
)]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    of: OfJob,
    /// What was looked at.
    #[arg(value_name = "ITEM", ignore_case = true)]
    item: Item,
    /// Eye; r, l and b will do.
    #[arg(value_name = "EYE", ignore_case = true)]
    eyes: Option<WhichEyes>,
    /// It was not as it should be.
    #[arg(long)]
    bad: bool,
}

/// One thing to log: an item of one lens, or of the pair.
type Look = (CheckItem, Option<Eye>);

impl CheckArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let looks = looks(self.item, self.eyes, self.bad)?;
        let job = self.of.find(work)?;
        let good = !self.bad;
        let check = |pair: PairId, (item, eye): Look| {
            let of = eye.map_or(Subject::Pair(pair), |eye| Subject::Lens(pair.lens(eye)));
            Bench::Check(Check { of, item, good })
        };
        let loggings =
            work.log_all(job.id, |pair| looks.into_iter().map(|look| check(pair, look)).collect())?;
        report(work, &loggings)
    }
}

/// What is to be logged for an item.
fn looks(item: Item, eyes: Option<WhichEyes>, bad: bool) -> Result<Vec<Look>, Failure> {
    let name = item.name();
    let refuse = |why: String| Err(Failure::Use(why));
    let items = item.items();
    if items.iter().any(|item| item.is_of_pair()) {
        return match eyes {
            None => Ok(items.iter().map(|item| (*item, None)).collect()),
            Some(_) => refuse(format!("{name} is looked at on the pair; leave out the eye")),
        };
    }
    let finish = item == Item::Finish;
    if finish && bad {
        return refuse("finish is for all that is good; name the item that is bad, such as strain".into());
    }
    let eyes = match (eyes, finish) {
        (Some(eyes), _) => eyes,
        (None, true) => WhichEyes::Both,
        (None, false) => {
            return refuse(format!("{name} is looked at on a lens; say right, left or both behind it"));
        }
    };
    let mut looks: Vec<Look> =
        eyes.eyes().iter().flat_map(|eye| items.iter().map(|item| (*item, Some(*eye)))).collect();
    if finish && eyes == WhichEyes::Both {
        looks.push((CheckItem::Alignment, None));
    }
    Ok(looks)
}

fn report(work: &Work, loggings: &[Logging]) -> Result<Report, Failure> {
    let (Some(first), Some(last)) = (loggings.first(), loggings.last()) else {
        return Err(Failure::Use("nothing to log".into()));
    };
    let reopened: Vec<String> = loggings.iter().filter_map(reopened).collect();
    if loggings.len() == 1 {
        return answer(work, first, &reopened);
    }
    let mut lines = Vec::new();
    for logging in loggings {
        lines.push(line(work, logging.id, &logging.fact, &last.after)?);
    }
    lines.extend(reopened.iter().map(|line| format!("  {line}")));
    let records: Vec<_> =
        loggings.iter().map(|logging| fields(logging.id, &logging.fact, &last.after)).collect();
    let json = json!({ "records": records, "job": last.after.order.number });
    Ok(unsigned(with_next(Report::new(lines.join("\n"), json), &last.after), &first.before))
}

/// What a strained lens means for its sizing.
fn reopened(logging: &Logging) -> Option<String> {
    let Bench::Check(Check { of: Subject::Lens(lens), item: CheckItem::Strain, good: false }) = logging.fact
    else {
        return None;
    };
    let before = logging.before.state.lens(lens.eye).sizing;
    let after = logging.after.state.lens(lens.eye).sizing;
    let fitted = before.fits.filter(|_| before.is_done() && !after.is_done())?;
    Some(format!("sizing of the {} lens is open again: its fit at {fitted} counts as just too big", lens.eye))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finish_is_every_finishing_item_of_both_lenses_and_the_alignment() {
        let all = looks(Item::Finish, None, false).unwrap();
        assert_eq!(all.len(), 2 * CheckItem::FINISH.len() + 1);
        for eye in Eye::BOTH {
            assert!(CheckItem::FINISH.iter().all(|item| all.contains(&(*item, Some(eye)))));
        }
        assert!(all.contains(&(CheckItem::Alignment, None)));
        let right = looks(Item::Finish, Some(WhichEyes::Right), false).unwrap();
        assert_eq!(right, CheckItem::FINISH.map(|item| (item, Some(Eye::Right))));
    }

    #[test]
    fn an_eye_is_asked_for_where_it_belongs() {
        assert!(looks(Item::Strain, None, false).is_err());
        assert!(looks(Item::Alignment, Some(WhichEyes::Both), false).is_err());
        assert!(looks(Item::Finish, None, true).is_err());
        assert_eq!(looks(Item::Alignment, None, true).unwrap(), [(CheckItem::Alignment, None)]);
        let both = [(CheckItem::Bevel, Some(Eye::Right)), (CheckItem::Bevel, Some(Eye::Left))];
        assert_eq!(looks(Item::Bevel, Some(WhichEyes::Both), false).unwrap(), both);
    }
}
