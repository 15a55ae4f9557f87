//! Thinning, taken off what is read.

use super::own::TIGHT;
use super::sample::pair;
use crate::prescription::Eye;
use crate::tolerance::Verdict::{NotJudged, Out, Within};
use crate::tolerance::{
    Basis, Design, EyeReading, Limits, Look, PairMeasured, PairOrder, Quantity, Stage, Standard, Thinning,
    ThinningKnown, Verdict, judge_eye, judge_pair,
};
use crate::units::{Prism, PrismPair};

const ANSI: Standard = Standard::AnsiZ801_2015;

fn order(thinning: i32, known: ThinningKnown) -> PairOrder {
    let thinning = Thinning { prism: Prism::from_milli(thinning), known };
    PairOrder { thinning, ..pair("-1.00 add 2.00 prism 1 up", "-1.00 add 2.00", "31/31") }
}

fn readings(order: &PairOrder, prisms: [Option<&str>; 2]) -> [EyeReading; 2] {
    let read = Eye::BOTH.map(|eye| EyeReading {
        add: order.eyes[eye.index()].add,
        prism: prisms[eye.index()].map(|text| PrismPair::parse(text).unwrap()),
        ..EyeReading::of_power(order.eyes[eye.index()].power)
    });
    order.thinned(read)
}

/// Verdicts on both uncut lenses, and what a keypad sees.
fn uncut(order: &PairOrder, prisms: [Option<&str>; 2]) -> [(Verdict, Look); 2] {
    let read = readings(order, prisms);
    let limits = Limits::of(ANSI, Design::Progressive, order);
    Eye::BOTH.map(|eye| {
        let (ordered, read) = (&order.eyes[eye.index()], &read[eye.index()]);
        let judged = judge_eye(ANSI, Design::Progressive, Stage::Uncut, eye, ordered, read);
        (judged.verdict(), limits.eye(Stage::Uncut, eye, ordered, read))
    })
}

fn verdicts(order: &PairOrder, prisms: [&str; 2]) -> [Verdict; 2] {
    uncut(order, prisms.map(Some)).map(|(verdict, _)| verdict)
}

#[test]
fn an_ordered_thinning_is_taken_off_an_uncut_lens_beside_what_is_prescribed() {
    let order = order(1200, ThinningKnown::Ordered);
    // Right: 1.00 up is prescribed, so 0.20 down is to show.
    assert_eq!(verdicts(&order, ["0.2 down", "1.2 down"]), [Within; 2]);
    assert_eq!(verdicts(&order, ["0.13 up", "1.53 down"]), [Within; 2]);
    // 0.331 Δ off: the prism does not pass, the place of the point is to be measured.
    assert_eq!(verdicts(&order, ["0.131 up", "1.531 down"]), [NotJudged; 2]);
    // Not thinned as it was ordered, though alike.
    assert_eq!(verdicts(&order, ["1 up", "0"]), [NotJudged; 2]);
}

#[test]
fn lenses_that_are_thinned_alike_are_no_error_however_much_was_assumed() {
    let order = order(1200, ThinningKnown::Assumed);
    for prisms in [["0.2 down", "1.2 down"], ["1 up", "0"], ["1 down", "2 down"], ["0.8 down", "2 down"]] {
        assert_eq!(verdicts(&order, prisms), [Within; 2], "{prisms:?}");
    }
    // What is taken off is what the lens shows that is nearer to the assumption.
    let taken = |prisms: [&str; 2]| readings(&order, prisms.map(Some))[0].thinning;
    assert_eq!(
        taken(["1 down", "2.1 down"]),
        Thinning { prism: Prism::from_milli(2000), known: ThinningKnown::Seen }
    );
    // Base up in both is no thinning.
    assert_eq!(verdicts(&order, ["1.5 up", "0.5 up"]), [NotJudged; 2]);
}

#[test]
fn lenses_that_are_not_thinned_alike_are_an_error_of_the_one_that_is_farther_from_it() {
    let order = order(1200, ThinningKnown::Assumed);
    assert_eq!(verdicts(&order, ["0.2 down", "0.5 down"]), [Within, NotJudged]);
    assert_eq!(verdicts(&order, ["1 up", "1.3 down"]), [NotJudged, Within]);
}

#[test]
fn one_lens_alone_is_not_turned_out_by_an_assumption() {
    let order = order(1200, ThinningKnown::Assumed);
    let [_, (verdict, look)] = uncut(&order, [None, Some("2 down")]);
    let Look::Unusual(seen) = look else { panic!("{look:?}") };
    assert_eq!((verdict, seen.basis, seen.deviation), (Within, Basis::ThinningAssumed, 800));
    assert_eq!(uncut(&order, [None, Some("1 down")])[1], (Within, Look::Within));
    // No thinning explains prism to the side, or base up.
    for prism in ["1.2 down 0.34 in", "0.34 up"] {
        assert_eq!(uncut(&order, [None, Some(prism)])[1].0, NotJudged, "{prism}");
    }
}

#[test]
fn the_prism_of_each_mounted_eye_is_judged_without_its_thinning() {
    let verdict = |order: &PairOrder, prisms: [&str; 2]| {
        let pd = Some(order.pd);
        let measured =
            PairMeasured { eyes: readings(order, prisms.map(Some)), pd, ..PairMeasured::default() };
        judge_pair(&TIGHT, Design::Progressive, order, &measured).verdict()
    };
    // The shop of the tests allows 0.25 Δ for each eye.
    let ordered = order(1200, ThinningKnown::Ordered);
    assert_eq!(verdict(&ordered, ["0.2 down", "1.2 down"]), Within);
    assert_eq!(verdict(&ordered, ["0.451 down", "1.2 down"]), Out);
    assert_eq!(verdict(&ordered, ["1 up", "0"]), Out);
    let assumed = order(1200, ThinningKnown::Assumed);
    assert_eq!(verdict(&assumed, ["1 up", "0"]), Within);
    assert_eq!(verdict(&assumed, ["1 up", "0.3 down"]), Out);
    // Alike in both, it makes nothing between the eyes.
    let measured = PairMeasured {
        eyes: readings(&ordered, [Some("1 down"), Some("2 down")]),
        ..PairMeasured::default()
    };
    let found = judge_pair(ANSI, Design::Progressive, &ordered, &measured);
    let vertical = found.findings().iter().find(|found| found.quantity == Quantity::Vertical).unwrap();
    assert_eq!((found.verdict(), vertical.deviation), (Within, 0));
}
