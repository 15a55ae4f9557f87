//! The front curve that is taken where none is ordered, and where bevel and groove stand.

use super::millimetres;
use bevelbook_core::lens::{BevelLimits, BevelPlacement, CurveBasis, Groove};
use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Length, Notation, Power};
use serde::{Deserialize, Deserializer};

/// A rule of thumb for the front curve.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontCurve {
    #[serde(deserialize_with = "dioptres")]
    add: Power,
    plus_share: f64,
    minus_share: f64,
    #[serde(deserialize_with = "dioptres")]
    least: Power,
    /// In what index it gives the curve.
    pub basis: CurveBasis,
}

impl FrontCurve {
    /// The curve it gives for a power, in its index, to the nearest 0.01 D.
    pub fn of(&self, power: SphereCylinder) -> Power {
        let equivalent = f64::from(power.sphere.milli()) + f64::from(power.cylinder.milli()) / 2.0;
        let share = if equivalent > 0.0 { self.plus_share } else { self.minus_share };
        let hundredths = ((f64::from(self.add.milli()) + share * equivalent) / 10.0).round();
        Power::from_milli(hundredths as i32 * 10).max(self.least)
    }
}

/// How the place of the bevel is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BevelPlace {
    /// One third of the edge in front of it.
    Third,
    /// Half of the edge in front of it.
    Middle,
    /// Everywhere the same distance behind the front edge.
    FrontCurve,
}

/// Where the bevel stands.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bevel {
    /// How its place is chosen.
    pub place: BevelPlace,
    /// How far behind the front edge it stands when it follows the front curve.
    #[serde(deserialize_with = "millimetres")]
    pub from_front: Length,
    /// How wide it is at its foot.
    #[serde(deserialize_with = "millimetres")]
    pub foot: Length,
    /// How much of the edge may lie in front of it.
    #[serde(deserialize_with = "millimetres")]
    pub most_in_front: Length,
    /// How far its curve round the lens may lie from the rim's, in 1.530.
    #[serde(deserialize_with = "dioptres")]
    pub curve_apart: Power,
}

impl Bevel {
    /// The placement.
    pub const fn placement(&self) -> BevelPlacement {
        match self.place {
            BevelPlace::Third => BevelPlacement::THIRD,
            BevelPlace::Middle => BevelPlacement::Middle,
            BevelPlace::FrontCurve => BevelPlacement::FrontCurve { distance: self.from_front },
        }
    }

    /// Its lengths, by their names.
    pub(super) const fn lengths(&self) -> [(&'static str, Length); 3] {
        [
            ("bevel.from_front", self.from_front),
            ("bevel.foot", self.foot),
            ("bevel.most_in_front", self.most_in_front),
        ]
    }

    /// Where it is of no use, or shows.
    pub const fn limits(&self) -> BevelLimits {
        BevelLimits { foot: self.foot, most_in_front: self.most_in_front }
    }

    /// It in words.
    pub fn words(&self) -> String {
        match self.place {
            BevelPlace::Third => "one third in front".into(),
            BevelPlace::Middle => "in the middle".into(),
            BevelPlace::FrontCurve => format!("{} mm behind the front", self.from_front),
        }
    }
}

/// A groove's section.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrooveSection {
    /// Across the edge.
    #[serde(deserialize_with = "millimetres")]
    pub width: Length,
    /// Into the edge.
    #[serde(deserialize_with = "millimetres")]
    pub depth: Length,
}

impl GrooveSection {
    /// Its lengths, by their names.
    pub(super) const fn lengths(&self) -> [(&'static str, Length); 2] {
        [("groove.width", self.width), ("groove.depth", self.depth)]
    }

    /// It in words.
    pub fn words(&self) -> String {
        format!("groove {} mm wide, {} mm deep", self.width, self.depth)
    }

    /// It in the middle of an edge, rounded to the front.
    pub const fn in_edge(&self, edge: Length) -> Groove {
        Groove { from_front: Length::from_milli(edge.milli() / 2), width: self.width, depth: self.depth }
    }
}

fn dioptres<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Power, D::Error> {
    use serde::de::Error;
    let number = f64::deserialize(deserializer)?;
    // The shortest text of a number is what a person typed, but for the sign.
    let power = Power::parse(&format!("{number:+}"), Notation::Reading);
    power.map_err(|_| D::Error::custom(format!("{number}: expected dioptres, for example 6.00")))
}

#[cfg(test)]
mod tests {
    use super::super::Settings;
    use bevelbook_core::prescription::SphereCylinder;
    use bevelbook_core::units::Notation;

    #[test]
    fn the_front_curve_taken_is_that_of_the_rule() {
        // 6 + spherical equivalent for plus powers, 6 + half of it for minus powers; see default.toml.
        let rule = Settings::defaults().unwrap().front_curve;
        for (power, curve) in [
            ("+4.00 DS", 10_000),
            ("+3.00 -1.00 x 90", 8500),
            ("pl", 6000),
            ("-4.00 DS", 4000),
            ("-4.00 -0.75 x 20", 3810),
            ("-14.00 DS", 500),
        ] {
            let power = SphereCylinder::parse(power, Notation::Order).unwrap();
            assert_eq!(rule.of(power).milli(), curve, "{power}");
        }
    }
}
