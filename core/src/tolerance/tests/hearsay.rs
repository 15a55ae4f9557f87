//! An edition of which nothing was seen.

use super::sample::{judge_by, pair, read};
use crate::prescription::Eye;
use crate::tolerance::{Design, EyeReading, PairOrder, Places, Rule, Stage, Standard, judge_eye, judge_pair};
use crate::units::Length;

#[test]
fn of_2020_there_is_the_table_of_2015_and_every_figure_is_unconfirmed() {
    let eye = "-4.00 -1.00 x 10 add 2.00";
    let order =
        PairOrder { segment_heights: Some([Length::from_milli(18_000); 2]), ..pair(eye, eye, "31/31") };
    let mut measured = read(&order, Some([(100, 200), (0, 0)]), Some("31.5/31"));
    measured.segment_heights = [Some(Length::from_milli(18_000)); 2];
    for design in Design::ALL {
        let [then, now] = [Standard::AnsiZ801_2015, Standard::AnsiZ801_2020]
            .map(|standard| judge_by(standard, design, &order, &measured));
        assert_eq!(then.findings().len(), now.findings().len());
        for (then, now) in then.findings().iter().zip(now.findings()) {
            assert_eq!(
                (then.limit, then.deviation, then.cited.rule),
                (now.limit, now.deviation, now.cited.rule)
            );
            assert!(!now.cited.confirmed && now.cited.source.contains("exam guides"), "{now:?}");
        }
    }
    let lens = &order.eyes[0];
    let read = EyeReading { prism: Some(lens.prism), add: lens.add, ..EyeReading::of_power(lens.power) };
    let uncut = judge_eye(Standard::AnsiZ801_2020, Design::Progressive, Stage::Uncut, Eye::Left, lens, &read);
    assert!(uncut.findings().iter().all(|found| !found.cited.confirmed));
    // What a shop asks for besides is its own figure.
    let rule = Some(Rule::fixed(500, "the shop"));
    let table = Standard::AnsiZ801_2020.table().with_places(Places { pd_each_eye: rule, heights: rule });
    let found = judge_pair(&table, Design::Progressive, &order, &measured);
    let of_shop = found.findings().iter().filter(|found| found.cited.source == "the shop");
    assert_eq!(of_shop.clone().count(), 4);
    assert!(of_shop.into_iter().all(|found| found.cited.confirmed));
}
