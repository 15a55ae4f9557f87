//! How segments are made where no order says so, and the reading level.

use super::millimetres::{maybe_millimetres, millimetres};
use bevelbook_core::frame::SegmentBlank;
use bevelbook_core::prescription::LensPoint;
use bevelbook_core::units::{Length, Prism};
use serde::{Deserialize, Deserializer};

/// How segments lie in their blanks, by shape.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SegmentBlanks {
    /// A round one in its blank.
    pub round: BlankTable,
    /// One with a flat top.
    pub flat_top: BlankTable,
    /// One across the whole lens.
    pub full_width: BlankTable,
}

/// Where makers put a segment in its blank.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlankTable {
    #[serde(deserialize_with = "millimetres")]
    top_below: Length,
    #[serde(rename = "in", deserialize_with = "millimetres")]
    inward: Length,
    #[serde(deserialize_with = "millimetres")]
    centre_in: Length,
    #[serde(deserialize_with = "millimetres")]
    centre_up: Length,
    #[serde(default, deserialize_with = "maybe_millimetres")]
    own_centre_below: Option<Length>,
}

impl BlankTable {
    /// It for a segment so wide; the segment's own optical centre is in its middle where the table puts it nowhere else.
    #[must_use]
    pub fn of(&self, width: Length) -> SegmentBlank {
        SegmentBlank {
            top_below: self.top_below,
            inward: self.inward,
            optical_centre: LensPoint { inward: self.centre_in, up: self.centre_up },
            own_centre_below: self.own_centre_below.unwrap_or(Length::from_milli(width.milli() / 2)),
        }
    }
}

/// The level at which a wearer reads, and what prism is to be asked about.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingLevel {
    /// How far it lies below the optical centre for distance.
    #[serde(deserialize_with = "millimetres")]
    pub below: Length,
    /// How much closer in each eye looks through its lens there where an order gives no near PD.
    #[serde(deserialize_with = "millimetres")]
    pub inset: Length,
    /// From what difference of vertical prism between the eyes there the prescriber is to be asked.
    #[serde(deserialize_with = "prism")]
    pub ask: Prism,
}

/// What prism of a pair is to be asked about where an optical centre is not before its pupil.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CentringAsked {
    /// In and out, of both eyes together.
    #[serde(deserialize_with = "prism")]
    pub ask_in_out: Prism,
    /// Up and down, of one eye over the other.
    #[serde(deserialize_with = "prism")]
    pub ask_up_down: Prism,
}

fn prism<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Prism, D::Error> {
    use serde::de::Error;
    let number = f64::deserialize(deserializer)?;
    let milli = (number * 1000.0).round();
    match (0.0..=f64::from(Prism::LIMIT)).contains(&milli) {
        true => Ok(Prism::from_milli(milli as i32)),
        false => Err(D::Error::custom(format!("{number}: expected prism dioptres, for example 1.5"))),
    }
}

#[cfg(test)]
mod tests {
    use super::super::Settings;
    use super::super::tests::load;
    use bevelbook_core::units::Length;

    #[test]
    fn the_segment_of_a_maker_is_put_right_in_one_place() {
        let (settings, _) = load("[segment.flat_top]\ntop_below = 4.5\nin = 1.5").unwrap();
        let of = |settings: &Settings| settings.segment.flat_top.of(Length::from_milli(28_000));
        let (own, before) = (of(&settings), of(&Settings::defaults().unwrap()));
        assert_eq!((own.top_below.milli(), own.inward.milli()), (4500, 1500));
        assert_eq!(
            (own.own_centre_below, own.optical_centre),
            (before.own_centre_below, before.optical_centre)
        );
    }

    #[test]
    fn a_round_segment_has_its_optical_centre_in_its_middle() {
        let round = Settings::defaults().unwrap().segment.round.of(Length::from_milli(22_000));
        assert_eq!(round.own_centre_below.milli(), 11_000);
    }

    #[test]
    fn an_amount_of_prism_is_one() {
        assert!(load("reading.ask = -1").unwrap_err().to_string().contains("prism dioptres"));
        assert_eq!(load("reading.ask = 1.25").unwrap().0.reading.ask.milli(), 1250);
    }
}
