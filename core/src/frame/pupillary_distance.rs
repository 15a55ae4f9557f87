//! Pupillary distance.
//!
//! Text is millimetres, right eye first: `31.5/30` for the two halves measured from the bridge, `61` for one
//! figure across. Of a frame with one lens `31.5/-` or `-/30` is measured. Anything else is refused: one half alone would be
//! read as a whole.

use crate::bytes::coded;
use crate::maths::times_over;
use crate::prescription::Eye;
use crate::units::{Length, Scanner, TextError};
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// Distance between the pupils, or of each pupil from the middle of the bridge.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum PupillaryDistance {
        /// One figure for each eye, from the middle of the bridge.
        Monocular {
            /// Of the right eye.
            right: Length,
            /// Of the left eye.
            left: Length,
        },
        /// One figure from pupil to pupil.
        Binocular(Length),
        /// Of one eye alone, from the middle of the bridge: nothing is known of the other one.
        #[serde(rename = "one-eye")]
        OneEye {
            /// Of which.
            eye: Eye,
            /// Its figure.
            distance: Length,
        },
    }
}

impl PupillaryDistance {
    /// What is accepted for one eye, in µm. Common practice, no source: wide enough for every wearer, narrow
    /// enough to catch a lost decimal point or a total in the place of a half.
    const MONOCULAR: core::ops::RangeInclusive<i32> = 15_000..=45_000;
    /// The same for both eyes together.
    const BINOCULAR: core::ops::RangeInclusive<i32> = 35_000..=90_000;

    /// Reads `31.5/30` (right/left) or `61`.
    ///
    /// ```
    /// use bevelbook_core::{frame::PupillaryDistance, prescription::Eye};
    /// let pd = PupillaryDistance::parse("31.5/30")?;
    /// assert_eq!(pd.of(Eye::Right).milli(), 31_500);
    /// assert_eq!(pd.total().milli(), 61_500);
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    ///
    /// # Errors
    /// A figure is missing, half a PD is not from 15 to 45 mm, a whole one not from 35 to 90 mm, or something
    /// is left over.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        const EXAMPLE: &str = "31.5/30";
        let mut scanner = Scanner::new(text);
        let mut first = scanner.clone();
        let one = Length::scan(&mut scanner, EXAMPLE)?;
        let one = one.ok_or_else(|| first.error("a PD in millimetres", EXAMPLE))?;
        let pd = if scanner.word(&["/"]) {
            const EXPECTED: &str = "the PD of one eye, 15 to 45 mm, right before left";
            let mut second = scanner.clone();
            let left = Length::scan(&mut scanner, EXAMPLE)?;
            let left = left.filter(|left| Self::MONOCULAR.contains(&left.milli()));
            if !Self::MONOCULAR.contains(&one.milli()) {
                return Err(first.error(EXPECTED, EXAMPLE));
            }
            Self::Monocular { right: one, left: left.ok_or_else(|| second.error(EXPECTED, EXAMPLE))? }
        } else if Self::BINOCULAR.contains(&one.milli()) {
            Self::Binocular(one)
        } else {
            return Err(first.error("the PD of both eyes, 35 to 90 mm, or one of each eye", EXAMPLE));
        };
        scanner.finish(EXAMPLE)?;
        Ok(pd)
    }

    /// As [`PupillaryDistance::parse`], and `31.5/-` or `-/30` of one eye alone.
    ///
    /// ```
    /// use bevelbook_core::{frame::PupillaryDistance, prescription::Eye};
    /// let pd = PupillaryDistance::parse_measured("-/30")?;
    /// assert_eq!(Eye::BOTH.map(|eye| pd.half(eye).map(|half| half.milli())), [None, Some(30_000)]);
    /// # Ok::<(), bevelbook_core::units::TextError>(())
    /// ```
    ///
    /// # Errors
    /// As [`PupillaryDistance::parse`].
    pub fn parse_measured(text: &str) -> Result<Self, TextError> {
        const EXAMPLE: &str = "31.5/-";
        const NONE: &[&str] = &["-", "\u{2212}"];
        let mut scanner = Scanner::new(text);
        let left = scanner.word(NONE) && scanner.word(&["/"]);
        let mut before = scanner.clone();
        let distance = Length::scan(&mut scanner, EXAMPLE).ok().flatten();
        let right = !left && scanner.word(&["/"]) && scanner.word(NONE);
        let eye = match (left, right) {
            (true, _) => Eye::Left,
            (_, true) => Eye::Right,
            _ => return Self::parse(text),
        };
        scanner.finish(EXAMPLE)?;
        let one = distance.map(|distance| Self::OneEye { eye, distance }).filter(|one| one.is_usual());
        one.ok_or_else(|| before.error("the PD of one eye, 15 to 45 mm", EXAMPLE))
    }

    /// Whether every figure of it is one that a wearer can have, as [`PupillaryDistance::parse`] takes it.
    pub fn is_usual(self) -> bool {
        match self {
            Self::Monocular { right, left } => {
                [right, left].iter().all(|half| Self::MONOCULAR.contains(&half.milli()))
            }
            Self::Binocular(total) => Self::BINOCULAR.contains(&total.milli()),
            Self::OneEye { distance, .. } => Self::MONOCULAR.contains(&distance.milli()),
        }
    }

    /// The distance of one pupil from the middle, where that was measured.
    pub fn half(self, eye: Eye) -> Option<Length> {
        match self {
            Self::Monocular { .. } => Some(self.of(eye)),
            Self::OneEye { eye: told, distance } => (told == eye).then_some(distance),
            Self::Binocular(_) => None,
        }
    }

    /// The distance between the pupils, where both were measured. Exact.
    pub fn whole(self) -> Option<Length> {
        (!matches!(self, Self::OneEye { .. })).then(|| self.total())
    }

    /// The distance of one pupil from the middle. Of a binocular figure it is half, an odd micrometre rounded
    /// away from zero for both eyes, so that the two may add up to one micrometre more than the whole. An eye of which nothing
    /// is known is taken to be like the other one.
    pub fn of(self, eye: Eye) -> Length {
        match (self, eye) {
            (Self::OneEye { distance, .. }, _) => distance,
            (Self::Monocular { right, .. }, Eye::Right) => right,
            (Self::Monocular { left, .. }, Eye::Left) => left,
            (Self::Binocular(total), _) => Length::from_milli(times_over(total.milli(), 1, 2)),
        }
    }

    /// The distance between the pupils, exact; of one eye alone, twice that.
    pub fn total(self) -> Length {
        match self {
            Self::OneEye { distance, .. } => distance + distance,
            Self::Monocular { right, left } => right + left,
            Self::Binocular(total) => total,
        }
    }
}

impl fmt::Display for PupillaryDistance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Monocular { right, left } => write!(f, "{right}/{left}"),
            Self::Binocular(total) => write!(f, "{total}"),
            Self::OneEye { eye: Eye::Right, distance } => write!(f, "{distance}/-"),
            Self::OneEye { eye: Eye::Left, distance } => write!(f, "-/{distance}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn right_comes_before_left() {
        for text in ["31.5/30", "31.5 / 30", " 31,5 mm/30 mm "] {
            let pd = PupillaryDistance::parse(text).unwrap();
            assert_eq!(pd.of(Eye::Right).milli(), 31_500, "{text}");
            assert_eq!(pd.of(Eye::Left).milli(), 30_000, "{text}");
            assert_eq!(pd.total().milli(), 61_500, "{text}");
        }
    }

    #[test]
    fn one_figure_is_shared_by_both_eyes() {
        let pd = PupillaryDistance::parse("61").unwrap();
        assert_eq!(Eye::BOTH.map(|eye| pd.of(eye).milli()), [30_500, 30_500]);
        let odd = PupillaryDistance::Binocular(Length::from_milli(61_001));
        assert_eq!(Eye::BOTH.map(|eye| odd.of(eye).milli()), [30_501, 30_501]);
        assert_eq!(odd.total().milli(), 61_001);
    }

    #[test]
    fn half_a_pd_or_a_lost_point_is_not_guessed() {
        let place = |text| PupillaryDistance::parse(text).map_err(|e| (e.start, e.end)).unwrap_err();
        assert_eq!(place("31.5"), (0, 4));
        assert_eq!(place("315/30"), (0, 6));
        assert_eq!(place("31.5/300"), (5, 8));
        assert_eq!(place("31.5/"), (5, 5));
        assert_eq!(place("31.5/30/2"), (7, 9));
        assert_eq!(place("-61"), (0, 3));
        assert_eq!(place("wide"), (0, 4));
        assert_eq!(place(""), (0, 0));
    }

    #[test]
    fn what_is_shown_reads_back() {
        for text in ["31.5/30", "61", "33/31.25"] {
            assert_eq!(PupillaryDistance::parse(text).unwrap().to_string(), text);
        }
        for text in ["31.5/30", "61", "31.5/-", "-/30"] {
            assert_eq!(PupillaryDistance::parse_measured(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn of_one_eye_alone_the_other_half_is_not_known() {
        for (text, eye) in [("31.5 / -", Eye::Right), ("\u{2212}/31.5 mm", Eye::Left)] {
            let pd = PupillaryDistance::parse_measured(text).unwrap();
            assert_eq!(
                (pd.half(eye).map(Length::milli), pd.half(eye.other())),
                (Some(31_500), None),
                "{text}"
            );
            assert_eq!((pd.whole(), pd.total().milli()), (None, 63_000));
            assert!(PupillaryDistance::parse(text).is_err(), "an order says both");
        }
        let place = |text| PupillaryDistance::parse_measured(text).map_err(|e| (e.start, e.end)).unwrap_err();
        assert_eq!(
            [place("61/-"), place("-/61"), place("-/-"), place("31/-/2")],
            [(0, 4), (2, 4), (2, 3), (4, 6)]
        );
        assert_eq!(PupillaryDistance::parse_measured("61").unwrap().whole().map(Length::milli), Some(61_000));
    }

    #[test]
    fn bytes_of_old_books_and_keypads_still_read() {
        let length = |milli: u8| [milli * 2];
        let halves = [&[0][..], &length(30), &length(31)].concat();
        let pd = PupillaryDistance::Monocular { right: Length::from_milli(30), left: Length::from_milli(31) };
        assert_eq!(postcard::from_bytes(&halves), Ok(pd));
        let whole = [&[1][..], &length(61)].concat();
        assert_eq!(postcard::from_bytes(&whole), Ok(PupillaryDistance::Binocular(Length::from_milli(61))));
    }
}
