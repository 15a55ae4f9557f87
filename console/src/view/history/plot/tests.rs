//! Drawings are read back as XML and measured.

use super::super::{HistoryView, Row};
use crate::history::{BEARERS, By, Group};
use crate::view::plot::is_plot;
use jiff::SignedDuration;
use roxmltree::{Document, Node};

fn group(name: &str, pairs: u64, minutes: &[i64], spoiled: u64) -> Group {
    let times = minutes.iter().map(|minutes| SignedDuration::from_mins(*minutes)).collect();
    let (name, borne) = (Some(name.to_owned()), [spoiled, 0, 0, 0]);
    Group { name, pairs, times, fitted: 2 * pairs, first_try: pairs, passes: 3 * pairs, borne, unborne: 0 }
}

fn view(by: By, groups: &[Group]) -> HistoryView {
    HistoryView { by, rows: groups.iter().map(Row::of).collect(), total: Row::of(&Group::default()) }
}

/// The bars in which `words` are read out, by the name of their row.
fn bars<'d>(document: &'d Document<'_>, words: &str) -> Vec<(&'d str, Node<'d, 'd>)> {
    let titled = document.descendants().filter(|node| node.has_tag_name("g"));
    let told = titled.filter_map(|group| {
        let title = group.children().find(|node| node.has_tag_name("title"))?.text()?;
        let bar = group.children().find(|node| node.attribute("class") == Some("bar"))?;
        title.contains(words).then(|| (title.split_once(", ").unwrap().0, bar))
    });
    told.collect()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

#[test]
fn over_time_a_bar_is_as_high_as_its_figure_and_one_that_is_not_known_is_not_there() {
    let days = [
        group("2026-01-01", 2, &[10, 20], 1),
        group("2026-01-02", 6, &[], 0),
        group("2026-01-03", 4, &[30], 0),
    ];
    let (svg, over) = view(By::Day, &days).plot("by day");
    assert!(is_plot(svg.as_bytes()) && over == 0);
    let document = Document::parse(&svg).unwrap();
    let finished = bars(&document, "finished: ");
    let names: Vec<&str> = finished.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["2026-01-01", "2026-01-02", "2026-01-03"]);
    let high: Vec<f64> = finished.iter().map(|(_, bar)| number(*bar, "height")).collect();
    assert!((high[1] - 3.0 * high[0]).abs() < 1e-6 && (high[2] - 2.0 * high[0]).abs() < 1e-6, "{high:?}");
    let feet: Vec<f64> = finished.iter().map(|(_, bar)| number(*bar, "y") + number(*bar, "height")).collect();
    assert!(feet.iter().all(|foot| (foot - feet[0]).abs() < 1e-6), "{feet:?}");
    let known: Vec<&str> = bars(&document, "median time: ").into_iter().map(|(name, _)| name).collect();
    assert_eq!(known, ["2026-01-01", "2026-01-03"]);
    assert!(svg.contains("median time: 15.0 minutes a pair, of 2"), "{svg}");
}

#[test]
fn side_by_side_a_bar_is_as_long_as_its_figure() {
    let frames =
        [group("<b>Oak & \"wide\"", 8, &[12], 2), group("A model with a very long name", 2, &[12], 1)];
    let (svg, _) = view(By::Frame, &frames).plot("by frame");
    let document = Document::parse(&svg).unwrap();
    let long: Vec<f64> = bars(&document, "finished: ").iter().map(|(_, bar)| number(*bar, "width")).collect();
    assert!((long[0] - 4.0 * long[1]).abs() < 1e-6, "{long:?}");
    assert!(document.descendants().any(|node| node.text() == Some("<b>Oak & \"wide\"")));
}

#[test]
fn of_causes_all_lenses_stand_on_one_scale() {
    let (svg, _) =
        view(By::Cause, &[group("slipped", 0, &[], 4), group("damaged", 0, &[], 1)]).plot("by cause");
    let document = Document::parse(&svg).unwrap();
    let [all, shop] =
        ["spoiled: ", "charged: shop: "].map(|words| number(bars(&document, words)[1].1, "width"));
    assert!((all - shop).abs() < 1e-6 && all > 0.0);
    let columns = bars(&document, "slipped, ").len();
    assert_eq!(columns, BEARERS.len() + 2);
}

#[test]
fn a_plot_is_told_in_words_fetches_nothing_and_stays_on_its_ground() {
    let months: Vec<Group> = (1..=70).map(|at| group(&format!("m{at}"), at, &[9], 1)).collect();
    for by in [By::Month, By::Material] {
        let (svg, over) = view(by, &months).plot("many");
        assert_eq!(over, 10);
        let document = Document::parse(&svg).unwrap();
        let root = document.root_element();
        for id in root.attribute("aria-labelledby").unwrap().split(' ') {
            let told = document.descendants().find(|node| node.attribute("id") == Some(id)).unwrap();
            assert!(told.text().is_some_and(|text| !text.trim().is_empty()), "{id}");
        }
        assert!(!["script", "href", "url(", "@import"].iter().any(|part| svg.contains(part)));
        let (width, height) = (number(root, "width"), number(root, "height"));
        for bar in document.descendants().filter(|node| node.attribute("class") == Some("bar")) {
            assert!(number(bar, "x") + number(bar, "width") < width, "{by:?}");
            assert!(number(bar, "y") + number(bar, "height") < height, "{by:?}");
        }
    }
}
