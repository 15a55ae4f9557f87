//! One lens: power, cylinder, axis and addition; the reference point of an uncut lens is judged in `reference`.

use super::finding::Stage;
use super::judgement::{Judgement, Missing};
use super::power::PowerRules;
use super::rule::Chosen;
use super::table::Table;
use super::verdict_alone::Findings;
use super::{Design, Finding, NotCovered, Quantity, Subject, Uncovered};
use crate::prescription::{Eye, EyeOrder, SphereCylinder};
use crate::units::{Length, Power, PrismPair};

/// What was read of one lens; `None` is not read yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct EyeReading {
    /// Distance power.
    pub power: Option<SphereCylinder>,
    /// Addition.
    pub add: Option<Power>,
    /// Prism: of an uncut lens at its reference point, of a mounted one at the ordered PD mark.
    pub prism: Option<PrismPair>,
    /// Of an uncut lens: how far the point with the ordered prism is from the reference point.
    pub reference_shift: Option<Length>,
}

impl EyeReading {
    /// Only the power is read.
    #[must_use]
    pub const fn of_power(power: SphereCylinder) -> Self {
        Self { power: Some(power), add: None, prism: None, reference_shift: None }
    }
}

/// Judges an uncut lens: power, cylinder, axis, the addition where one is ordered, and the reference point.
#[must_use]
pub fn judge_eye<'t>(
    by: impl Into<&'t Table<'t>>,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) -> Judgement {
    let mut judgement = Judgement::default();
    judge_uncut(&mut judgement, by.into(), design, eye, ordered, read);
    judgement
}

/// Adds what [`judge_eye`] finds to a judgement.
pub(super) fn judge_uncut(
    judgement: &mut impl Findings,
    table: &Table<'_>,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) {
    let mut judge = Judge { judgement, table, design, eye, stage: Stage::Uncut };
    judge.powers(ordered, read);
    judge.reference(ordered, read);
}

/// Judges what can be said of one mounted lens alone: power, cylinder, axis, and the addition where one is ordered.
/// Its prism and place are judged with the pair.
#[must_use]
pub fn judge_mounted_eye<'t>(
    by: impl Into<&'t Table<'t>>,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) -> Judgement {
    let mut judgement = Judgement::default();
    judge_mounted(&mut judgement, by.into(), design, eye, ordered, read);
    judgement
}

/// Adds what [`judge_mounted_eye`] finds to a judgement.
#[inline(never)]
pub(super) fn judge_mounted(
    judgement: &mut impl Findings,
    table: &Table<'_>,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) {
    Judge { judgement, table, design, eye, stage: Stage::Mounted }.powers(ordered, read);
}

/// One lens before its table.
pub(super) struct Judge<'t, F> {
    pub(super) judgement: &'t mut F,
    pub(super) table: &'t Table<'t>,
    design: Design,
    pub(super) eye: Eye,
    stage: Stage,
}

impl<F: Findings> Judge<'_, F> {
    fn powers(&mut self, ordered: &EyeOrder, read: &EyeReading) {
        match read.power {
            None => self.judgement.miss(Missing::Power(self.eye)),
            Some(read) => self.power(ordered.power, read.minus_cylinder()),
        }
        let Some(add) = ordered.add else { return };
        let Some(rule) = self.table.add.rule(add.milli()) else { return self.leave(Uncovered::Add) };
        match read.add {
            None => self.judgement.miss(Missing::Add(self.eye)),
            Some(read) => {
                let found = self.finding(Quantity::Add, [add.milli(), read.milli()], rule);
                self.judgement.find(found);
            }
        }
    }

    /// Both in what they share; `read` is in minus-cylinder form.
    fn power(&mut self, ordered: SphereCylinder, read: SphereCylinder) {
        let rules = PowerRules::of(self.table, self.design, ordered);
        match rules.power() {
            None => self.leave(Uncovered::Power),
            Some(chosen) => {
                let limit = chosen.rule.limit(rules.deciding.milli(), rules.deciding);
                let confirmed = chosen.rule.confirmed_for(self.stage) && !rules.hangs_on_meridian;
                rules.judged(&read, |quantity, values| {
                    let found = Finding::new(Subject::Eye(self.eye), quantity, values, chosen, limit);
                    self.judgement.find(Finding { confirmed, ..found });
                });
            }
        }
        let cylinder = [rules.ordered.cylinder.milli(), read.cylinder.milli()];
        match rules.cylinder() {
            None => self.leave(Uncovered::Cylinder),
            Some(chosen) => {
                let found = self.finding(Quantity::Cylinder, cylinder, chosen);
                self.judgement.find(found);
            }
        }
        self.axis(&rules, &read);
    }

    fn axis(&mut self, rules: &PowerRules<'_>, other: &SphereCylinder) {
        let one = &rules.ordered;
        if self.table.any_axis(one.cylinder.milli()) || one.cylinder.is_zero() {
            return;
        }
        let covered = self.stage == Stage::Mounted || self.table.axis_uncut;
        let rule = self.table.axis.rule(one.cylinder.milli()).filter(|_| covered);
        let Some(rule) = rule else { return self.leave(Uncovered::Axis) };
        if !other.cylinder.is_zero() {
            let found = self.finding(Quantity::Axis, [one.axis.milli(), other.axis.milli()], rule);
            self.judgement.find(Finding { deviation: other.axis.turn_from(one.axis).milli(), ..found });
        } else if rules.no_cylinder_holds() {
            self.judgement.miss(Missing::Axis(self.eye));
        }
        // With no cylinder where one was needed the lens is out already; an axis would add nothing.
    }

    /// A finding whose limit does not depend on a meridian.
    pub(super) fn finding(&self, quantity: Quantity, values: [i32; 2], chosen: Chosen<'_>) -> Finding {
        let found = Finding::of(Subject::Eye(self.eye), quantity, values, chosen);
        Finding { confirmed: chosen.rule.confirmed_for(self.stage), ..found }
    }

    pub(super) fn leave(&mut self, what: Uncovered) {
        self.judgement.leave(NotCovered { subject: Subject::Eye(self.eye), what, limit: None });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::{Limit, Standard, Verdict};
    use crate::units::Notation;

    const ANSI: Standard = Standard::AnsiZ801_2015;

    fn lens(text: &str) -> SphereCylinder {
        SphereCylinder::parse(text, Notation::Reading).unwrap()
    }

    /// The verdict on a lens that has no prism at its reference point.
    fn judged(design: Design, ordered: &str, read: &str, add: Option<i32>) -> Judgement {
        let reading = EyeReading {
            add: add.map(Power::from_milli),
            prism: Some(PrismPair::NONE),
            ..EyeReading::of_power(lens(read))
        };
        judge_eye(ANSI, design, Eye::Right, &EyeOrder::parse(ordered).unwrap(), &reading)
    }

    fn verdict(ordered: &str, read: &str) -> Verdict {
        judged(Design::SingleVision, ordered, read, None).verdict()
    }

    #[test]
    fn a_power_at_its_limit_is_within_and_beyond_it_out() {
        // Public summary of ANSI Z80.1: -3.00 passes from -2.87 to -3.13, -3.25 fails.
        for (read, expected) in [
            ("-2.87 DS", Verdict::Within),
            ("-3.13 DS", Verdict::Within),
            ("-3.25 DS", Verdict::Out),
            ("-3.131 DS", Verdict::Out),
            ("-2.869 DS", Verdict::Out),
        ] {
            assert_eq!(verdict("-3.00", read), expected, "{read}");
        }
        // 2 % of 6.75 D is 0.135 D.
        assert_eq!(verdict("-6.75", "-6.885 DS"), Verdict::Within);
        assert_eq!(verdict("-6.75", "-6.886 DS"), Verdict::Out);
        assert_eq!(judged(Design::Progressive, "-6.75", "-6.91 DS", None).verdict(), Verdict::Within);
        assert_eq!(judged(Design::Progressive, "-6.75", "-6.911 DS", None).verdict(), Verdict::Out);
    }

    #[test]
    fn cylinder_and_axis_have_their_own_limits() {
        assert_eq!(verdict("-1.00 -2.25 x 90", "-1.00 -2.40 x 90"), Verdict::Within);
        assert_eq!(verdict("-1.00 -2.25 x 90", "-1.00 -2.401 x 90"), Verdict::Out);
        // An error of 3 degrees across 180: within for 1.50 D, out above.
        assert_eq!(verdict("-1.00 -1.50 x 179", "-1.00 -1.50 x 2"), Verdict::Within);
        assert_eq!(verdict("-1.00 -1.50 x 179", "-1.00 -1.50 x 2.001"), Verdict::Out);
        assert_eq!(verdict("-1.00 -1.75 x 179", "-1.00 -1.75 x 2"), Verdict::Out);
        let found = judged(Design::SingleVision, "-1.00 -1.50 x 179", "-1.00 -1.50 x 2", None);
        let axis = found.findings().iter().find(|f| f.quantity == Quantity::Axis).unwrap();
        assert_eq!((axis.deviation, axis.margin()), (3000, Limit::from_milli(0)));
    }

    #[test]
    fn either_form_of_order_and_reading_gives_the_same_findings() {
        let expected = judged(Design::SingleVision, "+0.50 -2.00 x 30", "+0.55 -2.10 x 31", None);
        assert_eq!(expected.verdict(), Verdict::Within);
        for ordered in ["+0.50 -2.00 x 30", "-1.50 +2.00 x 120"] {
            for read in ["+0.55 -2.10 x 31", "-1.55 +2.10 x 121"] {
                assert_eq!(judged(Design::SingleVision, ordered, read, None), expected, "{ordered}, {read}");
            }
        }
    }

    #[test]
    fn an_axis_that_could_not_be_read_does_not_pass() {
        let found = judged(Design::SingleVision, "-1.00 -0.12 x 40", "-1.00 DS", None);
        assert_eq!(found.missing(), [Missing::Axis(Eye::Right)]);
        assert_eq!(found.verdict(), Verdict::NotJudged);
        // Where the lack of a cylinder is itself out, no axis is asked for.
        let found = judged(Design::SingleVision, "-1.00 -0.50 x 40", "-1.00 DS", None);
        assert_eq!((found.missing(), found.verdict()), (&[][..], Verdict::Out));
        assert_eq!(verdict("-1.00", "-0.94 -0.12 x 77"), Verdict::Within);
    }

    #[test]
    fn an_addition_is_judged_by_its_own_rows() {
        let add = |ordered, read| judged(Design::Multifocal, ordered, "-1.00 DS", read).verdict();
        assert_eq!(add("-1.00 add 2.00", Some(2120)), Verdict::Within);
        assert_eq!(add("-1.00 add 2.00", Some(1879)), Verdict::Out);
        assert_eq!(add("-1.00 add 4.00", Some(4121)), Verdict::Out);
        assert_eq!(add("-1.00 add 4.25", Some(4430)), Verdict::Within);
        assert_eq!(add("-1.00 add 4.25", Some(4431)), Verdict::Out);
        assert_eq!(add("-1.00 add 2.00", None), Verdict::NotJudged);
    }

    #[test]
    fn an_uncut_lens_is_not_held_to_what_only_the_mounted_standard_has() {
        let read = EyeReading::of_power(lens("-8.00 -1.00 x 50"));
        let order = EyeOrder::parse("-8.00 -1.00 x 10").unwrap();
        let judge = |judge: fn(Standard, Design, Eye, &EyeOrder, &EyeReading) -> Judgement| {
            judge(Standard::Iso21987_2017, Design::SingleVision, Eye::Left, &order, &read)
        };
        let uncut = judge(judge_eye);
        let left: std::vec::Vec<Uncovered> = uncut.not_covered().iter().map(|left| left.what).collect();
        assert_eq!(left, [Uncovered::Axis, Uncovered::ReferencePoint]);
        assert_eq!((uncut.verdict(), uncut.missing()), (Verdict::Within, &[][..]));
        let mounted = judge(judge_mounted_eye);
        assert_eq!((mounted.verdict(), mounted.not_covered()), (Verdict::Out, &[][..]));
    }
}
