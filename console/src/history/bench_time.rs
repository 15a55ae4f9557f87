//! How long a pair was in hand at the bench.

use crate::work::{Fact, Line};
use bevelbook_core::record::Bench;
use jiff::SignedDuration;

/// Between two records of a pair that lie farther apart something else was done: 15 minutes. Common practice, no source: a
/// reading, a block and a pass take a few minutes each.
pub const PAUSE: SignedDuration = SignedDuration::from_mins(15);

/// Whether a record tells of work on a job's lenses.
pub(super) fn is_work(line: &Line) -> bool {
    let tells = |fact: &Bench| fact.lens().is_some() || fact.pair().is_some();
    matches!(&line.fact, Fact::Bench(fact) if tells(fact))
}

/// From the first to the last record of a pair, less its pauses. Only where the times of all of them are known, or all
/// were made between two starts of one keypad, whose ticks then tell.
pub(super) fn at_the_bench<'l>(lines: impl Iterator<Item = &'l Line> + Clone) -> Option<SignedDuration> {
    let gaps = dated(lines.clone()).or_else(|| ticked(lines))?;
    (!gaps.is_empty()).then(|| gaps.into_iter().filter(|gap| *gap <= PAUSE).sum())
}

/// The gaps between records that all have a date.
fn dated<'l>(lines: impl Iterator<Item = &'l Line>) -> Option<Vec<SignedDuration>> {
    let mut at = lines.map(|line| line.at).collect::<Option<Vec<_>>>()?;
    at.sort_unstable();
    Some(at.windows(2).map(|two| two[0].duration_until(two[1])).collect())
}

/// The gaps between records of one boot of one keypad, in the order of their numbers. Ticks wrap.
fn ticked<'l>(lines: impl Iterator<Item = &'l Line>) -> Option<Vec<SignedDuration>> {
    let known =
        lines.map(|line| line.ticks.map(|(boot, ticks)| ((line.id.journal, boot), line.id.seq, ticks)));
    let mut ticks = known.collect::<Option<Vec<_>>>()?;
    ticks.sort_unstable_by_key(|(_, seq, _)| *seq);
    let one_boot = ticks.windows(2).all(|two| two[0].0 == two[1].0);
    let gap = |two: &[(_, _, u32)]| SignedDuration::from_millis(two[1].2.wrapping_sub(two[0].2).into());
    one_boot.then(|| ticks.windows(2).map(gap).collect())
}
