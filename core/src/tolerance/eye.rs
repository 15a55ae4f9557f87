//! One lens: power, cylinder, axis, addition, and the reference point of an uncut lens.

use super::judgement::{Judgement, Missing};
use super::power::deviation;
use super::table::Table;
use super::{Design, Finding, Quantity, Standard, Subject};
use crate::maths::sqrt_up;
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

/// Judges an uncut lens: power, cylinder, axis, the addition where one is ordered, and the reference point,
/// which holds by its prism or by its place.
#[must_use]
pub fn judge_eye(
    standard: Standard,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) -> Judgement {
    let mut judgement = Judgement::default();
    judge_powers(&mut judgement, standard.table(), design, eye, ordered, read);
    judge_reference(&mut judgement, standard.table(), eye, ordered, read);
    judgement
}

/// What is judged alike of an uncut and of a mounted lens.
pub(super) fn judge_powers(
    judgement: &mut Judgement,
    table: &Table,
    design: Design,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) {
    let subject = Subject::Eye(eye);
    match read.power {
        None => judgement.miss(Missing::Power(eye)),
        Some(power) => judge_power(judgement, table, design, eye, ordered.power, power),
    }
    match (ordered.add, read.add) {
        (None, _) => {}
        (Some(_), None) => judgement.miss(Missing::Add(eye)),
        (Some(add), Some(read)) => {
            let rule = table.add.rule(add.milli());
            judgement.find(Finding::new(subject, Quantity::Add, [add.milli(), read.milli()], rule));
        }
    }
}

fn judge_power(
    judgement: &mut Judgement,
    table: &Table,
    design: Design,
    eye: Eye,
    ordered: SphereCylinder,
    read: SphereCylinder,
) {
    let (subject, rows) = (Subject::Eye(eye), table.rows(design));
    let (one, other) = (ordered.minus_cylinder(), read.minus_cylinder());
    let sphere = [one.sphere.milli(), other.sphere.milli()];
    judgement.find(Finding::new(subject, Quantity::Power, sphere, rows.power.rule(sphere[0])));
    let cylinder = [one.cylinder.milli(), other.cylinder.milli()];
    let rule = rows.cylinder.rule(cylinder[0]);
    let found = Finding::new(subject, Quantity::Cylinder, cylinder, rule);
    judgement.find(found);
    let Some(rule) = table.axis_rule(cylinder[0]) else { return };
    match deviation(one, other).axis {
        Some(turn) => {
            let axes = [one.axis.milli(), other.axis.milli()];
            judgement.find(Finding {
                deviation: turn.milli(),
                ..Finding::new(subject, Quantity::Axis, axes, rule)
            });
        }
        // With no cylinder where one was needed the lens is out already; an axis would add nothing.
        None if !found.is_within() => {}
        None => judgement.miss(Missing::Axis(eye)),
    }
}

/// The reference point holds by prism or by place; what does not hold by one is out only when the other does
/// not hold either.
fn judge_reference(
    judgement: &mut Judgement,
    table: &Table,
    eye: Eye,
    ordered: &EyeOrder,
    read: &EyeReading,
) {
    let subject = Subject::Eye(eye);
    let prism = read.prism.map(|prism| {
        let values = [magnitude(ordered.prism), magnitude(prism)];
        Finding {
            deviation: magnitude(prism - ordered.prism),
            ..Finding::new(subject, Quantity::PrismAtReference, values, &table.reference_prism)
        }
    });
    let place = read.reference_shift.map(|shift| {
        Finding::new(subject, Quantity::ReferencePlace, [0, shift.milli()], &table.reference_shift)
    });
    match (prism, place) {
        (Some(found), _) | (_, Some(found)) if found.is_within() => judgement.find(found),
        (Some(prism), Some(place)) => {
            judgement.find(prism);
            judgement.find(place);
        }
        (None, _) => judgement.miss(Missing::ReferencePrism(eye)),
        (Some(_), None) => judgement.miss(Missing::ReferencePlace(eye)),
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
    use crate::tolerance::{Limit, Verdict};
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
        // 0.198 and 0.264 are 0.33 along the diagonal.
        assert_eq!(verdict(Some("1.198 up 0.264 out"), Some(2000)), Verdict::Within);
        assert_eq!(verdict(Some("1.199 up 0.264 out"), Some(2000)), Verdict::Out);
    }
}
