//! Published problems of curves, thickness, frames and blanks, each with its source, to the last digit that is printed
//! there.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook_core::frame::{
    Decentration, FrameSize, Outline, Point, PupillaryDistance, least_blank, segment_drop, segment_inset,
};
use bevelbook_core::lens::{
    CLOCK_INDEX_1_523, LensForm, Place, ToricForm, Wedge, power_from_clock, radius, sagitta, surface_power,
};
use bevelbook_core::prescription::{Eye, SphereCylinder, ThickLens};
use bevelbook_core::units::{Length, Notation, Power, RefractiveIndex};

fn mm(text: &str) -> Length {
    Length::parse(text).unwrap()
}

fn power(text: &str) -> Power {
    Power::parse(text, Notation::Reading).unwrap()
}

fn index(text: &str) -> RefractiveIndex {
    RefractiveIndex::parse(text).unwrap()
}

#[test]
fn surfaces_have_their_radius() {
    // Exam formula sheet (a student document exchange), index 1.530: 530 mm over the power.
    for (surface, expected) in [("+6.00", "88.33"), ("+2.00", "265.00"), ("+0.50", "1060.00")] {
        assert_eq!(format!("{:.2}", radius(power(surface), index("1.53")).unwrap()), expected, "{surface}");
    }
    // A physics problem page: a plano-convex lens 6 cm across and 3 mm deep has a radius of 15.15 cm, index 1.5 a focal
    // length of 30.3 cm.
    assert_eq!(sagitta(mm("151.5"), mm("30")), Ok(mm("3")));
    assert_eq!(surface_power(mm("151.5"), index("1.5")).unwrap().milli(), 3300);
}

#[test]
fn a_clock_reads_another_material() {
    let of =
        |reading, material| power_from_clock(power(reading), CLOCK_INDEX_1_523, index(material)).unwrap();
    // An exam preparation page on lens clocks: +6.00 on 1.532 is +6.10.
    assert_eq!(format!("{:.2}", of("+6.00", "1.532")), "+6.10");
    // An encyclopaedia's article on the lens clock: -3.0 and -7.0 on flint of 1.7 have radii of 0.174 and 0.0747 m
    // and together -13.4 D.
    let both = of("-3.00", "1.7") + of("-7.00", "1.7");
    assert_eq!(format!("{both:.1}"), "-13.4");
    let bent = |reading| radius(of(reading, "1.7"), index("1.7")).unwrap();
    assert_eq!([format!("{:.0}", bent("-3.00")), format!("{:.1}", bent("-7.00"))], ["-174", "-74.7"]);
}

#[test]
fn a_plano_convex_lens_is_as_thick_as_its_depth_and_its_edge() {
    // The Indian Optician, May-June 2023, page 112 (M. Jalie's course), example i: +10.00 on crown glass (1.523), 40 mm
    // across, edge 1 mm: radius 52.3, depth 3.98, centre 4.98 mm.
    let front = power("+10.00");
    assert_eq!(radius(front, index("1.523")), Ok(mm("52.3")));
    assert_eq!(format!("{:.2}", sagitta(mm("52.3"), mm("20")).unwrap()), "3.98");
    // The back vertex power that leaves the back plane.
    let plane = ThickLens { front, back: Power::ZERO, centre: mm("4.975"), index: index("1.523") };
    let form = LensForm {
        power: SphereCylinder::sphere(plane.back_vertex().unwrap()),
        prism: Wedge::NONE,
        front,
        index: index("1.523"),
        toric: ToricForm::Tyre,
    };
    let centre = form.centre_for_edge(mm("1"), Place::new(mm("20"), Length::ZERO)).unwrap();
    assert_eq!(format!("{centre:.2}"), "4.98");
}

#[test]
fn a_biconvex_lens_thins_by_both_depths() {
    // University of Dayton, electro-optics course notes on sags: curvatures 0.0104227 and -0.0406946 /mm, centre
    // 3.0486, height 9 mm: edge 0.918096.
    let [front, back] = ["95.944", "24.573"].map(|radius| sagitta(mm(radius), mm("9")).unwrap());
    let edge = 3048.6 - f64::from((front + back).milli());
    // Two depths, each to the nearest micrometre, of radii to the nearest micrometre.
    assert!((edge - 918.096).abs() < 1.1, "{edge}");
}

#[test]
fn a_lens_is_a_little_thicker_than_the_rule_of_thumb_says() {
    // An opticians' forum, "the math method": a round 60 mm lens of CR-39, +2.00 with an edge of 2 mm has a centre of
    // 3.8, -2.00 with a centre of 2 mm an edge of 3.8 mm.
    // That is the depth of a parabola: worked out exactly they are a little thicker, the more so the more they are bent.
    let rim = Place::new(mm("30"), Length::ZERO);
    let form = |order, front| LensForm {
        power: SphereCylinder::parse(order, Notation::Order).unwrap(),
        prism: Wedge::NONE,
        front: power(front),
        index: index("1.498"),
        toric: ToricForm::Tyre,
    };
    let plus = form("+2.00", "+6.00").centre_for_edge(mm("2"), rim).unwrap();
    let minus = form("-2.00", "+4.00").lens(mm("2")).unwrap().thickness(rim).unwrap();
    for (thick, word) in [(plus, "centre"), (minus, "edge")] {
        assert!(thick > mm("3.8") && thick < mm("4.1"), "{word} {thick}");
    }
}

#[test]
fn a_decentred_lens_is_thicker_where_the_exam_says() {
    // Certification exam with solutions (2023): the centre moved out, a plus lens is thicker temporally, a minus lens
    // nasally. An ellipse is not needed: the two ends of a 50 mm box, 3 mm out.
    for (order, front, centre, temporally) in [("+4.00", "+8.00", "6", true), ("-4.00", "+4.00", "2", false)]
    {
        let form = LensForm {
            power: SphereCylinder::parse(order, Notation::Order).unwrap(),
            prism: Wedge::NONE,
            front: power(front),
            index: index("1.498"),
            toric: ToricForm::Tyre,
        };
        let lens = form.lens(mm(centre)).unwrap();
        let edge = |x| lens.thickness(Place::new(Length::from_milli(x), Length::ZERO)).unwrap();
        // The right eye, its nose to the viewer's right.
        let (nasal, temporal) = (edge(25_000 + 3000), edge(-25_000 + 3000));
        assert_eq!(temporal > nasal, temporally, "{order}: {nasal} {temporal}");
    }
}

#[test]
fn lenses_move_in_by_what_the_frame_is_too_wide() {
    let inward = |a, dbl, pd| {
        let frame = FrameSize { a: mm(a), b: mm("40"), dbl: mm(dbl), ed: None };
        Decentration::of(&frame, PupillaryDistance::parse(pd).unwrap().of(Eye::Right), None).inward
    };
    // A free opticians' course, quiz answers 1 to 4: 4, 3, 0 and 8 mm each.
    let found = [("54", "16", "62"), ("42", "14", "50"), ("50", "16", "66"), ("58", "22", "64")];
    assert_eq!(found.map(|(a, dbl, pd)| inward(a, dbl, pd)), ["4", "3", "0", "8"].map(mm));
    // College review questions: frame PD 68, PD 70: 1 mm out each.
    assert_eq!(inward("50", "18", "70"), -mm("1"));
}

#[test]
fn a_blank_must_reach_round_twice_the_way() {
    let blank = |a, dbl, ed, pd, allowance| {
        let frame = FrameSize { a: mm(a), b: mm("40"), dbl: mm(dbl), ed: Some(mm(ed)) };
        let way = Decentration::of(&frame, PupillaryDistance::parse(pd).unwrap().of(Eye::Left), None);
        least_blank(mm(ed), &way, mm(allowance))
    };
    for (a, dbl, ed, pd, allowance, expected) in [
        // A free opticians' course, quiz answers 5 to 8, "theoretical".
        ("58", "18", "60", "68", "0", "68"),
        ("52", "20", "54", "60", "0", "66"),
        ("56", "16", "59", "64", "0", "67"),
        ("48", "14", "50", "50", "0", "62"),
        // Exam formula sheet (a student document exchange): A 54, DBL 18, ED 58, PD 66.
        ("54", "18", "58", "66", "0", "64"),
        // An opticians' forum (2000): frame PD 70, PD 60, ED 56 and 1 mm for the edger.
        ("54", "16", "56", "60", "1", "67"),
        // Optometry board exam cards: ED 50, 1 mm each, and 2 mm.
        ("46", "18", "50", "62", "2", "54"),
        // Round lenses: 54 and 3 mm in (opticians' exam cards), 53 and 4 mm in (formula sheet).
        ("54", "16", "54", "64", "0", "60"),
        ("53", "17", "53", "62", "0", "61"),
    ] {
        assert_eq!(blank(a, dbl, ed, pd, allowance), mm(expected), "{a} {dbl} {ed} {pd}");
    }
}

#[test]
fn segments_stand_below_above_or_on_the_line() {
    // A free opticians' course, quiz answers 9 to 12: 3 below, on the line, 3 above, 4 below.
    let found = [("52", "23"), ("48", "24"), ("50", "28"), ("46", "19")];
    let drops = found.map(|(b, height)| segment_drop(mm(b), mm(height)).milli());
    assert_eq!(drops, [-3000, 0, 3000, -4000]);
    // College review questions: inset (far PD less near PD)/2, total inset (A + DBL less near PD)/2; the total is the
    // decentration and the inset together.
    let [far, near] = ["66", "62"].map(|text| PupillaryDistance::parse(text).unwrap());
    let frame = FrameSize { a: mm("52"), b: mm("40"), dbl: mm("18"), ed: None };
    for eye in Eye::BOTH {
        let inset = segment_inset(far, near, eye);
        let total = Decentration::of(&frame, near.of(eye), None).inward;
        assert_eq!((inset, total), (mm("2"), Decentration::of(&frame, far.of(eye), None).inward + inset));
    }
}

#[test]
fn a_long_ellipse_has_the_girth_of_a_comets_path() {
    // J. D. Cook's mathematical notes: the orbit of Halley's comet, half axes 2.667950e9 and 6.782819e8 km, is exactly
    // 11,464,319,022 km long. At 1 mm for 10^8 km: 114.64319 mm.
    let mut points = vec![Point::ORIGIN; 4000];
    let orbit = Outline::made(mm("53.359"), mm("13.566"), None, &mut points).unwrap();
    assert!((orbit.girth().milli() - 114_643).abs() <= 1, "{}", orbit.girth());
}
