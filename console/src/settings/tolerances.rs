//! What a pair is judged by: a published standard with the shop's choices, or a table of the shop's own.

use super::SettingsError;
use super::millimetres::maybe_millimetres;
use super::shop_table::ShopFile;
use super::{JudgedBy, Progressive};
use bevelbook_core::record::Flow;
use bevelbook_core::tolerance::{Meridian, Places, Rule, Standard, Table};
use bevelbook_core::units::Length;
use serde::Deserialize;
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;

/// What can be named: a published standard, or the shop's own table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub enum StandardName {
    /// A published standard.
    Published(Standard),
    /// The table that the settings name as `tolerance.shop_table`.
    Shop,
}

impl StandardName {
    const SHOP: &'static str = "shop";
}

/// The name is none that is known.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected the name of a standard, not `{typed}`{why}\n  known: {}", known())]
pub struct NoStandard {
    typed: String,
    why: &'static str,
}

fn known() -> String {
    let published = Standard::ALL.iter().map(|standard| standard.key());
    published.chain([StandardName::SHOP]).collect::<Vec<_>>().join(", ")
}

impl FromStr for StandardName {
    type Err = NoStandard;

    /// In any case and spacing; without its edition, the latest of which something was seen.
    fn from_str(text: &str) -> Result<Self, NoStandard> {
        let plain =
            |text: &str| text.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_lowercase();
        let typed = plain(text);
        if typed == Self::SHOP {
            return Ok(Self::Shop);
        }
        let named = |s: &&Standard| typed == plain(s.table().name) || typed == plain(s.key());
        // One that is known by hearsay has to be asked for by its year.
        let meant = |s: &&Standard| s.table().hearsay.is_none() || typed == plain(s.key());
        let found =
            Standard::ALL.iter().filter(named).filter(meant).max_by_key(|standard| standard.edition());
        let why = match typed.as_str() {
            "iso219872009" => ": the edition of 2009 was withdrawn in 2017",
            _ => "",
        };
        found.copied().map(Self::Published).ok_or_else(|| NoStandard { typed: text.to_owned(), why })
    }
}

impl TryFrom<String> for StandardName {
    type Error = NoStandard;

    fn try_from(text: String) -> Result<Self, NoStandard> {
        text.parse()
    }
}

/// How the reference point of an uncut lens has to hold, where a standard can be read both ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ReferencePoint {
    /// By its prism or by its place.
    Either,
    /// By both: the stricter reading.
    Both,
}

/// Which meridian decides, where public text leaves that open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum OpenMeridian {
    /// The sphere meridian of the minus-cylinder form.
    Sphere,
    /// The one of the highest absolute power.
    Strongest,
}

/// The shop's choices where a standard leaves one.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToleranceChoices {
    /// Of an uncut lens.
    pub reference_point: ReferencePoint,
    /// Of the editions that leave it open.
    pub open_meridian: OpenMeridian,
    /// A file with a table of the shop's own, relative to the settings file.
    #[serde(default)]
    pub shop_table: Option<PathBuf>,
    /// How far each eye's place may be from its monocular PD, whatever the standard says; no limit where it is not said.
    #[serde(default, deserialize_with = "maybe_millimetres")]
    pub pd_each_eye: Option<Length>,
    /// The same of a segment's, a fitting cross's or any other ordered height.
    #[serde(default, deserialize_with = "maybe_millimetres")]
    pub heights: Option<Length>,
}

impl ToleranceChoices {
    fn places(&self) -> Places {
        let rule = |length: Length| Rule::fixed(length.milli(), "the shop's settings");
        Places { pd_each_eye: self.pd_each_eye.map(rule), heights: self.heights.map(rule) }
    }

    /// Every length, with its name.
    pub(super) fn lengths(&self) -> impl Iterator<Item = (&'static str, Length)> {
        let named = [("tolerance.pd_each_eye", self.pd_each_eye), ("tolerance.heights", self.heights)];
        named.into_iter().filter_map(|(name, length)| Some((name, length?)))
    }

    /// Its limits in words, each behind a blank.
    fn said(&self) -> String {
        let named = [("each eye's place from its monocular PD", self.pd_each_eye), ("heights", self.heights)];
        let said = |(name, limit): (&str, Option<Length>)| {
            limit.map_or_else(String::new, |limit| format!(" The shop holds {name} to {limit} mm."))
        };
        named.map(said).concat()
    }
}

/// What a pair is judged by, and how the shop goes about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    table: Table,
    judged_by: JudgedBy,
    /// What the figures rest on.
    rests_on: String,
    progressive: Progressive,
    flow: Flow,
}

impl Tolerances {
    pub(super) fn of(
        name: StandardName,
        choices: &ToleranceChoices,
        shop: Option<&ShopFile>,
        progressive: Progressive,
        flow: Flow,
    ) -> Result<Self, SettingsError> {
        let (table, judged_by, rests_on) = match name {
            StandardName::Published(standard) => Self::published(standard, choices),
            StandardName::Shop => Self::shop(shop.ok_or(SettingsError::NoShopTable)?),
        };
        Ok(Self {
            table: table.with_places(choices.places()),
            judged_by,
            rests_on: rests_on + &choices.said(),
            progressive,
            flow,
        })
    }

    fn published(standard: Standard, choices: &ToleranceChoices) -> (Table, JudgedBy, String) {
        let mut table = *standard.table();
        let mut rests_on = match table.hearsay {
            None => "from public summaries; the standard's full text was not read.",
            Some(_) => "the table of 2015. Nothing of this edition was seen; public exam guides say that it left powers as \
                 they were. Every figure is unconfirmed.",
        }
        .to_owned();
        if choices.reference_point == ReferencePoint::Both && table.reference.is_some() {
            table = table.with_both_at_reference();
            rests_on += " By the shop's choice the reference point has to hold by prism and by place.";
        }
        if choices.open_meridian == OpenMeridian::Strongest
            && let Some(strongest) = table.with_meridian(Meridian::Strongest)
        {
            table = strongest;
            rests_on += " By the shop's choice the meridian of the highest absolute power decides.";
        }
        (table, JudgedBy::Published(standard), rests_on)
    }

    fn shop(file: &ShopFile) -> (Table, JudgedBy, String) {
        let ShopFile { table, source, path } = file;
        let rests_on = format!("the shop's own table, {}; it cites: {source}.", path.display());
        let judged_by = JudgedBy::Shop { shop_table: table.name.to_owned() };
        (*table, judged_by, rests_on)
    }

    /// The table to judge by, the shop's choices made.
    pub const fn table(&self) -> Table {
        self.table
    }

    /// What a progressive is like where its order does not say so.
    pub const fn progressive(&self) -> &Progressive {
        &self.progressive
    }

    /// How the shop goes along the line, and what it looks a pair over for.
    pub const fn flow(&self) -> Flow {
        self.flow
    }

    /// A name for it and for every choice and figure in it: another one when any of them changes.
    pub fn fingerprint(&self) -> String {
        use std::hash::{DefaultHasher, Hash, Hasher};
        let table = self.table();
        let mut hasher = DefaultHasher::new();
        format!("{table:?} {:?}", self.progressive).hash(&mut hasher);
        format!("{table} {:016x}", hasher.finish())
    }

    /// What a sign-off records.
    pub fn judged_by(&self) -> JudgedBy {
        self.judged_by.clone()
    }

    /// What the figures rest on, in a sentence, with the shop's choices.
    pub fn foundation(&self) -> String {
        format!("{self}, table version {}: {}", self.table.version, self.rests_on)
    }
}

impl fmt::Display for Tolerances {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.table.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_standard_is_known_by_its_name_however_it_is_spaced() {
        let published = |standard| Ok(StandardName::Published(standard));
        for name in ["ansi-z80.1-2015", "ANSI Z80.1-2015", "ansi z80.1"] {
            assert_eq!(name.parse(), published(Standard::AnsiZ801_2015), "{name}");
        }
        assert_eq!("ANSI Z80.1-1999".parse(), published(Standard::AnsiZ801_1999));
        for name in ["iso 21987", "ISO 21987:2017", "iso-21987-2017"] {
            assert_eq!(name.parse(), published(Standard::Iso21987_2017), "{name}");
        }
        assert_eq!("shop".parse(), Ok(StandardName::Shop));
        assert_eq!("ANSI Z80.1-2020".parse(), published(Standard::AnsiZ801_2020));
        // An edition that is not there must not pass for one that is, and says why it is not.
        let error = "iso 21987:2009".parse::<StandardName>().unwrap_err().to_string();
        assert!(error.contains("the edition of 2009 was withdrawn"), "{error}");
        assert!(error.contains("known: ansi-z80.1-2020, ansi-z80.1-2015"), "{error}");
    }

    #[test]
    fn every_key_is_that_of_the_record() {
        for standard in Standard::ALL {
            assert_eq!(serde_json::to_value(standard).unwrap(), standard.key());
        }
    }
}
