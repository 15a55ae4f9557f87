//! How thick a lens has to be.

use super::millimetres::maybe_millimetres;
use super::{Material, SettingsError, millimetres};
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Length;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Least thicknesses.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thickness {
    /// In the middle, for a material that has none of its own.
    #[serde(deserialize_with = "millimetres")]
    pub least_centre: Length,
    /// At the edge, for a material that has none of its own.
    #[serde(deserialize_with = "millimetres")]
    pub least_edge: Length,
    /// At the edge of a grooved lens.
    #[serde(deserialize_with = "millimetres")]
    pub grooved_edge: Length,
    /// At the edge of a drilled rimless lens.
    #[serde(deserialize_with = "millimetres")]
    pub rimless_edge: Length,
    /// What an order may name, for lenses that have to withstand more.
    #[serde(default)]
    pub safety: BTreeMap<String, Safety>,
}

/// A rule for lenses that have to withstand more.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Safety {
    /// In the middle.
    #[serde(deserialize_with = "millimetres")]
    pub least_centre: Length,
    /// At the edge, where the rule says it.
    #[serde(default, deserialize_with = "maybe_millimetres")]
    pub least_edge: Option<Length>,
    /// Where the rule is from.
    pub source: String,
}

/// A least thickness, and what asks for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Least {
    /// How thick.
    pub thickness: Length,
    /// What asks for it, as words that follow a figure.
    pub rule: String,
}

/// The least thicknesses of a lens: of all rules that hold for it those that ask for most.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeastOfLens {
    /// At the centre dot.
    pub centre: Least,
    /// At the edge.
    pub edge: Least,
}

impl Thickness {
    /// What holds for a lens of a material in a rim, with the safety rule that its order names.
    ///
    /// # Errors
    /// There is no such rule.
    pub fn least(
        &self,
        material: &Material,
        rim: Rim,
        safety: Option<&str>,
    ) -> Result<LeastOfLens, SettingsError> {
        let safety = safety.map(|name| Ok((name, self.safety(name)?))).transpose()?;
        let by_safety = |length: fn(&Safety) -> Option<Length>| {
            let (name, rule) = safety?;
            Some(Least { thickness: length(rule)?, rule: format!("by the safety rule {name}") })
        };
        let of = |thickness, whose: &str| Least { thickness, rule: format!("for {whose}") };
        let centre = of(material.least_centre.unwrap_or(self.least_centre), &material.name);
        let edge = of(material.least_edge.unwrap_or(self.least_edge), &material.name);
        let of_rim = match rim {
            Rim::Metal | Rim::Plastic => None,
            Rim::Grooved => Some(of(self.grooved_edge, "a grooved lens")),
            Rim::Rimless => Some(of(self.rimless_edge, "a drilled rimless lens")),
        };
        Ok(LeastOfLens {
            centre: centre.or_more(by_safety(|rule| Some(rule.least_centre))),
            edge: edge.or_more(of_rim).or_more(by_safety(|rule| rule.least_edge)),
        })
    }

    /// A safety rule by its name.
    ///
    /// # Errors
    /// There is no such rule.
    pub fn safety(&self, name: &str) -> Result<&Safety, SettingsError> {
        self.safety.get(name).ok_or_else(|| SettingsError::NoSafety {
            name: name.to_owned(),
            known: match self.safety.is_empty() {
                true => "there is none; `bevelbook settings defaults` shows how one is written".into(),
                false => format!("known are {}", self.safety.keys().cloned().collect::<Vec<_>>().join(", ")),
            },
        })
    }

    /// Every length, with its name.
    pub(super) fn lengths(&self) -> impl Iterator<Item = (&'static str, Length)> {
        let own = [
            ("thickness.least_centre", self.least_centre),
            ("thickness.least_edge", self.least_edge),
            ("thickness.grooved_edge", self.grooved_edge),
            ("thickness.rimless_edge", self.rimless_edge),
        ];
        let rules = self.safety.values().flat_map(|rule| {
            let edge = rule.least_edge.map(|edge| ("thickness.safety: least_edge", edge));
            [Some(("thickness.safety: least_centre", rule.least_centre)), edge].into_iter().flatten()
        });
        own.into_iter().chain(rules)
    }
}

impl Least {
    /// The one that asks for more; of equal ones the other, which says more of the lens.
    fn or_more(self, other: Option<Self>) -> Self {
        other.filter(|other| other.thickness >= self.thickness).unwrap_or(self)
    }
}
