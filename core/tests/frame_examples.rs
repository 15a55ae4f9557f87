//! Worked examples of frames and blanks, the source of each beside it, and a record read and measured.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_core::frame::trace::{self, Event, Field, Layer, Pair, Reader, lines, mirrored};
use bevelbook_core::frame::{Decentration, FrameSize, Outline, Point, least_blank};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length};

/// A record made up for this project: 36 points an eye, the left one the mirror of the right one.
const RECORD: &str = include_str!("vectors/record.txt");

fn mm(micrometres: i32) -> Length {
    Length::from_milli(micrometres)
}

/// What a program would keep of a record.
#[derive(Default)]
struct Kept {
    radii: [Vec<Length>; 2],
    pairs: Vec<(Field, Pair)>,
    dbl: Option<Length>,
    other: Vec<(String, String)>,
}

fn read(text: &str) -> Result<Kept, trace::Refusal> {
    let (mut reader, mut kept) = (Reader::default(), Kept::default());
    for line in lines(text) {
        match reader.push(line)? {
            Event::Pair(field, pair) => kept.pairs.push((field, pair)),
            Event::Bridge(dbl) => kept.dbl = dbl,
            Event::Begins(_) => {}
            Event::Values { of, values, .. } if of.layer == Layer::Radius => {
                kept.radii[of.eye.index()].extend(values.iter());
            }
            Event::Values { .. } | Event::Angles { .. } => {}
            Event::Kept { label, value } => kept.other.push((label.into(), value.into())),
        }
    }
    reader.finish()?;
    Ok(kept)
}

fn outline(radii: &[Length]) -> Vec<Point> {
    let mut points = vec![Point::ORIGIN; radii.len()];
    Outline::from_radii(radii.iter().copied(), &mut points).unwrap();
    points
}

#[test]
fn a_record_gives_its_box_girth_and_centres() {
    // Expected values computed in double precision by the maker of the record.
    let kept = read(RECORD).unwrap();
    assert_eq!(kept.dbl, Some(mm(18_000)));
    assert_eq!(kept.other, [("JOB".into(), "TEST001".into())]);
    let stated: Vec<&str> = kept.pairs.iter().map(|(field, _)| field.words()).collect();
    assert_eq!(stated, ["HBOX", "VBOX", "CIRC"]);
    for (eye, across) in [(Eye::Right, 400), (Eye::Left, -400)] {
        let points = outline(&kept.radii[eye.index()]);
        let outline = Outline::new(&points).unwrap();
        let boxed = outline.boxed();
        assert_eq!((boxed.a.milli(), boxed.b.milli(), outline.girth().milli()), (50_400, 38_092, 140_344));
        assert_eq!((boxed.centre.x().milli(), boxed.centre.y().milli()), (across, 246));
        assert!(!outline.low_corners(eye).look_swapped(), "{eye}");
        assert!(outline.low_corners(eye.other()).look_swapped(), "{eye} read as the other");
        let size = boxed.size(kept.dbl.unwrap());
        assert_eq!(size.frame_pd(), mm(68_400));
    }
}

#[test]
fn one_altered_radius_of_the_record_is_found() {
    // 0.01 mm of 25.60 mm.
    let kept = read(&RECORD.replacen("R=2560;", "R=2561;", 1)).unwrap();
    let girth = |radii: &[Length]| Outline::new(&outline(radii)).unwrap().girth().milli();
    assert_ne!(girth(&kept.radii[0]), 140_344);
    assert_eq!(girth(&kept.radii[1]), 140_344);
}

#[test]
fn the_other_eye_is_the_mirror() {
    let kept = read(RECORD).unwrap();
    let [right, left] = &kept.radii;
    let turned: Vec<Length> = (0..36).map(|point| right[mirrored(point, 36).unwrap()]).collect();
    assert_eq!(&turned, left);
    // The same through points: within the rounding of a place.
    let mut into = vec![Point::ORIGIN; 36];
    let points = outline(right);
    let mirror = Outline::new(&points).unwrap().mirror(&mut into).unwrap();
    assert_eq!(mirror.radii().collect::<Vec<_>>(), *left);
    assert_eq!(mirror.boxed().a, mm(50_400));
}

#[test]
fn the_optical_centre_from_the_boxed_centre() {
    // A public sample record of the interchange standard: A 51, B 44.01, DBL 20, PD 31, height 16, from which
    // (51 + 20)/2 − 31 = 4.50 in and 16 − 44.01/2 = −6.005 up.
    let size = FrameSize { a: mm(51_000), b: mm(44_010), dbl: mm(20_000), ed: None };
    let way = Decentration::of(&size, mm(31_000), Some(mm(16_000)));
    let mut into = [Point::ORIGIN; 72];
    let made = Outline::made(size.a, size.b, None, &mut into).unwrap();
    let place = |eye| {
        let centre = made.optical_centre(eye, &way);
        (centre.x().milli(), centre.y().milli())
    };
    assert_eq!((place(Eye::Right), place(Eye::Left)), ((4500, -6005), (-4500, -6005)));
}

#[test]
fn an_ellipse_grown_and_shrunk_changes_its_girth_by_two_pi_steps() {
    // Half sides 26 and 17.5 mm: 137.96691 mm, and 2π·0.25 = 1.5708 mm for a quarter of a millimetre on the radius
    // (computed with scipy; Steiner).
    let mut points = vec![Point::ORIGIN; 2000];
    let ellipse = Outline::made(mm(52_000), mm(35_000), None, &mut points).unwrap();
    let girth = ellipse.girth().milli();
    assert!((girth - 137_967).abs() <= 1, "{girth}");
    for (step, change) in [(250, 1571), (-250, -1571)] {
        let mut into = vec![Point::ORIGIN; 2000];
        let grown = ellipse.offset(mm(step), &mut into).unwrap().girth().milli();
        assert!((grown - girth - change).abs() <= 2, "{step}: {grown}");
    }
}

#[test]
fn a_circle_of_four_hundred_chords() {
    // 2·400·25 mm·sin(π/400) = 157.0780 mm, the circle itself 157.0796 mm (computed).
    let points = outline(&[mm(25_000); 400]);
    let circle = Outline::new(&points).unwrap();
    assert_eq!(circle.girth(), mm(157_078));
    let bend = circle.tightest_bend().unwrap().radius.milli();
    assert!((bend - 25_000).abs() <= 25, "{bend}");
    let way = Decentration { inward: mm(3000), up: mm(-4000) };
    // 2·(25 + 5) and 2 mm of allowance.
    let centre = circle.optical_centre(Eye::Left, &way);
    let least = circle.least_blank(centre, mm(2000));
    // The farthest of the points stands within half a step of the true direction.
    assert!((61_999..=62_000).contains(&least.milli()), "{least}");
    assert_eq!(circle.largest_decentration(mm(60_000), Angle::ZERO, Length::ZERO), Some(mm(5000)));
}

#[test]
fn a_blank_covers_exactly_from_its_least_diameter() {
    let kept = read(RECORD).unwrap();
    let points = outline(&kept.radii[0]);
    let outline = Outline::new(&points).unwrap();
    let boxed = outline.boxed();
    for inward in (-8000..=8000).step_by(1100) {
        for up in (-5000..=5000).step_by(1300) {
            let way = Decentration { inward: mm(inward), up: mm(up) };
            let centre = outline.optical_centre(Eye::Right, &way);
            let least = outline.least_blank(centre, mm(2000));
            assert!(least.milli() <= least_blank(boxed.ed, &way, mm(2000)).milli() + 2, "{way:?}");
            let cover = outline.cover(least, centre, mm(2000));
            assert!(cover.is_whole() && cover.spare == Length::ZERO, "{cover:?}");
            let short = outline.cover(least - mm(1), centre, mm(2000));
            assert!(!short.is_whole() && short.spare == mm(-1), "{short:?}");
            // Where it is shortest the outline is farthest from the centre.
            let reach = outline.reach(centre, short.toward);
            assert!((reach.milli() * 2 + 2000 - least.milli()).abs() <= 3, "{reach} {least}");
        }
    }
}

#[test]
fn the_largest_decentration_is_the_last_that_is_covered() {
    let kept = read(RECORD).unwrap();
    let points = outline(&kept.radii[0]);
    let outline = Outline::new(&points).unwrap();
    let ed = outline.boxed().ed;
    for (degrees, inward, up) in [(0, 1, 0), (90, 0, 1), (180, -1, 0), (270, 0, -1)] {
        let (blank, toward) = (ed + mm(5000), Angle::from_degrees(degrees));
        let most = outline.largest_decentration(blank, toward, Length::ZERO).unwrap().milli();
        let covered = |way: i32| {
            let way = Decentration { inward: mm(inward * way), up: mm(up * way) };
            outline.cover(blank, outline.optical_centre(Eye::Right, &way), Length::ZERO).is_whole()
        };
        assert!(covered(most - 1) && !covered(most + 2), "{degrees}: {most}");
    }
    assert_eq!(outline.largest_decentration(ed - mm(2000), Angle::ZERO, Length::ZERO), None);
}

#[test]
fn steiners_formula_holds_for_convex_outlines() {
    // Outward by d: girth + 2πd, area + girth·d + πd²; inward the same with −d while d is below the smallest radius
    // of curvature. Smooth shapes in 1200 points, so that chords and curve are 1 µm apart.
    let shapes = [(50_000, 38_000, None), (52_000, 32_000, Some(53_500)), (46_000, 46_000, Some(49_000))];
    for (a, b, ed) in shapes {
        let mut points = vec![Point::ORIGIN; 1200];
        let shape = Outline::made(mm(a), mm(b), ed.map(mm), &mut points).unwrap();
        let tightest = f64::from(shape.tightest_bend().unwrap().radius.milli());
        let (girth, area) = (f64::from(shape.girth().milli()), shape.area() as f64);
        for step in [100, 500, 2000, 8000, -100, -500, -2000] {
            let d = f64::from(step);
            assert!(-d < tightest, "choose a smaller step");
            let mut into = vec![Point::ORIGIN; 1200];
            let curve = shape.offset(mm(step), &mut into).unwrap();
            let off_girth = f64::from(curve.girth().milli()) - girth - core::f64::consts::TAU * d;
            let off_area = curve.area() as f64 - area - girth * d - core::f64::consts::PI * d * d;
            assert!(off_girth.abs() <= 2.5, "{a} {b} {ed:?} {step}: girth off by {off_girth}");
            // 0.1 mm².
            assert!(off_area.abs() <= 1e5, "{a} {b} {ed:?} {step}: area off by {off_area}");
        }
    }
}
