//! Judging by a table: the limits it sets, what is found against them, and what that cites.

use super::compare_eye::{Lens, Said};
use super::compare_pair::Pair;
use super::rules_of_eye::EyeRules;
use super::rules_of_pair::PairRules;
use super::{Design, EyeReading, Judgement, PairMeasured, PairOrder, Stage, Table};
use crate::prescription::{Eye, EyeOrder};

/// Judges what can be said of one lens alone: power, cylinder, axis, the addition where one is ordered, and of an uncut
/// lens the reference point. The prism and place of a mounted one are judged with the pair.
pub fn judge_eye<'t>(
    by: impl Into<&'t Table>,
    design: Design,
    stage: Stage,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) -> Judgement {
    let rules = EyeRules::of(by.into(), design, ordered);
    let mut judgement = Judgement::default();
    let mut say = |said: Said| judgement.take(said, |found| rules.cite(found.quantity));
    let lens = Lens { eye, limits: &rules.limits(), ordered, read };
    lens.powers(stage, &mut say);
    if stage == Stage::Uncut {
        lens.reference(rules.reference(), &mut say);
    }
    judgement
}

/// Judges a mounted pair.
pub fn judge_pair<'t>(
    by: impl Into<&'t Table>,
    design: Design,
    ordered: &PairOrder,
    measured: &PairMeasured,
) -> Judgement {
    let rules = PairRules::of(by.into(), design, ordered);
    let mut judgement = Judgement::default();
    let pair = Pair { limits: &rules.limits(), ordered, measured };
    pair.all(&mut |said| judgement.take(said, |found| rules.cite(found)));
    judgement
}
