//! Lens materials: the facts that come with the program, and what the shop says of them.
//!
//! The facts of the usual materials (name, index, Abbe number, density, source) stand in core's table and nowhere
//! else; they are laid under the settings as a table of their own, so that the shop's file overrides them like any
//! default. What the shop overrides without naming a source gets one that says so.

use super::millimetres::maybe_millimetres;
use bevelbook_core::lens::{Density, MATERIALS, Material as Stock};
use bevelbook_core::units::{Length, RefractiveIndex};
use serde::{Deserialize, Deserializer, Serialize};
use toml::{Table, Value};

/// How a material is roughed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Roughing {
    /// With water throughout.
    Wet,
    /// Without water, which comes only at the finish.
    Dry,
}

/// A lens material.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Its name for people.
    pub name: String,
    /// Refractive index at the d line.
    #[serde(deserialize_with = "index")]
    pub index: RefractiveIndex,
    /// Abbe number, from the lowest to the highest that its source gives.
    #[serde(default, deserialize_with = "span")]
    pub abbe: Option<[f64; 2]>,
    /// Density, from the lowest to the highest that its source gives.
    #[serde(default, deserialize_with = "densities")]
    pub density: Option<[Density; 2]>,
    /// Where these figures are from.
    #[serde(default = "by_the_shop")]
    pub source: String,
    /// False while a figure is from memory.
    #[serde(default = "yes")]
    pub confirmed: bool,
    /// How it is roughed.
    pub roughing: Roughing,
    /// The least centre thickness that is taken for it, where it has its own.
    #[serde(default, deserialize_with = "maybe_millimetres")]
    pub least_centre: Option<Length>,
    /// The least edge thickness that is taken for it, where it has its own.
    #[serde(default, deserialize_with = "maybe_millimetres")]
    pub least_edge: Option<Length>,
}

impl Material {
    /// The least thicknesses that it has of its own, by their names.
    pub(super) fn lengths(&self) -> impl Iterator<Item = (&'static str, Length)> {
        let least = [("least_centre", self.least_centre), ("least_edge", self.least_edge)];
        least.into_iter().filter_map(|(name, length)| Some((name, length?)))
    }

    /// The density that a weight is worked out with; none where nobody has said it.
    pub fn middle_density(&self) -> Option<Density> {
        self.density.map(|[low, high]| Density::middle(low, high))
    }
}

/// What the shop's file says of a material without a source of its own.
const SHOP: &str = "the shop's settings";

/// The facts of a material that have a source.
const FACTS: [&str; 3] = ["index", "abbe", "density"];

fn by_the_shop() -> String {
    SHOP.into()
}

const fn yes() -> bool {
    true
}

/// The facts that come with the program, as a table of settings.
pub(super) fn facts() -> Table {
    let fact = |stock: &Stock| (stock.key.to_owned(), Value::Table(stock_table(stock)));
    let materials: Table = MATERIALS.iter().map(fact).collect();
    [("material".to_owned(), Value::Table(materials))].into_iter().collect()
}

fn stock_table(stock: &Stock) -> Table {
    // A decimal as it would be typed: exact, since all have at most four decimals.
    let index = f64::from(stock.index.ten_thousandths()) / 10_000.0;
    let density = |density: Density| f64::from(density.milligrams_per_cubic_centimetre()) / 1000.0;
    let span = |low: f64, high: f64| match low == high {
        true => Value::Float(low),
        false => Value::Array(vec![Value::Float(low), Value::Float(high)]),
    };
    let (low, high) = stock.abbe;
    [
        ("name", Value::String(stock.name.into())),
        ("index", Value::Float(index)),
        ("abbe", span(low.into(), high.into())),
        ("density", span(density(stock.density.0), density(stock.density.1))),
        ("source", Value::String(stock.source.into())),
        ("confirmed", Value::Boolean(stock.confirmed)),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

/// Adds the source to what the shop's file overrides without one.
pub(super) fn name_sources(own: &mut Table) {
    let Some(Value::Table(materials)) = own.get_mut("material") else { return };
    for (key, material) in materials {
        let Value::Table(material) = material else { continue };
        let said: Vec<&str> = FACTS.into_iter().filter(|fact| material.contains_key(*fact)).collect();
        if said.is_empty() || material.contains_key("source") {
            continue;
        }
        let source = match MATERIALS.iter().find(|stock| stock.key == key) {
            Some(stock) if said.len() < FACTS.len() => {
                format!("{} of {SHOP}; the rest: {}", said.join(" and "), stock.source)
            }
            _ => SHOP.to_owned(),
        };
        material.insert("source".into(), Value::String(source));
    }
}

/// The facts that come with the program, as comments for a file to edit.
pub(super) fn facts_as_comments() -> String {
    let mut text = String::from("\n# What comes with the program of these materials:\n");
    for stock in &MATERIALS {
        let table = stock_table(stock);
        let value = |name: &str| table.get(name).map(Value::to_string).unwrap_or_default();
        let [name, index, abbe, density] = ["name", "index", "abbe", "density"].map(value);
        text += &format!(
            "#   {}: name = {name}, index = {index}, abbe = {abbe}, density = {density}\n#     ({})\n",
            stock.key, stock.source
        );
    }
    text
}

fn index<'de, D: Deserializer<'de>>(deserializer: D) -> Result<RefractiveIndex, D::Error> {
    use serde::de::Error;
    let number = f64::deserialize(deserializer)?;
    let wrong = || D::Error::custom(format!("index {number}: expected one from 1 to 3, for example 1.498"));
    RefractiveIndex::parse(&number.to_string()).map_err(|_| wrong())
}

/// One figure, or the lowest and the highest.
#[derive(Deserialize)]
#[serde(untagged)]
enum Figures {
    One(f64),
    Span([f64; 2]),
}

fn span<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<[f64; 2]>, D::Error> {
    use serde::de::Error;
    let wrong = || D::Error::custom("expected a figure above 0, or [lowest, highest]");
    let span = match Figures::deserialize(deserializer).map_err(|_| wrong())? {
        Figures::One(figure) => [figure; 2],
        Figures::Span(span) => span,
    };
    if span[0] > 0.0 && span[0] <= span[1] && span[1].is_finite() { Ok(Some(span)) } else { Err(wrong()) }
}

fn densities<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<[Density; 2]>, D::Error> {
    use serde::de::Error;
    let Some(span) = span(deserializer)? else { return Ok(None) };
    let milligrams = |figure: f64| {
        let milligrams = (figure * 1000.0).round();
        // Lens materials lie from 1 to 4; 30 is far beyond them and still fits.
        (1.0..=30_000.0)
            .contains(&milligrams)
            .then_some(Density::from_milligrams_per_cubic_centimetre(milligrams as u16))
            .ok_or_else(|| D::Error::custom(format!("density {figure}: expected g/cm3, for example 1.31")))
    };
    Ok(Some([milligrams(span[0])?, milligrams(span[1])?]))
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;
    use super::super::{Origin, Settings};

    #[test]
    fn every_stock_material_is_that_of_core_and_has_its_handling() {
        let settings = Settings::defaults().unwrap();
        assert_eq!(settings.materials.len(), bevelbook_core::lens::MATERIALS.len());
        for stock in &bevelbook_core::lens::MATERIALS {
            let material = settings.material(stock.key).unwrap();
            assert_eq!((material.index, material.name.as_str()), (stock.index, stock.name));
            assert_eq!(material.middle_density(), Some(stock.middle_density()));
            assert_eq!(material.abbe, Some([stock.abbe.0, stock.abbe.1].map(f64::from)));
            assert_eq!((material.source.as_str(), material.confirmed), (stock.source, stock.confirmed));
        }
    }

    #[test]
    fn no_key_that_stands_in_an_order_is_lost() {
        let settings = Settings::defaults().unwrap();
        for key in ["cr39", "u153", "polycarbonate", "i160", "i167", "i174", "glass"] {
            assert!(settings.material(key).is_ok(), "{key}");
        }
    }

    #[test]
    fn a_figure_of_the_shop_goes_before_and_says_so() {
        let (settings, shown) = load("material.cr39.density = 1.32\nmaterial.i160.abbe = [40, 41]").unwrap();
        let cr39 = settings.material("cr39").unwrap();
        assert_eq!(cr39.middle_density().unwrap().milligrams_per_cubic_centimetre(), 1320);
        assert_eq!(cr39.index.ten_thousandths(), 14_980);
        assert!(cr39.source.starts_with("density of the shop's settings; the rest: "), "{}", cr39.source);
        let origin = |name: &str| shown.values.iter().find(|value| value.name == name).unwrap().origin;
        assert_eq!(origin("material.cr39.density"), Origin::File);
        assert_eq!(origin("material.cr39.index"), Origin::Facts);
        assert_eq!(origin("material.cr39.roughing"), Origin::Default);
        assert_eq!(origin("material.glass.source"), Origin::Facts);
    }

    #[test]
    fn the_shop_adds_a_material_of_its_own() {
        let house = "[material.house]\nname = \"house\"\nindex = 1.56\nroughing = \"wet\"\n";
        let (settings, _) = load(house).unwrap();
        let material = settings.material("house").unwrap();
        assert_eq!((material.index.ten_thousandths(), material.density), (15_600, None));
        assert_eq!(material.source, "the shop's settings");
        let (settings, _) = load(&format!("{house}density = [1.27, 1.28]\nsource = \"data sheet\"")).unwrap();
        let material = settings.material("house").unwrap();
        assert_eq!(material.middle_density().unwrap().milligrams_per_cubic_centimetre(), 1275);
        assert_eq!(material.source, "data sheet");
    }

    #[test]
    fn a_material_that_cannot_be_is_named() {
        let text = |file: &str| load(file).unwrap_err().to_string();
        assert!(text("material.cr39.index = 14.98").contains("for example 1.498"));
        assert!(text("material.cr39.density = 1320").contains("g/cm3"));
        assert!(text("material.cr39.abbe = [59, 58]").contains("[lowest, highest]"));
        assert!(text("[material.house]\nname = \"house\"\nroughing = \"wet\"").contains("index"));
        assert!(text("material.cr39.least_edge = -1").contains("least_edge"));
    }
}
