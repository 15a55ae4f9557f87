//! Pairs to judge.

use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, EyeOrder};
use crate::tolerance::{
    Design, EyeReading, Judgement, PairMeasured, PairOrder, Standard, Thinning, judge_pair,
};
use crate::units::{Prism, PrismPair};

pub(in crate::tolerance) fn pair(right: &str, left: &str, pd: &str) -> PairOrder {
    let eyes = [right, left].map(|text| EyeOrder::parse(text).unwrap());
    PairOrder {
        eyes,
        pd: PupillaryDistance::parse(pd).unwrap(),
        segment_heights: None,
        thinning: Thinning::NONE,
    }
}

/// Powers and additions as ordered; prisms are (in, up) in 1/1000 Δ.
pub(in crate::tolerance) fn read(
    order: &PairOrder,
    prisms: Option<[(i32, i32); 2]>,
    pd: Option<&str>,
) -> PairMeasured {
    let prism = |(base_in, base_up)| PrismPair {
        base_in: Prism::from_milli(base_in),
        base_up: Prism::from_milli(base_up),
    };
    let eyes = Eye::BOTH.map(|eye| EyeReading {
        add: order.eyes[eye.index()].add,
        prism: prisms.map(|prisms| prism(prisms[eye.index()])),
        ..EyeReading::of_power(order.eyes[eye.index()].power)
    });
    PairMeasured {
        eyes,
        pd: pd.map(|text| PupillaryDistance::parse(text).unwrap()),
        segment_heights: [None; 2],
    }
}

pub(in crate::tolerance) fn judge(design: Design, order: &PairOrder, measured: &PairMeasured) -> Judgement {
    judge_by(Standard::AnsiZ801_2015, design, order, measured)
}

pub(in crate::tolerance) fn judge_by(
    standard: Standard,
    design: Design,
    order: &PairOrder,
    measured: &PairMeasured,
) -> Judgement {
    judge_pair(standard, design, order, measured)
}
