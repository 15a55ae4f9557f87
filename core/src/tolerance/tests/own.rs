//! A table of somebody's own.

use crate::prescription::{Eye, EyeOrder, SphereCylinder};
use crate::tolerance::{
    Above, Bound, Centring, CentringRow, Design, EyeReading, Limit, Made, Meridian, PdRule, Places,
    Reference, Rows, Rule, Stage, Steps, Table, Uncovered, Verdict, judge_eye,
};
use crate::units::Notation;

const SOURCE: &str = "the shop";

const fn fixed(milli: i32) -> Rule {
    Rule::fixed(milli, SOURCE)
}

const fn centring(row: &'static [(i32, CentringRow)], each: i32) -> Option<Centring> {
    Some(Centring { rows: row, each: Some(fixed(each)) })
}

const EFFECT: Rule = Rule {
    bound: Bound::Effect { prism: Limit::from_milli(0), shift: 1000 },
    source: SOURCE,
    confirmed: true,
};

const ROWS: Rows = Rows {
    power: Steps { up_to: &[(6000, fixed(60))], above: Some(Rule::percent(1, SOURCE)) },
    cylinder: &[],
    vertical: centring(
        &[(
            Table::OPEN,
            CentringRow { switch: 3000, above: Above::Effect(EFFECT), ..CentringRow::always(fixed(500)) },
        )],
        250,
    ),
    horizontal: centring(
        &[(
            Table::OPEN,
            CentringRow {
                switch: 4000,
                above: Above::Pd(PdRule { rule: fixed(1000), each_eye: true }),
                ..CentringRow::always(fixed(500))
            },
        )],
        300,
    ),
    pd: Some(PdRule { rule: fixed(2000), each_eye: false }),
    height: Some(fixed(500)),
    height_pair: None,
};

/// It uses what no published edition does: prism of each eye, both rules of the PD, a reference point by its prism alone,
/// a design and a cylinder that are not covered.
pub(super) static TIGHT: Table = Table {
    name: "Größe und mehr als zwanzig",
    edition: "",
    version: 3,
    meridian: Meridian::Each,
    meridian_is_open: false,
    single_vision: ROWS,
    multifocal: Rows::NONE,
    progressive: ROWS,
    axis_from: 1,
    axis: Steps::NONE,
    axis_uncut: true,
    add: Steps::NONE,
    reference: Some(Reference { prism: fixed(330), place: None, both: false }),
    made: Made::NONE,
    places: Places::NONE,
    hearsay: None,
};

fn judged(design: Design, ordered: &str, read: &str) -> (Verdict, std::vec::Vec<Uncovered>) {
    let read = EyeReading::of_power(SphereCylinder::parse(read, Notation::Reading).unwrap());
    let order = EyeOrder::parse(ordered).unwrap();
    let found = judge_eye(&TIGHT, design, Stage::Mounted, Eye::Right, &order, &read);
    (found.verdict(), found.not_covered().iter().map(|left| left.what).collect())
}

#[test]
fn the_same_judge_runs_on_a_table_of_the_shop() {
    // The cylinder and its axis are not in it: that is said, and neither passes nor fails.
    for (ordered, read, verdict) in [
        ("-6.00", "-6.06 DS", Verdict::Within),
        ("-6.00", "-6.061 DS", Verdict::Out),
        ("-7.00", "-7.07 DS", Verdict::Within),
        ("-7.00", "-7.071 DS", Verdict::Out),
    ] {
        assert_eq!(judged(Design::SingleVision, ordered, read), (verdict, [Uncovered::Cylinder].into()));
    }
    let (_, left) = judged(Design::SingleVision, "-6.00 -1.00 x 10", "-6.00 -1.00 x 40");
    assert_eq!(left, [Uncovered::Cylinder, Uncovered::Axis]);
}

#[test]
fn a_design_that_is_not_covered_is_not_judged() {
    let (verdict, left) = judged(Design::Multifocal, "-6.00 add 2", "-6.00 DS");
    assert_eq!(verdict, Verdict::NotJudged);
    assert_eq!(left, [Uncovered::Power, Uncovered::Cylinder, Uncovered::Add]);
}
