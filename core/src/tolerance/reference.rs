//! The reference point of an uncut lens: the prism there, and its place.
//!
//! It holds by prism or by place: what does not hold by one is out only when the other does not hold either. By a
//! stricter table it holds only by both.

use super::eye::Judge;
use super::judgement::Missing;
use super::verdict_alone::Findings;
use super::{EyeReading, Finding, Quantity, Uncovered};
use crate::maths::sqrt_up;
use crate::prescription::EyeOrder;
use crate::units::PrismPair;

impl<F: Findings> Judge<'_, F> {
    pub(super) fn reference(&mut self, ordered: &EyeOrder, read: &EyeReading) {
        let Some(reference) = &self.table.reference else { return self.leave(Uncovered::ReferencePoint) };
        let prism = read.prism.map(|prism| {
            let values = [magnitude(ordered.prism), magnitude(prism)];
            let found = self.finding(Quantity::PrismAtReference, values, (&reference.prism).into());
            Finding { deviation: magnitude(prism - ordered.prism), ..found }
        });
        let place = reference.place.as_ref().and_then(|rule| {
            let shift = read.reference_shift?;
            Some(self.finding(Quantity::ReferencePlace, [0, shift.milli()], rule.into()))
        });
        let alone = reference.place.is_none();
        match (prism, place) {
            (Some(found), _) | (_, Some(found)) if found.is_within() && !reference.both => {
                self.judgement.find(found);
            }
            (prism, place) => {
                // By the stricter reading what is out by one is out, whatever the other says.
                let decided = reference.both && [prism, place].into_iter().flatten().any(|f| !f.is_within());
                if prism.is_none() && !decided {
                    self.judgement.miss(Missing::ReferencePrism(self.eye));
                } else if place.is_none() && !alone && !decided {
                    self.judgement.miss(Missing::ReferencePlace(self.eye));
                }
                // Out by one reading alone is not out while the other is unread.
                let shown = reference.both || alone || (prism.is_some() && place.is_some());
                for found in [prism, place].into_iter().flatten().filter(|_| shown) {
                    self.judgement.find(found);
                }
            }
        }
    }
}

/// The size of a prism in 1/1000 Δ, rounded up: against a limit of whole thousandths that decides as the exact
/// size would.
fn magnitude(prism: PrismPair) -> i32 {
    let square = |part: i32| u64::from(part.unsigned_abs()).pow(2);
    sqrt_up(square(prism.base_in.milli()) + square(prism.base_up.milli())) as i32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prescription::{Eye, SphereCylinder};
    use crate::tolerance::{Design, Standard, Verdict, judge_eye};
    use crate::units::{Length, Notation};

    const ANSI: Standard = Standard::AnsiZ801_2015;

    fn lens(text: &str) -> SphereCylinder {
        SphereCylinder::parse(text, Notation::Reading).unwrap()
    }

    #[test]
    fn the_reference_point_holds_by_its_prism_or_by_its_place() {
        let order = EyeOrder::parse("-8.00 prism 1 up").unwrap();
        let verdict = |prism: Option<&str>, shift: Option<i32>| {
            let read = EyeReading {
                prism: prism.map(|text| PrismPair::parse(text).unwrap()),
                reference_shift: shift.map(Length::from_milli),
                ..EyeReading::of_power(lens("-8.00 DS"))
            };
            judge_eye(ANSI, Design::SingleVision, Eye::Left, &order, &read).verdict()
        };
        assert_eq!(verdict(Some("1.33 up"), None), Verdict::Within);
        assert_eq!(verdict(Some("1.331 up"), Some(1001)), Verdict::Out);
        assert_eq!(verdict(Some("1.331 up"), Some(1000)), Verdict::Within);
        assert_eq!(verdict(Some("1.331 up"), None), Verdict::NotJudged);
        assert_eq!(verdict(None, Some(1000)), Verdict::Within);
        assert_eq!(verdict(None, Some(1001)), Verdict::NotJudged);
        assert_eq!(verdict(None, None), Verdict::NotJudged);
        // 0.198 and 0.264 are 0.33 along the diagonal; the effect of both directions counts together.
        assert_eq!(verdict(Some("1.198 up 0.264 out"), Some(2000)), Verdict::Within);
        assert_eq!(verdict(Some("1.199 up 0.264 out"), Some(2000)), Verdict::Out);
    }
    #[test]
    fn a_shop_can_ask_for_prism_and_place() {
        let both = ANSI.table().with_both_at_reference();
        let order = EyeOrder::parse("-8.00").unwrap();
        let verdict = |prism: Option<&str>, shift: Option<i32>| {
            let read = EyeReading {
                prism: prism.map(|text| PrismPair::parse(text).unwrap()),
                reference_shift: shift.map(Length::from_milli),
                ..EyeReading::of_power(lens("-8.00 DS"))
            };
            judge_eye(&both, Design::SingleVision, Eye::Left, &order, &read).verdict()
        };
        assert_eq!(verdict(Some("0.33 up"), Some(1000)), Verdict::Within);
        assert_eq!(verdict(Some("0.33 up"), Some(1001)), Verdict::Out);
        assert_eq!(verdict(Some("0.331 up"), Some(1000)), Verdict::Out);
        assert_eq!(verdict(Some("0.33 up"), None), Verdict::NotJudged);
        assert_eq!(verdict(Some("0.331 up"), None), Verdict::Out);
        assert_eq!(verdict(None, Some(1000)), Verdict::NotJudged);
    }
}
