//! The centre thickness that an edge asks for.
//!
//! The back surface itself depends on the centre thickness, so there is no formula. But a thicker centre makes every
//! place thicker, at least as much as itself: the back surface must then bend more toward the eye. So the answer is
//! found by halving.

use super::form::Miss;
use super::surface::DEPTH_BITS;
use super::{LensError, LensForm, Place, Side};
use crate::units::Length;

/// What decides the least centre thickness.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BoundBy {
    /// The least centre that was asked for; no edge is as thin as it may be.
    Centre,
    /// The edge at this place is as thin as it may be.
    Edge(Place),
}

/// The least centre thickness, and why it may not be less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct LeastCentre {
    /// The thickness at the centre dot.
    pub centre: Length,
    /// What decides it.
    pub bound_by: BoundBy,
}

/// A thickness compared with a wanted one.
enum Seen {
    Thinner,
    /// Thick enough, by this much with [`DEPTH_BITS`] fractional bits.
    Reached(i64),
    /// Too thick to be worked out.
    Thicker,
}

impl LensForm {
    /// The centre thickness with which the lens is `edge` thick at a place. Within 0.501 µm for indices from 1.3; with
    /// prism and cylinder, within 0.51 µm.
    ///
    /// # Errors
    /// As [`LensForm::lens`] and [`Lens::thickness`](super::Lens::thickness), and when no centre above 0 and up to
    /// 100 mm gives that edge.
    pub fn centre_for_edge(self, edge: Length, at: Place) -> Result<Length, LensError> {
        self.check()?;
        let found = self.smallest_centre(0, |centre| self.seen(centre, edge, at))?;
        let refused = match self.hollow(at) {
            Some(least) if edge <= least => LensError::NoGlass { edge, least },
            _ => LensError::NoCentre(edge),
        };
        let Some(centre) = found else { return Err(refused) };
        let over = |centre: i32| match self.seen(centre, edge, at) {
            Ok(Seen::Reached(by)) => Some(by),
            _ => None,
        };
        // The surfaces must exist at the answer.
        let here = over(centre).ok_or(refused)?;
        if centre == 0 {
            return Err(refused);
        }
        // How far one micrometre less falls short: the nearer of the two is the nearest.
        let less = self.lens_from(Length::from_milli(centre - 1)).and_then(|lens| lens.fine_thickness(at));
        let short = less.map(|less| (i64::from(edge.milli()) << DEPTH_BITS) - less);
        match short {
            Ok(short) if short < here && centre > 1 => Ok(Length::from_milli(centre - 1)),
            _ => Ok(Length::from_milli(centre)),
        }
    }

    /// The least centre thickness with which no place of the outline is thinner than `edge` and the centre not
    /// thinner than `centre`. Rounded up to the µm.
    ///
    /// # Errors
    /// As [`LensForm::centre_for_edge`] at any place of the outline, or the outline is empty.
    pub fn least_centre(
        self,
        centre: Length,
        edge: Length,
        outline: impl Iterator<Item = Place> + Clone,
    ) -> Result<LeastCentre, LensError> {
        self.check()?;
        let mut least = LeastCentre { centre, bound_by: BoundBy::Centre };
        let mut points = 0;
        if centre <= Length::ZERO || centre > Self::THICKEST {
            return Err(LensError::Centre(centre));
        }
        for place in outline {
            points += 1;
            // Most places are satisfied with what an earlier one asked for.
            if matches!(self.seen(least.centre.milli(), edge, place)?, Seen::Thinner) {
                let from = least.centre.milli();
                let found = self.smallest_centre(from, |centre| self.seen(centre, edge, place))?;
                let found = found.ok_or(LensError::NoCentre(edge))?;
                least = LeastCentre { centre: Length::from_milli(found), bound_by: BoundBy::Edge(place) };
            }
        }
        if points == 0 {
            return Err(LensError::Outline(points));
        }
        Ok(least)
    }

    /// The smallest centre from `from` to 100 mm, in µm, that is not [`Seen::Thinner`].
    fn smallest_centre(
        self,
        from: i32,
        seen: impl Fn(i32) -> Result<Seen, LensError>,
    ) -> Result<Option<i32>, LensError> {
        let (mut low, mut high) = (from, Self::THICKEST.milli());
        if matches!(seen(high)?, Seen::Thinner) {
            return Ok(None);
        }
        while low < high {
            let middle = low + (high - low) / 2;
            match seen(middle)? {
                Seen::Thinner => low = middle + 1,
                Seen::Reached(_) | Seen::Thicker => high = middle,
            }
        }
        Ok(Some(high))
    }

    /// The thickness at a place of the lens that is `centre` µm thick, against `edge`. Where it cannot be worked out
    /// because the back bends too much toward the eye, it is thicker than any; bending away, thinner.
    fn seen(self, centre: i32, edge: Length, at: Place) -> Result<Seen, LensError> {
        let fine = at.fine().ok_or(LensError::Far(at))?;
        // A focus within the lens: before that, the back surface bends toward the eye without bound.
        let Ok(lens) = self.lens_from(Length::from_milli(centre)) else { return Ok(Seen::Thicker) };
        match lens.thickness_at(fine) {
            Ok(thickness) => {
                let over = thickness - (i64::from(edge.milli()) << DEPTH_BITS);
                Ok(if over < 0 { Seen::Thinner } else { Seen::Reached(over) })
            }
            Err(Miss { side: Side::Front, .. }) => Err(LensError::Beyond { side: Side::Front, place: at }),
            Err(Miss { toward_eye: true, .. }) => Ok(Seen::Thicker),
            Err(Miss { toward_eye: false, .. }) => Ok(Seen::Thinner),
        }
    }

    /// The thickness at a place of the lens without glass in its middle.
    fn hollow(self, at: Place) -> Option<Length> {
        self.lens_from(Length::ZERO).and_then(|lens| lens.thickness(at)).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lens::form::tests::{form, place};

    #[test]
    fn from_the_centre_to_the_edge_and_back() {
        for (power, front) in [
            ("-4.00 DS", 4000),
            ("+5.00 -2.00 x 35", 9000),
            ("-8.25 -3.50 x 120", 1000),
            ("pl", 6000),
            ("-12.00 DS", -2000),
        ] {
            for (x, y) in [(25_000, 0), (-20_000, 17_000), (3000, -29_000), (0, 0)] {
                let form = form(power, front, "1.60");
                for centre in [1000, 1500, 2345, 4000, 9876].map(Length::from_milli) {
                    let edge = form.lens(centre).unwrap().thickness(place(x, y)).unwrap();
                    let back = form.centre_for_edge(edge, place(x, y)).unwrap();
                    assert!(
                        (back - centre).abs() <= Length::from_milli(1),
                        "{power} ({x}, {y}) {centre} {back}"
                    );
                    let again = form.lens(back).unwrap().thickness(place(x, y)).unwrap();
                    assert!((again - edge).abs() <= Length::from_milli(1));
                }
            }
        }
    }

    #[test]
    fn an_edge_thinner_than_the_hollow_lens_has_no_centre() {
        // At 25 mm a −4.00 lens is 2.7 mm thicker than in its middle.
        let minus = form("-4.00 DS", 4000, "1.498");
        let error = minus.centre_for_edge(Length::from_milli(2000), place(25_000, 0)).unwrap_err();
        let LensError::NoGlass { least, .. } = error else { panic!("{error:?}") };
        assert!((2600..2750).contains(&least.milli()), "{least}");
        let thick = minus.centre_for_edge(Length::from_milli(150_000), place(25_000, 0));
        assert!(matches!(thick, Err(LensError::NoCentre(_))));
    }

    #[test]
    fn a_plus_lens_is_bound_by_its_edge_and_a_minus_lens_by_its_centre() {
        let outline =
            || [(26_000, 0), (0, 19_000), (-24_000, 0), (0, -19_000)].map(|(x, y)| place(x, y)).into_iter();
        let [centre, edge] = [1500, 1000].map(Length::from_milli);
        let plus = form("+4.00 DS", 7000, "1.498");
        let least = plus.least_centre(centre, edge, outline()).unwrap();
        assert_eq!(least.bound_by, BoundBy::Edge(place(26_000, 0)));
        let thickness = |centre| plus.lens(centre).unwrap().fine_thickness(place(26_000, 0)).unwrap();
        // As thin as it may be, and a micrometre less is too thin.
        assert!(thickness(least.centre) >= 1000 << DEPTH_BITS);
        assert!(thickness(least.centre - Length::from_milli(1)) < 1000 << DEPTH_BITS);
        let minus = form("-4.00 DS", 4000, "1.498").least_centre(centre, edge, outline());
        assert_eq!(minus, Ok(LeastCentre { centre, bound_by: BoundBy::Centre }));
        let none = plus.least_centre(centre, edge, outline().take(0));
        assert_eq!(none, Err(LensError::Outline(0)));
    }

    #[test]
    fn a_front_that_does_not_reach_is_said_so() {
        let steep = form("+10.00 DS", 25_000, "1.5");
        let at = place(20_500, 0);
        assert_eq!(
            steep.centre_for_edge(Length::from_milli(1000), at),
            Err(LensError::Beyond { side: Side::Front, place: at })
        );
    }
}
