//! Each design is drawn by what it is laid out by.

use super::{Bench, figure, figure_points, lens, near, part, parts, read, text_of};
use crate::desk::{LabPower, Order, Segment, SegmentShape};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::EyeOrder;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;

#[test]
fn a_prescribed_prism_is_not_taken_for_an_optical_centre() {
    let sheet =
        Bench::with(|order| order.right = EyeOrder::parse("-4.00 DS prism 2 in").unwrap()).sheet(None);
    let page = read(&sheet);
    let drawn = |eye| text_of(lens(&page, eye));
    assert!(drawn("right").contains("base 2.00 in"));
    assert!(!drawn("right").contains("centre dot = optical centre"));
    // Prentice: 2 Δ over 4 D are 5 mm. A minus lens has its base away from its centre: base in, so the dot lies in of
    // the centre, and the centre out of the dot.
    let [dot, centre] = ["centre-dot", "optical-centre"].map(|name| part(&page, "right", name));
    assert!(
        near(figure(centre, "cx"), figure(dot, "cx") - 5.0) && near(figure(centre, "cy"), figure(dot, "cy"))
    );
    assert!(parts(&page, "left", "optical-centre").is_empty());
    assert!(drawn("left").contains("centre dot = optical centre"));
    assert!(text_of(page.root()).contains("ring: optical centre"));
}

fn progressive(order: &mut Order) {
    order.lens.design = Design::Progressive;
    order.right = EyeOrder::parse("+1.00 -0.50 x 20 prism 2 in add +2.00").unwrap();
    order.left = EyeOrder::parse("+1.00 add +2.00").unwrap();
    order.heights = Some([21_000, 17_000].map(Length::from_milli));
    order.near_pd = Some(PupillaryDistance::parse("29.5/29").unwrap());
}

#[test]
fn a_progressive_is_drawn_by_its_engravings() {
    let sheet = Bench::with(progressive).sheet(None);
    let page = read(&sheet);
    // A 50, DBL 18: 31.5 and 31 leave 2.5 and 3 mm in; heights 21 and 17 in B 38 are 2 up and 2 down. The reference point
    // lies 4 mm below the cross; near is 2 mm closer.
    for (eye, nose, inward, up) in [("right", 1.0, 2.5, 2.0), ("left", -1.0, 3.0, -2.0)] {
        let cross = parts(&page, eye, "fitting-cross");
        let middle =
            |from, to| cross.iter().map(|line| figure(*line, from) + figure(*line, to)).sum::<f64>() / 4.0;
        assert!(near(middle("x1", "x2"), nose * inward) && near(middle("y1", "y2"), -up), "{eye}");
        for name in ["reference-point", "blank"] {
            let round = part(&page, eye, name);
            assert!(
                near(figure(round, "cx"), nose * inward) && near(figure(round, "cy"), 4.0 - up),
                "{eye} {name}"
            );
        }
        // 34 mm apart, level, alike on both sides of the vertical through the cross (ISO 8980-2, from memory).
        let engravings = parts(&page, eye, "engraving");
        let [one, other] = [0, 1].map(|at| figure(engravings[at], "cx"));
        assert!(near((one - other).abs(), 34.0) && near((one + other) / 2.0, nose * inward), "{eye}");
        assert!(engravings.iter().all(|engraving| near(figure(*engraving, "cy"), 4.0 - up)), "{eye}");
        let level = part(&page, eye, "line-180");
        assert!(near(figure(level, "y1"), 4.0 - up) && near(figure(level, "y2"), 4.0 - up), "{eye}");
        // Power is read above the cross, addition below it and as far in as near is.
        let [far, close] = ["distance-circle", "near-circle"].map(|name| part(&page, eye, name));
        assert!(figure(far, "cy") < -up && figure(close, "cy") > 4.0 - up, "{eye}");
        assert!(
            near(figure(far, "cx"), nose * inward) && near(figure(close, "cx"), nose * (inward + 2.0)),
            "{eye}"
        );
        assert!(
            ["centre-dot", "outer-dot", "optical-centre"]
                .iter()
                .all(|name| parts(&page, eye, name).is_empty())
        );
        let drawn = text_of(lens(&page, eye));
        for words in ["fitting cross", "power", "add +2.00", "block on the fitting cross, or its mark"] {
            assert!(drawn.contains(words), "{eye}: {words}");
        }
        assert!(!drawn.contains("optical centre"), "{eye}");
    }
    // 0.6 of the addition to thin both lenses, beside what is prescribed.
    let drawn = |eye| text_of(lens(&page, eye));
    assert!(drawn("right").contains("base 1.20 down 2.00 in") && drawn("left").contains("base 1.20 down"));
}

#[test]
fn the_axis_of_a_progressive_runs_through_its_distance_circle() {
    let sheet = Bench::with(progressive).sheet(None);
    let page = read(&sheet);
    let [axis, far, blank] = ["axis", "distance-circle", "blank"].map(|name| part(&page, "right", name));
    let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| figure(axis, name));
    let angle = (y1 - y2).atan2(x2 - x1).to_degrees();
    assert!((angle - 20.0).abs() < 0.01, "{angle}");
    let off = (x2 - x1) * (figure(far, "cy") - y1) - (y2 - y1) * (figure(far, "cx") - x1);
    assert!(off.abs() / (x2 - x1).hypot(y2 - y1) < 0.002, "{off}");
    // It ends within the blank, whose middle lies elsewhere.
    for (x, y) in [(x1, y1), (x2, y2)] {
        let from_middle = (x - figure(blank, "cx")).hypot(y - figure(blank, "cy"));
        assert!(near(from_middle, 0.97 * figure(blank, "r")), "{from_middle}");
    }
}

#[test]
fn the_axis_drawn_is_that_of_the_power_to_verify() {
    let sheet = Bench::with(|order| {
        order.right = EyeOrder::parse("-4.00 -1.00 x 15").unwrap();
        let power = EyeOrder::parse("-3.87 -1.25 x 22").unwrap().power;
        order.right_verify = Some(LabPower { power, prism: None, add: None });
    })
    .sheet(None);
    let page = read(&sheet);
    let axis = part(&page, "right", "axis");
    let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| figure(axis, name));
    let angle = (y1 - y2).atan2(x2 - x1).to_degrees();
    assert!((angle - 22.0).abs() < 0.01, "{angle}");
}

#[test]
fn a_segment_is_drawn_where_it_goes_and_the_dot_where_the_optical_centre_falls() {
    let drawn = |shape, width: Option<i32>| {
        Bench::with(|order| {
            order.lens.design = Design::Multifocal;
            [order.right, order.left] = ["-2.00 add +2.00"; 2].map(|text| EyeOrder::parse(text).unwrap());
            order.lens.segment = Some(Segment { shape, width: width.map(Length::from_milli) });
            order.heights = Some([Length::from_milli(16_000); 2]);
            order.near_pd = Some(PupillaryDistance::parse("29.5/29").unwrap());
        })
        .sheet(None)
    };
    let sheet = drawn(SegmentShape::FlatTop, Some(28_000));
    let page = read(&sheet);
    // A 50, B 38, DBL 18: the top goes 3 down, 4.5 and 5 mm in; the maker's dot is 5 above it and 2 mm out.
    for (eye, nose, inward) in [("right", 1.0, 4.5), ("left", -1.0, 5.0)] {
        let points = figure_points(part(&page, eye, "segment"));
        let reach = |at: usize, least: bool| {
            let ordered = points.iter().map(|point| point[at]);
            if least { ordered.fold(f64::MAX, f64::min) } else { ordered.fold(f64::MIN, f64::max) }
        };
        // Level at 3 below, 19 mm high, 28 wide about its middle.
        assert!(near(reach(1, true), 3.0) && near(reach(1, false), 22.0), "{eye}");
        let [left, right] = [true, false].map(|least| reach(0, least));
        assert!(
            (right - left - 28.0).abs() < 0.01 && near(f64::midpoint(left, right), nose * inward),
            "{eye}"
        );
        for name in ["centre-dot", "blank"] {
            let round = part(&page, eye, name);
            assert!(
                near(figure(round, "cx"), nose * (inward - 2.0)) && near(figure(round, "cy"), -2.0),
                "{eye} {name}"
            );
        }
        let words = text_of(lens(&page, eye));
        assert!(words.contains("3 down") && words.contains("block on the segment"), "{words}");
    }
    // One across the whole lens is a line from side to side.
    let sheet = drawn(SegmentShape::FullWidth, None);
    let page = read(&sheet);
    let line = part(&page, "right", "segment");
    assert!(
        near(figure(line, "x1"), -25.0) && near(figure(line, "x2"), 25.0) && near(figure(line, "y1"), 3.0)
    );
}

#[test]
fn the_edge_is_drawn_all_round_with_its_thickest_and_thinnest_place() {
    let sheet = Bench::with(|order| order.left = EyeOrder::parse("-6.00 -2.00 x 90").unwrap()).sheet(None);
    let page = read(&sheet);
    let rise = |eye| {
        let points = figure_points(part(&page, eye, "edge"));
        let along = |at: usize| points.iter().map(move |point| point[at]);
        let [(from, to), (top, low)] =
            [0, 1].map(|at| (along(at).fold(f64::MAX, f64::min), along(at).fold(f64::MIN, f64::max)));
        assert!(near(from, 6.0) && near(to, 88.0), "{eye}: a whole turn");
        assert!(points.windows(2).all(|pair| pair[0][0] <= pair[1][0]), "{eye}");
        // It closes: a whole turn on, the edge is as thick as where it began.
        assert!((points[0][1] - points[points.len() - 1][1]).abs() < 0.05, "{eye}");
        (top, low)
    };
    let [(right_top, _), (left_top, left_low)] = ["right", "left"].map(rise);
    // One scale for both: the stronger lens is the thicker one, up to the roof.
    assert!(left_top < right_top && near(left_top, 3.2), "{left_top} {right_top}");
    // A minus lens of this axis is thickest toward the nose or the temple, and thinnest above or below.
    let drawn = text_of(part(&page, "left", "edge").parent().unwrap());
    assert!(
        drawn.contains("thickest") && drawn.contains("temporal") && drawn.contains("thinnest"),
        "{drawn}"
    );
    assert!(left_low < 10.2, "nowhere as thin as nothing");
}

#[test]
fn an_arrow_points_to_the_base_of_a_prism() {
    let sheet = Bench::with(|order| {
        order.right = EyeOrder::parse("-4.00 DS prism 2 in").unwrap();
        order.left = EyeOrder::parse("-4.00 DS prism 1.5 up 2 out").unwrap();
    })
    .sheet(None);
    let page = read(&sheet);
    let way = |eye| {
        let arrow = part(&page, eye, "prism-base");
        let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| figure(arrow, name));
        ((x2 - x1) / (x2 - x1).hypot(y2 - y1), (y1 - y2) / (x2 - x1).hypot(y2 - y1))
    };
    // In is toward the viewer's right for the right eye; out is that for the left one.
    let ((x, y), (left_x, left_y)) = (way("right"), way("left"));
    assert!((x - 1.0).abs() < 0.001 && y.abs() < 0.001);
    assert!((left_x - 0.8).abs() < 0.001 && (left_y - 0.6).abs() < 0.001, "{left_x} {left_y}");
    let plain = Bench::with(|_| {}).sheet(None);
    assert!(parts(&read(&plain), "right", "prism-base").is_empty());
}
