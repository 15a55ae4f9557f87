//! Lens materials: index, Abbe number, density.
//!
//! The figures are those of general material tables; a material's own data sheet, where there is one, is better.
//! Hosts may let people change them and add materials; this is what stands there before, and nowhere else. A key is
//! written into orders and never changes.

use super::curve;
use crate::units::RefractiveIndex;

/// A density in mg/cm³: 1.31 g/cm³ is 1310.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Density(u16);

impl Density {
    /// From mg/cm³, exactly.
    pub const fn from_milligrams_per_cubic_centimetre(milligrams: u16) -> Self {
        Self(milligrams)
    }

    /// In mg/cm³.
    pub const fn milligrams_per_cubic_centimetre(self) -> u16 {
        self.0
    }

    /// The middle of two, halves up: what a weight is worked out with where tables differ.
    pub const fn middle(low: Self, high: Self) -> Self {
        let twice = low.0 as u32 + high.0 as u32;
        Self(twice.div_ceil(2) as u16)
    }
}

/// A lens material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Material {
    /// The word for it in settings and on the command line.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Refractive index (n_d).
    pub index: RefractiveIndex,
    /// Abbe number, from the lowest to the highest that tables give.
    pub abbe: (u8, u8),
    /// Density, from the lowest to the highest that tables give.
    pub density: (Density, Density),
    /// Where the figures are from.
    pub source: &'static str,
    /// False while a figure is from memory.
    pub confirmed: bool,
}

impl Material {
    /// The middle of the densities that tables give.
    pub const fn middle_density(&self) -> Density {
        Density::middle(self.density.0, self.density.1)
    }
}

const TABLES: &str = "material tables of several sites";

const fn table(
    key: &'static str,
    name: &'static str,
    index: u16,
    abbe: (u8, u8),
    density: (u16, u16),
) -> Material {
    let density = (Density(density.0), Density(density.1));
    Material { key, name, index: curve::index(index), abbe, density, source: TABLES, confirmed: true }
}

/// The usual materials by rising index.
pub const MATERIALS: [Material; 7] = [
    // Allyl diglycol carbonate.
    table("cr39", "CR-39", 14_980, (58, 59), (1310, 1320)),
    Material {
        source: "index and Abbe number: material tables of several sites; density: that of glass of 1.52 in a table \
                 of spectacle lens materials, Open University course \"Manufacturing\"",
        ..table("glass", "crown glass", 15_230, (59, 59), (2530, 2530))
    },
    table("u153", "1.53 urethane", 15_300, (43, 44), (1110, 1110)),
    table("polycarbonate", "polycarbonate", 15_860, (30, 30), (1200, 1200)),
    table("i160", "1.60", 16_000, (36, 41), (1300, 1300)),
    table("i167", "1.67", 16_700, (32, 32), (1370, 1370)),
    table("i174", "1.74", 17_400, (33, 33), (1470, 1470)),
];

/// The material of this key, whatever its capitals.
pub fn material(key: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.key.eq_ignore_ascii_case(key.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_material_is_found_by_its_own_key_alone() {
        for (place, material) in MATERIALS.iter().enumerate() {
            assert_eq!(super::material(material.key), Some(material));
            assert!(MATERIALS[..place].iter().all(|other| other.key != material.key));
            assert!(MATERIALS[..place].iter().all(|other| other.index <= material.index));
            assert!(material.index > RefractiveIndex::AIR);
            assert!(material.abbe.0 <= material.abbe.1 && material.density.0 <= material.density.1);
            assert_eq!(material.confirmed, !material.source.contains("memory"));
        }
        assert_eq!(material(" CR39 ").map(|found| found.middle_density().0), Some(1315));
        assert_eq!(material("flint"), None);
    }
}
