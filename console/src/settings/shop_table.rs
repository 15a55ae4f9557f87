//! A tolerance table of the shop's own, or of a local rule, read from a TOML file.
//!
//! [`EXAMPLE`] is such a file with every field explained. Figures are taken exactly, to 1/1000 of their unit; what is
//! left out is not covered, and `inspect` says so. An error names the file, the line and the value.

mod parts;
mod prism;

use bevelbook_core::tolerance::{Design, Made, Meridian, Reference, ShopRows, ShopSteps, ShopTable};
use parts::{AxisText, BoundText, Figure, Heights, Lens, PdText, ReferenceText, Segment, StepsText};
use prism::{Horizontal, Vertical};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// An example: the rule of New Jersey.
pub const EXAMPLE: &str = include_str!("new_jersey.toml");

/// Why the file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ShopTableError {
    /// It cannot be read.
    #[error("cannot read the tolerance table {path}: {source}")]
    Read {
        /// The file.
        path: PathBuf,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// It is not TOML, or a value does not fit.
    #[error("in the tolerance table {path}: {source}")]
    Malformed {
        /// The file.
        path: PathBuf,
        /// What does not fit, with line and value.
        source: Box<toml::de::Error>,
    },
}

/// A table with what it is taken from.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopFile {
    /// The table.
    pub table: ShopTable,
    /// What its figures are taken from, in the file's words.
    pub source: String,
    /// The file.
    pub path: PathBuf,
}

impl ShopFile {
    /// Reads the file at `path`.
    ///
    /// # Errors
    /// It cannot be read, is not TOML, or holds a value that does not fit.
    pub fn load(path: &Path) -> Result<Self, ShopTableError> {
        let text = std::fs::read_to_string(path)
            .map_err(|source| ShopTableError::Read { path: path.into(), source })?;
        let malformed = |source| ShopTableError::Malformed { path: path.into(), source: Box::new(source) };
        let file: File = toml::from_str(&text).map_err(malformed)?;
        // The length of the name was looked at while it was read.
        let table =
            file.table().ok_or_else(|| malformed(serde::de::Error::custom("the name is too long")))?;
        Ok(Self { table, source: file.source, path: path.into() })
    }
}

/// The file as it is written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(deserialize_with = "parts::name")]
    name: String,
    #[serde(deserialize_with = "parts::version")]
    version: u16,
    #[serde(deserialize_with = "parts::filled")]
    source: String,
    #[serde(default = "yes")]
    confirmed: bool,
    #[serde(deserialize_with = "parts::designs")]
    designs: Vec<Design>,
    meridian: Meridian,
    power: Option<StepsText<BoundText>>,
    cylinder: Option<StepsText<BoundText>>,
    axis: Option<AxisText>,
    add: Option<StepsText<BoundText>>,
    reference: Option<ReferenceText>,
    vertical: Option<Vertical>,
    horizontal: Option<Horizontal>,
    pd: Option<PdText>,
    heights: Option<Heights>,
    #[serde(default)]
    segment: Segment,
    #[serde(default)]
    lens: Lens,
    progressive: Option<Progressive>,
}

/// What holds for progressives instead.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Progressive {
    power: Option<StepsText<BoundText>>,
    cylinder: Option<StepsText<BoundText>>,
    vertical: Option<Vertical>,
    horizontal: Option<Horizontal>,
    pd: Option<PdText>,
    heights: Option<Heights>,
}

const fn yes() -> bool {
    true
}

impl File {
    fn table(&self) -> Option<ShopTable> {
        let confirmed = self.confirmed;
        let rule = |figure: &Figure| figure.rule(confirmed);
        let mut table = ShopTable::named(&self.name, self.version)?;
        table.meridian = self.meridian;
        if let Some(axis) = &self.axis {
            table.axis_from = axis.from.map_or(1, |from| from.0);
            table.axis = axis.steps(confirmed);
        }
        table.add = steps(self.add.as_ref(), confirmed);
        table.reference = self.reference.as_ref().map(|reference| Reference {
            prism: rule(&reference.prism),
            place: reference.place.as_ref().map(rule),
            both: reference.both,
        });
        table.made = Made {
            segment_place: self.segment.place.as_ref().map(rule),
            segment_tilt: self.segment.tilt.as_ref().map(rule),
            segment_size: self.segment.size.as_ref().map(rule),
            base_curve: self.lens.base_curve.as_ref().map(rule),
            warpage: self.lens.warpage.as_ref().map(rule),
            thickness: self.lens.thickness.as_ref().map(rule),
        };
        for design in &self.designs {
            table.cover(*design, self.rows(*design == Design::Progressive));
        }
        Some(table)
    }

    fn rows(&self, progressive: bool) -> ShopRows {
        let confirmed = self.confirmed;
        let own = self.progressive.as_ref().filter(|_| progressive);
        macro_rules! of {
            ($field:ident) => {
                own.and_then(|own| own.$field.as_ref()).or(self.$field.as_ref())
            };
        }
        let heights = of!(heights);
        ShopRows {
            power: steps(of!(power), confirmed),
            cylinder: steps(of!(cylinder), confirmed),
            vertical: of!(vertical).map(|text| text.centring(confirmed)),
            horizontal: of!(horizontal).map(|text| text.centring(confirmed)),
            pd: of!(pd).map(|text| text.rule(confirmed)),
            height: heights.map(|heights| heights.each.rule(confirmed)),
            height_pair: heights.and_then(|heights| Some(heights.pair?.rule(confirmed))),
        }
    }
}

fn steps(text: Option<&StepsText<BoundText>>, confirmed: bool) -> ShopSteps {
    text.map_or_else(ShopSteps::default, |text| text.steps(confirmed))
}

#[cfg(test)]
mod tests;
