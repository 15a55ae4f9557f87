//! Every single power cut of a short day, and every pair of cuts: the second one is at any write from the start behind
//! the first one on, while the keypad mends what the first one left, too.

use crate::oracle::Broken;
use crate::run::play;
use crate::script::{Script, Start, Step};
use std::fmt;

/// The ways in which a cut write ends.
const WAYS: u64 = 6;

/// What was tried.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Count {
    pub(crate) single: u64,
    pub(crate) pairs: u64,
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} single cuts and {} pairs of cuts: every one of two short days", self.single, self.pairs)
    }
}

/// A short day: the keypad is adopted, is given its cards, a lens is sized and all of it comes in.
const DAY: &[Step] = &[
    Step::Wait { ms: 1500 },
    Step::Press { key: 4 },
    Step::Press { key: 0 },
    Step::Press { key: 3 },
    Step::Wait { ms: 1300 },
    Step::Hold { key: 2 },
    Step::Press { key: 4 },
    Step::Press { key: 1 },
    Step::Wait { ms: 1300 },
];

/// A journal is given up for a new one, and a pass is logged to that.
const NEW_JOURNAL: &[Step] = &[
    Step::Press { key: 4 },
    Step::Press { key: 0 },
    Step::Wait { ms: 40 },
    Step::Wipe { how: 1 },
    Step::Wait { ms: 2500 },
    Step::Press { key: 4 },
    Step::Press { key: 0 },
    Step::Wait { ms: 1300 },
];

fn cut(write: u64, torn: u64) -> Step {
    Step::Cut { write, torn, seed: 977 * write + torn }
}

fn start_cut(write: u64, torn: u64) -> Step {
    Step::StartCut { write, torn, seed: 991 * write + torn }
}

fn script(cuts: &[Step], day: &[Step]) -> Script {
    Script { start: Start::New, seed: 1, steps: cuts.iter().chain(day).copied().collect() }
}

/// Tries every cut, with `pairs` every pair too; the first script that fails, and why.
pub(crate) fn every_cut(pairs: bool) -> Result<Count, (Script, Broken)> {
    let one_way = |torn| move || of_one_way(torn, pairs);
    let counts = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..WAYS).map(|torn| scope.spawn(one_way(torn))).collect();
        threads.into_iter().map(|thread| thread.join().unwrap_or_default()).collect::<Vec<_>>()
    });
    let mut sum = Count::default();
    for (count, failed) in counts {
        if let Some(failed) = failed {
            return Err(failed);
        }
        sum.single += count.single;
        sum.pairs += count.pairs;
    }
    Ok(sum)
}

/// Arms a cut.
type Arm = fn(u64, u64) -> Step;

/// What was tried, and the first script that failed.
type Found = (Count, Option<(Script, Broken)>);

fn of_one_way(torn: u64, pairs: bool) -> Found {
    let mut count = Count::default();
    let days: [(Arm, &[Step]); 2] = [(cut, DAY), (start_cut, NEW_JOURNAL)];
    for (first, day) in days {
        for write in 0.. {
            match cuts(&script(&[first(write, torn)], day)) {
                Ok(0) => break,
                Ok(_) => count.single += 1,
                Err(failed) => return (count, Some(failed)),
            }
            if pairs && let Err(failed) = second(first(write, torn), day, &mut count) {
                return (count, Some(failed));
            }
        }
    }
    (count, None)
}

/// Every second cut behind a first one.
fn second(first: Step, day: &[Step], count: &mut Count) -> Result<(), (Script, Broken)> {
    for torn in 0..WAYS {
        for write in 0.. {
            if cuts(&script(&[first, start_cut(write, torn)], day))? < 2 {
                break;
            }
            count.pairs += 1;
        }
    }
    Ok(())
}

/// How many cuts there were in a run in which everything held.
fn cuts(script: &Script) -> Result<u64, (Script, Broken)> {
    play(script, false, false).result.map(|tally| tally.cuts).map_err(|broken| (script.clone(), broken))
}
