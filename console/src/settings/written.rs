//! Names as people write them: `CR-39` and `cr39`, `Hard coat` and `hard-coat` are one; a material by its index too.

use super::{Material, SettingsError};
use bevelbook_core::units::RefractiveIndex;
use std::collections::BTreeMap;

/// A name without what writing differs in: its letters and digits, small.
pub(super) fn folded(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// A material beside its key.
type Listed<'m> = (&'m String, &'m Material);

/// The key of the material that is written so.
pub(super) fn material_key<'m>(
    materials: &'m BTreeMap<String, Material>,
    written: &str,
) -> Result<&'m str, SettingsError> {
    if let Some((key, _)) = materials.get_key_value(written) {
        return Ok(key);
    }
    let typed = folded(written);
    let index = RefractiveIndex::parse(written).ok();
    let decimals = written.trim().split(['.', ',']).nth(1).map_or(0, str::len);
    let called =
        |(key, material): &(&String, &Material)| folded(key) == typed || folded(&material.name) == typed;
    let begins = |(key, material): &Listed<'_>| {
        typed.len() >= LEAST
            && (folded(key).starts_with(&typed) || folded(&material.name).starts_with(&typed))
    };
    // An index is written to two decimals or fewer: 1.5 is 1.498, and 1.59 is 1.586.
    let bends = |(_, material): &Listed<'_>| {
        index.is_some_and(|index| match decimals {
            0..=2 => hundredths(material.index) == hundredths(index),
            _ => material.index == index,
        })
    };
    let ways: [&dyn Fn(&Listed<'m>) -> bool; 3] = [&called, &bends, &begins];
    for way in ways {
        let found: Vec<_> = materials.iter().filter(|material| way(material)).collect();
        match found.as_slice() {
            [] => {}
            [(key, _)] => return Ok(key),
            several => {
                let those = listed(several.iter().copied());
                return Err(SettingsError::Materials { written: written.into(), those });
            }
        }
    }
    Err(no_material(materials, written))
}

/// The fewest letters that are taken for the beginning of a name.
const LEAST: usize = 3;

const fn hundredths(index: RefractiveIndex) -> u16 {
    (index.ten_thousandths() + 50) / 100
}

/// No material has this key.
pub(super) fn no_material(materials: &BTreeMap<String, Material>, key: &str) -> SettingsError {
    SettingsError::NoMaterial { key: key.into(), known: listed(materials.iter()) }
}

fn listed<'m>(materials: impl Iterator<Item = Listed<'m>>) -> String {
    materials.map(|(key, material)| format!("{key} ({})", material.index)).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;

    #[test]
    fn a_material_is_known_in_any_case_and_by_its_index() {
        let (settings, _) =
            load("[material.house]\nname = \"house\"\nindex = 1.601\nroughing = \"wet\"").unwrap();
        let key = |written| settings.material_key(written).map_err(|error| error.to_string());
        for (written, meant) in [
            ("CR39", "cr39"),
            ("cr-39", "cr39"),
            ("1.5", "cr39"),
            ("1.50", "cr39"),
            ("1,50", "cr39"),
            ("1.498", "cr39"),
            ("Poly", "polycarbonate"),
            ("1.59", "polycarbonate"),
            ("1.67", "i167"),
            ("I167", "i167"),
            ("1.74", "i174"),
            ("1.600", "i160"),
            ("House", "house"),
        ] {
            assert_eq!(key(written), Ok(meant), "{written}");
        }
        // Two of them are 1.60.
        let several = key("1.6").unwrap_err();
        assert!(several.contains("house (1.601)") && several.contains("i160 (1.60"), "{several}");
        for unknown in ["1.9", "pl", "", "wood", "1.4985"] {
            assert!(key(unknown).unwrap_err().contains("cr39 (1.498)"), "{unknown}");
        }
    }
}
