//! The shop's tables and habits.
//!
//! A value comes from the shop's own file where that has it, else from `default.toml`, else, for the facts of a lens
//! material, from core's table. The file is chosen by `--settings`, the environment, or the platform's folder for
//! configuration.

mod advice;
mod desk;
mod edging;
mod error;
mod flow;
mod habit;
mod judged_by;
mod letters;
mod material;
mod millimetres;
mod origin;
mod progressive;
mod segment;
mod shop_table;
mod thickness;
mod tolerances;
mod treatment;
mod written;

pub use advice::{Advising, Windows};
pub use desk::{DeskSettings, SignedBy};
pub use edging::{Bevel, FrontCurve, GrooveSection};
pub use error::SettingsError;
pub use judged_by::JudgedBy;
pub use letters::{LETTERS, NotOneLine, Overlong, has_room, is_one_line};
pub use material::{Material, Roughing};
pub use origin::{Origin, Setting, Shown};
pub use progressive::Progressive;
pub use segment::{BlankTable, CentringAsked, ReadingLevel, SegmentBlanks};
pub use shop_table::{EXAMPLE as SHOP_TABLE_EXAMPLE, ShopFile};
pub use thickness::{Least, LeastOfLens, Safety, Thickness};
pub use tolerances::{NoStandard, StandardName, ToleranceChoices, Tolerances};
pub use treatment::{Clamp, Treatment};

use bevelbook_core::record::Flow;
use bevelbook_core::sizing::Habit;
use bevelbook_core::units::Length;
use etcetera::{BaseStrategy, choose_base_strategy};
use flow::flow;
use habit::habit;
use letters::overlong_in;
use millimetres::{all_millimetres, millimetres};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use toml::Table;

/// What holds where the shop's own file says nothing, the facts of materials apart.
const DEFAULTS: &str = include_str!("default.toml");

/// Blanks to choose from.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blanks {
    /// Diameters that are stocked.
    #[serde(deserialize_with = "all_millimetres")]
    pub stocked: Vec<Length>,
    /// Added to the least blank.
    #[serde(deserialize_with = "millimetres")]
    pub allowance: Length,
}

/// Backups that are made by themselves.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DailyBackup {
    /// Of how many days backups are kept; none are made where it is 0.
    pub days: usize,
}

/// All settings.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// By which standard a pair is judged.
    pub standard: StandardName,
    /// What a standard leaves to the shop.
    pub tolerance: ToleranceChoices,
    /// The shop's own tolerance table, where the choices name one.
    #[serde(skip)]
    pub shop_table: Option<ShopFile>,
    /// Backups that are made by themselves.
    pub backup: DailyBackup,
    /// Where, and by whom, things are said at a desk.
    pub desk: DeskSettings,
    /// First sizes and steps.
    #[serde(deserialize_with = "habit")]
    pub sizing: Habit,
    /// What the book may advise.
    pub advice: Advising,
    /// How the shop goes along the line of steps.
    #[serde(deserialize_with = "flow")]
    pub bench: Flow,
    /// Blanks to choose from.
    pub blank: Blanks,
    /// How lenses are held.
    pub clamp: Clamp,
    /// Treatments by key.
    #[serde(rename = "treatment")]
    pub treatments: BTreeMap<String, Treatment>,
    /// How thick a lens has to be.
    pub thickness: Thickness,
    /// The front curve that is taken where none is ordered.
    pub front_curve: FrontCurve,
    /// Where the bevel stands.
    pub bevel: Bevel,
    /// The groove of a lens for a cord.
    pub groove: GrooveSection,
    /// What a progressive is like where its order does not say so.
    pub progressive: Progressive,
    /// How segments lie in their blanks.
    pub segment: SegmentBlanks,
    /// The level at which a wearer reads.
    pub reading: ReadingLevel,
    /// What is to be asked about where an optical centre is not before its pupil.
    pub off_centre: CentringAsked,
    /// Materials by key.
    #[serde(rename = "material")]
    pub materials: BTreeMap<String, Material>,
}

impl Settings {
    /// Reads the shop's file at `path` over the defaults; no file is no change.
    ///
    /// # Errors
    /// The file cannot be read, is not TOML, or holds a value that does not fit.
    pub fn load(path: &Path) -> Result<(Self, Shown), SettingsError> {
        let text = match crate::file::open(path).and_then(std::io::read_to_string) {
            Ok(text) => text,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(source) => return Err(SettingsError::Read { what: "settings", path: path.into(), source }),
        };
        let malformed = |source| SettingsError::malformed("settings", path, source);
        let mut own: Table = text.parse().map_err(malformed)?;
        SettingsError::overlong("settings", path, overlong_in(&own))?;
        SettingsError::former(path, &own)?;
        material::name_sources(&mut own);
        let defaults: Table = DEFAULTS.parse().map_err(malformed)?;
        let mut merged = material::facts();
        let layers = [(&merged, Origin::Facts), (&defaults, Origin::Default), (&own, Origin::File)];
        let shown = Shown::of(path, layers);
        merge(&mut merged, defaults);
        merge(&mut merged, own);
        let mut settings: Self = merged.try_into().map_err(malformed)?;
        settings.check(path)?;
        if let Some(name) = &settings.tolerance.shop_table {
            let beside = path.parent().map_or_else(|| name.clone(), |folder| folder.join(name));
            settings.shop_table = Some(ShopFile::load(&beside)?);
        }
        // What is to be judged by has to be there.
        settings.tolerances()?;
        Ok((settings, shown))
    }

    /// The defaults alone.
    ///
    /// # Errors
    /// None that a released version has; a test reads them.
    pub fn defaults() -> Result<Self, SettingsError> {
        let malformed = |source| SettingsError::malformed("settings", Path::new("the defaults"), source);
        let mut merged = material::facts();
        merge(&mut merged, DEFAULTS.parse().map_err(malformed)?);
        merged.try_into().map_err(malformed)
    }

    /// The table that the program starts out with, as a file to edit; the facts of materials stand in it as comments.
    pub fn starting_file() -> String {
        format!("{DEFAULTS}{}", material::facts_as_comments())
    }

    /// Where the shop's own file is looked for when nobody says.
    ///
    /// # Errors
    /// The platform names no home folder.
    pub fn default_path() -> Result<PathBuf, SettingsError> {
        let folders = choose_base_strategy().map_err(|_| SettingsError::NoHome)?;
        Ok(folders.config_dir().join("bevelbook").join("settings.toml"))
    }

    /// What a pair is judged by, with the shop's choices.
    ///
    /// # Errors
    /// The standard is `shop` and there is no shop table.
    pub fn tolerances(&self) -> Result<Tolerances, SettingsError> {
        self.tolerances_by(None)
    }

    /// The same by another standard than that of the settings.
    ///
    /// # Errors
    /// It is `shop` and there is no shop table.
    pub fn tolerances_by(&self, standard: Option<StandardName>) -> Result<Tolerances, SettingsError> {
        let name = standard.unwrap_or(self.standard);
        Tolerances::of(name, &self.tolerance, self.shop_table.as_ref(), self.progressive, self.bench)
    }

    /// A material by its key, or the keys there are.
    ///
    /// # Errors
    /// There is no such material.
    pub fn material(&self, key: &str) -> Result<&Material, SettingsError> {
        self.materials.get(key).ok_or_else(|| written::no_material(&self.materials, key))
    }

    /// The key of the material that is written so: its key or name in any case, the beginning of one, or its index.
    ///
    /// # Errors
    /// There is no such material, or more than one.
    pub fn material_key(&self, written: &str) -> Result<&str, SettingsError> {
        written::material_key(&self.materials, written)
    }

    /// The treatment that is written so, in any case.
    pub fn treatment(&self, written: &str) -> Option<&Treatment> {
        treatment::find(&self.treatments, written)
    }

    fn check(&self, path: &Path) -> Result<(), SettingsError> {
        let positive = [
            ("sizing.step_far", self.sizing.step_far),
            ("sizing.step_just", self.sizing.step_just),
            ("advice.window.metal", self.advice.window.metal),
            ("advice.window.plastic", self.advice.window.plastic),
            ("advice.drift", self.advice.drift),
            ("clamp.light_below", self.clamp.light_below),
        ];
        let shelf = self.blank.stocked.iter().map(|diameter| ("blank.stocked", *diameter));
        let own = self.materials.values().flat_map(Material::lengths);
        let edge = self.bevel.lengths().into_iter().chain(self.groove.lengths());
        let told = self.tolerance.lengths().chain(self.thickness.lengths()).chain(edge);
        let lengths = positive.into_iter().chain(told).chain(shelf).chain(own);
        let lengths = lengths.map(|(name, length)| (name, length.milli(), format!("{length} mm")));
        let apart = self.bevel.curve_apart;
        let powers = [("bevel.curve_apart", apart.milli(), format!("{apart} D"))];
        match lengths.chain(powers).find(|(_, milli, _)| *milli <= 0) {
            Some((name, _, found)) => Err(SettingsError::Impossible { path: path.into(), name, found }),
            None => treatment::check(&self.treatments, path),
        }
    }
}

/// Lays `own` over `base`: tables merge, anything else replaces.
fn merge(base: &mut Table, own: Table) {
    for (name, value) in own {
        match (base.get_mut(&name), value) {
            (Some(toml::Value::Table(below)), toml::Value::Table(above)) => merge(below, above),
            (_, value) => {
                base.insert(name, value);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a shop's file with this text comes to.
    pub(super) fn load(text: &str) -> Result<(Settings, Shown), SettingsError> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.toml");
        std::fs::write(&path, text).unwrap();
        Settings::load(&path)
    }

    #[test]
    fn the_defaults_can_be_read_and_are_exact() {
        let settings = Settings::defaults().unwrap();
        assert_eq!(settings.sizing, Habit::COMMON);
        assert_eq!(settings.sizing.step_just, Length::from_milli(100));
        assert_eq!(settings.materials["polycarbonate"].roughing, Roughing::Dry);
    }

    #[test]
    fn the_shops_file_says_only_what_differs() {
        let (settings, shown) = load("sizing.step_far = 0.25\nblank.stocked = [62.5, 70]").unwrap();
        assert_eq!(settings.sizing.step_far, Length::from_milli(250));
        assert_eq!(settings.sizing.step_just, Length::from_milli(100));
        assert_eq!(settings.blank.stocked, [62_500, 70_000].map(Length::from_milli));
        let origin = |name: &str| shown.values.iter().find(|v| v.name == name).unwrap().origin;
        assert_eq!(origin("sizing.step_far"), Origin::File);
        assert_eq!(origin("sizing.step_just"), Origin::Default);
    }

    #[test]
    fn a_slip_in_the_file_is_named() {
        let text = |file| load(file).unwrap_err().to_string();
        assert!(text("sizing.step_fur = 0.2").contains("step_fur"));
        assert!(text("sizing.step_far = 0").contains("sizing.step_far is 0 mm and must be above 0"));
        assert!(text("bevel.curve_apart = -1").contains("bevel.curve_apart is -1.00 D"));
        assert!(text("standard = \"none\"").contains("none"));
        assert!(text("sizing = [").contains("settings.toml"));
        assert!(text("standard = \"shop\"").contains("tolerance.shop_table"));
        assert!(text("tolerance.shop_table = \"none.toml\"").contains("none.toml"));
        assert!(load("").unwrap().0.material("cr93").unwrap_err().to_string().contains("cr39"));
    }
}
