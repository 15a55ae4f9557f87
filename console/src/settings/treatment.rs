//! Treatments: how orders write them, and what they ask for at the bench.

use super::SettingsError;
use super::written::folded;
use bevelbook_core::units::Length;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;

/// A treatment of the shop's table.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Treatment {
    /// What else is written for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// A lens slips on its pad: it wants an anti-slip pad, and its axis is checked after roughing.
    #[serde(default)]
    pub slippery: bool,
    /// It crazes under pressure: it wants a light clamp.
    #[serde(default)]
    pub crazes: bool,
}

/// How lenses are held.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clamp {
    /// A lens that is thinner anywhere is clamped lightly.
    #[serde(deserialize_with = "super::millimetres")]
    pub light_below: Length,
}

/// The treatment that is written so, whatever its case.
pub(super) fn find<'t>(treatments: &'t BTreeMap<String, Treatment>, written: &str) -> Option<&'t Treatment> {
    let written = folded(written);
    let called = |(key, treatment): &(&String, &Treatment)| words(key, treatment).any(|word| word == written);
    treatments.iter().find(called).map(|(_, treatment)| treatment)
}

/// Refuses a word that stands for two treatments of the file at `path`.
pub(super) fn check(treatments: &BTreeMap<String, Treatment>, path: &Path) -> Result<(), SettingsError> {
    let mut claimed: BTreeMap<String, &String> = BTreeMap::new();
    for (key, treatment) in treatments {
        for word in words(key, treatment) {
            let other = claimed.insert(word.clone(), key).filter(|other| *other != key);
            if let Some(other) = other {
                let both = [other.clone(), key.clone()];
                return Err(SettingsError::SaidTwice { path: path.into(), word, both });
            }
        }
    }
    Ok(())
}

fn words<'t>(key: &'t str, treatment: &'t Treatment) -> impl Iterator<Item = String> + 't {
    [key].into_iter().chain(treatment.also.iter().map(String::as_str)).map(folded)
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;

    #[test]
    fn a_treatment_is_known_by_its_usual_words_and_letters_in_any_case() {
        let (settings, _) = load("").unwrap();
        let does = |written| settings.treatment(written).map(|does| (does.slippery, does.crazes));
        for coat in ["AR", "ar", "A.R.", "Anti-reflective", "anti reflective", "anti-reflection", "ARC"] {
            assert_eq!(does(coat), Some((true, true)), "{coat}");
        }
        for plain in
            ["HC", "hard coat", "UV", "uv 400", "tint", "Tinted", "photochromic", "polarized", "Polarised"]
        {
            assert_eq!(does(plain), Some((false, false)), "{plain}");
        }
        for top in ["Hydrophobic", "oleophobic"] {
            assert_eq!(does(top), Some((true, false)), "{top}");
        }
        assert_eq!(does("mirror"), Some((true, true)));
        assert_eq!([does("gold leaf"), does("")], [None, None]);
    }

    #[test]
    fn the_shop_corrects_and_adds_treatments() {
        let file = "treatment.hard-coat.slippery = true\n[treatment.house]\nalso = [\"H2\"]\ncrazes = true";
        let (settings, _) = load(file).unwrap();
        assert!(settings.treatment("HC").unwrap().slippery);
        assert!(settings.treatment("h2").unwrap().crazes);
        let text = |file: &str| load(file).unwrap_err().to_string();
        let twice = text("treatment.house.also = [\"HC\"]");
        assert!(twice.contains("hc") && twice.contains("hard-coat") && twice.contains("house"), "{twice}");
        assert!(text("treatment.tint.slipery = true").contains("slipery"));
        assert!(text("clamp.light_below = 0").contains("clamp.light_below"));
    }

    #[test]
    fn the_former_list_of_a_light_grip_is_refused_with_what_to_write_instead() {
        let said = load("[grip]\nlight = [\"Mirror\", \"Nano coat\"]").unwrap_err().to_string();
        for word in ["[treatment.mirror]", "[treatment.nano-coat]", "slippery = true", "crazes = true"] {
            assert!(said.contains(word), "{said}");
        }
    }
}
