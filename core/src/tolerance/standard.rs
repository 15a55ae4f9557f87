//! Which standard a lens is judged by.

use super::Table;
use super::{ansi_z80_1, iso_21987};
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// A published tolerance standard in one edition.
///
/// ANSI Z80.1-2020 is by hearsay: no published list of what it changed was found, exam guides say that powers did not, and
/// trade teaching still works from 2015. ISO 21987:2009 is not offered: it was withdrawn on 17 July 2017 (catalogue page of the standard).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Standard {
    /// ANSI Z80.1-2015, prescription ophthalmic lenses.
    #[serde(rename = "ansi-z80.1-2015")]
    AnsiZ801_2015,
    /// ANSI Z80.1-2010.
    #[serde(rename = "ansi-z80.1-2010")]
    AnsiZ801_2010,
    /// ANSI Z80.1-2005: the first with rows for progressives and with wide axis limits of low cylinders.
    #[serde(rename = "ansi-z80.1-2005")]
    AnsiZ801_2005,
    /// ANSI Z80.1-1999.
    #[serde(rename = "ansi-z80.1-1999")]
    AnsiZ801_1999,
    /// ISO 21987:2017, mounted spectacle lenses; confirmed in 2023.
    #[serde(rename = "iso-21987-2017")]
    Iso21987_2017,
    /// ANSI Z80.1-2020, said to be as 2015; every figure of it is unconfirmed.
    #[serde(rename = "ansi-z80.1-2020")]
    AnsiZ801_2020,
}

impl Standard {
    /// Every standard that can be chosen; of each the newest edition first.
    pub const ALL: &'static [Self] = &[
        Self::AnsiZ801_2020,
        Self::AnsiZ801_2015,
        Self::AnsiZ801_2010,
        Self::AnsiZ801_2005,
        Self::AnsiZ801_1999,
        Self::Iso21987_2017,
    ];

    /// How it is written in settings, on the command line and in records: `ansi-z80.1-2015`.
    pub const fn key(self) -> &'static str {
        self.facts().0
    }

    /// The year of the edition.
    pub const fn edition(self) -> u16 {
        self.facts().1
    }

    /// Its table.
    pub const fn table(self) -> &'static Table {
        self.facts().2
    }

    const fn facts(self) -> (&'static str, u16, &'static Table) {
        match self {
            Self::AnsiZ801_2015 => ("ansi-z80.1-2015", 2015, &ansi_z80_1::EDITION_2015),
            Self::AnsiZ801_2010 => ("ansi-z80.1-2010", 2010, &ansi_z80_1::EDITION_2010),
            Self::AnsiZ801_2005 => ("ansi-z80.1-2005", 2005, &ansi_z80_1::EDITION_2005),
            Self::AnsiZ801_1999 => ("ansi-z80.1-1999", 1999, &ansi_z80_1::EDITION_1999),
            Self::AnsiZ801_2020 => ("ansi-z80.1-2020", 2020, &ansi_z80_1::EDITION_2020),
            Self::Iso21987_2017 => ("iso-21987-2017", 2017, &iso_21987::EDITION_2017),
        }
    }
}

impl From<Standard> for &'static Table {
    fn from(standard: Standard) -> Self {
        standard.table()
    }
}

impl fmt::Display for Standard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.table().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_standard_is_named_with_its_edition() {
        let named: std::vec::Vec<_> = Standard::ALL.iter().map(ToString::to_string).collect();
        let years = ["2020", "2015", "2010", "2005", "1999"].map(|year| std::format!("ANSI Z80.1-{year}"));
        assert_eq!((&named[..5], &*named[5]), (&years[..], "ISO 21987:2017"));
        for standard in Standard::ALL {
            assert!(standard.table().version > 0);
            assert!(standard.to_string().ends_with(&standard.edition().to_string()));
            assert!(standard.key().ends_with(&standard.edition().to_string()));
        }
    }
}
