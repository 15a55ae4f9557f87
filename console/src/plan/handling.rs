//! How a material is roughed and how the lens is held. The table is common practice, no source, and the shop's own
//! to edit.

use crate::settings::{Grip, Material, Roughing};

/// Dry or wet, full or light grip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handling {
    /// With or without water.
    pub roughing: Roughing,
    /// The treatment that asks for a light grip, if one does.
    pub light_because: Option<String>,
}

impl Handling {
    pub(super) fn of(material: &Material, treatments: &[String], grip: &Grip) -> Self {
        let slippery =
            |treatment: &&String| grip.light.iter().any(|light| light.eq_ignore_ascii_case(treatment));
        Self { roughing: material.roughing, light_because: treatments.iter().find(slippery).cloned() }
    }

    /// How it is roughed, in words.
    #[must_use]
    pub const fn roughing_words(&self) -> &'static str {
        match self.roughing {
            Roughing::Wet => "wet throughout",
            Roughing::Dry => "dry, water only at the finish",
        }
    }

    /// How it is held, in words.
    #[must_use]
    pub fn grip_words(&self) -> String {
        match &self.light_because {
            Some(treatment) => {
                format!("light, the {treatment} treatment slips; check the axis after roughing")
            }
            None => "full".into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::Settings;

    #[test]
    fn material_says_water_and_treatment_says_grip() {
        let settings = Settings::defaults().unwrap();
        let handling = |material: &str, treatments: &[&str]| {
            let treatments: Vec<String> = treatments.iter().map(|t| (*t).to_owned()).collect();
            Handling::of(&settings.materials[material], &treatments, &settings.grip)
        };
        let coated = handling("polycarbonate", &["hard coat", "Hydrophobic"]);
        assert_eq!(coated.roughing, Roughing::Dry);
        assert_eq!(coated.light_because.as_deref(), Some("Hydrophobic"));
        assert_eq!(handling("cr39", &["tint"]).grip_words(), "full");
    }
}
