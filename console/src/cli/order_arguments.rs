//! What an order says, as people type it.

use super::arguments::{Sides, filled, prescription, sides, spaced, surface, thousandths, within, wrong};
use crate::desk::{LabPower, Segment, SegmentShape};
use bevelbook_core::lens::CurveBasis;
use bevelbook_core::prescription::{Eye, OrderText};
use bevelbook_core::sizing::Rim;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Angle, Notation, Power, Prism};
use std::fmt::Display;

/// What a supplier says that a lens is to read as: decimals are taken as they are.
pub(crate) fn lab_power(text: &str, eye: Eye) -> Result<LabPower, String> {
    let OrderText { eye, says_prism, .. } =
        prescription(text, |text| OrderText::read(text, Notation::Reading, Some(eye)))?;
    if !eye.wanted.is_judged() {
        return Err(wrong(text, "the power that a focimeter is to show", "-3.87 -1.25 x 22 prism 1.2 down"));
    }
    Ok(LabPower { power: eye.power, prism: says_prism.then_some(eye.prism), add: eye.add })
}

/// A tray; one by a number may have the T before it that tells it from a job's.
pub(crate) fn tray(text: &str) -> Result<String, String> {
    let tray = filled(text)?;
    let number = tray.strip_prefix(['T', 't']).filter(|rest| rest.parse::<u32>().is_ok());
    Ok(number.map_or(tray.clone(), str::to_owned))
}

/// A frame's model: blanks between its words are one, so that a slip of the space bar makes no other model.
pub(crate) fn model(text: &str) -> Result<String, String> {
    filled(text).map(|model| spaced(&model))
}

/// Front curves: right/left, or one figure for both.
pub(crate) fn curves(text: &str) -> Result<Sides<Power>, String> {
    sides(text, surface, "+6.00/+5.50")
}

/// Base curves, and in what index they are said.
pub(crate) fn base_curve(text: &str) -> Result<(Sides<Power>, CurveBasis), String> {
    match text.trim().strip_suffix("nominal") {
        Some(figures) => Ok((curves(figures.trim())?, CurveBasis::Nominal)),
        None => Ok((curves(text)?, CurveBasis::Material)),
    }
}

/// What holds a lens, in the words of the trade.
pub(crate) fn rim(text: &str) -> Result<Rim, String> {
    let expected = match normal(text).as_str() {
        "full rim" | "full" => "metal or plastic: a full rim is one of them, and first sizes differ",
        _ => "metal, plastic, grooved (semi-rimless) or rimless (drilled)",
    };
    let others = [
        ("acetate", Rim::Plastic),
        ("semi rimless", Rim::Grooved),
        ("half rim", Rim::Grooved),
        ("nylon", Rim::Grooved),
        ("cord", Rim::Grooved),
        ("drilled", Rim::Rimless),
    ];
    meant(text, &Rim::ALL, &others).ok_or_else(|| wrong(text, expected, "metal"))
}

/// A kind of lens, in the words of the trade.
pub(crate) fn design(text: &str) -> Result<Design, String> {
    let others = [
        ("sv", Design::SingleVision),
        ("bifocal", Design::Multifocal),
        ("trifocal", Design::Multifocal),
        ("varifocal", Design::Progressive),
    ];
    let expected = "single-vision, multifocal (bifocal, trifocal) or progressive";
    meant(text, &Design::ALL, &others).ok_or_else(|| wrong(text, expected, "single-vision"))
}

/// What is called so, or also called so, whatever its case, hyphens and spaces.
fn meant<T: Copy + Display>(text: &str, all: &[T], others: &[(&str, T)]) -> Option<T> {
    let typed = normal(text);
    let called = all.iter().find(|value| value.to_string() == typed).copied();
    called.or_else(|| others.iter().find(|(word, _)| *word == typed).map(|(_, value)| *value))
}

fn normal(text: &str) -> String {
    text.trim().to_lowercase().replace('-', " ")
}

/// How far a frame's front slants, from 0 to 40 degrees.
pub(crate) fn slant(text: &str) -> Result<Angle, String> {
    thousandths(text, 40_000, &["°"], "an angle from 0 to 40 degrees", "8").map(Angle::from_milli)
}

/// An amount of prism without a base.
pub(crate) fn prism_amount(text: &str) -> Result<Prism, String> {
    thousandths(text, 20_000, &["Δ"], "an amount of prism from 0 to 20", "1.2").map(Prism::from_milli)
}

/// A segment: its shape, and its width where it does not go across the whole lens.
pub(crate) fn segment(text: &str) -> Result<Segment, String> {
    let expected = "round, flat top or full width, with the width of the first two in mm";
    let misread = || wrong(text, expected, "flat top 28");
    let typed = normal(text);
    let named = SegmentShape::ALL.into_iter().find_map(|shape| {
        typed.strip_prefix(&shape.to_string()).map(|rest| (shape, rest.trim().trim_end_matches("mm").trim()))
    });
    let width = |rest: &str| within(rest, 5000..=80_000, "a width from 5 to 80 mm", "28").map(Some);
    match named.ok_or_else(misread)? {
        (shape @ SegmentShape::FullWidth, "") => Ok(Segment { shape, width: None }),
        (SegmentShape::FullWidth, _) | (_, "") => Err(misread()),
        (shape, rest) => Ok(Segment { shape, width: width(rest)? }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::units::Length;

    #[test]
    fn a_tray_by_a_number_is_the_same_with_its_letter() {
        let read = |text| tray(text).unwrap();
        assert_eq!([read("T4"), read("t4"), read("4"), read("Top"), read("T")], ["4", "4", "4", "Top", "T"]);
    }

    #[test]
    fn two_curves_are_right_before_left() {
        let read = |text| curves(text).map(|both| both.0.map(Power::milli));
        assert_eq!(read("6.00/5.50"), Ok([6000, 5500]));
        assert_eq!(read("+4"), Ok([4000, 4000]));
        for wrong in ["6/", "steep", "6/5/4"] {
            assert!(curves(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_base_curve_says_its_index() {
        let read = |text| base_curve(text).map(|(both, basis)| (both.0.map(Power::milli), basis));
        assert_eq!(read("6.00/5.50"), Ok(([6000, 5500], CurveBasis::Material)));
        assert_eq!(read("6 nominal"), Ok(([6000, 6000], CurveBasis::Nominal)));
        assert!(read("nominal").is_err());
    }

    #[test]
    fn a_segment_is_a_shape_and_a_width() {
        let read = |text| segment(text).map(|read| (read.shape, read.width.map(Length::milli)));
        assert_eq!(read("flat top 28"), Ok((SegmentShape::FlatTop, Some(28_000))));
        assert_eq!(read("Flat-Top 28 mm"), Ok((SegmentShape::FlatTop, Some(28_000))));
        assert_eq!(read("round 22.5"), Ok((SegmentShape::Round, Some(22_500))));
        assert_eq!(read("full width"), Ok((SegmentShape::FullWidth, None)));
        for wrong in ["flat top", "full width 28", "28", "round 2", "square 28"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn rims_and_designs_are_known_by_the_words_of_the_trade() {
        assert_eq!(rim("Semi-rimless"), Ok(Rim::Grooved));
        assert_eq!(rim("drilled"), Ok(Rim::Rimless));
        assert!(rim("full rim").unwrap_err().contains("metal or plastic"));
        assert_eq!(design("bifocal"), Ok(Design::Multifocal));
        assert_eq!(design("single vision"), Ok(Design::SingleVision));
        assert!(design("lens").unwrap_err().contains("multifocal"));
    }

    #[test]
    fn a_power_to_verify_has_its_decimals_as_they_are() {
        let lab = lab_power("-3.87 -1.25 x 22 prism 1.20 down add 2.10", Eye::Left).unwrap();
        assert_eq!((lab.power.sphere.milli(), lab.add.map(Power::milli)), (-3870, Some(2100)));
        assert_eq!(lab.prism.map(|prism| prism.base_up.milli()), Some(-1200));
        assert_eq!(lab_power("-3.87", Eye::Left).unwrap().prism, None);
        assert!(lab_power("-3.87 prism 0", Eye::Left).unwrap().prism.is_some());
        for wrong in ["bal", "none", "-3.87 x 20"] {
            assert!(lab_power(wrong, Eye::Left).is_err(), "{wrong}");
        }
    }
}
