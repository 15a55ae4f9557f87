//! What the book may advise, as a settings file writes it.

use super::millimetres::millimetres;
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Length;
use serde::{Deserialize, Deserializer, de::Error};

/// What advice on sizes rests on.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Advising {
    /// Of so many lenses in a hundred the shop takes it that they become loose by following the book, in the mean.
    #[serde(deserialize_with = "per_cent")]
    pub undersize: f64,
    /// How far below its largest fit a lens is still firm in its rim.
    pub window: Windows,
    /// How far the station may be off, on the diameter, before that is remarked on.
    #[serde(deserialize_with = "millimetres")]
    pub drift: Length,
}

/// Windows of fit, on the diameter.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Windows {
    /// Of a metal rim.
    #[serde(deserialize_with = "millimetres")]
    pub metal: Length,
    /// Of a plastic rim.
    #[serde(deserialize_with = "millimetres")]
    pub plastic: Length,
}

impl Windows {
    /// That of a rim; none where a rim does not close round the lens.
    pub const fn of(&self, rim: Rim) -> Option<Length> {
        match rim {
            Rim::Metal => Some(self.metal),
            Rim::Plastic => Some(self.plastic),
            Rim::Grooved | Rim::Rimless => None,
        }
    }
}

impl Advising {
    /// In words.
    pub fn words(&self) -> String {
        let Self { undersize, window: Windows { metal, plastic }, .. } = self;
        format!("at most {undersize} % loose, firm over {metal} mm in metal and {plastic} mm in plastic")
    }
}

fn per_cent<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    let share = f64::deserialize(deserializer)?;
    if (0.01..=10.0).contains(&share) {
        Ok(share)
    } else {
        Err(D::Error::custom(format!(
            "undersize is {share} and is to be from 0.01 to 10 lenses in a hundred"
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;
    use super::*;

    #[test]
    fn a_shop_says_which_chance_it_takes_and_how_wide_its_windows_are() {
        let advice =
            |text| load(text).map(|(settings, _)| settings.advice).map_err(|error| error.to_string());
        let usual = advice("").unwrap();
        assert_eq!((usual.undersize, usual.window.of(Rim::Metal)), (0.3, Some(Length::from_milli(150))));
        assert_eq!(usual.window.of(Rim::Rimless), None);
        let own = advice("advice.undersize = 1\nadvice.window.plastic = 0.25").unwrap();
        assert_eq!((own.undersize, own.window.plastic.milli()), (1.0, 250));
        assert!(advice("advice.undersize = 0").unwrap_err().contains("from 0.01 to 10"));
        assert_eq!((usual.drift.milli(), advice("advice.drift = 0.2").unwrap().drift.milli()), (100, 200));
        assert!(advice("advice.window.metal = 0").unwrap_err().contains("advice.window.metal is 0 mm"));
    }
}
