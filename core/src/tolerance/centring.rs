//! Centring of a mounted pair: the prism between the eyes, and the PD.
//!
//! **Prism** is read at the ordered PD marks and the ordered prism is taken off. Vertically what counts is the
//! difference between the eyes: the same deviation in both is no imbalance. Horizontally base in of both eyes
//! adds up: a pair that sits a little to one side is no imbalance either.
//!
//! **Which rule** depends on the ordered power of the lens that is stronger in that meridian, rounded to
//! 1/1000 D: up to a switch a limit in prism, above it one in millimetres or in the prism that these make. The row
//! is that of the larger ordered prism of the two eyes in that direction.
//! - Vertical above the switch: the shift of the centres is judged as the prism it makes in the stronger lens.
//! - Horizontal up to the switch without a prism reading: by the PD, as the prism it makes at worst. When that
//!   breaks the limit in the stronger lens and would not in the weaker, the prism has to be read.
//! - Horizontal above the switch: by the PD.

use super::directions::Powers;
use super::judgement::Missing;
use super::pair::PairOrder;
use super::rule::{Chosen, Range, Rule};
use super::table::{Above, Centring, CentringRow};
use super::verdict_alone::Findings;
use super::{Basis, Finding, Quantity, Subject};
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, EyeOrder};
use crate::units::{Length, Power, Prism, PrismPair};

pub(super) fn judge_vertical(
    judgement: &mut impl Findings,
    centring: &Centring<'_>,
    ordered: &[EyeOrder; 2],
    powers: &mut Powers<'_>,
    read: [PrismPair; 2],
) {
    let part = |prism: PrismPair| prism.base_up.milli();
    let ordered = [part(ordered[0].prism), part(ordered[1].prism)];
    let read = read.map(part);
    if let Some((row, own)) = row(centring, ordered) {
        let values = [ordered, read].map(|[right, left]| right - left);
        let power = powers.for_row(row, |[_, vertical]| vertical);
        if let Some(found) = (Difference { quantity: Quantity::Vertical, values, power }).by_prism(row, own) {
            judgement.find(found);
        }
    }
    if let Some(rule) = &centring.each {
        judge_each(judgement, rule, Quantity::VerticalOfEye, ordered, read);
    }
}

pub(super) fn judge_horizontal(
    judgement: &mut impl Findings,
    centring: &Centring<'_>,
    ordered: &PairOrder,
    powers: &mut Powers<'_>,
    read: Option<[PrismPair; 2]>,
    pd: Option<PupillaryDistance>,
) {
    let part = |prism: PrismPair| prism.base_in.milli();
    let prisms = [part(ordered.eyes[0].prism), part(ordered.eyes[1].prism)];
    let read = read.map(|read| read.map(part));
    if let (Some(read), Some(rule)) = (read, &centring.each) {
        judge_each(judgement, rule, Quantity::HorizontalOfEye, prisms, read);
    }
    let Some((row, own)) = row(centring, prisms) else { return };
    let horizontal = |[horizontal, _]: [[Power; 2]; 2]| horizontal;
    // Prism that follows from the PD is that of the meridian itself.
    let [weak, strong] = match read {
        Some(_) => [powers.for_row(row, horizontal); 2],
        None => horizontal(powers.exact()),
    };
    if let Above::Pd { rule, each_eye } = &row.above
        && strong.milli() > row.switch
    {
        let power = Range { above: row.switch, up_to: Range::OPEN };
        return judge_pd(judgement, Chosen { rule, own, power }, *each_eye, ordered.pd, pd);
    }
    let finding =
        |values, power| Difference { quantity: Quantity::Horizontal, values, power }.by_prism(row, own);
    match (read, pd) {
        (Some(read), _) => {
            if let Some(found) = finding([prisms, read].map(|[right, left]| right + left), strong) {
                judgement.find(found);
            }
        }
        (None, Some(pd)) => {
            let off = pd.total() - ordered.pd.total();
            let [weak, strong] =
                [weak, strong].map(|power| finding([0, prism_at_worst(off, power).milli()], power));
            // Between the two the missing prism decides; it is noted for the eye that lacks it.
            if let (Some(weak), Some(strong)) = (weak, strong)
                && (strong.is_within() || !weak.is_within())
            {
                judgement.find(Finding { basis: Basis::PrismFromPd, ..strong });
            }
        }
        (None, None) => judgement.miss(Missing::Pd),
    }
}

/// The row for the larger ordered prism of the two eyes in this direction.
fn row<'c>(centring: &'c Centring<'_>, ordered: [i32; 2]) -> Option<(&'c CentringRow, Range)> {
    let [right, left] = ordered.map(i32::unsigned_abs);
    centring.row(right.max(left))
}

/// A difference in prism between the eyes.
struct Difference {
    quantity: Quantity,
    /// Ordered and read.
    values: [i32; 2],
    /// Of the lens that decides.
    power: Power,
}

impl Difference {
    /// By the rule of its power; `None` when that is one of the PD. Where two readings of the standard switch at
    /// different powers and this one lies between, both limits are kept.
    #[inline(always)]
    fn by_prism(&self, row: &CentringRow, own: Range) -> Option<Finding> {
        let (power, to) = (self.power.milli(), row.switch);
        let below = || self.found(Chosen { rule: &row.prism, own, power: Range { above: 0, up_to: to } });
        let above = |rule| {
            let found = self.found(Chosen { rule, own, power: Range { above: to, up_to: Range::OPEN } });
            Finding { basis: Basis::ShiftAsPrism, ..found }
        };
        match &row.above {
            Above::Effect(rule) if power > to => Some(above(rule)),
            _ if power > to => None,
            Above::Effect(rule) if row.switch_or.is_some_and(|from| power > from) => {
                let (below, above) = (below(), above(rule));
                let [stricter, limit] = below.limit.sorted(above.limit);
                let wider = if limit == below.limit { below } else { above };
                Some(Finding { stricter, ..wider })
            }
            _ => Some(below()),
        }
    }

    fn found(&self, chosen: Chosen<'_>) -> Finding {
        let limit = chosen.rule.limit(self.values[0], self.power);
        Finding::new(Subject::Pair, self.quantity, self.values, chosen, limit)
    }
}

/// Prism of each eye by itself.
fn judge_each(
    judgement: &mut impl Findings,
    rule: &Rule,
    quantity: Quantity,
    ordered: [i32; 2],
    read: [i32; 2],
) {
    for eye in Eye::BOTH {
        let values = [ordered[eye.index()], read[eye.index()]];
        judgement.find(Finding::of(Subject::Eye(eye), quantity, values, rule));
    }
}

/// The PD, in total or of each eye from its monocular PD.
pub(super) fn judge_pd(
    judgement: &mut impl Findings,
    chosen: Chosen<'_>,
    each_eye: bool,
    ordered: PupillaryDistance,
    measured: Option<PupillaryDistance>,
) {
    use PupillaryDistance::Monocular;
    let Some(measured) = measured else { return judgement.miss(Missing::Pd) };
    if !each_eye {
        let values = [ordered.total().milli(), measured.total().milli()];
        judgement.find(Finding::of(Subject::Pair, Quantity::Pd, values, chosen));
    } else if let (Monocular { .. }, Monocular { .. }) = (ordered, measured) {
        for eye in Eye::BOTH {
            let values = [ordered.of(eye).milli(), measured.of(eye).milli()];
            judgement.find(Finding::of(Subject::Eye(eye), Quantity::Pd, values, chosen));
        }
    } else {
        judgement.miss(Missing::MonocularPd);
    }
}

/// Prentice's rule, P = c·F with c in centimetres, as a magnitude rounded up to 1/1000 Δ.
fn prism_at_worst(shift: Length, power: Power) -> Prism {
    let product = u64::from(shift.milli().unsigned_abs()) * u64::from(power.milli().unsigned_abs());
    Prism::from_milli(product.div_ceil(10_000) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::Verdict::{NotJudged, Out, Within};
    use crate::tolerance::pair::sample::{judge, pair, read};
    use crate::tolerance::{Design, Limit, Verdict};

    fn verdict(design: Design, power: &str, prisms: [(i32, i32); 2], pd: Option<&str>) -> Verdict {
        let order = pair(power, power, "31/31");
        judge(design, &order, &read(&order, Some(prisms), pd)).verdict()
    }

    #[test]
    fn vertical_prism_counts_as_the_difference_between_the_eyes() {
        for design in [Design::SingleVision, Design::Progressive] {
            assert_eq!(verdict(design, "-2.00", [(0, 330), (0, 0)], None), Within);
            assert_eq!(verdict(design, "-2.00", [(0, 165), (0, -166)], None), Out);
            assert_eq!(verdict(design, "-2.00", [(0, 900), (0, 900)], None), Within);
        }
    }

    #[test]
    fn above_the_switch_the_heights_of_the_centres_count() {
        // 3.375 D still takes 0.33 Δ; 3.50 D takes 1.0 mm, which is 0.35 Δ.
        let up = |power, up| verdict(Design::SingleVision, power, [(0, up), (0, 0)], Some("62"));
        assert_eq!(up("+3.375", 331), Out);
        assert_eq!(up("+3.376", 337), Within);
        assert_eq!(up("+3.50", 350), Within);
        assert_eq!(up("+3.50", 351), Out);
        // The stronger lens decides, at 90 degrees: here +1.00 -5.00 x 180 has -4.00 there.
        let order = pair("+1.00", "+1.00 -5.00 x 180", "62");
        let found = judge(Design::SingleVision, &order, &read(&order, Some([(0, 400), (0, 0)]), None));
        let vertical = found.findings().iter().find(|f| f.quantity == Quantity::Vertical).unwrap();
        assert_eq!((vertical.limit, vertical.basis), (Limit::from_milli(400), Basis::ShiftAsPrism));
        assert_eq!(found.verdict(), Within);
    }

    #[test]
    fn a_strong_lens_that_is_weak_in_a_meridian_takes_the_rule_of_the_weak() {
        // -4.00 D at 90 degrees, -1.00 D at 180: 1.0 mm vertically, which is 0.40 Δ, and 0.67 Δ horizontally.
        let order = pair("-1.00 -3.00 x 180", "pl", "62");
        let verdict =
            |prism| judge(Design::SingleVision, &order, &read(&order, Some([prism, (0, 0)]), None)).verdict();
        assert_eq!([(670, 400), (671, 400), (670, 401)].map(verdict), [Within, Out, Out]);
    }

    #[test]
    fn horizontal_prism_counts_in_total_up_to_the_switch() {
        let inward = |power, right, left| verdict(Design::Multifocal, power, [(right, 0), (left, 0)], None);
        assert_eq!(inward("-2.75", 335, 335), Within);
        assert_eq!(inward("-2.75", 335, 336), Out);
        assert_eq!(inward("-2.75", -670, 0), Within);
        // A pair that sits to one side: in before one eye, out before the other.
        assert_eq!(inward("-2.75", 900, -900), Within);
        // Above the switch prism says nothing: the PD is needed.
        assert_eq!(inward("-2.751", 0, 0), NotJudged);
    }

    #[test]
    fn above_the_switch_the_pd_counts_in_total() {
        let none = [(0, 0); 2];
        let pd = |pd| verdict(Design::SingleVision, "-3.00", none, Some(pd));
        assert_eq!(pd("64.5"), Within);
        assert_eq!(pd("59.5"), Within);
        assert_eq!(pd("64.501"), Out);
        assert_eq!(pd("59.499"), Out);
        assert_eq!(pd("33/31.5"), Within);
    }

    #[test]
    fn ordered_prism_is_taken_off_first() {
        let order = pair("-1.00 prism 2 in 1 up", "-1.00 prism 2 in", "62");
        let as_ordered = [(2000, 1000), (2000, 0)];
        assert_eq!(
            judge(Design::SingleVision, &order, &read(&order, Some(as_ordered), None)).verdict(),
            Within
        );
        let none = [(0, 0); 2];
        assert_eq!(judge(Design::SingleVision, &order, &read(&order, Some(none), None)).verdict(), Out);
    }

    #[test]
    fn without_prism_the_pd_tells_the_worst_case() {
        let horizontal = |right, left, pd| {
            let order = pair(right, left, "62");
            let found = judge(Design::SingleVision, &order, &read(&order, None, Some(pd)));
            // The vertical is unread in any case.
            assert_eq!(found.missing(), [Missing::Prism(Eye::Right), Missing::Prism(Eye::Left)]);
            let horizontal = found.findings().iter().find(|f| f.quantity == Quantity::Horizontal);
            assert!(horizontal.is_none_or(|f| f.basis == Basis::PrismFromPd));
            (horizontal.map(|f| f.deviation), found.verdict())
        };
        // 3.35 mm at 2.00 D is 0.67 Δ exactly; a micrometre more is over it.
        assert_eq!(horizontal("-2.00", "-2.00", "65.35"), (Some(670), NotJudged));
        assert_eq!(horizontal("-2.00", "-2.00", "65.351"), (Some(671), Out));
        // The stronger lens breaks the limit, the weaker does not: the prism has to be read.
        assert_eq!(horizontal("-2.00", "-0.50", "66"), (None, NotJudged));
    }

    #[test]
    fn a_progressive_pair_is_centred_eye_by_eye_above_its_switch() {
        let none = [(0, 0); 2];
        let pd = |power, pd| verdict(Design::Progressive, power, none, pd);
        assert_eq!(pd("-3.50", Some("32/30")), Within);
        assert_eq!(pd("-3.50", Some("32.001/30")), Out);
        assert_eq!(pd("-3.50", Some("62")), NotJudged);
        assert_eq!(pd("-3.50", None), NotJudged);
        // At 3.375 D the prism counts. 0.72 Δ at 3.50 D is judged in millimetres instead.
        let prism = [(720, 0), (0, 0)];
        assert_eq!(verdict(Design::Progressive, "-3.375", prism, Some("31/31")), Out);
        assert_eq!(verdict(Design::Progressive, "-3.50", prism, Some("31/31")), Within);
        let total = |right, left| verdict(Design::Progressive, "-3.375", [(right, 0), (left, 0)], None);
        assert_eq!((total(335, 335), total(335, 336)), (Within, Out));
        assert_eq!(verdict(Design::Progressive, "-3.376", prism, Some("31/31")), Within);
        // A binocular order does not say where each eye is.
        let order = pair("-3.50", "-3.50", "62");
        let found = judge(Design::Progressive, &order, &read(&order, Some(none), Some("31/31")));
        assert_eq!((found.missing(), found.verdict()), (&[Missing::MonocularPd][..], NotJudged));
    }
}
