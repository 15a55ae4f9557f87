//! Situations of an outline; what is measured is compared with references in the tests of the crate.

use super::*;
use std::vec;
use std::vec::Vec;

fn mm(micrometres: i32) -> Length {
    Length::from_milli(micrometres)
}

/// Boxes and EDs from the ellipse to all but the rectangle.
fn shapes() -> Vec<(Length, Length, Option<Length>)> {
    let mut shapes = Vec::new();
    for a in [10_000, 38_000, 50_001, 62_000, 100_000] {
        for b in [10_000, 29_999, 38_000, 100_000] {
            shapes.push((mm(a), mm(b), None));
            let diagonal = i64::from(a).pow(2) + i64::from(b).pow(2);
            let (least, most) = (a.max(b), diagonal.isqrt() as i32);
            shapes.extend((0..=10).map(|part| (mm(a), mm(b), Some(mm(least + (most - least) * part / 10)))));
        }
    }
    shapes
}

#[test]
fn a_made_shape_has_its_box_and_its_ed_and_is_convex() {
    for (a, b, ed) in shapes() {
        let mut into = [Point::ORIGIN; 360];
        let made = Outline::made(a, b, ed, &mut into).unwrap();
        let boxed = made.boxed();
        assert_eq!((boxed.a, boxed.b, boxed.centre), (a, b, Point::ORIGIN), "{a} {b} {ed:?}");
        assert!(Outline::new(made.points()).is_ok());
        let wanted = ed.unwrap_or(a.max(b));
        assert!(boxed.ed.milli() <= wanted.milli() + 1, "{a} {b} {ed:?}: {}", boxed.ed);
        // No turn to the right beyond the rounding of the points: of three points 0.1 mm apart the middle one lies
        // at most 0.004 µm inside.
        for ((p, q), (_, r)) in made.chords().zip(made.chords().skip(1)) {
            let (one, two) = (q.less(p), r.less(q));
            let length = one.square_from(Point::ORIGIN).max(two.square_from(Point::ORIGIN)).isqrt() as i64;
            assert!(one.cross(two) >= -4 * length, "{a} {b} {ed:?} at {q:?}: {}", one.cross(two) / length);
        }
    }
}

#[test]
fn the_longest_radius_is_half_the_ed_but_for_the_place_between_two_points() {
    // How far the ED stands between the longer side and the diagonal, in tenths, and what is missing at most.
    for (tenths, bound) in [(0, 1), (2, 7), (5, 17), (9, 120)] {
        let mut worst = 0;
        for a in (40_000..=60_000).step_by(2000) {
            for b in (25_000..=a).step_by(1500) {
                let diagonal = (i64::from(a).pow(2) + i64::from(b).pow(2)).isqrt() as i32;
                let ed = a + (diagonal - a) * tenths / 10;
                let mut into = [Point::ORIGIN; 360];
                let made = Outline::made(mm(a), mm(b), Some(mm(ed)), &mut into).unwrap();
                worst = worst.max(ed - made.boxed().ed.milli());
            }
        }
        assert!(worst <= bound, "{tenths}: {worst} µm of ED");
    }
}

#[test]
fn sizes_of_no_shape_are_refused_with_what_would_do() {
    let mut into = [Point::ORIGIN; 72];
    let mut made = |a, b, ed: Option<i32>| {
        Outline::made(mm(a), mm(b), ed.map(mm), &mut into)
            .map(|_| ())
            .map_err(|error| std::format!("{error}"))
    };
    let said = made(48_000, 36_000, Some(47_999)).unwrap_err();
    assert!(said.contains("48 (its longer side) to 60 mm (its diagonal)"), "{said}");
    assert!(made(48_000, 36_000, Some(60_000)).is_ok());
    assert!(made(48_000, 36_000, Some(60_001)).is_err());
    assert!(made(48_000, 36_000, Some(-60_000)).is_err());
    assert!(made(4800, 36_000, None).unwrap_err().contains("10 to 100 mm"));
    let mut odd = [Point::ORIGIN; 70];
    let error = Outline::made(mm(48_000), mm(36_000), None, &mut odd).unwrap_err();
    assert_eq!(error, ShapeError::Points(70));
}

#[test]
fn radii_that_make_no_outline_are_refused() {
    let mut into = [Point::ORIGIN; 10];
    let error = Outline::from_radii([mm(20_000); 9], &mut into).unwrap_err();
    assert_eq!(error, OutlineError::Buffer { points: 9, places: 10 });
    let error = Outline::from_radii([mm(20_000); 11], &mut into).unwrap_err();
    assert_eq!(error, OutlineError::Buffer { points: 11, places: 10 });
    // 20 mm meant, 1/100 mm not converted.
    let error = Outline::from_radii([mm(20); 10], &mut into).unwrap_err();
    assert_eq!(error, OutlineError::Radius { point: 0, radius: mm(20) });
    let error = Outline::from_radii([mm(20_000); 7], &mut [Point::ORIGIN; 7]).unwrap_err();
    assert_eq!(error, OutlineError::Few(7));
    // Twice round, and back again.
    let polar = |step: i32| (0..10).map(move |point| (mm(20_000), Angle::from_milli(point * step)));
    let error = Outline::from_polar(polar(72_000), &mut into).unwrap_err();
    assert_eq!(error, OutlineError::Turns(2));
    let error = Outline::from_polar(polar(-36_000), &mut into).unwrap_err();
    assert_eq!(error, OutlineError::Turn(1));
    // All on one side.
    assert_eq!(Outline::from_polar(polar(10_000), &mut into).map(|_| ()), Err(OutlineError::Turn(0)));
}

#[test]
fn equal_angles_may_be_written_out() {
    let radii: Vec<Length> = (0..36).map(|point| mm(20_000 + 100 * (point % 7))).collect();
    let (mut one, mut other) = ([Point::ORIGIN; 36], [Point::ORIGIN; 36]);
    let equal = Outline::from_radii(radii.iter().copied(), &mut one).unwrap();
    let written = radii.iter().zip(0..).map(|(radius, point)| (*radius, Angle::from_milli(point * 10_000)));
    assert_eq!(equal, Outline::from_polar(written, &mut other).unwrap());
    assert_eq!(equal.radii().collect::<Vec<_>>(), radii);
}

#[test]
fn an_odd_number_of_points_is_mirrored_where_they_are() {
    let radii = (0..37).map(|point| mm(20_000 + 100 * (point % 5)));
    let (mut one, mut other, mut again) = ([Point::ORIGIN; 37], [Point::ORIGIN; 37], [Point::ORIGIN; 37]);
    let shape = Outline::from_radii(radii, &mut one).unwrap();
    let mirror = shape.mirror(&mut other).unwrap();
    assert_eq!((mirror.girth(), mirror.area()), (shape.girth(), shape.area()));
    assert!(mirror.points()[0].direction_from(Point::ORIGIN) < Angle::from_degrees(10));
    assert_eq!(mirror.mirror(&mut again).unwrap(), shape);
}

#[test]
fn a_step_that_leaves_nothing_is_refused() {
    let mut points = [Point::ORIGIN; 360];
    let shape = Outline::made(mm(50_000), mm(30_000), None, &mut points).unwrap();
    let mut into = [Point::ORIGIN; 360];
    let error = shape.offset(mm(-15_000), &mut into).unwrap_err();
    assert!(matches!(error, OffsetError::Vanishes { room, .. } if (14_990..=15_000).contains(&room.milli())));
    assert_eq!(shape.offset(mm(20_001), &mut into), Err(OffsetError::Wide(mm(20_001))));
    assert!(shape.offset(mm(i32::MIN), &mut into).is_err());
    assert_eq!(shape.offset(mm(20_000), &mut into).unwrap().boxed().a, mm(90_000));
    // No step, no change.
    assert_eq!(shape.offset(mm(0), &mut into).unwrap().girth(), shape.girth());
}

#[test]
fn the_largest_outline_of_the_most_points_does_not_overflow() {
    let mut points = vec![Point::ORIGIN; 10_000];
    let largest = Outline::from_radii((0..10_000).map(|_| mm(100_000)), &mut points).unwrap();
    let exact = 628_318.5;
    assert!((f64::from(largest.girth().milli()) - exact).abs() <= 1.0, "{}", largest.girth());
    assert_eq!(largest.boxed().ed, mm(200_000));
    assert!((largest.area() - 31_415_924_469).abs() <= 2000, "{}", largest.area());
    // Whatever is asked of it.
    for wild in [i32::MIN, -1_000_001, 1_000_001, i32::MAX].map(mm) {
        let way = Decentration { inward: wild, up: wild };
        let centre = largest.optical_centre(Eye::Left, &way);
        assert!(largest.least_blank(centre, wild) > mm(500_000) || wild < mm(0));
        assert!(!largest.cover(wild, centre, wild).is_whole());
        assert_eq!(
            largest.largest_decentration(wild, Angle::from_degrees(30), Length::ZERO).is_some(),
            wild > mm(0)
        );
        assert!(largest.girth_with_ring(&[wild]) == Some(largest.girth()));
        assert!(largest.reach(centre, Angle::from_degrees(200)) <= mm(1_700_000));
    }
}

#[test]
fn a_symmetric_shape_raises_no_doubt_about_its_side() {
    let mut points = [Point::ORIGIN; 72];
    let made = Outline::made(mm(50_000), mm(38_000), Some(mm(53_000)), &mut points).unwrap();
    for eye in Eye::BOTH {
        assert!(!made.low_corners(eye).look_swapped());
    }
}

#[test]
fn steiners_formula_is_taken_where_no_bend_is_tight() {
    let mut points = [Point::ORIGIN; 360];
    let round = Outline::made(mm(50_000), mm(38_000), None, &mut points).unwrap();
    for (step, change) in [(250, 1571), (-250, -1571), (-5000, -31_416), (20_000, 125_664)] {
        assert_eq!(round.offset_girth(mm(step)), Some(round.girth() + mm(change)));
        let mut into = [Point::ORIGIN; 360];
        let along = round.offset(mm(step), &mut into).unwrap().girth();
        assert!((along - round.girth() - mm(change)).abs() <= mm(12), "{step}: {along}");
    }
    // The smallest radius of curvature is 14.44 mm: half of it is taken, no more.
    assert!(round.offset_girth(mm(-7000)).is_some() && round.offset_girth(mm(-7500)).is_none());
    for beyond in [mm(20_001), mm(i32::MIN), mm(i32::MAX)] {
        assert_eq!(round.offset_girth(beyond), None);
    }
    // Tight corners of a full shape; a waist, which is tight only outward.
    let mut points = [Point::ORIGIN; 400];
    let full = Outline::made(mm(50_000), mm(38_000), Some(mm(61_500)), &mut points).unwrap();
    assert!(full.offset_girth(mm(-1000)).is_none() && full.offset_girth(mm(1000)).is_some());
    let waisted = (0..400).map(|at| {
        let wave = (f64::from(at) * 0.9).to_radians();
        mm((20_000.0 + 6000.0 * (2.0 * wave).cos() - 2500.0 * (4.0 * wave).cos()).round() as i32)
    });
    let mut points = [Point::ORIGIN; 400];
    let waisted = Outline::from_radii(waisted, &mut points).unwrap();
    assert!(waisted.offset_girth(mm(250)).is_some() && waisted.offset_girth(mm(15_000)).is_none());
}
