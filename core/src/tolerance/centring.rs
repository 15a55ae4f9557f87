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

use super::finding::Stage;
use super::judgement::{Judgement, Missing};
use super::pair::PairOrder;
use super::rule::{Chosen, Range};
use super::table::{Above, Centring, CentringRow};
use super::{Basis, Finding, Quantity, Subject};
use crate::frame::PupillaryDistance;
use crate::prescription::Eye;
use crate::units::{Angle, Length, Power, Prism, PrismPair};

pub(super) fn judge_vertical(
    judgement: &mut Judgement,
    centring: &Centring<'_>,
    ordered: &PairOrder,
    read: [PrismPair; 2],
) {
    let part = |prism: PrismPair| prism.base_up.milli();
    let [_, strong] = powers_at(ordered, Angle::from_degrees(90));
    let difference = |[right, left]: [PrismPair; 2]| part(right) - part(left);
    let values = [difference(ordered.eyes.map(|eye| eye.prism)), difference(read)];
    if let Some((row, own)) = row(centring, ordered, part)
        && let Some(finding) = by_prism(row, own, Quantity::Vertical, values, strong)
    {
        judgement.find(finding);
    }
    judge_each(judgement, centring, Quantity::VerticalOfEye, ordered, read, part);
}

pub(super) fn judge_horizontal(
    judgement: &mut Judgement,
    centring: &Centring<'_>,
    ordered: &PairOrder,
    read: Option<[PrismPair; 2]>,
    pd: Option<PupillaryDistance>,
) {
    let part = |prism: PrismPair| prism.base_in.milli();
    if let Some(read) = read {
        judge_each(judgement, centring, Quantity::HorizontalOfEye, ordered, read, part);
    }
    let powers @ [_, strong] = powers_at(ordered, Angle::ZERO);
    let Some((row, own)) = row(centring, ordered, part) else { return };
    if let Above::Pd { rule, each_eye } = row.above
        && strong.milli() > row.switch
    {
        let power = Range { above: row.switch, up_to: Range::OPEN };
        return judge_pd(judgement, Chosen { rule, own, power }, each_eye, ordered.pd, pd);
    }
    let sum = |[right, left]: [PrismPair; 2]| part(right) + part(left);
    let finding = |values| by_prism(row, own, Quantity::Horizontal, values, strong);
    match (read, pd) {
        (Some(read), _) => {
            if let Some(found) = finding([sum(ordered.eyes.map(|eye| eye.prism)), sum(read)]) {
                judgement.find(found);
            }
        }
        (None, Some(pd)) => {
            let off = pd.total() - ordered.pd.total();
            let [weak, strong] = powers.map(|power| finding([0, prism_at_worst(off, power).milli()]));
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
fn row<'c>(
    centring: &'c Centring<'_>,
    ordered: &PairOrder,
    part: impl Fn(PrismPair) -> i32,
) -> Option<(&'c CentringRow, Range)> {
    let [right, left] = ordered.eyes.map(|eye| part(eye.prism).saturating_abs());
    centring.row(right.max(left))
}

/// A difference in prism by the rule of this power; `None` when the rule is one of the PD. Where two readings of the
/// standard switch at different powers and this one lies between, both limits are kept.
fn by_prism(
    row: &CentringRow,
    own: Range,
    quantity: Quantity,
    values: [i32; 2],
    power: Power,
) -> Option<Finding> {
    let finding = |rule, range| {
        let chosen = Chosen { rule, own, power: range };
        Finding::made(Subject::Pair, quantity, values, chosen, power, Stage::Mounted)
    };
    let [to, from] = [row.switch, row.switch_or.unwrap_or(row.switch)];
    let below = finding(row.prism, Range { above: 0, up_to: to });
    let above = match row.above {
        Above::Effect(rule) => {
            let found = finding(rule, Range { above: to, up_to: Range::OPEN });
            Some(Finding { basis: Basis::ShiftAsPrism, ..found })
        }
        Above::Nothing | Above::Pd { .. } => None,
    };
    match above {
        Some(above) if power.milli() > to => Some(above),
        None if power.milli() > to => None,
        Some(above) if power.milli() > from => {
            let [stricter, limit] = below.limit.sorted(above.limit);
            let wider = if limit == below.limit { below } else { above };
            Some(Finding { limit, stricter: Some(stricter), ..wider })
        }
        _ => Some(below),
    }
}

/// Prism of each eye by itself, where the table has a limit for it.
fn judge_each(
    judgement: &mut Judgement,
    centring: &Centring<'_>,
    quantity: Quantity,
    ordered: &PairOrder,
    read: [PrismPair; 2],
    part: impl Fn(PrismPair) -> i32,
) {
    let Some(rule) = centring.each else { return };
    for eye in Eye::BOTH {
        let values = [part(ordered.eyes[eye.index()].prism), part(read[eye.index()])];
        judgement.find(Finding::new(Subject::Eye(eye), quantity, values, rule));
    }
}

/// The PD, in total or of each eye from its monocular PD.
pub(super) fn judge_pd(
    judgement: &mut Judgement,
    chosen: Chosen,
    each_eye: bool,
    ordered: PupillaryDistance,
    measured: Option<PupillaryDistance>,
) {
    use PupillaryDistance::Monocular;
    let Some(measured) = measured else { return judgement.miss(Missing::Pd) };
    if !each_eye {
        let values = [ordered.total().milli(), measured.total().milli()];
        judgement.find(Finding::new(Subject::Pair, Quantity::Pd, values, chosen));
    } else if let (Monocular { .. }, Monocular { .. }) = (ordered, measured) {
        for eye in Eye::BOTH {
            let values = [ordered.of(eye).milli(), measured.of(eye).milli()];
            judgement.find(Finding::new(Subject::Eye(eye), Quantity::Pd, values, chosen));
        }
    } else {
        judgement.miss(Missing::MonocularPd);
    }
}

/// The magnitudes of the two ordered powers in a meridian, the weaker first.
fn powers_at(ordered: &PairOrder, meridian: Angle) -> [Power; 2] {
    let [right, left] = ordered.eyes.map(|eye| eye.power.meridian(meridian).abs());
    if right < left { [right, left] } else { [left, right] }
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
