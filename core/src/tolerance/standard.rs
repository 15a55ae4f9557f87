//! Which standard a lens is judged by, and what kind of lens it is.

use super::ansi_z80_1;
use super::table::Table;
use core::fmt;

/// A tolerance standard in one edition.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    postcard::experimental::max_size::MaxSize,
)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Standard {
    /// ANSI Z80.1-2015, prescription ophthalmic lenses. A later edition (2020) exists; what it changed was not
    /// found in public text.
    #[serde(rename = "ansi-z80.1-2015")]
    AnsiZ801_2015,
}

impl Standard {
    /// Every standard that can be chosen.
    pub const ALL: &'static [Self] = &[Self::AnsiZ801_2015];

    /// Number of the standard, without the edition: `ANSI Z80.1`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.table().name
    }

    /// The edition: `2015`.
    #[must_use]
    pub const fn edition(self) -> &'static str {
        self.table().edition
    }

    /// Rises whenever a figure in this edition's table is corrected, so that a recorded verdict says what it
    /// was judged by.
    #[must_use]
    pub const fn table_version(self) -> u16 {
        self.table().version
    }

    pub(super) const fn table(self) -> &'static Table {
        match self {
            Self::AnsiZ801_2015 => &ansi_z80_1::EDITION_2015,
        }
    }
}

impl fmt::Display for Standard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.name(), self.edition())
    }
}

/// What kind of lens is judged: its rows in the tables differ.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    postcard::experimental::max_size::MaxSize,
)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(rename_all = "kebab-case")]
pub enum Design {
    /// One power.
    #[default]
    SingleVision,
    /// Segments: bifocal and trifocal.
    Multifocal,
    /// Power that grows toward near.
    Progressive,
}

impl fmt::Display for Design {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::SingleVision => "single vision",
            Self::Multifocal => "multifocal",
            Self::Progressive => "progressive",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_standard_is_named_with_its_edition() {
        assert_eq!(Standard::AnsiZ801_2015.to_string(), "ANSI Z80.1-2015");
        assert_eq!(Standard::ALL, [Standard::AnsiZ801_2015]);
        assert!(Standard::AnsiZ801_2015.table_version() > 0);
    }
}
