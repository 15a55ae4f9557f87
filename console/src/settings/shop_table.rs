//! A tolerance table of the shop's own, or of a local rule, read from a TOML file.
//!
//! [`EXAMPLE`] is such a file with every field explained. Figures are taken exactly, to 1/1000 of their unit; what is
//! left out is not covered, and `inspect` says so. An error names the file, the line and the value.

mod parts;

use super::SettingsError;
use super::letters::overlong_in;
use bevelbook_core::tolerance::{
    Above, Bound, Centring, CentringRow, Design, Limit, Made, Meridian, PdRule, Places, Reference, Rows,
    Rule, Steps, Table,
};
use parts::{Axis, Figure, Heights, Lens, Pd, Prism, ReferencePoint, Rising, SegmentTable};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// What an error calls the file.
const WHAT: &str = "tolerance table";

/// An example: the rule of New Jersey.
pub const EXAMPLE: &str = include_str!("new_jersey.toml");

/// A table with what it is taken from.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopFile {
    /// The table.
    pub table: Table,
    /// What its figures are taken from, in the file's words.
    pub source: &'static str,
    /// The file.
    pub path: PathBuf,
}

impl ShopFile {
    /// Reads the file at `path`. Its table lasts as long as the program, as the published ones do.
    ///
    /// # Errors
    /// It cannot be read, is not TOML, or holds a value that does not fit.
    pub fn load(path: &Path) -> Result<Self, SettingsError> {
        let text = crate::file::open(path)
            .and_then(std::io::read_to_string)
            .map_err(|source| SettingsError::Read { what: WHAT, path: path.into(), source })?;
        let malformed = |source| SettingsError::malformed(WHAT, path, source);
        SettingsError::overlong(WHAT, path, overlong_in(&text.parse().map_err(malformed)?))?;
        let file: File = toml::from_str(&text).map_err(malformed)?;
        let source = file.source.clone().leak();
        let confirmed = file.confirmed;
        Ok(Self { table: Citing { source, confirmed }.table(&file), source, path: path.into() })
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
    power: Option<Rising>,
    cylinder: Option<Rising>,
    axis: Option<Axis>,
    add: Option<Rising>,
    reference: Option<ReferencePoint>,
    #[serde(default, deserialize_with = "parts::vertical")]
    vertical: Option<Prism>,
    #[serde(default, deserialize_with = "parts::horizontal")]
    horizontal: Option<Prism>,
    pd: Option<Pd>,
    heights: Option<Heights>,
    #[serde(default)]
    segment: SegmentTable,
    #[serde(default)]
    lens: Lens,
    progressive: Option<ProgressiveTable>,
}

/// What holds for progressives instead.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProgressiveTable {
    power: Option<Rising>,
    cylinder: Option<Rising>,
    #[serde(default, deserialize_with = "parts::vertical")]
    vertical: Option<Prism>,
    #[serde(default, deserialize_with = "parts::horizontal")]
    horizontal: Option<Prism>,
    pd: Option<Pd>,
    heights: Option<Heights>,
}

const fn yes() -> bool {
    true
}

/// What every rule of a file cites.
#[derive(Clone, Copy)]
struct Citing {
    source: &'static str,
    confirmed: bool,
}

impl Citing {
    fn table(self, file: &File) -> Table {
        let own = file.progressive.as_ref().filter(|_| file.designs.contains(&Design::Progressive));
        let (rows, progressive) = (self.rows(file, None), self.rows(file, own));
        let covered = |design, rows| if file.designs.contains(&design) { rows } else { Rows::NONE };
        let axis = file.axis.as_ref();
        let reference = file.reference.as_ref();
        let (segment, lens) = (&file.segment, &file.lens);
        Table {
            name: file.name.clone().leak(),
            edition: "",
            version: file.version,
            meridian: file.meridian,
            meridian_is_open: false,
            single_vision: covered(Design::SingleVision, rows),
            multifocal: covered(Design::Multifocal, rows),
            progressive: covered(Design::Progressive, progressive),
            axis_from: axis.and_then(|axis| axis.from).map_or(1, |from| from.0),
            axis: axis.map_or(Steps::NONE, |axis| self.steps(&axis.up_to, axis.above)),
            axis_uncut: true,
            add: self.rising(file.add.as_ref()),
            reference: reference.map(|reference| Reference {
                prism: self.rule(reference.prism),
                place: self.figure(reference.place),
                both: reference.both,
            }),
            made: Made {
                segment_place: self.figure(segment.place),
                segment_tilt: self.figure(segment.tilt),
                segment_size: self.figure(segment.size),
                base_curve: self.figure(lens.base_curve),
                warpage: self.figure(lens.warpage),
                thickness: self.figure(lens.thickness),
            },
            places: Places::NONE,
            hearsay: None,
        }
    }

    /// What the file says for all lenses, where it does not say its `own` for these.
    fn rows(self, file: &File, own: Option<&ProgressiveTable>) -> Rows {
        macro_rules! said {
            ($field:ident) => {
                own.and_then(|own| own.$field.as_ref()).or(file.$field.as_ref())
            };
        }
        let heights = said!(heights);
        Rows {
            power: self.rising(said!(power)),
            cylinder: vec![(Table::OPEN, self.rising(said!(cylinder)))].leak(),
            vertical: said!(vertical).map(|prism| self.centring(prism)),
            horizontal: said!(horizontal).map(|prism| self.centring(prism)),
            pd: said!(pd).map(|pd| match pd {
                Pd::Total(figure) => self.pd(*figure, false),
                Pd::Each(figure) => self.pd(*figure, true),
            }),
            height: heights.map(|heights| self.rule(heights.each)),
            height_pair: heights.and_then(|heights| self.figure(heights.pair)),
        }
    }

    fn rule(self, bound: impl Into<Bound>) -> Rule {
        Rule { bound: bound.into(), source: self.source, confirmed: self.confirmed }
    }

    fn figure(self, figure: Option<Figure>) -> Option<Rule> {
        figure.map(|figure| self.rule(figure))
    }

    fn rising(self, text: Option<&Rising>) -> Steps {
        text.map_or(Steps::NONE, |text| self.steps(&text.up_to, text.above))
    }

    fn steps<B: Into<Bound> + Copy>(self, up_to: &[(Figure, B)], above: Option<B>) -> Steps {
        let up_to: Vec<_> = up_to.iter().map(|(end, bound)| (end.0, self.rule(*bound))).collect();
        Steps { up_to: up_to.leak(), above: above.map(|bound| self.rule(bound)) }
    }

    fn pd(self, figure: Figure, each_eye: bool) -> PdRule {
        PdRule { rule: self.rule(figure), each_eye }
    }

    fn centring(self, text: &Prism) -> Centring {
        let effect = |shift: Figure| Bound::Effect { prism: Limit::from_milli(0), shift: shift.0 };
        let above = (text.above_effect.map(|shift| Above::Effect(self.rule(effect(shift)))))
            .or(text.above_pd.map(|figure| Above::Pd(self.pd(figure, false))))
            .or(text.above_pd_each.map(|figure| Above::Pd(self.pd(figure, true))));
        let always = CentringRow::always(self.rule(text.prism));
        let row = match (text.up_to, above) {
            (Some(power), Some(above)) => CentringRow { switch: power.0, above, ..always },
            _ => always,
        };
        Centring { rows: vec![(Table::OPEN, row)].leak(), each: self.figure(text.each) }
    }
}

#[cfg(test)]
mod tests;
